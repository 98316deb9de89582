"""Verify a plant's chain against the rows it seals."""

from collections.abc import Iterator
from dataclasses import dataclass

from records import canonical
from records.models import Amendment, LedgerEntry, LedgerHead, LogSheet, Meaning, Plant, Signature
from records.selectors.sheets import digest_of, rows_of, rows_of_amendment

_CHUNK = 1000


@dataclass(frozen=True, kw_only=True)
class Mismatch:
    """One thing that is not as it was sealed: where in the chain, which row, and what is wrong."""

    sequence: int
    table: str
    row: str
    what: str

    def __str__(self) -> str:
        where = f"link {self.sequence}: " if self.sequence else ""
        return f"{where}{self.table} {self.row}: {self.what}"


def mismatches(plant: Plant) -> Iterator[Mismatch]:
    """Yield what does not match, the first in the chain first.

    The chain can't see a cut tail together with a rewritten head: heads are printed on sheets and
    can be exported for that.
    """
    yield from _broken_links(plant)
    yield from _signatures_that_saw_other_rows(plant)


def _broken_links(plant: Plant) -> Iterator[Mismatch]:
    previous, expected = canonical.ORIGIN, 1
    entries = LedgerEntry.objects.filter(plant=plant).order_by("sequence")
    for chunk in _chunks(entries):
        rows = _rows_behind(plant, chunk)
        for entry in chunk:
            wrong = _what_is_wrong(entry, expected, previous, rows)
            if wrong:
                yield Mismatch(
                    sequence=entry.sequence, table=entry.table, row=str(entry.row), what=wrong
                )
            previous, expected = entry.digest, entry.sequence + 1
    head = LedgerHead.objects.filter(plant=plant).first()
    sealed = (head.sequence, head.digest) if head else (0, canonical.ORIGIN)
    if sealed != (expected - 1, previous):
        what = f"the head says {sealed[0]} links, the chain ends at {expected - 1}"
        yield Mismatch(sequence=expected - 1, table="ledgerhead", row=str(plant.pk), what=what)


def _chunks(entries: object) -> Iterator[list[LedgerEntry]]:
    chunk: list[LedgerEntry] = []
    for entry in entries.iterator(chunk_size=_CHUNK):  # type: ignore[attr-defined]
        chunk.append(entry)
        if len(chunk) == _CHUNK:
            yield chunk
            chunk = []
    if chunk:
        yield chunk


def _rows_behind(plant: Plant, chunk: list[LedgerEntry]) -> dict[tuple[str, str], str]:
    """Return (table, key) -> digest as the rows stand now."""
    found: dict[tuple[str, str], str] = {}
    for table, form in {(entry.table, entry.form) for entry in chunk}:
        if table not in canonical.TABLES or form not in canonical.FORMS:
            continue
        keys = [e.row for e in chunk if (e.table, e.form) == (table, form)]
        columns = ("id", *canonical.FORMS[form][table])
        model = canonical.TABLES[table]
        for values in model.objects.filter(plant=plant, pk__in=keys).values(*columns):
            found[table, str(values["id"])] = canonical.digest(table, values, form)
    return found


def _what_is_wrong(
    entry: LedgerEntry, expected: int, previous: str, rows: dict[tuple[str, str], str]
) -> str:
    now = rows.get((entry.table, str(entry.row)))
    if now is None:
        return "the row is gone"
    if now != entry.row_digest:
        return "the row was changed after it was sealed"
    if entry.sequence != expected:
        return f"link {expected} is missing before it"
    if entry.previous != previous:
        return "the link does not follow the one before it"
    sealed = canonical.link_digest(
        plant=entry.plant_id,
        sequence=entry.sequence,
        table=entry.table,
        row=entry.row,
        form=entry.form,
        row_digest=entry.row_digest,
        previous=entry.previous,
    )
    return "" if sealed == entry.digest else "the link itself was changed"


def _signatures_that_saw_other_rows(plant: Plant) -> Iterator[Mismatch]:
    """A row slipped into a signed sheet, or taken out of it, changes the digest that was signed."""
    signed = Signature.objects.filter(plant=plant, meaning=Meaning.SIGNED).order_by("at")
    for signature in signed.select_related("sheet"):
        sheet: LogSheet = signature.sheet
        if digest_of(rows_of(sheet)) != signature.digest:
            what = "what stands on the sheet is not what was signed"
            yield Mismatch(sequence=0, table="logsheet", row=str(sheet.pk), what=what)
    for signature in Signature.objects.filter(plant=plant, amendment__isnull=False):
        amendment: Amendment = signature.amendment
        if digest_of(rows_of_amendment(amendment)) != signature.digest:
            what = "the amendment is not what was signed"
            yield Mismatch(sequence=0, table="amendment", row=str(amendment.pk), what=what)
