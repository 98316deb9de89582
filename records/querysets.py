"""Query sets that keep a rule whoever calls them."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Any, NoReturn, TypeVar
from uuid import UUID

from django.db import connections, models, transaction
from django_scopes import get_scope
from django_scopes.manager import DisabledQuerySet

RowType = TypeVar("RowType", bound=models.Model, covariant=True)

APPEND_ONLY = "These rows are append-only: write a new row that corrects the old one."


def insert_rows(model: type[models.Model], rows: Sequence[models.Model], using: str) -> None:
    """Insert rows that carry their keys, in as few statements as the database takes, all or none.

    Each value passes its field's own preparation. What Django does beside that for each row
    (expressions, keys to be returned, signals) append-only rows have no use for, and a sample has
    a hundred of them.
    """
    fields = model._meta.concrete_fields
    connection = connections[using]
    columns = ", ".join(connection.ops.quote_name(str(field.column)) for field in fields)
    into = f"INSERT INTO {connection.ops.quote_name(model._meta.db_table)} ({columns}) VALUES "
    mark = f"({', '.join(['%s'] * len(fields))})"
    most = max(connection.ops.bulk_batch_size(fields, rows), 1)
    with transaction.atomic(using=using, savepoint=False), connection.cursor() as cursor:
        for start in range(0, len(rows), most):
            part = rows[start : start + most]
            values = [
                field.get_db_prep_save(getattr(row, field.attname), connection)
                for row in part
                for field in fields
            ]
            cursor.execute(into + ", ".join([mark] * len(part)), values)
    for row in rows:
        row._state.adding, row._state.db = False, using


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
        rows = list(objs)
        self._for_write = True
        insert_rows(self.model, rows, self.db)
        return rows

    def create(self, **values: Any) -> Any:
        """Insert one row."""
        return self.bulk_create([self.model(**values)])[0]


class UnscopedQuerySet(DisabledQuerySet):  # type: ignore[misc]
    """What a query outside a plant's scope gets: anything it asks raises ScopeError."""

    exists = DisabledQuerySet.error
    in_bulk = DisabledQuerySet.error
    bulk_update = DisabledQuerySet.error


@lru_cache(maxsize=1024)
def _of_plant(
    kind: type[models.QuerySet[Any]], model: type[models.Model], using: str | None, plant: UUID
) -> models.QuerySet[Any]:
    """Return the unread query set of a plant's rows, to be copied: building its filter for every
    query took a good part of the time of all."""
    return kind(model=model, using=using).filter(plant=plant)


class PlantManager(models.Manager[RowType]):
    """Rows of the plants in scope; a query outside any scope fails closed (django-scopes)."""

    _queryset_class: type[models.QuerySet[Any]] = models.QuerySet

    def get_queryset(self) -> models.QuerySet[RowType]:
        scope = get_scope()
        if not scope.get("_enabled", True):
            return super().get_queryset()
        if "plant" not in scope:
            return UnscopedQuerySet(  # type: ignore[no-any-return]
                self.model, using=self._db, missing_scopes={"plant"}
            )
        plant = scope["plant"]
        if isinstance(plant, models.Model):
            return _of_plant(self._queryset_class, self.model, self._db, plant.pk).all()
        lookup = {"plant__in": plant} if isinstance(plant, list | tuple) else {"plant": plant}
        return super().get_queryset().filter(**lookup)


class AppendOnlyManager(PlantManager[RowType]):
    """The same for rows that are inserted once and never change."""

    _queryset_class = AppendOnlyQuerySet
