"""A value that the last ones make unlikely is asked about, never refused outright."""

from datetime import timedelta

import pytest

from records import clock
from records.models import Measurement, Sample
from records.selectors.bench import draw_of, test_work
from records.services.samples import TestsRefused
from tests import factories
from tests.records import story

test_work.__test__ = False

# Invented readings of a steady boiler, µmho/cm.
STEADY = ("1100", "1110", "1090", "1105", "1098")


@pytest.fixture
def steady(works):
    """Five results of the last day, four hours apart."""
    for number, reading in enumerate(STEADY):
        with clock.clock_at(clock.now() - timedelta(hours=4 * (len(STEADY) - number))):
            story.draw(works, reading)
    return works


def _work(works, reading, **options):
    entry = factories.conductivity(reading, works.used, **options)
    return test_work(draw_of(works.point, "steaming", clock.now()), entry)


@pytest.mark.parametrize(
    ("reading", "code"),
    [
        pytest.param("1120", None, id="an ordinary value is not asked about"),
        pytest.param("1350", None, id="nor is a boiler that was blown down too little"),
        pytest.param("110", "decimal_slip", id="a digit left off"),
        pytest.param("11000", "decimal_slip", id="a digit too many"),
        pytest.param("1.1", "unit_slip", id="millisiemens typed as micromhos"),
    ],
)
def test_it_names_the_slip(steady, reading, code):
    found = [s.code for judged in _work(steady, reading).results for s in judged.suspicions]
    assert found == ([code] if code else [])


def test_it_refuses_an_unlikely_value_until_it_is_confirmed(steady):
    before = Sample.objects.count()
    with pytest.raises(TestsRefused) as refused:
        story.draw(steady, "110")
    assert {k: e.code for k, e in refused.value.by_test["conductivity"].items()} == {
        "confirm": "confirm"
    }
    assert Sample.objects.count() == before


def test_it_keeps_what_was_confirmed(steady):
    asked = _work(steady, "110").to_confirm
    test = factories.conductivity("110", steady.used, confirmed=asked)
    key = factories.sample(steady.tester, steady.point, test)
    assert Measurement.objects.get(sample=key).confirmed == asked
    assert "decimal_slip" in asked


def test_it_asks_again_about_another_value(steady):
    asked = _work(steady, "110").to_confirm
    with pytest.raises(TestsRefused):
        test = factories.conductivity("112", steady.used, confirmed=asked)
        factories.sample(steady.tester, steady.point, test)


def test_it_holds_nothing_beside_results_in_doubt(works):
    shelf = {**works.used, "meter": story.out_of_service(works)}
    for hours in (20, 16, 12, 8, 4):
        with clock.clock_at(clock.now() - timedelta(hours=hours)):
            test = factories.conductivity("110", shelf, reasons={"meter": "the other one broke"})
            factories.sample(works.tester, works.point, test)
    assert _work(works, "1100").to_confirm == ""
