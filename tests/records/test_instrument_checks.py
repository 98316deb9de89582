"""An instrument's check, from what was typed to how the instrument stands afterwards."""

from datetime import date, timedelta

import pytest

from records import clock
from records.errors import RecordError
from records.models import (
    CheckStandard,
    Instrument,
    InstrumentCheck,
    InstrumentEvent,
    LedgerEntry,
    LookBack,
    Lot,
)
from records.selectors.check_history import answer_of, last_pass
from records.selectors.instruments import Standing, standing
from records.selectors.ledger import mismatches
from records.services.instrument_checks import CheckRefused
from tests import factories
from tests.records import story
from tests.records.checking import check, kcl, meter_of, run

TODAY = date(2026, 3, 10)


def test_a_check_that_passes_is_kept_as_typed_and_sets_when_the_next_is_due(works):
    meter, bottle = meter_of(works), kcl(works)
    key = check(works, run("1 390"), lot=bottle)
    row = InstrumentCheck.objects.get(plant=works.plant, pk=key)
    assert (row.acceptance, row.ending, row.by_name) == ("accepted", "passed", "Tess Tanner")
    assert '"typed":"1 390"' in row.typed and '"normalized":"1390"' in row.typed
    found = answer_of(row)
    assert found is not None and answer_of(row, "left") is None
    # 1390 for 1400 at 25 °C is 0.714 percent low, by hand
    assert found.figures[1].value == "-0.7" and found.figures[0].unit == "uS/cm"
    assert found.effect.size == pytest.approx(1390 / 1400, rel=1e-9)
    (held,) = CheckStandard.objects.filter(plant=works.plant)
    assert (held.lot, held.value, held.expanded) == (bottle, "1400", "14")
    meter.refresh_from_db()
    assert meter.check_due_on == TODAY + timedelta(days=7)  # the quick one comes first
    assert last_pass(meter) == row and not LookBack.objects.exists()


def test_a_quick_check_does_not_put_the_full_one_off(works):
    check(works, run("1400"), lot=kcl(works))
    for day in range(7, 91, 7):
        with clock.clock_at(factories.NOON + timedelta(days=day)):
            check(works, run("1402"), lot=kcl(works), quick=True)
    meter = meter_of(works)
    assert meter.check_due_on == TODAY + timedelta(days=90)


def test_a_check_that_fails_takes_it_out_of_service_and_looks_back_to_the_last_pass(works):
    passed = check(works, run("1410"), lot=kcl(works))
    with story.later(60 * 24):
        failed = check(works, run("1600"), lot=kcl(works))
        meter = meter_of(works)
        assert standing(meter, TODAY + timedelta(days=1)) is Standing.OUT_OF_SERVICE
        with pytest.raises(RecordError) as refused:
            story.draw(works, "1100")
        assert "reason-meter" in refused.value.by_test["conductivity"]
    back = LookBack.objects.get(plant=works.plant)
    assert (back.check_of_id, back.passed_id) == (failed, passed)
    assert back.since == factories.NOON and back.until - back.since == timedelta(days=1)
    kinds = InstrumentEvent.objects.filter(plant=works.plant).values_list("kind", flat=True)
    assert list(kinds) == ["out_of_service"]


def test_adjusted_and_passed_as_left_it_serves_on_but_the_past_is_in_doubt(works):
    check(
        works, run("1600"), lot=kcl(works), left=run("1405"), adjustment="cell constant 1.00 to 0.9"
    )
    meter, row = meter_of(works), InstrumentCheck.objects.get(plant=works.plant)
    assert (row.acceptance, row.ending) == ("not_accepted", "adjusted")
    assert standing(meter, TODAY) is Standing.IN_ORDER
    assert LookBack.objects.get(plant=works.plant).since is None  # it never passed before


def test_a_check_tells_of_the_cell_as_well(works):
    cell = Instrument.objects.get(plant=works.plant, kind="conductivity_cell")
    first = check(works, run("1600"), lot=kcl(works), together=str(cell.pk))
    beside = InstrumentCheck.objects.get(plant=works.plant, instrument=cell)
    assert beside.together_id == first and beside.answer
    cell.refresh_from_db()
    assert not cell.in_service and LookBack.objects.filter(plant=works.plant).count() == 2


