"""With the guards lifted, whoever changes what was signed is found out, and the row is named."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.db.models import BooleanField, ForeignKey, UUIDField

from records import canonical, guards
from records.models import Amendment, LedgerEntry, LedgerHead, Measurement, Reading, Signature
from records.selectors.ledger import Head, head_of, mismatches, not_grown_from

pytestmark = pytest.mark.django_db  # so that a database is set up for `told`
each_table = pytest.mark.parametrize("table", canonical.TABLES)


def execute(sql: str, params: list[object]) -> None:
    with connection.cursor() as cursor:
        cursor.execute(sql, params)
        assert cursor.rowcount == 1


def in_db(field, value: object) -> object:
    return field.get_db_prep_value(value, connection)


def edit(row, column: str, value: object) -> None:
    """Change one column behind everybody's back."""
    field = row._meta.get_field(column)
    quote = connection.ops.quote_name
    execute(
        f"UPDATE {quote(row._meta.db_table)} SET {quote(field.column)} = %s WHERE id = %s",
        [in_db(field, value), in_db(row._meta.pk, row.pk)],
    )


def delete(row) -> None:
    table = connection.ops.quote_name(row._meta.db_table)
    execute(f"DELETE FROM {table} WHERE id = %s", [in_db(row._meta.pk, row.pk)])


def field_of(row, column: str):
    return next(f for f in row._meta.concrete_fields if f.attname == column)


def forged(row, column: str) -> object:
    """Return another value that the column can hold."""
    field, value = field_of(row, column), getattr(row, column)
    if isinstance(field, ForeignKey | UUIDField):
        return uuid4()
    if isinstance(field, BooleanField):
        return not value
    match value:
        case int():
            return value + 1000
        case datetime():
            return value + timedelta(microseconds=1)
        case date():
            return value + timedelta(days=1)
        case _:
            return ("y" if str(value)[:1] == "x" else "x") + str(value)[1:]


def found(plant) -> list[tuple[str, str]]:
    return [(m.table, m.row) for m in mismatches(plant)]


def sealed_row(told, table: str):
    link = LedgerEntry.objects.filter(plant=told.plant, table=table).order_by("sequence").last()
    assert link is not None, f"nothing of {table} was sealed"
    return canonical.TABLES[table].objects.get(pk=link.row)


def test_it_says_nothing_of_a_clean_ledger(told):
    assert list(mismatches(told.plant)) == []
    sealed = set(LedgerEntry.objects.values_list("table", flat=True))
    assert sealed == set(canonical.TABLES)


@each_table
def test_it_names_the_row_whatever_signed_column_is_edited(undone, table):
    guards.lift(connection)
    row = sealed_row(undone, table)
    for column in canonical.FORMS[canonical.CURRENT][table]:
        before, name = getattr(row, column), field_of(row, column).name
        edit(row, name, forged(row, column))
        named = found(undone.plant)
        assert named and named[0] == (table, str(row.pk)), column
        if not isinstance(field_of(row, column), ForeignKey):
            assert len(named) == 1, (column, named)
        edit(row, name, before)
    assert found(undone.plant) == []


@each_table
def test_it_names_a_row_that_is_gone(undone, table):
    guards.lift(connection)
    row = sealed_row(undone, table)
    delete(row)
    assert found(undone.plant)[0] == (table, str(row.pk))


def test_it_names_a_row_that_cannot_be_read_any_more(undone):
    row = sealed_row(undone, "sample")
    guards.lift(connection)
    if connection.vendor == "sqlite":  # keeps any text in any column
        execute("UPDATE records_sample SET drawn_at = 'soon' WHERE id = %s", [row.pk.hex])
    else:
        edit(row, "drawn_at", row.drawn_at + timedelta(days=90000))
    assert found(undone.plant)[0] == ("sample", str(row.pk))


def test_it_names_a_row_slipped_onto_a_signed_sheet(undone):
    measurement = sealed_row(undone, "measurement")
    slipped = Reading.objects.create(
        plant=undone.plant,
        measurement=measurement,
        field="reading",
        position=7,
        typed="900",
        normalized="900",
        unit="umho/cm",
    )
    assert found(undone.plant) == [("reading", str(slipped.pk))]


