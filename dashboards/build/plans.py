"""A kept plan in the plant's units: headline, steps, figures, the water expected afterwards."""

from abc import ABC, abstractmethod
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.utils.translation import gettext as _

from chemistry import units
from chemistry.dosing import CHEMICALS
from chemistry.verdict import Side
from dashboards import words
from dashboards.build.results import result_view, verdict_view
from dashboards.screens.results import Figure, ResultView
from dashboards.screens.sample import RemedyPlanView
from records.models import Plant
from records.selectors.results import ResultStand

OUNCES = 16


def plan_view(plant: Plant, kind: str, plan: dict[str, Any], stand: ResultStand) -> RemedyPlanView:
    """Return a kept plan of any kind as it is shown."""
    said = WORDS.get(kind, _DoseWords)(plant, plan)
    retest = words.span(timedelta(minutes=float(plan["retest_after_min"])))
    return RemedyPlanView(
        headline=said.headline(),
        steps=tuple(said.steps()),
        figures=tuple(said.figures()),
        predicted=_predicted(plant, plan, stand),
        retest_text=_("Test again after %(span)s.") % {"span": retest},
        assumptions=tuple(_(text) for text in plan["assumptions"]),
        source=plan["source"],
    )


def _predicted(plant: Plant, plan: dict[str, Any], stand: ResultStand) -> ResultView:
    """Return the expected water beside its range; it is reckoned, so it is judged by the limit."""
    value, limit = float(plan["predicted"]), stand.verdict.limit
    places = 0 if value >= 100.0 else 1
    return result_view(
        plant,
        analyte=stand.result.analyte,
        value=f"{value:.{places}f}",
        unit=stand.result.unit,
        expanded=f"{float(plan['predicted_expanded']):.{places}f}",
        basis=stand.result.basis,
        verdict=verdict_view(_side(plan, stand).value),
        limit=limit,
    )


def _side(plan: dict[str, Any], stand: ResultStand) -> Side:
    """Return the side on which the expected value lies: a first step of several stays outside."""
    limit, value = stand.verdict.limit, float(plan["predicted"])
    if limit is None:
        return Side.NOT_JUDGED
    low, high = (
        units.convert(float(text), limit.unit, stand.result.unit) if text else None
        for text in (limit.low, limit.high)
    )
    if high is not None and value > high:
        return Side.HIGH
    return Side.LOW if low is not None and value < low else Side.IN_RANGE


def mass_words(plant: Plant, kg: float, *, per_hour: bool = False) -> str:
    """Return a small mass in grams or kilograms, and in pounds and ounces where the plant weighs
    so."""
    metric = f"{words.figure(kg, 3)} kg" if kg * 1000.0 >= 10_000.0 else f"{_grams(kg)} g"
    end = "/h" if per_hour else ""
    if not plant.mass_flow_unit.startswith(("lb", "klb")):
        return metric + end
    ounces = units.convert(kg, "kg", "lb") * OUNCES
    pounds, rest = divmod(round(ounces, 1), OUNCES)
    told = f"{pounds:.0f} lb {rest:.1f} oz" if pounds else f"{words.figure(ounces, 2)} oz"
    return f"{metric}{end} ({told}{end})"


def _grams(kg: float) -> str:
    return words.figure(kg * 1000.0, 3)


class _Words(ABC):
    """A plan's sentences in the plant's units."""

    def __init__(self, plant: Plant, plan: dict[str, Any]) -> None:
        self._plant, self._plan = plant, plan

    def number(self, key: str) -> float:
        return float(self._plan[key])

    def amount(self, key: str, unit: str) -> str:
        """Return one figure of the plan in the plant's unit, two digits."""
        shown = words.plant_unit(self._plant, unit)
        return words.figure(units.convert(self.number(key), unit, shown), 2)

    def unit(self, unit: str) -> str:
        return words.unit_label(words.plant_unit(self._plant, unit))

    def flow(self, key: str) -> str:
        return f"{self.amount(key, 'kg/h')} {self.unit('kg/h')}"

    def span(self, key: str) -> str:
        return words.span(timedelta(hours=self.number(key)))

    @abstractmethod
    def headline(self) -> str: ...

    @abstractmethod
    def steps(self) -> list[str]: ...

    @abstractmethod
    def figures(self) -> list[Figure]: ...


