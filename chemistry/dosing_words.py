"""The sentences of the dosing remedies: refusals, where a chemical may enter, cautions, what is
taken for granted; all marked. Handling is common practice, no source, except where one stands
beside a sentence."""

from chemistry.words import gettext_noop

SOURCE = (
    "Stoichiometry, IUPAC atomic weights (2021); NAVEDTRA 14075, Tables 7-2 to 7-4; UFC "
    "3-240-13FN (25 May 2005), 3-1.5 and Table 3-3; JCGM 100:2008"
)
MISSING_WORDS: dict[str, str] = {
    "chemical": gettext_noop("which chemical the plant doses"),
    "strength_percent": gettext_noop("how strong the chemical is"),
    "steam_kg_h": gettext_noop("the steam flow"),
    "feed_conductivity": gettext_noop("the conductivity of the feedwater"),
    "boiler_conductivity": gettext_noop("the conductivity of the boiler water"),
    "water_mass_kg": gettext_noop("how much water the boiler holds"),
    "next_test_h": gettext_noop("the hours until the next test"),
    "feed_oxygen": gettext_noop("the dissolved oxygen of the feedwater"),
}
"""What each key of `Refused.missing` is called."""

FIGURES_MISSING = gettext_noop("No dose can be worked out without: %(missing)s.")
STOP_FIGURES_MISSING = gettext_noop("No figure can be worked out without: %(missing)s.")
IMPOSSIBLE_FIGURE = gettext_noop(
    "One of the figures can't be right: a flow, mass, strength or value that is zero or negative, "
    "or boiler water no stronger than its feedwater. Have the chemist check them."
)
NOTHING_TO_DOSE = gettext_noop("The water is at or above its target: nothing is to be dosed.")
NOTHING_TO_LOWER = gettext_noop("The water is at or below its target: nothing is to be done.")
NOT_STEAMING = gettext_noop(
    "A dose is worked out for a steaming boiler only: in any other state the water does not mix as "
    "reckoned here. Follow the plant's own procedure."
)
OTHER_CHEMICAL = gettext_noop("This chemical does not raise what is low here.")
TOO_HOT_FOR_SULFITE = gettext_noop(
    "Sulfite breaks down in a boiler above 900 psig and gives off acid gases. It is not advised "
    "here; call the chemist."
)
ALKALI_NOT_SURE = gettext_noop(
    "No caustic is worked out while it is not sure that the program allows free caustic in this "
    "boiler. Ask the chemist."
)
NO_FREE_CAUSTIC = gettext_noop(
    "This program keeps free caustic out of the boiler, so caustic soda is not advised. A low "
    "alkalinity there is set right through the phosphate blend: call the chemist."
)
CONGRUENT = gettext_noop(
    "A congruent program holds the sodium-to-phosphate ratio, and one chemical alone would move "
    "it. The chemist decides on the blend."
)
PHOSPHATE_NOT_SURE = gettext_noop(
    "No phosphate is worked out while the kind of program is not known. Ask the chemist."
)
DISODIUM = gettext_noop(
    "Disodium phosphate takes up caustic and lowers the pH. In a program without free caustic that "
    "may leave the water too acid: the chemist decides."
)
RANGE_TOO_NARROW = gettext_noop(
    "The range is so narrow that no dose can promise to end inside it. Have the chemist look at "
    "target and limit."
)
DOSE_TOO_LARGE = gettext_noop(
    "The dose would be larger than is sane for this much water. Have the figures checked: target, "
    "water in the boiler, strength."
)
ALKALINITY_FEED = gettext_noop(
    "How fast alkalinity falls can't be reckoned from the blowdown: the makeup brings alkalinity "
    "of its own, and part of it leaves with the steam. Lower or stop the caustic feed as the "
    "plant's procedure says, test again within the hour, and call the chemist."
)
TOO_SLOW = gettext_noop(
    "With the feed stopped it would still take more than a day at the present blowdown. Stop or "
    "lower the feed as the plant's procedure says, and call the chemist before blowing down for "
    "it: blowdown takes everything else along."
)

