"""What a failed check reaches: the results by the instrument since its last pass, and what they
would have been had it told the truth."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

import numpy as np
from django.db.models import Q

from chemistry import units
from chemistry.errors import ChemistryError
from chemistry.lookback import WhatIf, bearing_of, look_back, span_between
from chemistry.recipes.base import Effect
from chemistry.recipes.levels import speaks_for
from chemistry.verdict import Side
from chemistry.verdict_arrays import Many
from records.doubted import waiting_by_look_back
from records.models import (
    Disposition,
    InstrumentUse,
    LogSheet,
    LookBack,
    Measurement,
    Plant,
    Verdict,
)
from records.selectors.check_history import answer_of, left_behind
from records.selectors.sheets import current_measurements, with_amendments

_DAY = 86400.0


@dataclass(frozen=True, kw_only=True)
class Reached:
    """One result that a look-back reaches: as it stands, and what was decided about it."""

    measurement: UUID
    sample: UUID
    sheet: UUID
    point: str
    drawn_at: datetime
    entered_at: datetime
    analyte: str
    basis: str
    value: str
    unit: str
    qualifier: str
    expanded: str
    side: str
    limit: Mapping[str, Any]
    level_told: bool

    def decision(self, decided: Sequence[Disposition]) -> Disposition | None:
        """Return what was decided about it: for itself, else with all others."""
        own = [p for p in decided if p.measurement_id == self.measurement]
        every = [p for p in decided if p.measurement_id is None and p.at >= self.entered_at]
        return next(reversed(own or every), None)


@dataclass(frozen=True, kw_only=True)
class Supposed:
    """Results of one analyte under the three suppositions, or why these can't be worked."""

    analyte: str
    reached: Sequence[Reached]
    what_ifs: tuple[WhatIf, ...] = ()
    refused: ChemistryError | None = None

    @property
    def changed(self) -> Sequence[int]:
        """The places whose verdict would be another under one supposition at least."""
        if not self.what_ifs:
            return ()
        found = np.any([each.changed for each in self.what_ifs], axis=0)
        return [int(place) for place in np.flatnonzero(found)]


def decisions_of(back: LookBack) -> Sequence[Disposition]:
    """Return all decisions about a look-back, the oldest first."""
    return list(
        Disposition.objects.filter(plant=back.plant_id, look_back=back).order_by("at", "id")
    )


def _uses(back: LookBack) -> Any:
    found = InstrumentUse.objects.filter(
        plant=back.plant_id,
        instrument=back.instrument_id,
        measurement__sample__drawn_at__lte=back.until,
    )
    if back.since is not None:
        found = found.filter(measurement__sample__drawn_at__gt=back.since)
    return found


def _replaced(back: LookBack) -> set[UUID]:
    """Return the measurements that a correction replaced, or that wait as an amendment."""
    chains = Measurement.objects.filter(
        Q(corrects__isnull=False) | Q(corrections__isnull=False),
        plant=back.plant_id,
        sample__drawn_at__lte=back.until,
    )
    if back.since is not None:
        chains = chains.filter(sample__drawn_at__gt=back.since)
    rows = with_amendments(chains.distinct())
    return {m.pk for m in rows} - {m.pk for m in current_measurements(rows)}


def reached_by(back: LookBack) -> Sequence[Reached]:
    """Return the results that count and that a look-back reaches, the newest draw first."""
    replaced, keys = _replaced(back), dict.fromkeys(_uses(back).values_list("measurement_id"))
    within = {key for (key,) in keys} - replaced
    if not within:
        return []
    found = answer_of(back.check_of)
    levels, unit = (found.levels, found.level_unit) if found else ((), "")
    rows = _verdicts(back)
    return [_reached(row, levels, unit) for row in rows if row["result__measurement_id"] in within]


_COLUMNS = (
    "side", "result__measurement_id", "result__measurement__sample_id",
    "result__measurement__sheet_id", "result__measurement__sample__point_name",
    "result__measurement__sample__drawn_at", "result__measurement__entered_at",
    "result__analyte", "result__basis", "result__value", "result__unit", "result__qualifier",
    "result__expanded", "limit__low", "limit__high", "limit__unit", "limit__basis",
    "limit__guard_band",
)  # fmt: skip


def _verdicts(back: LookBack) -> Any:
    found = Verdict.objects.filter(
        plant=back.plant_id,
        result__measurement__uses__instrument=back.instrument_id,
        result__measurement__sample__drawn_at__lte=back.until,
    )
    if back.since is not None:
        found = found.filter(result__measurement__sample__drawn_at__gt=back.since)
    return found.order_by("-result__measurement__sample__drawn_at", "result_id").values(*_COLUMNS)


