"""The sentences of the ingress analysis, all marked: what may have got in, and what to look at.

Where to look first: common practice, no source; the plant's own procedure decides.
"""

from chemistry.words import gettext_noop

KINDS: dict[str, str] = {
    "seawater": gettext_noop("Seawater"),
    "cooling_water": gettext_noop("Cooling water"),
    "raw_water": gettext_noop("Raw or well water"),
    "softener_brine": gettext_noop("Softener brine"),
    "caustic": gettext_noop("Caustic, as from a demineralizer's regeneration"),
    "acid": gettext_noop("Acid, as from a demineralizer's regeneration"),
    "overdose": gettext_noop("More of a treatment chemical than usual"),
    "little_blowdown": gettext_noop("Too little blowdown"),
    "hideout_return": gettext_noop("Salts back from hideout"),
}
"""What a source's kind is called."""

LOOK_AT: dict[str, str] = {
    "seawater": gettext_noop(
        "Test each condensate by itself, the condenser's hotwell first: cation conductivity, "
        "sodium, chloride."
    ),
    "cooling_water": gettext_noop(
        "Test the condensate of each condenser and cooler by itself: hardness, conductivity."
    ),
    "raw_water": gettext_noop(
        "Test makeup after the softener or demineralizer: hardness, conductivity. Look for an open "
        "bypass."
    ),
    "softener_brine": gettext_noop(
        "Look when the softener was last regenerated, and whether its rinse was full and its brine "
        "valve is shut."
    ),
    "caustic": gettext_noop(
        "Test makeup after the demineralizer: pH, conductivity, sodium. Look when the anion bed "
        "was last regenerated, and whether its caustic valve is shut."
    ),
    "acid": gettext_noop(
        "Test makeup after the demineralizer: pH, conductivity. Look when the cation bed was last "
        "regenerated, and whether its acid valve is shut."
    ),
    "overdose": gettext_noop(
        "Hold the chemical tank's level and the pump's stroke against the log; ask who dosed by "
        "hand."
    ),
    "little_blowdown": gettext_noop(
        "Look at the blowdown valve's setting and whether water really passes; hold steam and "
        "makeup against the log."
    ),
    "hideout_return": gettext_noop(
        "Look whether load or pressure fell in the hours before. What comes back goes again when "
        "the load rises."
    ),
}
"""By kind, where to look first."""

VERDICTS: dict[str, str] = {
    "explained": gettext_noop("One explanation stands out."),
    "several": gettext_noop("More than one explanation fits; these results can't tell them apart."),
    "no_change": gettext_noop("The tests' own uncertainty explains the change: nothing needs to."),
    "unexplained": gettext_noop(
        "None of the waters known here explains this change. Something else got in, or a result is "
        "wrong: draw and test again."
    ),
}
"""By chemistry.ingress.Analysis.code."""

NO_TEST_TELLS = gettext_noop(
    "None of the bench tests here tells these explanations apart: look at the places named."
)
UNSEEN = gettext_noop("These results can't show: %(sources)s.")
TWO = gettext_noop("%(first)s and %(second)s")

ASSUMPTIONS: tuple[str, ...] = (
    gettext_noop("What gets in adds up with what was there; the water was well mixed when drawn."),
    gettext_noop("Only the waters that the plant has described are weighed, at most two at once."),
    gettext_noop(
        "In boiler water calcium falls out with phosphate while there is some, and magnesium as "
        "hydroxide."
    ),
    gettext_noop("Amounts are kilograms that got in for each kilogram of the water there."),
)
CAUTIONS: tuple[str, ...] = (
    gettext_noop(
        "This is advice and orders nothing. The plant's procedures, local codes, the boiler "
        "maker's instructions and licensed practice come first."
    ),
    gettext_noop(
        "Acid, seawater, hardness and oil in boiler water come before any explanation: call, and "
        "do as the plant's procedure says, at once."
    ),
    gettext_noop("Sample water scalds: cool it, and wear the protection your plant asks for."),
)
