"""Reads on due slots."""

from uuid import UUID

from records.models import Sample, SlotAnswer


def slots_answered_by(sample: Sample) -> list[UUID]:
    """Return the keys of the slots that a sample answered, the earliest due first."""
    answers = SlotAnswer.objects.filter(plant=sample.plant_id, sample=sample)
    return list(answers.order_by("slot__due_at").values_list("slot_id", flat=True))
