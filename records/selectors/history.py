"""The history of one number: every version of a measurement, and the seals on their rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from records import canonical
from records.models import AppendOnly, LedgerEntry, Measurement, Plant
from records.selectors.sheets import children_of


@dataclass(frozen=True, kw_only=True)
class Seal:
    """One row with its digest as it stands now, and the link of the ledger that sealed it."""

    table: str
    digest: str
    link: LedgerEntry | None

    @property
    def holds(self) -> bool:
        """Whether the row is still what was sealed; a row not sealed yet has nothing to break."""
        return self.link is None or self.link.row_digest == self.digest


def versions_of(measurement: Measurement) -> Sequence[Measurement]:
    """Return a measurement with all that it corrects and all that corrects it, the oldest first."""
    plant, keys = measurement.plant_id, [measurement.pk]
    earlier = measurement.corrects_id
    while earlier is not None:
        keys.insert(0, earlier)
        earlier = _one(plant, pk=earlier, wanted="corrects_id")
    later = _one(plant, corrects=measurement.pk, wanted="pk")
    while later is not None:
        keys.append(later)
        later = _one(plant, corrects=later, wanted="pk")
    found = {each.pk: each for each in _whole(plant, keys)}
    return [found[key] for key in keys]


def _one(plant: UUID, *, wanted: str, **where: UUID) -> UUID | None:
    found: UUID | None = (
        Measurement.objects.filter(plant=plant, **where).values_list(wanted, flat=True).first()
    )
    return found


def _whole(plant: UUID, keys: Sequence[UUID]) -> Sequence[Measurement]:
    return list(
        Measurement.objects.filter(plant=plant, pk__in=keys)
        .select_related("sample__sample_point__boiler", "sheet")
        .prefetch_related(
            "readings",
            "uses",
            "doubts",
            "outcomes",
            "amendments__signatures",
            "results__verdicts__limit",
            "results__verdicts__program_version__program",
        )
    )


def seals_of(plant: Plant, measurement: Measurement) -> Sequence[Seal]:
    """Return the seal on a measurement's row, on those of all that hangs on it, and its sample."""
    rows: list[AppendOnly] = [measurement.sample, measurement, *children_of([measurement])]
    links = {
        (link.table, link.row): link
        for link in LedgerEntry.objects.filter(plant=plant, row__in=[row.pk for row in rows])
    }
    return [_seal(row, links.get((canonical.table_of(row), row.pk))) for row in rows]


def _seal(row: AppendOnly, link: LedgerEntry | None) -> Seal:
    form = link.form if link else canonical.CURRENT
    return Seal(table=canonical.table_of(row), digest=canonical.row_digest(row, form), link=link)