class _BlowdownWords(_Words):
    def headline(self) -> str:
        if self._plan["valve"] == "bottom":
            return _("%(n)s bottom blows, one at a time") % {"n": self._plan["blows"]}
        return _("Continuous (surface) blowdown at %(flow)s for %(span)s") % {
            "flow": self.flow("raise_to_kg_h"),
            "span": self.span("hours"),
        }

    def steps(self) -> list[str]:
        if self._plan["valve"] == "bottom":
            return [
                _("Blow %(n)s times as your procedure says; let the level recover in between.")
                % {"n": self._plan["blows"]},
                _("Never blow a waterwall header while firing."),
            ]
        return [
            _("Open the continuous blowdown valve to about %(flow)s.")
            % {"flow": self.flow("raise_to_kg_h")},
            _("After %(span)s set it back to about %(flow)s, which holds the target at this load.")
            % {"span": self.span("hours"), "flow": self.flow("hold_kg_h")},
        ]

    def figures(self) -> list[Figure]:
        flow, mass = self.unit("kg/h"), self.unit("kg")
        percent = words.figure(self.number("percent_of_feedwater"), 2)
        now = words.figure(self.number("cycles_now"))
        return [
            Figure(
                label=_("Extra water blown"), value=self.amount("extra_water_kg", "kg"), unit=mass
            ),
            Figure(
                label=_("Blowdown now, by balance"),
                value=self.amount("present_kg_h", "kg/h"),
                unit=flow,
            ),
            Figure(
                label=_("Blowdown at the target"),
                value=self.amount("hold_kg_h", "kg/h"),
                unit=flow,
                note=_("%(percent)s %% of feedwater") % {"percent": percent},
            ),
            Figure(
                label=_("Cycles of concentration"),
                value=words.figure(self.number("cycles_target")),
                note=_("now %(now)s") % {"now": now},
            ),
            Figure(
                label=_("Heat lost with the extra water"),
                value=words.figure(self.number("heat_lost_kwh"), 2),
                unit="kWh",
            ),
        ]


class _DoseWords(_Words):
    def _mass(self, key: str, *, per_hour: bool = False) -> str:
        return mass_words(self._plant, self.number(key), per_hour=per_hour)

    def headline(self) -> str:
        product = _(CHEMICALS[self._plan["chemical"]].name)
        strength = words.figure(self.number("strength_percent"), 3)
        told = _("%(mass)s of %(product)s, %(strength)s %%") % {
            "mass": self._mass("dose_kg"),
            "product": product,
            "strength": strength,
        }
        doses = int(self._plan["doses"])
        return told + _(": the first of %(n)s steps") % {"n": doses} if doses > 1 else told

    def steps(self) -> list[str]:
        steps = [
            _("Weigh %(mass)s and dissolve it in the feeder as the plant's procedure says.")
            % {"mass": self._mass("dose_kg")},
            _(self._plan["way"]),
        ]
        if int(self._plan["doses"]) > 1:
            steps.append(_("Test again before the next step, and work it out anew from that test."))
        held = (
            _("Once the target is reached, a feed of about %(rate)s in all holds it.")
            if int(self._plan["doses"]) > 1
            else _("Then see that the pump feeds about %(rate)s in all, which holds the target.")
        )
        steps.append(held % {"rate": self._mass("hold_kg_h", per_hour=True)})
        return steps

    def figures(self) -> list[Figure]:
        figures = [
            Figure(label=_("Blowdown now, by balance"), value=self.flow("blowdown_kg_h")),
            Figure(
                label=_("Feed until the next test"),
                value=self._mass("until_next_kg"),
                note=_("%(span)s") % {"span": self.span("next_test_h")},
            ),
        ]
        if self.number("oxygen_kg_h") > 0.0:
            figures.append(
                Figure(
                    label=_("Of it for the feedwater's oxygen"),
                    value=self._mass("oxygen_kg_h", per_hour=True),
                )
            )
        if self._plan["analyte"] == "phosphate":
            change = words.figure(self.number("alkalinity_change"), 2)
            figures.append(
                Figure(label=_("P alkalinity rises by"), value=change, unit=_("mg/L as CaCO3"))
            )
        return figures


class _FeedStopWords(_Words):
    def headline(self) -> str:
        return _("Stop or lower the feed for about %(span)s") % {"span": self.span("hours")}

    def steps(self) -> list[str]:
        steps = [
            _("Stop or lower the feed of this chemical as the plant's procedure says."),
            _("Leave the blowdown where it is: at %(flow)s it carries the excess off by itself.")
            % {"flow": self.flow("blowdown_kg_h")},
        ]
        if "hours_open" in self._plan:
            steps.append(
                _(
                    "Only where the procedure asks for it sooner: at %(flow)s it would take about "
                    "%(span)s, and everything else falls with it."
                )
                % {"flow": self.flow("open_kg_h"), "span": self.span("hours_open")}
            )
        steps.append(_("Start the feed again when a test shows the target."))
        return steps

    def figures(self) -> list[Figure]:
        return [
            Figure(label=_("Blowdown now, by balance"), value=self.flow("blowdown_kg_h")),
            Figure(label=_("Time to the target"), value=self.span("hours")),
        ]


WORDS: dict[str, Callable[[Plant, dict[str, Any]], _Words]] = {
    "blowdown": _BlowdownWords,
    "feed_stop": _FeedStopWords,
    "feed_down": _FeedStopWords,
}
