"""Whether a result out of range is confirmed: by an earlier draw, or by a reason to act without."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from django.db.models import Q

from records.doubted import doubted_among
from records.models import FollowUp, FollowUpSettlement, Measurement, Result, Sample
from records.selectors.sheets import current_measurements, with_amendments

CONFIRM = "confirm"
CONFIRMED, NOT_CONFIRMED = "confirmed", "not_confirmed"
# Begins the note of a settlement that lets a result be acted on without a second draw.
WITHOUT = "without: "
# A draw out of range on the same side confirms the next one for this long: rule of our own.
CONFIRMS_FOR = timedelta(hours=4)


@dataclass(frozen=True, kw_only=True)
class Confirmation:
    """What stands behind a result out of range.

    `earlier`: the draw before it that says the same. `without`: the reason to act without one.
    `owed`: the fresh draw that is still to come. `settled`: how that draw ended.
    """

    earlier: Result | None = None
    without: str = ""
    owed: FollowUp | None = None
    settled: FollowUpSettlement | None = None

    @property
    def confirmed(self) -> bool:
        return self.earlier is not None or bool(self.without)

    @property
    def said_again(self) -> bool:
        """Whether the fresh draw that was owed said the same."""
        return self.settled is not None and self.settled.note == CONFIRMED

    @property
    def later(self) -> Sample | None:
        """The later draw that confirmed this one, or did not."""
        return self.settled.sample if self.settled else None


def confirmation_of(result: Result) -> Confirmation:
    """Return how a result stands: its own follow-up first, then the draws before it."""
    owed = list(
        FollowUp.objects.filter(plant=result.plant_id, result=result, why=CONFIRM)
        .prefetch_related("settlements__sample")
        .order_by("-at", "-id")
    )
    settled = [each for follow_up in owed for each in follow_up.settlements.all()]
    reasons = [s.note.removeprefix(WITHOUT) for s in settled if s.note.startswith(WITHOUT)]
    return Confirmation(
        earlier=earlier_alike(result),
        without=reasons[0] if reasons else "",
        owed=next((f for f in owed if not f.settlements.all()), None),
        settled=next((s for s in settled if s.sample_id), None),
    )


def earlier_alike(result: Result) -> Result | None:
    """Return the newest result of an earlier draw at the same point that lies out of range on the
    same side, if one was drawn within hours. Read by keys."""
    sample = result.measurement.sample
    side = result.verdicts.get().side
    # Draw times are typed to the minute: of two in one minute the one entered first is the earlier.
    drawn = Sample.objects.filter(
        Q(drawn_at__lt=sample.drawn_at) | Q(drawn_at=sample.drawn_at, pk__lt=sample.pk),
        plant=sample.plant_id,
        sample_point=sample.sample_point_id,
        drawn_at__gte=sample.drawn_at - CONFIRMS_FOR,
    ).order_by("-drawn_at", "-pk")
    rank = {pk: number for number, pk in enumerate(drawn.values_list("pk", flat=True))}
    alike = [
        each
        for measurement in _trusted(sample, list(rank), result.measurement.method)
        for each in measurement.results.all()
        if (each.analyte, each.basis) == (result.analyte, result.basis)
        and each.verdicts.all()[0].side == side
    ]
    return min(alike, key=lambda each: rank[each.measurement.sample_id], default=None)


def _trusted(sample: Sample, samples: Sequence[UUID], method: str) -> list[Measurement]:
    """Return the measurements by a method that count and are not in doubt."""
    if not samples:
        return []
    made = Measurement.objects.filter(plant=sample.plant_id, sample__in=samples, method=method)
    read = made.prefetch_related("results__verdicts")
    current = current_measurements(with_amendments(read))
    doubted = doubted_among(sample.plant_id, [m.pk for m in current])
    return [m for m in current if m.pk not in doubted]
