"""Tests that were due and not done: the lines that say so, and the form that says why."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from uuid import uuid4

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods
from dashboards import words
from dashboards.build.event_words import event_why
from dashboards.build.forms import choice_field, form, text_field
from dashboards.screens.fields import Choice, FieldView, FormView
from dashboards.screens.untested import MissedRow, NotTestedScreen
from records import clock
from records.actors import Actor
from records.models import DueSlot, LogSheet, Plant, Sample, SlotAnswer
from records.permissions import Deed
from records.selectors.rounds import Due, SlotStand, draft_at, line_of
from records.selectors.sheet_pages import people_by_shift, sheet_of_shift
from records.services.slot_answers import EARLY, REASONS, reason_parts
from records.shifts import local, shift_at, shifts_of

WORDS = {
    Due.MISSED: gettext_noop("Missed"),
    Due.NOT_TESTED: gettext_noop("Could not test"),
    Due.DONE: gettext_noop("Tested late"),
}
# Common practice, no source.
NOT_IN_RANGE = gettext_noop(
    "A test that is not done is not in range: how long a boiler may go without it is for your "
    "plant's procedure to say."
)
EXTRA_LATER = gettext_noop(
    "If it can be tested later after all, draw an extra sample. It is kept as one, and this reason "
    "stays beside it."
)
STILL_OWED = gettext_noop("The retest itself stays owed, with your supervisor.")
STAYS_MISSED = gettext_noop("It stays missed; the log then says why.")
CLOSED = gettext_noop("These tests have been entered or explained meanwhile.")


def missed_rows(
    plant: Plant, stands: Sequence[SlotStand], *, asks: bool, sheet: LogSheet | None = None
) -> tuple[MissedRow, ...]:
    """Return one line for the tests of each draw; with `asks`, a reason may be given where none is.

    Who was on shift is told where anything was entered or handed in then. On a sheet the times of
    its own shift need no day.
    """
    if not stands:
        return ()
    lines: dict[object, list[SlotStand]] = {}
    for stand in stands:
        said = (stand.answer.reason, stand.answer.by_id) if stand.answer else None
        lines.setdefault((stand.line, said), []).append(stand)
    shifts, earliest = shifts_of(plant), min(stand.slot.due_at for stand in stands)
    people = people_by_shift(plant, shift_at(plant, earliest, shifts).starts_at)

    def at(instant: datetime) -> str:
        own = sheet is not None and sheet.starts_at <= instant < sheet.ends_at
        return f"{local(plant, instant):%H:%M}" if own else words.time_of(plant, instant)

    rows = []
    for line in lines.values():
        shift = shift_at(plant, line[0].slot.due_at, shifts)
        rows.append(_row(line, people.get((shift.day, shift.name), set()), asks, at))
    return tuple(rows)


def _row(
    line: Sequence[SlotStand], people: set[str], asks: bool, at: Callable[[datetime], str]
) -> MissedRow:
    stand, answer = line[0], line[0].answer
    boiler_name, point_name = words.place(stand.slot.sample_point)
    return MissedRow(
        due_text=at(stand.slot.due_at),
        boiler_name=boiler_name,
        point_name=point_name,
        tests=", ".join(test_names(line)),
        word=_(WORDS[stand.due]),
        reason=_drawn(answer.sample, at) if answer and answer.sample else reason_words(answer),
        said_by=f"{answer.by_name}, {at(answer.at)}" if answer else "",
        on_shift=_("On shift: %(names)s") % {"names": ", ".join(sorted(people))} if people else "",
        slot_id=str(stand.slot.pk) if asks and stand.open else "",
    )


def _drawn(sample: Sample, at: Callable[[datetime], str]) -> str:
    return _("Drawn at %(at)s") % {"at": at(sample.drawn_at)}


def test_names(line: Sequence[SlotStand]) -> tuple[str, ...]:
    """Return the names of the tests of a line."""
    return tuple(_(methods.latest(stand.slot.method).name) for stand in line)


test_names.__test__ = False  # type: ignore[attr-defined]


def reason_words(answer: SlotAnswer | None) -> str:
    """Return why a test could not be done, in the reader's language and the person's own words."""
    if answer is None:
        return ""
    sentence, own = reason_parts(answer.reason)
    return ": ".join(filter(None, [_(sentence) if sentence else "", own]))


def not_tested_screen(
    actor: Actor,
    slot: DueSlot,
    *,
    sent: Mapping[str, str],
    chosen: Sequence[str] = (),
    errors: Mapping[str, str] | None = None,
) -> NotTestedScreen:
    """Return the form for a slot's line, filled with what was sent."""
    plant, now = actor.plant, clock.now()
    boiler_name, point_name = words.place(slot.sample_point)
    line = line_of(slot, now=now, early=now + EARLY)
    still = [stand for stand in line if stand.open]
    back = sent.get("back", "round")
    missed = slot.missed_after < now
    return NotTestedScreen(
        plant_id=str(plant.pk),
        slot_id=str(slot.pk),
        missed=missed,
        boiler_name=boiler_name,
        point_name=point_name,
        due_text=words.time_of(plant, slot.due_at),
        late_words=words.late(now - slot.due_at),
        why=event_why(plant, slot),
        back=back,
        back_url=back_url(actor, slot, back),
        notes=tuple(_notes(slot, missed=missed, closed=not still)),
        form=_form(still, sent, chosen, errors or {}) if still else None,
    )


