"""Reads behind a remedy: which one answers a result, and the case that it is worked out from."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from chemistry import units
from chemistry.dosing_plan import DoseCase
from chemistry.dosing_stop import FeedStopCase
from chemistry.errors import Refused
from chemistry.remedies import RemedyKind, remedy_for
from chemistry.remedy import BlowdownCase
from chemistry.verdict import Limit, Side
from chemistry.words import gettext_noop
from records import clock
from records.doubted import doubted_among
from records.models import (
    Boiler,
    DueSlot,
    Measurement,
    Plant,
    Result,
    Sample,
    State,
    Verdict,
)
from records.selectors.confirming import confirmation_of
from records.selectors.programs import as_in_force, state_at
from records.selectors.remedy_inputs import RemedyInputs
from records.selectors.sheets import current_measurements
from records.selectors.stopping import stop_findings, stops_open_at

NO_LIMIT = gettext_noop("No limit is in force for this result, so there is nothing to steer to.")
NO_TARGET = gettext_noop(
    "The program has no target for this, so no remedy is worked out. Call the chemist."
)
IN_RANGE = gettext_noop("This result is in range: there is nothing to put right.")
OTHER_ANALYTE = gettext_noop("No remedy is worked out for this result. Call the chemist.")
NO_BOILER = gettext_noop("This water is not a boiler's, so no remedy is worked out for it.")
IN_DOUBT = gettext_noop(
    "This result is in doubt, so no remedy is worked out from it. Repeat the test with an "
    "instrument in order."
)
CORRECTED = gettext_noop(
    "This result was corrected or is not signed yet, so no remedy is worked out from it."
)
OFF_SCALE = gettext_noop(
    "The reading is off the scale, so how far the water is out is not known. Dilute the sample, "
    "test it again, and work from that."
)
STOP_FIRST = gettext_noop(
    "A finding that comes before everything else stands for this boiler. No ordinary remedy is "
    "worked out until it is answered."
)
UNCONFIRMED = gettext_noop(
    "This result is not confirmed by a second draw yet, so no remedy is worked out from it."
)
KNOWN_FOR = timedelta(hours=36)


def kind_for(result: Result) -> RemedyKind | None:
    """Return the remedy that answers a result, or None where none is worked out."""
    return remedy_for(result.analyte, Side(result.verdicts.get().side))


def case_for(result: Result, inputs: RemedyInputs) -> Any:
    """Return the case of a result's remedy; raises Refused where none may be worked out."""
    limit = _treatable(result)
    boiler = result.measurement.sample.sample_point.boiler
    kind = kind_for(result)
    if kind is None:
        raise Refused("other_analyte", OTHER_ANALYTE)
    if boiler is None:
        raise Refused("no_boiler", NO_BOILER)
    if limit.target is None:
        raise Refused("no_target", NO_TARGET, missing=("target",))
    return CASES[kind.key](result, limit, boiler, inputs)


def _treatable(result: Result) -> Limit:
    """Return the limit that a result is out of; raises Refused where it must not be treated."""
    measurement: Measurement = result.measurement
    verdict: Verdict = result.verdicts.get()
    if doubted_among(measurement.plant_id, [measurement.pk]):
        raise Refused("in_doubt", IN_DOUBT)
    if not _in_force(measurement):
        raise Refused("corrected", CORRECTED)
    version, row = verdict.program_version, verdict.limit
    limit = as_in_force(version, row).limit if version and row else None
    if limit is None:
        raise Refused("no_limit", NO_LIMIT)
    if verdict.side not in (Side.HIGH, Side.LOW):
        raise Refused("in_range", IN_RANGE)
    if stopped(measurement.sample):
        raise Refused("stop_branch", STOP_FIRST)
    if result.qualifier == ">":
        raise Refused("off_scale", OFF_SCALE)
    if not confirmation_of(result).confirmed:
        raise Refused("unconfirmed", UNCONFIRMED)
    return limit


def stopped(sample: Sample) -> bool:
    """Say whether the stop branch keeps ordinary remedies back for a sample."""
    boiler = sample.sample_point.boiler
    if stop_findings(sample):
        return True
    return boiler is not None and bool(stops_open_at(boiler, clock.now()))


