"""What the remedy planner is told: the confirmed results, the water, the boiler, what is in stock.

Masses in kg, flows in kg/h, concentrations in mg/L (a liter of cooled sample is taken as a
kilogram), conductivity at 25 °C in µS/cm, not neutralized. None: not known.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from chemistry import planner_words as words
from chemistry.dosing_plan import NOT_SURE
from chemistry.errors import Refused
from chemistry.stop_branch import StopSample
from chemistry.verdict import Side

STEAMING, BANKED = "steaming", "banked"
CONTINUOUS, SURFACE, BOTTOM, HEADER = "continuous", "surface", "bottom", "header"
DRUM, FEED_LINE, DEAERATOR = "drum", "feed_line", "deaerator"

PARAMETERS: Mapping[str, str] = {
    "ph": "",
    "conductivity": "",
    "p_alkalinity": "",
    "m_alkalinity": "",
    "sodium_to_phosphate": "",
    "phosphate": "PO4",
    "sulfite": "SO3",
    "chloride": "Cl",
    "silica": "SiO2",
}
"""What can be planned for, and the formula of those that are simply an amount of something."""


@dataclass(frozen=True)
class Aim:
    """A confirmed result beside the range in force.

    `value` ± `expanded` (95 %); `low` to `high` the range (None: open), `target` inside it. Where
    the program names no target the middle is taken, or nine tenths of the only limit.
    """

    value: float
    expanded: float
    low: float | None = None
    high: float | None = None
    target: float | None = None

    @property
    def side(self) -> Side:
        """Where the value lies."""
        if self.low is not None and self.value < self.low:
            return Side.LOW
        if self.high is not None and self.value > self.high:
            return Side.HIGH
        return Side.IN_RANGE

    @property
    def aimed(self) -> float:
        """The value to steer to: the program's, or a rule of our own (see the class)."""
        if self.target is not None:
            return self.target
        if self.low is not None and self.high is not None:
            return (self.low + self.high) / 2.0
        if self.high is not None:
            return 0.9 * self.high
        return (self.low or 0.0) / 0.9

    @property
    def width(self) -> float:
        """Half the range, or the way from the target to the only limit: the measure of a miss."""
        ends = [end for end in (self.low, self.high) if end is not None]
        if len(ends) == 2:
            return (ends[1] - ends[0]) / 2.0
        return abs(ends[0] - self.aimed)


@dataclass(frozen=True)
class Valve:
    """A valve that blows down: what it passes fully open (continuous), or what one blow takes."""

    kind: str
    most_kg_h: float | None = None
    blow_kg: float | None = None


@dataclass(frozen=True)
class Stock:
    """A chemical as the plant stocks it, and where it can be fed.

    `strength_percent` by mass of the chemical that `key` names; `measure_kg` what its scoop or
    can holds (None: it can be weighed).
    """

    key: str
    strength_percent: float
    entries: tuple[str, ...]
    measure_kg: float | None = None


@dataclass(frozen=True)
class PlannerCase:
    """All that a plan is made from.

    `water` and `feed` in mg/kg by formula (chemistry.totals), what treatment is fed now counting
    towards `feed`; `load_share` the steam flow over the most the boiler makes, `bottom_load_most`
    the share up to which the plant's procedure allows a bottom blow; `level_span_kg` the water
    between the highest and the lowest level allowed; `tank_kg` what the blowoff tank takes at a
    time, `tank_recovery_h` how long it then needs; `mixed` whether the sample was drawn from water
    that had mixed; `allowed` the chemicals that the program names where it must.
    """

    sample: StopSample
    aims: Mapping[str, Aim]
    water: Mapping[str, float]
    feed: Mapping[str, float] | None
    state: str
    water_mass_kg: float | None
    steam_kg_h: float | None
    gauge_kpa: float | None
    working_psig: float
    makeup_c: float = 15.0  # heat only; common practice, no source
    valves: tuple[Valve, ...] = ()
    stocks: tuple[Stock, ...] = ()
    program: str = NOT_SURE
    allowed: frozenset[str] = frozenset()
    load_share: float | None = None
    bottom_load_most: float | None = None
    level_span_kg: float | None = None
    tank_kg: float | None = None
    tank_recovery_h: float | None = None
    fired: bool | None = None
    mixed: bool | None = None
    spray_from_feed: bool = False
    food_steam: bool = False

    @property
    def mass(self) -> float:
        """The water in the boiler, kg, once it is known."""
        return self.water_mass_kg or 0.0

    @property
    def steam(self) -> float:
        """The steam flow, kg/h; none of a banked boiler."""
        return (self.steam_kg_h or 0.0) if self.state == STEAMING else 0.0


