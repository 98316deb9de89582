"""The chemist's program: limits, targets and schedules, in versions that are never edited."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from records.models.base import AppendOnly, ByPerson, PlantOwned, unique
from records.models.plant import Boiler, SamplePoint


class Program(PlantOwned):
    """The treatment program of one boiler, or of the water that the plant's boilers share."""

    name = models.CharField(max_length=80)
    boiler = models.ForeignKey(Boiler, models.PROTECT, null=True, related_name="programs")

    class Meta:
        constraints = [unique("name"), unique("boiler")]


class ProgramVersion(AppendOnly, ByPerson):
    """One version, in force from an instant until the next one's; judged draws keep theirs."""

    program = models.ForeignKey(Program, models.PROTECT, related_name="versions")
    number = models.PositiveIntegerField()
    in_force_from = models.DateTimeField()
    recorded_at = models.DateTimeField()
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [unique("program", "number"), unique("program", "in_force_from")]
        ordering = ["number"]


class Limit(AppendOnly):
    """A limit with its basis, its target and where it comes from. Numbers are kept as text.

    Neither low nor high means that no limit is known there; `note` says why.
    """

    version = models.ForeignKey(ProgramVersion, models.PROTECT, related_name="limits")
    sample_point = models.ForeignKey(SamplePoint, models.PROTECT, related_name="+")
    state = models.CharField(max_length=16)
    analyte = models.CharField(max_length=40)
    basis = models.CharField(max_length=80)
    unit = models.CharField(max_length=16)
    low = models.CharField(max_length=24, blank=True)
    high = models.CharField(max_length=24, blank=True)
    target = models.CharField(max_length=24, blank=True)
    guard_band = models.CharField(max_length=24, blank=True)
    source = models.CharField(max_length=200)
    confidence = models.CharField(max_length=40)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [unique("version", "sample_point", "state", "analyte")]


class ScheduleLine(AppendOnly):
    """When a test is due while the boiler is in a state: an RFC 5545 recurrence in local time."""

    version = models.ForeignKey(ProgramVersion, models.PROTECT, related_name="schedule")
    sample_point = models.ForeignKey(SamplePoint, models.PROTECT, related_name="+")
    state = models.CharField(max_length=16)
    method = models.CharField(max_length=40)
    recurrence = models.CharField(max_length=200)
    grace_minutes = models.PositiveIntegerField(default=90)

    class Meta:
        constraints = [unique("version", "sample_point", "state", "method")]


class DrawEvent(models.TextChoices):
    """What can happen that asks for a draw beside those of the calendar."""

    LIGHT_OFF = "light_off", _("A cold boiler is lit off")
    STATE_CHANGE = "state_change", _("The boiler's state changes")
    DOSE = "dose", _("A chemical is dosed")
    BLOWDOWN = "blowdown", _("The boiler is blown down")
    RESULT_ABOVE = "result_above", _("A result lies above a trigger")


def _watching() -> models.Q:
    blank = models.Q(watched_analyte="") | models.Q(trigger_value="") | models.Q(trigger_unit="")
    return models.Q(event=DrawEvent.RESULT_ABOVE, watched_point__isnull=False) & ~blank


def _not_watching() -> models.Q:
    nothing = {"watched_analyte": "", "trigger_value": "", "trigger_unit": ""}
    return models.Q(watched_point__isnull=True, **nothing) & ~models.Q(event=DrawEvent.RESULT_ABOVE)


class EventDraw(AppendOnly):
    """A test that something happening asks for, some minutes after it.

    `state` is that of the boiler when the test falls due, blank for any. What is watched, and the
    trigger (kept as text), stand only with a result that lies above one.
    """

    version = models.ForeignKey(ProgramVersion, models.PROTECT, related_name="event_draws")
    sample_point = models.ForeignKey(SamplePoint, models.PROTECT, related_name="+")
    state = models.CharField(max_length=16, blank=True)
    method = models.CharField(max_length=40)
    event = models.CharField(max_length=16, choices=DrawEvent)
    minutes_after = models.PositiveIntegerField()
    grace_minutes = models.PositiveIntegerField(default=90)
    watched_point = models.ForeignKey(
        SamplePoint, models.PROTECT, null=True, related_name="watched_by"
    )
    watched_analyte = models.CharField(max_length=40, blank=True)
    trigger_value = models.CharField(max_length=24, blank=True)
    trigger_unit = models.CharField(max_length=16, blank=True)
    source = models.CharField(max_length=200)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=_watching() | _not_watching(),
                name="event_draw_watches_a_result_or_nothing",
            ),
        ]


# A slot's origins; each slot has exactly one of them.
_ORIGINS = ("line", "follow_up", "event_draw")


def _only(origin: str) -> models.Q:
    """Return the condition that a slot has this origin and no other one."""
    absent = {f"{each}__isnull": each != origin for each in _ORIGINS}
    happened = origin == "event_draw"
    return models.Q(**absent, cause__isnull=not happened, happened_at__isnull=not happened)


class DueSlot(PlantOwned):
    """One time at which a test is owed: by the schedule, by a follow-up, or after an event.

    A slot is done when a sample answers it; where a reason does, the test could not be done. It is
    missed when `missed_after` passes without an answer. `cause` is the key of the row that tells
    what happened: a boiler's state, an action, or a sample.
    """

    sample_point = models.ForeignKey(SamplePoint, models.PROTECT, related_name="slots")
    method = models.CharField(max_length=40)
    line = models.ForeignKey(ScheduleLine, models.PROTECT, null=True, related_name="slots")
    follow_up = models.ForeignKey(
        "records.FollowUp", models.PROTECT, null=True, related_name="slots"
    )
    event_draw = models.ForeignKey(EventDraw, models.PROTECT, null=True, related_name="slots")
    cause = models.UUIDField(null=True)
    happened_at = models.DateTimeField(null=True)
    due_at = models.DateTimeField()
    missed_after = models.DateTimeField()

    class Meta:
        constraints = [
            unique("line", "due_at"),
            unique("follow_up"),
            unique("event_draw", "cause"),
            models.CheckConstraint(
                condition=_only("line") | _only("follow_up") | _only("event_draw"),
                name="due_slot_has_one_origin",
            ),
        ]
        indexes = [
            models.Index(fields=["plant", "due_at"], name="due_slot_due"),
            models.Index(fields=["plant", "sample_point", "missed_after"], name="due_slot_open"),
        ]