def _blowdown(result: Result, limit: Limit, boiler: Boiler, inputs: RemedyInputs) -> BlowdownCase:
    if limit.high is None:
        raise Refused("no_limit", NO_LIMIT)
    return BlowdownCase(
        value=float(result.value),
        expanded=float(result.expanded),
        target=limit.target or 0.0,
        high=limit.high,
        feed=inputs.values.get("feed_conductivity"),
        steam_kg_h=inputs.values.get("steam_flow"),
        water_mass_kg=boiler.water_mass_kg,
        gauge_kpa=units.convert(boiler.working_psig, "psig", "kPag"),
        makeup_c=inputs.values["makeup_temperature"],
        state=state_to_treat(boiler, result.measurement.sample),
        continuous_max_kg_h=boiler.continuous_blowdown_max_kg_h,
        bottom_blow_kg=boiler.bottom_blow_kg,
    )


def _dose(result: Result, limit: Limit, boiler: Boiler, inputs: RemedyInputs) -> DoseCase:
    if limit.low is None:
        raise Refused("no_limit", NO_LIMIT)
    return DoseCase(
        analyte=result.analyte,
        value=float(result.value),
        expanded=float(result.expanded),
        low=limit.low,
        target=limit.target or 0.0,
        high=limit.high,
        chemical=inputs.choices.get("chemical", ""),
        strength_percent=inputs.values.get("strength"),
        steam_kg_h=inputs.values.get("steam_flow"),
        feed_conductivity=inputs.values.get("feed_conductivity"),
        boiler_conductivity=inputs.values.get("boiler_conductivity"),
        water_mass_kg=boiler.water_mass_kg,
        next_test_h=inputs.values.get("next_test"),
        working_psig=boiler.working_psig,
        state=state_to_treat(boiler, result.measurement.sample),
        program=inputs.choices.get("program", ""),
        feed_oxygen=inputs.values.get("feed_oxygen"),
    )


def _feed_stop(result: Result, limit: Limit, boiler: Boiler, inputs: RemedyInputs) -> FeedStopCase:
    if limit.high is None:
        raise Refused("no_limit", NO_LIMIT)
    return FeedStopCase(
        analyte=result.analyte,
        value=float(result.value),
        expanded=float(result.expanded),
        target=limit.target or 0.0,
        high=limit.high,
        steam_kg_h=inputs.values.get("steam_flow"),
        feed_conductivity=inputs.values.get("feed_conductivity"),
        boiler_conductivity=inputs.values.get("boiler_conductivity"),
        water_mass_kg=boiler.water_mass_kg,
        state=state_to_treat(boiler, result.measurement.sample),
        continuous_max_kg_h=boiler.continuous_blowdown_max_kg_h,
    )


CASES: dict[str, Callable[[Result, Limit, Boiler, RemedyInputs], Any]] = {
    "blowdown": _blowdown,
    "dose_phosphate": _dose,
    "dose_sulfite": _dose,
    "dose_alkali": _dose,
    "feed_stop": _feed_stop,
    "feed_down": _feed_stop,
}


def _in_force(measurement: Measurement) -> bool:
    """Say whether a measurement counts: neither corrected nor a proposal nobody signed."""
    chain = Measurement.objects.filter(plant=measurement.plant_id, sample=measurement.sample_id)
    whole = list(chain.prefetch_related("amendments__signatures"))
    return measurement.pk in {each.pk for each in current_measurements(whole)}


def state_to_treat(boiler: Boiler, sample: Sample) -> str:
    """Return the boiler's state now where it steamed at the draw; else the state at the draw."""
    then = state_at(boiler, sample.drawn_at)
    return (state_at(boiler, clock.now()) if then == State.STEAMING else then) or "unknown"


def latest_of_kind(
    plant: Plant, kind: str, analyte: str, before: datetime, boiler: Boiler | None = None
) -> Result | None:
    """Return the newest trusted result of a test named as its analyte, for a kind of water."""
    found = Measurement.objects.filter(
        plant=plant,
        method=analyte,
        sample__sample_point__kind=kind,
        sample__drawn_at__lte=before,
        sample__drawn_at__gte=before - KNOWN_FOR,
    )
    if boiler is not None:
        found = found.filter(sample__sample_point__boiler=boiler)
    whole = (
        found.select_related("sample")
        .prefetch_related("amendments__signatures", "results")
        .order_by("-sample__drawn_at", "-id")
    )
    current = current_measurements(list(whole))
    doubted = doubted_among(plant.pk, [m.pk for m in current])
    rows = [m for m in current if m.pk not in doubted]
    return rows[0].results.all().first() if rows else None


def next_slot(result: Result) -> DueSlot | None:
    """Return the next scheduled test of a result's kind at its point, if one is laid."""
    found: DueSlot | None = (
        DueSlot.objects.filter(
            plant=result.plant_id,
            sample_point=result.measurement.sample.sample_point_id,
            method=result.measurement.method,
            line__isnull=False,
            due_at__gt=clock.now(),
        )
        .order_by("due_at")
        .first()
    )
    return found
