"""Open what is owed after a result, and settle it by the sample that answers."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Q

from chemistry.verdict import Side
from records import clock
from records.actors import Actor
from records.models import (
    DueSlot,
    FollowUp,
    FollowUpSettlement,
    LogSheet,
    Measurement,
    Result,
    Sample,
    Verdict,
)
from records.selectors.confirming import (
    CONFIRM,
    CONFIRMED,
    CONFIRMS_FOR,
    NOT_CONFIRMED,
    earlier_alike,
)
from records.selectors.past import PastDraws
from records.selectors.sheets import is_signed
from records.selectors.stopping import STOP, STOP_LOOK, stop_findings
from records.selectors.written import Written, written_beside, written_of
from records.services.sheet_opening import sheet_open_at

ANSWER = "answer"
RETEST = "retest"
AFTER_ACTION = "after_action"
# The note of a settlement: the result behind the follow-up was corrected.
CORRECTED = "corrected"
# What to do about a result out of range is owed within the hour; so is a repeat near the limit:
# rules of our own.
ANSWER_WITHIN = timedelta(hours=1)
REPEAT_WITHIN = timedelta(hours=1)
# A fresh draw that confirms is soon; an answer to the stop branch sooner: rules of our own.
CONFIRM_WITHIN = timedelta(minutes=30)
STOP_WITHIN = timedelta(minutes=15)
# A retest drawn this much early still answers; after this long it is missed: rules of our own.
EARLY = timedelta(minutes=15)
MISSED_AFTER = timedelta(hours=2)


def open_sheet_for(actor: Actor, sheet: LogSheet) -> LogSheet:
    """Return the sheet itself, or the next that takes more if it is signed."""
    return sheet_open_at(actor.plant, clock.now()) if is_signed(sheet) else sheet


def follow_ups_open(*, actor: Actor, written: Written) -> None:
    """Owe a fresh draw for each result out of range, an answer where an earlier draw confirms it,
    and a repeat for each one near its limit.

    A measurement in doubt owes nothing by itself: its number can't be trusted either way.
    """
    trusted = written.trusted
    for verdict in written.verdicts:
        if verdict.result.measurement_id in trusted:
            _owe(actor, verdict.result, verdict)


def _owe(actor: Actor, result: Result, verdict: Verdict) -> None:
    sheet = result.measurement.sheet
    now = clock.now()
    if verdict.side in (Side.HIGH, Side.LOW):
        if earlier_alike(result) is None:
            follow_up_open(actor, result, RETEST, CONFIRM, now + CONFIRM_WITHIN, sheet)
        else:
            follow_up_open(actor, result, ANSWER, verdict.side, now + ANSWER_WITHIN, sheet)
    elif verdict.near_limit:
        follow_up_open(actor, result, RETEST, "near_limit", now + REPEAT_WITHIN, sheet)


def stops_open(
    *, actor: Actor, sample: Sample, written: Written, past: PastDraws | None = None
) -> None:
    """Owe an answer at once, and a fresh draw beside it, for each finding of the stop branch.

    What a look at the sample showed hangs on some result of it and owes no draw by itself; without
    any result it shows on the sample and its sheet only.
    """
    results = {result.analyte: result for result in written.results}
    for finding in stop_findings(sample, written, past):
        shown = next((results[a] for a in finding.analytes if a in results), None)
        result, why = shown or next(iter(results.values()), None), STOP if shown else STOP_LOOK
        if result is None:
            continue
        asked, now = _asked_of(sample, result), clock.now()
        if not any(each.why == why and not each.settled for each in asked):
            follow_up_open(actor, result, ANSWER, why, now + STOP_WITHIN, sample.sheet)
        # A draw that was itself to confirm asks for no third one.
        if shown and not any(each.why == CONFIRM for each in asked):
            follow_up_open(actor, shown, RETEST, CONFIRM, now + CONFIRM_WITHIN, sample.sheet)


@dataclass(frozen=True)
class _Asked:
    """Why something was asked for lately, and whether that is settled."""

    why: str
    settled: bool


def _asked_of(sample: Sample, result: Result) -> list[_Asked]:
    """Return what this draw and those shortly before it have asked for about a result's analyte,
    and what is open from longer ago.

    What a correction or a draw that did not confirm has settled counts no more.
    """
    lately = Q(sample__drawn_at__gte=sample.drawn_at - CONFIRMS_FOR)
    found = FollowUp.objects.filter(
        lately | Q(settlements__isnull=True),
        plant=sample.plant_id,
        sample__sample_point=sample.sample_point_id,
        sample__drawn_at__lte=sample.drawn_at,
        result__analyte=result.analyte,
    ).prefetch_related("settlements")
    asked = [(each.why, {s.note for s in each.settlements.all()}) for each in found]
    return [
        _Asked(why, bool(notes)) for why, notes in asked if not notes & {CORRECTED, NOT_CONFIRMED}
    ]


def follow_ups_renew(*, actor: Actor, measurement: Measurement) -> None:
    """Settle what was owed after the measurements that this one corrects; owe what it asks for."""
    before = measurement.corrects
    while before is not None:
        owed = Q(result__measurement=before)
        if before.outcomes.filter(what="appearance").exists():
            owed |= Q(sample=measurement.sample_id, why=STOP_LOOK)  # hangs on another's result
        for follow_up in FollowUp.objects.filter(owed, plant=actor.plant, settlements__isnull=True):
            sheet = open_sheet_for(actor, measurement.sheet)
            follow_up_settle(actor, follow_up, sheet=sheet, note=CORRECTED)
        before = before.corrects
    follow_ups_open(actor=actor, written=written_beside(actor.plant.pk, [measurement]))
    sample = measurement.sample
    stops_open(actor=actor, sample=sample, written=written_of(sample))


def follow_up_open(
    actor: Actor,
    result: Result,
    kind: str,
    why: str,
    due_at: datetime,
    sheet: LogSheet,
    *,
    at: datetime | None = None,
) -> FollowUp:
    """Insert one follow-up; a retest is put on the list of what is due.

    A retest after an action is opened `at` the action's own instant, by which the two belong
    together.
    """
    sample = result.measurement.sample
    follow_up: FollowUp = FollowUp.objects.create(
        plant=actor.plant,
        sheet=open_sheet_for(actor, sheet),
        sample=sample,
        result=result,
        kind=kind,
        why=why,
        due_at=due_at,
        at=at or clock.now(),
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


def follow_ups_answer(*, actor: Actor, sample: Sample, tested: Collection[str]) -> None:
    """Settle the retests that a sample answers: same point, one of the tests, drawn when owed.

    A draw that confirms may come at once. `tested` holds the tests that are not in doubt: one that
    is answers nothing, the retest stays owed.
    """
    # Which are open first, then what they are about: joined at once, all ever owed would be read.
    open_ones = FollowUp.objects.filter(
        Q(due_at__lte=sample.drawn_at + EARLY) | Q(why=CONFIRM),
        plant=actor.plant,
        kind=RETEST,
        settlements__isnull=True,
    ).exclude(sample=sample)
    owed = FollowUp.objects.filter(
        plant=actor.plant, pk__in=list(open_ones.values_list("pk", flat=True))
    ).select_related("sample", "result__measurement")
    for follow_up in owed:
        first = follow_up.sample
        if first.sample_point_id != sample.sample_point_id or first.drawn_at > sample.drawn_at:
            continue
        if follow_up.result.measurement.method in tested:
            note = _confirms(follow_up, sample) if follow_up.why == CONFIRM else ""
            if note is not None:
                follow_up_settle(actor, follow_up, sheet=sample.sheet, sample=sample, note=note)


def _confirms(follow_up: FollowUp, sample: Sample) -> str | None:
    """Return whether a fresh draw says the same as the first; None where it says nothing.

    Empty for a first that was in range or not judged, as where its pH was falling, or hardness came
    without a limit: there is no side to hold to.
    """
    first = follow_up.result
    verdicts = Verdict.objects.filter(
        plant=sample.plant_id, result__measurement__sample=sample, result__analyte=first.analyte
    )
    side = verdicts.values_list("side", flat=True).last()
    before = first.verdicts.get().side
    if side is not None and before not in (Side.HIGH, Side.LOW):
        return ""
    if side is None or side == Side.NOT_JUDGED:
        return None
    return CONFIRMED if side == before else NOT_CONFIRMED


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
