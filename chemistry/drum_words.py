"""The sentences of the drum's balance, all marked: what is told, assumed and warned of."""

from chemistry.words import gettext_noop

NOT_USED: dict[str, str] = {
    "not_mixed": gettext_noop(
        "The boiler was not steaming: its water does not mix, so this result says little of it and "
        "is not used."
    ),
}
"""Why a result was not used, by chemistry.drum_filter.Followed.not_used."""

RESPONSES: dict[str, str] = {
    "as_foretold": gettext_noop("The water changed as it must have."),
    "less": gettext_noop(
        "The water changed less than it must have: less was done than recorded, or something works "
        "against it."
    ),
    "more": gettext_noop("The water changed more than it must have."),
    "no_effect": gettext_noop(
        "The water is as if nothing had been done. Look whether the dose reached the drum and the "
        "valve passed; draw again."
    ),
    "wrong_way": gettext_noop(
        "The water changed the other way. Look for a leak, a mistaken chemical or a mistaken "
        "result; draw again."
    ),
    "cannot_tell": gettext_noop("Too small a change to be told from the tests' uncertainty."),
    "something_else": gettext_noop(
        "What was done could hardly show, yet the water changed: something else did that. Draw "
        "again."
    ),
}
"""By chemistry.drum_response.Response.code."""

HIDEOUT: dict[str, str] = {
    "hiding": gettext_noop(
        "Phosphate goes faster than blowdown takes it: it hides on the tubes, meets hardness, or "
        "less is dosed than recorded. Don't dose after it; call the chemist."
    ),
    "returning": gettext_noop(
        "More phosphate comes than is dosed: it comes back from the tubes, or more is dosed than "
        "recorded. Call the chemist."
    ),
}
"""By chemistry.drum_leaks.Watch.hideout."""

LEAK = gettext_noop(
    "%(fluid)s comes in, about %(rate)s kg/h. Call, and do as the plant's procedure says."
)
NO_LEAK = gettext_noop(
    "No leak shows. One of %(fluid)s below %(least)s kg/h would not show within a day."
)
SLOW = gettext_noop(
    "At this blowdown the boiler goes two thirds of its way in %(hours)s hours: a change of the "
    "valve takes that long to show."
)
LEAVES = gettext_noop(
    "If nothing is done, %(analyte)s leaves its range in about %(hours)s hours, perhaps in "
    "%(soonest)s."
)
STAYS = gettext_noop("If nothing is done, %(analyte)s stays in its range for %(hours)s hours.")
MAY_LEAVE = gettext_noop(
    "If nothing is done, %(analyte)s may leave its range in %(soonest)s hours; more likely it "
    "stays."
)

ASSUMPTIONS: tuple[str, ...] = (
    gettext_noop("The water is well mixed while the boiler steams, and its level is held."),
    gettext_noop("The steam carries nothing away."),
    gettext_noop("Steam, feedwater and dosing go on as last recorded."),
    gettext_noop(
        "True blowdown may be off the recorded one by a third, feed and dosing by a tenth; the "
        "results teach better."
    ),
)
CAUTIONS: tuple[str, ...] = (
    gettext_noop(
        "This is advice and orders nothing. The plant's procedures, local codes, the boiler "
        "maker's instructions and licensed practice come first."
    ),
    gettext_noop("A forecast never takes the place of a test that is due."),
    gettext_noop("Acid, seawater, hardness and oil come before any forecast: call at once."),
)
