"""What is the matter with each boiler of a plant, in a line: for the page of all plants."""

from collections.abc import Iterable, Sequence

from django.utils.translation import gettext as _

from dashboards import words
from dashboards.build.results import stand_view
from dashboards.screens.plants import BoilerTrouble
from records import clock
from records.models import Boiler, Plant
from records.selectors.results import ResultStand
from records.selectors.rounds import SlotStand, StateHistory


def boiler_troubles(
    plant: Plant,
    boilers: Iterable[Boiler],
    latest: Sequence[ResultStand],
    overdue: Sequence[SlotStand],
) -> tuple[BoilerTrouble, ...]:
    """Return a line for each boiler with anything out of range, in doubt or overdue, and one for
    the water that all boilers share."""
    states, now = StateHistory(plant), clock.now()
    lines = [
        _trouble(plant, boiler, words.state_word(states.at(boiler, now)), latest, overdue)
        for boiler in (*boilers, None)
    ]
    return tuple(line for line in lines if line.out_of_range or line.doubts or line.overdue)


def _trouble(
    plant: Plant,
    boiler: Boiler | None,
    state_word: str,
    latest: Sequence[ResultStand],
    overdue: Sequence[SlotStand],
) -> BoilerTrouble:
    key = boiler.pk if boiler else None
    own = [s for s in latest if s.sample.sample_point.boiler_id == key]
    return BoilerTrouble(
        name=boiler.name if boiler else _("Water of all boilers"),
        boiler_id=str(key or ""),
        state_word=state_word,
        out_of_range=tuple(_figure(plant, s) for s in own if s.out_of_range),
        doubts=tuple(stand_view(plant, s).name for s in own if s.doubts),
        overdue=sum(s.slot.sample_point.boiler_id == key for s in overdue),
    )


def _figure(plant: Plant, stand: ResultStand) -> str:
    """Return a result with its verdict; shared water also says at which point."""
    view, point = stand_view(plant, stand), stand.sample.sample_point
    where = "" if point.boiler_id else f"{point.name}, "
    value = f"{view.qualifier}{view.value_text} {view.unit}".strip()
    return f"{where}{view.name} {value}, {view.verdict.word}"