WAYS: dict[str, str] = {
    "phosphate": gettext_noop(
        "Dissolved, through the chemical feed line into the drum. Not into feedwater that is hard "
        "or passes an economizer: it would settle there."
    ),
    "sulfite": gettext_noop(
        "Dissolved, into the storage of the deaerator or the feed line behind it. Never ahead of "
        "where water is taken to cool the steam."
    ),
    "alkalinity": gettext_noop(
        "Diluted, through the chemical feed line into the drum or the feed line, as the plant's "
        "procedure says. Never ahead of where water is taken to cool the steam."
    ),
}
"""Where a chemical may enter: common practice, no source."""

_COMMON = (
    gettext_noop(
        "This is advice. The plant's procedures, local codes, the makers' instructions and "
        "licensed practice come first."
    ),
    gettext_noop(
        "Never by hand into a drum under pressure, and never dry: only dissolved, through the "
        "feeder made for it."
    ),
    gettext_noop("Read the label and the safety data sheet: is this the chemical and strength?"),
)
_ALKALINE = (
    # US Navy training manual 14113: shield, gloves, apron, cold water, medical help, 80 °C
    gettext_noop(
        "Caustic and trisodium phosphate burn skin and blind eyes. Wear face shield, rubber gloves "
        "and rubber apron; know where eyewash and shower are. Flush with cold water; get medical "
        "help for eyes."
    ),
)
CAUTIONS: dict[str, tuple[str, ...]] = {
    "phosphate": (
        *_COMMON,
        *_ALKALINE,
        gettext_noop("Phosphate that keeps vanishing means hardness or hideout: call the chemist."),
    ),
    "sulfite": (
        *_COMMON,
        gettext_noop("Sulfite dust makes breathing hard, for asthmatics above all: raise none."),
        gettext_noop("Keep it from acid: together they give off a choking gas."),
        gettext_noop("Sulfite that keeps vanishing means oxygen: look at the deaerator."),
    ),
    "alkalinity": (
        *_COMMON,
        *_ALKALINE,
        gettext_noop(
            "Caustic boils up when it dissolves. Add caustic slowly to cold water while stirring, "
            "never water to caustic."
        ),
    ),
    "feed_stop": (
        _COMMON[0],
        gettext_noop("Blowdown water flashes and scalds. Wear the protection your plant asks for."),
        gettext_noop("Start the feed again when the target is reached, or the water goes too low."),
        gettext_noop("Blowdown takes everything else along: test the other treatment too."),
    ),
}
SULFITE_FROM_600 = gettext_noop(
    "Sulfite begins to break down from 600 psig on and gives off acid gases: watch the pH of the "
    "condensate."
)

ASSUMPTIONS: tuple[str, ...] = (
    gettext_noop("A liter of cooled sample weighs a kilogram; the boiler's water is well mixed."),
    gettext_noop("The water in the boiler is known to 10 %, the weighed product to 5 %."),
    gettext_noop("The blowdown is what the two conductivities and the steam flow imply."),
    gettext_noop("What the pump feeds now is left as it is until the retest."),
    gettext_noop("The feed that holds the target is the whole of it, what is fed now included."),
)
STOP_ASSUMPTIONS: tuple[str, ...] = (
    gettext_noop("A liter of cooled sample weighs a kilogram; the boiler's water is well mixed."),
    gettext_noop("Once the feed is stopped nothing more comes in with the feedwater."),
    gettext_noop("The blowdown is what the two conductivities and the steam flow imply."),
    gettext_noop("Flows and water mass are good to 10 %."),
)
HIDEOUT_RETURNS = gettext_noop(
    "Phosphate that rises as the load or the pressure falls comes back from hideout, and the pH "
    "may fall with it. As the load rises it hides again: call the chemist before treating."
)
OXYGEN_HELPS = gettext_noop("The feedwater's oxygen takes up sulfite too, so it may fall faster.")
