"""Pieces that the boiler checks share: outcome, reason, remark, witness, and their conclusion."""

from dataclasses import replace

from chemistry.checks import CHECKS, DID_NOT_WORK, NOT_DONE, REASON_WORDS, WORKED
from chemistry.errors import EntryError
from chemistry.methods.base import MISSING, Entry, Field, Outcome, Step
from chemistry.words import gettext_noop

LONGEST_REMARK = 200
"""Characters of a remark: rule of our own."""
LONGEST_NAME = 60
"""Characters of a witness's name: rule of our own."""

REASON_NEEDED = gettext_noop("Say why it was not done.")
REASON_NOT_WANTED = gettext_noop("A reason belongs only to a check that was not done. Clear it.")
REMARK_NEEDED = gettext_noop("Say in your own words what happened, or why.")
STOP_NOTE = gettext_noop(
    "A boiler must not run without this. Call your supervisor now, and take the boiler off the "
    "line as your plant's procedure says. Do not bypass it."
)
REPAIR_NOTE = gettext_noop("Call your supervisor, and have it put right before the next time.")
NOT_DONE_NOTE = gettext_noop("The check stays due until it is done.")

ADVISORY = Step(
    gettext_noop(
        "These steps remind you; they order nothing. Your plant's procedure, the local code, the "
        "maker's instructions and licensed practice come first. If you are not trained for this "
        "check, do not do it."
    ),
    caution=True,
)
SECOND_PERSON = Step(
    gettext_noop(
        "Tell the control room first. Where your plant asks for it, a second person watches the "
        "glass and can trip the burner."
    ),
    caution=True,
)
STEAM_AND_WATER = Step(
    gettext_noop(
        "Hot water and steam come out at the drain: stand clear of it, know where it goes, wear "
        "face shield and gloves, and open and close valves slowly."
    ),
    caution=True,
)

REASON = Field(
    key="reason",
    label=gettext_noop("If not done, why?"),
    help=gettext_noop("Only for a check that was not done."),
    required=False,
    choices=tuple(REASON_WORDS.items()),
)
REMARK = Field(
    key="remark",
    label=gettext_noop("In your own words"),
    help=gettext_noop("What happened, if it did not work; why, if for another reason."),
    required=False,
    longest=LONGEST_REMARK,
)
WITNESS = Field(
    key="witness",
    label=gettext_noop("Who witnessed it"),
    help=gettext_noop("Name of the person who watched, if any."),
    required=False,
    longest=LONGEST_NAME,
)


def outcome_field(
    worked: str, did_not_work: str, *, key: str = "outcome", label: str = ""
) -> Field:
    """Return the choice of the outcome; `worked` and `did_not_work` say what each means here."""
    return Field(
        key=key,
        label=label or gettext_noop("What did the check show?"),
        help=gettext_noop("Only what you saw with your own eyes counts as worked."),
        choices=(
            (WORKED, worked),
            (DID_NOT_WORK, did_not_work),
            (NOT_DONE, gettext_noop("Not done")),
        ),
    )


def check_fields(outcome: Field, *more: Field) -> tuple[Field, ...]:
    """Return the fields of one way of checking, the outcome first."""
    return (outcome, *more, REASON, REMARK, WITNESS)


def concluded(check: str, entry: Entry, key: str = "outcome") -> Outcome:
    """Return the outcome of one check. Errors: EntryError beside `reason` or `remark`."""
    outcome = entry.choices[key]
    reason = entry.choices.get("reason", "")
    remark = entry.texts.get("remark", "")
    if outcome == NOT_DONE and not reason:
        raise EntryError("reason_needed", REASON_NEEDED, field="reason")
    if (outcome == DID_NOT_WORK or reason == "other") and not remark:
        raise EntryError("remark_needed", REMARK_NEEDED, field="remark")
    return Outcome(
        check=check,
        outcome=outcome,
        reason=reason if outcome == NOT_DONE else "",
        remark=remark,
        witness=entry.texts.get("witness", ""),
        notes=_notes(check, outcome),
    )


def refuse_idle_reason(entry: Entry, *keys: str) -> None:
    """Refuse a reason where nothing was left undone. Errors: EntryError reason_not_wanted."""
    if entry.choices.get("reason") and all(entry.choices[key] != NOT_DONE for key in keys):
        raise EntryError("reason_not_wanted", REASON_NOT_WANTED, field="reason")


def _notes(check: str, outcome: str) -> tuple[tuple[str, dict[str, str]], ...]:
    if outcome == NOT_DONE:
        return ((NOT_DONE_NOTE, {}),)
    if outcome == WORKED:
        return ()
    return ((STOP_NOTE if CHECKS[check].stops_boiler else REPAIR_NOTE, {}),)


def with_note(found: Outcome, note: str, params: dict[str, str] | None = None) -> Outcome:
    """Return the outcome with one note more."""
    return replace(found, notes=(*found.notes, (note, params or {})))


def needed(entry: Entry, field: str) -> float:
    """Return a reading that this outcome needs. Errors: EntryError missing."""
    reading = entry.readings.get(field)
    if reading is None:
        raise EntryError("missing", MISSING, field=field)
    return reading.value
