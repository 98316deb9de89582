"""The names under which a bench sheet's fields travel, and reading them back."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext_noop

from chemistry import methods
from chemistry.methods.base import Field, InstrumentRole, Method
from dashboards import words
from records import clock
from records.errors import RecordError
from records.models import Plant, SamplePoint
from records.selectors.bench import TestEntry
from records.selectors.habits import Habit, Habits
from records.selectors.instruments import Shelf, Standing, shelf_of, standing
from records.shifts import drawn_from_local, from_local, local

DRAWN_AT = "drawn_at"
NOT_A_DRAW = gettext_noop("Give the date and time at which the sample was drawn.")
NOT_A_TIME = gettext_noop("Give a date and time here.")


@dataclass(frozen=True)
class Names:
    """The form names of one method's fields."""

    method: str

    @property
    def mode(self) -> str:
        return f"{self.method}:mode"

    @property
    def shown(self) -> str:
        """The mode whose fields the page shows: another one sent beside it asks for new fields."""
        return f"{self.method}:shown"

    @property
    def confirm(self) -> str:
        return f"{self.method}:confirm"

    def field(self, key: str) -> str:
        return f"{self.method}.{key}"

    def unit(self, key: str) -> str:
        return f"{self.method}.{key}.unit"

    def instrument(self, role: str) -> str:
        return f"{self.method}@{role}"

    def reason(self, role: str) -> str:
        return f"{self.method}@{role}.reason"

    def field_id(self, key: str) -> str:
        return f"{self.method}-{key}"

    def instrument_id(self, role: str) -> str:
        return f"{self.method}-with-{role}"

    def reason_id(self, role: str) -> str:
        return f"{self.method}-why-{role}"

    def id_of_trouble(self, key: str) -> str:
        """Return the id of the field that a key of `WorkedTest.errors` belongs to."""
        if key.startswith("instrument-"):
            return self.instrument_id(key.removeprefix("instrument-"))
        if key.startswith("reason-"):
            return self.reason_id(key.removeprefix("reason-"))
        return self.field_id(key)


def names_of(method: Method) -> list[str]:
    """Return every form name of a method."""
    names = Names(method.key)
    keys = dict.fromkeys(field.key for mode in method.modes for field in mode.fields)
    roles = [role.key for role in method.means]
    return [
        names.mode,
        names.confirm,
        *(names.field(key) for key in keys),
        *(names.unit(key) for key in keys),
        *(names.instrument(role) for role in roles),
        *(names.reason(role) for role in roles),
    ]


def typed_in(post: Mapping[str, str], used: list[Method]) -> dict[str, str]:
    """Return what a form sent, by the names that this sheet knows; anything else is not ours.

    The units of a mode that was just left are not those of the new one: they are chosen anew.
    """
    known = [DRAWN_AT, *(name for method in used for name in names_of(method))]
    left: set[str] = set()
    for method in used:
        names = Names(method.key)
        if post.get(names.shown, post.get(names.mode)) != post.get(names.mode):
            left |= {names.unit(f.key) for mode in method.modes for f in mode.fields}
    return {name: post[name] for name in known if name in post and name not in left}


def with_defaults(
    point: SamplePoint,
    used: list[Method],
    typed: Mapping[str, str],
    shelf: Shelf | None = None,
    habits: Habits | None = None,
) -> dict[str, str]:
    """Return what is typed, with modes, units, instruments, lots and what is carried over
    preselected where nothing is."""
    filled = dict(typed)
    habits = habits or Habits(point, [method.key for method in used])
    shelf = shelf or shelf_of(point.plant)
    for method in used:
        if _all_told(method, typed, shelf):
            continue
        habit = habits.of(method.key) or Habit()
        for name, value in _defaults(point, method, typed, habit, shelf).items():
            filled.setdefault(name, value)
    return filled


def _all_told(method: Method, typed: Mapping[str, str], shelf: Shelf) -> bool:
    """Say whether a form has sent everything that it asks of a test, so that nothing is left to
    preselect."""
    names = Names(method.key)
    mode = next((m for m in method.modes if m.key == typed.get(names.mode, "")), None)
    if mode is None:
        return False
    asked = [names.field(field.key) for each in method.modes for field in each.fields]
    asked += [names.unit(field.key) for field in mode.fields if len(field.units) > 1]
    asked += [names.instrument(role.key) for role in method.means if shelf.offered(role)]
    return all(name in typed for name in asked)


