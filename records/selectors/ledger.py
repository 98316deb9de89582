"""Verify a plant's chain against the rows it seals."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from django.core.exceptions import ObjectDoesNotExist, ValidationError
from django_scopes import scope

from records import canonical
from records.models import AppendOnly, LedgerEntry, LedgerHead, Meaning, Plant, Signature
from records.selectors.sheets import digest_of, rows_of, rows_of_amendment

_CHUNK = 1000
GONE = "the row is gone"
# What a value that was tampered with may raise while it is read or written canonically.
_UNREADABLE = (ValueError, TypeError, OverflowError, ValidationError)
# The marks after which nothing may be added to what they stand on.
_FINAL = (Meaning.SIGNED, Meaning.AMENDMENT_SIGNED, Meaning.AMENDMENT_REFUSED)


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


@dataclass(frozen=True, kw_only=True)
class Head:
    """The newest link of a plant's chain, as it is printed and kept elsewhere."""

    plant: str
    sequence: int
    digest: str

    def __str__(self) -> str:
        return f"{self.plant} {self.sequence} {self.digest}"

    @classmethod
    def parse(cls, line: str) -> "Head":
        """Return the head that a line holds; raises ValueError where it holds none."""
        plant, sequence, digest = line.split()
        if len(digest) != len(canonical.ORIGIN):
            raise ValueError(line)
        return cls(plant=str(UUID(plant)), sequence=int(sequence), digest=digest)


def head_of(plant: Plant) -> Head:
    """Return the head of a plant's chain; one without links has sequence 0."""
    row = LedgerHead.objects.filter(plant=plant).first()
    sequence, digest = (row.sequence, row.digest) if row else (0, canonical.ORIGIN)
    return Head(plant=str(plant.pk), sequence=sequence, digest=digest)


def heads() -> list[Head]:
    """Return the heads of all plants' chains: for who looks after the whole store."""
    found = []
    for plant in Plant.objects.order_by("name"):
        with scope(plant=plant):
            found.append(head_of(plant))
    return found


def not_grown_from(plant: Plant, kept: Head) -> Mismatch | None:
    """Return what is wrong if the chain no longer holds a head that was kept, else None."""
    if kept.sequence == 0:
        return None
    link = LedgerEntry.objects.filter(plant=plant, sequence=kept.sequence).first()
    if link is not None and link.digest == kept.digest:
        return None
    what = "the chain was cut: this link is gone" if link is None else "the chain was rewritten"
    return Mismatch(sequence=kept.sequence, table="ledgerhead", row=str(plant.pk), what=what)


def mismatches(plant: Plant) -> Iterator[Mismatch]:
    """Yield what does not match, the first in the chain first.

    The chain can't see a cut tail together with a rewritten head: heads are printed on sheets and
    can be exported for that.
    """
    wrong: set[tuple[str, str]] = set()
    for found in _broken_links(plant):
        wrong.add((found.table, found.row))
        yield found
    for found in (*_unsealed(plant), *_never_sealed(plant)):
        wrong.add((found.table, found.row))
        yield found
    yield from _signatures_that_saw_other_rows(plant, wrong)


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
        try:
            digests = _digests(plant, table, form, keys)
        except _UNREADABLE:  # find out which one
            digests = {}
            for key in keys:
                try:
                    digests |= _digests(plant, table, form, [key])
                except _UNREADABLE:
                    digests[key] = "unreadable"
        found |= {(table, str(key)): digest for key, digest in digests.items()}
    return found


def _digests(plant: Plant, table: str, form: str, keys: list[UUID]) -> dict[UUID, str]:
    columns = ("id", *canonical.FORMS[form][table])
    rows = canonical.TABLES[table].objects.filter(plant=plant, pk__in=keys).values(*columns)
    return {values["id"]: canonical.digest(table, values, form) for values in rows}


