"""The sentences of the remedy planner: refusals, steps, cautions, what is taken for granted; all
marked. Handling is common practice, no source, except where one stands beside a sentence."""

from collections.abc import Mapping

from chemistry import dosing_words, remedy_words
from chemistry.words import gettext_noop

SOURCE = (
    "Charge balance with the constants of equilibria.csv; UFC 3-240-13FN (25 May 2005), 3-1.5 and "
    "Table 3-3; IAPWS R7-97(2012); IUPAC atomic weights (2021); JCGM 100:2008"
)
MISSING_WORDS: Mapping[str, str] = {
    "water_mass_kg": gettext_noop("how much water the boiler holds"),
    "feed": gettext_noop("what the feedwater holds"),
    "gauge_kpa": gettext_noop("the drum pressure"),
    "steam_kg_h": gettext_noop("the steam flow"),
    "mixed": gettext_noop("whether the sample was drawn from water that had mixed"),
    "fired": gettext_noop("whether the boiler is being fired"),
    "valve": gettext_noop("what the blowdown valves pass, or what one blow takes"),
    "ph": gettext_noop("the pH or P alkalinity of the boiler water, and its range"),
    "phosphate": gettext_noop("the phosphate of the boiler water"),
    "conductivity": gettext_noop("the conductivity of the boiler water, and its range"),
}
"""What each key of `Refused.missing` is called."""

FIGURES_MISSING = gettext_noop("No plan can be worked out without: %(missing)s.")
IMPOSSIBLE_FIGURE = gettext_noop(
    "One of the figures can't be right: a flow, mass, strength or value that is zero or negative, "
    "a range without ends, or a target outside its range. Have the chemist check them."
)
STOP_FIRST = gettext_noop(
    "No plan is worked out for this water. %(label)s Follow the plant's procedure first."
)
OTHER_STATE = gettext_noop(
    "A plan is worked out for a steaming or a banked boiler. In this state follow the plant's own "
    "procedure."
)
NOT_PLANNED_FOR = gettext_noop("No plan can be worked out for: %(names)s.")
NOT_MIXED = gettext_noop(
    "The sample was drawn from a banked boiler whose water had not mixed, so it says little of the "
    "whole. Draw again when the water has mixed."
)
HARD_WATER = gettext_noop(
    "The boiler water holds hardness, which no plan here reckons with. Call the chemist."
)
NOTHING_TO_DO = gettext_noop("Every result is in its range: nothing is to be done.")
NO_PLAN = gettext_noop("No plan was found for these figures. Call the chemist.")
FAR_OFF = remedy_words.FAR_OFF
READINGS_DISAGREE = gettext_noop(
    "pH, conductivity and the other results don't describe one water. Check the instruments and "
    "draw again before anything is done to the boiler."
)

# Why a chemical is left out.
NO_HYDRAZINE = gettext_noop("Steam touches food here: hydrazine must not be used.")
FOOD_AMINE = gettext_noop(
    "Steam touches food here: amines are capped by law and are no remedy for boiler water."
)
NOT_DOSED_HERE = gettext_noop("This chemical is no remedy for boiler water.")
TOO_HOT_FOR_SULFITE = dosing_words.TOO_HOT_FOR_SULFITE
PROGRAM_NOT_KNOWN = gettext_noop(
    "Nothing alkaline and no phosphate is planned while the kind of program is not known."
)
NOT_NAMED_BY_PROGRAM = gettext_noop("The program does not name this chemical.")
NO_RATIO = gettext_noop(
    "The program keeps free caustic out, so this chemical is planned only where it gives a range "
    "for the sodium-to-phosphate ratio."
)
AHEAD_OF_SPRAY = gettext_noop(
    "The spray that cools the steam is taken from the feedwater, and nothing solid may enter ahead "
    "of it. There is no feed line into the drum for this chemical."
)
NO_WAY_IN = gettext_noop("The plant has no feed point that suits this chemical.")

