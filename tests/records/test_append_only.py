"""Rows that are written once stay as they were, whoever asks and in whatever SQL."""

from datetime import datetime, timedelta
from uuid import UUID, uuid4

import pytest
from django.db import DatabaseError, connection, transaction

from records import guards
from records.models import AppendOnly

pytestmark = pytest.mark.django_db  # so that a database is set up for `told`
MODELS = guards.guarded_models()
KEYS = [
    pytest.param(model, columns, id=f"{model._meta.model_name}-{'-'.join(columns)}")
    for model in MODELS
    for columns in guards.unique_keys(model)
]
each_model = pytest.mark.parametrize("model", MODELS, ids=lambda m: m._meta.model_name)
on_sqlite = connection.vendor == "sqlite"


def row_of(model: type[AppendOnly], *columns: str) -> AppendOnly:
    """Return a stored row; where columns are given, one that has a value in each."""
    filled = {f"{column}__isnull": False for column in columns}
    row = model.objects.filter(**filled).order_by("-pk").first()
    assert row is not None, f"the story leaves no {model._meta.model_name}"
    return row


def sql_refused(sql: str, params: list[object] | None = None) -> None:
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql, params)


def raw(row: AppendOnly) -> dict[str, object]:
    """Return a row's columns as the database hands them out."""
    table = connection.ops.quote_name(row._meta.db_table)
    with connection.cursor() as cursor:
        pk = row._meta.pk.get_db_prep_value(row.pk, connection)
        cursor.execute(f"SELECT * FROM {table} WHERE id = %s", [pk])
        names = [column[0] for column in cursor.description]
        return dict(zip(names, cursor.fetchone(), strict=True))


def other(value: object) -> object:
    """Return another value of the same kind."""
    match value:
        case int():
            return value + 1000
        case datetime():
            return value + timedelta(days=1000)
        case UUID():
            return uuid4()
        case _:
            return "f" + str(value)[1:] if str(value)[0] != "f" else "e" + str(value)[1:]


def clash(row: AppendOnly, columns: tuple[str, ...]) -> dict[str, object]:
    """Return a new row's values that meet the stored row in one unique key alone."""
    values = raw(row)
    for key in guards.unique_keys(type(row)):
        apart = [column for column in key if column not in (*columns, "plant_id")]
        if key != columns and apart and values[apart[-1]] is not None:
            values[apart[-1]] = other(values[apart[-1]])
    return values


def insert(verb: str, table: str, values: dict[str, object], tail: str = "") -> None:
    quote = connection.ops.quote_name
    names = ", ".join(quote(name) for name in values)
    marks = ", ".join(["%s"] * len(values))
    sql_refused(f"{verb} INTO {quote(table)} ({names}) VALUES ({marks}) {tail}", [*values.values()])


@each_model
def test_it_refuses_update_and_delete_in_raw_sql(told, model):
    row, table = row_of(model), connection.ops.quote_name(model._meta.db_table)
    sql_refused(f"UPDATE {table} SET plant_id = plant_id")
    sql_refused(f"DELETE FROM {table}")
    assert model.objects.filter(pk=row.pk).exists()


@pytest.mark.parametrize(("model", "columns"), KEYS)
def test_it_refuses_to_replace_by_each_unique_key(told, model, columns):
    row = row_of(model, *columns)
    table = model._meta.db_table
    values = clash(row, columns)
    if on_sqlite:
        insert("INSERT OR REPLACE", table, values)
        insert("REPLACE", table, values)
        return
    target = ", ".join(connection.ops.quote_name(column) for column in columns)
    tail = f"ON CONFLICT ({target}) DO UPDATE SET plant_id = EXCLUDED.plant_id"
    insert("INSERT", table, values, tail)


@each_model
def test_it_refuses_the_ways_round(told, model):
    """SQLite replaces by its hidden row number too; PostgreSQL can empty a table at once."""
    row, table = row_of(model), model._meta.db_table
    if not on_sqlite:
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        sql_refused(f"TRUNCATE {connection.ops.quote_name(table)} CASCADE")
        return
    values = raw(row)
    with connection.cursor() as cursor:
        cursor.execute(f'SELECT rowid FROM "{table}" WHERE id = %s', [values["id"]])
        values["rowid"] = cursor.fetchone()[0]
    for key in guards.unique_keys(model):
        apart = [column for column in key if column != "plant_id" and values[column] is not None]
        if apart:
            values[apart[-1]] = other(values[apart[-1]])
    insert("INSERT OR REPLACE", table, values)
    sql_refused(f'UPDATE OR REPLACE "{table}" SET plant_id = plant_id')


@each_model
def test_it_refuses_the_object_mapper(told, model):
    row = row_of(model)
    same = [model.objects.get(pk=row.pk)]
    for change in (
        row.save,
        row.delete,
        lambda: row.save(update_fields=["plant"]),
        lambda: row.save(force_update=True),
        lambda: model.objects.update(plant=row.plant_id),
        lambda: model.objects.filter(pk=row.pk).delete(),
        lambda: model.objects.bulk_update(same, ["plant"]),
        lambda: model.objects.update_or_create(pk=row.pk, defaults={"plant_id": row.plant_id}),
        lambda: model.objects.bulk_create(
            same, update_conflicts=True, update_fields=["plant"], unique_fields=["id"]
        ),
        lambda: model.objects.bulk_create(same, ignore_conflicts=True),
    ):
        with pytest.raises(TypeError, match="append-only"), transaction.atomic():
            change()
