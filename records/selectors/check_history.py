"""The checks of instruments on record: the last one, its figures, when the next is due."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from chemistry import recipes
from chemistry.recipes.base import Effect, EffectKind, Ending
from chemistry.recipes.tolerance import Acceptance
from records.models import Instrument, InstrumentCard, InstrumentCheck
from records.shifts import local

SERVES = (Ending.PASSED, Ending.ADJUSTED)


@dataclass(frozen=True, kw_only=True)
class FigureStand:
    """One figure of a check as it was stored: texts, with the ends of its tolerance."""

    key: str
    label: str
    value: str
    unit: str
    expanded: str
    low: str
    high: str
    acceptance: str
    at: str


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What one run of a check came to, as found or as left."""

    acceptance: Acceptance
    figures: tuple[FigureStand, ...]
    effect: Effect
    levels: tuple[float, ...]
    level_unit: str
    reasons: tuple[tuple[str, Mapping[str, str]], ...]


def answer_of(check: InstrumentCheck, run: str = "found") -> Answer | None:
    """Return what a check came to as "found" or as "left"; None where it was not adjusted."""
    told = json.loads(check.answer).get(run)
    if not told:
        return None
    effect = told["effect"]
    return Answer(
        acceptance=Acceptance(told["acceptance"]),
        figures=tuple(FigureStand(**each) for each in told["figures"]),
        effect=Effect(
            EffectKind(effect["kind"]), float(effect["size"]), effect["unit"], float(effect["u"])
        ),
        levels=tuple(float(each) for each in told["levels"]),
        level_unit=told["level_unit"],
        reasons=tuple((template, params) for template, params in told["reasons"]),
    )


def left_behind(check: InstrumentCheck) -> Answer:
    """Return what a check left: as left, or as found where nothing was adjusted."""
    found = answer_of(check, "left") or answer_of(check)
    assert found is not None  # every check was found somehow
    return found


def last_check(instrument: Instrument, recipe: str = "") -> InstrumentCheck | None:
    """Return the newest check of an instrument, of one recipe or of any."""
    found = InstrumentCheck.objects.filter(plant=instrument.plant_id, instrument=instrument)
    if recipe:
        found = found.filter(recipe=recipe)
    newest: InstrumentCheck | None = (
        found.select_related("instrument__plant").order_by("done_at").last()
    )
    return newest


def last_pass(instrument: Instrument) -> InstrumentCheck | None:
    """Return the newest check after which an instrument could be relied on."""
    found: InstrumentCheck | None = (
        InstrumentCheck.objects.filter(
            plant=instrument.plant_id, instrument=instrument, ending__in=SERVES
        )
        .order_by("done_at")
        .last()
    )
    return found


def last_figures(check: InstrumentCheck | None) -> dict[str, float]:
    """Return the figures that the last check left, for what drifted since."""
    if check is None:
        return {}
    return {figure.key: float(figure.value) for figure in left_behind(check).figures}


def checks_of(instrument: Instrument) -> Sequence[InstrumentCheck]:
    """Return all checks of an instrument with what they were held against, the newest first."""
    found = InstrumentCheck.objects.filter(plant=instrument.plant_id, instrument=instrument)
    return list(
        found.select_related("together__instrument")
        .prefetch_related("standards", "look_backs", "partners__instrument")
        .order_by("-done_at")
    )


def intervals(card: InstrumentCard | None, recipe: str) -> tuple[float, float | None]:
    """Return the days between full checks by a recipe, and between quick ones where there are any:
    those on the card, else the recipe's own."""
    usual: Any = recipes.latest(recipe)
    full = card.check_days if card and card.check_days else usual.interval_days
    quick = card.quick_days if card and card.quick_days else usual.quick_days
    return full, quick


def due_after(
    instrument: Instrument, card: InstrumentCard | None, checks: Sequence[InstrumentCheck]
) -> date | None:
    """Return the day by which the next check is due after all of `checks`; None without one that
    passed. A quick check answers for the quick interval only."""
    ends: list[date] = []
    passed = [check for check in checks if check.ending in SERVES]
    for recipe in {check.recipe for check in passed}:
        own = [check for check in passed if check.recipe == recipe]
        full_days, quick_days = intervals(card, recipe)
        full = [check for check in own if not check.quick] or own
        for newest, days in ((full, full_days), (own, quick_days)):
            if days is not None:
                last = max(check.done_at for check in newest)
                ends.append(local(instrument.plant, last).date() + timedelta(days=days))
    return min(ends, default=None)
