"""Work an instrument's check from what was typed: the same for the preview and for the record."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.utils.translation import gettext_noop

from chemistry import recipes
from chemistry.entry import parse_reading
from chemistry.errors import ChemistryError, EntryError
from chemistry.methods.base import Entry
from chemistry.recipes.base import STANDARD_NEEDED, Ending, Found, Recipe, StandardRole, ending
from chemistry.recipes.tolerance import Acceptance
from chemistry.standards import Standard
from records import clock
from records.errors import RecordError, fitting
from records.models import Instrument, InstrumentCard, InstrumentCheck, Lot, LotCard
from records.selectors.cards import (
    COVERAGE,
    instrument_cards,
    lot_cards,
    standard_of_instrument,
    standard_of_lot,
)
from records.selectors.check_history import last_check, last_figures
from records.selectors.instruments import Shelf, Standing, label_of, shelf_of, standing
from records.shifts import local

Trouble = ChemistryError | RecordError

REASON_NEEDED = gettext_noop(
    "%(standard)s is not in order. Take another one, or say why you use it nevertheless."
)
STANDARD_UNKNOWN = gettext_noop("This is not on the plant's list for this part.")
ITSELF = gettext_noop("An instrument can't be held against itself. Take another one.")
VALUE_NEEDED = gettext_noop("Write what the bench found in the same water.")
EXPANDED_NEEDED = gettext_noop("Write the ± that stands beside that result.")
NOT_THIS_KIND = gettext_noop("This check is not made for this kind of instrument.")
IN_FUTURE = gettext_noop("This lies in the future. When was it checked?")
BEFORE_LAST = gettext_noop(
    "%(name)s recorded a check of this instrument at %(when)s. A check can't be dated before "
    "another one: look at that one first."
)
NOT_A_PARTNER = gettext_noop("Pick the meter or the cell that it was read with, or none.")
ADJUSTMENT_NEEDED = gettext_noop("Say what was adjusted.")

# Which other item one check tells of as well: a meter is never checked without its cell.
PARTNERS = {
    "conductivity_meter": "conductivity_cell",
    "conductivity_cell": "conductivity_meter",
    "ph_meter": "ph_electrode",
    "ph_electrode": "ph_meter",
}
_LONGEST = 300
_LONGEST_TYPED = 60


@dataclass(frozen=True, kw_only=True)
class Run:
    """What was typed at one go, as found or as left: texts and units by field."""

    typed: Mapping[str, str]
    units: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class CheckEntry:
    """A check as typed. `standards` are keys of lots or instruments by role, `values` and `spreads`
    typed for a role that is neither; `reasons` why one that is not in order was used."""

    instrument: Instrument
    recipe: str
    version: str
    done_at: datetime
    found: Run
    left: Run | None = None
    adjustment: str = ""
    quick: bool = False
    together: str = ""
    standards: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, str] = field(default_factory=dict)
    spreads: Mapping[str, str] = field(default_factory=dict)
    reasons: Mapping[str, str] = field(default_factory=dict)
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Held:
    """A standard in its role: what it is worth, how it stands, why it was used nevertheless."""

    role: StandardRole
    standard: Standard
    label: str
    standing: Standing
    reason: str
    lot: Lot | None = None
    lot_card: LotCard | None = None
    instrument: Instrument | None = None
    instrument_card: InstrumentCard | None = None

    @property
    def expanded(self) -> float:
        return self.standard.u * COVERAGE


@dataclass(frozen=True, kw_only=True)
class WorkedCheck:
    """All that comes of a typed check, or trouble beside the fields.

    Keys of `errors`: a field as found, `left-<field>` as left, `standard-<role>`, `value-<role>`,
    `spread-<role>`, `reason-<role>`, `done_at`, `together`, `adjustment`, `note`, or "".
    """

    entry: CheckEntry
    recipe: Recipe
    read: Entry
    read_left: Entry | None
    held: tuple[Held, ...]
    partner: Instrument | None
    found: Found | None
    left: Found | None
    errors: dict[str, Trouble]

    @property
    def ending(self) -> Ending | None:
        """How the check ends, once all of it could be worked."""
        if self.found is None or (self.entry.left is not None and self.left is None):
            return None
        return ending(self.found, self.left)

    @property
    def puts_in_doubt(self) -> bool:
        """Whether what it found puts earlier results in doubt."""
        return self.found is not None and self.found.acceptance is Acceptance.NOT_ACCEPTED


def check_work(entry: CheckEntry) -> WorkedCheck:
    """Read and work a check. What is wrong stands in `errors`; nothing is raised for it but a
    recipe that is not known (EntryError)."""
    recipe = recipes.get(entry.recipe, entry.version)
    errors = _plain_trouble(entry, recipe)
    held = _held(entry, recipe, errors)
    partner = _partner(entry, errors)
    read = recipe.read(entry.found.typed, entry.found.units)
    left = recipe.read(entry.left.typed, entry.left.units) if entry.left else None
    errors |= _told(read, entry.found, "") | (_told(left, entry.left, "left-") if left else {})
    standards = {each.role.key: each.standard for each in held}
    fits = not any(key.startswith(("standard-", "value-", "spread-")) for key in errors)
    last = last_figures(last_check(entry.instrument, recipe.key))
    works = [("", read), *([("left-", left)] if left else [])]
    results: dict[str, Found | None] = {"": None, "left-": None}
    for mark, typed in works:
        if fits and not typed.errors:
            results[mark] = _worked(recipe, typed, standards, last, mark, errors)
    return WorkedCheck(
        entry=entry,
        recipe=recipe,
        read=read,
        read_left=left,
        held=tuple(held),
        partner=partner,
        found=results[""],
        left=results["left-"],
        errors=errors,
    )


def _worked(
    recipe: Recipe,
    typed: Entry,
    standards: Mapping[str, Standard],
    last: Mapping[str, float],
    mark: str,
    errors: dict[str, Trouble],
) -> Found | None:
    try:
        return recipe.work(typed, standards, last=last)
    except ChemistryError as error:
        beside = error.field if isinstance(error, EntryError) else ""
        roles = {role.key for role in recipe.standards}
        errors[f"standard-{beside}" if beside in roles else mark + beside if beside else ""] = error
        return None


def _told(read: Entry, run: Run | None, mark: str) -> dict[str, Trouble]:
    """Return the trouble of one run, also of readings that are too long to be kept as typed."""
    found: dict[str, Trouble] = {mark + key: error for key, error in read.errors.items()}
    for key, text in (run.typed if run else {}).items():
        if mark + key not in found:
            try:
                fitting(text, _LONGEST_TYPED, mark + key)
            except RecordError as error:
                found[error.field] = error
    return found


def _plain_trouble(entry: CheckEntry, recipe: Recipe) -> dict[str, Trouble]:
    """Return what is wrong with the check itself: its kind, its time, its own words."""
    errors: dict[str, Trouble] = {}
    if entry.instrument.kind not in recipe.kinds:
        errors[""] = RecordError("not_this_kind", NOT_THIS_KIND)
    texts = {"adjustment": entry.adjustment, "note": entry.note}
    for key, text in texts.items():
        try:
            fitting(text, _LONGEST, key)
        except RecordError as error:
            errors[key] = error
    if entry.left is not None and not entry.adjustment.strip():
        errors["adjustment"] = RecordError(
            "adjustment_needed", ADJUSTMENT_NEEDED, field="adjustment"
        )
    if entry.done_at > clock.now():
        errors["done_at"] = RecordError("in_future", IN_FUTURE, field="done_at")
    newest = last_check(entry.instrument)
    if newest is not None and entry.done_at <= newest.done_at:
        errors["done_at"] = _before(newest)
    return errors


def _before(newest: InstrumentCheck) -> RecordError:
    when = local(newest.instrument.plant, newest.done_at).strftime("%Y-%m-%d %H:%M")
    said = {"name": newest.by_name, "when": when}
    return RecordError("before_last_check", BEFORE_LAST, field="done_at", **said)


def _partner(entry: CheckEntry, errors: dict[str, Trouble]) -> Instrument | None:
    """Return the cell of a meter, or the meter of a cell, that the check tells of as well."""
    if not entry.together:
        return None
    kind = PARTNERS.get(entry.instrument.kind, "")
    offered = shelf_of(entry.instrument.plant_id).instruments.get(kind, ())
    found = next((each for each in offered if str(each.pk) == entry.together), None)
    if found is None:
        errors["together"] = RecordError("not_a_partner", NOT_A_PARTNER, field="together")
        return None
    newest = last_check(found)
    if newest is not None and entry.done_at <= newest.done_at:
        errors["done_at"] = _before(newest)
    return found


def _held(entry: CheckEntry, recipe: Recipe, errors: dict[str, Trouble]) -> list[Held]:
    """Return the standards that were picked, each with what it is worth by its newest card."""
    if not recipe.standards:
        return []
    plant = entry.instrument.plant
    shelf, today = shelf_of(plant), local(plant, entry.done_at).date()
    cards = _Cards(lot_cards(plant), instrument_cards(plant))
    held = []
    for role in recipe.standards:
        try:
            one = _of_shelf(entry, role, shelf, cards, today) if role.kind else _typed(entry, role)
        except RecordError as error:
            errors[error.field] = error
        except ChemistryError as error:
            beside = error.field if isinstance(error, EntryError) and error.field else ""
            own = beside.startswith(("value-", "spread-"))
            errors[beside if own else f"standard-{role.key}"] = error
        else:
            if one is not None:
                held.append(one)
                _ask_why(one, errors)
    return held


@dataclass(frozen=True)
class _Cards:
    lots: Mapping[UUID, LotCard]
    instruments: Mapping[UUID, InstrumentCard]


def _ask_why(held: Held, errors: dict[str, Trouble]) -> None:
    beside = f"reason-{held.role.key}"
    try:
        fitting(held.reason, _LONGEST, beside)
    except RecordError as error:
        errors[beside] = error
    if held.standing is not Standing.IN_ORDER and not held.reason:
        errors[beside] = RecordError(
            "reason_needed", REASON_NEEDED, field=beside, standard=held.label
        )


def offered_for(role: StandardRole, shelf: Shelf) -> Sequence[Instrument | Lot]:
    """Return what a plant has that an instrument can be held against."""
    return (*shelf.lots.get(role.kind, ()), *shelf.instruments.get(role.kind, ()))


def _of_shelf(
    entry: CheckEntry,
    role: StandardRole,
    shelf: Shelf,
    cards: _Cards,
    today: date,
) -> Held | None:
    """Return the lot or instrument that was picked for a role."""
    key = entry.standards.get(role.key, "").strip()
    if not key:
        if role.required:
            beside = f"standard-{role.key}"
            raise RecordError("standard_needed", STANDARD_NEEDED, field=beside)
        return None
    used = next((each for each in offered_for(role, shelf) if str(each.pk) == key), None)
    if used is None:
        beside = f"standard-{role.key}"
        raise RecordError("not_listed", STANDARD_UNKNOWN, field=beside)
    same: dict[str, Any] = {
        "role": role,
        "label": label_of(used),
        "standing": standing(used, today),
        "reason": entry.reasons.get(role.key, "").strip(),
    }
    if isinstance(used, Lot):
        card = cards.lots.get(used.pk)
        worth = standard_of_lot(card)
        return Held(standard=worth, lot=used, lot_card=card, **same)
    if used.pk == entry.instrument.pk:
        raise RecordError("itself", ITSELF, field=f"standard-{role.key}")
    own = cards.instruments.get(used.pk)
    worth = standard_of_instrument(own, role)
    return Held(standard=worth, instrument=used, instrument_card=own, **same)


def _typed(entry: CheckEntry, role: StandardRole) -> Held | None:
    """Return what is neither lot nor instrument: a result of the bench, typed with its ±."""
    texts = {"value": entry.values.get(role.key, ""), "spread": entry.spreads.get(role.key, "")}
    missing = {"value": VALUE_NEEDED, "spread": EXPANDED_NEEDED}
    numbers = {}
    for what, text in texts.items():
        beside = f"{what}-{role.key}"
        if not text.strip():
            raise RecordError("missing", missing[what], field=beside)
        try:
            read = parse_reading(text, unit=role.unit, units=(role.unit,))
        except EntryError as error:
            raise error.at(beside) from error
        numbers[what] = Standard(read.value, read.unit, 0.0).in_unit(role.unit).value
    worth = Standard(numbers["value"], role.unit, numbers["spread"] / COVERAGE, steady=True)
    return Held(role=role, standard=worth, label="", standing=Standing.IN_ORDER, reason="")
