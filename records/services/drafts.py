"""Bench sheets being typed: kept on the server at every pause, for their tester alone."""

from collections.abc import Mapping
from copy import copy
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext_noop

from chemistry import methods
from chemistry.errors import EntryError
from records import clock
from records.actors import Actor
from records.errors import NOT_TEXT, Moved, RecordError, not_here, storable
from records.models import Draft, DueSlot, SamplePoint
from records.permissions import Deed
from records.shifts import local

CHANGED_ELSEWHERE = gettext_noop(
    "This sheet was changed in another window. Open it again to go on with what is stored."
)
DRAFT_CLOSED = gettext_noop("This bench sheet is finished or put away.")
TOO_MUCH = gettext_noop("This is more text than a bench sheet can hold.")
_LONGEST = 300
_MOST_FIELDS = 1500


def draft_open(
    *, actor: Actor, point: SamplePoint, method_keys: list[str], slot: DueSlot | None = None
) -> Draft:
    """Return a new bench sheet for a point, or the tester's unfinished one for it."""
    actor.require(Deed.TEST, point, slot)
    if slot is not None and slot.sample_point_id != point.pk:
        raise not_here()
    now = clock.now()
    # The database holds one open sheet of a tester at a point: opened twice at once, one is made.
    draft: Draft = Draft.objects.get_or_create(
        plant=actor.plant,
        tester=actor.user,
        sample_point=point,
        closed_at=None,
        defaults={
            "slot": slot,
            "method_versions": {key: methods.latest(key).version for key in method_keys},
            "typed": {"drawn_at": local(actor.plant, now).strftime("%Y-%m-%dT%H:%M")},
            "opened_at": now,
            "changed_at": now,
        },
    )[0]
    return draft


def draft_save(*, actor: Actor, draft: Draft, typed: Mapping[str, Any], revision: int) -> Draft:
    """Keep what is typed now. `revision` is what the window last saw; an older one is refused."""
    _require_own(actor, draft)
    _refuse_too_much(typed)
    kept = copy(draft)
    kept.typed, kept.revision, kept.changed_at = dict(typed), revision + 1, clock.now()
    same = Draft.objects.filter(plant=actor.plant, pk=draft.pk, closed_at=None, revision=revision)
    changed = draft.typed != typed and same.update(
        typed=kept.typed, revision=kept.revision, changed_at=kept.changed_at
    )
    return kept if changed else _as_stored(actor, draft, typed)


def _as_stored(actor: Actor, draft: Draft, typed: Mapping[str, Any]) -> Draft:
    """Return a sheet on which nothing was written, since it holds the same already; raises Moved
    where it is closed or holds something else."""
    stored: Draft = Draft.objects.select_related("sample_point__boiler", "sample_point__plant").get(
        plant=actor.plant, pk=draft.pk
    )
    if stored.closed_at is not None:
        raise Moved("draft_closed", DRAFT_CLOSED)
    if stored.typed != typed:
        raise Moved("changed_elsewhere", CHANGED_ELSEWHERE)
    return stored


def draft_test_add(*, actor: Actor, draft: Draft, method: str) -> Draft:
    """Put one more test on an open bench sheet, in its newest version."""
    _require_own(actor, draft)
    try:
        version = methods.latest(method).version
    except EntryError as error:
        raise RecordError(error.code, error.template, field="add", **error.params) from error
    with transaction.atomic():
        stored: Draft = Draft.objects.select_for_update().get(plant=actor.plant, pk=draft.pk)
        if stored.closed_at is not None:
            raise Moved("draft_closed", DRAFT_CLOSED)
        stored.method_versions.setdefault(method, version)
        stored.save(update_fields=["method_versions"])
    return stored


def draft_discard(*, actor: Actor, draft: Draft) -> None:
    """Put an unfinished bench sheet away, at its tester's wish. Its text stays stored."""
    _require_own(actor, draft)
    draft_close(draft)


def draft_close(draft: Draft) -> None:
    """Mark a bench sheet as finished or put away; one that is closed keeps its time."""
    Draft.objects.filter(plant=draft.plant_id, pk=draft.pk, closed_at=None).update(
        closed_at=clock.now()
    )
    draft.refresh_from_db(fields=["closed_at"])


def draft_finish(actor: Actor, key: str) -> None:
    """Close the actor's bench sheet whose id is the key of a sample, if there is one."""
    try:
        pk = UUID(key)
    except ValueError:
        return
    Draft.objects.filter(plant=actor.plant, tester=actor.user, pk=pk, closed_at=None).update(
        closed_at=clock.now()
    )


def _require_own(actor: Actor, draft: Draft) -> None:
    actor.require(Deed.TEST, draft)
    if draft.tester_id != actor.user_id:
        raise RecordError("not_yours", DRAFT_CLOSED)


def _refuse_too_much(typed: Mapping[str, Any]) -> None:
    texts = list(_texts(typed))
    if not all(storable(text) for text in texts):
        raise RecordError("not_text", NOT_TEXT)
    if len(texts) > _MOST_FIELDS or any(len(text) > _LONGEST for text in texts):
        raise RecordError("too_much", TOO_MUCH)


def _texts(value: Any) -> list[str]:
    if isinstance(value, Mapping):
        return [text for part in value.values() for text in _texts(part)] + list(value)
    if not isinstance(value, str):
        raise TypeError("a draft holds texts only")
    return [value]
