"""The constants that a database file of PHREEQC prints, by the species that they form."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from tests.chemistry.phreeqc_reference import DATABASES

KJ_PER_KCAL = 4.184


@dataclass
class Printed:
    """What stands below one reaction."""

    reaction: str
    log_k: float = 0.0
    delta_h_kj: float = 0.0
    analytic: tuple[float, ...] = ()
    gamma: tuple[float, ...] = ()
    diffusion: tuple[float, ...] = ()


@dataclass
class _Reader:
    found: dict[str, Printed] = field(default_factory=dict)
    now: Printed | None = None

    def line(self, text: str) -> None:
        for part in text.partition("#")[0].split(";"):
            words = part.split()
            if not words:
                continue
            key = words[0].lower().lstrip("-")
            if "=" in words:
                self.now = Printed(" ".join(words))
                self.found[_formed(words)] = self.now
            elif self.now:
                self._figures(key, words[1:])

    def _figures(self, key: str, words: list[str]) -> None:
        numbers = tuple(float(word) for word in words if re.fullmatch(r"[-+.\deE]+", word))
        if key == "log_k":
            self.now.log_k = numbers[0]
        elif key == "delta_h":
            in_kj = len(words) > 1 and words[1].lower().startswith("kj")
            self.now.delta_h_kj = numbers[0] * (1.0 if in_kj else KJ_PER_KCAL)
        elif key.startswith("analytic"):
            self.now.analytic = numbers
        elif key == "gamma":
            self.now.gamma = numbers
        elif key == "dw":
            self.now.diffusion = numbers


def _formed(words: list[str]) -> str:
    """Return the first species on the right that is neither water nor hydrogen."""
    right = [word for word in words[words.index("=") + 1 :] if word not in ("+", "H2O", "H+")]
    return right[0] if right else words[-1]


def printed(name: str) -> Mapping[str, Printed]:
    """Return the species of a database file."""
    reader, inside = _Reader(), False
    for line in Path(DATABASES / name).read_text(encoding="latin-1").splitlines():
        if re.fullmatch(r"[A-Z_]{4,}", line.strip()):
            inside = line.strip() == "SOLUTION_SPECIES"
        elif inside:
            reader.line(line)
    return reader.found
