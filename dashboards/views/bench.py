"""The round and the bench sheet: what is due, and working it."""

import json
from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from chemistry import methods
from chemistry.errors import EntryError
from chemistry.methods.drawing import in_bench_order
from dashboards import words
from dashboards.build.bench import bench_reply, bench_screen
from dashboards.build.forms import posted
from dashboards.build.round import round_screen
from dashboards.forms.bench import drawn_at_of, methods_of, tests_of, typed_in, with_defaults
from dashboards.gate import at_plant
from records import clock
from records.access import row_for
from records.actors import Actor
from records.errors import Moved, RecordError
from records.models import Boiler, Draft, DueSlot, SamplePoint
from records.permissions import Deed
from records.selectors.rounds import tests_due
from records.services.drafts import (
    draft_close,
    draft_discard,
    draft_open,
    draft_save,
    draft_test_add,
)
from records.services.once import answer_of
from records.services.plants import boiler_state_set
from records.services.samples import SampleEntry, TestsRefused, samples_register
from records.services.slot_answers import EARLY
from records.services.slots import slots_expand


@require_GET
@at_plant(Deed.TEST)
def the_round(request: HttpRequest, actor: Actor) -> HttpResponse:
    slots_expand(actor.plant)
    return render(request, "dashboards/round.html", {"screen": round_screen(actor)})


@require_POST
@at_plant(Deed.TEST)
def start(request: HttpRequest, actor: Actor, point: UUID) -> HttpResponse:
    """Open a bench sheet, or go on with the one that is open for this point."""
    where = row_for(actor, SamplePoint, point)
    slot = request.POST.get("slot", "")
    try:
        method = methods.latest(request.POST.get("method", ""))
        due = row_for(actor, DueSlot, UUID(slot)) if slot else None
    except (EntryError, ValueError):
        raise Http404 from None
    try:
        draft = draft_open(actor=actor, point=where, method_keys=_due(where, method.key), slot=due)
    except RecordError:  # the slot is another point's
        raise Http404 from None
    return redirect("bench", actor.plant.pk, draft.pk)


def _due(point: SamplePoint, wanted: str) -> list[str]:
    """Return the test that was asked for and all others due at the point, in bench order."""
    now = clock.now()
    return in_bench_order(dict.fromkeys([wanted, *tests_due(point, now=now, early=now + EARLY)]))


def _own_draft(actor: Actor, key: UUID) -> Draft:
    beside = ("sample_point__boiler", "sample_point__plant")
    draft = row_for(actor, Draft, key, deed=Deed.TEST, related=beside)
    if draft.tester_id != actor.user_id:
        raise Http404
    return draft


@require_GET
@at_plant(Deed.TEST)
def bench(request: HttpRequest, actor: Actor, draft: UUID) -> HttpResponse:
    own = _own_draft(actor, draft)
    if own.closed_at is not None:
        return redirect("round", actor.plant.pk)
    return render(request, "dashboards/bench.html", {"screen": bench_screen(own)})


def _sent(request: HttpRequest, draft: Draft) -> dict[str, str]:
    return typed_in(posted(request), methods_of(draft.method_versions))


def _saved(request: HttpRequest, actor: Actor, draft: Draft) -> Draft:
    """Keep what is typed; a form without scripts sends no newer revision than it was shown."""
    typed = _sent(request, draft)
    try:
        revision = int(request.POST.get("revision", ""))
    except ValueError:
        revision = draft.revision
    return draft_save(actor=actor, draft=draft, typed=typed, revision=revision)


@require_POST
@at_plant(Deed.TEST)
def work(request: HttpRequest, actor: Actor, draft: UUID) -> HttpResponse:
    """Keep the sheet as typed and answer with what comes of it."""
    own = _own_draft(actor, draft)
    before, in_step = own.typed, request.POST.get("revision") == str(own.revision)
    try:
        saved = _saved(request, actor, own)
    except RecordError as error:
        status = 409 if isinstance(error, Moved) else 422
        return _not_kept(request, own, error, status)
    # What a refused sheet still lacks stays marked until it is there.
    finishing = request.POST.get("finishing") == "yes"
    if not request.headers.get("HX-Request"):
        screen = bench_screen(saved, finishing=finishing)
        context = {"screen": screen, "finishing": finishing}
        return render(request, "dashboards/bench.html", context)
    news = bench_reply(saved, before, shown=posted(request), finishing=finishing, in_step=in_step)
    reply = render(request, "dashboards/parts/bench_reply.html", {"screen": news})
    reply["HX-Trigger"] = json.dumps({"draft-saved": {"revision": saved.revision}})
    return reply