def _notes(slot: DueSlot, *, missed: bool, closed: bool) -> list[str]:
    if closed:
        return [_(CLOSED)]
    notes = [STAYS_MISSED] if missed else []
    notes += [NOT_IN_RANGE, EXTRA_LATER]
    if slot.follow_up_id:
        notes.append(STILL_OWED)
    return [_(note) for note in notes]


def _form(
    line: Sequence[SlotStand],
    sent: Mapping[str, str],
    chosen: Sequence[str],
    errors: Mapping[str, str],
) -> FormView:
    return form(
        _tests_field(line, sent, chosen, errors.get("slots", "")),
        choice_field(
            "reason",
            _("Why"),
            [(key, _(said)) for key, said in REASONS.items()],
            sent,
            kind="radio",
            required=True,
            error=errors.get("reason", ""),
        ),
        text_field(
            "words",
            _("In your own words"),
            sent,
            kind="textarea",
            help=_("Needed with “Another reason”."),
            error=errors.get("words", ""),
        ),
        errors=(errors[""],) if "" in errors else (),
        key=sent.get("key") or str(uuid4()),
    )


def _tests_field(
    line: Sequence[SlotStand], sent: Mapping[str, str], chosen: Sequence[str], error: str
) -> FieldView:
    """Return the tests that it is about: all of the line, until some are left out."""
    choices = tuple(
        Choice(
            value=str(stand.slot.pk),
            label=name,
            selected=str(stand.slot.pk) in chosen if "key" in sent else True,
        )
        for stand, name in zip(line, test_names(line), strict=True)
    )
    return FieldView(
        name="slots",
        id="f-slots",
        label=_("Which tests"),
        kind="checkboxes",
        choices=choices,
        required=True,
        error=error,
    )


def back_url(actor: Actor, slot: DueSlot, back: str) -> str:
    """Return the address of the page that a person came from: desk, sheet, bench sheet or round."""
    plant = actor.plant
    if back == "plant" and actor.may(Deed.SIGN):
        return reverse("plant", args=[plant.pk])
    if back == "sheet":
        sheet = sheet_of_shift(plant, shift_at(plant, slot.due_at))
        return (
            reverse("sheet", args=[plant.pk, sheet.pk])
            if sheet
            else reverse("sheets", args=[plant.pk])
        )
    if back == "bench" and (draft := draft_at(actor, slot.sample_point)) is not None:
        return reverse("bench", args=[plant.pk, draft.pk])
    return reverse("round", args=[plant.pk])
