"""Log sheets: the list, and one sheet as it is read, printed and signed."""

from collections.abc import Sequence

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from dashboards import words
from dashboards.build.checks import check_rows, corrected_checks
from dashboards.build.results import analyte_name
from dashboards.build.sheet_forms import Refused, SheetForms
from dashboards.build.sheet_marks import SHORT, amendment_view, signature_views
from dashboards.build.sheet_rows import SheetRows
from dashboards.build.untested import missed_rows
from dashboards.screens.results import ActionView, FollowUpView, RawReading
from dashboards.screens.sheets import (
    NoteView,
    SheetListScreen,
    SheetRow,
    SheetScreen,
    Status,
)
from records import clock
from records.actors import Actor
from records.models import Action, FollowUp, HandoverNote, LogSheet, Plant
from records.permissions import Deed
from records.selectors.confirming import WITHOUT
from records.selectors.follow_ups import (
    actions_on_sheet,
    follow_ups_on_sheet,
)
from records.selectors.handover import notes_on
from records.selectors.results import outcomes_on_sheet, results_on_sheet
from records.selectors.sheet_counts import SheetCounts, counts_of_each
from records.selectors.sheet_pages import (
    SheetLine,
    alone_on,
    amendments_of,
    ledger_head,
    sheets_page,
    signatures_of,
    untested_on,
)
from records.selectors.sheets import SheetStatus, stand_of
from records.selectors.stopping import STOP, STOP_LOOK
from records.services import sheets as service

STATUS_WORDS = {
    SheetStatus.DRAFT: gettext_noop("Being written"),
    SheetStatus.HANDED_IN: gettext_noop("Handed in"),
    SheetStatus.CHANGED: gettext_noop("Changed since it was handed in"),
    SheetStatus.RETURNED: gettext_noop("Returned"),
    SheetStatus.SIGNED: gettext_noop("Signed"),
}
_STATUS: dict[SheetStatus, Status] = {
    SheetStatus.DRAFT: "draft",
    SheetStatus.HANDED_IN: "handed_in",
    SheetStatus.CHANGED: "changed",
    SheetStatus.RETURNED: "returned",
    SheetStatus.SIGNED: "signed",
}
KIND_WORDS = {
    "blowdown": gettext_noop("Blew down"),
    "valve_set": gettext_noop("Set the continuous valve"),
    "dose": gettext_noop("Dosed a chemical"),
    "feed_set": gettext_noop("Set or stopped a chemical feed"),
    "called": gettext_noop("Called somebody"),
    "other": gettext_noop("Something else"),
    "nothing": gettext_noop("Nothing yet"),
}
OWED_WORDS = {
    "answer": gettext_noop("Say what was done about it"),
    "retest": gettext_noop("Test again"),
}
WHY_WORDS = {
    "confirm": gettext_noop("to confirm a result out of range by a fresh draw"),
    "stop": gettext_noop("a finding that comes before everything else"),
    "stop_look": gettext_noop("what the look of the sample showed comes before everything else"),
    "near_limit": gettext_noop("the result lay near its limit"),
    "after_action": gettext_noop("to see whether what was done has worked"),
    "high": gettext_noop("the result was high"),
    "low": gettext_noop("the result was low"),
}
NOTE_WORDS = {
    "confirmed": gettext_noop("confirmed"),
    "not_confirmed": gettext_noop("not confirmed, nothing treated"),
    "corrected": gettext_noop("the result was corrected"),
}
_PAGE = 20


def action_view(plant: Plant, action: Action) -> ActionView:
    """Return what was done, in the words and figures of who did it."""
    place = ", ".join(words.place(action.sample.sample_point)[:1])
    text = f"{place}: {_(KIND_WORDS.get(action.kind, action.kind))}"
    details = [(_("How much"), action.amount), (_("Remark"), action.note)]
    return ActionView(
        text=text,
        at_text=words.time_of(plant, action.done_at),
        by=action.by_name,
        details=tuple(RawReading(label=label, typed=typed) for label, typed in details if typed),
    )


def follow_up_view(plant: Plant, follow_up: FollowUp) -> FollowUpView:
    """Return something owed, or how it was settled."""
    place = words.place(follow_up.sample.sample_point)[0]
    if follow_up.why != STOP_LOOK:
        place = f"{place}, {analyte_name(follow_up.result.analyte)}"
    settled = list(follow_up.settlements.all())
    late, text = words.late(clock.now() - follow_up.due_at), _(OWED_WORDS[follow_up.kind])
    why = _(WHY_WORDS.get(follow_up.why, follow_up.why))
    if settled:
        late = ""
        at = words.time_of(plant, settled[0].at)
        why += " · " + _("settled %(at)s by %(by)s") % {"at": at, "by": settled[0].by_name}
        why += _settled_so(settled[0].note)
    return FollowUpView(
        text=f"{place}: {text}",
        act=text,
        why=why,
        due_text=words.time_of(plant, follow_up.due_at),
        late_words=late,
        sample_id=str(follow_up.sample_id),
        plant_id=str(plant.pk),
    )