@require_POST
@at_plant(Deed.TEST)
def add(request: HttpRequest, actor: Actor, draft: UUID) -> HttpResponse:
    """Put one more test on the sheet, after keeping what is typed on it."""
    own = _own_draft(actor, draft)
    try:
        own = _saved(request, actor, own)
        added = request.POST.get("add", "")
        draft_test_add(actor=actor, draft=own, method=added)
    except RecordError as error:
        return _not_kept(request, own, error, 409 if isinstance(error, Moved) else 422)
    return redirect(words.with_anchor("bench", f"h-{added}", actor.plant.pk, own.pk))


def _not_kept(request: HttpRequest, draft: Draft, error: RecordError, status: int) -> HttpResponse:
    """Say why a sheet could not be kept; without scripts the page comes back as it was typed."""
    if request.headers.get("HX-Request"):
        return HttpResponse(str(error), status=status, content_type="text/plain; charset=utf-8")
    screen = bench_screen(draft, sent=_sent(request, draft), errors=(str(error),))
    return render(request, "dashboards/bench.html", {"screen": screen}, status=status)


@require_POST
@at_plant(Deed.TEST)
def finish(request: HttpRequest, actor: Actor, draft: UUID) -> HttpResponse:
    """Register the sample; what can't be used is told beside its field, and nothing is stored."""
    own = _own_draft(actor, draft)
    if own.closed_at is not None:  # finished already, or thrown away
        done = answer_of(actor, str(own.pk))
        return redirect("sample", actor.plant.pk, done) if done else _to_round(actor)
    errors: tuple[str, ...] = ()
    try:
        own = _saved(request, actor, own)
        sample = _register(actor, own)
    except TestsRefused:
        errors = (_("Some readings can't be used yet. They are marked below."),)
    except RecordError as error:
        errors = () if error.field else (str(error),)
    else:
        draft_close(own)
        return redirect("sample", actor.plant.pk, sample)
    own.refresh_from_db()
    screen = bench_screen(own, sent=_sent(request, own), finishing=True, errors=errors)
    context: dict[str, Any] = {"screen": screen, "finishing": True}
    return render(request, "dashboards/bench.html", context, status=422)


def _to_round(actor: Actor) -> HttpResponse:
    return redirect("round", actor.plant.pk)


def _register(actor: Actor, draft: Draft) -> UUID:
    used = methods_of(draft.method_versions)
    typed = with_defaults(draft.sample_point, used, draft.typed)
    entry = SampleEntry(
        key=str(draft.pk),
        point=draft.sample_point,
        slot=draft.slot,
        drawn_at=drawn_at_of(actor.plant, typed),
        opened_at=draft.opened_at,
        tests=tests_of(used, typed),
    )
    return samples_register(actor=actor, entries=[entry])[0]


@require_POST
@at_plant(Deed.TEST)
def discard(request: HttpRequest, actor: Actor, draft: UUID) -> HttpResponse:
    own = _own_draft(actor, draft)
    if request.POST.get("confirm") == "yes":
        draft_discard(actor=actor, draft=own)
        return redirect("round", actor.plant.pk)
    return redirect("bench", actor.plant.pk, own.pk)


@require_POST
@at_plant(Deed.SET_STATE)
def boiler_state(request: HttpRequest, actor: Actor, boiler: UUID) -> HttpResponse:
    """Record a change of state, offered where a sample did not fit the one recorded."""
    which = row_for(actor, Boiler, boiler)
    own = _draft_behind(actor, request.POST.get("draft", ""))
    state = request.POST.get("state", "")
    try:
        boiler_state_set(actor=actor, boiler=which, state=state, since=_since(actor, own))
    except RecordError as error:
        return _state_refused(request, actor, own, str(error))
    return redirect("bench", actor.plant.pk, own.pk) if own else _to_round(actor)


def _draft_behind(actor: Actor, key: str) -> Draft | None:
    """Return the bench sheet from which a change of state was sent, if from one."""
    try:
        return _own_draft(actor, UUID(key)) if key else None
    except ValueError:
        raise Http404 from None


def _since(actor: Actor, draft: Draft | None) -> datetime:
    """Return since when the state holds: from the draw on, where its time can be read."""
    try:
        return min(drawn_at_of(actor.plant, draft.typed), clock.now()) if draft else clock.now()
    except RecordError:
        return clock.now()


def _state_refused(
    request: HttpRequest, actor: Actor, draft: Draft | None, error: str
) -> HttpResponse:
    if draft is not None:
        context: dict[str, Any] = {"screen": bench_screen(draft, errors=(error,))}
        return render(request, "dashboards/bench.html", context, status=422)
    messages.error(request, error)
    return render(request, "dashboards/round.html", {"screen": round_screen(actor)}, status=422)
