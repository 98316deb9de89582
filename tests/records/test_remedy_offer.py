"""Whether a remedy can be asked for: told before any figure is known, and as the remedy itself."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from types import SimpleNamespace

import pytest

from chemistry.bases import BASES
from chemistry.remedies import REMEDIES
from chemistry.verdict import Side
from records import clock
from records.models import Boiler, Result, SamplePoint
from records.selectors.remedies import CASES, kind_for
from records.selectors.remedy_offer import refusal_of
from tests import factories
from tests.records import story
from tests.records.bottles import (
    alkalinity,
    bottle,
    limited,
    phosphate,
    result_in,
    sulfite,
)

# What the bottles below hold, each in its unit.
HELD = {
    "conductivity": (1240.0, "uS/cm"),
    "phosphate": (45.0, "mg/L"),
    "sulfite": (30.0, "mg/L"),
    "p_alkalinity": (240.0, "mg/L"),
    "m_alkalinity": (340.0, "mg/L"),
    "hydroxide_alkalinity": (140.0, "mg/L"),
    "carbonate_alkalinity": (200.0, "mg/L"),
}
# Low, target and high as shares of what the bottle holds, so that it is out on that side.
SHARES = {Side.HIGH: (0.1, 0.4, 0.6), Side.LOW: (1.8, 2.0, 2.6)}


def out(works: SimpleNamespace, analyte: str, side: Side) -> Result:
    """Draw twice what lies out of its limits on one side; returns the second's result."""
    value, unit = HELD[analyte]
    limits = [f"{share * value:g}" for share in SHARES[side]]
    with clock.clock_at(clock.now() - timedelta(hours=3)):
        limited(works, [(analyte, unit, BASES[analyte][0].text, *limits)])
    tests = (
        factories.conductivity("1240", works.used),
        phosphate("45"),
        sulfite("6"),
        alkalinity("12", "17"),
    )
    bottle(works, *tests, point=works.point, drawn_at=clock.now() - timedelta(minutes=20))
    result = result_in(bottle(works, *tests, point=works.point), analyte)
    assert (float(result.value), result.verdicts.get().side) == (pytest.approx(value), side)
    return result


def code_of(result: Result) -> str:
    refused = refusal_of(result)
    return refused.code if refused else ""


@pytest.mark.parametrize(
    ("analyte", "side"), REMEDIES, ids=[f"{analyte}-{side}" for analyte, side in REMEDIES]
)
def test_every_kind_of_remedy_is_told_before_its_figures_are_known(works, analyte, side):
    """Alkalinity that is too high has no figure to ask for: its remedy is always refused."""
    result = out(works, analyte, side)
    kind = kind_for(result)
    assert kind == REMEDIES[analyte, side]
    assert code_of(result) == ("" if kind.asks else "not_by_blowdown")


def test_every_case_belongs_to_a_remedy():
    assert set(CASES) == {kind.key for kind in REMEDIES.values()}


def at(works: SimpleNamespace, boiler: Boiler | None, point: SamplePoint) -> SimpleNamespace:
    """Return the same plant, drawn at another point."""
    return SimpleNamespace(**{**vars(works), "boiler": boiler, "point": point})


def in_doubt(works: SimpleNamespace) -> Result:
    shelf = {**works.used, "meter": story.out_of_service(works)}
    test = factories.conductivity("1500", shelf, reasons={"meter": "no other"})
    return story.result_of(bottle(works, test))


def corrected(works: SimpleNamespace) -> Result:
    sample = story.confirmed(works, "1500")
    old = story.result_of(sample)
    story.correct(works, sample.measurements.get(), "1450")
    return old


def off_scale(works: SimpleNamespace) -> Result:
    with clock.clock_at(clock.now() - timedelta(hours=3)):
        limited(works)
    over = replace(phosphate(""), typed={**phosphate("").typed, "scale": "above"})
    return result_in(bottle(works, over), "phosphate")


def no_target(works: SimpleNamespace) -> Result:
    factories.program(works.plant, works.point, target="", since=clock.now() - timedelta(hours=1))
    return story.result_of(story.confirmed(works, "1500"))


def stopped(works: SimpleNamespace) -> Result:
    """Boiler water in which no alkalinity is left, and that is strong beside it."""
    with clock.clock_at(clock.now() - timedelta(hours=3)):
        limited(works)
    tests = (factories.conductivity("1500", works.used), alkalinity("0", "0"))
    return result_in(bottle(works, *tests), "conductivity")


def banked(works: SimpleNamespace) -> Result:
    result = story.result_of(story.confirmed(works, "1500"))
    story.set_state(works, "banked")
    return result


def hot(works: SimpleNamespace) -> Result:
    """Sulfite is no chemical above 900 psig: UFC 3-240-13FN (25 May 2005), Table 3-3."""
    with clock.clock_at(clock.now() - timedelta(days=2)):
        boiler = factories.boiler(works.plant, "Boiler 2", rated_psig=1200.0, working_psig=950.0)
    point = SamplePoint.objects.get(plant=works.plant, boiler=boiler)
    return out(at(works, boiler, point), "sulfite", Side.LOW)


def shared(works: SimpleNamespace) -> Result:
    """Feedwater belongs to no boiler."""
    return out(at(works, None, works.feed), "conductivity", Side.HIGH)


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("in_range", lambda works: story.result_of(story.draw(works, "1000"))),
        ("no_limit", lambda works: story.result_of(story.draw(works, "60", point=works.feed))),
        ("unconfirmed", lambda works: story.result_of(story.draw(works, "1500"))),
        ("in_doubt", in_doubt),
        ("corrected", corrected),
        ("off_scale", off_scale),
        ("no_target", no_target),
        ("stop_branch", stopped),
        ("other_analyte", lambda works: out(works, "carbonate_alkalinity", Side.HIGH)),
        ("no_boiler", shared),
        ("not_steaming", banked),
        ("too_hot_for_sulfite", hot),
    ],
)
def test_a_refusal_that_no_figure_can_change_is_told_at_once(
    works: SimpleNamespace, code: str, told: Callable[[SimpleNamespace], Result]
) -> None:
    assert code_of(told(works)) == code
