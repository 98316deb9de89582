"""A write is carried out once, however often it is sent."""

from uuid import uuid4

import pytest

from records import clock
from records.errors import KeyConflict, Moved
from records.models import Remedy, Sample, Signature, WriteKey
from records.services.once import stored_once
from records.services.sheets import sheet_sign
from tests import factories
from tests.records import story


def once(actor, key, body, write):
    return stored_once(actor=actor, key=key, operation="test", body=body, write=write)


def test_it_gives_a_repeat_the_first_answer(works):
    sent = []

    def write():
        sent.append(1)
        return uuid4()

    first = once(works.tester, "k", {"a": "1"}, write)
    assert once(works.tester, "k", {"a": "1"}, write) == first
    assert len(sent) == 1


def test_it_refuses_another_body_under_the_same_key(works):
    once(works.tester, "k", {"a": "1"}, uuid4)
    with pytest.raises(KeyConflict):
        once(works.tester, "k", {"a": "2"}, uuid4)


def test_it_refuses_another_operation_under_the_same_key(works):
    once(works.tester, "k", {}, uuid4)
    with pytest.raises(KeyConflict):
        stored_once(actor=works.tester, key="k", operation="other", body={}, write=uuid4)


def test_a_key_belongs_to_one_person(works):
    assert once(works.tester, "k", {}, uuid4) != once(works.mate, "k", {}, uuid4)


@pytest.mark.parametrize("key", ["", " ", "k" * 65, "a\0b", "\ud800"])
def test_it_refuses_a_key_that_is_none(works, key):
    with story.refused("key_malformed") as raised:
        once(works.tester, key, {}, uuid4)
    assert "Open the page again" in str(raised.value)


def test_what_fails_leaves_no_key(works):
    def fail():
        raise Moved("x", "x")

    with pytest.raises(Moved):
        once(works.tester, "k", {}, fail)
    assert not WriteKey.objects.filter(key="k").exists()
    once(works.tester, "k", {}, uuid4)


def test_a_sample_sent_twice_is_stored_once(works):
    key = story.key()
    test = factories.conductivity("1240", works.used)
    now = clock.now()
    first = factories.sample(works.tester, works.point, test, key=key, drawn_at=now)
    assert factories.sample(works.tester, works.point, test, key=key, drawn_at=now) == first
    assert Sample.objects.count() == 1
    changed = factories.conductivity("1250", works.used)
    with pytest.raises(KeyConflict):
        factories.sample(works.tester, works.point, changed, key=key, drawn_at=now)
    assert Sample.objects.count() == 1


def test_a_signature_sent_twice_is_set_once(works):
    """The second sending gets the first answer, not “signed meanwhile”."""
    sheet = story.draw(works, "1240").sheet
    story.hand_in(works, sheet)
    seen = Signature.objects.get().digest
    key = story.key()
    sent = {"actor": works.supervisor, "sheet": sheet, "seen": seen, "key": key}
    assert sheet_sign(**sent) == sheet_sign(**sent)
    assert Signature.objects.count() == 2


def test_a_repeat_reads_what_was_stored_not_the_present_state(works):
    """An action's key covers its result and remedy as well."""
    sample = story.draw(works, "1500")
    key = story.key()
    first = story.act(works, sample, key=key)
    assert story.act(works, sample, key=key) == first
    remedy = story.plan(works, sample)
    with pytest.raises(KeyConflict):
        story.act(works, sample, key=key, remedy=Remedy.objects.get(pk=remedy))
