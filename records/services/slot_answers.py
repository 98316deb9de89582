"""Answer the slots that a sample was owed for, or say why a test could not be done."""

from collections.abc import Collection, Iterable, Sequence
from datetime import timedelta
from uuid import UUID

from django.db.models import Q
from django.utils.translation import gettext_noop

from records import clock
from records.actors import Actor
from records.errors import RecordError, fitting
from records.models import DueSlot, LogSheet, Sample, SlotAnswer
from records.permissions import Deed
from records.selectors.rounds import ASKED_EARLY, MOST_GRACE
from records.services.once import stored_once
from records.services.sheet_opening import sheet_untouched_at

# A test drawn this much before its time counts for it: rule of our own.
EARLY = timedelta(minutes=45)
# Who picks a slot from the list may draw this much before its time: rule of our own.
PICKED_EARLY = timedelta(hours=2)

# Why a test could not be done. What is kept is the key, with the person's own words behind it.
REASONS = {
    "no_sample": gettext_noop("No sample to be had: the point is shut, blocked or cold"),
    "no_reagent": gettext_noop("Out of a reagent"),
    "instrument": gettext_noop("The instrument is out of service"),
    "unsafe": gettext_noop("Not safe to draw"),
    "not_in_state": gettext_noop("The boiler was not in the state that the test is for"),
    "other": gettext_noop("Another reason"),
}
TESTS_NEEDED = gettext_noop("Pick the tests that this is about.")
REASON_NEEDED = gettext_noop("Say why: pick one of the reasons.")
WORDS_NEEDED = gettext_noop("Say the reason in a few words.")
ANSWERED = gettext_noop("One of these tests was entered or explained meanwhile. Look again.")
NOT_DUE_YET = gettext_noop("This is not due yet.")
_BETWEEN = ": "
# No slot stays open longer: the most grace, and a day for an event that was told late. By this the
# store need not look through all slots there ever were.
_LONGEST_OPEN = MOST_GRACE + timedelta(days=1)
_LONGEST_WORDS = 240


def slots_answer(
    *, actor: Actor, sample: Sample, tested: Collection[str], chosen: DueSlot | None = None
) -> None:
    """Answer every open slot of the sample's point that was due and whose test it holds.

    The slot that the tester `chosen` to draw for is answered even where it was missed meanwhile,
    but not long before its time: that draw is one more sample.
    """
    due = DueSlot.objects.filter(
        _in_time(sample),
        plant=actor.plant,
        sample_point=sample.sample_point_id,
        method__in=tested,
        due_at__range=(sample.drawn_at - _LONGEST_OPEN, sample.drawn_at + EARLY),
        missed_after__gte=sample.drawn_at,
        answers__isnull=True,
    )
    open_slots = {slot.pk: slot for slot in due}
    wanted = chosen is not None and chosen.pk not in open_slots and chosen.method in tested
    if chosen is not None and wanted and _picked(chosen, sample):
        open_slots[chosen.pk] = chosen
    _answer(actor, sample, sample.sheet, open_slots.values())


def _in_time(sample: Sample) -> Q:
    """A draw counts a little before its time; one that an event asked for, only after the event."""
    planned = Q(line__isnull=False)
    asked = Q(happened_at__lte=sample.drawn_at, due_at__lte=sample.drawn_at + ASKED_EARLY)
    return planned | asked


def _picked(slot: DueSlot, sample: Sample) -> bool:
    early = ASKED_EARLY if slot.happened_at else PICKED_EARLY
    after = slot.happened_at is None or slot.happened_at <= sample.drawn_at
    return after and slot.due_at <= sample.drawn_at + early and not slot.answers.exists()


def slot_answer_by_earlier(*, actor: Actor, slot: DueSlot) -> None:
    """Answer a slot that is opened late by the first sample that was drawn for it already."""
    drawn = Sample.objects.filter(
        plant=actor.plant,
        sample_point=slot.sample_point_id,
        measurements__method=slot.method,
        drawn_at__gte=max(slot.happened_at or slot.due_at, slot.due_at - ASKED_EARLY),
        drawn_at__lte=slot.missed_after,
    )
    sample = drawn.order_by("drawn_at").first()
    if sample is not None:
        sheet = sheet_untouched_at(actor.plant, sample.drawn_at)
        _answer(actor, sample, sheet, [slot])


def _answer(actor: Actor, sample: Sample, sheet: LogSheet, slots: Iterable[DueSlot]) -> None:
    SlotAnswer.objects.bulk_create(
        SlotAnswer(
            plant=actor.plant,
            sheet=sheet,
            slot=slot,
            sample=sample,
            at=clock.now(),
            **actor.signed_by,
        )
        for slot in slots
    )


def slots_excuse(
    *, actor: Actor, slots: Sequence[DueSlot], reason: str, words: str, key: str
) -> UUID:
    """Record why tests that are due, or were missed, could not be done; returns the first answer.

    It stands on the sheet of the shift in which they were due, while that is not handed in, and
    else on the present shift's. Raises RecordError naming the field: slots, reason or words.
    """
    actor.require(Deed.TEST, *slots)
    said = reason_text(reason, words)
    if not slots:
        raise RecordError("tests_needed", TESTS_NEEDED, field="slots")
    if any(slot.due_at > clock.now() + EARLY for slot in slots):
        raise RecordError("not_due_yet", NOT_DUE_YET)

    def write() -> UUID:
        if SlotAnswer.objects.filter(plant=actor.plant, slot__in=slots).exists():
            raise RecordError("answered", ANSWERED)
        answers = [_excuse(actor, slot, said) for slot in slots]
        return answers[0]

    body = {"slots": sorted(str(slot.pk) for slot in slots), "reason": said}
    return stored_once(actor=actor, key=key, operation="slots_excuse", body=body, write=write)


def _excuse(actor: Actor, slot: DueSlot, said: str) -> UUID:
    now = clock.now()
    answer: SlotAnswer = SlotAnswer.objects.create(
        plant=actor.plant,
        sheet=sheet_untouched_at(actor.plant, min(slot.due_at, now)),
        slot=slot,
        reason=said,
        at=now,
        **actor.signed_by,
    )
    key: UUID = answer.pk
    return key


def reason_text(reason: str, words: str) -> str:
    """Return a reason as it is kept; raises RecordError where it is missing or too long."""
    if reason not in REASONS:
        raise RecordError("reason_needed", REASON_NEEDED, field="reason")
    own = fitting(words, _LONGEST_WORDS, "words")
    if reason == "other" and not own:
        raise RecordError("words_needed", WORDS_NEEDED, field="words")
    return _BETWEEN.join(filter(None, [reason, own]))


def reason_parts(kept: str) -> tuple[str, str]:
    """Return the sentence (marked) and the own words of a reason as it is kept."""
    reason, _between, own = kept.partition(_BETWEEN)
    return (REASONS[reason], own) if reason in REASONS else ("", kept)
