"""The sentences of the blowdown remedy: refusals, cautions and assumptions, all marked."""

from chemistry.words import gettext_noop

SOURCE = (
    "UFC 3-240-13FN (25 May 2005), 3-1.5; TM 5-650 (October 1989), App. D; IAPWS R7-97(2012); JCGM "
    "100:2008"
)

MISSING_WORDS: dict[str, str] = {
    "feed": gettext_noop("the conductivity of the feedwater"),
    "steam_kg_h": gettext_noop("the steam flow"),
    "water_mass_kg": gettext_noop("how much water the boiler holds"),
    "gauge_kpa": gettext_noop("the drum pressure"),
    "valve": gettext_noop("what the continuous valve passes, or what one bottom blow takes"),
}
"""What each key of `Refused.missing` is called."""

FIGURES_MISSING = gettext_noop("No blowdown can be worked out without: %(missing)s.")
IMPOSSIBLE_FIGURE = gettext_noop(
    "One of the figures for this boiler can't be right: a flow, mass or value that is zero, "
    "negative or outside the steam tables, or a target above the limit. Have the chemist check "
    "them."
)
NOTHING_TO_DO = gettext_noop(
    "The boiler water is at or below its target: no extra blowdown is needed."
)
FAR_OFF = gettext_noop(
    "The reading is more than three times the limit. That is not ordinary concentrating: priming, "
    "a leak or a contaminated feed may be the cause. Draw again to confirm, call the chemist, and "
    "follow the plant's procedure."
)
FEED_TOO_STRONG = gettext_noop(
    "The feedwater itself is nearly as strong as the target, so blowdown can't bring the boiler "
    "there. Check makeup treatment and condensate, and call the chemist."
)
VALVE_TOO_SMALL = gettext_noop(
    "The valve is too small: even fully open it would not reach the target within 24 hours. Call "
    "the chemist or the supervisor; a lower steam load or another valve may be needed."
)
BLOW_TOO_LARGE = gettext_noop(
    "One bottom blow as stated would take more than a tenth of the boiler's water. Have the figure "
    "checked before any blow is planned with it."
)
TOO_MANY_BLOWS = gettext_noop(
    "More than twelve bottom blows in a row would be needed. Call the chemist or the supervisor."
)
TARGET_TOO_NEAR_LIMIT = gettext_noop(
    "The target lies so near the limit that no plan can promise to end inside it. Have the chemist "
    "lower the target."
)
NOT_STEAMING: dict[str, str] = {
    "banked": gettext_noop(
        "The boiler is banked: its water does not mix, so neither the reading nor a blowdown can "
        "be trusted. Test again when it steams."
    ),
    "": gettext_noop(
        "Blowdown is advised for a steaming boiler only. In this state follow the plant's own "
        "procedure."
    ),
}
"""By boiler state; the empty key stands for every state without a sentence of its own."""

_COMMON = (
    gettext_noop(
        "This is advice. The plant's procedures, local codes, the boiler maker's instructions and "
        "licensed practice come first."
    ),
    gettext_noop("Blowdown water flashes and scalds. Wear the protection your plant asks for."),
    # 60 °C: Ohio Administrative Code 4101:4-4-04 (2013); local code may differ
    gettext_noop(
        "Blow only to the blowoff tank or another approved drain; water to a building drain stays "
        "at 140 °F (60 °C) or less."
    ),
    gettext_noop("Watch the gauge glass all the time, and know that the feed pump keeps up."),
    gettext_noop(
        "Blowdown takes phosphate, sulfite and alkalinity along: test them with the retest, and "
        "keep up their feed as the plant's procedure says."
    ),
    gettext_noop(
        "Test at least once a shift until the water is back, and sooner if anything looks odd."
    ),
)
CAUTIONS: dict[str, tuple[str, ...]] = {
    "continuous": (
        *_COMMON,
        gettext_noop(
            "Open the continuous valve slowly and set it back when the retest is in range."
        ),
    ),
    "bottom": (
        *_COMMON,
        gettext_noop("Never leave the valve while it is open."),
        gettext_noop(
            "Blow from the bottom only as the plant's procedure and the present load allow."
        ),
        gettext_noop("Never blow down a waterwall header while firing."),
        gettext_noop("Let the level and the water recover for half an hour between blows."),
    ),
}
"""By valve: common practice, no source, except where one stands beside the sentence."""

_ASSUMED = (
    gettext_noop(
        "Conductivity at 25 °C stands in for the dissolved solids and adds up as they do; "
        "feedwater and boiler water are on one basis."
    ),
    gettext_noop(
        "Steam load, feedwater and water level stay as they are; the water is well mixed."
    ),
    gettext_noop("The steam carries nothing away."),
    gettext_noop("Flows, water mass and feedwater are good to 10 %."),
)
ASSUMPTIONS: dict[str, tuple[str, ...]] = {
    "continuous": (*_ASSUMED, gettext_noop("The present blowdown is what the reading implies.")),
    "bottom": (*_ASSUMED, gettext_noop("Nothing else is blown down between the bottom blows.")),
}
