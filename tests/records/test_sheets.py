"""Log sheets: handed in, returned, signed by someone else, and never changed afterwards."""

from datetime import timedelta

import pytest

from records import clock
from records.actors import Proof
from records.errors import Moved, NotAllowed
from records.models import LedgerEntry, LogSheet, Role, Sample, Signature
from records.selectors.ledger import mismatches
from records.selectors.sheets import SheetStatus, stand_of
from records.services.people import terminal_enroll
from records.services.sheets import sheet_hand_in, sheet_return, sheet_sign
from tests import factories
from tests.records import story


@pytest.fixture
def sheet(works) -> LogSheet:
    return story.draw(works, "1240").sheet


def status(sheet) -> SheetStatus:
    return stand_of(sheet).status


def give_back(works, sheet, comment="Boiler 1 twice?"):
    return sheet_return(
        actor=works.supervisor,
        sheet=sheet,
        seen=stand_of(sheet).digest,
        key=story.key(),
        comment=comment,
    )


def test_it_goes_from_draft_to_signed(works, sheet):
    assert status(sheet) is SheetStatus.DRAFT
    story.hand_in(works, sheet)
    assert status(sheet) is SheetStatus.HANDED_IN
    story.sign(works, sheet)
    assert status(sheet) is SheetStatus.SIGNED
    signature = Signature.objects.get(meaning="signed")
    assert (signature.by_name, signature.proof) == ("Sam Sutter", "password")


def test_nobody_signs_their_own_tests(works, sheet):
    story.draw(works, "1200", by=works.chemist)
    story.hand_in(works, sheet)
    with story.refused("own_tests"):
        story.sign(works, sheet, by=works.chemist)
    story.sign(works, sheet)


def test_nobody_signs_what_they_only_corrected(works, sheet):
    measurement = Sample.objects.get().measurements.get()
    story.correct(works, measurement, "1250", by=works.supervisor)
    story.hand_in(works, sheet)
    with story.refused("own_tests"):
        story.sign(works, sheet)


def test_nobody_signs_their_own_hand_in(works, sheet):
    story.hand_in(works, sheet, by=works.supervisor)
    with story.refused("own_hand_in"):
        story.sign(works, sheet)
    story.sign(works, sheet, by=works.chemist)


def test_a_tester_does_not_sign(works, sheet):
    story.hand_in(works, sheet)
    with pytest.raises(NotAllowed):
        story.sign(works, sheet, by=works.mate)


def test_signing_wants_the_password(works, sheet):
    story.hand_in(works, sheet)
    terminal, _ = terminal_enroll(actor=works.supervisor, name="Bench")
    by_pin = factories.actor_at(works.supervisor.user, works.plant.pk, terminal=terminal)
    for proof in (Proof.SESSION, Proof.PIN):
        with story.refused("proof_needed"):
            story.sign(works, sheet, by=by_pin.proved_by(proof))


def test_a_pin_hands_in_at_a_terminal_only(works, sheet):
    away = works.tester.proved_by(Proof.PIN)
    with story.refused("proof_needed"):
        story.hand_in(works, sheet, by=away)
    with story.refused("proof_needed"):
        story.hand_in(works, sheet, by=works.tester.proved_by(Proof.SESSION))
    terminal, _ = terminal_enroll(actor=works.supervisor, name="Bench")
    at_bench = factories.actor_at(works.tester.user, works.plant.pk, terminal=terminal)
    story.hand_in(works, sheet, by=at_bench.proved_by(Proof.PIN))
    assert Signature.objects.get().terminal_name == "Bench"


def test_a_sheet_not_handed_in_is_not_signed(works, sheet):
    with story.refused("not_handed_in"):
        story.sign(works, sheet)
    with story.refused("not_handed_in"):
        give_back(works, sheet)


def test_what_moved_on_is_shown_anew(works, sheet):
    seen = stand_of(sheet).digest
    story.draw(works, "1250")
    with story.refused("sheet_moved", Moved):
        sheet_hand_in(actor=works.tester, sheet=sheet, seen=seen, key=story.key())
    assert not Signature.objects.exists()


