"""The demo as a whole: what README promises, what is sealed, and that results can be redone."""

import re

import pytest
from django.conf import settings

from records.demo import company, holds_demo, plants
from records.models import (
    Action,
    BoilerState,
    DueSlot,
    FollowUp,
    LogSheet,
    Meaning,
    Measurement,
    Membership,
    Organization,
    Result,
    Sample,
    Signature,
)
from records.selectors.bench import TestEntry, draw_of, test_work
from records.selectors.ledger import head_of, mismatches
from records.selectors.rounds import Due, slots_for_round
from records.selectors.sheet_pages import ALONE, sheets_to_sign
from records.shifts import shift_at
from tests.records.demo.store import NOW, Store

pytestmark = pytest.mark.django_db
KEYS = ["mill", "hospital", "dairy"]
README = (settings.FIXTURES / "demo" / "README.md").read_text("utf-8")


def test_the_plants_are_those_that_are_told():
    assert list(plants()) == KEYS


@pytest.mark.parametrize("key", KEYS)
def test_readme_tells_what_was_planted_at_each_plant(key: str):
    told = plants()[key]
    section = README.split(f"\n## {told['name']}\n")[1].split("\n## ")[0]
    rows = re.findall(r"^\| ([\d.]+) \| (.+) \|$", section, re.MULTILINE)
    assert rows == [(f"{each['days']:g}", each["what"]) for each in told["events"]]


def test_the_demo_says_that_it_is_invented(demo: Store):
    assert holds_demo()
    assert "invented" in Organization.objects.get().name
    assert company()["organization"] == Organization.objects.get().name


def test_one_chemist_looks_after_all_plants_and_each_has_its_own_supervisor(demo: Store):
    by_role: dict[str, list[str]] = {}
    for key in KEYS:
        with demo.at(key) as plant:
            for each in Membership.objects.filter(plant=plant, until=None):
                by_role.setdefault(each.role, []).append(each.user.username)
    assert by_role["chemist"] == ["odile"] * 3
    assert sorted(by_role["supervisor"]) == ["halden", "magda", "maren"]
    assert len(set(by_role["tester"])) == 8


@pytest.mark.parametrize("key", KEYS)
def test_the_ledger_verifies(demo: Store, key: str):
    with demo.at(key) as plant:
        assert head_of(plant).sequence > 500
        assert list(mismatches(plant)) == []


@pytest.mark.parametrize("key", KEYS)
def test_every_result_comes_out_again_from_its_raw_readings(demo: Store, key: str):
    with demo.at(key) as plant:
        found = Measurement.objects.filter(plant=plant).prefetch_related(
            "readings", "uses", "results"
        )
        made = list(found.select_related("sample__sample_point__boiler"))
        assert len(made) > 30
        for each in made:
            sample = each.sample
            draw = draw_of(sample.sample_point, sample.boiler_state, sample.drawn_at)
            worked = test_work(draw, _entry(each), held=False).results
            again = {
                (w.worked.analyte, w.worked.value_text, w.worked.expanded_text) for w in worked
            }
            assert again == {(r.analyte, r.value, r.expanded) for r in each.results.all()}


def _entry(measurement: Measurement) -> TestEntry:
    readings = list(measurement.readings.all())
    uses = list(measurement.uses.all())
    return TestEntry(
        method=measurement.method,
        version=measurement.method_version,
        mode=measurement.mode,
        # What was left empty took its default, then as now.
        typed={r.field: r.typed for r in readings if r.typed},
        units={r.field: r.unit for r in readings if r.unit and r.typed},
        instruments={u.role: str(u.instrument_id or u.lot_id) for u in uses},
        reasons={u.role: u.reason for u in uses},
    )


@pytest.mark.parametrize("key", KEYS)
def test_who_tested_did_not_sign_and_every_older_sheet_is_signed(demo: Store, key: str):
    with demo.at(key) as plant:
        marks = Signature.objects.filter(plant=plant, meaning=Meaning.SIGNED)
        assert marks.count() > 10
        for mark in marks:
            drew = Sample.objects.filter(plant=plant, sheet=mark.sheet_id)
            assert mark.by_id not in set(drew.values_list("by_id", flat=True))
        (last,) = [line.sheet for line in sheets_to_sign(plant)]
        signed = set(marks.values_list("sheet_id", flat=True))
        older = LogSheet.objects.filter(plant=plant, ends_at__lte=last.starts_at)
        assert older.count() > 10
        assert {sheet.pk for sheet in older} <= signed


@pytest.mark.parametrize("key", KEYS)
def test_nothing_is_late_or_owed_but_what_was_left(demo: Store, key: str):
    """What is out of range was answered, save where the story leaves it to the newcomer."""
    with demo.at(key) as plant:
        open_ones = FollowUp.objects.filter(plant=plant, settlements__isnull=True)
        left = {"Boiler 1 water", "Condensate return"} if key == "mill" else set()
        assert {each.sample.point_name for each in open_ones} <= left


def test_the_night_operator_says_to_be_alone_and_a_supervisor_signs_from_elsewhere(demo: Store):
    with demo.at("hospital") as plant:
        nights = Signature.objects.filter(plant=plant, sheet__shift_name="Night")
        handed = [m for m in nights if m.meaning == Meaning.HANDED_IN]
        assert len(handed) > 3
        assert all(m.comment.startswith(ALONE) and m.username == "juno" for m in handed)
        signed = [m for m in nights if m.meaning == Meaning.SIGNED]
        assert signed
        assert all(m.username == "halden" and m.terminal_id is None for m in signed)


def test_the_newest_result_of_the_mill_is_high_and_nothing_is_recorded(demo: Store):
    with demo.at("mill") as plant:
        newest = Result.objects.filter(
            plant=plant,
            analyte="conductivity",
            measurement__sample__sample_point__boiler__name="Boiler 1",
        ).latest("measurement__sample__drawn_at")
        assert newest.verdicts.get().side == "high"
        assert not Action.objects.filter(plant=plant, sample=newest.measurement.sample).exists()


def test_one_test_of_the_mill_is_overdue_and_the_condensate_asks_for_hardness(demo: Store):
    with demo.at("mill") as plant:
        shift = shift_at(plant, NOW)
        slots = slots_for_round(
            plant, now=NOW, early=NOW, since=shift.starts_at, until=shift.ends_at
        )
        overdue = [s for s in slots if s.due is Due.OVERDUE and s.open and s.slot.line_id]
        assert [s.slot.sample_point.name for s in overdue] == ["Boiler 1 water"]
        asked = DueSlot.objects.filter(plant=plant, event_draw__isnull=False, answers__isnull=True)
        assert [slot.method for slot in asked] == ["hardness_total"]


def test_every_boiler_that_is_in_use_steams_in_the_end(demo: Store):
    for key in KEYS:
        with demo.at(key) as plant:
            states = BoilerState.objects.filter(plant=plant).order_by("since")
            newest = {each.boiler_id: each.state for each in states}
            assert set(newest.values()) == {"steaming"}
            assert len(newest) == 2