def refuse_unknown(case: PlannerCase) -> None:
    """Raise where state, figures or parameters don't allow a plan; Refused names what lacks."""
    if case.state not in (STEAMING, BANKED):
        raise Refused("other_state", words.OTHER_STATE)
    unknown = [key for key in case.aims if key not in PARAMETERS]
    if unknown:
        raise Refused("not_planned_for", words.NOT_PLANNED_FOR, {"names": ", ".join(unknown)})
    missing = _missing(case)
    if missing:
        names = ", ".join(words.MISSING_WORDS[key] for key in missing)
        raise Refused("figures_missing", words.FIGURES_MISSING, {"missing": names}, missing=missing)
    if case.state == BANKED and not case.mixed:
        raise Refused("not_mixed", words.NOT_MIXED)
    if not _sound(case):
        raise Refused("impossible_figure", words.IMPOSSIBLE_FIGURE)
    if any(case.water.get(metal, 0.0) > 0.0 for metal in ("Ca", "Mg")):
        raise Refused("hard_water", words.HARD_WATER)


def _missing(case: PlannerCase) -> tuple[str, ...]:
    needed = ["water_mass_kg", "feed", "gauge_kpa"]
    needed += ["steam_kg_h"] if case.state == STEAMING else ["mixed", "fired"]
    missing = [key for key in needed if getattr(case, key) is None]
    missing += ["ph"] if not {"ph", "p_alkalinity"} & case.aims.keys() else []
    missing += ["conductivity"] if "conductivity" not in case.aims else []
    if "sodium_to_phosphate" in case.aims and not case.water.get("PO4"):
        missing.append("phosphate")
    # what blows down is needed only where something has to come down
    high = any(aim.side is Side.HIGH for aim in case.aims.values())
    if high and not any(valve.most_kg_h or valve.blow_kg for valve in case.valves):
        missing.append("valve")
    return tuple(missing)


def _sound(case: PlannerCase) -> bool:
    positive = [case.mass, case.steam if case.state == STEAMING else 1.0]
    optional = (case.level_span_kg, case.tank_kg, case.load_share)
    positive += [each for each in optional if each is not None]
    positive += [each.strength_percent for each in case.stocks]
    positive += [each.measure_kg for each in case.stocks if each.measure_kg is not None]
    amounts = (*case.water.values(), *(case.feed or {}).values())
    return (
        all(math.isfinite(each) and each > 0.0 for each in positive)
        and all(math.isfinite(each) and each >= 0.0 for each in amounts)
        and all(each.strength_percent <= 100.0 for each in case.stocks)
        and all(map(_sound_aim, case.aims.values()))
    )


def _sound_aim(aim: Aim) -> bool:
    low = -math.inf if aim.low is None else aim.low
    high = math.inf if aim.high is None else aim.high
    if math.isinf(low) and math.isinf(high):
        return False
    steered = all(math.isfinite(each) and each > 0.0 for each in (aim.aimed, aim.width))
    read = all(math.isfinite(each) and each >= 0.0 for each in (aim.value, aim.expanded))
    return steered and read and low <= aim.aimed <= high
