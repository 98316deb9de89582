"""The last draws of a point before an instant: what a new one is held beside, read once for all."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from uuid import UUID

from chemistry.plausibility import MOST_RECENT
from records.doubted import doubted_among
from records.models import Amendment, Meaning, Measurement, Result, Sample, Signature
from records.selectors.sheets import current_measurements, with_amendments

# Samples looked through for the last results; tests that are seldom made are not held beside old
# ones: rule of our own.
_LOOKED_AT = 4 * MOST_RECENT
# Samples read at a time: where each holds the test, the first time is enough.
_AT_A_TIME = MOST_RECENT + 2


@dataclass(frozen=True)
class PastResult:
    """A result of an earlier draw that is not in doubt.

    `current`: it counts, by what is signed. `standing`: neither corrected nor proposed in vain,
    signed or not.
    """

    analyte: str
    basis: str
    qualifier: str
    value: float
    expanded: float
    current: bool
    standing: bool


@dataclass(frozen=True)
class PastDraw:
    """An earlier draw with its results."""

    drawn_at: datetime
    results: list[PastResult] = field(default_factory=list)


@dataclass(frozen=True)
class PastDraws:
    """The draws at a point before an instant, in one boiler state, the newest first.

    They are read when first asked for and only as far back as is needed, step by step by keys: a
    join would walk every result of the plant.
    """

    plant: UUID
    point: UUID
    state: str
    before: datetime
    _read: list[PastDraw] = field(default_factory=list)

    def __iter__(self) -> Iterator[PastDraw]:
        number = 0
        while number < len(self._read) or self._unread:
            if number == len(self._read):
                self._read_on()
            yield self._read[number]
            number += 1

    @cached_property
    def _unread(self) -> list[tuple[UUID, datetime]]:
        """The samples not read yet, the newest first."""
        samples = Sample.objects.filter(
            plant=self.plant,
            sample_point=self.point,
            boiler_state=self.state,
            drawn_at__lt=self.before,
        ).order_by("-drawn_at")
        return list(samples.values_list("pk", "drawn_at")[:_LOOKED_AT])

    def _read_on(self) -> None:
        """Read the next samples."""
        draws = {pk: PastDraw(drawn_at) for pk, drawn_at in self._unread[:_AT_A_TIME]}
        del self._unread[:_AT_A_TIME]
        measured = _Measured.of(self.plant, list(draws))
        rows = Result.objects.filter(plant=self.plant, measurement__in=measured.trusted)
        told = ("measurement_id", "analyte", "basis", "qualifier", "value", "expanded")
        for key, analyte, basis, qualifier, value, expanded in rows.values_list(*told):
            result = PastResult(
                analyte=analyte,
                basis=basis,
                qualifier=qualifier,
                value=float(value),
                expanded=float(expanded),
                current=key not in measured.replaced,
                standing=key not in measured.revoked,
            )
            draws[measured.sample_of[key]].results.append(result)
        self._read.extend(draws.values())


def past_of(sample: Sample) -> PastDraws:
    """Return the draws before a sample's."""
    point: UUID = sample.sample_point_id
    return PastDraws(sample.plant_id, point, sample.boiler_state, sample.drawn_at)


@dataclass(frozen=True)
class _Measured:
    """The measurements of some samples by key: their samples, those not in doubt, those that don't
    count by what is signed (`replaced`), and those corrected or refused (`revoked`)."""

    sample_of: dict[UUID, UUID]
    trusted: list[UUID]
    replaced: set[UUID]
    revoked: set[UUID]

    @classmethod
    def of(cls, plant: UUID, samples: list[UUID]) -> "_Measured":
        made = Measurement.objects.filter(plant=plant, sample__in=samples)
        rows = list(made.values_list("pk", "sample_id", "corrects_id"))
        doubted = doubted_among(plant, [row[0] for row in rows])
        corrected_by = {pk: corrects for pk, _sample, corrects in rows if corrects is not None}
        replaced = set[UUID]()
        if corrected_by:
            current = current_measurements(with_amendments(made))
            replaced = {row[0] for row in rows} - {each.pk for each in current}
        return cls(
            sample_of={pk: sample for pk, sample, _corrects in rows},
            trusted=[row[0] for row in rows if row[0] not in doubted],
            replaced=replaced,
            revoked=set(corrected_by.values()) | _refused(plant, list(corrected_by)),
        )


def _refused(plant: UUID, keys: list[UUID]) -> set[UUID]:
    """Return the corrections whose amendment was refused."""
    if not keys:
        return set()
    proposed = dict(
        Amendment.objects.filter(plant=plant, measurement__in=keys).values_list(
            "pk", "measurement_id"
        )
    )
    refused = Signature.objects.filter(
        plant=plant, meaning=Meaning.AMENDMENT_REFUSED, amendment__in=list(proposed)
    )
    return {proposed[pk] for pk in refused.values_list("amendment_id", flat=True)}
