"""The dosing remedy: how much of a chemical brings boiler water up to its target, and what then
holds it, or why that is refused.

Advice, never an order: refused where a figure is missing, where the program may not bear the
chemical, and where the dose could overshoot the range by its own uncertainty.
"""

import math
from dataclasses import dataclass

from chemistry import blowdown, dosing
from chemistry import dosing_words as words
from chemistry.dosing import CHEMICALS
from chemistry.errors import ChemistryError, Refused
from chemistry.remedy import FIGURES_EXPANDED, STEAMING

SULFITE_MOST_PSIG = 900.0
"""No sulfite above this drum pressure: UFC 3-240-13FN (25 May 2005), Table 3-3."""
SULFITE_FROM_PSIG = 600.0
"""Sulfite begins to break down here: UFC 3-240-13FN (25 May 2005), eqs. 16 and 17."""
WEIGHED_EXPANDED = 0.05
"""Expanded relative uncertainty of weighing and of the stated strength: rule of our own."""
STEP_SHARE = 0.5
"""One dose raises the water by at most this share of the target, the rest follows after a retest:
rule of our own."""
MOST_MG_PER_KG = 500.0
"""More pure chemical at once for a kilogram of water says that a figure is wrong: rule of our
own."""
MIXING_MINUTES = 30
"""Wait after a dose before drawing: common practice, no source."""
AIM_STEPS = 10
"""Aims tried in turn from the target down to the lower limit: rule of our own."""

FREE_CAUSTIC, COORDINATED, CONGRUENT, NOT_SURE = (
    "free_caustic",
    "coordinated",
    "congruent",
    "not_sure",
)
ALKALINITIES = ("p_alkalinity", "hydroxide_alkalinity")
NEEDED = (
    "chemical",
    "strength_percent",
    "steam_kg_h",
    "feed_conductivity",
    "boiler_conductivity",
    "water_mass_kg",
    "next_test_h",
)


@dataclass(frozen=True)
class DoseCase:
    """What is known. Values in mg/L on the analyte's basis, conductivities in µS/cm at 25 °C.

    `value` ± `expanded` is the confirmed reading, `low` to `high` with `target` the range in force
    (no `high`: open); `program` one of FREE_CAUSTIC, COORDINATED, CONGRUENT, NOT_SURE;
    `feed_oxygen` in µg/L is needed for sulfite. None or "": not known.
    """

    analyte: str
    value: float
    expanded: float
    low: float
    target: float
    high: float | None
    chemical: str
    strength_percent: float | None
    steam_kg_h: float | None
    feed_conductivity: float | None
    boiler_conductivity: float | None
    water_mass_kg: float | None
    next_test_h: float | None
    working_psig: float
    state: str
    program: str = NOT_SURE
    feed_oxygen: float | None = None


@dataclass(frozen=True)
class DosePlan:
    """One dose now, and the feed that then holds `aim`. Masses are of the product as weighed.

    `dose_kg` is the first of `doses` equal steps, each with a retest after it; `predicted` is the
    water after this step; `hold_kg_h` the whole feed, of which `oxygen_kg_h` goes into oxygen;
    `until_next_kg` what that comes to until the next test; `alkalinity_change` in mg/L as CaCO3,
    above the P end point, by this step.
    """

    analyte: str
    chemical: str
    strength_percent: float
    aim: float
    dose_kg: float
    doses: int
    blowdown_kg_h: float
    hold_kg_h: float
    oxygen_kg_h: float
    until_next_kg: float
    next_test_h: float
    alkalinity_change: float
    predicted: float
    predicted_expanded: float
    retest_after_min: int
    way: str
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...] = words.ASSUMPTIONS
    source: str = words.SOURCE


@dataclass(frozen=True)
class _Known:
    """The figures of a case once none of them is missing; `share` is of the product as weighed."""

    share: float
    strength: float
    steam: float
    blowdown: float
    mass: float
    hours: float


def plan_dose(case: DoseCase) -> DosePlan:
    """Return a dose that ends at the target or below it, inside the range by its uncertainty.

    Errors: Refused, with the reason and the keys of what is missing.
    """
    known = _checked(case)
    aim = _aim(case)
    rise = aim - case.value
    doses = math.ceil(rise / (STEP_SHARE * case.target) - 1e-9)
    step = rise / doses
    dose = dosing.kg_for_rise(step, known.mass, known.share)
    if dose * known.strength > MOST_MG_PER_KG * 1e-6 * known.mass:
        raise Refused("dose_too_large", words.DOSE_TOO_LARGE)
    blown = known.blowdown * MIXING_MINUTES / 60.0 / known.mass
    after = (case.value + step) * math.exp(-blown)
    oxygen = _oxygen_kg_h(case, known)
    hold = dosing.kg_h_blown(aim, known.blowdown) / known.share + oxygen
    pure = CHEMICALS[case.chemical]
    alkalinity = step * pure.share("p_alkalinity") / pure.share(case.analyte)
    kind = kind_of(case.analyte)
    return DosePlan(
        analyte=case.analyte,
        chemical=case.chemical,
        strength_percent=known.strength * 100.0,
        aim=aim,
        dose_kg=dose,
        doses=doses,
        blowdown_kg_h=known.blowdown,
        hold_kg_h=hold,
        oxygen_kg_h=oxygen,
        until_next_kg=hold * known.hours,
        next_test_h=known.hours,
        alkalinity_change=alkalinity,
        predicted=after,
        predicted_expanded=_expanded(case.expanded, step),
        retest_after_min=MIXING_MINUTES,
        way=words.WAYS[kind],
        cautions=_cautions(case, kind),
    )


