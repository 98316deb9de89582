"""The chemist's program: limits, targets and schedules, in versions that are never edited."""

from django.db import models

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


class DueSlot(PlantOwned):
    """One time at which a test is owed: by the schedule, or by a follow-up.

    A slot is done when a sample names it, missed when `missed_after` passes without one.
    """

    sample_point = models.ForeignKey(SamplePoint, models.PROTECT, related_name="slots")
    method = models.CharField(max_length=40)
    line = models.ForeignKey(ScheduleLine, models.PROTECT, null=True, related_name="slots")
    follow_up = models.ForeignKey(
        "records.FollowUp", models.PROTECT, null=True, related_name="slots"
    )
    due_at = models.DateTimeField()
    missed_after = models.DateTimeField()

    class Meta:
        constraints = [
            unique("line", "due_at"),
            unique("follow_up"),
            models.CheckConstraint(
                condition=models.Q(line__isnull=True) ^ models.Q(follow_up__isnull=True),
                name="due_slot_has_one_origin",
            ),
        ]
        indexes = [
            models.Index(fields=["plant", "due_at"], name="due_slot_due"),
            models.Index(fields=["plant", "sample_point", "missed_after"], name="due_slot_open"),
        ]
