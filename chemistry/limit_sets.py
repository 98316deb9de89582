"""Limit sets: published or customary limits by boiler pressure, each with its source and how sure
it is."""

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from chemistry.analytes import Basis
from chemistry.errors import ChemistryError
from chemistry.verdict import Limit
from chemistry.words import gettext_noop

KINDS = ("published", "from memory", "common practice, no source")
"""How sure a line is. Only "published" was read in a copy of the document named."""

_BAD_SET = gettext_noop("The limit set %(path)s cannot be used: %(reason)s.")
_CHOOSE = gettext_noop(
    "This set leaves the maximum to the chemist. Choose one from %(low)s to %(high)s %(unit)s."
)


@dataclass(frozen=True)
class LimitLine:
    """One limit for boilers from `pressure_from` to `pressure_to`, whole psig, both included.

    With `choose_within` the source gives only the span in which a maximum is to be chosen; `high`
    is None.
    """

    analyte: str
    sample_kind: str
    pressure_from: float
    pressure_to: float
    low: float | None
    high: float | None
    choose_within: tuple[float, float] | None
    unit: str
    basis: Basis
    kind: str
    note: str

    def limit(self, *, high: float | None = None, target: float | None = None) -> Limit:
        """Return the limit to put in force; `high` is the chemist's choice where the set leaves
        one.

        Errors: ChemistryError choose_maximum when the choice is missing or outside the span.
        """
        if self.choose_within is None:
            return Limit(self.low, self.high, self.basis, self.unit, target)
        low_end, high_end = self.choose_within
        if high is None or not low_end <= high <= high_end:
            params = {"low": f"{low_end:g}", "high": f"{high_end:g}", "unit": self.unit}
            raise ChemistryError("choose_maximum", _CHOOSE, params)
        return Limit(self.low, high, self.basis, self.unit, target)


@dataclass(frozen=True)
class LimitSet:
    """A set of limits with its source. `confidence` says in words what a chemist must still
    confirm."""

    key: str
    title: str
    source: str
    edition: str
    confidence: str
    boiler_kind: str
    lines: tuple[LimitLine, ...]

    def limit_at(self, analyte: str, sample_kind: str, pressure_psig: float) -> LimitLine | None:
        """Return the line for a boiler of this rated pressure, or None where the set knows none.

        The pressure is rounded to whole psi, as the bands are printed; nothing is interpolated.
        """
        whole = math.floor(pressure_psig + 0.5)
        for line in self.lines:
            wanted = line.analyte == analyte and line.sample_kind == sample_kind
            if wanted and line.pressure_from <= whole <= line.pressure_to:
                return line
        return None


def load(path: Path) -> LimitSet:
    """Return the limit set in a TOML file. Errors: ChemistryError bad_limit_set, with the
    reason."""
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        lines = tuple(_line(each) for each in data["line"])
        head = {key: str(data[key]) for key in ("key", "title", "source", "edition")}
        return LimitSet(
            **head,
            confidence=str(data["confidence"]),
            boiler_kind=str(data["boiler_kind"]),
            lines=lines,
        )
    except (OSError, KeyError, TypeError, ValueError) as error:
        params = {"path": path.name, "reason": str(error)}
        raise ChemistryError("bad_limit_set", _BAD_SET, params) from error


def _line(data: Mapping[str, Any]) -> LimitLine:
    low, high, span = data.get("low"), data.get("high"), data.get("choose_within")
    if (low is None and high is None) == (span is None):
        raise ValueError("a line needs either low or high, or choose_within")
    if data["kind"] not in KINDS:
        raise ValueError(f"kind {data['kind']!r} is none of {KINDS}")
    pressure_from, pressure_to = data["pressure_psig"]
    return LimitLine(
        analyte=data["analyte"],
        sample_kind=data["sample_kind"],
        pressure_from=float(pressure_from),
        pressure_to=float(pressure_to),
        low=None if low is None else float(low),
        high=None if high is None else float(high),
        choose_within=None if span is None else (float(span[0]), float(span[1])),
        unit=data["unit"],
        basis=Basis.parse(data["basis"]),
        kind=data["kind"],
        note=data.get("note", ""),
    )
