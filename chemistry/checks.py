"""Checks of the boiler that the law asks for, and the look of a sample: what each can show.

A check has an outcome in words. It has no number, no uncertainty and no limit, so it is never
judged: `did_not_work` speaks for itself.
"""

from dataclasses import dataclass

from chemistry.words import gettext_noop

WORKED, DID_NOT_WORK, NOT_DONE = "worked", "did_not_work", "not_done"
OIL_FILM = "oil_film"

OUTCOME_WORDS: dict[str, str] = {
    WORKED: gettext_noop("Worked"),
    DID_NOT_WORK: gettext_noop("Did not work"),
    NOT_DONE: gettext_noop("Not done"),
}
APPEARANCE_WORDS: dict[str, str] = {
    "clear": gettext_noop("Clear"),
    "cloudy": gettext_noop("Cloudy"),
    "colored": gettext_noop("Colored"),
    OIL_FILM: gettext_noop("Oil film or drops of oil"),
    "foaming": gettext_noop("Foaming"),
}
"""What a look at the water shows; it is not judged, but oil is a finding of the stop branch."""
ALL_OUTCOME_WORDS = {**OUTCOME_WORDS, **APPEARANCE_WORDS}
REASON_WORDS: dict[str, str] = {
    "not_steaming": gettext_noop("The boiler was not steaming"),
    "load": gettext_noop("The plant could not bear it at this load"),
    "unsafe": gettext_noop("It was not safe to do"),
    "repair": gettext_noop("The part is out for repair"),
    "no_one": gettext_noop("A second person was needed and not there"),
    "other": gettext_noop("Another reason, in your own words"),
}


@dataclass(frozen=True)
class Check:
    """Something checked: a key, a name to show, and whether the boiler must not run without it."""

    key: str
    name: str
    stops_boiler: bool


CHECKS: dict[str, Check] = {
    each.key: each
    for each in (
        Check("low_water_cutoff", gettext_noop("Low-water cutoff"), stops_boiler=True),
        Check(
            "low_water_cutoff_button",
            gettext_noop("Low-water cutoff, test button only"),
            stops_boiler=True,
        ),
        Check("gauge_glass", gettext_noop("Gauge glass"), stops_boiler=True),
        Check("water_column", gettext_noop("Water column"), stops_boiler=True),
        Check("bottom_blow", gettext_noop("Bottom blow"), stops_boiler=False),
        Check("safety_valve", gettext_noop("Safety valve"), stops_boiler=True),
        Check("appearance", gettext_noop("Look of the sample"), stops_boiler=False),
    )
}
