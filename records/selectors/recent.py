"""The last results of a point: what a new one is held beside on entry."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from chemistry.plausibility import MOST_RECENT
from records.models import Doubt, Meaning, Measurement, Result, Sample, SamplePoint, Signature

# Samples looked through for the last results; tests that are seldom made are not held beside old
# ones: rule of our own.
_LOOKED_AT = 4 * MOST_RECENT


@dataclass(frozen=True)
class RecentResults:
    """The last results at a point before a draw, in one boiler state.

    Those in doubt, corrected, bounded or refused are left out. They are read when first asked for,
    for all analytes at once, step by step by keys: a join would walk every result of the plant.
    """

    point: SamplePoint
    state: str
    before: datetime

    def of(self, analyte: str, basis: str) -> list[float]:
        """Return the last values of an analyte on one basis, the newest last."""
        return self._by_analyte.get((analyte, basis), [])[-MOST_RECENT:]

    @cached_property
    def _by_analyte(self) -> dict[tuple[str, str], list[float]]:
        plant = self.point.plant_id
        samples = list(
            Sample.objects.filter(
                plant=plant,
                sample_point=self.point,
                boiler_state=self.state,
                drawn_at__lt=self.before,
            )
            .order_by("-drawn_at")
            .values_list("pk", flat=True)[:_LOOKED_AT]
        )
        made = Measurement.objects.filter(plant=plant, sample__in=samples)
        of_sample = dict(made.values_list("pk", "sample_id"))
        left_out = _not_counted(plant, list(of_sample))
        counted = [pk for pk in of_sample if pk not in left_out]
        rows = Result.objects.filter(plant=plant, measurement__in=counted, qualifier="")
        rank = {sample: number for number, sample in enumerate(samples)}
        found = sorted(
            rows.values_list("measurement_id", "analyte", "basis", "value"),
            key=lambda row: -rank[of_sample[row[0]]],
        )
        values: dict[tuple[str, str], list[float]] = {}
        for _pk, analyte, basis, value in found:
            values.setdefault((analyte, basis), []).append(float(value))
        return values


def _not_counted(plant: UUID, keys: list[UUID]) -> set[UUID | None]:
    """Return those that are in doubt, were corrected, or whose amendment was refused."""
    doubted = Doubt.objects.filter(plant=plant, measurement__in=keys)
    corrected = Measurement.objects.filter(plant=plant, corrects__in=keys)
    refused = Signature.objects.filter(
        plant=plant, meaning=Meaning.AMENDMENT_REFUSED, amendment__measurement__in=keys
    )
    return {
        *doubted.values_list("measurement_id", flat=True),
        *corrected.values_list("corrects_id", flat=True),
        *refused.values_list("amendment__measurement_id", flat=True),
    }
