"""People, what they may do at each plant, and the shared terminals where a PIN is enough."""

from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils.translation import gettext_lazy as _

from records.models.base import AppendOnly, ByPerson, Keyed, PlantOwned, unique


class Role(models.TextChoices):
    TESTER = "tester", _("Tester")
    SUPERVISOR = "supervisor", _("Supervisor")
    CHEMIST = "chemist", _("Chemist")
    ADMINISTRATOR = "administrator", _("Administrator")


class User(AbstractBaseUser, Keyed):
    """A person's account. It opens nothing by itself: memberships do."""

    owner = "installation"

    username = models.CharField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    is_active = models.BooleanField(default=True)
    # May create plants and make others members; sees no result by that.
    is_administrator = models.BooleanField(default=False)
    created_at = models.DateTimeField(auto_now_add=True)

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    objects = BaseUserManager()

    def __str__(self) -> str:
        return self.name


class Membership(PlantOwned):
    """A role of a person at a plant; ended, not deleted."""

    user = models.ForeignKey(User, models.PROTECT, related_name="memberships")
    role = models.CharField(max_length=16, choices=Role)
    since = models.DateTimeField()
    until = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            unique("user", "role", condition=models.Q(until__isnull=True)),
        ]


class Pin(PlantOwned):
    """A person's PIN at a plant, kept as a hash; it opens nothing away from a terminal."""

    user = models.ForeignKey(User, models.PROTECT, related_name="pins")
    hash = models.CharField(max_length=160)
    changed_at = models.DateTimeField()

    class Meta:
        constraints = [unique("user")]


class Terminal(PlantOwned):
    """A shared device that a supervisor enrolled; its cookie holds the token of this digest."""

    name = models.CharField(max_length=80)
    token_digest = models.CharField(max_length=64)
    enrolled_at = models.DateTimeField()
    enrolled_by_name = models.CharField(max_length=120)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [unique("name"), unique("token_digest")]


class PinLock(PlantOwned):
    """Wrong PINs of one person at one terminal: never a whole shift is locked."""

    terminal = models.ForeignKey(Terminal, models.PROTECT, related_name="+")
    user = models.ForeignKey(User, models.PROTECT, related_name="+")
    failures = models.PositiveSmallIntegerField(default=0)
    locked_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [unique("terminal", "user")]


class AuditEvent(AppendOnly, ByPerson):
    """Who changed what in the plant's set-up: people, PINs, terminals, boilers."""

    verb = models.CharField(max_length=60)
    subject = models.CharField(max_length=200)
    at = models.DateTimeField()
