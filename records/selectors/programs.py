"""Reads on programs: which version and limit hold for a draw, and which states a boiler was in."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.analytes import ANALYTES, Basis
from chemistry.verdict import Limit as ChemistryLimit
from records.errors import RecordError
from records.models import (
    Boiler,
    BoilerState,
    EventDraw,
    Limit,
    Plant,
    Program,
    ProgramVersion,
    SamplePoint,
    ScheduleLine,
    State,
    Verdict,
)
from records.shifts import local

BACK_DATED = gettext_noop(
    "Draws have been judged, or a version begins, at %(until)s on the plant's clock; a new one "
    "begins after that."
)


@dataclass(frozen=True, kw_only=True)
class LimitInForce:
    """The row that limits an analyte at a point, beside the same in the analyte's own unit.

    `limit` is None where the program says that no limit is known; `row` then says why.
    """

    version: ProgramVersion
    row: Limit
    limit: ChemistryLimit | None
    guard_band: float


def state_at(boiler: Boiler | None, instant: datetime) -> str:
    """Return the state that a boiler was in, or "" where none is recorded (or it has none)."""
    found = state_entry_at(boiler, instant) if boiler is not None else None
    return found.state if found else ""


def state_entry_at(boiler: Boiler, instant: datetime) -> BoilerState | None:
    """Return the entry of a boiler's state that holds at an instant."""
    return (
        BoilerState.objects.filter(plant=boiler.plant_id, boiler=boiler, since__lte=instant)
        .order_by("-since", "-recorded_at", "-id")
        .first()
    )


def version_in_force(program: Program | None, instant: datetime) -> ProgramVersion | None:
    """Return the version in force at an instant."""
    if program is None:
        return None
    found: ProgramVersion | None = (
        ProgramVersion.objects.filter(
            plant=program.plant_id, program=program, in_force_from__lte=instant
        )
        .order_by("-in_force_from")
        .first()
    )
    return found


def version_at(point: SamplePoint, instant: datetime) -> ProgramVersion | None:
    """Return the version in force at a sample point at an instant."""
    found: ProgramVersion | None = (
        ProgramVersion.objects.filter(
            plant=point.plant_id, program__boiler=point.boiler_id, in_force_from__lte=instant
        )
        .order_by("program__name", "-in_force_from")
        .first()
    )
    return found


def newest_version(program: Program) -> ProgramVersion | None:
    """Return the version that the next one follows: the last to come in force, or the present."""
    found: ProgramVersion | None = (
        ProgramVersion.objects.filter(plant=program.plant_id, program=program)
        .order_by("-in_force_from")
        .first()
    )
    return found


def refuse_back_dating(program: Program, in_force_from: datetime) -> None:
    """Refuse a version that begins before a judged draw at its points, with a limit or without.

    Raises RecordError back_dated.
    """
    judged = (
        Verdict.objects.filter(
            plant=program.plant_id,
            result__measurement__sample__sample_point__boiler=program.boiler_id,
        )
        .order_by("-result__measurement__sample__drawn_at")
        .values_list("result__measurement__sample__drawn_at", flat=True)
        .first()
    )
    newest = newest_version(program)
    begun = newest.in_force_from if newest else None
    until = max((each for each in (judged, begun) if each is not None), default=None)
    if until is not None and in_force_from <= until:
        told = local(program.plant, until).strftime("%Y-%m-%d %H:%M")
        raise RecordError("back_dated", BACK_DATED, field="in_force_from", until=told)


def limits_at(point: SamplePoint, state: str, instant: datetime) -> dict[str, LimitInForce]:
    """Return the limits that judge a draw, by analyte.

    Shared water has no state and is judged as while steaming; a boiler whose state at the time is
    not known is not judged.
    """
    version = version_at(point, instant)
    if version is None or (point.boiler_id is not None and not state):
        return {}
    rows = Limit.objects.filter(
        plant=point.plant_id,
        version=version,
        sample_point=point,
        state=state or State.STEAMING,
    )
    return {row.analyte: as_in_force(version, row) for row in rows}


def state_has_program(point: SamplePoint, state: str, instant: datetime) -> bool:
    """Say whether the program in force at a point has a limit or a test for a boiler's state.

    A point without a program has none for any state, and nothing to differ from: True.
    """
    version = version_at(point, instant)
    if version is None:
        return True
    of_state = {"plant": point.plant_id, "version": version, "sample_point": point, "state": state}
    return bool(
        Limit.objects.filter(**of_state).exists()
        or ScheduleLine.objects.filter(**of_state).exists()
    )


