"""The instruments of a bench test: which can be picked, and how the picked one stands."""

from collections.abc import Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry.methods.base import InstrumentRole, Method
from dashboards.forms.bench import Names
from dashboards.screens.bench import InstrumentView
from dashboards.screens.fields import Choice, FieldView
from records import clock
from records.models import Instrument, Plant, SamplePoint
from records.selectors.instruments import Standing, instruments_for_bench, standing
from records.shifts import local

STANDING_WORDS = {
    Standing.IN_ORDER: gettext_noop("In order"),
    Standing.OVERDUE: gettext_noop("Check overdue"),
    Standing.FAILED: gettext_noop("Failed its last check"),
    Standing.OUT_OF_SERVICE: gettext_noop("Out of service"),
}


def instrument_views(
    point: SamplePoint, method: Method, typed: Mapping[str, str], told: Mapping[str, str]
) -> tuple[InstrumentView, ...]:
    found = instruments_for_bench(point.plant, [role.kind for role in method.instruments])
    return tuple(
        _instrument(point.plant, Names(method.key), role, found[role.kind], typed, told)
        for role in method.instruments
    )


def _instrument(
    plant: Plant,
    names: Names,
    role: InstrumentRole,
    offered: list[Instrument],
    typed: Mapping[str, str],
    told: Mapping[str, str],
) -> InstrumentView:
    today = local(plant, clock.now()).date()
    picked = typed.get(names.instrument(role.key), "")
    chosen = next((each for each in offered if str(each.pk) == picked), None)
    stands = standing(chosen, today) if chosen else None
    none = Choice(value="", label=_("none"), selected=not picked)
    in_doubt = stands is not None and stands is not Standing.IN_ORDER
    return InstrumentView(
        choice=FieldView(
            name=names.instrument(role.key),
            id=names.instrument_id(role.key),
            label=_(role.label),
            kind="select",
            choices=(none, *(_offer(each, picked, today) for each in offered)),
            error=told.get(f"instrument-{role.key}", ""),
            required=role.required,
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


def _offer(instrument: Instrument, picked: str, today: object) -> Choice:
    stands = standing(instrument, today)  # type: ignore[arg-type]
    return Choice(
        value=str(instrument.pk),
        label=" ".join(filter(None, [instrument.name, instrument.serial])),
        selected=str(instrument.pk) == picked,
        note="" if stands is Standing.IN_ORDER else _(STANDING_WORDS[stands]),
    )
