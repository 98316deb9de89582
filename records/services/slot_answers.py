"""Answer the slots that a sample was owed for."""

from collections.abc import Collection
from datetime import timedelta

from records import clock
from records.actors import Actor
from records.models import DueSlot, Sample, SlotAnswer

# A test drawn this much before its time counts for it: rule of our own.
EARLY = timedelta(minutes=45)
# Who picks a slot from the list may draw this much before its time: rule of our own.
PICKED_EARLY = timedelta(hours=2)


def slots_answer(
    *, actor: Actor, sample: Sample, tested: Collection[str], chosen: DueSlot | None = None
) -> None:
    """Answer every open slot of the sample's point that was due and whose test it holds.

    The slot that the tester `chosen` to draw for is answered even where it was missed meanwhile,
    but not long before its time: that draw is one more sample.
    """
    due = DueSlot.objects.filter(
        plant=actor.plant,
        sample_point=sample.sample_point_id,
        line__isnull=False,
        method__in=tested,
        due_at__lte=sample.drawn_at + EARLY,
        missed_after__gte=sample.drawn_at,
        answers__isnull=True,
    )
    open_slots = {slot.pk: slot for slot in due}
    picked = chosen is not None and chosen.due_at <= sample.drawn_at + PICKED_EARLY
    if picked and chosen is not None and not chosen.answers.exists():
        open_slots[chosen.pk] = chosen
    SlotAnswer.objects.bulk_create(
        SlotAnswer(
            plant=actor.plant,
            sheet=sample.sheet,
            slot=slot,
            sample=sample,
            at=clock.now(),
            **actor.signed_by,
        )
        for slot in open_slots.values()
    )
