"""The register of a plant at a glance, and one instrument with all that happened to it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from chemistry import recipes
from chemistry.check_interval import Found, Suggestion, suggest
from chemistry.errors import ChemistryError
from records import clock
from records.doubted import waiting_by_look_back
from records.models import (
    Instrument,
    InstrumentCard,
    InstrumentCheck,
    InstrumentEvent,
    LookBack,
    Lot,
    LotCard,
    Plant,
)
from records.selectors.cards import instrument_cards, lot_cards
from records.selectors.check_history import answer_of, intervals
from records.selectors.instruments import Standing, standing
from records.shifts import local

_DAY = 86400.0
# How much longer than usual an interval may get by its history: rule of our own.
_LONGEST_TIMES = 2.0


@dataclass(frozen=True, kw_only=True)
class InstrumentStand:
    """An instrument with its card, its last check, how it stands, and how many tests by it wait
    for a decision."""

    instrument: Instrument
    card: InstrumentCard | None
    last: InstrumentCheck | None
    standing: Standing
    waiting: int
    look_backs: tuple[LookBack, ...] = ()

    @property
    def due_on(self) -> date | None:
        found: date | None = self.instrument.check_due_on
        return found


def register_of(plant: Plant) -> Sequence[InstrumentStand]:
    """Return all instruments of a plant, those not in order first."""
    today, cards = local(plant, clock.now()).date(), instrument_cards(plant)
    last = _last_checks(plant)
    waiting = waiting_by_look_back(plant.pk)
    backs = LookBack.objects.filter(plant=plant, pk__in=list(waiting)) if waiting else ()
    open_backs: dict[UUID, list[LookBack]] = {}
    for back in backs:
        open_backs.setdefault(back.instrument_id, []).append(back)
    found = [
        InstrumentStand(
            instrument=each,
            card=cards.get(each.pk),
            last=last.get(each.pk),
            standing=standing(each, today),
            waiting=sum(waiting[back.pk] for back in open_backs.get(each.pk, ())),
            look_backs=tuple(open_backs.get(each.pk, ())),
        )
        for each in Instrument.objects.filter(plant=plant).order_by("kind", "name")
    ]
    return sorted(found, key=_gravity)


_GRAVE = (Standing.FAILED, Standing.OVERDUE, Standing.OUT_OF_SERVICE)


def _gravity(stand: InstrumentStand) -> tuple[object, ...]:
    grave = _GRAVE.index(stand.standing) if stand.standing in _GRAVE else len(_GRAVE)
    return (not stand.waiting, grave, stand.due_on or date.max, stand.instrument.name)


def _last_checks(plant: Plant) -> Mapping[UUID, InstrumentCheck]:
    rows = InstrumentCheck.objects.filter(plant=plant).order_by("done_at").defer("typed", "answer")
    return {check.instrument_id: check for check in rows}


def events_of(instrument: Instrument) -> Sequence[InstrumentEvent]:
    """Return what happened to an instrument, the newest first."""
    found = InstrumentEvent.objects.filter(plant=instrument.plant_id, instrument=instrument)
    return list(found.order_by("-happened_at", "-id"))


def cards_of(instrument: Instrument) -> Sequence[InstrumentCard]:
    """Return all cards of an instrument, the newest first."""
    found = InstrumentCard.objects.filter(plant=instrument.plant_id, instrument=instrument)
    return list(found.order_by("-at", "-id"))


def look_backs_by(instrument: Instrument) -> Mapping[UUID, LookBack]:
    """Return the look-backs of an instrument by the check that opened them."""
    found = LookBack.objects.filter(plant=instrument.plant_id, instrument=instrument)
    return {back.check_of_id: back for back in found}


def suggestion_of(
    checks: Sequence[InstrumentCheck], card: InstrumentCard | None, recipe: str
) -> Suggestion | None:
    """Return how long to wait by the history of a recipe's full checks, as found; None where that
    says nothing: no check, or no tolerance to either side of zero."""
    days, deviations, tolerance = [], [], 0.0
    for check in sorted(checks, key=lambda each: each.done_at):
        answer = answer_of(check) if check.recipe == recipe and not check.quick else None
        figure = answer.figures[0] if answer else None
        if figure is None or not (figure.low and figure.high):
            continue
        low, high = float(figure.low), float(figure.high)
        if low < 0.0 < high:
            tolerance = min(-low, high)
            days.append(check.done_at.timestamp() / _DAY)
            deviations.append(float(figure.value))
    if not days:
        return None
    interval = intervals(card, recipe)[0]
    longest = _LONGEST_TIMES * recipes.latest(recipe).interval_days
    found = [Found(day, deviation) for day, deviation in zip(days, deviations, strict=True)]
    try:
        return suggest(found, tolerance=tolerance, interval=interval, longest=longest)
    except ChemistryError:
        return None


@dataclass(frozen=True, kw_only=True)
class LotStand:
    """A lot with its card and how it stands today."""

    lot: Lot
    card: LotCard | None
    standing: Standing


def lots_of(plant: Plant) -> Sequence[LotStand]:
    """Return all lots of a plant, those in date first."""
    today, cards = local(plant, clock.now()).date(), lot_cards(plant)
    found = [
        LotStand(lot=lot, card=cards.get(lot.pk), standing=standing(lot, today))
        for lot in Lot.objects.filter(plant=plant).order_by("kind", "name", "lot_number")
    ]
    return sorted(found, key=lambda each: each.standing is not Standing.IN_ORDER)


def cards_of_lot(lot: Lot) -> Sequence[LotCard]:
    """Return all cards of a lot, the newest first."""
    found = LotCard.objects.filter(plant=lot.plant_id, lot=lot)
    return list(found.order_by("-at", "-id"))
