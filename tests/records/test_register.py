"""The register: instruments and lots with their cards, who moved or repaired them, and why."""

from datetime import date

import pytest

from records import clock
from records.models import Instrument, InstrumentCard, InstrumentEvent, Lot, LotCard
from records.selectors.cards import card_of, card_of_lot, standard_of_lot
from records.selectors.ledger import mismatches
from records.services.instruments import (
    InstrumentEntry,
    instrument_change,
    instrument_event_record,
    instrument_register,
)
from records.services.lots import LotEntry, lot_change, lot_open, lot_register
from tests import factories
from tests.records import story
from tests.records.checking import check, kcl, meter_of, run


def register(works, by=None, **typed):
    entry = InstrumentEntry(
        kind=typed.pop("kind", "balance"), name=typed.pop("name", "Balance B"), figures=typed
    )
    pk = instrument_register(actor=by or works.supervisor, entry=entry, key=story.key())
    return Instrument.objects.get(plant=works.plant, pk=pk)


def happen(works, kind, by=None, why="since it wanders", instrument=None):
    return instrument_event_record(
        actor=by or works.supervisor, instrument=instrument or meter_of(works), kind=kind, why=why,
        happened_at=clock.now(), key=story.key(),
    )  # fmt: skip


def test_an_instrument_is_registered_with_its_card_and_sealed(works):
    balance = register(works, place="Lab bench", range_high="220", resolution="0.0001", unit="g")
    card = card_of(balance)
    assert (card.place, card.range_high, card.resolution) == ("Lab bench", "220", "0.0001")
    events = InstrumentEvent.objects.filter(plant=works.plant, instrument=balance)
    assert [(e.kind, e.by_name) for e in events] == [("registered", "Sam Sutter")]
    assert list(mismatches(works.plant)) == []


def test_a_new_card_leaves_the_old_one_and_says_who_moved_it_and_why(works):
    balance = register(works, place="Lab bench")
    instrument_change(
        actor=works.chemist, instrument=balance, figures={"place": "Water room"},
        why="the bench shakes", key=story.key(),
    )  # fmt: skip
    places = [card.place for card in InstrumentCard.objects.filter(plant=works.plant)]
    assert places == ["Lab bench", "Water room"]
    last = InstrumentEvent.objects.filter(plant=works.plant).last()
    assert (last.kind, last.why, last.by_name) == ("moved", "the bench shakes", "Cleo Carver")
    with story.refused("nothing_changed"):
        instrument_change(
            actor=works.chemist, instrument=balance, figures={"place": "Water room"}, why="x",
            key=story.key(),
        )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "code", "field"),
    [
        ({"name": " "}, "name_needed", "name"),
        ({"name": "meter A"}, "name_taken", "name"),
        ({"kind": "sundial"}, "not_a_kind", "kind"),
        ({"range_low": "5", "range_high": "5"}, "range_crossed", "range_high"),
        ({"resolution": "0"}, "negative", "resolution"),
        ({"range_low": "low"}, "not_a_number", "range_low"),
        ({"check_days": "0"}, "not_days", "check_days"),
        ({"quick_days": "1.5"}, "not_days", "quick_days"),
        ({"check_days": "9999"}, "not_days", "check_days"),
        ({"place": "x" * 81}, "too_long", "place"),
    ],
)
def test_a_bad_card_is_refused_beside_its_field(works, typed, code, field):
    before = Instrument.objects.count()
    with story.refused(code) as raised:
        register(works, **typed)
    assert raised.value.field == field and Instrument.objects.count() == before


def test_a_tester_takes_out_of_service_but_does_not_put_back(works):
    happen(works, "out_of_service", by=works.tester)
    assert not meter_of(works).in_service
    with story.refused("not_allowed"):
        happen(works, "back_in_service", by=works.tester)
    with story.refused("no_change"):
        happen(works, "out_of_service")
    happen(works, "back_in_service")
    assert meter_of(works).in_service


def test_what_failed_goes_back_only_after_a_check_that_passed(works):
    bottle = kcl(works)
    check(works, run("1600"), lot=bottle)
    with story.refused("check_first"):
        happen(works, "back_in_service")
    with story.later(30):
        check(works, run("1400"), lot=bottle)
        assert not meter_of(works).in_service  # who keeps the instruments puts it back
        happen(works, "back_in_service")
        assert meter_of(works).in_service and not meter_of(works).check_failed


