"""Burette by weighing the water that it delivers, version 1.

V20 = m Z, with Z = (1 - a/b) / (w - a) (1 - g (t - 20)): densities of water (w), air (a) and of the
balance's weights (b), and the expansion g of the burette. ISO 4787:2010, annex B, and ISO 8655-6
(2002), from memory; water: chemistry.water. Tolerances: ISO 385:2005, from memory. Handling:
common practice, no source.
"""

from collections.abc import Sequence

from chemistry.errors import EntryError
from chemistry.methods.base import Field, Step
from chemistry.methods.parts import TEMPERATURE_UNITS
from chemistry.recipes import parts
from chemistry.recipes.base import Effect, EffectKind, Figure, Found, Given, Recipe, Remark
from chemistry.recipes.tolerance import Tolerance
from chemistry.uncertainty import PRACTICE, Input, last_digit, propagated, rectangular
from chemistry.water import density_kg_m3
from chemistry.words import gettext_noop

REFERENCE_C = 20.0
"""Temperature that volumes of glassware refer to, °C: ISO 385:2005, from memory."""
AIR_KG_M3 = 1.2
"""Density of air: ISO 4787:2010, annex B, from memory."""
AIR_HALF_WIDTH_KG_M3 = 0.3
"""Limits of the air's density from the sea to about 2000 m, ± kg/m³: rule of our own."""
WEIGHTS_KG_M3 = 8000.0
"""Density that a balance is set by: OIML D 28 (2004), from memory."""
EXPANSION_PER_K = {"borosilicate": 9.9e-6, "soda_lime": 27e-6, "plastic": 240e-6}
"""Cubic expansion, 1/K: ISO 4787:2010 (glass) and ISO/TR 20461:2000 (plastic), from memory."""
EXPANSION_HALF_WIDTH = 0.1
"""Limits of the expansion, ± of itself: rule of our own."""
BALANCE_HALF_WIDTH_G = 0.01
"""Limits of error of a balance for this, ± g: common practice, no source."""
REPEATABILITY_ML = 0.01
"""Standard uncertainty of one delivery, reading the meniscus twice, mL: common practice, no
source."""
ISO_385_ML: dict[str, dict[float, float]] = {
    "a": {1.0: 0.006, 2.0: 0.01, 5.0: 0.01, 10.0: 0.02, 25.0: 0.03, 50.0: 0.05, 100.0: 0.1},
    "b": {1.0: 0.01, 2.0: 0.02, 5.0: 0.02, 10.0: 0.05, 25.0: 0.05, 50.0: 0.1, 100.0: 0.2},
}
"""Limits of error by capacity, ± mL: ISO 385:2005, table of limits, from memory."""
UNCLASSED_PERCENT = 1.0
"""What a burette or syringe without a class may be off by, ± percent of its capacity: common
practice, no source."""

MORE_THAN_IT_HOLDS = gettext_noop("The burette holds %(capacity)s mL only. Read the volume again.")
NOT_A_SIZE = gettext_noop(
    "No burette of this size has a class. Choose “No class marked”, or read the capacity again."
)
MASS_AND_VOLUME = gettext_noop(
    "%(mass)s g of water is not nearly %(volume)s mL. Was the empty bottle taken off?"
)
FAR_OFF = 0.2
"""A mass that far from the volume's, as a part of it, is a slip: rule of our own."""
SMALL_VOLUME = gettext_noop("Deliver at least half of what the burette holds: less tells little.")

