"""The page of one boiler."""

from collections.abc import Sequence
from datetime import datetime

from django.utils.translation import gettext as _

from chemistry import drum_words
from chemistry.drum_leaks import Watch, watch
from chemistry.errors import ChemistryError
from dashboards import words
from dashboards.build.boiler_answers import answer_views, balance_figures, balance_words
from dashboards.build.boiler_drift import drift_view
from dashboards.build.boiler_outlook import Outlook
from dashboards.build.results import stand_view
from dashboards.build.sheets import follow_up_view
from dashboards.screens.boiler import BoilerScreen, LastValue, ParameterView
from records import clock
from records.actors import Actor
from records.models import Boiler, Plant
from records.permissions import Deed
from records.selectors.drum_logs import DrumLog, drum_log, water_of
from records.selectors.programs import programs_at, state_entry_at
from records.selectors.results import ResultStand
from records.selectors.rounds import open_follow_ups

# Earlier values shown of each parameter: rule of our own.
_BEFORE = 5


def boiler_screen(actor: Actor, boiler: Boiler) -> BoilerScreen:
    """Return the page: what the records say of a boiler's water, and what follows from them."""
    plant, now = actor.plant, clock.now()
    stands = water_of(boiler, now)
    state = state_entry_at(boiler, now)
    program = next((p for p in programs_at(plant) if p.boiler_id == boiler.pk), None)
    log, found, refusal = _followed(boiler, stands, now)
    owed = [f for f in open_follow_ups(plant) if f.sample.sample_point.boiler_id == boiler.pk]
    since = _("since %(at)s") % {"at": words.time_of(plant, state.since)} if state else ""
    figures = balance_figures(plant, found) if found else ()
    return BoilerScreen(
        plant_id=str(plant.pk),
        boiler_id=str(boiler.pk),
        name=boiler.name,
        about=f"{boiler.get_kind_display()} · {words.boiler_pressure(plant, boiler)}",
        state_word=words.state_word(state.state) if state else _("state not recorded"),
        state_since=since,
        now_text=words.moment(plant, now),
        refusal=refusal,
        parameters=_parameters(plant, stands, Outlook.of(plant, log, found, now)),
        follow_ups=tuple(follow_up_view(plant, f) for f in owed),
        drift=drift_view(plant, stands),
        answers=answer_views(plant, log) if log else (),
        figures=figures,
        told=balance_words(log, found) if log and found else (),
        assumptions=tuple(_(each) for each in drum_words.ASSUMPTIONS) if found else (),
        cautions=tuple(_(each) for each in drum_words.CAUTIONS),
        program_id=str(program.pk) if program else "",
        can_draw=actor.may(Deed.TEST),
    )


def _followed(
    boiler: Boiler, stands: Sequence[ResultStand], now: datetime
) -> tuple[DrumLog | None, Watch | None, str]:
    """Return the boiler's log and what is believed of its drum, or why neither can be had."""
    try:
        log = drum_log(boiler, stands, now)
        return log, watch(log.mass_kg, log.solutes, log.log, hides=log.hides), ""
    except ChemistryError as error:
        return None, None, words.sentence(error)


def _parameters(
    plant: Plant, stands: Sequence[ResultStand], outlook: Outlook
) -> tuple[ParameterView, ...]:
    """Return what is tested of the water: what leaves its range, then what is judged, first."""
    by_analyte: dict[str, list[ResultStand]] = {}
    for stand in stands:
        by_analyte.setdefault(stand.result.analyte, []).append(stand)
    views = [_parameter(plant, each, outlook) for each in by_analyte.values()]
    return tuple(sorted(views, key=lambda each: (not each.warns, not each.result.limit_text)))


def _parameter(plant: Plant, stands: Sequence[ResultStand], outlook: Outlook) -> ParameterView:
    *before, newest = stands
    forecast, warns = outlook.words(newest)
    return ParameterView(
        result=stand_view(plant, newest),
        at_text=words.time_of(plant, newest.sample.drawn_at),
        sample_id=str(newest.sample.pk),
        forecast=forecast,
        warns=warns,
        before=tuple(_last(plant, each) for each in before[: -_BEFORE - 1 : -1]),
    )


def _last(plant: Plant, stand: ResultStand) -> LastValue:
    view = stand_view(plant, stand)
    return LastValue(
        value=f"{view.qualifier}{view.value_text}",
        at_text=words.time_of(plant, stand.sample.drawn_at),
    )