# Why a valve is left out.
HEADER_FIRED = gettext_noop("A waterwall header is never blown down while the boiler is fired.")
CONTINUOUS_BANKED = gettext_noop(
    "The continuous valve draws from one spot of a banked boiler, whose water does not mix."
)
VALVE_NOT_KNOWN = gettext_noop("It is not known what this valve passes.")
LEVEL_OR_TANK_NOT_KNOWN = gettext_noop(
    "It is not known how far the level may fall or how much the blowoff tank takes."
)
LOAD_NOT_KNOWN = gettext_noop(
    "It is not known at which load the plant's procedure allows a bottom blow, or what the load is."
)
LOAD_TOO_HIGH = gettext_noop("The load is above that at which a bottom blow is allowed.")

# What is done, in this order.
STEPS: Mapping[str, str] = {
    "continuous": gettext_noop(
        "Open the continuous valve to the rate given, for the hours given, then set it to the rate "
        "that holds."
    ),
    "surface": gettext_noop("Blow from the surface as often and as much as given."),
    "bottom": gettext_noop("Blow from the bottom as often and as much as given."),
    "header": gettext_noop("Drain from the header as often and as much as given."),
    "refill": gettext_noop("Let the feedwater make the level good after each blow."),
    "mix": gettext_noop(
        "Let the water mix: a banked boiler mixes only when it steams or is circulated."
    ),
    "trisodium": gettext_noop("Feed the trisodium phosphate."),
    "acid_phosphate": gettext_noop("Feed the di- or monosodium phosphate."),
    "caustic": gettext_noop("Feed the caustic soda."),
    "sulfite": gettext_noop("Feed the sulfite, apart from the others."),
    "portions": gettext_noop("Feed in the portions given, with a test after each."),
    "retest": gettext_noop("Draw again after the time given and test everything planned for."),
}
ENTRIES: Mapping[str, str] = {
    "drum": gettext_noop("dissolved, through the chemical feed line into the drum"),
    "feed_line": gettext_noop("dissolved, into the feed line behind the deaerator"),
    "deaerator": gettext_noop("dissolved, into the storage of the deaerator"),
}
"""Where a chemical enters: common practice, no source."""

BLOWING: Mapping[str, tuple[str, ...]] = {
    "continuous": remedy_words.CAUTIONS["continuous"],
    "surface": remedy_words.CAUTIONS["continuous"][:-1],
    "bottom": remedy_words.CAUTIONS["bottom"],
    "header": remedy_words.CAUTIONS["bottom"],
}


def _handling(kind: str) -> tuple[str, ...]:
    """Return the cautions of a dose without their first: a plan says once that it is advice."""
    return dosing_words.CAUTIONS[kind][1:]


DOSING: Mapping[str, tuple[str, ...]] = {
    "trisodium": _handling("phosphate"),
    "acid_phosphate": (
        *_handling("phosphate"),
        gettext_noop(
            "Di- and monosodium phosphate lower the pH: never feed them without the test beside."
        ),
    ),
    "caustic": _handling("alkalinity"),
    "sulfite": _handling("sulfite"),
}
SULFITE_FROM_600 = dosing_words.SULFITE_FROM_600
ADVICE = remedy_words.CAUTIONS["continuous"][0]
BANKED_LEVEL = gettext_noop(
    "Before a banked boiler is blown: is there pressure to drive it, a pump to refill it, and "
    "someone at the glass? Never let the level out of sight."
)
NEAREST_ONLY = gettext_noop(
    "This plan does not bring everything into range: the limits named clash. It is the nearest, to "
    "be talked over with the chemist before anything is done."
)
FEED_OFF_FIRST = gettext_noop(
    "Something that is dosed is too high: see first whether its feed can be lowered or stopped. "
    "The plan reckons with the feed as it is."
)
FOOD_STEAM = gettext_noop("Steam touches food here: use only chemicals that are permitted for it.")
ASSUMPTIONS: tuple[str, ...] = (
    gettext_noop(
        "What conductivity and pH show beyond the tested ions is taken as sodium sulfate and "
        "caustic."
    ),
    gettext_noop("A liter of cooled sample weighs a kilogram; the boiler's water is well mixed."),
    gettext_noop("Steam load, feedwater and what the pumps feed now stay as they are."),
    gettext_noop("The steam carries nothing away; nothing hides out."),
    gettext_noop("Flows, water mass and feedwater are good to 10 %, the weighed product to 5 %."),
    gettext_noop("The doses are fed at the end of the swap."),
)
