"""Correcting a result or a check: its raw readings again, with the old ones beside them."""

from collections.abc import Mapping
from uuid import uuid4

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods, units
from dashboards import words
from dashboards.build.bench_block import test_block
from dashboards.build.checks import stored_outcome
from dashboards.build.forms import text_field
from dashboards.build.results import stand_view
from dashboards.forms.bench import Names, entry_of
from dashboards.screens.correct import CorrectScreen
from records.actors import Actor
from records.models import Measurement
from records.selectors.bench import draw_of, tests_work
from records.selectors.results import results_of_sample, worths_beside
from records.selectors.sheets import is_signed

# Title, and what becomes of what stands there, by whether it is a result and the sheet is signed.
WORDS = {
    (True, False): (
        gettext_noop("Correct a result"),
        gettext_noop("The old result stays readable, struck through, with your reason beside it."),
    ),
    (True, True): (
        gettext_noop("Amend a signed result"),
        gettext_noop(
            "The sheet is signed. The old result stays readable; the new one counts once a second "
            "person has signed the amendment."
        ),
    ),
    (False, False): (
        gettext_noop("Correct a check"),
        gettext_noop("What it said stays readable, struck through, with your reason beside it."),
    ),
    (False, True): (
        gettext_noop("Amend a signed check"),
        gettext_noop(
            "The sheet is signed. What the check said stays readable; the new one counts once a "
            "second person has signed the amendment."
        ),
    ),
}


def typed_of(measurement: Measurement) -> dict[str, str]:
    """Return a stored measurement as the bench form would hold it."""
    names = Names(measurement.method)
    typed = {names.mode: measurement.mode}
    for reading in measurement.readings.all():
        choice = not reading.unit
        typed[names.field(reading.field)] = reading.normalized if choice else reading.typed
        if reading.unit:
            typed[names.unit(reading.field)] = reading.unit
    for use in measurement.uses.all():
        typed[names.instrument(use.role)] = str(use.instrument_id or use.lot_id or "")
        typed[names.reason(use.role)] = use.reason
    return typed


def _old(measurement: Measurement) -> dict[str, str]:
    return {
        reading.field: f"{reading.typed.strip() or reading.normalized} {units.label(reading.unit)}"
        for reading in measurement.readings.all()
        if reading.unit
    }


def correct_screen(
    actor: Actor,
    measurement: Measurement,
    typed: Mapping[str, str],
    sent: Mapping[str, str],
    *,
    errors: Mapping[str, str] | None = None,
    finishing: bool = False,
) -> CorrectScreen:
    """Return the page that corrects one measurement, with what comes of the new readings."""
    sample, told = measurement.sample, errors or {}
    point = sample.sample_point
    method = methods.get(measurement.method, measurement.method_version)
    draw = draw_of(point, sample.boiler_state, sample.drawn_at)
    (work,) = tests_work(draw, [entry_of(method, typed)], worths_beside(measurement))
    stands = [s for s in results_of_sample(sample) if s.measurement.pk == measurement.pk]
    signed = is_signed(measurement.sheet)
    title, stays = WORDS[bool(stands), signed]
    boiler_name, point_name = words.place(point)
    return CorrectScreen(
        plant_id=str(actor.plant.pk),
        measurement_id=str(measurement.pk),
        sample_id=str(sample.pk),
        sheet_id=str(measurement.sheet_id),
        amends=signed,
        boiler_name=boiler_name,
        point_name=point_name,
        drawn_text=words.moment(actor.plant, sample.drawn_at),
        tester_name=measurement.by_name,
        title=_(title),
        stays=_(stays),
        before=tuple(stand_view(actor.plant, stand) for stand in stands),
        showed=tuple(stored_outcome(check) for check in measurement.outcomes.order_by("id")),
        block=test_block(draw, work, typed, finishing=finishing, old=_old(measurement), shown=sent),
        reason=text_field(
            "reason",
            _("Why it is corrected"),
            sent,
            kind="textarea",
            required=True,
            error=told.get("reason", ""),
        ),
        key=sent.get("key") or str(uuid4()),
        errors=(told[""],) if "" in told else (),
    )