def kind_of(analyte: str) -> str:
    """Return the kind of treatment that an analyte belongs to: a key of the words."""
    return "alkalinity" if analyte in ALKALINITIES else analyte


def _cautions(case: DoseCase, kind: str) -> tuple[str, ...]:
    hot = kind == "sulfite" and case.working_psig >= SULFITE_FROM_PSIG
    return (*words.CAUTIONS[kind], *((words.SULFITE_FROM_600,) if hot else ()))


def _checked(case: DoseCase) -> _Known:
    """Return the figures needed, or raise the first reason why no dose may be worked out."""
    if case.state != STEAMING:
        raise Refused("not_steaming", words.NOT_STEAMING)
    _refuse_program(case)
    asked = (*NEEDED, "feed_oxygen") if case.analyte == "sulfite" else NEEDED
    missing = tuple(key for key in asked if getattr(case, key) in (None, ""))
    if missing:
        names = ", ".join(words.MISSING_WORDS[key] for key in missing)
        raise Refused("figures_missing", words.FIGURES_MISSING, {"missing": names}, missing=missing)
    pure = CHEMICALS.get(case.chemical)
    if pure is None or not pure.share(case.analyte):
        raise Refused("other_chemical", words.OTHER_CHEMICAL)
    strength = (case.strength_percent or 0.0) / 100.0
    known = _Known(
        share=pure.share(case.analyte) * strength,
        strength=strength,
        steam=case.steam_kg_h or 0.0,
        blowdown=blowdown_kg_h(case.steam_kg_h, case.boiler_conductivity, case.feed_conductivity),
        mass=case.water_mass_kg or 0.0,
        hours=case.next_test_h or 0.0,
    )
    _refuse_impossible(case, known)
    if case.value >= case.target:
        raise Refused("nothing_to_do", words.NOTHING_TO_DOSE)
    return known


def blowdown_kg_h(steam_kg_h: float | None, boiler: float | None, feed: float | None) -> float:
    """Return the steady blowdown that two conductivities imply, kg/h (UFC eqs. 5 and 7).

    Errors: Refused impossible_figure.
    """
    try:
        cycles = blowdown.cycles_of_concentration(boiler or 0.0, feed or 0.0)
        return float(blowdown.blowdown_from_cycles(steam_kg_h or 0.0, cycles))
    except ChemistryError as error:
        raise Refused("impossible_figure", words.IMPOSSIBLE_FIGURE) from error


def _refuse_program(case: DoseCase) -> None:
    """Raise where pressure or program may not bear the chemical."""
    if case.analyte == "sulfite" and case.working_psig > SULFITE_MOST_PSIG:
        raise Refused("too_hot_for_sulfite", words.TOO_HOT_FOR_SULFITE)
    if case.analyte in ALKALINITIES and case.program != FREE_CAUSTIC:
        known = case.program in (COORDINATED, CONGRUENT)
        reason = words.NO_FREE_CAUSTIC if known else words.ALKALI_NOT_SURE
        raise Refused("no_free_caustic", reason)
    if case.analyte != "phosphate" or case.program == FREE_CAUSTIC:
        return
    if case.program == CONGRUENT:
        raise Refused("congruent", words.CONGRUENT)
    if case.program != COORDINATED:
        raise Refused("program_not_known", words.PHOSPHATE_NOT_SURE)
    if case.chemical == "dsp_anhydrous":
        raise Refused("lowers_ph", words.DISODIUM)


def _refuse_impossible(case: DoseCase, known: _Known) -> None:
    positive = (case.target, known.share, known.steam, known.blowdown, known.mass, known.hours)
    sound = all(math.isfinite(figure) and figure > 0.0 for figure in positive)
    rest = (case.value, case.expanded, case.low, case.feed_oxygen or 0.0)
    sound = sound and all(math.isfinite(figure) and figure >= 0.0 for figure in rest)
    high = math.inf if case.high is None else case.high
    if not sound or known.strength > 1.0 or not case.low <= case.target <= high:
        raise Refused("impossible_figure", words.IMPOSSIBLE_FIGURE)


def _aim(case: DoseCase) -> float:
    """Return the highest aim from the target down that stays inside the range by its
    uncertainty."""
    high = math.inf if case.high is None else case.high
    for step in range(AIM_STEPS + 1):
        aim = case.target - step / AIM_STEPS * (case.target - case.low)
        if aim > case.value and aim + _expanded(case.expanded, aim - case.value) <= high:
            return aim
    raise Refused("range_too_narrow", words.RANGE_TOO_NARROW)


def _expanded(reading: float, rise: float) -> float:
    """Return the expanded uncertainty after a rise: reading, water mass and weighing in
    quadrature (JCGM 100:2008, 5.1.2)."""
    return math.hypot(reading, FIGURES_EXPANDED * rise, WEIGHED_EXPANDED * rise)


def _oxygen_kg_h(case: DoseCase, known: _Known) -> float:
    """Return the product that the feedwater's oxygen takes up, kg/h."""
    if case.analyte != "sulfite":
        return 0.0
    feed = float(blowdown.feedwater_flow(known.steam, known.blowdown))
    return dosing.sulfite_taken_kg_h(feed, case.feed_oxygen or 0.0) / known.share
