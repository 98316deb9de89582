"""A boiler's water as a mass balance over time: what it will hold, and why it takes so long.

One kilogram after another of feedwater comes in, steam leaves without solids, blowdown takes out
water as it is in the drum. Doses and leaks bring solute, hideout takes it out of the water and
gives it back. Between events all of that is steady, and the balance has an exact solution
(chemistry.blowdown.held_after):

    M dC/dt = F Cf + dosed + leak * Cl - (B + h M) C,    F = E + B.

The water is well mixed, its mass held by the level; a banked boiler's is not. Concentrations are in
any one unit that adds up: mg/kg, or µS/cm for conductivity at 25 °C. Flows in kg/h, hours from any
zero.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import inf

from chemistry.arrays import Floats
from chemistry.blowdown import held_after
from chemistry.errors import ChemistryError
from chemistry.hardness import calcium_in
from chemistry.ingress_signature import PHOSPHATE_PER_CALCIUM
from chemistry.totals import molar_mass
from chemistry.words import gettext_noop

STEAMING = "steaming"
UNMIXED = ("banked", "raising_steam", "wet_layup")
"""States in which the water stays but does not mix: a sample tells little of the rest."""


@dataclass(frozen=True)
class Setting:
    """What is so from `at_h` on, until the next setting.

    `feed` by solute; `dosed`: concentration times kg/h, mg/h for mg/kg, below zero where something
    is used up; `leak_kg_h` of a fluid that holds `leak`; `hideout_per_h`: part of what the water
    holds that hides in an hour, below zero when it comes back. Leak and hideout are for `course`:
    the filter finds its own. `state`: as the records have it.
    """

    at_h: float
    steam_kg_h: float
    blowdown_kg_h: float
    feed: Mapping[str, float]
    dosed: Mapping[str, float] = field(default_factory=dict)
    leak_kg_h: float = 0.0
    leak: Mapping[str, float] = field(default_factory=dict)
    hideout_per_h: Mapping[str, float] = field(default_factory=dict)
    state: str = STEAMING

    @property
    def steaming(self) -> bool:
        return self.state == STEAMING

    def known_gain(self, solute: str, blowdown: Floats) -> Floats:
        """Return what feed and dosing bring, concentration times kg/h."""
        fed = self.feed.get(solute, 0.0) * (self.steam_kg_h + blowdown)
        return fed + self.dosed.get(solute, 0.0)


@dataclass(frozen=True)
class Dose:
    """Chemicals put in at once: concentration times kg by solute, mg for mg/kg."""

    at_h: float
    amounts: Mapping[str, float]


@dataclass(frozen=True)
class Blow:
    """Water drained at once and made up with feedwater."""

    at_h: float
    kg: float


@dataclass(frozen=True)
class Result:
    """A worked result and its standard uncertainty."""

    at_h: float
    solute: str
    value: float
    u: float


Entry = Setting | Dose | Blow | Result


def time_constant_h(mass_kg: float, blowdown_kg_h: float, hideout_per_h: float = 0.0) -> float:
    """Return the hours in which a boiler goes 63 % of its way to where it settles, M / (B + h M).

    >>> time_constant_h(50000.0, 1000.0)
    50.0
    """
    lost = blowdown_kg_h + hideout_per_h * mass_kg
    return mass_kg / lost if lost > 0.0 else inf


def phosphate_taken(feed_kg_h: Floats, calcium_hardness: Floats) -> Floats:
    """Return the phosphate that the feedwater's calcium uses up, mg/h as PO4.

    `calcium_hardness` mg/kg as CaCO3. 6 PO4 for 10 Ca: chemistry.ingress_signature.

    >>> round(phosphate_taken(21000.0, 0.1))
    1196
    """
    calcium = calcium_in(calcium_hardness) / molar_mass("Ca")
    return feed_kg_h * calcium * PHOSPHATE_PER_CALCIUM * molar_mass("PO4")


def after(
    before: Mapping[str, float], setting: Setting, mass_kg: float, hours: float
) -> dict[str, float]:
    """Return what the water holds after `hours` at a setting, by solute; never less than nothing.

    Without steaming nothing comes or goes.
    """
    if not setting.steaming:
        return dict(before)
    blowdown = setting.blowdown_kg_h
    return {
        solute: max(
            0.0,
            float(
                held_after(
                    value,
                    setting.known_gain(solute, blowdown)
                    + setting.leak_kg_h * setting.leak.get(solute, 0.0),
                    blowdown + setting.hideout_per_h.get(solute, 0.0) * mass_kg,
                    mass_kg,
                    hours,
                )
            ),
        )
        for solute, value in before.items()
    }


def dosed(before: Mapping[str, float], dose: Dose, mass_kg: float) -> dict[str, float]:
    """Return what the water holds once a dose has mixed in."""
    return {key: held + dose.amounts.get(key, 0.0) / mass_kg for key, held in before.items()}


def blown(
    before: Mapping[str, float], blow: Blow, feed: Mapping[str, float], mass_kg: float
) -> dict[str, float]:
    """Return what the water holds after a blow and the refill (blowdown.blown_mass_to_reach, solved
    for the value)."""
    share = blow.kg / mass_kg
    return {key: held + (feed.get(key, 0.0) - held) * share for key, held in before.items()}


def course(
    before: Mapping[str, float], log: Iterable[Entry], mass_kg: float, hours: Sequence[float]
) -> dict[str, list[float]]:
    """Return what the water holds at each of the `hours`, by solute.

    `log`: settings, doses and blows, the first a setting; results are passed over. An event at one
    of the hours comes before it.

    >>> log = [Setting(0.0, 20000.0, 1000.0, {"chloride": 1.0})]
    >>> [round(value, 2) for value in course({"chloride": 21.0}, log, 50000.0, [8.0])["chloride"]]
    [21.0]
    """
    entries = in_order(log)
    setting, at, held = first_setting(entries), entries[0].at_h, dict(before)
    found: dict[str, list[float]] = {solute: [] for solute in before}
    asked: list[Entry | float] = sorted(
        [*entries, *hours], key=lambda each: (_hour(each), isinstance(each, float))
    )
    for each in asked:
        held = after(held, setting, mass_kg, _hour(each) - at)
        at = _hour(each)
        if isinstance(each, Setting):
            setting = each
        elif isinstance(each, Dose):
            held = dosed(held, each, mass_kg)
        elif isinstance(each, Blow):
            held = blown(held, each, setting.feed, mass_kg)
        elif isinstance(each, float):
            for solute, value in held.items():
                found[solute].append(value)
    return found


def in_order(log: Iterable[Entry]) -> list[Entry]:
    """Return a log in the order of time; of one moment settings first, results before what is done.

    A sample drawn at the minute of a dose shows the water before it.
    """
    order = {Setting: 0, Result: 1, Dose: 2, Blow: 3}
    return sorted(log, key=lambda each: (each.at_h, order[type(each)]))


def first_setting(entries: Sequence[Entry]) -> Setting:
    """Return the setting with which a log begins. Errors: ChemistryError no_setting."""
    if not entries or not isinstance(entries[0], Setting):
        raise ChemistryError(
            "no_setting",
            gettext_noop("The log must begin with the boiler's flows: steam, blowdown, feedwater."),
        )
    return entries[0]


def _hour(each: Entry | float) -> float:
    return each if isinstance(each, float) else each.at_h
