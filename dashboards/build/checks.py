"""Checks of a boiler as they are shown: what each found, and what stood there before."""

from collections.abc import Sequence
from uuid import UUID

from django.utils.translation import gettext as _

from dashboards import words
from dashboards.build.results import correction_view, outcome_view
from dashboards.screens.results import CheckRow, CorrectionView, OutcomeView
from dashboards.screens.sheets import Corrected
from records.actors import Actor
from records.models import CheckOutcome, Measurement, Plant
from records.permissions import Deed
from records.selectors.results import OutcomeStand
from records.selectors.sheets import counts
from records.shifts import local


def check_rows(
    actor: Actor, stands: Sequence[OutcomeStand], *, signed: bool
) -> tuple[CheckRow, ...]:
    """Return the checks that count, each with its older versions."""
    found: dict[UUID, list[CheckOutcome]] = {}
    for stand in stands:
        found.setdefault(stand.measurement.pk, []).append(stand.check)
    allowed = actor.may(Deed.AMEND if signed else Deed.CORRECT)
    word = (_("Amend") if signed else _("Correct")) if allowed else ""
    return tuple(_row(actor.plant, s.check, found, word) for s in stands if s.current)


def _row(
    plant: Plant, check: CheckOutcome, found: dict[UUID, list[CheckOutcome]], word: str
) -> CheckRow:
    sample = check.measurement.sample
    return CheckRow(
        measurement_id=str(check.measurement_id),
        drawn_text=local(plant, sample.drawn_at).strftime("%H:%M"),
        place=words.place(sample.sample_point)[0],
        tester_name=check.measurement.by_name,
        outcome=stored_outcome(check),
        corrections=_corrections(plant, check, found),
        correct_word=word,
    )


def corrected_checks(rows: Sequence[CheckRow]) -> tuple[Corrected, ...]:
    """Return the checks that were corrected or amended, with each older version."""
    return tuple(
        Corrected(
            drawn_text=row.drawn_text,
            boiler_name=row.place,
            test_name="",
            new_text=outcome_words(row.outcome),
            old=old,
        )
        for row in rows
        for old in row.corrections
    )


def stored_outcome(check: CheckOutcome) -> OutcomeView:
    """Return what a stored check showed."""
    said = {"reason": check.reason, "remark": check.remark, "witness": check.witness}
    return outcome_view(check.what, check.outcome, **said)


def outcome_words(view: OutcomeView) -> str:
    """Return what a check showed in one line."""
    return " · ".join(filter(None, (f"{view.name}: {view.word}", view.reason, view.remark)))


def _corrections(
    plant: Plant, check: CheckOutcome, found: dict[UUID, list[CheckOutcome]]
) -> tuple[CorrectionView, ...]:
    """Return the older versions of a check, the newest first.

    What the newer one does not say anything of any more stands with the first that it says.
    """
    own = found[check.measurement_id]
    gone_too = check is own[0]
    said = {each.what for each in own}
    views: list[CorrectionView] = []
    newer: Measurement = check.measurement
    while newer.corrects_id in found:
        before = found[newer.corrects_id]
        for older in before if counts(before[0].measurement) else ():
            if older.what == check.what or (gone_too and older.what not in said):
                text = outcome_words(stored_outcome(older))
                views.append(correction_view(plant, newer, value_text=text))
        newer = before[0].measurement
    return tuple(views)
