"""The case of a plan for a whole boiler water: this sample's results, and the boiler's newest."""

from collections.abc import Iterable, Mapping
from datetime import timedelta

from chemistry import units
from chemistry.errors import Refused
from chemistry.planner_case import (
    BANKED,
    BOTTOM,
    CONTINUOUS,
    PARAMETERS,
    STEAMING,
    Aim,
    PlannerCase,
    Stock,
    Valve,
)
from chemistry.planner_chemicals import ENTRIES, PRODUCTS
from chemistry.planner_water import feed_behind, water_behind, water_of_alkalinity
from chemistry.stop_branch import StopSample
from chemistry.words import gettext_noop
from records.models import Boiler, Sample, SampleKind
from records.selectors.confirming import confirmation_of
from records.selectors.plan_inputs import NONE, PRODUCT_KEYS, YES
from records.selectors.programs import as_in_force
from records.selectors.remedies import (
    IN_RANGE,
    KNOWN_FOR,
    NO_BOILER,
    OFF_SCALE,
    STOP_FIRST,
    UNCONFIRMED,
    state_to_treat,
    stopped,
)
from records.selectors.remedy_inputs import RemedyInputs
from records.selectors.results import ResultStand, newest_of_boiler

NEUTRALIZED = gettext_noop(
    "The conductivity here is of neutralized water, and a plan is worked out with the water as it "
    "is. Measure it without neutralizing, under a limit of that kind."
)
FULL_STRENGTH = 100.0
_AT_25 = "25C"


def waters_of(sample: Sample) -> dict[str, ResultStand]:
    """Return what is known of a sample's boiler water, by analyte: its own results, then the newest
    of the boiler, none older than 36 h; those in doubt left out."""
    boiler = sample.sample_point.boiler
    if boiler is None or sample.sample_point.kind != SampleKind.BOILER_WATER:
        return {}
    found: dict[str, ResultStand] = {}
    for stand in newest_of_boiler(boiler, sample.drawn_at - KNOWN_FOR, sample.drawn_at):
        known = found.get(stand.result.analyte)
        if not stand.doubts and (known is None or known.sample.pk != sample.pk):
            found[stand.result.analyte] = stand
    return found


def planned_for(sample: Sample, waters: Mapping[str, ResultStand]) -> list[ResultStand]:
    """Return the sample's results out of range that a plan can answer."""
    return [
        stand
        for analyte, stand in waters.items()
        if analyte in PARAMETERS and stand.out_of_range and stand.sample.pk == sample.pk
    ]


def plan_refusal(sample: Sample, waters: Mapping[str, ResultStand]) -> Refused | None:
    """Return why no plan may be worked out whatever figures are typed, or None."""
    if sample.sample_point.kind != SampleKind.BOILER_WATER or sample.sample_point.boiler is None:
        return Refused("no_boiler", NO_BOILER)
    if stopped(sample):
        return Refused("stop_branch", STOP_FIRST)
    out = planned_for(sample, waters)
    if not out:
        return Refused("in_range", IN_RANGE)
    if any(stand.result.qualifier == ">" for stand in waters.values()):
        return Refused("off_scale", OFF_SCALE)
    if not all(confirmation_of(stand.result).confirmed for stand in out):
        return Refused("unconfirmed", UNCONFIRMED)
    conductivity = waters.get("conductivity")
    if conductivity is not None and "|neutralized|" in conductivity.result.basis:
        return Refused("neutralized", NEUTRALIZED)
    return None


