"""Look first: which stored results other limits would have judged otherwise. Nothing is written."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from typing import Any
from uuid import UUID

from django.db.models import Q

from chemistry.analytes import Basis
from chemistry.verdict import Limit as ChemistryLimit
from chemistry.verdict import Side, judge
from records.doubted import doubted_at
from records.models import Limit, Measurement, Program, State, Verdict
from records.selectors.programs import in_canonical_unit
from records.selectors.sheets import current_measurements

_IN_SAMPLE = "result__measurement__sample__"
_COLUMNS = {
    "before": "side",
    "limit": "limit_id",
    "analyte": "result__analyte",
    "value": "result__value",
    "unit": "result__unit",
    "qualifier": "result__qualifier",
    "basis": "result__basis",
    "expanded": "result__expanded",
    "coverage": "result__coverage",
    "dof": "result__degrees_of_freedom",
    "measurement": "result__measurement_id",
    "point": f"{_IN_SAMPLE}sample_point_id",
    "state": f"{_IN_SAMPLE}boiler_state",
    "drawn_at": f"{_IN_SAMPLE}drawn_at",
}
# Low, high, target and guard band in the analyte's unit; no limit where neither end is set.
InUnit = tuple[ChemistryLimit | None, float]


@dataclass(frozen=True, kw_only=True)
class Otherwise:
    """One result with the verdict of its day and the one that other limits would have given."""

    point_id: UUID
    state: str
    analyte: str
    drawn_at: datetime
    value: str
    unit: str
    qualifier: str
    before: Side
    after: Side


@dataclass(kw_only=True)
class Tally:
    """How many results of a point and analyte there are, and how many change from what to what."""

    results: int = 0
    changed: Counter[tuple[Side, Side]] = field(default_factory=Counter)


@dataclass(frozen=True, kw_only=True)
class Preview:
    """What other limits would have judged; `otherwise` holds the newest draw first."""

    since: datetime
    tallies: Mapping[tuple[UUID, str], Tally]
    otherwise: Sequence[Otherwise]
    in_doubt: int


def preview(program: Program, limits: Iterable[Limit], *, since: datetime) -> Preview:
    """Judge the results of a program's points since an instant by other limits.

    Results that count are looked at, but for those in doubt: no limit decides about them. Shared
    water is judged as while steaming, a boiler in a state not known not at all, as for the record.
    """
    judged_by = _Judging(program, limits)
    left_out, doubted = _left_out(program, since)
    tallies: dict[tuple[UUID, str], Tally] = {}
    otherwise, in_doubt = [], 0
    for row in _stored(program, since):
        if row["measurement"] in left_out:
            continue
        if row["measurement"] in doubted:
            in_doubt += 1
            continue
        before, after = Side(row["before"]), judged_by.side(row)
        tally = tallies.setdefault((row["point"], row["analyte"]), Tally())
        tally.results += 1
        if before is not after:
            tally.changed[before, after] += 1
            otherwise.append(_otherwise(row, before, after))
    otherwise.sort(key=lambda each: each.drawn_at, reverse=True)
    return Preview(since=since, tallies=tallies, otherwise=otherwise, in_doubt=in_doubt)


def _stored(program: Program, since: datetime) -> Iterable[dict[str, Any]]:
    """Yield verdict, result and draw of each stored result, all in one query."""
    found = Verdict.objects.filter(
        **{
            "plant": program.plant_id,
            f"{_IN_SAMPLE}sample_point__boiler": program.boiler_id,
            f"{_IN_SAMPLE}drawn_at__gte": since,
        }
    )
    for row in found.values_list(*_COLUMNS.values()).iterator():
        yield dict(zip(_COLUMNS, row, strict=True))


def _left_out(program: Program, since: datetime) -> tuple[set[UUID], set[UUID]]:
    """Return the measurements that a correction replaced, and those in doubt."""
    inside = {
        "plant": program.plant_id,
        "sample__sample_point__boiler": program.boiler_id,
        "sample__drawn_at__gte": since,
    }
    chains = list(
        Measurement.objects.filter(
            Q(corrects__isnull=False) | Q(corrections__isnull=False), **inside
        )
        .prefetch_related("amendments__signatures")
        .distinct()
    )
    replaced = {m.pk for m in chains} - {m.pk for m in current_measurements(chains)}
    return replaced, doubted_at(program.plant_id)


class _Judging:
    """The limits of a version that is not stored, by point, state and analyte."""

    def __init__(self, program: Program, limits: Iterable[Limit]) -> None:
        self._shared = program.boiler_id is None
        self._limits: dict[tuple[UUID, str, str], InUnit] = {
            (row.sample_point_id, row.state, row.analyte): in_canonical_unit(row) for row in limits
        }
        held = Limit.objects.filter(plant=program.plant_id, version__program=program)
        self._held: dict[UUID, InUnit] = {row.pk: in_canonical_unit(row) for row in held}

    def side(self, row: Mapping[str, Any]) -> Side:
        """Return where a stored result would have lain.

        The same limit gives the same verdict: it is not worked again from rounded figures.
        """
        state = row["state"] or (State.STEAMING if self._shared else "")
        limit, guard_band = self._limits.get((row["point"], state, row["analyte"]), (None, 0.0))
        if self._held.get(row["limit"], (None, 0.0)) == (limit, guard_band):
            return Side(row["before"])
        return judge(
            float(row["value"]),
            float(row["expanded"]),
            float(row["coverage"]),
            float(row["dof"]),
            _basis(row["basis"]),
            limit,
            guard_band=guard_band,
            qualifier=row["qualifier"],
        ).side


@cache
def _basis(text: str) -> Basis:
    """Return a basis; a plant has a handful of them, and thousands of results."""
    return Basis.parse(text)


def _otherwise(row: Mapping[str, Any], before: Side, after: Side) -> Otherwise:
    return Otherwise(
        point_id=row["point"],
        state=row["state"],
        analyte=row["analyte"],
        drawn_at=row["drawn_at"],
        value=row["value"],
        unit=row["unit"],
        qualifier=row["qualifier"],
        before=before,
        after=after,
    )
