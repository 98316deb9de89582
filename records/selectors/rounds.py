"""Reads for the round: what is due, what was missed, what is unfinished and what is still owed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from django.db.models import Exists, OuterRef, QuerySet

from records.actors import Actor
from records.models import (
    Boiler,
    BoilerState,
    Draft,
    DueSlot,
    FollowUp,
    FollowUpSettlement,
    Plant,
    ProgramVersion,
    SamplePoint,
    SlotAnswer,
    State,
)


class Due(StrEnum):
    """Where a slot stands at an instant."""

    LATER = "later"
    NOW = "now"
    OVERDUE = "overdue"
    MISSED = "missed"
    DONE = "done"


_OWED = (Due.NOW, Due.OVERDUE)


@dataclass(frozen=True, kw_only=True)
class SlotStand:
    """One slot with where it stands."""

    slot: DueSlot
    due: Due


def _slots(plant: Plant) -> QuerySet[DueSlot]:
    """A slot is done once it is answered; a retest's also once its follow-up is settled."""
    named = SlotAnswer.objects.filter(plant=plant, slot=OuterRef("pk"))
    settled = FollowUpSettlement.objects.filter(plant=plant, follow_up=OuterRef("follow_up"))
    return (
        DueSlot.objects.filter(plant=plant)
        .annotate(done=Exists(named) | Exists(settled))
        .select_related("sample_point__boiler", "line__version__program", "follow_up__result")
    )


class StateHistory:
    """The states of a plant's boilers over time, read in one query."""

    def __init__(self, plant: Plant) -> None:
        self._by_boiler: dict[object, list[BoilerState]] = {}
        for row in BoilerState.objects.filter(plant=plant).order_by("since", "recorded_at", "id"):
            self._by_boiler.setdefault(row.boiler_id, []).append(row)

    def entry(self, boiler: Boiler, instant: datetime) -> BoilerState | None:
        """Return the entry that holds at an instant."""
        held = [row for row in self._by_boiler.get(boiler.pk, []) if row.since <= instant]
        return held[-1] if held else None

    def at(self, boiler: Boiler | None, instant: datetime) -> str:
        """Return the state at an instant, or "" where none is known."""
        entry = self.entry(boiler, instant) if boiler else None
        return entry.state if entry else ""


class VersionsInForce:
    """Which program versions were in force when, read in one query."""

    def __init__(self, plant: Plant) -> None:
        self._by_program: dict[object, list[ProgramVersion]] = {}
        for row in ProgramVersion.objects.filter(plant=plant).order_by("in_force_from"):
            self._by_program.setdefault(row.program_id, []).append(row)

    def at(self, program_id: object, instant: datetime) -> ProgramVersion | None:
        """Return the version of a program that was in force at an instant."""
        rows = self._by_program.get(program_id, [])
        begun = [row for row in rows if row.in_force_from <= instant]
        return begun[-1] if begun else None

    def holds(self, version: ProgramVersion, instant: datetime) -> bool:
        """Say whether a version was the one in force at an instant."""
        return self.at(version.program_id, instant) == version


def _applies(slot: DueSlot, states: StateHistory, versions: VersionsInForce) -> bool:
    """A slot counts while its version is in force and its boiler in the state it is for."""
    if slot.line is None:
        return True
    if not versions.holds(slot.line.version, slot.due_at):
        return False
    state = states.at(slot.sample_point.boiler, slot.due_at)
    return slot.line.state == (state or State.STEAMING)


def _stand(slot: DueSlot, now: datetime, early: datetime) -> Due:
    if slot.done:  # type: ignore[attr-defined]
        return Due.DONE
    if slot.missed_after < now:
        return Due.MISSED
    if slot.due_at < now:
        return Due.OVERDUE
    return Due.NOW if slot.due_at <= early else Due.LATER


def slots_for_round(
    plant: Plant, *, now: datetime, early: datetime, since: datetime, until: datetime
) -> list[SlotStand]:
    """Return the slots between two instants that apply, the most overdue first.

    `early` is up to when a slot that lies ahead already counts as due now.
    """
    found = _slots(plant).filter(due_at__gte=since, due_at__lt=until)
    states, versions = StateHistory(plant), VersionsInForce(plant)
    return [
        SlotStand(slot=slot, due=_stand(slot, now, early))
        for slot in found.order_by("due_at", "sample_point__position")
        if _applies(slot, states, versions)
    ]


def tests_due(point: SamplePoint, *, now: datetime, early: datetime) -> list[str]:
    """Return the tests due at a point now, retests too: what one sample can answer."""
    stands = slots_for_round(
        point.plant, now=now, early=early, since=now - timedelta(hours=12), until=early
    )
    due = [s.slot.method for s in stands if s.slot.sample_point_id == point.pk and s.due in _OWED]
    return list(dict.fromkeys(due))


def overdue_count(plant: Plant, *, now: datetime, since: datetime) -> int:
    """Return how many slots since an instant are overdue or missed."""
    stands = slots_for_round(plant, now=now, early=now, since=since, until=now)
    return sum(stand.due in (Due.OVERDUE, Due.MISSED) for stand in stands)


def drafts_of(actor: Actor) -> Sequence[Draft]:
    """Return the actor's own unfinished bench sheets."""
    return list(
        Draft.objects.filter(plant=actor.plant, tester=actor.user, closed_at=None)
        .select_related("sample_point__boiler")
        .order_by("opened_at")
    )


def testers_with_drafts(plant: Plant) -> set[object]:
    """Return the keys of people with an unfinished bench sheet at a plant."""
    open_drafts = Draft.objects.filter(plant=plant, closed_at=None)
    return set(open_drafts.values_list("tester_id", flat=True))


def open_follow_ups(plant: Plant) -> Sequence[FollowUp]:
    """Return the follow-ups that nothing has settled, the longest owed first."""
    return list(
        FollowUp.objects.filter(plant=plant, settlements__isnull=True)
        .select_related("sample__sample_point__boiler", "result__measurement")
        .prefetch_related("settlements")
        .order_by("due_at")
    )


def points_of(plant: Plant) -> Sequence[SamplePoint]:
    """Return the plant's sample points in bench order."""
    return list(
        SamplePoint.objects.filter(plant=plant).select_related("boiler").order_by("position")
    )


def boilers_of(plant: Plant) -> Sequence[Boiler]:
    """Return the plant's boilers by name."""
    return list(Boiler.objects.filter(plant=plant).order_by("name"))
