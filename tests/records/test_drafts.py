"""Bench sheets being typed: kept for their tester alone, never overwritten by an older window."""

import pytest
from django.db import IntegrityError, transaction
from django.http import Http404

from chemistry.errors import EntryError
from records.access import row_for
from records.errors import Moved, NotAllowed, RecordError
from records.models import Draft, DueSlot
from records.selectors.rounds import drafts_of
from records.services.drafts import draft_close, draft_discard, draft_open, draft_save
from records.services.slots import slots_expand
from tests import factories
from tests.records import story


@pytest.fixture
def draft(works) -> Draft:
    return draft_open(actor=works.tester, point=works.point, method_keys=["conductivity"])


def save(works, draft, typed, revision, by=None):
    return draft_save(actor=by or works.tester, draft=draft, typed=typed, revision=revision)


def test_it_goes_on_with_the_unfinished_one(works, draft):
    again = draft_open(actor=works.tester, point=works.point, method_keys=["conductivity"])
    assert again.pk == draft.pk
    mates = draft_open(actor=works.mate, point=works.point, method_keys=["conductivity"])
    assert mates.pk != draft.pk


def test_the_database_holds_one_open_sheet_of_a_tester_at_a_point(works, draft):
    values = {f.attname: getattr(draft, f.attname) for f in draft._meta.concrete_fields}
    values.pop("id")
    with pytest.raises(IntegrityError), transaction.atomic():
        Draft.objects.create(**values)


def test_it_counts_revisions_and_refuses_an_older_window(works, draft):
    saved = save(works, draft, {"reading": "12"}, 0)
    assert saved.revision == 1
    assert save(works, draft, {"reading": "12"}, 0).revision == 1  # the same text, sent again
    with story.refused("changed_elsewhere", Moved):
        save(works, draft, {"reading": "99"}, 0)
    assert Draft.objects.get().typed == {"reading": "12"}


def test_it_is_its_testers_alone(works, draft):
    with story.refused("not_yours"):
        save(works, draft, {"reading": "12"}, 0, by=works.mate)
    with story.refused("not_yours"):
        draft_discard(actor=works.supervisor, draft=draft)
    assert list(drafts_of(works.mate)) == []
    with pytest.raises(Http404):
        row_for(works.mate, Draft, draft.pk)
    assert row_for(works.tester, Draft, draft.pk) == draft


def test_a_closed_one_takes_no_more(works, draft):
    draft_discard(actor=works.tester, draft=draft)
    closed = Draft.objects.get().closed_at
    with story.refused("draft_closed", Moved):
        save(works, draft, {"reading": "12"}, 0)
    with story.later(5):
        draft_close(draft)
    assert Draft.objects.get().closed_at == closed


def test_the_sample_under_its_id_closes_it(works, draft):
    test = factories.conductivity("1240", works.used)
    factories.sample(works.tester, works.point, test, key=str(draft.pk))
    assert Draft.objects.get().closed_at is not None


def test_a_refused_sample_leaves_it_open(works, draft):
    with pytest.raises(RecordError):
        factories.sample(
            works.tester, works.point, factories.conductivity("x", works.used), key=str(draft.pk)
        )
    assert Draft.objects.get().closed_at is None


def test_nobody_closes_anothers_by_its_id(works, draft):
    test = factories.conductivity("1240", works.used)
    factories.sample(works.mate, works.point, test, key=str(draft.pk))
    assert Draft.objects.get(pk=draft.pk).closed_at is None


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({"note": "x" * 301}, "too_much"),
        ({f"f{n}": "" for n in range(1501)}, "too_much"),
        ({"note": "a\0b"}, "not_text"),
        ({"note": "\ud800"}, "not_text"),
    ],
)
def test_it_refuses_what_cannot_be_kept(works, draft, typed, code):
    with story.refused(code):
        save(works, draft, typed, 0)
    assert Draft.objects.get().revision == 0


def test_it_refuses_another_plants_point_and_a_slot_of_another_point(works, elsewhere):
    with story.refused("not_here"):
        draft_open(actor=works.tester, point=elsewhere.point, method_keys=["conductivity"])
    slots_expand(works.plant)
    slot = DueSlot.objects.first()
    with story.refused("not_here"):
        draft_open(actor=works.tester, point=works.feed, method_keys=["conductivity"], slot=slot)


def test_it_refuses_an_unknown_test_and_who_may_not_test(works):
    with story.refused("unknown_method", EntryError):
        draft_open(actor=works.tester, point=works.point, method_keys=["alchemy"])
    nobody = factories.Actor(user=works.tester.user, plant=works.plant, roles=frozenset())
    with pytest.raises(NotAllowed):
        draft_open(actor=nobody, point=works.point, method_keys=["conductivity"])
