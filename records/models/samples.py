"""From the half-typed bench sheet to the judged result.

A draft changes as it is typed. Everything else here is written once: a correction is a new
measurement that names the one it corrects.
"""

from django.db import models

from records.models.base import AppendOnly, ByPerson, PlantOwned, unique
from records.models.instruments import Instrument, Lot
from records.models.people import Terminal, User
from records.models.plant import SamplePoint, State
from records.models.program import DueSlot, Limit, ProgramVersion
from records.models.sheets import LogSheet


class Draft(PlantOwned):
    """A bench sheet being typed; it belongs to its tester and outlives lock and restart.

    `typed` holds text only: what stands in each field, by method.
    """

    tester = models.ForeignKey(User, models.PROTECT, related_name="+")
    sample_point = models.ForeignKey(SamplePoint, models.PROTECT, related_name="+")
    slot = models.ForeignKey(DueSlot, models.PROTECT, null=True, related_name="+")
    method_versions = models.JSONField()
    typed = models.JSONField()
    revision = models.PositiveIntegerField(default=0)
    opened_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            unique("tester", "sample_point", condition=models.Q(closed_at__isnull=True)),
        ]
        indexes = [models.Index(fields=["plant", "tester", "closed_at"], name="draft_open")]


class Sample(AppendOnly, ByPerson):
    """Water drawn at one point at one time, and the sheet on which it is written."""

    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="samples")
    sample_point = models.ForeignKey(SamplePoint, models.PROTECT, related_name="samples")
    # As the point was called then: a point renamed later must not move a signed sample.
    point_name = models.CharField(max_length=80)
    boiler_state = models.CharField(max_length=16, choices=State, blank=True)
    drawn_at = models.DateTimeField()
    opened_at = models.DateTimeField()
    entered_at = models.DateTimeField()
    # The plant's clock at the draw, and the shift in which it was drawn.
    utc_offset = models.CharField(max_length=6)
    shift_name = models.CharField(max_length=40)
    shift_date = models.DateField()
    late = models.BooleanField()
    terminal = models.ForeignKey(Terminal, models.PROTECT, null=True, related_name="+")
    terminal_name = models.CharField(max_length=80, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        indexes = [
            models.Index(fields=["plant", "sample_point", "drawn_at"], name="sample_drawn"),
            models.Index(fields=["plant", "sheet"], name="sample_sheet"),
        ]


class SlotAnswer(AppendOnly, ByPerson):
    """How a due slot ended: by a sample that holds its test, or by the reason why there is none."""

    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="slot_answers")
    slot = models.ForeignKey(DueSlot, models.PROTECT, related_name="answers")
    sample = models.ForeignKey(Sample, models.PROTECT, null=True, related_name="slot_answers")
    reason = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            unique("slot"),
            models.CheckConstraint(
                condition=models.Q(sample__isnull=False) | ~models.Q(reason=""),
                name="slot_answer_has_sample_or_reason",
            ),
        ]


class Measurement(AppendOnly, ByPerson):
    """One test of one sample, by one version of a method."""

    sample = models.ForeignKey(Sample, models.PROTECT, related_name="measurements")
    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="measurements")
    method = models.CharField(max_length=40)
    method_version = models.CharField(max_length=16)
    mode = models.CharField(max_length=40)
    entered_at = models.DateTimeField()
    # Doubts on entry that the tester looked at and confirmed, by code.
    confirmed = models.CharField(max_length=1000, blank=True)
    corrects = models.ForeignKey("self", models.PROTECT, null=True, related_name="corrections")
    reason = models.CharField(max_length=300, blank=True)

    class Meta:
        indexes = [
            models.Index(fields=["plant", "sample"], name="measurement_sample"),
            models.Index(fields=["plant", "sheet"], name="measurement_sheet"),
        ]
        constraints = [
            unique("corrects"),
            models.CheckConstraint(
                condition=models.Q(corrects__isnull=True) | ~models.Q(reason=""),
                name="measurement_correction_has_reason",
            ),
        ]


class Reading(AppendOnly):
    """One raw reading or choice, as typed and as understood."""

    measurement = models.ForeignKey(Measurement, models.PROTECT, related_name="readings")
    field = models.CharField(max_length=40)
    position = models.PositiveSmallIntegerField(default=0)
    typed = models.CharField(max_length=200)
    normalized = models.CharField(max_length=200)
    unit = models.CharField(max_length=16, blank=True)

    class Meta:
        constraints = [unique("measurement", "field", "position")]


class InstrumentUse(AppendOnly):
    """With what a measurement was made, by role, and how that stood on the day."""

    measurement = models.ForeignKey(Measurement, models.PROTECT, related_name="uses")
    role = models.CharField(max_length=40)
    instrument = models.ForeignKey(Instrument, models.PROTECT, null=True, related_name="uses")
    lot = models.ForeignKey(Lot, models.PROTECT, null=True, related_name="uses")
    label = models.CharField(max_length=160)
    standing = models.CharField(max_length=40)
    reason = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [unique("measurement", "role")]


class Result(AppendOnly):
    """A worked result: value, unit, qualifier and uncertainty, all kept as text."""

    measurement = models.ForeignKey(Measurement, models.PROTECT, related_name="results")
    analyte = models.CharField(max_length=40)
    value = models.CharField(max_length=24)
    unit = models.CharField(max_length=16)
    qualifier = models.CharField(max_length=1, blank=True)
    basis = models.CharField(max_length=80)
    expanded = models.CharField(max_length=24)
    coverage = models.CharField(max_length=24)
    degrees_of_freedom = models.CharField(max_length=24)
    u_random = models.CharField(max_length=24)
    u_systematic = models.CharField(max_length=24)
    budget = models.TextField()
    rule_version = models.CharField(max_length=16)

    class Meta:
        constraints = [unique("measurement", "analyte")]


class CheckOutcome(AppendOnly):
    """What a check of the boiler showed: words, no number, and so no verdict."""

    measurement = models.ForeignKey(Measurement, models.PROTECT, related_name="outcomes")
    what = models.CharField(max_length=40)
    outcome = models.CharField(max_length=16)
    reason = models.CharField(max_length=16, blank=True)
    remark = models.CharField(max_length=200, blank=True)
    witness = models.CharField(max_length=60, blank=True)

    class Meta:
        constraints = [unique("measurement", "what")]


class Verdict(AppendOnly):
    """A worked result held against the limit in force when the sample was drawn."""

    result = models.ForeignKey(Result, models.PROTECT, related_name="verdicts")
    side = models.CharField(max_length=16)
    action_level = models.CharField(max_length=16, blank=True)
    near_limit = models.BooleanField()
    probability = models.CharField(max_length=24, blank=True)
    rule = models.CharField(max_length=40)
    reason = models.CharField(max_length=40, blank=True)
    program_version = models.ForeignKey(
        ProgramVersion, models.PROTECT, null=True, related_name="verdicts"
    )
    limit = models.ForeignKey(Limit, models.PROTECT, null=True, related_name="verdicts")

    class Meta:
        constraints = [unique("result")]


class Doubt(AppendOnly):
    """Why a measurement is in doubt; it stays so until a chemist disposes of it."""

    measurement = models.ForeignKey(Measurement, models.PROTECT, related_name="doubts")
    cause = models.CharField(max_length=40)
    detail = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [unique("measurement", "cause")]
