"""The forms of the register: a new instrument, a new lot, a new card of either."""

from collections.abc import Mapping
from typing import Any

from django.urls import reverse
from django.utils import formats
from django.utils.translation import gettext as _

from chemistry import units
from dashboards import words
from dashboards.build.forms import choice_field, form, text_field
from dashboards.build.instruments import STANDING_WORDS
from dashboards.build.register import STATES
from dashboards.screens.fields import FieldView
from dashboards.screens.instruments import CardScreen, EventRow, LotRow, LotsScreen
from records import clock
from records.actors import Actor
from records.models import Behavior, Instrument, InstrumentKind, Lot, LotKind
from records.permissions import Deed
from records.selectors.card_entry import figures_of
from records.selectors.cards import card_of, card_of_lot, standard_units, worth_text
from records.selectors.instruments import label_of
from records.selectors.register import LotStand, cards_of, cards_of_lot, lots_of
from records.shifts import local

Texts = Mapping[str, str]


class _Fields:
    """Makes the fields of one form: what was sent, else what stands on the card."""

    def __init__(self, posted: Texts, errors: Texts, standing: Texts) -> None:
        self.posted, self.errors, self.standing = posted, errors, standing

    def text(self, name: str, label: str, **options: Any) -> FieldView:
        value = self.standing.get(name, "")
        error = self.errors.get(name, "")
        return text_field(name, label, self.posted, value=value, error=error, **options)

    def choice(
        self, name: str, label: str, choices: list[tuple[str, str]], **options: Any
    ) -> FieldView:
        value, error = self.standing.get(name, ""), self.errors.get(name, "")
        return choice_field(name, label, choices, self.posted, value=value, error=error, **options)


def instrument_card_screen(
    actor: Actor, instrument: Instrument | None, posted: Texts, errors: Texts
) -> CardScreen:
    """Return the form of a new instrument, or of a new card of one."""
    card = card_of(instrument) if instrument else None
    make = _Fields(posted, errors, figures_of(card))
    kinds = [("", _("pick one")), *((v, str(label)) for v, label in InstrumentKind.choices)]
    own = [
        make.choice("kind", _("Kind"), kinds, required=True),
        make.text("name", _("Name that stands on it"), required=True),
        make.text("serial", _("Serial number")),
    ]
    why = [make.text("why", _("Why is the card changed?"), required=True)]
    back = ("instrument", instrument.pk) if instrument else ("instruments",)
    return CardScreen(
        plant_id=str(actor.plant.pk),
        title=_("Card of %(name)s") % {"name": instrument.name}
        if instrument
        else _("Register an instrument"),
        about=_("What is not known stays empty. Earlier cards stay readable."),
        back_url=reverse(back[0], args=[actor.plant.pk, *back[1:]]),
        button=_("Keep this card") if instrument else _("Register it"),
        form=form(
            *(() if instrument else own),
            *_instrument_fields(make),
            *(why if instrument else ()),
            key=posted.get("key", ""),
            errors=[errors[""]] if "" in errors else (),
        ),
        earlier=tuple(
            _earlier(actor, each, each.place or each.note) for each in cards_of(instrument)
        )
        if instrument
        else (),
    )


def _instrument_fields(make: _Fields) -> list[FieldView]:
    units_known = ("uS/cm", "umho/cm", "mS/cm", "pH", "degC", "degF", "psig", "barg", "mL", "g")
    unit_choices = [("", _("none")), *((key, units.label(key)) for key in units_known)]
    certificate = _(
        "Only for one that others are held against: what must be added to its reading, in °C for "
        "a thermometer, in kPa for a gauge."
    )
    quick = _("A check near the level of use, between two full ones.")
    return [
        make.text("place", _("Place")),
        make.text("range_low", _("Range, from"), kind="number"),
        make.text("range_high", _("Range, to"), kind="number"),
        make.text("resolution", _("One step of its last digit"), kind="number"),
        make.choice("unit", _("Unit of these"), unit_choices),
        make.text("cell_constant", _("Cell constant, 1/cm"), kind="number"),
        make.text(
            "check_days",
            _("Checked every so many days"),
            inputmode="numeric",
            help=_("Empty: as the check itself usually has it."),
        ),
        make.text(
            "quick_days",
            _("Quick verification every so many days"),
            inputmode="numeric",
            help=quick,
        ),
        make.text(
            "correction", _("Correction by its certificate"), kind="number", help=certificate
        ),
        make.text("correction_expanded", _("± of that correction (k = 2)"), kind="number"),
        make.text("certificate", _("Certificate, number and date")),
        make.text("note", _("Note")),
    ]


def lots_screen(actor: Actor) -> LotsScreen:
    """Return the plant's standards and reagents by lot."""
    return LotsScreen(
        plant_id=str(actor.plant.pk),
        plant_name=actor.plant.name,
        rows=tuple(_lot_row(each) for each in lots_of(actor.plant)),
        can_keep=actor.may(Deed.KEEP_INSTRUMENTS),
    )


