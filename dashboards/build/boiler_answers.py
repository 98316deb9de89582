"""Whether the water answered to what was done, and what the drum's balance says, in words."""

from dataclasses import replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import drum_words
from chemistry.analytes import ANALYTES
from chemistry.drum import Dose, Entry, Setting
from chemistry.drum_filter import Spread, follow
from chemistry.drum_leaks import Watch
from chemistry.drum_model import Model
from chemistry.drum_response import Response, response, tested_in
from chemistry.errors import ChemistryError
from dashboards import words
from dashboards.build.results import analyte_name
from dashboards.screens.boiler import AnswerView
from dashboards.screens.results import Figure
from records.models import Action, Plant
from records.selectors.drum_logs import Done, DrumLog

# How many of the last things done are held against the water: rule of our own.
_NEWEST = 3
_KINDS = {
    "dose": gettext_noop("Dose"),
    "blowdown": gettext_noop("Blowdown"),
    "feed_set": gettext_noop("Feed set anew"),
    "valve_set": gettext_noop("Valve set anew"),
}


def answer_views(plant: Plant, log: DrumLog) -> tuple[AnswerView, ...]:
    """Return the last things done, the newest first, each with what the water said to it."""
    views = {each.action.pk: _answer(plant, log, each) for each in log.done[-_NEWEST:]}
    views |= {each.pk: _unread(plant, each) for each in log.unread[-_NEWEST:]}
    rows = [each.action for each in log.done[-_NEWEST:]] + list(log.unread[-_NEWEST:])
    rows.sort(key=lambda each: each.done_at, reverse=True)
    return tuple(views[each.pk] for each in rows[:_NEWEST])


def _said(action: Action) -> str:
    """Return what was done in the words of the person who did it."""
    kind = _(_KINDS.get(action.kind, action.kind))
    return f"{kind}: {action.amount}" if action.amount else kind


def _unread(plant: Plant, action: Action) -> AnswerView:
    return AnswerView(
        what=_said(action),
        at_text=words.time_of(plant, action.done_at),
        verdict=_(
            "Not reckoned with: no advice stands behind it, or its amount is not written in kg or "
            "lb. Begin the amount with a figure and its unit."
        ),
    )


def _answer(plant: Plant, log: DrumLog, done: Done) -> AnswerView:
    at = words.time_of(plant, done.action.done_at)
    try:
        model = Model(log.mass_kg, log.solutes, log.hides)
        found = response(model, *_as_set(model, log, done))
    except ChemistryError as error:
        return AnswerView(what=_said(done.action), at_text=at, verdict=words.sentence(error))
    return AnswerView(
        what=_said(done.action),
        at_text=at,
        verdict=_(drum_words.RESPONSES[found.code]),
        details=_details(plant, log, found),
    )


def _as_set(model: Model, log: DrumLog, done: Done) -> tuple[tuple[Entry, ...], Dose | Setting]:
    """Return the log and what was done, a valve's new flow taken as true.

    What the results taught of the old opening, that it let less through than reckoned, says nothing
    of the new one; the model would carry it over.
    """
    entries, entry = log.about(done), done.entry
    if isinstance(entry, Dose):
        return entries, entry
    earlier = [each for each in entries if each.at_h < entry.at_h]
    before = follow(tested_in(model, earlier), earlier).belief
    times = before.blowdown_kg_h.value / before.setting.blowdown_kg_h
    taken = replace(entry, blowdown_kg_h=entry.blowdown_kg_h / times)
    return tuple(taken if each is entry else each for each in entries), taken


def _details(plant: Plant, log: DrumLog, found: Response) -> str:
    unit = ANALYTES[found.result.solute].unit
    text = _(
        "%(analyte)s at %(at)s: %(found)s %(unit)s; foretold %(with)s with it, %(without)s without."
    )
    return text % {
        "analyte": analyte_name(found.result.solute),
        "at": words.time_of(plant, log.instant(found.result.at_h)),
        "found": figure(plant, found.result.value, unit),
        "with": figure(plant, found.expected.value, unit),
        "without": figure(plant, found.untouched.value, unit),
        "unit": words.unit_label(words.plant_unit(plant, unit)),
    }


def figure(plant: Plant, value: float, unit: str) -> str:
    """Return a worked figure in the plant's unit, to about three digits."""
    plain = f"{value:.0f}" if abs(value) >= 100.0 else f"{value:.1f}"
    return words.in_unit(plain, unit, words.plant_unit(plant, unit))


def balance_figures(plant: Plant, found: Watch) -> tuple[Figure, ...]:
    """Return what the balance says of the boiler, each with its spread."""
    belief = found.belief
    if not belief.setting.steaming:
        return ()
    flow = words.unit_label(words.plant_unit(plant, "kg/h"))
    cycles, blown = belief.cycles, belief.blowdown_kg_h
    return (
        Figure(
            label=_("Cycles of concentration"),
            value=f"{cycles.value:.1f}",
            note=f"{max(cycles.low, 1.0):.1f} – {cycles.high:.1f}",
        ),
        Figure(
            label=_("True blowdown"),
            value=figure(plant, blown.value, "kg/h"),
            unit=flow,
            note=_between(plant, blown),
        ),
        Figure(
            label=_("Blowdown as reckoned"),
            value=figure(plant, belief.setting.blowdown_kg_h, "kg/h"),
            unit=flow,
        ),
        Figure(
            label=_("Two thirds of its way take"),
            value=f"{belief.time_constant_h:.0f}",
            unit=_("h"),
        ),
    )


def _between(plant: Plant, spread: Spread) -> str:
    low, high = (figure(plant, each, "kg/h") for each in (max(spread.low, 0.0), spread.high))
    return f"{low} – {high}"


def balance_words(log: DrumLog, found: Watch) -> tuple[str, ...]:
    """Return what the balance rests on, and what it says of hideout and leaks."""
    told = []
    if found.hideout:
        told.append(_(drum_words.HIDEOUT[found.hideout]))
    elif log.hides:
        told.append(_("No hideout of phosphate shows."))
    told.append(
        _(
            "No leak is looked for: the plant has no analysis of the waters that could leak in. "
            "Rising chloride or hardness asks for a call all the same."
        )
    )
    if not log.load_recorded:
        told.append(
            _(
                "No steam flow was read in two weeks, so the load is the evaporation set up for "
                "the boiler. Read the steam flow on the round for a better answer."
            )
        )
    if not log.feed_tested:
        told.append(
            _(
                "The feedwater's conductivity was not tested in two weeks, so the blowdown is that "
                "of the valve's opening, which is rough."
            )
        )
    told.append(
        _("What feed and dosing bring is taken from what held the water over the last two weeks.")
    )
    return tuple(told)
