"""Several sheets signed in one write, and the rows of several read together."""

from datetime import timedelta

from records import clock
from records.errors import Moved
from records.models import LogSheet, Sample
from records.selectors.ledger import mismatches
from records.selectors.sheets import SheetStatus, rows_of, rows_of_each, stand_of
from records.services.sheets import ToSign, sheets_sign
from tests.records import story


def two_sheets(works) -> list[LogSheet]:
    """Return the handed-in sheets of this shift and of the one eight hours later."""
    first = story.draw(works, "1240").sheet
    story.hand_in(works, first)
    with clock.clock_at(clock.now() + timedelta(hours=8)):
        second = story.draw(works, "1480").sheet
        story.hand_in(works, second)
    assert first.pk != second.pk
    return [first, second]


def to_sign(sheet: LogSheet) -> ToSign:
    return ToSign(sheet=sheet, seen=stand_of(sheet).digest, key=f"k-{sheet.pk}")


def test_all_are_signed_and_sealed(works):
    sheets = two_sheets(works)
    with clock.clock_at(clock.now() + timedelta(hours=9)):
        keys = sheets_sign(actor=works.supervisor, sheets=[to_sign(each) for each in sheets])
    assert len(set(keys)) == 2
    assert {stand_of(each).status for each in sheets} == {SheetStatus.SIGNED}
    assert list(mismatches(works.plant)) == []


def test_what_refuses_one_refuses_all(works):
    first, second = two_sheets(works)
    wanted = [to_sign(first), to_sign(second)]
    with clock.clock_at(clock.now() + timedelta(hours=9)):
        story.correct(works, Sample.objects.get(sheet=second).measurements.get(), "1490")
        with story.refused("sheet_moved", Moved):
            sheets_sign(actor=works.supervisor, sheets=wanted)
    assert stand_of(first).status is SheetStatus.HANDED_IN
    assert stand_of(second).status is SheetStatus.CHANGED


def test_rows_read_together_are_those_of_each(told):
    sheets = list(LogSheet.objects.filter(plant=told.plant))
    together = rows_of_each(sheets)
    assert set(together) == {sheet.pk for sheet in sheets}
    tables = {type(row).__name__ for rows in together.values() for row in rows}
    assert {"Remedy", "Action", "Doubt", "HandoverNote", "CheckOutcome", "Verdict"} <= tables
    for sheet in sheets:
        assert [row.pk for row in together[sheet.pk]] == [row.pk for row in rows_of(sheet)]
    assert rows_of_each([]) == {}
