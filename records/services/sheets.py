"""Hand in, return and sign log sheets; sign amendments. One signing at a time per plant."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext_noop

from records import clock
from records.actors import Actor, Proof
from records.errors import Moved, RecordError, fitting
from records.models import (
    Amendment,
    AppendOnly,
    Limit,
    LogSheet,
    Meaning,
    ProgramVersion,
    Signature,
    Verdict,
)
from records.permissions import Deed
from records.selectors.sheet_pages import ALONE, BETWEEN, drawn_by_others
from records.selectors.sheets import (
    SheetStatus,
    amendment_waits,
    digest_of,
    rows_of,
    rows_of_amendment,
    rows_of_each,
    stand_of,
    testers_of,
    token_makers_of,
)
from records.selectors.tokens import makers_behind
from records.services.follow_ups import follow_ups_renew
from records.services.ledger import ledger_append, ledger_lock
from records.services.once import stored_once

SHEET_MOVED = gettext_noop(
    "The sheet changed since you opened it. Here it is anew; look it through."
)
ALREADY_SIGNED = gettext_noop("%(name)s has signed this sheet meanwhile.")
OWN_TESTS = gettext_noop("You tested on this sheet, so another person must sign it.")
OWN_TOKEN = gettext_noop(
    "You made the token by which some of this sheet was sent, so another person must sign it."
)
OWN_HAND_IN = gettext_noop("You handed this sheet in, so another person must sign it.")
NOT_HANDED_IN = gettext_noop("This sheet is not handed in as it stands now, so it can't be signed.")
NOTHING_TO_HAND_IN = gettext_noop("This sheet is already handed in as it stands.")
COMMENT_NEEDED = gettext_noop("Say what has to be put right.")
PROOF_NEEDED = gettext_noop("Confirm with your PIN or password first.")
PASSWORD_NEEDED = gettext_noop("Confirm with your password first.")
OWN_AMENDMENT = gettext_noop("You proposed this amendment, so another person must sign it.")
OWN_AMENDED_TEST = gettext_noop("You made the test that this amends, so another person must sign.")
NOT_ALONE = gettext_noop("%(names)s drew samples on this shift too, so you were not alone.")
AMENDMENT_SETTLED = gettext_noop("This amendment has been decided meanwhile.")

_LONGEST_COMMENT = 500


def sheet_hand_in(
    *,
    actor: Actor,
    sheet: LogSheet,
    seen: str,
    key: str,
    comment: str = "",
    alone: bool = False,
) -> UUID:
    """Hand a sheet in, with PIN or password. Raises Moved where `seen` is not how it stands.

    `alone` says that nobody else was on the shift: it is sealed with the mark, and refused where
    another person drew a sample.
    """
    actor.require(Deed.HAND_IN, sheet)
    said = fitting(comment, _LONGEST_COMMENT - len(ALONE + BETWEEN), "comment")
    if alone:
        others = drawn_by_others(sheet, actor.user_id)
        if others:
            raise RecordError("not_alone", NOT_ALONE, field="alone", names=", ".join(others))
        said = BETWEEN.join(filter(None, [ALONE, said]))
    _require_proof(actor, {Proof.PIN, Proof.PASSWORD}, PROOF_NEEDED)

    def check(status: SheetStatus) -> None:
        if status is SheetStatus.HANDED_IN:
            raise RecordError("already_handed_in", NOTHING_TO_HAND_IN)

    return _mark(actor, sheet, Meaning.HANDED_IN, seen, key, said, check)


def sheet_return(*, actor: Actor, sheet: LogSheet, seen: str, key: str, comment: str) -> UUID:
    """Send a sheet back to its testers with a comment."""
    actor.require(Deed.SIGN, sheet)
    if not comment.strip():
        raise RecordError("comment_needed", COMMENT_NEEDED, field="comment")

    def check(status: SheetStatus) -> None:
        if status is not SheetStatus.HANDED_IN:
            raise RecordError("not_handed_in", NOT_HANDED_IN)

    return _mark(actor, sheet, Meaning.RETURNED, seen, key, comment, check)


@dataclass(frozen=True, kw_only=True)
class ToSign:
    """A sheet to be signed: the digest that was `seen`, and the key against a second signing."""

    sheet: LogSheet
    seen: str
    key: str
    comment: str = ""


def sheet_sign(*, actor: Actor, sheet: LogSheet, seen: str, key: str, comment: str = "") -> UUID:
    """Sign a handed-in sheet by password: never one's own tests, never one's own hand-in."""
    return sheets_sign(
        actor=actor, sheets=[ToSign(sheet=sheet, seen=seen, key=key, comment=comment)]
    )[0]


def sheets_sign(*, actor: Actor, sheets: Sequence[ToSign]) -> list[UUID]:
    """Sign handed-in sheets, all of them or none: what refuses one refuses all."""
    actor.require(Deed.SIGN, *(each.sheet for each in sheets))
    _require_proof(actor, {Proof.PASSWORD}, PASSWORD_NEEDED)
    with transaction.atomic():
        ledger_lock(actor.plant)  # from here on nothing is written on any of them
        rows = rows_of_each([each.sheet for each in sheets])
        return [_sign(actor, each, rows[each.sheet.pk]) for each in sheets]


def _sign(actor: Actor, wanted: ToSign, rows: list[AppendOnly]) -> UUID:
    sheet = wanted.sheet

    def check(status: SheetStatus) -> None:
        own = own_part(actor, sheet)
        if own is not None:
            raise own
        if status is not SheetStatus.HANDED_IN:
            raise RecordError("not_handed_in", NOT_HANDED_IN)
        if Signature.objects.filter(
            plant=actor.plant, sheet=sheet, by=actor.user, meaning=Meaning.HANDED_IN
        ).exists():
            raise RecordError("own_hand_in", OWN_HAND_IN)

    key, seen, comment = wanted.key, wanted.seen, wanted.comment
    return _mark(actor, sheet, Meaning.SIGNED, seen, key, comment, check, rows)


def own_part(actor: Actor, sheet: LogSheet) -> RecordError | None:
    """Return why a sheet is too much the actor's own to be signed by them, or None."""
    if actor.user_id in testers_of(sheet):
        return RecordError("own_tests", OWN_TESTS)
    if actor.user_id in token_makers_of(sheet):
        return RecordError("own_token", OWN_TOKEN)
    return None