def as_in_force(version: ProgramVersion, row: Limit) -> LimitInForce:
    """Return a stored limit with its numbers in the analyte's canonical unit."""
    limit, guard_band = in_canonical_unit(row)
    return LimitInForce(version=version, row=row, limit=limit, guard_band=guard_band)


def in_canonical_unit(row: Limit) -> tuple[ChemistryLimit | None, float]:
    """Return a limit and its guard band in the analyte's unit; no limit where neither end is set.

    A guard band is a width, so that 2 °F are not taken for a temperature.
    """
    wanted = ANALYTES[row.analyte].unit

    def number(text: str) -> float | None:
        return units.convert(float(text), row.unit, wanted) if text else None

    low, high = number(row.low), number(row.high)
    guard = units.convert_step(float(row.guard_band), row.unit, wanted) if row.guard_band else 0.0
    if low is None and high is None:
        return None, guard
    return ChemistryLimit(low, high, Basis.parse(row.basis), wanted, number(row.target)), guard


def limits_of(version: ProgramVersion) -> Sequence[Limit]:
    """Return the limits of a version for its page."""
    return list(
        Limit.objects.filter(plant=version.plant_id, version=version)
        .select_related("sample_point__boiler")
        .order_by("sample_point__position", "analyte")
    )


def schedule_of(version: ProgramVersion) -> Sequence[ScheduleLine]:
    """Return the schedule of a version for its page."""
    return list(
        ScheduleLine.objects.filter(plant=version.plant_id, version=version)
        .select_related("sample_point__boiler")
        .order_by("sample_point__position", "method")
    )


def event_draws_of(version: ProgramVersion) -> Sequence[EventDraw]:
    """Return what a version asks for when something happens, in the order in which it was given."""
    return list(
        EventDraw.objects.filter(plant=version.plant_id, version=version)
        .select_related("sample_point__boiler", "watched_point__boiler")
        .order_by("id")
    )


def points_at(plant: Plant) -> Sequence[SamplePoint]:
    """Return all sample points of a plant, each boiler's together, in bench order."""
    return list(
        SamplePoint.objects.filter(plant=plant)
        .select_related("boiler")
        .order_by("boiler__name", "position", "name")
    )


def versions_of(program: Program) -> Sequence[ProgramVersion]:
    """Return all versions of a program, the newest first."""
    return list(
        ProgramVersion.objects.filter(plant=program.plant_id, program=program).order_by("-number")
    )


def points_of_program(program: Program) -> Sequence[SamplePoint]:
    """Return the sample points that a program is about, in bench order."""
    return list(
        SamplePoint.objects.filter(plant=program.plant_id, boiler=program.boiler_id)
        .select_related("boiler")
        .order_by("position", "name")
    )


@dataclass(frozen=True, kw_only=True)
class ProgramInForce:
    """A program with what holds of it at an instant; without a version nothing does."""

    program: Program
    version: ProgramVersion | None
    limits: Sequence[Limit]
    schedule: Sequence[ScheduleLine]


def programs_in_force(plant: Plant, instant: datetime) -> list[ProgramInForce]:
    """Return the plant's programs with the versions in force at an instant. Read by keys."""
    begun = ProgramVersion.objects.filter(plant=plant, in_force_from__lte=instant)
    newest = {row.program_id: row for row in begun.order_by("in_force_from")}
    keys = [version.pk for version in newest.values()]
    limits: dict[object, list[Limit]] = {}
    for limit in Limit.objects.filter(plant=plant, version__in=keys).order_by("analyte", "state"):
        limits.setdefault(limit.version_id, []).append(limit)
    lines: dict[object, list[ScheduleLine]] = {}
    for line in ScheduleLine.objects.filter(plant=plant, version__in=keys).order_by("method"):
        lines.setdefault(line.version_id, []).append(line)
    return [
        ProgramInForce(
            program=program,
            version=version,
            limits=limits.get(version.pk, []) if version else [],
            schedule=lines.get(version.pk, []) if version else [],
        )
        for program in programs_at(plant)
        for version in [newest.get(program.pk)]
    ]


def programs_at(plant: Plant) -> Sequence[Program]:
    """Return the plant's programs."""
    return list(Program.objects.filter(plant=plant).select_related("boiler").order_by("name"))
