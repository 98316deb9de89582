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
    LogSheet,
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
    NOT_TESTED = "not_tested"
    DONE = "done"


_OWED = (Due.NOW, Due.OVERDUE)
# What an event or a result asked for may be drawn this much before its time, no more: the water
# has to have changed first. Rule of our own.
ASKED_EARLY = timedelta(minutes=15)

# The longest grace that a program may give: rule of our own.
MOST_GRACE = timedelta(days=7)


@dataclass(frozen=True, kw_only=True)
class SlotStand:
    """One slot with where it stands, and the answer to it: a sample, or why there is none.

    A reason given in time makes it *not tested*; one given afterwards leaves it *missed*.
    """

    slot: DueSlot
    due: Due
    answer: SlotAnswer | None = None

    @property
    def open(self) -> bool:
        """Whether nobody has tested it or said why not."""
        return self.due is not Due.DONE and self.answer is None

    @property
    def late(self) -> bool:
        """Whether it was tested, by water drawn after its grace."""
        sample = self.answer.sample if self.answer else None
        return sample is not None and sample.drawn_at > self.slot.missed_after

    @property
    def line(self) -> tuple[object, ...]:
        """What a line of the round has in common: one draw at one point, asked for by one thing."""
        slot = self.slot
        return (slot.sample_point_id, slot.due_at, slot.follow_up_id, slot.cause)


def _slots(plant: Plant) -> QuerySet[DueSlot]:
    """A retest is also done once its follow-up is settled."""
    settled = FollowUpSettlement.objects.filter(plant=plant, follow_up=OuterRef("follow_up"))
    return (
        DueSlot.objects.filter(plant=plant)
        .annotate(settled=Exists(settled))
        .select_related(
            "sample_point__boiler",
            "line__version__program",
            "follow_up__result",
            "event_draw__watched_point",
        )
        .prefetch_related("answers__sample")
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
    """A slot counts while its boiler is in the state it is for; a schedule's also only while its
    version is in force. What has happened asks for its draw whichever version comes after."""
    asked = slot.line or slot.event_draw
    if asked is None:
        return True
    if slot.line is not None and not versions.holds(slot.line.version, slot.due_at):
        return False
    state = states.at(slot.sample_point.boiler, slot.due_at) or State.STEAMING
    return asked.state == state or (slot.line is None and not asked.state)


def _stand(slot: DueSlot, now: datetime, early: datetime) -> SlotStand:
    answer = next(iter(slot.answers.all()), None)
    return SlotStand(slot=slot, due=_due(slot, answer, now, early), answer=answer)


def _due(slot: DueSlot, answer: SlotAnswer | None, now: datetime, early: datetime) -> Due:
    if slot.settled or (answer and answer.sample_id):  # type: ignore[attr-defined]
        return Due.DONE
    if answer is not None:
        return Due.MISSED if answer.at > slot.missed_after else Due.NOT_TESTED
    if slot.missed_after < now:
        return Due.MISSED
    if slot.due_at < now:
        return Due.OVERDUE
    if slot.line_id is None:
        early = min(early, now + ASKED_EARLY)
    return Due.NOW if slot.due_at <= early else Due.LATER


def slots_for_round(
    plant: Plant,
    *,
    now: datetime,
    early: datetime,
    since: datetime,
    until: datetime,
    in_grace: bool = False,
) -> list[SlotStand]:
    """Return the slots due between two instants that apply, the most overdue first.

    `early` is up to when a slot that lies ahead already counts as due now. With `in_grace` older
    ones come too whose grace ends after `since`: a weekly test may be days late.
    """
    found = _slots(plant).filter(due_at__lt=until)
    if in_grace:
        found = found.filter(due_at__gte=since - MOST_GRACE, missed_after__gte=since)
    else:
        found = found.filter(due_at__gte=since)
    states, versions = StateHistory(plant), VersionsInForce(plant)
    return [
        _stand(slot, now, early)
        for slot in found.order_by("due_at", "sample_point__position")
        if _applies(slot, states, versions)
    ]


def tests_due(point: SamplePoint, *, now: datetime, early: datetime) -> list[str]:
    """Return the tests due at a point now, retests too: what one sample can answer."""
    since = now - timedelta(hours=12)
    stands = slots_for_round(
        point.plant, now=now, early=early, since=since, until=early, in_grace=True
    )
    due = [s.slot.method for s in stands if s.slot.sample_point_id == point.pk and s.due in _OWED]
    return list(dict.fromkeys(due))


def overdue_at(plant: Plant, *, now: datetime, since: datetime) -> list[SlotStand]:
    """Return the slots that are overdue, or were missed since an instant, and nobody answered."""
    stands = slots_for_round(plant, now=now, early=now, since=since, until=now, in_grace=True)
    return [stand for stand in stands if stand.open and stand.due in (Due.OVERDUE, Due.MISSED)]


def overdue_count(plant: Plant, *, now: datetime, since: datetime) -> int:
    """Return how many slots are overdue, or were missed since an instant."""
    return len(overdue_at(plant, now=now, since=since))


def explained_on(sheet: LogSheet) -> list[SlotStand]:
    """Return what a sheet says could not be tested, of its own shift or of an earlier one."""
    answers = SlotAnswer.objects.filter(plant=sheet.plant_id, sheet=sheet, sample=None)
    return [
        SlotStand(
            slot=answer.slot,
            due=Due.MISSED if answer.at > answer.slot.missed_after else Due.NOT_TESTED,
            answer=answer,
        )
        for answer in answers.select_related(
            "slot__sample_point__boiler", "slot__follow_up", "slot__event_draw__watched_point"
        ).order_by("slot__due_at", "slot__sample_point__position")
    ]


def line_of(slot: DueSlot, *, now: datetime, early: datetime) -> list[SlotStand]:
    """Return the slots that stand on one line of the round with a slot, itself among them."""
    just = slot.due_at + timedelta(microseconds=1)
    stands = slots_for_round(slot.plant, now=now, early=early, since=slot.due_at, until=just)
    mine = next((stand.line for stand in stands if stand.slot == slot), None)
    return [stand for stand in stands if stand.line == mine]


def drafts_of(actor: Actor) -> Sequence[Draft]:
    """Return the actor's own unfinished bench sheets."""
    return list(
        Draft.objects.filter(plant=actor.plant, tester=actor.user, closed_at=None)
        .select_related("sample_point__boiler")
        .order_by("opened_at")
    )


def draft_at(actor: Actor, point: SamplePoint) -> Draft | None:
    """Return the actor's own unfinished bench sheet for a point."""
    found: Draft | None = Draft.objects.filter(
        plant=actor.plant, tester=actor.user, sample_point=point, closed_at=None
    ).first()
    return found


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