def _lot_row(stand: LotStand) -> LotRow:
    lot, card = stand.lot, stand.card
    opened = card.opened_on if card else None
    return LotRow(
        lot_id=str(lot.pk),
        name=lot.name,
        kind=str(lot.get_kind_display()),
        number=lot.lot_number,
        worth=worth_text(card),
        last_day=_day(lot.expires_on),
        state=STATES.get(stand.standing, "overdue"),
        state_word=_(STANDING_WORDS[stand.standing]),
        left=card.volume_left if card else "",
        opened=_("opened %(day)s") % {"day": _day(opened)} if opened else "",
    )


def lot_card_screen(actor: Actor, lot: Lot | None, posted: Texts, errors: Texts) -> CardScreen:
    """Return the form of a new lot, or one lot with the form of a new card."""
    card = card_of_lot(lot) if lot else None
    standing = figures_of(card)
    if lot is not None and card is None and lot.expires_on:
        standing["shelf"] = lot.expires_on.isoformat()
    make = _Fields(posted, errors, standing)
    own = [
        make.choice("kind", _("Kind"), [(v, str(la)) for v, la in LotKind.choices], required=True),
        make.text(
            "name", _("Name"), required=True, help=_("What it is and how strong, as on the label.")
        ),
        make.text("lot_number", _("Lot number"), required=True),
    ]
    keeps = actor.may(Deed.KEEP_INSTRUMENTS)
    can_open = lot is not None and actor.may(Deed.CHECK) and not (card and card.opened_on)
    return CardScreen(
        plant_id=str(actor.plant.pk),
        title=label_of(lot) if lot else _("Register a lot"),
        about=str(lot.get_kind_display()) if lot else _("What is not known stays empty."),
        back_url=reverse("lots", args=[actor.plant.pk]),
        button=(_("Keep this card") if lot else _("Register it")) if keeps else "",
        form=form(
            *(() if lot else own),
            *_lot_fields(make),
            key=posted.get("key", ""),
            errors=[errors[""]] if "" in errors else (),
        ),
        open_form=_open_form(actor, posted, errors) if can_open else None,
        open_url=reverse("lot-open", args=[actor.plant.pk, lot.pk]) if lot and can_open else "",
        facts=_lot_facts(lot) if lot else (),
        earlier=tuple(_earlier(actor, each, worth_text(each)) for each in cards_of_lot(lot))
        if lot
        else (),
    )


def _lot_facts(lot: Lot) -> tuple[tuple[str, str], ...]:
    card = card_of_lot(lot)
    facts = [
        (_("Worth at 25 °C"), worth_text(card)),
        (_("May be used until"), _day(lot.expires_on)),
        (_("Opened on"), _day(card.opened_on) if card else ""),
        (_("Left"), card.volume_left if card else ""),
        (_("Certificate"), card.certificate if card else ""),
    ]
    return tuple((label, text) for label, text in facts if text)


def _open_form(actor: Actor, posted: Texts, errors: Texts) -> Any:
    today = local(actor.plant, clock.now()).date().isoformat()
    return form(
        text_field(
            "opened_on",
            _("Opened on"),
            posted,
            kind="date",
            value=today,
            required=True,
            error=errors.get("opened_on", ""),
        )
    )


def _lot_fields(make: _Fields) -> list[FieldView]:
    unit_choices = [("", _("none")), *((key, units.label(key)) for key in standard_units())]
    behaviors = [("", _("none")), *((v, str(label)) for v, label in Behavior.choices)]
    table = _("A line for each temperature: °C, a blank, the value; or apart by semicolons.")
    return [
        make.text(
            "value",
            _("Value at 25 °C"),
            kind="number",
            help=_("Of a standard or weight; leave it empty for a reagent."),
        ),
        make.choice("unit", _("Unit"), unit_choices),
        make.text("expanded", _("± of its certificate (k = 2)"), kind="number"),
        make.choice("behavior", _("How does it change with temperature?"), behaviors),
        make.text("percent_per_k", _("Coefficient, percent per °C"), kind="number"),
        make.text("table", _("Table of its label"), help=table),
        make.text("certificate", _("Certificate, number and date")),
        make.text("received_on", _("Received on"), kind="date"),
        make.text("shelf", _("Use before, by the label"), kind="date"),
        make.text("opened_on", _("Opened on"), kind="date"),
        make.text("use_days", _("Days it may be used once it is open"), inputmode="numeric"),
        make.text("volume_left", _("How much is left")),
        make.text("note", _("Note")),
    ]


def _earlier(actor: Actor, card: Any, why: str) -> EventRow:
    when = words.moment(actor.plant, card.at)
    return EventRow(when=when, word=_("Card"), why=why, by=card.by_name)


def _day(day: object) -> str:
    return formats.date_format(day, "j M Y") if day else ""  # type: ignore[arg-type]
