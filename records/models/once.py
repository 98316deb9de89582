"""Every write is stored once, however often it is sent."""

from django.db import models

from records.models.base import AppendOnly, unique
from records.models.people import User


class WriteKey(AppendOnly):
    """The key of a write that was carried out, with what was asked and what came of it."""

    actor = models.ForeignKey(User, models.PROTECT, related_name="+")
    key = models.CharField(max_length=64)
    operation = models.CharField(max_length=60)
    body_digest = models.CharField(max_length=64)
    answer = models.UUIDField()
    at = models.DateTimeField()

    class Meta:
        constraints = [unique("actor", "key")]