def amendment_decide(
    *, actor: Actor, amendment: Amendment, seen: str, key: str, accept: bool, comment: str = ""
) -> UUID:
    """Sign an amendment, or refuse it with a comment, as the second person."""
    actor.require(Deed.SIGN, amendment)
    _require_proof(actor, {Proof.PASSWORD}, PASSWORD_NEEDED)
    said = fitting(comment, _LONGEST_COMMENT, "comment")
    if not accept and not said:
        raise RecordError("comment_needed", COMMENT_NEEDED, field="comment")
    meaning = Meaning.AMENDMENT_SIGNED if accept else Meaning.AMENDMENT_REFUSED

    def write() -> UUID:
        head = ledger_lock(actor.plant)
        if not amendment_waits(amendment):
            raise Moved("amendment_settled", AMENDMENT_SETTLED)
        _refuse_own_amendment(actor, amendment)
        rows = rows_of_amendment(amendment)
        digest = digest_of(rows)
        if digest != seen:
            raise Moved("sheet_moved", SHEET_MOVED)
        signature = _signature(actor, amendment.sheet, meaning, digest, said)
        signature.amendment = amendment
        signature.save()
        ledger_append(head, [*rows, *_judged_by(rows), signature])
        if accept:
            follow_ups_renew(actor=actor, measurement=amendment.measurement)
        key_of_row: UUID = signature.pk
        return key_of_row

    body = {
        "amendment": str(amendment.pk),
        "meaning": meaning.value,
        "seen": seen,
        "comment": said,
    }
    return stored_once(actor=actor, key=key, operation="amendment_decide", body=body, write=write)