def _what_is_wrong(
    entry: LedgerEntry, expected: int, previous: str, rows: dict[tuple[str, str], str]
) -> str:
    if entry.sequence != expected:
        return f"link {expected} is missing before it"
    if entry.previous != previous:
        return "the link does not follow the one before it"
    if not _holds(entry):
        return "the link itself was changed"
    if entry.table not in canonical.FORMS.get(entry.form, {}):
        return "this program does not know the form in which it was sealed"
    now = rows.get((entry.table, str(entry.row)))
    if now is None:
        return GONE
    return "" if now == entry.row_digest else "the row was changed after it was sealed"


def _holds(entry: LedgerEntry) -> bool:
    """Say whether a link's digest is that of its parts."""
    digest = canonical.link_digest(
        plant=entry.plant_id,
        sequence=entry.sequence,
        table=entry.table,
        row=entry.row,
        form=entry.form,
        row_digest=entry.row_digest,
        previous=entry.previous,
    )
    return digest == entry.digest


def _sealed(plant: Plant, table: str, keys: list[UUID]) -> set[UUID]:
    known: set[UUID] = set()
    for start in range(0, len(keys), _CHUNK // 2):
        part = keys[start : start + _CHUNK // 2]
        found = LedgerEntry.objects.filter(plant=plant, table=table, row__in=part)
        known |= set(found.values_list("row", flat=True))
    return known


def _unsealed(plant: Plant) -> Iterator[Mismatch]:
    """Yield signatures that no signing set, and rows slipped onto a sheet after it was signed."""
    signatures = list(Signature.objects.filter(plant=plant).order_by("at", "id"))
    known = _sealed(plant, "signature", [signature.pk for signature in signatures])
    for signature in signatures:
        if signature.pk not in known:
            yield _loose(signature, "the ledger holds no such signature")
    for signature in signatures:
        if signature.pk not in known or signature.meaning not in _FINAL:
            continue
        rows = _seen(signature)
        by_table: dict[str, list[UUID]] = {}
        for row in rows:
            by_table.setdefault(canonical.table_of(row), []).append(row.pk)
        sealed = {(t, pk) for t, keys in by_table.items() for pk in _sealed(plant, t, keys)}
        for row in rows:
            if (canonical.table_of(row), row.pk) not in sealed:
                yield _loose(row, "the row was slipped in after signing")


def _never_sealed(plant: Plant) -> Iterator[Mismatch]:
    """Yield rows of instruments, checks and decisions that came in past the program."""
    for model in canonical.SEALED_AT_ONCE:
        keys = list(model.objects.filter(plant=plant).order_by("pk").values_list("pk", flat=True))
        table = str(model._meta.model_name)
        known = _sealed(plant, table, keys)
        for key in keys:
            if key not in known:
                what = "the ledger holds no such row"
                yield Mismatch(sequence=0, table=table, row=str(key), what=what)


def _loose(row: AppendOnly, what: str) -> Mismatch:
    return Mismatch(sequence=0, table=canonical.table_of(row), row=str(row.pk), what=what)


def _seen(signature: Signature) -> list[AppendOnly]:
    """Return the rows on which a signature stands; none where they can't be read any more."""
    try:
        if signature.amendment is not None:
            return rows_of_amendment(signature.amendment)
        return rows_of(signature.sheet)
    except (ObjectDoesNotExist, *_UNREADABLE):
        return []


def _signatures_that_saw_other_rows(
    plant: Plant, wrong: set[tuple[str, str]]
) -> Iterator[Mismatch]:
    """Yield sheets whose rows are not those that were signed, where none of them was named yet."""
    signed = Signature.objects.filter(plant=plant, meaning__in=_FINAL).order_by("at", "id")
    for signature in signed:
        rows = _seen(signature)
        if digest_of(rows) == signature.digest:
            continue
        named = wrong & {("signature", str(signature.pk))} | wrong & {
            (canonical.table_of(row), str(row.pk)) for row in rows
        }
        if not named:
            table, key = "logsheet", signature.sheet_id
            if signature.amendment_id is not None:
                table, key = "amendment", signature.amendment_id
            what = "what stands here is not what was signed"
            yield Mismatch(sequence=0, table=table, row=str(key), what=what)