def test_a_sheet_changed_since_hand_in_is_not_signed(works, sheet):
    story.hand_in(works, sheet)
    story.draw(works, "1250")
    assert status(sheet) is SheetStatus.CHANGED
    with story.refused("not_handed_in"):
        story.sign(works, sheet)
    story.hand_in(works, sheet)
    story.sign(works, sheet)


def test_it_is_handed_in_once_as_it_stands(works, sheet):
    story.hand_in(works, sheet)
    with story.refused("already_handed_in"):
        story.hand_in(works, sheet)


def test_it_is_returned_with_a_comment_and_handed_in_again(works, sheet):
    story.hand_in(works, sheet)
    with story.refused("comment_needed"):
        give_back(works, sheet, "  ")
    with story.refused("too_long"):
        give_back(works, sheet, "x" * 501)
    give_back(works, sheet)
    assert status(sheet) is SheetStatus.RETURNED
    with story.refused("not_handed_in"):
        story.sign(works, sheet)
    story.hand_in(works, sheet)
    story.sign(works, sheet)
    assert [s.sequence for s in Signature.objects.all()] == [1, 2, 3, 4]


def test_the_second_signer_is_told_who_was_first(works, sheet):
    story.hand_in(works, sheet)
    seen = stand_of(sheet).digest
    story.sign(works, sheet)
    with story.refused("already_signed", Moved) as raised:
        sheet_sign(actor=works.chemist, sheet=sheet, seen=seen, key=story.key())
    assert "Sam Sutter" in str(raised.value)
    for mark in (story.hand_in, give_back):
        with story.refused("already_signed", Moved):
            mark(works, sheet)


def test_a_signed_sheet_takes_no_more(works, sheet):
    """Signed before the shift ended: what is drawn then goes on the next sheet and says so."""
    story.signed(works, sheet)
    before = stand_of(sheet).digest
    sample = story.draw(works, "1500")
    assert sample.sheet != sheet
    assert (sample.shift_name, sample.sheet.shift_name, sample.late) == ("Day", "Evening", True)
    story.act(works, sample)
    assert stand_of(sheet).digest == before
    assert list(mismatches(works.plant)) == []


def test_what_comes_late_to_a_signed_sheet_stands_on_the_present_one(works, sheet):
    story.signed(works, sheet)
    with story.later(4 * 60):
        drawn = clock.now() - timedelta(hours=3)
        sample = story.draw(works, "1240", drawn_at=drawn)
        assert (sample.shift_name, sample.sheet.shift_name) == ("Day", "Evening")
        story.signed(works, sample.sheet)
        again = story.draw(works, "1240", drawn_at=drawn)
        assert (again.sheet.shift_name, again.sheet.shift_date.day) == ("Night", 10)
    assert list(mismatches(works.plant)) == []


def test_signing_seals_every_row_once(works, sheet):
    story.signed(works, sheet)
    links = list(LedgerEntry.objects.all())
    assert [link.sequence for link in links] == list(range(1, len(links) + 1))
    assert len({(link.table, link.row) for link in links}) == len(links)
    assert {link.table for link in links} >= {"sample", "limit", "programversion", "signature"}


def test_another_plants_sheet_is_refused(works, elsewhere, sheet):
    for deed in (
        lambda: story.hand_in(works, sheet, by=elsewhere.tester),
        lambda: story.sign(works, sheet, by=elsewhere.supervisor),
    ):
        with story.refused("not_here"):
            deed()
    assert not Signature.objects.exists()


def test_the_lone_operator_hands_in_and_a_supervisor_countersigns_from_elsewhere(works, sheet):
    lone = factories.person(works.plant, "lone", "Lou Lone", Role.TESTER)
    story.hand_in(works, sheet, by=factories.actor(lone, works.plant))
    story.sign(works, sheet)
    assert Signature.objects.get(meaning="signed").terminal is None
