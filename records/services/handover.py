"""Write a note for the next shift on the log sheet of the shift that ends."""

from datetime import datetime
from uuid import UUID

from django.utils.translation import gettext_noop

from records import clock
from records.actors import Actor
from records.errors import RecordError, fitting
from records.models import HandoverNote
from records.permissions import Deed
from records.services.once import stored_once
from records.services.sheet_opening import sheet_open_at

NOTE_NEEDED = gettext_noop("Write what the next shift has to know.")

_LONGEST_NOTE = 1000


def handover_note_write(*, actor: Actor, shift_of: datetime, text: str, key: str) -> UUID:
    """Write a note on the sheet of the shift in which an instant lies, while that is unsigned.

    On a sheet that is handed in it is a change like any other: it must be handed in again. A note
    is never taken back; another one can follow it. Raises RecordError beside `text`.
    """
    actor.require(Deed.TEST)
    said = fitting(text, _LONGEST_NOTE, "text")
    if not said:
        raise RecordError("note_needed", NOTE_NEEDED, field="text")

    def write() -> UUID:
        note: HandoverNote = HandoverNote.objects.create(
            plant=actor.plant,
            sheet=sheet_open_at(actor.plant, min(shift_of, clock.now())),
            text=said,
            at=clock.now(),
            **actor.signed_by,
        )
        key_of_row: UUID = note.pk
        return key_of_row

    body = {"shift_of": shift_of.isoformat(), "text": said}
    return stored_once(
        actor=actor, key=key, operation="handover_note_write", body=body, write=write
    )