def _defaults(
    point: SamplePoint, method: Method, typed: Mapping[str, str], habit: Habit, shelf: Shelf
) -> dict[str, str]:
    names = Names(method.key)
    modes = {mode.key: mode for mode in method.modes}
    usual = habit.mode if habit.mode in modes else method.modes[0].key
    chosen = {names.mode: usual}
    mode = typed.get(names.mode, usual)
    # One name may stand for another quantity in another mode: units are those of the present one.
    for field in modes.get(mode, method.modes[0]).fields:
        if field.units:
            wanted = words.plant_unit(point.plant, field.unit)
            unit = wanted if wanted in field.units else field.units[0]
            chosen[names.unit(field.key)] = unit
        if field.carried and habit.mode == mode and field.carried in habit.readings:
            kept = habit.readings[field.carried]
            chosen[names.field(field.key)] = kept.text
            if kept.unit:
                chosen[names.unit(field.key)] = kept.unit
    return {**_shared_defaults(method), **chosen, **_preselected(point.plant, method, habit, shelf)}


def _shared_defaults(method: Method) -> dict[str, str]:
    """Return the defaults that hold in every mode; a field has one name in all of them."""
    by_field: dict[str, set[str]] = {}
    for mode in method.modes:
        for field in mode.fields:
            by_field.setdefault(field.key, set()).add(field.default)
    names = Names(method.key)
    return {names.field(key): each.pop() for key, each in by_field.items() if len(each) == 1}


def _preselected(plant: Plant, method: Method, habit: Habit, shelf: Shelf) -> dict[str, str]:
    """Return what is offered first: last time's while in order, else the first instrument that is.

    A lot is never guessed: which bottle stands at the bench, only its label says.
    """
    today = local(plant, clock.now()).date()
    names, chosen = Names(method.key), {}
    for role in method.means:
        offered = shelf.offered(role)
        fit = [str(each.pk) for each in offered if standing(each, today) is Standing.IN_ORDER]
        last = habit.instruments.get(role.key, "")
        first = fit[0] if fit and isinstance(role, InstrumentRole) else ""
        chosen[names.instrument(role.key)] = last if last in fit else first
    return chosen


def entry_of(method: Method, typed: Mapping[str, str]) -> TestEntry:
    """Return one test of a sheet from its flat names; only the present mode's fields count."""
    names = Names(method.key)
    mode = typed.get(names.mode, method.modes[0].key)
    known = {each.key: each for each in method.modes}
    keys = [field.key for field in known[mode].fields] if mode in known else []
    roles = [role.key for role in method.means]
    return TestEntry(
        method=method.key,
        version=method.version,
        mode=mode,
        typed={key: typed.get(names.field(key), "") for key in keys},
        units={key: typed[names.unit(key)] for key in keys if names.unit(key) in typed},
        instruments={role: typed.get(names.instrument(role), "") for role in roles},
        confirmed=typed.get(names.confirm, ""),
        reasons={role: typed.get(names.reason(role), "") for role in roles},
    )


def stands(field: Field) -> bool:
    """Say whether a field holds what seldom changes: its own last value, or a figure by default.

    A register's start is last time's end: a reading like any other.
    """
    return field.carried == field.key or bool(field.default and not field.choices)


def touched(method: Method, typed: Mapping[str, str]) -> bool:
    """Say whether anything was entered for a test beyond what stood there by itself.

    What may have been carried over from the last time tells nothing.
    """
    names, entry = Names(method.key), entry_of(method, typed)
    known = {each.key: each for each in method.modes}
    fields = known[entry.mode].fields if entry.mode in known else ()
    return any(
        typed.get(names.field(field.key), "").strip() not in ("", field.default)
        for field in fields
        if not field.carried
    )


def tests_of(used: list[Method], typed: Mapping[str, str]) -> tuple[TestEntry, ...]:
    """Return the tests of a sheet; of several, those on which nothing was entered are left out."""
    begun = [method for method in used if touched(method, typed)]
    return tuple(entry_of(method, typed) for method in begun or used)


def drawn_at_of(plant: Plant, typed: Mapping[str, str]) -> datetime:
    """Return the instant of the draw; raises RecordError where it can't be read."""
    wall = _wall(typed.get(DRAWN_AT, ""), DRAWN_AT, NOT_A_DRAW)
    return drawn_from_local(plant, wall, clock.now())


def instant_of(plant: Plant, text: str, *, field: str) -> datetime:
    """Return the instant of a date-and-time field on the plant's clock."""
    return from_local(plant, _wall(text, field, NOT_A_TIME))


def _wall(text: str, field: str, sentence: str) -> datetime:
    """Return a time as a clock on the wall shows it; a year at the calendar's edge is no time."""
    try:
        wall = datetime.fromisoformat(text.strip()).replace(tzinfo=None)
    except ValueError as error:
        raise RecordError("not_a_time", sentence, field=field) from error
    if not 1970 <= wall.year <= 2200:
        raise RecordError("not_a_time", sentence, field=field)
    return wall


def methods_of(versions: Mapping[str, str]) -> list[Method]:
    """Return the methods of a draft, each in the version with which it was opened."""
    return [methods.get(key, version) for key, version in versions.items()]
