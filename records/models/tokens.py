"""Keys by which another program acts for a person, and what came in by them."""

from django.db import models

from records.models.base import AppendOnly, PlantOwned, unique
from records.models.people import User
from records.models.samples import Sample


class ApiToken(PlantOwned):
    """A secret that opens the API for one person at one plant; only its digest is kept.

    Revoked or past its end it opens nothing; it is never deleted.
    """

    user = models.ForeignKey(User, models.PROTECT, related_name="tokens")
    label = models.CharField(max_length=80)
    # The first letters of the secret, by which people tell tokens apart.
    prefix = models.CharField(max_length=16)
    digest = models.CharField(max_length=64)
    # Whether samples may be sent with it; else it only reads.
    may_send = models.BooleanField(default=False)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    made_by_name = models.CharField(max_length=120)
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_used_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            unique("digest"),
            unique("label", condition=models.Q(revoked_at__isnull=True)),
        ]
        # A request names no plant before its token is known.
        indexes = [models.Index(fields=["digest"], name="api_token_digest")]


class SentSample(AppendOnly):
    """By which token a sample was sent: who made that token does not sign it."""

    sample = models.ForeignKey(Sample, models.PROTECT, related_name="sent_by")
    token = models.ForeignKey(ApiToken, models.PROTECT, related_name="sent")

    class Meta:
        constraints = [unique("sample")]
