"""Add links to a plant's chain, under its locked head."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from records import canonical, clock
from records.models import AppendOnly, LedgerEntry, LedgerHead, Plant

_BATCH = 500


def ledger_lock(plant: Plant) -> LedgerHead:
    """Lock the plant's head until the transaction ends, so that signing is one at a time."""
    locked = LedgerHead.objects.select_for_update().filter(plant=plant)
    head: LedgerHead | None = locked.first()
    if head is None:
        LedgerHead.objects.get_or_create(plant=plant, defaults={"digest": canonical.ORIGIN})
        head = locked.get()
    return head


def ledger_append(head: LedgerHead, rows: Sequence[AppendOnly]) -> None:
    """Chain the rows that the ledger does not hold yet, in the order given, and move the head."""
    fresh = _not_yet_in(head, rows)
    now, links = clock.now(), []
    for row in fresh:
        sequence = head.sequence + 1
        values: dict[str, Any] = {
            "sequence": sequence,
            "table": canonical.table_of(row),
            "row": row.pk,
            "form": canonical.CURRENT,
            "row_digest": canonical.row_digest(row),
            "previous": head.digest,
        }
        digest = canonical.link_digest(plant=head.plant_id, **values)
        links.append(LedgerEntry(plant_id=head.plant_id, digest=digest, at=now, **values))
        head.sequence, head.digest = sequence, digest
    LedgerEntry.objects.bulk_create(links, batch_size=_BATCH)
    head.save(update_fields=["sequence", "digest"])


def _not_yet_in(head: LedgerHead, rows: Sequence[AppendOnly]) -> list[AppendOnly]:
    known: set[tuple[str, UUID]] = set()
    for start in range(0, len(rows), _BATCH):
        part = [row.pk for row in rows[start : start + _BATCH]]
        found = LedgerEntry.objects.filter(plant=head.plant_id, row__in=part)
        known |= set(found.values_list("table", "row"))
    return [row for row in rows if (canonical.table_of(row), row.pk) not in known]
