"""Checks of instruments, what a failed one puts in doubt, and what a chemist decided about it."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from records.models.base import AppendOnly, ByPerson, unique
from records.models.instruments import Instrument, InstrumentCard, Lot, LotCard
from records.models.samples import Measurement


class InstrumentCheck(AppendOnly, ByPerson):
    """An instrument held against a standard by one version of a recipe, as found and as left.

    `typed` and `answer` are canonical JSON of texts, each with "found" and, where it was adjusted,
    "left": what was typed by field with its unit, and the figures that came of it. A meter and the
    cell it was read with share one check: the cell's names the meter's as `together`. `acceptance`
    is that as found, `ending` what came of it. `quick` is a verification between two full checks.
    """

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="checks")
    together = models.ForeignKey("self", models.PROTECT, null=True, related_name="partners")
    recipe = models.CharField(max_length=40)
    recipe_version = models.CharField(max_length=16)
    quick = models.BooleanField()
    done_at = models.DateTimeField()
    entered_at = models.DateTimeField()
    typed = models.TextField()
    answer = models.TextField()
    adjustment = models.CharField(max_length=300, blank=True)
    acceptance = models.CharField(max_length=16)
    ending = models.CharField(max_length=16)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [unique("instrument", "done_at")]


class CheckStandard(AppendOnly):
    """What an instrument was held against, by its role, with the value it was taken to have."""

    check_of = models.ForeignKey(InstrumentCheck, models.PROTECT, related_name="standards")
    role = models.CharField(max_length=40)
    lot_card = models.ForeignKey(LotCard, models.PROTECT, null=True, related_name="+")
    instrument_card = models.ForeignKey(InstrumentCard, models.PROTECT, null=True, related_name="+")
    lot = models.ForeignKey(Lot, models.PROTECT, null=True, related_name="checks")
    instrument = models.ForeignKey(Instrument, models.PROTECT, null=True, related_name="+")
    label = models.CharField(max_length=160)
    value = models.CharField(max_length=24)
    unit = models.CharField(max_length=16)
    expanded = models.CharField(max_length=24)
    standing = models.CharField(max_length=40)
    reason = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [unique("check_of", "role")]


class LookBack(AppendOnly):
    """What a check that failed as found reaches: all results by the instrument of draws after
    `since`, its last check that passed, until the failed one. Without a pass: all before it.

    The results themselves are not touched: which are in doubt is read from this row.
    """

    check_of = models.ForeignKey(InstrumentCheck, models.PROTECT, related_name="look_backs")
    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="look_backs")
    passed = models.ForeignKey(InstrumentCheck, models.PROTECT, null=True, related_name="+")
    since = models.DateTimeField(null=True)
    until = models.DateTimeField()
    at = models.DateTimeField()

    class Meta:
        constraints = [unique("check_of")]


class Outcome(models.TextChoices):
    """What a chemist decides about a result in doubt (ISO/IEC 17025:2017, 7.10, from memory)."""

    STANDS = "stands", _("It stands")
    AMENDED = "amended", _("It was amended")
    VOID = "void", _("Void")


class Disposition(AppendOnly, ByPerson):
    """A chemist's decision: about one measurement in doubt, or about all that a look-back reached
    and that was written by then."""

    look_back = models.ForeignKey(LookBack, models.PROTECT, null=True, related_name="dispositions")
    measurement = models.ForeignKey(
        Measurement, models.PROTECT, null=True, related_name="dispositions"
    )
    outcome = models.CharField(max_length=16, choices=Outcome)
    reason = models.CharField(max_length=300)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(look_back__isnull=False) | models.Q(measurement__isnull=False),
                name="disposition_is_about_something",
            ),
        ]
