"""A program: what is in force, its versions and what each changed, and writing a new one."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from dashboards.build.forms import posted
from dashboards.build.program import changes_screen, program_screen
from dashboards.build.program_edit import Edited
from dashboards.build.program_version import version_screen
from dashboards.forms.program import ProgramForm, form_sent
from dashboards.forms.program_press import press
from dashboards.forms.program_write import NewVersion
from dashboards.gate import at_plant
from records.access import row_for
from records.actors import Actor
from records.errors import RecordError
from records.models import Program, ProgramVersion
from records.permissions import Deed


@require_GET
@at_plant(Deed.SEE)
def program(request: HttpRequest, actor: Actor, program: UUID) -> HttpResponse:
    row = row_for(actor, Program, program)
    return render(request, "dashboards/program.html", {"screen": program_screen(actor, row)})


@require_GET
@at_plant(Deed.SEE)
def changes(request: HttpRequest, actor: Actor, version: UUID) -> HttpResponse:
    """Show a version beside the one before it."""
    row = row_for(actor, ProgramVersion, version)
    screen = changes_screen(actor, row)
    return render(request, "dashboards/program_changes.html", {"screen": screen})


@require_http_methods(["GET", "POST"])
@at_plant(Deed.SET_PROGRAM)
def version(request: HttpRequest, actor: Actor, program: UUID) -> HttpResponse:
    """Write a new version of a program; each button but the last only changes the form."""
    new = NewVersion(actor, row_for(actor, Program, program))
    if request.method == "GET":
        return _page(request, new, new.begun())
    form, button = form_sent(posted(request)), request.POST.get("do") or "put"
    if button == "put":
        errors = new.put(form)
        if errors:
            return _page(request, new, form, errors)
        messages.success(request, _("The new version is recorded."))
        return redirect("program", actor.plant.pk, new.program.pk)
    if button == "look":
        errors, seen = new.look(form)
        return _page(request, new, form, errors, seen=seen)
    try:
        return _page(request, new, form, laid=press(form, new.desk, button))
    except RecordError as error:
        return _page(request, new, form, {error.field: str(error)})


def _page(
    request: HttpRequest,
    new: NewVersion,
    form: ProgramForm,
    errors: dict[str, str] | None = None,
    **asked: object,
) -> HttpResponse:
    edited = Edited(
        plant=new.desk.plant,
        form=form,
        points=new.desk.points,
        watched=new.desk.watched,
        held=new.held,
        errors=errors or {},
    )
    screen = version_screen(edited, new.program, new.follows, new.desk.boilers, **asked)  # type: ignore[arg-type]
    status = 422 if errors else 200
    return render(request, "dashboards/program_version.html", {"screen": screen}, status=status)
