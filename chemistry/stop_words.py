"""The sentences of the stop branch, all marked: what a finding means, what first, whence the rule.

What to see to first: common practice, no source; the plant's own procedure decides.
"""

from chemistry.words import gettext_noop

NAMES: dict[str, str] = {
    "acid_shutdown": gettext_noop("Acid boiler water, pH below 8"),
    "acid": gettext_noop("Acid boiler water"),
    "low_ph": gettext_noop("Boiler pH below its limit"),
    "falling_ph": gettext_noop("Boiler pH falling"),
    "raw_water": gettext_noop("Sea or raw water has come in"),
    "hardness": gettext_noop("Hardness break-through"),
    "oil": gettext_noop("Oil in the water"),
}
MEANS: dict[str, str] = {
    "acid_shutdown": gettext_noop(
        "The water has no alkalinity left and its pH is below 8. It attacks the steel now, and "
        "tubes can fail soon after."
    ),
    "acid": gettext_noop(
        "The water has lost the alkalinity that protects the steel. A leaking condenser, acid from "
        "a demineralizer's regeneration, or a decomposing contaminant may be the cause."
    ),
    "low_ph": gettext_noop(
        "Below its limit the water protects the steel less and less, and it may go on falling."
    ),
    "falling_ph": gettext_noop(
        "Still in range, but draw after draw lower, by more than the tests can account for. "
        "Something uses up the alkalinity."
    ),
    "raw_water": gettext_noop(
        "Chloride, hardness and conductivity rise together. A condenser, cooler or heat exchanger "
        "leaks, or raw water bypasses its treatment. Sea water turns boiler water acid."
    ),
    "hardness": gettext_noop(
        "The softener is exhausted, a condenser or heat exchanger leaks, or raw water comes past. "
        "Hardness uses up the phosphate and bakes onto the tubes."
    ),
    "oil": gettext_noop(
        "Oil lays itself on the tubes, which then overheat, and makes the boiler foam and prime."
    ),
}
_CALL = gettext_noop("Call now. Do not wait for the second test, but draw for it at once.")
_SOURCE_OF = gettext_noop(
    "Find which water brings it: test condensate, makeup and feedwater, each by itself."
)
_ALKALI = gettext_noop(
    "Alkali, less load or securing the boiler: only as the plant's procedure and the person called "
    "say. No dose is worked out here."
)
_ISOLATE = gettext_noop(
    "Send suspect condensate or makeup to drain and isolate the leaking part, as the plant's "
    "procedure says."
)
FIRST: dict[str, tuple[str, ...]] = {
    "acid_shutdown": (
        _CALL,
        gettext_noop("Be ready to take the boiler off: published practice shuts down at once."),
        _ALKALI,
        _ISOLATE,
        _SOURCE_OF,
    ),
    "acid": (_CALL, _ALKALI, _ISOLATE, _SOURCE_OF),
    "low_ph": (_CALL, _ALKALI, _SOURCE_OF),
    "falling_ph": (
        _CALL,
        gettext_noop("Test pH and alkalinity every half hour until it is known why."),
        _SOURCE_OF,
    ),
    "raw_water": (_CALL, _ISOLATE, _ALKALI, _SOURCE_OF),
    "hardness": (
        _CALL,
        gettext_noop("Change over or regenerate the softener, as the plant's procedure says."),
        _ISOLATE,
        gettext_noop(
            "Keep up the phosphate and the bottom blow only as the plant's procedure says: no dose "
            "is worked out here."
        ),
        _SOURCE_OF,
    ),
    "oil": (
        _CALL,
        _ISOLATE,
        gettext_noop("Watch the gauge glass for foaming; less load if the procedure says so."),
        gettext_noop(
            "Oil floats: surface blow and securing the boiler only as the plant's procedure says."
        ),
        _SOURCE_OF,
    ),
}
SOURCES: dict[str, str] = {
    "acid_shutdown": "EPRI cycle-chemistry guidelines, from memory; IUPAC Gold Book, 09038 (1997)",
    "acid": "IUPAC Gold Book, 09038 (1997); common practice, no source",
    "low_ph": "the limit in force; common practice, no source",
    "falling_ph": "rule of our own",
    "raw_water": "rule of our own",
    "hardness": "the limit in force; without one EN 12953-10:2003, Table 5-1, in a secondary copy",
    "oil": "common practice, no source",
}
CAUTIONS: tuple[str, ...] = (
    gettext_noop(
        "This is advice and orders nothing. The plant's procedures, local codes, the boiler "
        "maker's instructions and licensed practice come first."
    ),
    gettext_noop("No ordinary remedy is offered for this boiler while this stands."),
)
