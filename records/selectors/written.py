"""What was measured of a sample, at hand in one piece: as it was just written, or read again."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from uuid import UUID

from records.doubted import doubted_among
from records.models import CheckOutcome, Measurement, Result, Sample, Verdict
from records.selectors.sheets import current_measurements, with_amendments


@dataclass(frozen=True, kw_only=True)
class Written:
    """Measurements of one sample with what was written beside them. Each result knows its
    measurement, each verdict its result and the limit behind it."""

    measurements: Sequence[Measurement]
    verdicts: Sequence[Verdict]
    outcomes: Sequence[CheckOutcome]
    doubted: Collection[UUID]

    @property
    def results(self) -> list[Result]:
        """The results; each has one verdict."""
        return [verdict.result for verdict in self.verdicts]

    @property
    def trusted(self) -> dict[UUID, Measurement]:
        """The measurements that are not in doubt, by key."""
        return {each.pk: each for each in self.measurements if each.pk not in self.doubted}

    @property
    def methods_trusted(self) -> set[str]:
        """The tests that were made and are not in doubt."""
        return {each.method for each in self.trusted.values()}


def written_of(sample: Sample) -> Written:
    """Return the measurements of a sample that count."""
    made = Measurement.objects.filter(plant=sample.plant_id, sample=sample)
    return written_beside(sample.plant_id, current_measurements(with_amendments(made)))


def written_beside(plant: UUID, measurements: Sequence[Measurement]) -> Written:
    """Return measurements with what was written beside them. Read by keys: a join under the plant's
    scope would walk every result of the plant."""
    measured = {each.pk: each for each in measurements}
    theirs = {"plant": plant, "measurement__in": list(measured)}
    results = {each.pk: each for each in Result.objects.filter(**theirs)}
    for result in results.values():
        result.measurement = measured[result.measurement_id]
    judged = Verdict.objects.filter(plant=plant, result__in=list(results)).order_by("result_id")
    verdicts = list(judged.select_related("limit", "program_version"))
    for verdict in verdicts:
        verdict.result = results[verdict.result_id]
    return Written(
        measurements=measurements,
        verdicts=verdicts,
        outcomes=list(CheckOutcome.objects.filter(**theirs).order_by("pk")),
        doubted=doubted_among(plant, list(measured)),
    )
