"""A boiler's records as the log that the drum's balance takes: flows, results, what was done.

What feed and dosing usually bring is not recorded: it is taken from what held the water where it
was, its median over the span. Blowdown follows from the conductivities of boiler and feedwater, its
changes from the valve's recorded opening.
"""

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median

from django.db.models import Q

from chemistry import units
from chemistry.drum import Dose, Entry, Result, Setting
from chemistry.errors import Refused
from chemistry.words import gettext_noop
from records.models import Action, Boiler, BoilerState, Measurement, SampleKind
from records.selectors.results import ResultStand, newest_of_boiler
from records.selectors.sheets import current_measurements

# How far back a boiler is followed, and the results of a test without which it is not: rules of
# our own.
SPAN = timedelta(days=14)
LEAST_RESULTS = 3
# What adds up in a drum, and what of it is dosed there.
FOLLOWED = (
    "conductivity", "chloride", "phosphate", "sulfite", "silica", "p_alkalinity", "m_alkalinity",
)  # fmt: skip
DOSED = frozenset({"phosphate", "sulfite"})
HIDES = "phosphate"
# Hours in which a dose mixes into a steaming boiler: rule of our own.
MIXES_H = 0.25
# What is done at the minute of a draw is done after it.
AFTER_H = 1e-4
_AMOUNT = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*(kg|g|lb|oz)\b")
_HOUR = timedelta(hours=1)

NO_MASS = gettext_noop(
    "The mass of water in this boiler is not known, and without it no balance is struck. An "
    "administrator sets it up with the boiler."
)
NO_LOAD = gettext_noop(
    "How much steam this boiler makes is not known. Read the steam flow on the round, or have the "
    "boiler's evaporation set up."
)
NO_BLOWDOWN = gettext_noop(
    "How much is blown down can't be reckoned. Test the feedwater's conductivity beside the "
    "boiler's, or read the opening of the continuous valve on the round."
)
TOO_FEW = gettext_noop(
    "No test of this boiler's water was made three times in the last two weeks, so nothing is "
    "foretold. Test it by its schedule."
)
FEED_TOO_RICH = gettext_noop(
    "The feedwater conducts as much as the boiler's water, so no blowdown follows from them. Test "
    "both again."
)


@dataclass(frozen=True, kw_only=True)
class Done:
    """Something done that the balance can reckon with, its entry in the log, and the hour from
    which the water can show it: the dose is mixed in, the valve set back."""

    action: Action
    entry: Dose | Setting
    shows_h: float


@dataclass(frozen=True, kw_only=True)
class DrumLog:
    """A boiler's log from `begin` on, hours from there; `solutes` are those followed.

    `load_recorded` and `feed_tested` say whether load and blowdown come from readings or from the
    boiler's set-up and its valve; `unread`: what was done that no figure could be read of.
    """

    begin: datetime
    mass_kg: float
    solutes: tuple[str, ...]
    log: tuple[Entry, ...]
    done: tuple[Done, ...]
    unread: tuple[Action, ...]
    load_recorded: bool
    feed_tested: bool

    def about(self, done: Done) -> tuple[Entry, ...]:
        """Return the log with only those results after something done that can show it: of what
        it was done about, from the hour on at which the water can."""
        remedy = done.action.remedy
        about = remedy.result.analyte if remedy else ""
        return tuple(
            each
            for each in self.log
            if not isinstance(each, Result)
            or each.at_h <= done.entry.at_h
            or (each.solute == about and each.at_h >= done.shows_h)
        )

    @property
    def hides(self) -> str:
        return HIDES if HIDES in self.solutes else ""

    def hour(self, instant: datetime) -> float:
        return (instant - self.begin) / _HOUR

    def instant(self, hour: float) -> datetime:
        return self.begin + hour * _HOUR


def water_of(boiler: Boiler, now: datetime) -> list[ResultStand]:
    """Return the results of a boiler's own water in the span, the oldest first."""
    return newest_of_boiler(boiler, now - SPAN, now)


