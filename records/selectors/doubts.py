"""Which results are in doubt now: by what was said on entry, or by a check that failed later.

A failed check marks no row. Whether it reaches a measurement is read from its look-back, from the
instruments that the measurement was made with and from when its sample was drawn; so a sample that
is entered late is reached as well. A chemist's decision ends a doubt, but for void.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from records.models import Disposition, LookBack, Measurement, Outcome
from records.shifts import local

VOID, CHECK_FAILED = "void", "check_failed"
FAILED_WORDS = gettext_noop("%(instrument)s failed its check of %(day)s")
VOID_WORDS = gettext_noop("void: %(reason)s")


@dataclass(frozen=True, kw_only=True)
class Doubted:
    """Why a measurement is in doubt now; `look_back` is the one that reached it, if one did."""

    cause: str
    detail: str
    at: datetime
    look_back: UUID | None = None


def doubts_of_each(measurements: Iterable[Measurement]) -> Mapping[UUID, tuple[Doubted, ...]]:
    """Return why each of some measurements of one plant is in doubt now. They are read with their
    samples, `uses` and `doubts`."""
    every = list(measurements)
    if not every:
        return {}
    plant = every[0].plant_id
    backs = list(LookBack.objects.filter(plant=plant).select_related("instrument__plant"))
    reached = {m.pk: [back for back in backs if reaches(back, m)] for m in every}
    begun = {m.pk for m in every if reached[m.pk] or m.doubts.all()}
    decided = _decided(plant, begun, {b.pk for each in reached.values() for b in each})
    return {m.pk: tuple(_open(m, reached[m.pk], decided)) for m in every if m.pk in begun}


def reaches(back: LookBack, measurement: Measurement) -> bool:
    """Say whether a look-back reaches a measurement, decided or not."""
    drawn = measurement.sample.drawn_at
    inside = drawn <= back.until and (back.since is None or drawn > back.since)
    return inside and any(use.instrument_id == back.instrument_id for use in measurement.uses.all())


def _decided(
    plant: UUID, measurements: Collection[UUID], backs: Collection[UUID]
) -> list[Disposition]:
    if not measurements:
        return []
    found = Disposition.objects.filter(plant=plant).filter(
        Q(measurement__in=list(measurements))
        | Q(measurement__isnull=True, look_back__in=list(backs))
    )
    return list(found.order_by("at", "id"))


def _open(
    measurement: Measurement, backs: Sequence[LookBack], decided: Sequence[Disposition]
) -> Iterable[Doubted]:
    """Yield the doubts of a measurement that no decision has ended."""
    own = [each for each in decided if each.measurement_id == measurement.pk]
    voided = [each for each in own if each.outcome == Outcome.VOID]
    batch = [each for each in decided if each.measurement_id is None]
    for back in backs:
        of_all = [p for p in batch if p.look_back_id == back.pk and p.at >= measurement.entered_at]
        said = [p for p in own if p.look_back_id == back.pk] or of_all
        if not said:
            yield Doubted(
                cause=CHECK_FAILED, detail=failed_words(back), at=back.at, look_back=back.pk
            )
        elif said[-1].outcome == Outcome.VOID and said[-1] not in voided:
            voided.append(said[-1])
    of_entry = [p for p in own if p.look_back_id is None]
    for doubt in measurement.doubts.all():
        if not any(p.at >= doubt.at for p in of_entry):
            yield Doubted(cause=doubt.cause, detail=doubt.detail, at=doubt.at)
    for each in voided:
        yield Doubted(cause=VOID, detail=_(VOID_WORDS) % {"reason": each.reason}, at=each.at)


def failed_words(back: LookBack) -> str:
    """Return the sentence that tells of a failed check."""
    day = local(back.instrument.plant, back.until).date().isoformat()
    return _(FAILED_WORDS) % {"instrument": back.instrument.name, "day": day}


@dataclass(frozen=True, kw_only=True)
class DoubtHistory:
    """All that ever put a measurement in doubt, and what was decided about it."""

    look_backs: tuple[LookBack, ...]
    decisions: tuple[Disposition, ...]
    open_now: tuple[Doubted, ...]


def doubt_history(measurements: Iterable[Measurement]) -> Mapping[UUID, DoubtHistory]:
    """Return for each of some measurements of one plant what put it in doubt, decided or not."""
    every = list(measurements)
    open_now = doubts_of_each(every)
    if not every:
        return {}
    backs = list(
        LookBack.objects.filter(plant=every[0].plant_id).select_related("instrument__plant")
    )
    reached = {m.pk: [back for back in backs if reaches(back, m)] for m in every}
    found = _decided(every[0].plant_id, list(reached), [b.pk for b in backs])
    return {
        m.pk: DoubtHistory(
            look_backs=tuple(reached[m.pk]),
            decisions=tuple(p for p in found if _is_about(p, m, reached[m.pk])),
            open_now=open_now.get(m.pk, ()),
        )
        for m in every
    }


def _is_about(decision: Disposition, measurement: Measurement, backs: Sequence[LookBack]) -> bool:
    if decision.measurement_id is not None:
        return bool(decision.measurement_id == measurement.pk)
    ours = decision.look_back_id in {back.pk for back in backs}
    return ours and decision.at >= measurement.entered_at
