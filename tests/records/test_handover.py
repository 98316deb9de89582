"""The note of a shift: kept on its sheet, signed with it; what is left and not in order."""

from datetime import date, timedelta

import pytest

from records import clock
from records.models import HandoverNote, LedgerEntry, LotKind
from records.selectors.handover import not_in_order, notes_on
from records.selectors.instruments import Standing
from records.selectors.ledger import mismatches
from records.selectors.sheets import SheetStatus, stand_of
from records.services.plants import lot_add
from tests import factories
from tests.records import story


def test_a_note_stands_on_the_sheet_and_is_sealed_with_it(works):
    sheet = story.draw(works, "1100").sheet
    bare = stand_of(sheet).digest
    story.note(works, " softener 2 is rinsing ")
    (note,) = notes_on(sheet)
    assert (note.text, note.by_name) == ("softener 2 is rinsing", "Tess Tanner")
    assert stand_of(sheet).digest != bare
    story.signed(works, sheet)
    assert LedgerEntry.objects.filter(plant=works.plant, table="handovernote", row=note.pk).exists()
    assert list(mismatches(works.plant)) == []


def test_a_note_changes_a_sheet_that_is_handed_in(works):
    sheet = story.draw(works, "1100").sheet
    story.hand_in(works, sheet)
    story.note(works)
    assert stand_of(sheet).status is SheetStatus.CHANGED


def test_a_note_on_a_signed_shift_goes_to_the_present_one(works):
    sheet = story.signed(works, story.draw(works, "1100").sheet)
    with clock.clock_at(sheet.ends_at + timedelta(minutes=5)):
        story.note(works, shift_of=sheet.starts_at)
    assert stand_of(sheet).signed and not notes_on(sheet)
    assert HandoverNote.objects.get(plant=works.plant).sheet.starts_at == sheet.ends_at


@pytest.mark.parametrize(
    ("text", "code"), [(" ", "note_needed"), ("x" * 1001, "too_long"), ("a\0b", "not_text")]
)
def test_a_note_that_can_not_be_kept_is_refused_beside_its_field(works, text, code):
    with story.refused(code) as raised:
        story.note(works, text)
    assert raised.value.field == "text" and not HandoverNote.objects.exists()


def test_a_note_sent_twice_is_kept_once(works):
    key = story.key()
    assert story.note(works, key=key) == story.note(works, key=key)
    assert HandoverNote.objects.count() == 1


def test_a_bottle_is_told_when_none_of_its_kind_is_in_date(works):
    today = date(2026, 3, 10)
    story.out_of_service(works)

    def bottle(number: str, expires: date) -> None:
        lot_add(
            actor=factories.founder(works.plant), kind=LotKind.REAGENT, name="EDTA",
            lot_number=number, expires_on=expires,
        )  # fmt: skip

    bottle("A1", today - timedelta(days=1))
    told = [(each.name, stands) for each, stands in not_in_order(works.plant, today)]
    assert told == [
        ("Meter on the shelf", Standing.OUT_OF_SERVICE), ("EDTA", Standing.EXPIRED),
    ]  # fmt: skip
    bottle("A2", today)
    assert len(not_in_order(works.plant, today)) == 1