def drum_log(boiler: Boiler, stands: Sequence[ResultStand], now: datetime) -> DrumLog:
    """Return the log of a boiler, `stands` being its water's results (`water_of`).

    Errors: Refused no_mass, no_load, no_blowdown, feed_too_rich, too_few_results, each saying what
    to record.
    """
    begin = now - SPAN
    if not boiler.water_mass_kg:
        raise Refused("no_mass", NO_MASS, missing=("water_mass",))
    loads = _readings(stands, "steam_flow", begin)
    steam = median([value for _at, value in loads]) if loads else boiler.steam_kg_h
    if not steam:
        raise Refused("no_load", NO_LOAD, missing=("steam_flow",))
    results = list(_results(stands, begin))
    solutes = tuple(
        key for key in FOLLOWED if sum(each.solute == key for each in results) >= LEAST_RESULTS
    )
    if not solutes:
        raise Refused("too_few_results", TOO_FEW, missing=("results",))
    usual = {key: median([e.value for e in results if e.solute == key]) for key in solutes}
    valve = [each for each in _readings(stands, "blowdown_valve", begin) if each[1] > 0.0]
    feed = _feed_conductivity(boiler, begin, now)
    blowdown = _usual_blowdown(boiler, steam, usual.get("conductivity"), feed, valve)
    actions = _actions(boiler, begin, now)
    read = {each.pk: _read(each, boiler.water_mass_kg, begin) for each in actions}
    changes = [(at, "steam", value) for at, value in loads]
    openings = median([value for _at, value in valve]) if valve else 0.0
    changes += [(at, "blowdown", blowdown * value / openings) for at, value in valve]
    changes += [each for one in read.values() if isinstance(one, list) for each in one]
    settings = list(
        _settings(
            _Base(steam, blowdown, usual, _states(boiler, begin, now)),
            [each for each in changes if each[0] <= (now - begin) / _HOUR],
        )
    )
    doses = {pk: each for pk, each in read.items() if isinstance(each, Dose)}
    return DrumLog(
        begin=begin,
        mass_kg=boiler.water_mass_kg,
        solutes=solutes,
        log=(*settings, *doses.values(), *(e for e in results if e.solute in solutes)),
        done=tuple(
            Done(action=each, entry=entry, shows_h=_shows(read[each.pk]))
            for each in actions
            if (entry := doses.get(each.pk) or _set_at(settings, read[each.pk])) is not None
        ),
        unread=tuple(each for each in actions if read[each.pk] is None),
        load_recorded=bool(loads),
        feed_tested=feed is not None,
    )


def _readings(
    stands: Iterable[ResultStand], analyte: str, begin: datetime
) -> list[tuple[float, float]]:
    """Return the readings of a meter or setting: hour and value."""
    return [
        ((each.sample.drawn_at - begin) / _HOUR, float(each.result.value))
        for each in stands
        if each.result.analyte == analyte and not each.doubts and not each.result.qualifier
    ]


def _results(stands: Sequence[ResultStand], begin: datetime) -> Iterator[Result]:
    """Yield what can be followed: trusted figures on the basis of the newest of their kind."""
    basis = {each.result.analyte: each.result.basis for each in stands}
    for each in stands:
        row = each.result
        if row.analyte not in FOLLOWED or each.doubts or row.qualifier:
            continue
        u = float(row.expanded) / float(row.coverage)
        if row.basis == basis[row.analyte] and u > 0.0:
            at = (each.sample.drawn_at - begin) / _HOUR
            yield Result(at, row.analyte, float(row.value), u)


def _feed_conductivity(boiler: Boiler, begin: datetime, now: datetime) -> float | None:
    """Return the median of the feedwater's conductivity, of the boiler's own or of all."""
    point = "sample__sample_point__"
    shared = Q(**{f"{point}boiler__isnull": True})
    found = (
        Measurement.objects.filter(
            Q(**{f"{point}boiler": boiler}) | shared,
            plant=boiler.plant_id,
            method="conductivity",
            sample__sample_point__kind=SampleKind.FEEDWATER,
            sample__drawn_at__range=(begin, now),
        )
        .select_related("sample")
        .prefetch_related("amendments__signatures", "results", "doubts")
    )
    values = [
        float(row.value)
        for each in current_measurements(list(found))
        if not each.doubts.all()
        for row in each.results.all()
        if row.analyte == "conductivity" and not row.qualifier
    ]
    return median(values) if values else None


def _usual_blowdown(
    boiler: Boiler,
    steam: float,
    held: float | None,
    feed: float | None,
    valve: Sequence[tuple[float, float]],
) -> float:
    """Return the blowdown at which the water stays where it is, kg/h: E Cf / (C - Cf)."""
    if held is not None and feed is not None and feed > 0.0:
        if held <= feed:
            raise Refused("feed_too_rich", FEED_TOO_RICH)
        return steam * feed / (held - feed)
    if valve and boiler.continuous_blowdown_max_kg_h:
        opening = median([value for _at, value in valve])
        return boiler.continuous_blowdown_max_kg_h * opening / 100.0
    raise Refused("no_blowdown", NO_BLOWDOWN, missing=("feed_conductivity", "blowdown_valve"))