def _settled_so(note: str) -> str:
    if note.startswith(WITHOUT):
        return " · " + _("without a second draw: %(why)s") % {"why": note.removeprefix(WITHOUT)}
    return " · " + _(NOTE_WORDS[note]) if note in NOTE_WORDS else ""


def sheet_rows(actor: Actor, lines: Sequence[SheetLine]) -> tuple[SheetRow, ...]:
    """Return sheets for a list."""
    counts = counts_of_each([line.sheet for line in lines])
    return tuple(_sheet_row(actor, line, counts[line.sheet.pk]) for line in lines)


def _sheet_row(actor: Actor, line: SheetLine, counts: SheetCounts) -> SheetRow:
    sheet = line.sheet
    waits = line.status is SheetStatus.HANDED_IN and actor.may(Deed.SIGN)
    return SheetRow(
        sheet_id=str(sheet.pk),
        shift_text=_("%(name)s shift") % {"name": sheet.shift_name},
        date_text=formats.date_format(sheet.shift_date, "D j M Y"),
        status=_STATUS[line.status],
        status_word=_(STATUS_WORDS[line.status]),
        results=counts.results,
        out_of_range=counts.out_of_range,
        missed=counts.missed,
        testers=", ".join(line.testers),
        signed_by=_("by %(name)s") % {"name": line.signed_by} if line.signed_by else "",
        alone_by=line.alone_by,
        waits_for_me=waits and service.own_part(actor, sheet) is None,
    )


def sheet_list_screen(actor: Actor, page: int) -> SheetListScreen:
    """Return one page of the plant's sheets."""
    lines = sheets_page(actor.plant, start=page * _PAGE, count=_PAGE + 1)
    return SheetListScreen(
        plant_id=str(actor.plant.pk),
        plant_name=actor.plant.name,
        rows=sheet_rows(actor, lines[:_PAGE]),
        older_url=f"?page={page + 1}" if len(lines) > _PAGE else "",
        newer_url=f"?page={page - 1}" if page else "",
    )


def sheet_screen(
    actor: Actor,
    sheet: LogSheet,
    *,
    stale: bool = False,
    refused: Refused | None = None,
) -> SheetScreen:
    """Return one log sheet with the forms that are open to this person."""
    plant, stand = actor.plant, stand_of(sheet)
    every = results_on_sheet(sheet)
    rows = SheetRows(actor, every, signed=stand.signed)
    opened = follow_ups_on_sheet(sheet)
    stops = [each for each in opened if each.why in (STOP, STOP_LOOK)]
    owed = [each for each in opened if each not in stops and not each.settlements.all()]
    checks = check_rows(actor, outcomes_on_sheet(sheet), signed=stand.signed)
    head, last, marks = ledger_head(plant), stand.last, signatures_of(sheet)
    returned = stand.status is SheetStatus.RETURNED and last is not None
    said = refused or Refused()
    forms = SheetForms(actor, sheet, stand, said)
    return SheetScreen(
        plant_id=str(plant.pk),
        sheet_id=str(sheet.pk),
        plant_name=plant.name,
        organization_name=plant.organization.name,
        shift_text=_("%(name)s shift") % {"name": sheet.shift_name},
        date_text=words.day(sheet.shift_date),
        status=_STATUS[stand.status],
        status_word=_(STATUS_WORDS[stand.status]),
        digest=stand.digest,
        digest_short=stand.digest[:SHORT],
        results=rows.all,
        groups=rows.by_place(),
        stops=tuple(follow_up_view(plant, each) for each in stops),
        exceptions=rows.exceptions(),
        without_limit=rows.without_limit(),
        corrected=rows.corrected() + corrected_checks(checks),
        late=rows.late(),
        checks=checks,
        grave_checks=tuple(check for check in checks if check.outcome.grave),
        untested=missed_rows(plant, untested_on(sheet), asks=actor.may(Deed.TEST), sheet=sheet),
        actions=tuple(action_view(plant, action) for action in actions_on_sheet(sheet)),
        follow_ups=tuple(follow_up_view(plant, each) for each in owed),
        notes=tuple(note_view(plant, note) for note in notes_on(sheet)),
        signatures=signature_views(plant, marks),
        alone_by=alone_on(marks),
        amendments=tuple(amendment_view(actor, a, said) for a in amendments_of(sheet)),
        testers=tuple(sorted({s.measurement.by_name for s in every})),
        ledger_head=head.digest if head else "",
        ledger_sequence=str(head.sequence) if head else "",
        return_comment=last.comment if returned and last else "",
        returned_by=last.by_name if returned and last else "",
        stale=stale,
        cannot_sign=forms.cannot_sign(),
        hand_in=forms.hand_in(),
        sign=forms.sign(),
        send_back=forms.send_back(),
        printed_text=printed_text(actor),
    )


def printed_text(actor: Actor) -> str:
    """Return when and by whom a page is printed."""
    at = words.moment(actor.plant, clock.now())
    return _("Printed %(at)s by %(name)s") % {"at": at, "name": actor.user.name}


def note_view(plant: Plant, note: HandoverNote) -> NoteView:
    """Return a note with who wrote it and when."""
    return NoteView(text=note.text, by=note.by_name, at_text=words.time_of(plant, note.at))
