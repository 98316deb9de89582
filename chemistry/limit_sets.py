"""Limit sets: published or customary limits by boiler pressure, each with its source and how sure
it is."""

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import Any

from chemistry import units
from chemistry.analytes import ANALYTES, Basis
from chemistry.errors import ChemistryError
from chemistry.verdict import Limit
from chemistry.words import gettext_noop

KINDS = ("published", "from memory", "common practice, no source")
"""How sure a line is. Only "published" was read in a copy of the document named."""
BOILER_KINDS = ("any", "firetube", "watertube")
STEAMING = "steaming"
"""The boiler's state where a line names none."""

_BAD_SET = gettext_noop("The limit set %(path)s cannot be used: %(reason)s.")
_CHOOSE = gettext_noop(
    "This set leaves the maximum to the chemist. Choose one from %(low)s to %(high)s %(unit)s."
)
_NO_FIGURE = gettext_noop("This set gives no figure here, and none is guessed. Set your own.")


@dataclass(frozen=True)
class LimitLine:
    """One limit for boilers from `pressure_from` to `pressure_to`, whole psig, both included.

    With `choose_within` the source gives only the span in which a maximum is to be chosen; `high`
    is None. With neither low nor high nor span the source gives no figure, and `note` says why.
    `state` is what the boiler does; `condition` says of which plants alone the line holds, empty
    where it holds of all; `source` is where the line itself stands.
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
    state: str
    condition: str
    source: str

    @property
    def is_known(self) -> bool:
        """Whether the source gives a figure."""
        return not (self.low is None and self.high is None and self.choose_within is None)

    @property
    def must_confirm(self) -> bool:
        """Whether a chemist must confirm the line before it is put in force: it was not read."""
        return self.kind != "published"

    def limit(self, *, high: float | None = None, target: float | None = None) -> Limit:
        """Return the limit to put in force; `high` is the chemist's choice where the set leaves
        one.

        Errors: ChemistryError choose_maximum when the choice is missing or outside the span,
        no_figure where the source gives none.
        """
        if not self.is_known:
            raise ChemistryError("no_figure", _NO_FIGURE)
        if self.choose_within is None:
            return Limit(self.low, self.high, self.basis, self.unit, target)
        low_end, high_end = self.choose_within
        if high is None or not low_end <= high <= high_end:
            params = {"low": f"{low_end:g}", "high": f"{high_end:g}", "unit": self.unit}
            raise ChemistryError("choose_maximum", _CHOOSE, params)
        return Limit(self.low, high, self.basis, self.unit, target)

    def holds_at(self, pressure_psig: float) -> bool:
        """Whether a pressure lies in the band, once rounded to whole psi as bands are printed."""
        return self.pressure_from <= math.floor(pressure_psig + 0.5) <= self.pressure_to

    def clashes_with(self, other: "LimitLine") -> bool:
        """Whether both lines answer the same question for some boiler."""
        apart = self.condition and other.condition and self.condition != other.condition
        return (
            not apart
            and (self.analyte, self.sample_kind, self.state)
            == (other.analyte, other.sample_kind, other.state)
            and self.pressure_from <= other.pressure_to
            and other.pressure_from <= self.pressure_to
        )


@dataclass(frozen=True)
class LimitSet:
    """A set of limits with its source. `confidence` says in words what a chemist must still confirm
    and what the source limits beyond these lines.

    `boiler_kind` is one of BOILER_KINDS; `superheater` says whether the set is for boilers with one
    or without, None where it does not say.
    """

    key: str
    title: str
    source: str
    edition: str
    confidence: str
    boiler_kind: str
    superheater: bool | None
    lines: tuple[LimitLine, ...]

    def fits(self, kind: str, superheater: bool) -> bool:
        """Whether the set is meant for boilers of this kind ("firetube", "watertube")."""
        return self.boiler_kind in ("any", kind) and self.superheater in (None, superheater)

    def lines_at(
        self, pressure_psig: float, *, sample_kind: str | None = None, state: str | None = None
    ) -> tuple[LimitLine, ...]:
        """Return the lines for a boiler of this rated pressure, of one water or state if given.

        The pressure is rounded to whole psi, as the bands are printed; nothing is interpolated.
        Lines of the same analyte differ in their `condition`: the chemist knows which one holds.
        """
        return tuple(
            line
            for line in self.lines
            if line.holds_at(pressure_psig)
            and sample_kind in (None, line.sample_kind)
            and state in (None, line.state)
        )

    def limit_at(
        self,
        analyte: str,
        sample_kind: str,
        pressure_psig: float,
        *,
        state: str = STEAMING,
        condition: str = "",
    ) -> LimitLine | None:
        """Return the one line for this analyte, or None where the set knows none.

        A line with a condition holds only of those plants, so it is returned only where that very
        condition is named; the strictest is not picked, since for a pH there is none.
        """
        for line in self.lines_at(pressure_psig, sample_kind=sample_kind, state=state):
            if line.analyte == analyte and line.condition in ("", condition):
                return line
        return None


def load(path: Path) -> LimitSet:
    """Return the limit set in a TOML file: its head, then a `[[row]]` for each row of the table,
    with its pressure bands.

    Errors: ChemistryError bad_limit_set, with the reason.
    """
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        head = {key: str(data[key]) for key in ("key", "title", "source", "edition", "confidence")}
        rows = [{"source": head["source"], **row} for row in data["row"]]
        lines = tuple(_line({**row, **band}) for row in rows for band in row["bands"])
        _refuse_clashes(lines)
        return LimitSet(
            **head,
            boiler_kind=_one_of(BOILER_KINDS, data["boiler_kind"]),
            superheater=_flag(data.get("superheater")),
            lines=lines,
        )
    except (OSError, KeyError, TypeError, ValueError) as error:
        params = {"path": path.name, "reason": str(error)}
        raise ChemistryError("bad_limit_set", _BAD_SET, params) from error


def _line(data: Mapping[str, Any]) -> LimitLine:
    pressure_from, pressure_to = _band(data["psig"])
    line = LimitLine(
        analyte=_one_of(tuple(ANALYTES), data["analyte"]),
        sample_kind=data["sample_kind"],
        pressure_from=pressure_from,
        pressure_to=pressure_to,
        low=_number(data.get("low")),
        high=_number(data.get("high")),
        choose_within=_span(data.get("choose_within")),
        unit=data["unit"],
        basis=Basis.parse(data["basis"]),
        kind=_one_of(KINDS, data["kind"]),
        note=data.get("note", ""),
        state=data.get("state", STEAMING),
        condition=data.get("condition", ""),
        source=data["source"],
    )
    _refuse_figures(line, unknown=data.get("unknown", False))
    return line


def _refuse_figures(line: LimitLine, *, unknown: bool) -> None:
    """Raise where a line's figures are missing, crossed, too many, or in a unit of another kind."""
    if line.is_known == unknown:
        raise ValueError("a line needs low or high, or choose_within, or unknown = true")
    if unknown and not line.note:
        raise ValueError("a line without a figure needs a note that says why")
    if line.choose_within and not (line.low is None and line.high is None):
        raise ValueError("a line with choose_within has no low and no high")
    if line.is_known:
        line.limit(high=line.choose_within[1] if line.choose_within else None)
    units.convert(1.0, line.unit, ANALYTES[line.analyte].unit)


def _refuse_clashes(lines: Sequence[LimitLine]) -> None:
    for one, other in combinations(lines, 2):
        if one.clashes_with(other):
            told = f"{one.sample_kind}, {one.analyte}, from {other.pressure_from:g} psig"
            raise ValueError(f"two lines for {told}")


def _band(psig: Sequence[float]) -> tuple[float, float]:
    """Return both ends of a band; one number alone means from there up."""
    low, high = psig if len(psig) == 2 else (*psig, math.inf)
    if not 0 <= low <= high:
        raise ValueError(f"a band from {low} to {high} psig")
    return float(low), float(high)


def _number(value: float | None) -> float | None:
    return None if value is None else float(value)


def _span(value: Sequence[float] | None) -> tuple[float, float] | None:
    if value is None:
        return None
    low, high = value
    if not low < high:
        raise ValueError(f"a span from {low} to {high}")
    return float(low), float(high)


def _flag(value: bool | None) -> bool | None:
    if not (value is None or isinstance(value, bool)):
        raise TypeError(f"{value!r} is neither true nor false")
    return value


def _one_of(known: Sequence[str], value: str) -> str:
    if value not in known:
        raise ValueError(f"{value!r} is none of {', '.join(known)}")
    return value
