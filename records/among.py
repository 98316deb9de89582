"""Which tables hold a row at all: one question in place of many that find nothing."""

from collections.abc import Sequence
from uuid import UUID

from django.db import connection
from django.db.models import Model

# Keys that one statement may name: SQLite's old limit on variables, shared by a handful of tables.
_MOST_KEYS = 150


def written_among(
    models: Sequence[type[Model]], plant: UUID, column: str, keys: Sequence[UUID]
) -> list[type[Model]]:
    """Return those tables of a plant that hold a row whose foreign key `column` is one of `keys`.

    Nothing is read of a row: what there is, is read through the plant's scope afterwards. With
    very many keys all tables are returned, unasked.
    """
    if not keys or len(keys) > _MOST_KEYS:
        return list(models) if keys else []
    name, marks = connection.ops.quote_name, ", ".join(["%s"] * len(keys))
    asked, values = [], []
    for number, model in enumerate(models):
        table, field = name(model._meta.db_table), model._meta.pk
        asked.append(
            f"SELECT {number} WHERE EXISTS (SELECT 1 FROM {table} "
            f"WHERE plant_id = %s AND {name(f'{column}_id')} IN ({marks}))"
        )
        values += [field.get_db_prep_value(key, connection) for key in (plant, *keys)]
    with connection.cursor() as cursor:
        cursor.execute(" UNION ALL ".join(asked), values)
        return [models[number] for (number,) in cursor.fetchall()]