def _reached(row: Mapping[str, Any], levels: Sequence[float], unit: str) -> Reached:
    short = {key.removeprefix("result__measurement__"): value for key, value in row.items()}
    return Reached(
        measurement=row["result__measurement_id"],
        sample=short["sample_id"],
        sheet=short["sheet_id"],
        point=short["sample__point_name"],
        drawn_at=short["sample__drawn_at"],
        entered_at=short["entered_at"],
        analyte=row["result__analyte"],
        basis=row["result__basis"],
        value=row["result__value"],
        unit=row["result__unit"],
        qualifier=row["result__qualifier"],
        expanded=row["result__expanded"],
        side=row["side"],
        limit={key: row[f"limit__{key}"] for key in ("low", "high", "unit", "basis", "guard_band")},
        level_told=_told(levels, unit, row["result__value"], row["result__unit"]),
    )


def _told(levels: Sequence[float], unit: str, value: str, of: str) -> bool:
    """Say whether the check speaks for a result of its own quantity; of another one it is not
    asked."""
    if not unit or not units.same_dimension(unit, of):
        return True
    return speaks_for(levels, unit, units.convert(float(value), of, unit))


def undecided(back: LookBack) -> Sequence[Reached]:
    """Return the results reached about which nothing is decided yet."""
    decided = decisions_of(back)
    return [each for each in reached_by(back) if each.decision(decided) is None]


def supposed(back: LookBack, reached: Sequence[Reached]) -> Sequence[Supposed]:
    """Return what results would have been, analyte by analyte."""
    by_analyte: dict[str, list[Reached]] = {}
    for each in reached:
        by_analyte.setdefault(each.analyte, []).append(each)
    effects = _effects(back)
    return [_supposed(back, analyte, rows, effects) for analyte, rows in by_analyte.items()]


def _effects(back: LookBack) -> tuple[Effect | None, Effect]:
    """Return the instrument's error at its last pass and at the failed check."""
    found = answer_of(back.check_of)
    assert found is not None  # a look-back comes of a check that was worked
    return left_behind(back.passed).effect if back.passed else None, found.effect


def _supposed(
    back: LookBack, analyte: str, rows: Sequence[Reached], effects: tuple[Effect | None, Effect]
) -> Supposed:
    failed_at = back.until.timestamp() / _DAY
    first = min(each.drawn_at for each in rows)
    begun = back.since or first
    passed_at = min(begun.timestamp() / _DAY, failed_at - 1.0 / _DAY)
    try:
        bearing = bearing_of(back.instrument.kind, analyte)
        span = span_between(effects[0], passed_at, effects[1], failed_at, bearing)
        what_ifs = look_back(_many(rows), span)
    except ChemistryError as error:
        return Supposed(analyte=analyte, reached=rows, refused=error)
    return Supposed(analyte=analyte, reached=rows, what_ifs=what_ifs)


def _many(rows: Sequence[Reached]) -> Many:
    """Return results beside their limits, in the results' unit."""
    ends = {name: [_end(each, name) for each in rows] for name in ("low", "high", "guard_band")}
    guard = np.nan_to_num(np.array(ends["guard_band"]))
    return Many(
        times=np.array([each.drawn_at.timestamp() / _DAY for each in rows]),
        values=np.array([float(each.value) for each in rows]),
        expanded=np.array([float(each.expanded) for each in rows]),
        low=np.array(ends["low"]),
        high=np.array(ends["high"]),
        guard=guard,
        qualifiers=np.array([each.qualifier for each in rows], dtype="U1"),
    )


def _end(reached: Reached, name: str) -> float:
    """Return one end of the limit in the result's unit; NaN where it is open or of another basis,
    or where there is no limit."""
    limit = reached.limit
    text = limit[name]
    if not text or limit["basis"] != reached.basis or reached.side == Side.NOT_JUDGED:
        return float("nan")
    if name == "guard_band":
        return units.convert_step(float(text), limit["unit"], reached.unit)
    return units.convert(float(text), limit["unit"], reached.unit)


def look_backs_of(plant: Plant | UUID) -> Sequence[LookBack]:
    """Return a plant's look-backs with their checks, the newest first."""
    found = LookBack.objects.filter(plant=plant).select_related(
        "instrument__plant", "check_of", "passed"
    )
    return list(found.order_by("-until", "-id"))


def open_look_backs(plant: Plant | UUID) -> Sequence[LookBack]:
    """Return the look-backs that hold results about which nothing is decided yet."""
    key = plant.pk if isinstance(plant, Plant) else plant
    waiting = waiting_by_look_back(key)
    return [back for back in look_backs_of(plant) if back.pk in waiting] if waiting else []


def reasons_of(back: LookBack) -> Sequence[tuple[str, Mapping[str, str]]]:
    """Return what the failed check said, as sentences to be filled in."""
    told = json.loads(back.check_of.answer)["found"]["reasons"]
    return [(template, params) for template, params in told]


def sheets_touched(plant: Plant, reached: Sequence[Reached]) -> Sequence[LogSheet]:
    """Return the log sheets on which the results stand, the newest first."""
    keys = {each.sheet for each in reached}
    found = LogSheet.objects.filter(plant=plant, pk__in=list(keys)) if keys else ()
    return sorted(found, key=lambda sheet: sheet.starts_at, reverse=True)