def test_why_is_asked_for_and_a_tester_registers_nothing(works, elsewhere):
    with story.refused("why_needed"):
        happen(works, "repaired", why=" ")
    with story.refused("not_a_happening"):
        happen(works, "registered")
    for by in (works.tester, factories.founder(works.plant)):
        if by is works.tester:
            with story.refused("not_allowed"):
                register(works, by=by)
    with story.refused("not_here"):
        happen(works, "repaired", by=elsewhere.supervisor)


def test_a_lot_is_worth_what_its_card_says_at_its_temperature(works):
    bottle = kcl(works)
    at = standard_of_lot(card_of_lot(bottle)).at(20.0)
    # 1273.03 / 1408.23 of the CRC Handbook's 0.01 mol/kg KCl, times 1400
    assert at.value == pytest.approx(1400 * 1273.03 / 1408.23, rel=1e-9)
    assert at.u == pytest.approx(7.0 * 1273.03 / 1408.23, rel=1e-9)


def test_a_bottle_that_is_opened_counts_its_days(works):
    bottle = kcl(works, shelf="2026-06-30", use_days="14", received_on="2026-02-01")
    lot_open(actor=works.tester, lot=bottle, opened_on=date(2026, 3, 10), key=story.key())
    fresh = Lot.objects.get(pk=bottle.pk)
    assert fresh.expires_on == date(2026, 3, 24)
    assert LotCard.objects.filter(plant=works.plant, lot=bottle).count() == 2
    with story.refused("open_already"):
        lot_open(actor=works.tester, lot=bottle, opened_on=date(2026, 3, 10), key=story.key())


def test_a_lot_that_was_registered_before_keeps_its_date_when_it_is_opened(works):
    old = Lot.objects.create(
        plant=works.plant, kind="reagent", name="EDTA", lot_number="7", expires_on=date(2026, 5, 1)
    )
    lot_open(actor=works.tester, lot=old, opened_on=date(2026, 3, 10), key=story.key())
    assert Lot.objects.get(pk=old.pk).expires_on == date(2026, 5, 1)


@pytest.mark.parametrize(
    ("figures", "code", "field"),
    [
        ({"value": "much"}, "not_a_number", "value"),
        ({"unit": "furlong"}, "not_a_unit", "unit"),
        ({"behavior": "moody"}, "not_a_behavior", "behavior"),
        ({"behavior": "coefficient"}, "missing", "percent_per_k"),
        ({"behavior": "table"}, "missing", "table"),
        ({"behavior": "table", "table": "25"}, "bad_table", "table"),
        ({"behavior": "table", "table": "25 1413; 20 1278"}, "bad_table", "behavior"),
        ({"value": "5"}, "kcl_range", "behavior"),
        ({"expanded": "-1"}, "negative", "expanded"),
        ({"value": "", "expanded": "1"}, "value_first", "value"),
        ({"shelf": "soon"}, "not_a_date", "shelf"),
        ({"received_on": "2026-03-02", "opened_on": "2026-03-01"}, "opened_before", "opened_on"),
        ({"use_days": "-3"}, "not_days", "use_days"),
    ],
)
def test_a_lot_that_can_not_be_is_refused_beside_its_field(works, figures, code, field):
    with story.refused(code) as raised:
        kcl(works, **figures)
    assert raised.value.field == field and not Lot.objects.exists()


def test_a_lot_has_its_label_once_and_its_new_card_leaves_the_old_one(works):
    bottle = kcl(works, number="A7")
    with story.refused("name_taken"):
        kcl(works, number="A7")
    figures = {"value": "1413", "unit": "umho/cm", "expanded": "14", "behavior": "kcl"}
    lot_change(actor=works.chemist, lot=bottle, figures=figures, key=story.key())
    values = [c.value for c in LotCard.objects.filter(plant=works.plant).order_by("at", "id")]
    assert values == ["1400", "1413"]
    entry = LotEntry(kind="reagent", name="EDTA", lot_number="")
    with story.refused("lot_number_needed"):
        lot_register(actor=works.supervisor, entry=entry, key=story.key())