CAPACITY = Field(
    key="capacity",
    carried="capacity",
    label=gettext_noop("Capacity of the burette"),
    unit="mL",
    units=("mL",),
    low=0.5,
    high=100.0,
    help=gettext_noop("The volume written on it."),
    decimals=0,
)
CLASS = Field(
    key="class",
    carried="class",
    label=gettext_noop("Class marked on it"),
    help=gettext_noop("A letter near the mark of its size; AS counts as A."),
    choices=(
        ("a", gettext_noop("A")),
        ("b", gettext_noop("B")),
        ("none", gettext_noop("No class marked")),
    ),
)
GLASS = Field(
    key="glass",
    carried="glass",
    label=gettext_noop("What it is made of"),
    help=gettext_noop("Most burettes are borosilicate; it matters little near 20 °C."),
    choices=(
        ("borosilicate", gettext_noop("Borosilicate glass")),
        ("soda_lime", gettext_noop("Soda-lime glass")),
        ("plastic", gettext_noop("Plastic")),
    ),
    default="borosilicate",
)
VOLUME = Field(
    key="volume",
    label=gettext_noop("Volume delivered, as read on it"),
    unit="mL",
    units=("mL",),
    low=0.1,
    high=100.0,
    help=gettext_noop("From the zero mark down, the same volume each time."),
    decimals=2,
)
MASSES = parts.further(
    Field(
        key="mass",
        label=gettext_noop("Mass of the water delivered"),
        unit="g",
        units=("g", "mg"),
        low=0.05,
        high=120.0,
        help=gettext_noop("Full bottle less empty bottle."),
        decimals=3,
    ),
    3,
)
TEMPERATURE = Field(
    key="temperature",
    label=gettext_noop("Temperature of the water"),
    unit="degC",
    units=TEMPERATURE_UNITS,
    low=10.0,
    high=35.0,
    help=gettext_noop("In the burette or in the bottle, before weighing."),
    decimals=1,
)

STEPS = (
    parts.BEFORE_ADJUSTING,
    Step(
        gettext_noop("Glass breaks: hold a burette low when you fix it, and never force a tip."),
        True,
    ),
    Step(gettext_noop("Clean it until water runs off as a film, without drops on the wall.")),
    Step(
        gettext_noop("Let distilled water stand beside it until both have the room's temperature.")
    ),
    Step(
        gettext_noop("Fill above zero, tap bubbles out of the tip, and set the meniscus to zero.")
    ),
    Step(
        gettext_noop(
            "Weigh an empty bottle with its stopper, let the volume run into it freely, wait half "
            "a minute, read the burette, touch off the drop, stopper, and weigh again."
        )
    ),
    Step(gettext_noop("Repeat twice with the same volume.")),
)
ADJUSTMENT = (
    Step(
        gettext_noop(
            "A burette can't be adjusted. Mend a leaking tap or tip and check again as left; else "
            "replace it. A dispenser that has a setting is set as its maker says."
        )
    ),
)
TROUBLE = (
    Step(gettext_noop("Drops on the wall: clean it, with detergent first, and rinse well.")),
    Step(gettext_noop("See that neither tap nor tip leaks or holds a bubble.")),
    Step(gettext_noop("Check the balance with its weight, then repeat.")),
    Step(
        gettext_noop("Never clean a burette with chromic acid, and never heat it."),
        caution=True,
    ),
    parts.OUT_OF_SERVICE,
)


def z_ml_per_g(water_kg_m3: float, air_kg_m3: float, expansion: float) -> float:
    """Return the volume at 20 °C that a gram weighed in air stands for, mL/g; `expansion` is that
    of the burette from 20 °C to the water's temperature, as a part of its volume.

    Source: ISO 4787:2010, annex B (from memory).

    >>> round(z_ml_per_g(998.2071, 1.2, 0.0), 5)
    1.00285
    """
    buoyant = (1.0 - air_kg_m3 / WEIGHTS_KG_M3) / (water_kg_m3 - air_kg_m3)
    return 1000.0 * buoyant * (1.0 - expansion)


def _work(given: Given) -> Found:
    volume, mass = given["volume"], parts.mean(given, MASSES)
    _refuse_slips(given, volume, mass)
    inputs = _inputs(given, mass)
    at = [each.value for each in inputs]
    true = volume - _shown_less_true(at)
    budget = propagated(_shown_less_true, inputs)
    tolerance = _tolerance(given)
    deviation = Figure("deviation", parts.DEVIATION[""], volume - true, "mL", budget, at=volume)
    figures = (given.judged(deviation, given["capacity"], tolerance), _z(given, inputs))
    return parts.concluded(
        figures,
        Effect(EffectKind.FACTOR, volume / true, u=budget.combined / true),
        unsettled=parts.unsettled(REPEATABILITY_ML, given, MASSES),
        remarks=_remarks(given),
        levels=(volume,),
        level_unit="mL",
    )


