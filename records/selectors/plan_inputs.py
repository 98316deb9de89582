"""What is asked for beside a plan for a whole boiler water, and the last answers to it."""

import json
from collections.abc import Mapping
from typing import Any

from chemistry.planner_case import STEAMING
from chemistry.planner_chemicals import ACID, CAUSTIC, PRODUCTS, SULFITE, TRISODIUM
from chemistry.words import gettext_noop
from records.models import Boiler, Remedy, Result, Sample
from records.selectors.follow_ups import remedies_of
from records.selectors.remedy_inputs import ASKED, Asked

# The kind under which a plan for all of it is kept.
WHOLE = "whole"
NONE = "none"
YES, NO = "yes", "no"
_NOT_STOCKED = (NONE, gettext_noop("none in stock"))
_YES_NO = ((YES, gettext_noop("yes")), (NO, gettext_noop("no")))


def _products(*kinds: str) -> tuple[tuple[str, str], ...]:
    return tuple((key, each.chemical.name) for key, each in PRODUCTS.items() if each.kind in kinds)


def _strength(key: str, label: str) -> Asked:
    return Asked(
        key=key,
        label=label,
        unit="percent",
        units=("percent",),
        low=0.1,
        high=100.0,
        required=False,
        help=gettext_noop("By weight, as the label states it."),
    )


def _mass(key: str, label: str, help: str = "") -> Asked:
    return Asked(
        key=key,
        label=label,
        unit="kg",
        units=("lb", "kg"),
        low=1.0,
        high=200_000.0,
        required=False,
        help=help,
    )


PLAN_ASKED: dict[str, Asked] = {
    each.key: each
    for each in (
        ASKED["steam_flow"],
        ASKED["feed_conductivity"],
        Asked(
            key="feed_alkalinity",
            label=gettext_noop("Feedwater M alkalinity, as CaCO3"),
            unit="mg/L",
            units=("mg/L",),
            low=0.0,
            high=2000.0,
            help=gettext_noop("It turns to caustic in the boiler. Zero for condensate alone."),
        ),
        ASKED["makeup_temperature"],
        ASKED["program"],
        Asked(
            key="food",
            label=gettext_noop("Does steam touch food, patients or the air people breathe?"),
            choices=_YES_NO,
        ),
        Asked(
            key="phosphate_product",
            label=gettext_noop("Phosphate in stock"),
            choices=(_NOT_STOCKED, *_products(TRISODIUM, ACID)),
        ),
        _strength("phosphate_strength", gettext_noop("Its strength")),
        Asked(
            key="caustic_product",
            label=gettext_noop("Caustic soda in stock"),
            choices=(_NOT_STOCKED, *_products(CAUSTIC)),
        ),
        _strength("caustic_strength", gettext_noop("Its strength")),
        Asked(
            key="sulfite_product",
            label=gettext_noop("Sulfite in stock"),
            choices=(_NOT_STOCKED, *_products(SULFITE)),
        ),
        _strength("sulfite_strength", gettext_noop("Its strength")),
        Asked(
            key="mixed",
            label=gettext_noop("Had the banked boiler's water mixed when it was drawn?"),
            choices=_YES_NO,
        ),
        Asked(key="fired", label=gettext_noop("Is the boiler being fired?"), choices=_YES_NO),
        _mass(
            "level_span",
            gettext_noop("Water between the highest and the lowest level allowed"),
            gettext_noop("Without it no blow of a banked boiler is worked out."),
        ),
        _mass("tank", gettext_noop("What the blowoff tank takes at a time")),
        Asked(
            key="tank_recovery",
            label=gettext_noop("Hours the tank then needs"),
            unit="h",
            units=("h",),
            low=0.0,
            high=24.0,
            required=False,
        ),
    )
}
_STEAMING_ONLY = frozenset({"steam_flow"})
_BANKED_ONLY = frozenset({"mixed", "fired", "level_span", "tank", "tank_recovery"})
PRODUCT_KEYS = ("phosphate", "caustic", "sulfite")


def plan_asks(state: str) -> tuple[str, ...]:
    """Return what is asked for in a state of the boiler."""
    without = _BANKED_ONLY if state == STEAMING else _STEAMING_ONLY
    return tuple(key for key in PLAN_ASKED if key not in without)


def plans_of(remedies: list[Remedy]) -> list[Remedy]:
    """Return the plans for all of a sample among what was worked out for it."""
    return [each for each in remedies if each.kind == WHOLE]


def remedy_behind(sample: Sample, result: Result | None) -> Remedy | None:
    """Return the advice behind what is done about a result: its own newest, else the plan for all
    of the sample."""
    if result is None:
        return None
    given = [each for each in remedies_of(sample) if not each.refusal]
    own = [each for each in given if each.kind != WHOLE and each.result_id == result.pk]
    return next(iter([*own, *plans_of(given)]), None)


def last_typed(boiler: Boiler) -> Mapping[str, Any]:
    """Return what was typed for the boiler's last plan, by field; units under "key.unit"."""
    last = (
        Remedy.objects.filter(
            plant=boiler.plant_id, kind=WHOLE, sample__sample_point__boiler=boiler
        )
        .order_by("-at", "-id")
        .first()
    )
    if last is None:
        return {}
    kept = json.loads(last.inputs)
    return {**kept["typed"], **{f"{key}.unit": unit for key, unit in kept["units"].items()}}
