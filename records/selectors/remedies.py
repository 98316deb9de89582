"""Reads behind a remedy: what is known of the boiler and its feedwater, and what must be asked."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from chemistry import units
from chemistry.entry import parse_reading
from chemistry.errors import EntryError, Refused
from chemistry.methods.base import MISSING, TOO_HIGH, TOO_LOW
from chemistry.remedy import STEERS_BY, BlowdownCase
from chemistry.verdict import Side
from chemistry.words import gettext_noop
from records import clock
from records.models import (
    Boiler,
    Measurement,
    Plant,
    Result,
    Sample,
    SampleKind,
    State,
    Verdict,
)
from records.selectors.programs import as_in_force, state_at
from records.selectors.sheets import current_measurements

NO_LIMIT = gettext_noop("No limit is in force for this result, so there is nothing to steer to.")
NO_TARGET = gettext_noop(
    "The program has no target for this, so no remedy is worked out. Call the chemist."
)
NOT_HIGH = gettext_noop("Blowdown brings a high value down; this result is not high.")
OTHER_ANALYTE = gettext_noop(
    "A blowdown is worked out from conductivity only; for this result call the chemist."
)
NO_BOILER = gettext_noop("This water is not a boiler's, so there is nothing to blow down.")
IN_DOUBT = gettext_noop(
    "This result is in doubt, so no remedy is worked out from it. Repeat the test with an "
    "instrument in order."
)
CORRECTED = gettext_noop(
    "This result was corrected or is not signed yet, so no remedy is worked out from it."
)
FEED_KNOWN_FOR = timedelta(hours=36)


@dataclass(frozen=True, kw_only=True)
class Asked:
    """One figure asked for beside a remedy; bounds are in `unit`, what is possible at all."""

    key: str
    label: str
    unit: str
    units: tuple[str, ...]
    low: float
    high: float


ASKED = (
    Asked(
        key="steam_flow",
        label=gettext_noop("Steam flow now"),
        unit="kg/h",
        units=("lb/h", "kg/h", "t/h"),
        low=0.0,
        high=2_000_000.0,
    ),
    Asked(
        key="feed_conductivity",
        label=gettext_noop("Feedwater conductivity"),
        unit="uS/cm",
        units=("umho/cm", "uS/cm"),
        low=0.0,
        high=20_000.0,
    ),
    Asked(
        key="makeup_temperature",
        label=gettext_noop("Makeup water temperature"),
        unit="degC",
        units=("degF", "degC"),
        low=0.0,
        high=100.0,
    ),
)


@dataclass(frozen=True, kw_only=True)
class RemedyInputs:
    """What was typed, and what it comes to in canonical units."""

    typed: Mapping[str, str]
    units: Mapping[str, str]
    values: Mapping[str, float]
    errors: dict[str, EntryError]


def read_inputs(typed: Mapping[str, str], chosen: Mapping[str, str]) -> RemedyInputs:
    """Read the figures asked for; trouble stands beside its field."""
    values: dict[str, float] = {}
    errors: dict[str, EntryError] = {}
    for asked in ASKED:
        text = typed.get(asked.key, "")
        try:
            values[asked.key] = _value(asked, text, chosen.get(asked.key) or asked.units[0])
        except EntryError as error:
            errors[asked.key] = error.at(asked.key)
    return RemedyInputs(typed=dict(typed), units=dict(chosen), values=values, errors=errors)


def _value(asked: Asked, text: str, unit: str) -> float:
    if not text.strip():
        raise EntryError("missing", MISSING)
    read = parse_reading(text, unit=unit, units=asked.units)
    value = units.convert(read.value, read.unit, asked.unit)
    params = {"typed": read.normalized, "unit": units.label(read.unit), "label": asked.label}
    for bound, name in ((asked.low, "low"), (asked.high, "high")):
        params[name] = f"{units.convert(bound, asked.unit, read.unit):.6g}"
    if value < asked.low:
        raise EntryError("impossible", TOO_LOW, params)
    if value > asked.high:
        raise EntryError("impossible", TOO_HIGH, params)
    return value


def case_for(result: Result, inputs: RemedyInputs) -> BlowdownCase:
    """Return the blowdown case of a result; raises Refused where its verdict asks for none."""
    measurement: Measurement = result.measurement
    sample = measurement.sample
    verdict: Verdict = result.verdicts.get()
    if measurement.doubts.exists():
        raise Refused("in_doubt", IN_DOUBT)
    if not _in_force(measurement):
        raise Refused("corrected", CORRECTED)
    if result.analyte != STEERS_BY:
        raise Refused("other_analyte", OTHER_ANALYTE)
    version, row = verdict.program_version, verdict.limit
    limit = as_in_force(version, row) if version and row else None
    if limit is None or limit.limit is None or limit.limit.high is None:
        raise Refused("no_limit", NO_LIMIT)
    if verdict.side != Side.HIGH:
        raise Refused("not_high", NOT_HIGH)
    if limit.limit.target is None:
        raise Refused("no_target", NO_TARGET, missing=("target",))
    boiler = sample.sample_point.boiler
    if boiler is None:
        raise Refused("no_boiler", NO_BOILER)
    return BlowdownCase(
        value=float(result.value),
        expanded=float(result.expanded),
        target=limit.limit.target,
        high=limit.limit.high,
        feed=inputs.values.get("feed_conductivity"),
        steam_kg_h=inputs.values.get("steam_flow"),
        water_mass_kg=boiler.water_mass_kg,
        gauge_kpa=units.convert(boiler.working_psig, "psig", "kPag"),
        makeup_c=inputs.values["makeup_temperature"],
        state=_state(boiler, sample),
        continuous_max_kg_h=boiler.continuous_blowdown_max_kg_h,
        bottom_blow_kg=boiler.bottom_blow_kg,
    )


def _in_force(measurement: Measurement) -> bool:
    """Say whether a measurement counts: neither corrected nor a proposal nobody signed."""
    chain = Measurement.objects.filter(plant=measurement.plant_id, sample=measurement.sample_id)
    whole = list(chain.prefetch_related("amendments__signatures"))
    return measurement.pk in {each.pk for each in current_measurements(whole)}


def _state(boiler: Boiler, sample: Sample) -> str:
    """Return the boiler's state now where it steamed at the draw; else the state at the draw."""
    then = state_at(boiler, sample.drawn_at)
    return (state_at(boiler, clock.now()) if then == State.STEAMING else then) or "unknown"


def latest_feed(plant: Plant, before: datetime) -> Result | None:
    """Return the newest trusted feedwater conductivity of the last day and a half, if any."""
    found = (
        Measurement.objects.filter(
            plant=plant,
            method="conductivity",
            sample__sample_point__kind=SampleKind.FEEDWATER,
            sample__drawn_at__lte=before,
            sample__drawn_at__gte=before - FEED_KNOWN_FOR,
        )
        .select_related("sample")
        .prefetch_related("amendments__signatures", "results", "doubts")
        .order_by("-sample__drawn_at", "-id")
    )
    rows = [m for m in current_measurements(list(found)) if not m.doubts.all()]
    return rows[0].results.all().first() if rows else None
