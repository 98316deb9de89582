"""The handover of a shift on one page."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods
from dashboards import words
from dashboards.build.forms import form, text_field
from dashboards.build.instruments import STANDING_WORDS
from dashboards.build.plants import FRESH, open_results
from dashboards.build.sheets import (
    STATUS_WORDS,
    action_view,
    follow_up_view,
    note_view,
    printed_text,
)
from dashboards.build.untested import missed_rows
from dashboards.screens.fields import FormView
from dashboards.screens.handover import (
    BoilerStateLine,
    ComingDraw,
    HandoverScreen,
    OutOfOrder,
    UnfinishedSheet,
)
from dashboards.screens.sheets import NoteView
from records import clock
from records.actors import Actor
from records.models import HandoverNote, Instrument, LogSheet, Plant
from records.permissions import Deed
from records.selectors.handover import (
    actions_in,
    drafts_open,
    not_in_order,
    notes_on,
    states_begun_in,
    untested_in,
)
from records.selectors.instruments import label_of
from records.selectors.results import latest_by_point
from records.selectors.rounds import (
    SlotStand,
    StateHistory,
    boilers_of,
    open_follow_ups,
    slots_for_round,
)
from records.selectors.sheet_pages import people_by_shift, sheet_of_shift
from records.selectors.sheets import SheetStatus, stand_of
from records.selectors.stopping import STOP, STOP_LOOK
from records.services.slot_answers import EARLY
from records.shifts import ShiftTime, local, shift_at, shifts_of

# How far ahead the next shift is told what falls due: rule of our own.
AHEAD = timedelta(hours=8)
NOTE_HELP = gettext_noop("It stands on the log sheet of this shift and is signed with it.")
NOTE_CHANGES = gettext_noop(
    "This shift's log sheet is handed in. With a note more it has to be handed in again."
)
NOTE_LATER = gettext_noop(
    "The log sheet of this shift is signed. A note now stands on the present shift's sheet."
)


def handed_over(plant: Plant, which: str) -> ShiftTime:
    """Return the present shift, or with "before" the one before it."""
    shifts = shifts_of(plant)
    shift = shift_at(plant, clock.now(), shifts)
    if which != "before":
        return shift
    return shift_at(plant, shift.starts_at - timedelta(seconds=1), shifts)


def handover_screen(
    actor: Actor,
    which: str = "",
    *,
    sent: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> HandoverScreen:
    """Return what a shift hands over; a note that was refused stays in its form."""
    plant, now = actor.plant, clock.now()
    shift = handed_over(plant, which)
    sheet = sheet_of_shift(plant, shift)
    status = stand_of(sheet).status if sheet else None
    owed = open_follow_ups(plant)
    stops = [each for each in owed if each.why in (STOP, STOP_LOOK)]
    latest = latest_by_point(plant, now - FRESH)
    people = people_by_shift(plant, shift.starts_at).get((shift.day, shift.name), set())
    return HandoverScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        shift="before" if which == "before" else "now",
        shift_text=_("%(name)s shift, %(day)s") % {"name": shift.name, "day": words.day(shift.day)},
        span_text=f"{local(plant, shift.starts_at):%H:%M}–{local(plant, shift.ends_at):%H:%M}",
        now_text=words.moment(plant, now),
        people=tuple(sorted(people)),
        stops=tuple(follow_up_view(plant, each) for each in stops),
        owed=tuple(follow_up_view(plant, each) for each in owed if each not in stops),
        out_of_range=open_results(plant, latest.values(), owed),
        actions=tuple(action_view(plant, action) for action in actions_in(plant, shift)),
        boilers=_boilers(plant, shift),
        untested=missed_rows(
            plant, untested_in(plant, shift, sheet), asks=actor.may(Deed.TEST), sheet=sheet
        ),
        out_of_order=_out_of_order(plant),
        coming=_coming(plant, now),
        unfinished=_unfinished(plant),
        notes=_notes(plant, notes_on(sheet)),
        notes_before=_notes(plant, notes_on(_sheet_before(plant, shift))),
        note_form=_note_form(sent or {}, errors or {}) if actor.may(Deed.TEST) else None,
        note_help=_(_NOTE_HELP.get(status, NOTE_HELP) if status else NOTE_HELP),
        sheet_id=str(sheet.pk) if sheet else "",
        sheet_status_word=_(STATUS_WORDS[status]) if status else "",
        whom_to_call=plant.whom_to_call,
        printed_text=printed_text(actor),
    )


_NOTE_HELP = {SheetStatus.HANDED_IN: NOTE_CHANGES, SheetStatus.SIGNED: NOTE_LATER}


def _sheet_before(plant: Plant, shift: ShiftTime) -> LogSheet | None:
    return sheet_of_shift(plant, shift_at(plant, shift.starts_at - timedelta(seconds=1)))


def _note_form(sent: Mapping[str, str], errors: Mapping[str, str]) -> FormView:
    note = text_field(
        "text",
        _("What the next shift has to know"),
        sent,
        kind="textarea",
        required=True,
        error=errors.get("text", ""),
    )
    whole = (errors[""],) if "" in errors else ()
    return form(note, errors=whole, key=sent.get("key", ""))


def _notes(plant: Plant, notes: Sequence[HandoverNote]) -> tuple[NoteView, ...]:
    return tuple(note_view(plant, note) for note in notes)


def _boilers(plant: Plant, shift: ShiftTime) -> tuple[BoilerStateLine, ...]:
    states, now = StateHistory(plant), clock.now()
    begun = states_begun_in(plant, shift)
    lines = []
    for boiler in boilers_of(plant):
        entry = states.entry(boiler, now)
        since = words.time_of(plant, entry.since) if entry else ""
        lines.append(
            BoilerStateLine(
                name=boiler.name,
                state_word=words.state_word(entry.state) if entry else _("State not recorded"),
                since_text=_("since %(at)s") % {"at": since} if since else "",
                changes=tuple(
                    _("%(at)s: %(state)s, recorded by %(by)s")
                    % {
                        "at": words.time_of(plant, row.since),
                        "state": words.state_word(row.state),
                        "by": row.by_name,
                    }
                    for row in begun
                    if row.boiler_id == boiler.pk
                ),
            )
        )
    return tuple(lines)


def _out_of_order(plant: Plant) -> tuple[OutOfOrder, ...]:
    today = local(plant, clock.now()).date()
    return tuple(
        OutOfOrder(
            name=label_of(each),
            kind=str(each.get_kind_display()),  # type: ignore[union-attr]
            word=_due_words(each, _(STANDING_WORDS[stands])),
        )
        for each, stands in not_in_order(plant, today)
    )


def _due_words(each: object, word: str) -> str:
    due = each.check_due_on if isinstance(each, Instrument) else None
    if not due:
        return word
    return _("%(word)s, was due %(day)s") % {"word": word, "day": words.day(due)}


def _coming(plant: Plant, now: datetime) -> tuple[ComingDraw, ...]:
    """Return what is owed now and falls due in the next hours, one line for each draw."""
    stands = slots_for_round(
        plant, now=now, early=now + EARLY, since=now, until=now + AHEAD, in_grace=True
    )
    lines: dict[object, list[SlotStand]] = {}
    for stand in stands:
        if stand.open:
            lines.setdefault(stand.line, []).append(stand)
    return tuple(
        ComingDraw(
            due_text=words.time_of(plant, line[0].slot.due_at),
            place=", ".join(dict.fromkeys(words.place(line[0].slot.sample_point))),
            tests=_test_names(stand.slot.method for stand in line),
            late_words=words.late(now - line[0].slot.due_at),
        )
        for line in lines.values()
    )


def _test_names(keys: Iterable[str]) -> str:
    return ", ".join(_(methods.latest(key).name) for key in keys)


def _unfinished(plant: Plant) -> tuple[UnfinishedSheet, ...]:
    return tuple(
        UnfinishedSheet(
            begun_text=words.time_of(plant, draft.opened_at),
            tester_name=draft.tester.name,
            place=", ".join(dict.fromkeys(words.place(draft.sample_point))),
            tests=_test_names(draft.method_versions),
        )
        for draft in drafts_open(plant)
    )
