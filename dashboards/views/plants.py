"""The plants of a person, the desk of one plant, and its programs."""

from uuid import UUID, uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from dashboards.build.forms import posted
from dashboards.build.plants import desk_screen, plants_screen
from dashboards.build.program import (
    ANALYTE,
    BASIS,
    METHOD,
    STATE,
    boiler_point,
    kept_schedule,
    program_screen,
    version_screen,
)
from dashboards.forms.bench import instant_of
from dashboards.gate import at_plant, render_inside, signed_in
from records import clock
from records.access import row_for
from records.actors import Actor
from records.errors import RecordError
from records.models import Boiler, Program
from records.permissions import Deed
from records.selectors.programs import version_in_force
from records.services.programs import LimitEntry, ScheduleEntry, version_put_in_force
from records.services.slots import slots_expand

# What a new boiler is tested by until the chemist sets another schedule: every four hours.
EVERY_FOUR_HOURS = "FREQ=DAILY;BYHOUR=2,6,10,14,18,22;BYMINUTE=0;BYSECOND=0"


@require_GET
@signed_in
def plants(request: HttpRequest) -> HttpResponse:
    terminal, user = request.presence.terminal, request.presence.person  # type: ignore[attr-defined]
    if terminal is not None:  # a terminal shows its own plant only
        return redirect("round", terminal.plant_id)
    return render_inside(render(request, "dashboards/plants.html", {"screen": plants_screen(user)}))


@require_GET
@at_plant(Deed.SIGN)
def desk(request: HttpRequest, actor: Actor) -> HttpResponse:
    slots_expand(actor.plant)
    return render(request, "dashboards/plant.html", {"screen": desk_screen(actor)})


@require_GET
@at_plant(Deed.SEE)
def program(request: HttpRequest, actor: Actor, program: UUID) -> HttpResponse:
    row = row_for(actor, Program, program)
    return render(request, "dashboards/program.html", {"screen": program_screen(actor, row)})


@require_http_methods(["GET", "POST"])
@at_plant(Deed.SET_PROGRAM)
def version(request: HttpRequest, actor: Actor, program: UUID) -> HttpResponse:
    """Write a new version of a boiler's program; the schedule is taken over."""
    row = row_for(actor, Program, program)
    if row.boiler is None:
        raise Http404
    sent, errors = posted(request), {}
    if request.method == "POST":
        try:
            _put_in_force(actor, row, row.boiler, sent)
            return redirect("program", actor.plant.pk, row.pk)
        except RecordError as error:
            errors = {error.field: str(error)}
    key = sent.get("key") or str(uuid4())
    screen = version_screen(actor, row, row.boiler, posted=sent, errors=errors, key=key)
    status = 422 if errors else 200
    return render(request, "dashboards/program_version.html", {"screen": screen}, status=status)


def _put_in_force(actor: Actor, program: Program, boiler: Boiler, sent: dict[str, str]) -> None:
    point = boiler_point(actor.plant, boiler)
    lines = kept_schedule(version_in_force(program, clock.now()))
    schedule = [
        ScheduleEntry(
            point=line.sample_point,
            state=line.state,
            method=line.method,
            recurrence=line.recurrence,
            grace_minutes=line.grace_minutes,
        )
        for line in lines
    ] or [ScheduleEntry(point=point, state=STATE, method=METHOD, recurrence=EVERY_FOUR_HOURS)]
    version_put_in_force(
        actor=actor,
        program=program,
        in_force_from=instant_of(actor.plant, sent.get("in_force_from", ""), field="in_force_from"),
        limits=[
            LimitEntry(
                point=point,
                state=STATE,
                analyte=ANALYTE,
                basis=BASIS,
                unit=actor.plant.conductivity_unit,
                low=sent.get("low", ""),
                high=sent.get("high", ""),
                target=sent.get("target", ""),
                source=sent.get("source", ""),
                confidence=f"confirmed by {actor.user.name}",
            )
        ],
        schedule=schedule,
        note=sent.get("note", ""),
        key=sent.get("key", ""),
    )
