"""The last results of a point: what a new one is held beside on entry."""

from datetime import datetime
from uuid import UUID

from chemistry.plausibility import MOST_RECENT
from records.models import Doubt, Meaning, Measurement, Result, Sample, SamplePoint, Signature

# Samples looked through for the last results; tests that are seldom made are not held beside old
# ones: rule of our own.
_LOOKED_AT = 4 * MOST_RECENT


def recent_values(
    point: SamplePoint, analyte: str, basis: str, state: str, before: datetime
) -> list[float]:
    """Return the last results of an analyte at a point, the newest last.

    Same basis and boiler state; those in doubt, corrected, bounded or refused are left out. Read
    step by step, by keys: a join would walk every result of the plant.
    """
    plant = point.plant_id
    samples = list(
        Sample.objects.filter(
            plant=plant, sample_point=point, boiler_state=state, drawn_at__lt=before
        )
        .order_by("-drawn_at")
        .values_list("pk", flat=True)[:_LOOKED_AT]
    )
    made = Measurement.objects.filter(plant=plant, sample__in=samples)
    of_sample = dict(made.values_list("pk", "sample_id"))
    found = Result.objects.filter(
        plant=plant, measurement__in=list(of_sample), analyte=analyte, basis=basis, qualifier=""
    )
    values = dict(found.values_list("measurement_id", "value"))
    for left_out in _not_counted(plant, list(values)):
        if left_out:
            values.pop(left_out, None)
    rank = {sample: number for number, sample in enumerate(samples)}
    newest_first = sorted(values, key=lambda pk: rank[of_sample[pk]])[:MOST_RECENT]
    return [float(values[pk]) for pk in reversed(newest_first)]


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