def test_it_names_a_row_slipped_into_a_signed_amendment(undone):
    slipped = Reading.objects.create(
        plant=undone.plant,
        measurement=undone.amendment.measurement,
        field="reading",
        position=7,
        typed="900",
        normalized="900",
        unit="umho/cm",
    )
    assert found(undone.plant) == [("reading", str(slipped.pk))]


def test_it_names_a_signature_that_no_signing_set(undone):
    real = Signature.objects.get(meaning="signed")
    values = {f.attname: getattr(real, f.attname) for f in real._meta.concrete_fields}
    fake = Signature.objects.create(**{**values, "id": uuid4(), "sequence": 9})
    assert found(undone.plant) == [("signature", str(fake.pk))]


def test_it_names_the_sheet_from_which_a_row_was_talked_away(undone):
    """An amendment inserted behind a signed measurement would hide it from its sheet."""
    Amendment.objects.create(
        plant=undone.plant,
        sheet=undone.sheet,
        measurement=undone.high.measurements.get(),
        by=undone.people["mate"],
        by_name="Milo Mate",
        at=undone.high.drawn_at,
    )
    assert found(undone.plant) == [("logsheet", str(undone.sheet.pk))]


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("digest", "0" * 64),
        ("previous", "0" * 64),
        ("row_digest", "0" * 64),
        ("row", uuid4()),
        ("table", "reading"),
        ("form", "9"),
        ("sequence", 4321),
    ],
)
def test_it_names_a_rewritten_link(undone, column, value):
    guards.lift(connection)
    link = LedgerEntry.objects.get(sequence=3)
    edit(link, column, value)
    first = next(mismatches(undone.plant))
    # A link moved away leaves a gap, which the next one shows.
    assert first.sequence == (4 if column == "sequence" else 3)


def test_it_sees_links_in_another_order(undone):
    guards.lift(connection)
    three, four = LedgerEntry.objects.get(sequence=3), LedgerEntry.objects.get(sequence=4)
    edit(three, "sequence", 999_999)
    edit(four, "sequence", 3)
    edit(three, "sequence", 4)
    assert next(mismatches(undone.plant)).sequence == 3


def test_it_sees_a_link_taken_out(undone):
    guards.lift(connection)
    delete(LedgerEntry.objects.get(sequence=5))
    first = next(mismatches(undone.plant))
    assert (first.sequence, first.what) == (6, "link 5 is missing before it")


def test_it_sees_a_cut_tail_by_the_head(undone):
    guards.lift(connection)
    head = LedgerHead.objects.get()
    delete(LedgerEntry.objects.get(sequence=head.sequence))
    assert "ledgerhead" in {table for table, _ in found(undone.plant)}


def test_it_sees_a_head_that_was_changed(undone):
    LedgerHead.objects.update(digest="1" * 64)
    assert found(undone.plant) == [("ledgerhead", str(undone.plant.pk))]


def test_a_kept_head_shows_a_cut_that_the_chain_itself_cannot(undone):
    """The owner cuts tail and head, and the signatures with them: only a kept head tells."""
    kept = head_of(undone.plant)
    guards.lift(connection)
    tail = LedgerEntry.objects.get(sequence=kept.sequence)
    assert tail.table == "signature"
    before = LedgerEntry.objects.get(sequence=kept.sequence - 1)
    delete(Signature.objects.get(pk=tail.row))
    delete(tail)
    LedgerHead.objects.update(sequence=before.sequence, digest=before.digest)
    assert found(undone.plant) == []
    wrong = not_grown_from(undone.plant, kept)
    assert wrong is not None and wrong.sequence == kept.sequence


def test_a_kept_head_still_holds_when_the_chain_has_grown(undone):
    link = LedgerEntry.objects.get(sequence=2)
    old = Head(plant=str(undone.plant.pk), sequence=2, digest=link.digest)
    assert not_grown_from(undone.plant, old) is None
    other = Head(plant=str(undone.plant.pk), sequence=2, digest="2" * 64)
    assert not_grown_from(undone.plant, other) is not None


def test_an_edit_that_only_the_results_text_shows_is_seen(undone):
    """7.10 is not 7.1: texts are sealed, not numbers."""
    guards.lift(connection)
    result = undone.high.measurements.get().results.get()
    edit(result, "value", result.value + ".0")
    assert found(undone.plant) == [("result", str(result.pk))]
    assert Measurement.objects.count() == 5
