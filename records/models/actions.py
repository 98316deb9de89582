"""What to do about a result, what was really done, and what is owed by when."""

from django.db import models

from records.models.base import AppendOnly, ByPerson, unique
from records.models.plant import Boiler
from records.models.samples import Result, Sample
from records.models.sheets import LogSheet


class Remedy(AppendOnly, ByPerson):
    """An advice as it was shown, or the reason why none was given. Inputs and plan as text."""

    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="remedies")
    sample = models.ForeignKey(Sample, models.PROTECT, related_name="remedies")
    result = models.ForeignKey(Result, models.PROTECT, related_name="remedies")
    kind = models.CharField(max_length=24)
    version = models.CharField(max_length=16)
    inputs = models.TextField()
    refusal = models.CharField(max_length=40, blank=True)
    plan = models.TextField(blank=True)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["plant", "sample"], name="remedy_sample")]


class Action(AppendOnly, ByPerson):
    """What a person really did, in their own figures."""

    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="actions")
    sample = models.ForeignKey(Sample, models.PROTECT, related_name="actions")
    boiler = models.ForeignKey(Boiler, models.PROTECT, null=True, related_name="+")
    remedy = models.ForeignKey(Remedy, models.PROTECT, null=True, related_name="actions")
    kind = models.CharField(max_length=24)
    done_at = models.DateTimeField()
    amount = models.CharField(max_length=60, blank=True)
    note = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["plant", "sample"], name="action_sample")]


class FollowUp(AppendOnly, ByPerson):
    """Something owed by a time: here a retest of a result that was out of range."""

    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="follow_ups")
    sample = models.ForeignKey(Sample, models.PROTECT, related_name="follow_ups")
    result = models.ForeignKey(Result, models.PROTECT, related_name="follow_ups")
    kind = models.CharField(max_length=24)
    why = models.CharField(max_length=40)
    due_at = models.DateTimeField()
    at = models.DateTimeField()


class FollowUpSettlement(AppendOnly, ByPerson):
    """How a follow-up ended: usually by the sample that answers it."""

    follow_up = models.ForeignKey(FollowUp, models.PROTECT, related_name="settlements")
    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="settlements")
    sample = models.ForeignKey(Sample, models.PROTECT, null=True, related_name="settles")
    note = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [unique("follow_up")]