def test_what_is_not_decided_leaves_the_instrument_as_it_was(works):
    readings = run("1400", reading_2="1500", reading_3="1310")
    check(works, readings, lot=kcl(works))
    row, meter = InstrumentCheck.objects.get(plant=works.plant), meter_of(works)
    assert (row.acceptance, row.ending) == ("uncertain", "undecided")
    assert meter.in_service and meter.check_due_on is None and not LookBack.objects.exists()


def test_an_expired_standard_needs_a_reason(works):
    bottle = kcl(works, shelf="2026-03-09")
    with pytest.raises(CheckRefused) as refused:
        check(works, run("1400"), lot=bottle)
    assert set(refused.value.errors) == {"reason-standard"}
    assert not InstrumentCheck.objects.exists()
    check(works, run("1400"), lot=bottle, reasons={"standard": "the only one left"})
    (held,) = CheckStandard.objects.filter(plant=works.plant)
    assert (held.standing, held.reason) == ("expired", "the only one left")


def test_a_bottle_that_is_open_for_too_long_needs_a_reason_too(works):
    bottle = kcl(works, shelf="2027-01-01", opened_on="2026-01-01", use_days="30")
    assert Lot.objects.get(pk=bottle.pk).expires_on == date(2026, 1, 31)
    with pytest.raises(CheckRefused) as refused:
        check(works, run("1400"), lot=bottle)
    assert "reason-standard" in refused.value.errors


@pytest.mark.parametrize(
    ("typed", "options", "beside"),
    [
        pytest.param(run(""), {}, "reading", id="nothing read"),
        pytest.param(run("tall"), {}, "reading", id="no number"),
        pytest.param(run("1400", temperature="60"), {}, "temperature", id="outside the table"),
        pytest.param(run("1400"), {"lot": None}, "standard-standard", id="no standard"),
        pytest.param(run("1400"), {"together": "x"}, "together", id="no such cell"),
        pytest.param(run("1400"), {"left": run("1400")}, "adjustment", id="what was adjusted"),
        pytest.param(
            run("1400"), {"left": run(""), "adjustment": "x"}, "left-reading", id="as left"
        ),
        pytest.param(run("1400"), {"note": "x" * 301}, "note", id="too long"),
        pytest.param(run("1400"), {"minutes": 5}, "done_at", id="in the future"),
    ],
)
def test_what_can_not_be_used_is_told_beside_its_field(works, typed, options, beside):
    options = {"lot": kcl(works), **options}
    with pytest.raises(CheckRefused) as refused:
        check(works, typed, **options)
    assert beside in refused.value.errors
    assert not InstrumentCheck.objects.exists() and not LookBack.objects.exists()


def test_a_check_can_not_be_dated_before_the_last_one(works):
    bottle = kcl(works)
    check(works, run("1400"), lot=bottle)
    for minutes in (0, -30):  # two terminals at once, and one day late
        with pytest.raises(CheckRefused) as refused:
            check(works, run("1390"), lot=bottle, minutes=minutes)
        assert "Tess Tanner recorded a check" in str(refused.value.errors["done_at"])


def test_sent_twice_it_is_kept_once_and_the_ledger_holds_all_of_it(works):
    bottle, key = kcl(works), story.key()
    first = check(works, run("1600"), lot=bottle, key=key)
    assert check(works, run("1600"), lot=bottle, key=key) == first
    assert InstrumentCheck.objects.count() == 1
    tables = set(LedgerEntry.objects.filter(plant=works.plant).values_list("table", flat=True))
    assert {"lotcard", "instrumentcheck", "checkstandard", "lookback", "instrumentevent"} <= tables
    assert list(mismatches(works.plant)) == []


def test_the_ledger_names_a_check_that_came_in_past_the_program(works):
    check(works, run("1400"), lot=kcl(works))
    row = InstrumentCheck.objects.get(plant=works.plant)
    row.pk, row._state.adding = None, True
    row.id = type(row)._meta.pk.get_default()
    row.done_at += timedelta(minutes=1)
    row.save()
    (found,) = mismatches(works.plant)
    assert (found.table, found.row) == ("instrumentcheck", str(row.pk))


def test_nobody_checks_another_plants_instrument(works, elsewhere):
    bottle = kcl(works)
    with pytest.raises(RecordError):
        check(works, run("1400"), lot=bottle, by=elsewhere.tester)
    assert not InstrumentCheck.objects.exists()