def _inputs(given: Given, mass: float) -> tuple[Input, ...]:
    """What `_shown_less_true` takes, in its order."""
    expansion = EXPANSION_PER_K[given.choice("glass")]
    resolution = max(given.resolution(each.key) for each in MASSES if each.key in given)
    return (
        Input(given["volume"], parts.repeatability(REPEATABILITY_ML, given, MASSES)),
        Input(mass, last_digit(resolution / 2.0)),
        Input(0.0, rectangular(gettext_noop("balance"), BALANCE_HALF_WIDTH_G, source=PRACTICE)),
        Input(given["temperature"], parts.thermometer(given, 1.0)),
        Input(
            AIR_KG_M3,
            rectangular(gettext_noop("density of air"), AIR_HALF_WIDTH_KG_M3, source=PRACTICE),
        ),
        Input(
            expansion,
            rectangular(
                gettext_noop("expansion"), expansion * EXPANSION_HALF_WIDTH, source=PRACTICE
            ),
        ),
    )


def _shown_less_true(values: Sequence[float]) -> float:
    """Return how much more the burette shows than it delivers, mL."""
    volume, mass, more, temp_c, air, expansion = values
    return volume - (mass + more) * _z_at(temp_c, air, expansion)


def _z_at(temp_c: float, air_kg_m3: float, per_k: float) -> float:
    water = float(density_kg_m3(temp_c))
    return z_ml_per_g(water, air_kg_m3, per_k * (temp_c - REFERENCE_C))


def _z(given: Given, inputs: Sequence[Input]) -> Figure:
    _, _, _, *rest = inputs

    def worked(values: Sequence[float]) -> float:
        return _z_at(*values)

    value = worked([each.value for each in rest])
    return Figure(
        "z", gettext_noop("Volume of a gram weighed"), value, "mL/g", propagated(worked, rest)
    )


def _tolerance(given: Given) -> Tolerance:
    """Return the class's own limits. Errors: EntryError beside the class."""
    capacity, kind = given["capacity"], given.choice("class")
    if kind == "none":
        return Tolerance(
            "deviation", "percent", -UNCLASSED_PERCENT, UNCLASSED_PERCENT, source=PRACTICE
        )
    half_width = ISO_385_ML[kind].get(capacity)
    if half_width is None:
        raise EntryError("not_a_size", NOT_A_SIZE, field="class")
    source = gettext_noop("ISO 385:2005, from memory")
    return Tolerance("deviation", "limit", -half_width, half_width, "mL", source)


def _refuse_slips(given: Given, volume: float, mass: float) -> None:
    capacity = given["capacity"]
    if volume > capacity:
        said = {"capacity": f"{capacity:g}"}
        raise EntryError("more_than_it_holds", MORE_THAN_IT_HOLDS, said, field="volume")
    if abs(mass - volume) > FAR_OFF * volume:  # a gram of water is a milliliter, nearly
        said = {"mass": f"{mass:g}", "volume": f"{volume:g}"}
        raise EntryError("mass_and_volume", MASS_AND_VOLUME, said, field="mass")


def _remarks(given: Given) -> tuple[Remark, ...]:
    return ((SMALL_VOLUME, {}),) if given["volume"] < given["capacity"] / 2.0 else ()


RECIPE = Recipe(
    key="burette",
    version="1",
    name=gettext_noop("Burette by weighing water"),
    purpose=gettext_noop("Every titration is as right as the volume that its burette delivers."),
    kinds=("burette",),
    fields=(CAPACITY, CLASS, GLASS, VOLUME, *MASSES, TEMPERATURE),
    standards=(),
    tolerances=(),
    steps=STEPS,
    adjustment=ADJUSTMENT,
    trouble=TROUBLE,
    source=(
        "ISO 4787:2010, ISO 8655-6 (2002), ISO 385:2005, from memory; water: IAPWS R7-97(2012); "
        "JCGM 100:2008; handling: common practice"
    ),
    work_given=_work,
    interval_days=365.0,
)
