"""The register of instruments, the page of one, its checks, and the lots of standards."""

from uuid import UUID, uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from chemistry import recipes
from chemistry.errors import EntryError
from chemistry.recipes.base import Recipe
from dashboards.build.audit import audit_screen
from dashboards.build.cards import instrument_card_screen, lot_card_screen, lots_screen
from dashboards.build.check_form import check_screen
from dashboards.build.forms import posted
from dashboards.build.register import instrument_screen, instruments_screen
from dashboards.forms.bench import instant_of
from dashboards.forms.checks import entry_of, with_defaults
from dashboards.gate import at_plant, render_inside, signed_in
from records.access import row_for
from records.actors import Actor
from records.errors import RecordError
from records.models import Instrument, Lot
from records.permissions import Deed
from records.selectors.card_entry import date_of
from records.selectors.check_work import check_work
from records.services.instrument_checks import CheckRefused, check_record
from records.services.instruments import (
    InstrumentEntry,
    instrument_change,
    instrument_event_record,
    instrument_register,
)
from records.services.lots import LotEntry, lot_change, lot_open, lot_register

BOTH = ["GET", "POST"]


@require_GET
@signed_in
def audit(request: HttpRequest) -> HttpResponse:
    """Show the instruments of all plants of a person."""
    terminal, user = request.presence.terminal, request.presence.person  # type: ignore[attr-defined]
    if terminal is not None:  # a terminal shows its own plant only
        return redirect("instruments", terminal.plant_id)
    asked = {name: request.GET.get(name, "") for name in ("shown", "kind", "plant")}
    screen = audit_screen(user, asked)
    return render_inside(render(request, "dashboards/audit.html", {"screen": screen}))


@require_GET
@at_plant(Deed.SEE)
def instruments(request: HttpRequest, actor: Actor) -> HttpResponse:
    return render(request, "dashboards/instruments.html", {"screen": instruments_screen(actor)})


@require_GET
@at_plant(Deed.SEE)
def instrument(request: HttpRequest, actor: Actor, instrument: UUID) -> HttpResponse:
    row = row_for(actor, Instrument, instrument)
    screen = instrument_screen(actor, row)
    return render(request, "dashboards/instrument.html", {"screen": screen})


@require_POST
@at_plant(Deed.CHECK)
def event(request: HttpRequest, actor: Actor, instrument: UUID) -> HttpResponse:
    """Write down what happened to an instrument."""
    row, sent = row_for(actor, Instrument, instrument), posted(request)
    try:
        instrument_event_record(
            actor=actor,
            instrument=row,
            kind=sent.get("kind", ""),
            why=sent.get("why", ""),
            happened_at=instant_of(actor.plant, sent.get("happened_at", ""), field="happened_at"),
            key=sent.get("key", ""),
        )
    except RecordError as error:
        screen = instrument_screen(actor, row, sent, {error.field: str(error)})
        return render(request, "dashboards/instrument.html", {"screen": screen}, status=422)
    return redirect("instrument", actor.plant.pk, row.pk)


def _card(request: HttpRequest, screen: object, refused: bool) -> HttpResponse:
    status = 422 if refused else 200
    return render(request, "dashboards/card.html", {"screen": screen}, status=status)


@require_http_methods(BOTH)
@at_plant(Deed.KEEP_INSTRUMENTS)
def new(request: HttpRequest, actor: Actor) -> HttpResponse:
    """Register an instrument."""
    sent, errors = posted(request), {}
    if request.method == "POST":
        entry = InstrumentEntry(
            kind=sent.get("kind", ""),
            name=sent.get("name", ""),
            serial=sent.get("serial", ""),
            figures=sent,
        )
        try:
            key = instrument_register(actor=actor, entry=entry, key=sent.get("key", ""))
            return redirect("instrument", actor.plant.pk, key)
        except RecordError as error:
            errors = {error.field: str(error)}
    return _card(request, instrument_card_screen(actor, None, sent, errors), bool(errors))


