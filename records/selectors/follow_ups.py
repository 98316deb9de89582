"""Reads around one sample: remedies asked for, what was done, what is still owed."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from records.models import Action, FollowUp, LogSheet, Remedy, Sample


def remedies_of(sample: Sample) -> Sequence[Remedy]:
    """Return the remedies worked out for a sample, the newest first."""
    return list(Remedy.objects.filter(plant=sample.plant_id, sample=sample).order_by("-at", "-id"))


def actions_of(sample: Sample) -> Sequence[Action]:
    """Return what was done about a sample, in order."""
    return list(
        Action.objects.filter(plant=sample.plant_id, sample=sample)
        .select_related("boiler", "sample__sample_point__boiler")
        .order_by("done_at")
    )


def actions_by_result(sample: Sample) -> dict[UUID | None, list[Action]]:
    """Return what was done about a sample by the result it was done about.

    An action and the retest that it owes are written at one instant, in one order; what was done
    about no result, such as oil that was seen, stands under None.
    """
    retests = FollowUp.objects.filter(
        plant=sample.plant_id, sample=sample, why="after_action"
    ).order_by("id")
    about: dict[datetime, list[UUID]] = {}
    for retest in retests:
        about.setdefault(retest.at, []).append(retest.result_id)
    found: dict[UUID | None, list[Action]] = {}
    for action in sorted(actions_of(sample), key=lambda each: each.pk):
        waiting = about.get(action.at, [])
        found.setdefault(waiting.pop(0) if waiting else None, []).append(action)
    return found


def actions_on_sheet(sheet: LogSheet) -> Sequence[Action]:
    """Return what was done, as written on a sheet."""
    return list(
        Action.objects.filter(plant=sheet.plant_id, sheet=sheet)
        .select_related("boiler", "sample__sample_point__boiler")
        .order_by("done_at")
    )


def follow_ups_of(sample: Sample) -> Sequence[FollowUp]:
    """Return what is owed after a sample, settled or not."""
    return list(
        FollowUp.objects.filter(plant=sample.plant_id, sample=sample)
        .select_related("sample__sample_point__boiler", "result__measurement")
        .prefetch_related("settlements")
        .order_by("due_at")
    )


def follow_ups_on_sheet(sheet: LogSheet) -> Sequence[FollowUp]:
    """Return the follow-ups opened on a sheet."""
    return list(
        FollowUp.objects.filter(plant=sheet.plant_id, sheet=sheet)
        .select_related("sample__sample_point__boiler", "result__measurement")
        .prefetch_related("settlements")
        .order_by("due_at")
    )