def _refuse_own_amendment(actor: Actor, amendment: Amendment) -> None:
    if amendment.by_id == actor.user_id:
        raise RecordError("own_amendment", OWN_AMENDMENT)
    amended = amendment.measurement.corrects
    while amended is not None:  # a refused amendment may stand between: the first test counts too
        if amended.by_id == actor.user_id:
            raise RecordError("own_amended_test", OWN_AMENDED_TEST)
        amended = amended.corrects
    sample = amendment.measurement.sample_id
    if actor.user_id in makers_behind(amendment.plant_id, [sample]):
        raise RecordError("own_token", OWN_TOKEN)


def _require_proof(actor: Actor, wanted: set[Proof], sentence: str) -> None:
    away = actor.proof is Proof.PIN and actor.terminal is None
    if away or actor.proof not in wanted:
        raise RecordError("proof_needed", sentence)


def _mark(
    actor: Actor,
    sheet: LogSheet,
    meaning: Meaning,
    seen: str,
    key: str,
    comment: str,
    check: Callable[[SheetStatus], None],
    locked: list[AppendOnly] | None = None,
) -> UUID:
    """Set one mark on a sheet, provided that it stands as it was seen, and seal what is on it.

    `locked` holds its rows where they were read under the plant's lock already.
    """
    said = fitting(comment, _LONGEST_COMMENT, "comment")

    def write() -> UUID:
        head = ledger_lock(actor.plant)
        rows = rows_of(sheet) if locked is None else locked
        stand = stand_of(sheet, rows)
        if stand.signed and stand.last is not None:
            raise Moved("already_signed", ALREADY_SIGNED, name=stand.last.by_name)
        if stand.digest != seen:
            raise Moved("sheet_moved", SHEET_MOVED)
        check(stand.status)
        signature = _signature(actor, sheet, meaning, stand.digest, said)
        signature.save()
        ledger_append(head, [*rows, *_judged_by(rows), signature])
        key_of_row: UUID = signature.pk
        return key_of_row

    body = {"sheet": str(sheet.pk), "meaning": meaning.value, "seen": seen, "comment": said}
    operation = f"sheet_{meaning.value}"
    return stored_once(actor=actor, key=key, operation=operation, body=body, write=write)


def _signature(
    actor: Actor, sheet: LogSheet, meaning: Meaning, digest: str, comment: str
) -> Signature:
    count = Signature.objects.filter(plant=actor.plant, sheet=sheet).count()
    return Signature(
        plant=actor.plant,
        sheet=sheet,
        sequence=count + 1,
        meaning=meaning,
        username=actor.user.username,
        roles=", ".join(sorted(role.value for role in actor.roles)),
        proof=actor.proof.value,
        terminal=actor.terminal,
        terminal_name=actor.terminal.name if actor.terminal else "",
        at=clock.now(),
        digest=digest,
        comment=comment,
        **actor.signed_by,
    )


def _judged_by(rows: Sequence[AppendOnly]) -> list[AppendOnly]:
    """Return the program versions and limits that judged the rows: sealed beside them."""
    verdicts = [row for row in rows if isinstance(row, Verdict)]
    versions = dict.fromkeys(v.program_version_id for v in verdicts if v.program_version_id)
    limits = dict.fromkeys(v.limit_id for v in verdicts if v.limit_id)
    if not versions and not limits:
        return []
    plant = verdicts[0].plant_id
    found = ProgramVersion.objects.filter(plant=plant).in_bulk(list(versions))
    held = Limit.objects.filter(plant=plant).in_bulk(list(limits))
    return [*(found[key] for key in versions), *(held[key] for key in limits)]