def _states(boiler: Boiler, begin: datetime, now: datetime) -> list[tuple[float, str]]:
    """Return the boiler's states by hour, the one at the beginning first."""
    rows = BoilerState.objects.filter(plant=boiler.plant_id, boiler=boiler, since__lte=now)
    ordered = rows.order_by("since", "recorded_at", "id").values_list("since", "state")
    every = [((since - begin) / _HOUR, state) for since, state in ordered]
    before = [state for hour, state in every if hour <= 0.0]
    return [(0.0, before[-1] if before else ""), *(each for each in every if each[0] > 0.0)]


@dataclass(frozen=True)
class _Base:
    """How the boiler is usually run, kg/h, and the water that this holds."""

    steam: float
    blowdown: float
    usual: Mapping[str, float]
    states: Sequence[tuple[float, str]]


def _settings(base: _Base, changes: Sequence[tuple[float, str, float]]) -> Iterator[Setting]:
    """Yield a setting for each hour at which a flow or the state changes."""
    ratio = base.blowdown / (base.steam + base.blowdown)
    fed = {key: held * ratio for key, held in base.usual.items() if key not in DOSED}
    pumped = {key: held * base.blowdown for key, held in base.usual.items() if key in DOSED}
    flows, state = {"steam": base.steam, "blowdown": base.blowdown, "raised": 0.0}, ""
    moments: dict[float, list[tuple[str, float | str]]] = {}
    for at, held in base.states:
        moments.setdefault(at, []).append(("state", held))
    for at, what, value in changes:
        moments.setdefault(at, []).append((what, value))
    for at in sorted(moments):
        for what, found in moments[at]:
            if isinstance(found, str):
                state = found
            else:
                flows[what] = found
        blown = flows["raised"] or flows["blowdown"]
        yield Setting(at, flows["steam"], blown, fed, pumped, state=state)


def _actions(boiler: Boiler, begin: datetime, now: datetime) -> list[Action]:
    """Return what was done in the span that changes a boiler's water, the oldest first."""
    found = Action.objects.filter(
        plant=boiler.plant_id,
        boiler=boiler,
        kind__in=("blowdown", "dose", "feed_set", "valve_set"),
        done_at__range=(begin, now),
    )
    return list(found.select_related("remedy__result").order_by("done_at", "id"))


_Change = tuple[float, str, float]


def _read(action: Action, mass_kg: float, begin: datetime) -> Dose | list[_Change] | None:
    """Return what was done in figures: the advice that was followed says them; None where it or the
    amount does not."""
    remedy, at = action.remedy, (action.done_at - begin) / _HOUR
    if remedy is None or remedy.refusal:
        return None
    plan = json.loads(remedy.plan)
    if action.kind == "dose" and "dose_kg" in plan and "predicted" in plan:
        given = kilograms(action.amount)
        if given is None:
            return None
        rise = float(plan["predicted"]) - float(remedy.result.value)
        amount = rise * mass_kg * given / float(plan["dose_kg"])
        return Dose(at, {remedy.result.analyte: amount})
    if action.kind == "blowdown" and "hours" in plan and "raise_to_kg_h" in plan:
        raised, hours = float(plan["raise_to_kg_h"]), float(plan["hours"])
        at += AFTER_H
        return [(at, "raised", raised), (at + hours, "raised", 0.0)]
    return None


def kilograms(amount: str) -> float | None:
    """Return the mass that an amount begins with, kg; None where it begins with none.

    >>> kilograms("0.50 kg of trisodium phosphate"), kilograms("two scoops")
    (0.5, None)
    """
    found = _AMOUNT.match(amount)
    if found is None:
        return None
    return units.convert(float(found[1].replace(",", ".")), found[2], "kg")


def _set_at(settings: Sequence[Setting], changes: Dose | list[_Change] | None) -> Setting | None:
    """Return the setting with which a change of flow begins."""
    if not isinstance(changes, list):
        return None
    return next((each for each in settings if each.at_h == changes[0][0]), None)


def _shows(read: Dose | list[_Change] | None) -> float:
    """Return the hour from which the water can show what was done."""
    return read[-1][0] if isinstance(read, list) else (read.at_h + MIXES_H if read else 0.0)