def plan_case(sample: Sample, inputs: RemedyInputs) -> PlannerCase:
    """Return the case of a plan for a sample. Errors: Refused with the reason."""
    waters = waters_of(sample)
    refused = plan_refusal(sample, waters)
    boiler = sample.sample_point.boiler
    if refused is not None or boiler is None:
        raise refused or Refused("no_boiler", NO_BOILER)
    values, state = inputs.values, state_to_treat(boiler, sample)
    aims = {key: aim for key in PARAMETERS if (aim := _aim(waters.get(key))) is not None}
    return PlannerCase(
        sample=StopSample(sample.sample_point.kind, sample.boiler_state),
        aims=aims,
        water=_water(waters),
        feed=_feed(values),
        state=state,
        water_mass_kg=boiler.water_mass_kg,
        steam_kg_h=values.get("steam_flow") if state == STEAMING else None,
        gauge_kpa=units.convert(boiler.working_psig, "psig", "kPag"),
        working_psig=boiler.working_psig,
        makeup_c=values["makeup_temperature"],
        valves=tuple(_valves(boiler)),
        stocks=tuple(_stocks(inputs)),
        program=inputs.choices["program"],
        level_span_kg=values.get("level_span"),
        tank_kg=values.get("tank"),
        tank_recovery_h=values.get("tank_recovery"),
        fired=inputs.choices["fired"] == YES if state == BANKED else None,
        mixed=inputs.choices["mixed"] == YES if state == BANKED else None,
        # where there is a superheater its spray may be feedwater: nothing solid ahead of it
        spray_from_feed=boiler.superheater,
        food_steam=inputs.choices["food"] == YES,
    )


def next_retest(after: timedelta) -> timedelta:
    """Return how long after now the retest of an advice is due: under a day, in which a longer one
    is looked at too."""
    return min(after, timedelta(hours=23))


def _aim(stand: ResultStand | None) -> Aim | None:
    """Return a result beside the range that judged it; None where nothing did."""
    if stand is None or stand.verdict.limit is None or stand.verdict.program_version is None:
        return None
    limit = as_in_force(stand.verdict.program_version, stand.verdict.limit).limit
    if limit is None or (limit.low is None and limit.high is None):
        return None
    value, expanded = float(stand.result.value), float(stand.result.expanded)
    return Aim(value, expanded, limit.low, limit.high, limit.target)


def _water(waters: Mapping[str, ResultStand]) -> dict[str, float]:
    """Return the water behind the results: by P alkalinity where that was titrated, else by pH.

    Where neither was, or no conductivity, there is no water: the planner names what it lacks.
    """
    known = {analyte: float(stand.result.value) for analyte, stand in waters.items()}
    tested = {
        formula: known[key] for key, formula in PARAMETERS.items() if formula and key in known
    }
    conductivity = known.get("conductivity")
    if conductivity is None:
        return {}
    if "p_alkalinity" in known:
        return _by_alkalinity(known, conductivity, tested)
    if "ph" in known and waters["ph"].result.basis.startswith(_AT_25):
        return water_behind(known["ph"], conductivity, tested)
    return {}


def _by_alkalinity(
    known: Mapping[str, float], conductivity: float, tested: Mapping[str, float]
) -> dict[str, float]:
    """Return the water behind P, and behind M where the two fit: a drop of M too few is less than
    phosphate and silica alone must take, and is no reason to know nothing."""
    p, m = known["p_alkalinity"], known.get("m_alkalinity")
    try:
        return water_of_alkalinity(p, conductivity, tested, m)
    except Refused:
        return water_of_alkalinity(p, conductivity, tested)


def _feed(values: Mapping[str, float]) -> dict[str, float] | None:
    if "feed_conductivity" not in values or "feed_alkalinity" not in values:
        return None
    return feed_behind(values["feed_conductivity"], values["feed_alkalinity"])


def _valves(boiler: Boiler) -> Iterable[Valve]:
    if boiler.continuous_blowdown_max_kg_h:
        yield Valve(CONTINUOUS, most_kg_h=boiler.continuous_blowdown_max_kg_h)
    if boiler.bottom_blow_kg:
        yield Valve(BOTTOM, blow_kg=boiler.bottom_blow_kg)


def _stocks(inputs: RemedyInputs) -> Iterable[Stock]:
    for kind in PRODUCT_KEYS:
        product = inputs.choices.get(f"{kind}_product", NONE)
        if product != NONE:
            strength = inputs.values.get(f"{kind}_strength", FULL_STRENGTH)
            yield Stock(product, strength, ENTRIES[PRODUCTS[product].kind])
