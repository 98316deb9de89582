"""A kept plan for a whole boiler water in the plant's units and in words."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.utils.translation import gettext as _

from chemistry import planner_words, units
from chemistry.planner_case import BOTTOM, CONTINUOUS, HEADER, SURFACE
from chemistry.planner_chemicals import PRODUCTS
from chemistry.verdict import SIDE_WORDS, Side
from chemistry.words import gettext_noop
from dashboards import words
from dashboards.build.plans import mass_words
from dashboards.build.results import analyte_name, result_view, verdict_view
from dashboards.screens.results import Figure, ResultView
from dashboards.screens.water_plan import DoseView, ExpectedView, WholePlanView
from records.models import Plant
from records.selectors.results import ResultStand

BLOWS: Mapping[str, str] = {
    SURFACE: gettext_noop("%(n)s surface blows of %(mass)s, one at a time"),
    BOTTOM: gettext_noop("%(n)s bottom blows of %(mass)s, one at a time"),
    HEADER: gettext_noop("%(n)s drains from the header of %(mass)s, one at a time"),
}
VALVES: Mapping[str, str] = {
    CONTINUOUS: gettext_noop("continuous valve"),
    SURFACE: gettext_noop("surface blow"),
    BOTTOM: gettext_noop("bottom blow"),
    HEADER: gettext_noop("header drain"),
}


def whole_plan_view(
    plant: Plant, plan: Mapping[str, Any], waters: Mapping[str, ResultStand]
) -> WholePlanView:
    """Return a kept plan as it is shown; `waters` are the results that it was worked out from."""
    retest = words.span(timedelta(minutes=float(plan["retest_after_min"])))
    return WholePlanView(
        headline=_headline(plant, plan),
        doses=tuple(_dose(plant, each) for each in plan["doses"]),
        steps=tuple(_(text) for text in plan["steps"]),
        expected=tuple(_expected(plant, each, waters) for each in plan["expected"]),
        figures=tuple(_figures(plant, plan)),
        retest_text=_("Test again after %(span)s.") % {"span": retest},
        clash=tuple(_clash(each) for each in plan["clash"]),
        left_out=tuple(f"{_thing(key)}: {_(why)}" for key, why in plan["left_out"]),
        assumptions=tuple(_(text) for text in plan["assumptions"]),
        source=plan["source"],
    )


def _headline(plant: Plant, plan: Mapping[str, Any]) -> str:
    valve = plan["valve"]
    if not valve:
        return _("No blowdown beyond what holds now")
    if valve != CONTINUOUS:
        told = {"n": plan["blows"], "mass": _mass(plant, plan["blow_kg"])}
        return _(BLOWS[valve]) % told
    return _("Continuous blowdown at %(flow)s for %(span)s") % {
        "flow": _flow(plant, plan["rate_kg_h"]),
        "span": words.span(timedelta(hours=float(plan["hours"]))),
    }


def _dose(plant: Plant, dose: Mapping[str, Any]) -> DoseView:
    portions, notes = int(dose["portions"]), []
    if portions > 1:
        notes.append(_("in %(n)s portions, with a test after each") % {"n": portions})
    if "measures" in dose:
        notes.append(_("%(n)s of the plant's measures") % {"n": dose["measures"]})
    product = _(PRODUCTS[dose["key"]].chemical.name)
    return DoseView(
        amount=mass_words(plant, float(dose["kg"])),
        product=f"{product}, {words.figure(float(dose['strength_percent']), 3)} %",
        entry=_(planner_words.ENTRIES[dose["entry"]]),
        note="; ".join(notes),
    )


def _expected(
    plant: Plant, expected: Mapping[str, Any], waters: Mapping[str, ResultStand]
) -> ExpectedView:
    stand = waters[expected["key"]]
    unit, limit = stand.result.unit, stand.verdict.limit
    shown = words.plant_unit(plant, unit)
    before = words.in_unit(stand.result.value, unit, shown)
    return ExpectedView(
        name=analyte_name(expected["key"]),
        before=f"{before} {words.unit_label(shown)}",
        after=_after(plant, expected, stand, limit),
    )


def _after(plant: Plant, expected: Mapping[str, Any], stand: ResultStand, limit: Any) -> ResultView:
    value, spread = float(expected["value"]), float(expected["expanded"])
    places = 2 if stand.result.unit == "pH" else 0 if value >= 100.0 else 1
    return result_view(
        plant,
        analyte=expected["key"],
        value=f"{value:.{places}f}",
        unit=stand.result.unit,
        expanded=f"{spread:.{places}f}",
        basis=stand.result.basis,
        verdict=verdict_view(_side(expected).value),
        limit=limit,
    )


def _side(expected: Mapping[str, Any]) -> Side:
    """Return the side on which a value is expected; it is reckoned in the limit's own unit."""
    value = float(expected["value"])
    if "high" in expected and value > float(expected["high"]):
        return Side.HIGH
    return Side.LOW if "low" in expected and value < float(expected["low"]) else Side.IN_RANGE


def _figures(plant: Plant, plan: Mapping[str, Any]) -> list[Figure]:
    figures = []
    if "hold_kg_h" in plan:
        held = _flow(plant, plan["hold_kg_h"])
        figures.append(Figure(label=_("Blowdown that then holds"), value=held))
    if "time_constant_h" in plan:
        span = words.span(timedelta(hours=float(plan["time_constant_h"])))
        note = _("after this long two thirds of the way are done")
        figures.append(Figure(label=_("Time constant of the boiler"), value=span, note=note))
    if plan["valve"]:
        figures.append(Figure(label=_("Extra water blown"), value=_mass(plant, plan["water_kg"])))
        heat = words.figure(float(plan["heat_kwh"]), 2)
        figures.append(Figure(label=_("Heat lost with it"), value=heat, unit="kWh"))
    return figures


def _clash(limits: list[list[str]]) -> str:
    named = [f"{analyte_name(key)} ({_(SIDE_WORDS[Side(side)]).lower()})" for key, side in limits]
    if len(named) == 1:
        return _("%(limit)s can't be kept by any of these means.") % {"limit": named[0]}
    return _("These limits can't be kept together: %(limits)s.") % {"limits": ", ".join(named)}


def _thing(key: str) -> str:
    return _(PRODUCTS[key].chemical.name) if key in PRODUCTS else _(VALVES[key]).capitalize()


def _flow(plant: Plant, kg_h: str) -> str:
    return _amount(plant, kg_h, "kg/h")


def _mass(plant: Plant, kg: str) -> str:
    return _amount(plant, kg, "kg")


def _amount(plant: Plant, value: str, unit: str) -> str:
    shown = words.plant_unit(plant, unit)
    return f"{words.figure(units.convert(float(value), unit, shown), 2)} {words.unit_label(shown)}"