@require_http_methods(BOTH)
@at_plant(Deed.KEEP_INSTRUMENTS)
def card(request: HttpRequest, actor: Actor, instrument: UUID) -> HttpResponse:
    """Write a new card for an instrument."""
    row, sent, errors = row_for(actor, Instrument, instrument), posted(request), {}
    if request.method == "POST":
        why, key = sent.get("why", ""), sent.get("key", "")
        try:
            instrument_change(actor=actor, instrument=row, figures=sent, why=why, key=key)
            return redirect("instrument", actor.plant.pk, row.pk)
        except RecordError as error:
            errors = {error.field: str(error)}
    return _card(request, instrument_card_screen(actor, row, sent, errors), bool(errors))


def _recipe(instrument: Instrument, key: str) -> Recipe:
    """Return a recipe by which an instrument can be checked, or 404."""
    try:
        recipe = recipes.latest(key)
    except EntryError:
        raise Http404 from None
    if instrument.kind not in recipe.kinds:
        raise Http404
    return recipe


@require_http_methods(BOTH)
@at_plant(Deed.CHECK)
def check(request: HttpRequest, actor: Actor, instrument: UUID, recipe: str) -> HttpResponse:
    """Show the guided form of a check, say what it comes to, and record it."""
    row = row_for(actor, Instrument, instrument)
    how, sent = _recipe(row, recipe), posted(request)
    typed, key = with_defaults(actor.plant, how, sent), sent.get("key") or str(uuid4())
    finishing, work, errors = sent.get("do") == "record", None, {}
    if request.method == "POST":
        try:
            entry = entry_of(actor.plant, row, how, typed)
            if finishing:
                check_record(actor=actor, entry=entry, key=key)
                messages.success(request, _("The check is recorded."))
                return redirect("instrument", actor.plant.pk, row.pk)
            work = check_work(entry)
        except CheckRefused:
            work = check_work(entry)
        except RecordError as error:
            errors = {error.field: str(error)}
    screen = check_screen(
        actor, row, how, typed, key=key, work=work, errors=errors, finishing=finishing
    )
    refused = bool(errors) or finishing
    status = 422 if refused else 200
    return render(request, "dashboards/check.html", {"screen": screen}, status=status)


@require_GET
@at_plant(Deed.SEE)
def lots(request: HttpRequest, actor: Actor) -> HttpResponse:
    return render(request, "dashboards/lots.html", {"screen": lots_screen(actor)})


@require_http_methods(BOTH)
@at_plant(Deed.KEEP_INSTRUMENTS)
def new_lot(request: HttpRequest, actor: Actor) -> HttpResponse:
    """Register a lot."""
    sent, errors = posted(request), {}
    if request.method == "POST":
        entry = LotEntry(
            kind=sent.get("kind", ""),
            name=sent.get("name", ""),
            lot_number=sent.get("lot_number", ""),
            figures=sent,
        )
        try:
            lot_register(actor=actor, entry=entry, key=sent.get("key", ""))
            return redirect("lots", actor.plant.pk)
        except RecordError as error:
            errors = {error.field: str(error)}
    return _card(request, lot_card_screen(actor, None, sent, errors), bool(errors))


@require_http_methods(BOTH)
@at_plant(Deed.SEE)
def lot(request: HttpRequest, actor: Actor, lot: UUID) -> HttpResponse:
    """Show a lot, or write a new card for it."""
    row, sent, errors = row_for(actor, Lot, lot), posted(request), {}
    if request.method == "POST":
        if not actor.may(Deed.KEEP_INSTRUMENTS):
            raise PermissionDenied
        try:
            lot_change(actor=actor, lot=row, figures=sent, key=sent.get("key", ""))
            return redirect("lot", actor.plant.pk, row.pk)
        except RecordError as error:
            errors = {error.field: str(error)}
    return _card(request, lot_card_screen(actor, row, sent, errors), bool(errors))


@require_POST
@at_plant(Deed.CHECK)
def open_lot(request: HttpRequest, actor: Actor, lot: UUID) -> HttpResponse:
    """Write down that a bottle was opened."""
    row, sent = row_for(actor, Lot, lot), posted(request)
    try:
        opened = date_of(sent.get("opened_on", ""), "opened_on")
        if opened is None:
            raise RecordError("not_a_date", _("When was it opened?"), field="opened_on")
        lot_open(actor=actor, lot=row, opened_on=opened, key=sent.get("key", ""))
    except RecordError as error:
        screen = lot_card_screen(actor, row, sent, {error.field: str(error)})
        return _card(request, screen, True)
    return redirect("lot", actor.plant.pk, row.pk)
