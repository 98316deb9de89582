"""Carry a write out once, however often its form, request or file is sent."""

import hashlib
import json
from collections.abc import Callable, Mapping
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext_noop

from records import canonical, clock
from records.actors import Actor
from records.errors import KEY_MALFORMED, KeyConflict, RecordError, storable
from records.models import WriteKey
from records.services.ledger import ledger_lock

CONFLICT = gettext_noop(
    "This was already sent with other content. Open the page again to see what is stored."
)

_LONGEST_KEY = 64


def stored_once(
    *,
    actor: Actor,
    key: str,
    operation: str,
    body: Mapping[str, object],
    write: Callable[[], UUID],
) -> UUID:
    """Run `write` in a transaction and keep its key; a repeat returns the first answer.

    `body` holds strings (nested at will): the same key with another body raises KeyConflict.
    The plant's writes go one at a time, under the ledger's lock: so a form sent twice at the same
    moment finds what the first one stored, and no sheet is signed while something is written on it.
    """
    if not key.strip() or len(key) > _LONGEST_KEY or not storable(key):
        raise RecordError("key_malformed", KEY_MALFORMED)
    digest = _digest(body)
    with transaction.atomic():
        ledger_lock(actor.plant)
        earlier = _earlier(actor, key, operation, digest)
        if earlier is not None:
            return earlier
        answer = write()
        WriteKey.objects.create(
            plant=actor.plant,
            actor=actor.user,
            key=key,
            operation=operation,
            body_digest=digest,
            answer=answer,
            at=clock.now(),
        )
        return answer


def _digest(body: Mapping[str, object]) -> str:
    """Return the SHA-256 of a body. Half of a surrogate pair has no canonical text: such a body is
    escaped, so that `write` comes to say beside which field it stands."""
    try:
        plain = canonical.dumps(dict(body))
    except ValueError:
        plain = json.dumps(body, sort_keys=True)
    return hashlib.sha256(plain.encode()).hexdigest()


def answer_of(actor: Actor, key: str) -> UUID | None:
    """Return what the actor's write under a key was answered with, or None where there was none."""
    found = WriteKey.objects.filter(plant=actor.plant, actor=actor.user, key=key).first()
    return found.answer if found else None


def _earlier(actor: Actor, key: str, operation: str, digest: str) -> UUID | None:
    found = WriteKey.objects.filter(plant=actor.plant, actor=actor.user, key=key).first()
    if found is None:
        return None
    if (found.operation, found.body_digest) != (operation, digest):
        raise KeyConflict("key_conflict", CONFLICT)
    answer: UUID = found.answer
    return answer
