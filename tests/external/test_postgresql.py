"""Real concurrency on PostgreSQL: what two people do at the same moment."""

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from uuid import UUID

from django.db import connection
from django_scopes import scope

from records import clock
from records.errors import Moved, RecordError
from records.models import (
    BoilerState,
    Draft,
    LogSheet,
    Measurement,
    PinLock,
    ProgramVersion,
    Role,
    Sample,
    Signature,
)
from records.selectors.ledger import mismatches
from records.selectors.sheets import rows_of, stand_of
from records.services.drafts import draft_open
from records.services.people import pin_check, terminal_enroll
from records.services.plants import boiler_state_set
from records.services.sheets import sheet_sign
from tests import factories
from tests.records import story


def at_once(plant, *deeds: Callable[[], object]) -> list[object]:
    """Do all deeds at the same moment, each on its own connection; return what came of them."""
    gate = threading.Barrier(len(deeds))

    def run(deed: Callable[[], object]) -> object:
        try:
            with scope(plant=plant), clock.clock_at(factories.NOON):
                gate.wait(timeout=10)
                try:
                    return deed()
                except RecordError as error:
                    return error
        finally:
            connection.close()

    with ThreadPoolExecutor(len(deeds)) as pool:
        return [done.result(timeout=60) for done in [pool.submit(run, deed) for deed in deeds]]


def handed_in(works) -> LogSheet:
    with scope(plant=works.plant):
        sheet = story.draw(works, "1240").sheet
        story.hand_in(works, sheet)
    return sheet


def test_of_two_signers_at_once_one_is_shown_the_sheet_anew(shared_works):
    works = shared_works
    other = factories.actor(
        factories.person(works.plant, "sol", "Sol Second", Role.SUPERVISOR), works.plant
    )
    sheet = handed_in(works)
    with scope(plant=works.plant):
        seen = stand_of(sheet).digest

    def by(actor):
        return lambda: sheet_sign(actor=actor, sheet=sheet, seen=seen, key=story.key())

    came = at_once(works.plant, by(works.supervisor), by(other))
    assert sorted(type(each).__name__ for each in came) == ["Moved", "UUID"]
    with scope(plant=works.plant):
        assert Signature.objects.filter(meaning="signed").count() == 1
        assert list(mismatches(works.plant)) == []


def test_one_form_sent_many_times_at_once_is_stored_once(shared_works):
    works, key = shared_works, story.key()
    test = factories.conductivity("1240", works.used)

    def send():
        return factories.sample(works.tester, works.point, test, key=key, drawn_at=factories.NOON)

    came = at_once(works.plant, *[send] * 4)
    assert len({*came}) == 1 and isinstance(came[0], UUID)
    with scope(plant=works.plant):
        assert Sample.objects.count() == Measurement.objects.count() == 1


def test_one_signature_sent_twice_at_once_gets_one_answer(shared_works):
    works, key = shared_works, story.key()
    sheet = handed_in(works)
    with scope(plant=works.plant):
        seen = stand_of(sheet).digest
    sent = {"actor": works.supervisor, "sheet": sheet, "seen": seen, "key": key}
    came = at_once(works.plant, *[lambda: sheet_sign(**sent)] * 3)
    assert len({*came}) == 1 and isinstance(came[0], UUID)


def test_nothing_is_written_on_a_sheet_while_it_is_signed(shared_works):
    """Whoever is first: the sample is on the sheet and it moved on, or it is on the next sheet."""
    works = shared_works
    sheet = handed_in(works)
    with scope(plant=works.plant):
        seen = stand_of(sheet).digest
    sent = {"actor": works.supervisor, "sheet": sheet, "seen": seen, "key": story.key()}
    test = factories.conductivity("1300", works.used)
    signing, *drawn = at_once(
        works.plant,
        lambda: sheet_sign(**sent),
        *[lambda: factories.sample(works.mate, works.point, test, drawn_at=factories.NOON)] * 3,
    )
    with scope(plant=works.plant):
        on_sheet = [row for row in rows_of(sheet) if isinstance(row, Sample)]
        assert all(isinstance(each, UUID) for each in drawn)
        assert Sample.objects.count() == 4
        if isinstance(signing, UUID):
            assert len(on_sheet) == 1
        else:
            assert isinstance(signing, Moved) and len(on_sheet) >= 2
        assert list(mismatches(works.plant)) == []


def test_of_two_corrections_at_once_one_is_told(shared_works):
    works = shared_works
    with scope(plant=works.plant):
        measurement = story.draw(works, "1240").measurements.get()
    came = at_once(
        works.plant,
        lambda: story.correct(works, measurement, "1250"),
        lambda: story.correct(works, measurement, "1260", by=works.mate),
    )
    assert sorted(type(each).__name__ for each in came) == ["Measurement", "Moved"]
    with scope(plant=works.plant):
        assert Measurement.objects.count() == 2


def test_many_pins_at_once_are_no_way_round_the_lock(shared_works):
    works = shared_works
    with scope(plant=works.plant):
        terminal, _ = terminal_enroll(actor=works.supervisor, name="Bench")
    user = works.people["tester"]
    wrong = [f"{n:04d}" for n in range(9000, 9011)]
    came = at_once(
        works.plant,
        *[lambda pin=pin: pin_check(terminal=terminal, user=user, pin=pin) for pin in wrong],
    )
    codes = sorted(each.code for each in came if isinstance(each, RecordError))
    assert codes == ["pin_locked"] * 7 + ["pin_wrong"] * 4
    with scope(plant=works.plant):
        assert PinLock.objects.get().failures == 5


def test_of_two_versions_at_once_both_are_numbered_or_one_is_refused(shared_works):
    works = shared_works

    def put():
        factories.program(works.plant, works.point, since=factories.NOON)

    came = at_once(works.plant, put, put)
    assert sorted(getattr(each, "code", "in force") for each in came) == ["back_dated", "in force"]
    with scope(plant=works.plant):
        numbers = ProgramVersion.objects.values_list("number", flat=True)
        assert sorted(numbers) == [1, 2]


def test_a_sheet_opened_twice_at_once_is_one_draft(shared_works):
    works = shared_works

    def open_one():
        return draft_open(actor=works.tester, point=works.point, method_keys=["conductivity"]).pk

    came = at_once(works.plant, *[open_one] * 4)
    assert len({*came}) == 1
    with scope(plant=works.plant):
        assert Draft.objects.count() == 1


def test_a_state_sent_twice_at_once_is_one_entry(shared_works):
    works = shared_works

    def bank():
        return boiler_state_set(
            actor=works.tester, boiler=works.boiler, state="banked", since=factories.NOON
        ).pk

    came = at_once(works.plant, *[bank] * 3)
    assert len({*came}) == 1
    with scope(plant=works.plant):
        assert BoilerState.objects.filter(state="banked").count() == 1
