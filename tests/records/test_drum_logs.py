"""A boiler's records as the log of its drum, held against the balance by hand."""

from datetime import timedelta
from types import SimpleNamespace

import pytest

from chemistry.drum import Dose, Result, Setting
from chemistry.errors import Refused
from records import clock
from records.models import Boiler
from records.selectors.drum_logs import MIXES_H, Done, drum_log, kilograms, water_of
from tests.records import story


def followed(works):
    now = clock.now()
    boiler = Boiler.objects.get(pk=works.boiler.pk)
    return drum_log(boiler, water_of(boiler, now), now)


def drawn(works, values, point=None):
    """Draw the boiler's water every eight hours until now."""
    for number, value in enumerate(values):
        at = clock.now() - timedelta(hours=8 * (len(values) - 1 - number))
        with clock.clock_at(at):
            story.draw(works, value, point=point or works.point)


@pytest.fixture
def fed(works):
    """A feedwater of 50 below a boiler of 1050 µS/cm: 21 cycles."""
    drawn(works, ["50"], works.feed)
    drawn(works, ["1050"] * 4)
    return works


def test_blowdown_follows_from_the_two_conductivities(fed):
    """E Cf / (C - Cf) = 18 000 x 50 / 1000 = 900 kg/h, by hand (UFC 3-240-13FN, 3-1.5)."""
    log = followed(fed)
    settings = [each for each in log.log if isinstance(each, Setting)]
    assert settings[0].blowdown_kg_h == pytest.approx(900.0)
    assert settings[0].steam_kg_h == 18_000.0 and not log.load_recorded and log.feed_tested
    assert settings[0].feed["conductivity"] == pytest.approx(50.0)
    results = [each for each in log.log if isinstance(each, Result)]
    assert [each.value for each in results] == pytest.approx([1050.0] * 4)
    assert log.instant(results[-1].at_h) == clock.now() and log.solutes == ("conductivity",)


def test_the_usual_water_stands_still_at_what_the_log_says(fed):
    """What comes in is what goes out: F Cf = B C."""
    first = next(each for each in followed(fed).log if isinstance(each, Setting))
    gained = first.known_gain("conductivity", first.blowdown_kg_h)
    assert gained == pytest.approx(first.blowdown_kg_h * 1050.0)


@pytest.mark.parametrize(
    ("figure", "code"), [("water_mass_kg", "no_mass"), ("steam_kg_h", "no_load")]
)
def test_it_names_the_figure_of_the_boiler_that_is_missing(fed, figure, code):
    boiler, now = Boiler.objects.get(pk=fed.boiler.pk), clock.now()
    setattr(boiler, figure, None)
    with pytest.raises(Refused) as refused:
        drum_log(boiler, water_of(boiler, now), now)
    assert refused.value.code == code and refused.value.missing


def test_without_feedwater_and_valve_no_blowdown_is_guessed(works):
    drawn(works, ["1050"] * 4)
    with pytest.raises(Refused) as refused:
        followed(works)
    assert refused.value.code == "no_blowdown"


def test_two_results_are_too_few(works):
    drawn(works, ["1050"] * 2)
    with pytest.raises(Refused) as refused:
        followed(works)
    assert refused.value.code == "too_few_results"


def test_a_feedwater_as_rich_as_the_boiler_is_refused(works):
    drawn(works, ["1050"], works.feed)
    drawn(works, ["1050"] * 4)
    with pytest.raises(Refused) as refused:
        followed(works)
    assert refused.value.code == "feed_too_rich"


@pytest.mark.parametrize(
    ("typed", "kg"),
    [("0.50 kg", 0.5), ("500 g of TSP", 0.5), ("1 lb", 0.45359237), ("2,5 kg", 2.5)],
)
def test_an_amount_begins_with_its_mass(typed, kg):
    assert kilograms(typed) == pytest.approx(kg)


@pytest.mark.parametrize("typed", ["two scoops", "", "3 turns for 2 h", "kg"])
def test_what_is_no_mass_is_not_guessed(typed):
    assert kilograms(typed) is None


def test_only_what_can_show_an_action_is_held_against_it(fed):
    """After a dose its own analyte counts, once it has mixed in; before it all results do."""
    log = followed(fed)
    results = [each for each in log.log if isinstance(each, Result)]
    dose = Dose(results[2].at_h - 0.1, {"conductivity": 1.0})
    remedy = SimpleNamespace(result=SimpleNamespace(analyte="conductivity"))
    done = Done(action=SimpleNamespace(remedy=remedy), entry=dose, shows_h=dose.at_h + MIXES_H)
    kept = [each for each in log.about(done) if isinstance(each, Result)]
    assert kept == [results[0], results[1], results[3]]
