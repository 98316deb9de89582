"""What all rows share: who owns them, how they are keyed, which of them never change."""

from typing import Any, ClassVar, NoReturn

from django.db import models
from uuid_utils.compat import uuid7

from records.querysets import APPEND_ONLY, AppendOnlyManager, PlantManager


class Keyed(models.Model):
    """A row whose key the program makes: sortable by time, unique across installations."""

    # Who owns the row: "plant", "organization" or "installation".
    owner: ClassVar[str]

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)

    class Meta:
        abstract = True


class PlantOwned(Keyed):
    """A row of one plant; a query outside that plant's scope raises."""

    owner = "plant"

    plant = models.ForeignKey("records.Plant", models.PROTECT, related_name="+")

    objects = PlantManager()

    class Meta:
        abstract = True


class AppendOnly(PlantOwned):
    """A row of one plant that is inserted once and never changed or deleted."""

    objects = AppendOnlyManager()  # type: ignore[misc]

    class Meta:
        abstract = True

    def save(self, *args: Any, **options: Any) -> None:
        if not self._state.adding:
            raise TypeError(APPEND_ONLY)
        super().save(*args, **{**options, "force_insert": True})

    def delete(self, *args: Any, **options: Any) -> NoReturn:
        raise TypeError(APPEND_ONLY)


class ByPerson(models.Model):
    """Who did it. The name stays readable when the account is long gone."""

    by = models.ForeignKey("records.User", models.PROTECT, related_name="+")
    by_name = models.CharField(max_length=120)

    class Meta:
        abstract = True


def unique(*fields: str, **options: Any) -> models.UniqueConstraint:
    """Return a constraint that begins with the plant, named after its fields."""
    name = "%(app_label)s_%(class)s_" + "_".join(fields)
    return models.UniqueConstraint(fields=("plant", *fields), name=name, **options)
