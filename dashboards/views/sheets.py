"""Log sheets: read, hand in, return, sign; amendments: decide."""

from collections.abc import Callable
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_POST

from dashboards.build.forms import posted
from dashboards.build.history import history_screen
from dashboards.build.sheet_forms import Refused
from dashboards.build.sheets import sheet_list_screen, sheet_screen
from dashboards.gate import at_plant
from dashboards.passwords import password_proved
from records.access import row_for
from records.actors import Actor, Proof
from records.errors import Moved, RecordError
from records.models import Amendment, LogSheet, Measurement
from records.permissions import Deed
from records.services.people import pin_check
from records.services.sheets import amendment_decide, sheet_hand_in, sheet_return, sheet_sign


@require_GET
@at_plant(Deed.SEE)
def sheets(request: HttpRequest, actor: Actor) -> HttpResponse:
    page = request.GET.get("page", "0")
    number = int(page) if page.isascii() and page.isdigit() and len(page) < 6 else 0
    return render(request, "dashboards/sheets.html", {"screen": sheet_list_screen(actor, number)})


@require_GET
@at_plant(Deed.SEE)
def sheet(request: HttpRequest, actor: Actor, sheet: UUID) -> HttpResponse:
    row = row_for(actor, LogSheet, sheet)
    return render(request, "dashboards/sheet.html", {"screen": sheet_screen(actor, row)})


@require_GET
@at_plant(Deed.SEE)
def history(request: HttpRequest, actor: Actor, measurement: UUID) -> HttpResponse:
    """Show where one number comes from, step by step."""
    row = row_for(actor, Measurement, measurement)
    return render(request, "dashboards/history.html", {"screen": history_screen(actor, row)})


def proved(request: HttpRequest, actor: Actor) -> Actor:
    """Return the actor after a fresh PIN (at a terminal) or password; raises RecordError."""
    sent = posted(request)
    if actor.terminal is not None and "pin" in sent:
        pin_check(terminal=actor.terminal, user=actor.user, pin=sent["pin"])
        return actor.proved_by(Proof.PIN)
    password_proved(request, actor.user, sent.get("password", ""))
    return actor.proved_by(Proof.PASSWORD)


def _marked(
    request: HttpRequest, actor: Actor, sheet: LogSheet, form: str, write: Callable[[], object]
) -> HttpResponse:
    """Set a mark, or show the sheet again: anew where it moved on, with the error otherwise."""
    try:
        write()
    except RecordError as error:
        stale = isinstance(error, Moved)
        refused = Refused(form=form, errors={error.field: str(error)}, sent=posted(request))
        screen = sheet_screen(actor, sheet, stale=stale, refused=refused)
        if not stale and screen.form_named(form) is None:  # no form left to say it in
            messages.error(request, str(error))
        status = 409 if stale else 422
        return render(request, "dashboards/sheet.html", {"screen": screen}, status=status)
    return redirect("sheet", actor.plant.pk, sheet.pk)


@require_POST
@sensitive_post_parameters("pin", "password")
@at_plant(Deed.HAND_IN)
def hand_in(request: HttpRequest, actor: Actor, sheet: UUID) -> HttpResponse:
    row, sent = row_for(actor, LogSheet, sheet), posted(request)

    def write() -> object:
        who = proved(request, actor)
        return sheet_hand_in(
            actor=who,
            sheet=row,
            seen=sent.get("seen", ""),
            key=sent.get("key", ""),
            comment=sent.get("comment", ""),
            alone=sent.get("alone") == "on",
        )

    return _marked(request, actor, row, "hand_in", write)


@require_POST
@sensitive_post_parameters("password")
@at_plant(Deed.SIGN)
def sign(request: HttpRequest, actor: Actor, sheet: UUID) -> HttpResponse:
    row, sent = row_for(actor, LogSheet, sheet), posted(request)

    def write() -> object:
        who = proved(request, actor)
        return sheet_sign(actor=who, sheet=row, seen=sent.get("seen", ""), key=sent.get("key", ""))

    return _marked(request, actor, row, "sign", write)


@require_POST
@at_plant(Deed.SIGN)
def send_back(request: HttpRequest, actor: Actor, sheet: UUID) -> HttpResponse:
    row, sent = row_for(actor, LogSheet, sheet), posted(request)

    def write() -> object:
        return sheet_return(
            actor=actor,
            sheet=row,
            seen=sent.get("seen", ""),
            key=sent.get("key", ""),
            comment=sent.get("comment", ""),
        )

    return _marked(request, actor, row, "return", write)


@require_POST
@sensitive_post_parameters("password")
@at_plant(Deed.SIGN)
def decide(request: HttpRequest, actor: Actor, amendment: UUID) -> HttpResponse:
    row, sent = row_for(actor, Amendment, amendment), posted(request)

    def write() -> object:
        who = proved(request, actor)
        return amendment_decide(
            actor=who,
            amendment=row,
            seen=sent.get("seen", ""),
            key=sent.get("key", ""),
            accept=sent.get("decision") == "accept",
            comment=sent.get("comment", ""),
        )

    return _marked(request, actor, row.sheet, f"amendment-{row.pk}", write)
