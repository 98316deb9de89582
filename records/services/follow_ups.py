"""Open what is owed after a result, and settle it by the sample that answers."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from uuid import UUID

from chemistry.verdict import Side
from records import clock
from records.actors import Actor
from records.models import (
    Doubt,
    DueSlot,
    FollowUp,
    FollowUpSettlement,
    LogSheet,
    Measurement,
    Result,
    Sample,
    Verdict,
)
from records.selectors.sheets import is_signed
from records.services.sheet_opening import sheet_open_at

ANSWER = "answer"
RETEST = "retest"
# The note of a settlement: the result behind the follow-up was corrected.
CORRECTED = "corrected"
# What to do about a result out of range is owed within the hour; so is a repeat near the limit:
# rules of our own.
ANSWER_WITHIN = timedelta(hours=1)
REPEAT_WITHIN = timedelta(hours=1)
# A retest drawn this much early still answers; after this long it is missed: rules of our own.
EARLY = timedelta(minutes=15)
MISSED_AFTER = timedelta(hours=2)


def open_sheet_for(actor: Actor, sheet: LogSheet) -> LogSheet:
    """Return the sheet itself, or the next that takes more if it is signed."""
    return sheet_open_at(actor.plant, clock.now()) if is_signed(sheet) else sheet


def follow_ups_open(*, actor: Actor, measurements: Sequence[Measurement]) -> None:
    """Owe an answer for each result out of range, and a repeat for each one near its limit.

    A measurement in doubt owes nothing by itself: its number can't be trusted either way.
    """
    # By key: a join under the plant's scope would walk every verdict of the plant.
    trusted = {each.pk: each for each in _trusted(actor, measurements)}
    found = Result.objects.filter(plant=actor.plant, measurement__in=list(trusted))
    results = {result.pk: result for result in found}
    for verdict in Verdict.objects.filter(plant=actor.plant, result__in=list(results)):
        _owe(actor, trusted, results[verdict.result_id], verdict)


def _trusted(actor: Actor, measurements: Sequence[Measurement]) -> list[Measurement]:
    """Return the measurements that are not in doubt."""
    doubts = Doubt.objects.filter(
        plant=actor.plant, measurement__in=[each.pk for each in measurements]
    )
    in_doubt = set(doubts.values_list("measurement_id", flat=True))
    return [each for each in measurements if each.pk not in in_doubt]


def _owe(
    actor: Actor, measurements: Mapping[UUID, Measurement], result: Result, verdict: Verdict
) -> None:
    result.measurement = measurements[result.measurement_id]
    sheet = result.measurement.sheet
    if verdict.side in (Side.HIGH, Side.LOW):
        due = clock.now() + ANSWER_WITHIN
        follow_up_open(actor, result, ANSWER, verdict.side, due, sheet)
    elif verdict.near_limit:
        follow_up_open(actor, result, RETEST, "near_limit", clock.now() + REPEAT_WITHIN, sheet)


def follow_ups_renew(*, actor: Actor, measurement: Measurement) -> None:
    """Settle what was owed after the measurements that this one corrects; owe what it asks for."""
    before = measurement.corrects
    while before is not None:
        for follow_up in FollowUp.objects.filter(
            plant=actor.plant, result__measurement=before, settlements__isnull=True
        ):
            sheet = open_sheet_for(actor, measurement.sheet)
            follow_up_settle(actor, follow_up, sheet=sheet, note=CORRECTED)
        before = before.corrects
    follow_ups_open(actor=actor, measurements=[measurement])


def follow_up_open(
    actor: Actor, result: Result, kind: str, why: str, due_at: datetime, sheet: LogSheet
) -> FollowUp:
    """Insert one follow-up; a retest is put on the list of what is due."""
    sample = result.measurement.sample
    follow_up: FollowUp = FollowUp.objects.create(
        plant=actor.plant,
        sheet=open_sheet_for(actor, sheet),
        sample=sample,
        result=result,
        kind=kind,
        why=why,
        due_at=due_at,
        at=clock.now(),
        **actor.signed_by,
    )
    if kind == RETEST:
        DueSlot.objects.create(
            plant=actor.plant,
            sample_point=sample.sample_point,
            method=result.measurement.method,
            follow_up=follow_up,
            due_at=due_at,
            missed_after=due_at + MISSED_AFTER,
        )
    return follow_up


def follow_ups_answer(*, actor: Actor, sample: Sample, measurements: Sequence[Measurement]) -> None:
    """Settle the retests that a sample answers: same point and test, drawn when it was owed.

    A measurement in doubt answers nothing: the retest stays owed.
    """
    tested = {each.method for each in _trusted(actor, measurements)}
    # Which are open first, then what they are about: joined at once, all ever owed would be read.
    open_ones = FollowUp.objects.filter(
        plant=actor.plant,
        kind=RETEST,
        due_at__lte=sample.drawn_at + EARLY,
        settlements__isnull=True,
    ).exclude(sample=sample)
    owed = FollowUp.objects.filter(
        plant=actor.plant, pk__in=list(open_ones.values_list("pk", flat=True))
    ).select_related("sample", "result__measurement")
    for follow_up in owed:
        same_point = follow_up.sample.sample_point_id == sample.sample_point_id
        if same_point and follow_up.result.measurement.method in tested:
            follow_up_settle(actor, follow_up, sheet=sample.sheet, sample=sample)


def follow_up_settle(
    actor: Actor,
    follow_up: FollowUp,
    *,
    sheet: LogSheet,
    sample: Sample | None = None,
    note: str = "",
) -> None:
    """Record how a follow-up ended."""
    FollowUpSettlement.objects.create(
        plant=actor.plant,
        follow_up=follow_up,
        sheet=sheet,
        sample=sample,
        note=note,
        at=clock.now(),
        **actor.signed_by,
    )
