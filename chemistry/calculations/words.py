"""Sentences that several calculations say."""

from chemistry.words import gettext_noop

ANY_DILUTE_WATER = gettext_noop(
    "Waters from 0 to 60 °C up to about 1 mol/kg of ionic strength, in a closed vessel, with "
    "nothing in them that is not asked for here."
)
ONE_KIND = gettext_noop(
    "Type conductivity or chloride, all of them of one kind and in one unit, by the same test."
)
BLOWING_DOWN = (
    gettext_noop("Hot water and steam burst from a blowdown line: stand clear of its outlet."),
    gettext_noop("Watch the gauge glass, and never blow down a header or water wall while fired."),
    gettext_noop("The plant's own procedure and the boiler maker's instructions come first."),
)
DOSING = (
    gettext_noop("Read the label and the safety sheet; wear eye protection, gloves and an apron."),
    gettext_noop(
        "Put the chemical into water, a little at a time: water poured on caustic soda boils up."
    ),
    gettext_noop(
        "A dose is for your own procedure and program to allow. Test again after it has mixed."
    ),
)
