"""The shift's record: log sheets, who signed them, amendments, and the ledger over it all."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from records.models.base import AppendOnly, ByPerson, PlantOwned, unique
from records.models.people import Terminal


class LogSheet(AppendOnly):
    """One shift's record at one plant. Its status is derived from its signatures."""

    shift_name = models.CharField(max_length=40)
    shift_date = models.DateField()
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    opened_at = models.DateTimeField()

    class Meta:
        constraints = [unique("shift_date", "shift_name")]
        indexes = [models.Index(fields=["plant", "starts_at"], name="log_sheet_starts")]


class Meaning(models.TextChoices):
    """What a signature says."""

    HANDED_IN = "handed_in", _("Handed in")
    RETURNED = "returned", _("Returned")
    SIGNED = "signed", _("Signed")
    AMENDMENT_SIGNED = "amendment_signed", _("Amendment signed")
    AMENDMENT_REFUSED = "amendment_refused", _("Amendment refused")


class Amendment(AppendOnly, ByPerson):
    """A proposed correction of a signed measurement; it counts once a second person signs it."""

    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="amendments")
    measurement = models.ForeignKey(
        "records.Measurement", models.PROTECT, related_name="amendments"
    )
    at = models.DateTimeField()

    class Meta:
        constraints = [unique("measurement")]


class Signature(AppendOnly, ByPerson):
    """A person's mark on a sheet or an amendment, with the digest of what was seen."""

    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="signatures")
    sequence = models.PositiveIntegerField()
    meaning = models.CharField(max_length=20, choices=Meaning)
    amendment = models.ForeignKey(Amendment, models.PROTECT, null=True, related_name="signatures")
    username = models.CharField(max_length=60)
    roles = models.CharField(max_length=80)
    proof = models.CharField(max_length=16)
    terminal = models.ForeignKey(Terminal, models.PROTECT, null=True, related_name="+")
    terminal_name = models.CharField(max_length=80, blank=True)
    at = models.DateTimeField()
    digest = models.CharField(max_length=64)
    comment = models.CharField(max_length=500, blank=True)

    class Meta:
        constraints = [unique("sheet", "sequence"), unique("amendment")]
        ordering = ["sequence"]


class HandoverNote(AppendOnly, ByPerson):
    """What the outgoing shift tells the next one in its own words; it is signed with its sheet."""

    sheet = models.ForeignKey(LogSheet, models.PROTECT, related_name="handover_notes")
    text = models.CharField(max_length=1000)
    at = models.DateTimeField()


class LedgerEntry(AppendOnly):
    """One link of the plant's chain: the SHA-256 of one row, and of the link before it."""

    sequence = models.PositiveBigIntegerField()
    table = models.CharField(max_length=40)
    row = models.UUIDField()
    form = models.CharField(max_length=8)
    row_digest = models.CharField(max_length=64)
    previous = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)
    at = models.DateTimeField()

    class Meta:
        constraints = [unique("sequence"), unique("table", "row")]
        ordering = ["sequence"]


class LedgerHead(PlantOwned):
    """The newest link, locked while a link is added."""

    sequence = models.PositiveBigIntegerField(default=0)
    digest = models.CharField(max_length=64)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["plant"], name="ledger_head_of_plant"),
        ]
