"""The last results of a point: what a new one is held beside on entry."""

from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from uuid import UUID

from chemistry.plausibility import MOST_RECENT
from records.models import (
    Amendment,
    Doubt,
    Meaning,
    Measurement,
    Result,
    Sample,
    SamplePoint,
    Signature,
)

# Samples looked through for the last results; tests that are seldom made are not held beside old
# ones: rule of our own.
_LOOKED_AT = 4 * MOST_RECENT
# Samples read at a time: where each holds the test, the first time is enough.
_AT_A_TIME = MOST_RECENT + 2


@dataclass(frozen=True)
class RecentResults:
    """The last results at a point before a draw, in one boiler state.

    Those in doubt, corrected, bounded or refused are left out. They are read when first asked for,
    for all analytes at once and only as far back as is needed, step by step by keys: a join would
    walk every result of the plant.
    """

    point: SamplePoint
    state: str
    before: datetime
    # (analyte, basis) -> values, the newest first, of the samples read so far.
    _values: dict[tuple[str, str], list[float]] = field(default_factory=dict)

    def of(self, analyte: str, basis: str) -> list[float]:
        """Return the last values of an analyte on one basis, the newest last."""
        found = self._values.setdefault((analyte, basis), [])
        while len(found) < MOST_RECENT and self._unread:
            self._read_on()
        return found[:MOST_RECENT][::-1]

    @cached_property
    def _unread(self) -> list[UUID]:
        """The samples not read yet, the newest first."""
        samples = Sample.objects.filter(
            plant=self.point.plant_id,
            sample_point=self.point,
            boiler_state=self.state,
            drawn_at__lt=self.before,
        ).order_by("-drawn_at")
        return list(samples.values_list("pk", flat=True)[:_LOOKED_AT])

    def _read_on(self) -> None:
        """Read the next samples."""
        plant, samples = self.point.plant_id, self._unread[:_AT_A_TIME]
        del self._unread[:_AT_A_TIME]
        made = Measurement.objects.filter(plant=plant, sample__in=samples)
        of_sample, corrected_by = dict[UUID, UUID](), dict[UUID, UUID]()
        for pk, sample, corrects in made.values_list("pk", "sample_id", "corrects_id"):
            of_sample[pk] = sample
            if corrects is not None:
                corrected_by[pk] = corrects
        left_out = _doubted(plant, list(of_sample)) | _refused(plant, list(corrected_by))
        left_out |= set(corrected_by.values())
        counted = [pk for pk in of_sample if pk not in left_out]
        rows = Result.objects.filter(plant=plant, measurement__in=counted, qualifier="")
        rank = {sample: number for number, sample in enumerate(samples)}
        for _pk, analyte, basis, value in sorted(
            rows.values_list("measurement_id", "analyte", "basis", "value"),
            key=lambda row: rank[of_sample[row[0]]],
        ):
            self._values.setdefault((analyte, basis), []).append(float(value))


def _doubted(plant: UUID, keys: list[UUID]) -> set[UUID]:
    """Return the measurements that are in doubt."""
    doubts = Doubt.objects.filter(plant=plant, measurement__in=keys)
    return set(doubts.values_list("measurement_id", flat=True))


def _refused(plant: UUID, keys: list[UUID]) -> set[UUID]:
    """Return the corrections whose amendment was refused."""
    proposed = dict(
        Amendment.objects.filter(plant=plant, measurement__in=keys).values_list(
            "pk", "measurement_id"
        )
    )
    refused = Signature.objects.filter(
        plant=plant, meaning=Meaning.AMENDMENT_REFUSED, amendment__in=list(proposed)
    )
    return {proposed[pk] for pk in refused.values_list("amendment_id", flat=True)}
