"""A demo plant before its first round: boilers, points, instruments, lots, programs, terminal."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings

from records import clock
from records.actors import Actor
from records.demo.told import Told, company
from records.models import Instrument, Plant, Program, Role, SampleKind, SamplePoint
from records.selectors.event_draws import EventEntry
from records.services.instruments import instrument_change
from records.services.lots import LotEntry, lot_register
from records.services.people import terminal_enroll
from records.services.plants import (
    NewPlant,
    boiler_add,
    instrument_add,
    lot_add,
    plant_create,
    point_add,
)
from records.services.programs import LimitEntry, ScheduleEntry, version_put_in_force

_FIGURES = (
    "name", "kind", "superheater", "rated_psig", "working_psig", "steam_kg_h", "water_mass_kg",
    "continuous_blowdown_max_kg_h", "bottom_blow_kg", "treatment",
)  # fmt: skip
_LIMIT = ("analyte", "basis", "unit", "source", "confidence", "low", "high", "target", "note")


def plant_lay(told: Told) -> Plant:
    """Create the plant with its shifts."""
    return plant_create(
        NewPlant(
            organization=company()["organization"],
            name=told["name"],
            timezone=told["timezone"],
            units=told["units"],
            whom_to_call=told["whom_to_call"],
            shifts=[(each["name"], each["starts"]) for each in told["shifts"]],
        )
    )


def equipment_lay(owner: Actor, told: Told, end: datetime) -> dict[str, SamplePoint]:
    """Add boilers, points, instruments and lots; returns the points by name.

    What is due or expires is counted from the demo's end.
    """
    for figures in told["boilers"]:
        boiler_add(actor=owner, **{key: figures[key] for key in _FIGURES if key in figures})
    for each in told["points"]:
        point_add(actor=owner, name=each["name"], kind=SampleKind(each["kind"]))
    for each in told["instruments"]:
        due = (end + timedelta(days=each["check_in_days"])).date()
        named = {key: each[key] for key in ("kind", "name", "serial")}
        instrument_add(actor=owner, **named, check_due_on=due)
    for each in told["lots"]:
        if "card" not in each:
            until = (end + timedelta(days=each["expires_in_days"])).date()
            named = {key: each[key] for key in ("kind", "name", "lot_number")}
            lot_add(actor=owner, **named, expires_on=until)
    points = SamplePoint.objects.filter(plant=owner.plant).select_related("boiler")
    return {point.name: point for point in points}


def cards_lay(chemist: Actor, told: Told, end: datetime) -> None:
    """Write down what is known of standards and instruments, as on their labels."""
    for each in (lot for lot in told["lots"] if "card" in lot):
        named = {key: each[key] for key in ("kind", "name", "lot_number")}
        shelf = (end + timedelta(days=each["expires_in_days"])).date().isoformat()
        entry = LotEntry(**named, figures={**each["card"], "shelf": shelf})
        lot_register(actor=chemist, entry=entry, key=f"demo-lot-{each['lot_number']}")
    rows = {row.name: row for row in Instrument.objects.filter(plant=chemist.plant)}
    for each in (instrument for instrument in told["instruments"] if "card" in instrument):
        instrument_change(
            actor=chemist,
            instrument=rows[each["name"]],
            figures=each["card"],
            why="Taken over from the instrument book",
            key=f"demo-card-{rows[each['name']].pk}",
        )


def terminal_lay(owner: Actor, key: str, told: Told, actors: dict[str, Actor]) -> None:
    """Enroll the bench terminal and set the testers before it; its token lies in a file."""
    terminal, token = terminal_enroll(actor=owner, name=told["terminal"])
    for name, actor in actors.items():
        if Role.TESTER in actor.roles:
            actors[name] = replace(actor, terminal=terminal)
    path = token_file(key)
    path.write_text(token)
    path.chmod(0o600)


def token_file(key: str) -> Path:
    """Return where the token of a demo plant's bench terminal lies."""
    return Path(settings.DATA_DIR) / f"demo-terminal-{key}"


def programs_lay(chemist: Actor, told: Told, points: Mapping[str, SamplePoint]) -> None:
    """Put the first version of each program in force."""
    for program in Program.objects.filter(plant=chemist.plant):
        own = {name: p for name, p in points.items() if p.boiler_id == program.boiler_id}
        version_put_in_force(
            actor=chemist,
            program=program,
            in_force_from=clock.now(),
            limits=limits_of(told, own),
            schedule=schedule_of(told, own),
            events=[_draw(each, own) for each in told["draws"] if each["point"] in own],
            key=f"demo-{program.pk}",
            note="First version",
        )


def limits_of(told: Told, points: Mapping[str, SamplePoint]) -> list[LimitEntry]:
    """Return the limits told for some points."""
    return [
        LimitEntry(
            point=points[each["point"]],
            state=each.get("state", "steaming"),
            **{key: each[key] for key in _LIMIT if key in each},
        )
        for each in told["limits"]
        if each["point"] in points
    ]


def schedule_of(told: Told, points: Mapping[str, SamplePoint]) -> list[ScheduleEntry]:
    """Return the schedule told for some points: the tests of one line are due together."""
    return [
        ScheduleEntry(
            point=points[each["point"]],
            state=each.get("state", "steaming"),
            method=method,
            recurrence=each["at"],
        )
        for each in told["schedule"]
        if each["point"] in points
        for method in each["methods"]
    ]


def _draw(told: Told, points: Mapping[str, SamplePoint]) -> EventEntry:
    """Return a draw that an event asks for; a result is watched where that draw is made."""
    point = points[told["point"]]
    watched = point if told["event"] == "result_above" else None
    given = {key: value for key, value in told.items() if key != "point"}
    return EventEntry(point=point, watched_point=watched, **given)
