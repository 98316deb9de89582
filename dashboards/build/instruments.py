"""The instruments and lots of a bench test: which can be picked, and how the picked one stands."""

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry.methods.base import InstrumentRole, LotRole, Method
from dashboards.forms.bench import Names
from dashboards.screens.bench import InstrumentView
from dashboards.screens.fields import Choice, FieldView
from records import clock
from records.models import Instrument, Lot
from records.selectors.bench import Draw
from records.selectors.instruments import Shelf, Standing, label_of, standing
from records.shifts import local

STANDING_WORDS = {
    Standing.IN_ORDER: gettext_noop("In order"),
    Standing.OVERDUE: gettext_noop("Check overdue"),
    Standing.FAILED: gettext_noop("Failed its last check"),
    Standing.OUT_OF_SERVICE: gettext_noop("Out of service"),
    Standing.EXPIRED: gettext_noop("Past its expiry date"),
}


def instrument_views(
    draw: Draw, method: Method, typed: Mapping[str, str], told: Mapping[str, str]
) -> tuple[InstrumentView, ...]:
    """Return the choice of every instrument and lot of a test; no choice where there is nothing to
    choose from, none is needed and nothing is wrong."""
    today = local(draw.point.plant, clock.now()).date()
    return tuple(
        _view(role, draw.shelf, today, Names(method.key), typed, told)
        for role in method.means
        if draw.shelf.offered(role) or _required(role) or _wrong(role, told)
    )


def _wrong(role: InstrumentRole | LotRole, told: Mapping[str, str]) -> bool:
    return any(told.get(f"{what}-{role.key}") for what in ("instrument", "reason"))


def _required(role: InstrumentRole | LotRole) -> bool:
    return isinstance(role, InstrumentRole) and role.required


def _view(
    role: InstrumentRole | LotRole,
    shelf: Shelf,
    today: date,
    names: Names,
    typed: Mapping[str, str],
    told: Mapping[str, str],
) -> InstrumentView:
    picked = typed.get(names.instrument(role.key), "")
    chosen = shelf.picked(role, picked)
    stands = standing(chosen, today) if chosen else None
    none = Choice(value="", label=_("none"), selected=not picked)
    in_doubt = stands is not None and stands is not Standing.IN_ORDER
    return InstrumentView(
        choice=FieldView(
            name=names.instrument(role.key),
            id=names.instrument_id(role.key),
            label=_(role.label),
            kind="select",
            choices=(none, *(_offer(each, picked, today) for each in shelf.offered(role))),
            error=told.get(f"instrument-{role.key}", ""),
            required=_required(role),
        ),
        state={Standing.IN_ORDER: "ok"}.get(stands, stands.value) if stands else "none",
        state_word=_(STANDING_WORDS[stands]) if stands else "",
        needs_reason=in_doubt,
        reason=FieldView(
            name=names.reason(role.key),
            id=names.reason_id(role.key),
            label=_("Why it is used nevertheless"),
            value=typed.get(names.reason(role.key), ""),
            error=told.get(f"reason-{role.key}", ""),
            required=True,
        ),
    )


def _offer(used: Instrument | Lot, picked: str, today: date) -> Choice:
    stands = standing(used, today)
    return Choice(
        value=str(used.pk),
        label=label_of(used),
        selected=str(used.pk) == picked,
        note="" if stands is Standing.IN_ORDER else _(STANDING_WORDS[stands]),
    )
