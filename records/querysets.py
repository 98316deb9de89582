"""Query sets that keep a rule whoever calls them."""

from collections.abc import Iterable
from typing import Any, NoReturn, TypeVar

from django.db import models
from django_scopes import get_scope
from django_scopes.manager import DisabledQuerySet

RowType = TypeVar("RowType", bound=models.Model, covariant=True)

APPEND_ONLY = "These rows are append-only: write a new row that corrects the old one."


class AppendOnlyQuerySet(models.QuerySet[Any]):
    """Rows that are inserted once and never change (database triggers stand behind this)."""

    def update(self, **values: Any) -> NoReturn:  # bulk_update ends here too
        raise TypeError(APPEND_ONLY)

    def delete(self) -> NoReturn:
        raise TypeError(APPEND_ONLY)

    def bulk_create(self, objs: Iterable[Any], *args: Any, **options: Any) -> list[Any]:
        """Insert; an upsert would be an update by another name."""
        if options.get("update_conflicts") or options.get("ignore_conflicts"):
            raise TypeError(APPEND_ONLY)
        return super().bulk_create(objs, *args, **options)


class UnscopedQuerySet(DisabledQuerySet):  # type: ignore[misc]
    """What a query outside a plant's scope gets: anything it asks raises ScopeError."""

    exists = DisabledQuerySet.error
    in_bulk = DisabledQuerySet.error
    bulk_update = DisabledQuerySet.error


class PlantManager(models.Manager[RowType]):
    """Rows of the plants in scope; a query outside any scope fails closed (django-scopes)."""

    def get_queryset(self) -> models.QuerySet[RowType]:
        scope = get_scope()
        if not scope.get("_enabled", True):
            return super().get_queryset()
        if "plant" not in scope:
            return UnscopedQuerySet(  # type: ignore[no-any-return]
                self.model, using=self._db, missing_scopes={"plant"}
            )
        plant = scope["plant"]
        lookup = {"plant__in": plant} if isinstance(plant, list | tuple) else {"plant": plant}
        return super().get_queryset().filter(**lookup)


class AppendOnlyManager(PlantManager[RowType]):
    """The same for rows that are inserted once and never change."""

    _queryset_class = AppendOnlyQuerySet
