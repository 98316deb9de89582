"""Load the invented demo plant: three weeks of rounds from a mass balance of each drum.

Everything goes in by the services that people use, under a clock set back. What is planted when
stands in fixtures/demo/README.md; the figures in fixtures/demo/plant.toml.
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import transaction
from django_scopes import scope

from records import clock
from records.actors import Actor, Proof
from records.demo_days import Days
from records.models import Boiler, Organization, Plant, Program, Role, SampleKind, SamplePoint, User
from records.selectors.event_draws import EventEntry
from records.services.people import NewPerson, people_add, roles_give, terminal_enroll
from records.services.plants import NewPlant, boiler_add, instrument_add, plant_create, point_add
from records.services.programs import LimitEntry, ScheduleEntry, version_put_in_force
from records.shifts import from_local, local

BOILER_HOURS = "FREQ=DAILY;BYHOUR=2,6,10,14,18,22;BYMINUTE=0;BYSECOND=0"
FEED_HOURS = "FREQ=DAILY;BYHOUR=6,14,22;BYMINUTE=0;BYSECOND=0"
_FIGURES = (
    "kind", "superheater", "rated_psig", "working_psig", "steam_kg_h", "water_mass_kg",
    "continuous_blowdown_max_kg_h", "bottom_blow_kg", "treatment",
)  # fmt: skip


def holds_demo() -> bool:
    """Say whether the store holds the invented company, whose passwords anybody can read."""
    told = tomllib.loads((settings.FIXTURES / "demo" / "plant.toml").read_text("utf-8"))
    return Organization.objects.filter(name=told["organization"]).exists()


def demo_load(now: datetime | None = None) -> Plant:
    """Create the demo plant as it stands at `now`, its three weeks behind it. Runs once."""
    told = tomllib.loads((settings.FIXTURES / "demo" / "plant.toml").read_text("utf-8"))
    end = now or clock.now()
    with transaction.atomic():
        begin = end - timedelta(days=told["days"])
        with clock.clock_at(begin):
            plant = plant_create(
                NewPlant(
                    organization=told["organization"],
                    name=told["name"],
                    timezone=told["timezone"],
                    units=told["units"],
                    whom_to_call=told["whom_to_call"],
                )
            )
        begin = _midnight(plant, begin)
        with scope(plant=plant), clock.clock_at(begin):
            setting = _Setting(plant, told, begin)
            setting.lay()
        with scope(plant=plant):
            Days(setting.plant, told, setting.actors, begin, end).live()
    return plant


def _midnight(plant: Plant, instant: datetime) -> datetime:
    here = local(plant, instant).replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=None)
    return from_local(plant, here)


class _Setting:
    """The plant before its first round: people, boilers, points, instruments, programs."""

    def __init__(self, plant: Plant, told: dict[str, Any], begin: datetime) -> None:
        self.plant, self._told, self._begin = plant, told, begin
        self.actors: dict[str, Actor] = {}

    def lay(self) -> None:
        owner = self._administrator()
        for person in self._told["people"]:
            self._person(owner, person)
        for figures in self._told["boilers"]:
            boiler_add(
                actor=owner,
                name=figures["name"],
                **{key: figures[key] for key in _FIGURES if key in figures},
            )
        point_add(actor=owner, name="Feedwater, deaerator outlet", kind=SampleKind.FEEDWATER)
        point_add(actor=owner, name="Condensate return", kind=SampleKind.CONDENSATE)
        for each in self._told["instruments"]:
            due = (clock.now() + timedelta(days=self._told["days"] + each["check_in_days"])).date()
            instrument_add(
                actor=owner,
                kind=each["kind"],
                name=each["name"],
                serial=each["serial"],
                check_due_on=due,
            )
        self._programs()
        terminal, token = terminal_enroll(actor=owner, name=self._told["terminal"])
        for name, actor in self.actors.items():
            if Role.TESTER in actor.roles:
                self.actors[name] = replace(actor, terminal=terminal)
        path = Path(settings.DATA_DIR) / "demo-terminal-token"
        path.write_text(token)
        path.chmod(0o600)

    def _administrator(self) -> Actor:
        told = next(p for p in self._told["people"] if "administrator" in p["roles"])
        user = User(username=told["username"], name=told["name"], is_administrator=True)
        user.set_password(self._told["password"])
        user.save()
        actor = Actor(user=user, plant=self.plant, roles=frozenset({Role.ADMINISTRATOR}))
        roles_give(actor, user, (Role.ADMINISTRATOR,))
        every = Actor(user=user, plant=self.plant, roles=frozenset(Role))
        self.actors[told["username"]] = actor
        return every

    def _person(self, owner: Actor, told: dict[str, Any]) -> None:
        if told["username"] in self.actors:
            return
        roles = tuple(Role(role) for role in told["roles"])
        password = self._told["password"] if told.get("signs_in") else ""
        new = NewPerson(
            username=told["username"],
            name=told["name"],
            roles=roles,
            password=password,
            pin=told.get("pin", ""),
        )
        user = people_add(actor=owner, people=[new])[0]
        self.actors[told["username"]] = Actor(
            user=user, plant=self.plant, roles=frozenset(roles), proof=Proof.PASSWORD
        )

    def _programs(self) -> None:
        chemist = self.actors["odile"]
        for told in self._told["boilers"]:
            boiler = Boiler.objects.get(plant=self.plant, name=told["name"])
            point = SamplePoint.objects.get(plant=self.plant, boiler=boiler)
            limit = LimitEntry(
                point=point,
                state="steaming",
                analyte="conductivity",
                basis="25C|not_neutralized|",
                unit="umho/cm",
                **told["limit"],
            )
            program = Program.objects.get(plant=self.plant, boiler=boiler)
            self._put(chemist, program, {point: BOILER_HOURS}, "boiler_draws", [limit])
        shared = SamplePoint.objects.filter(plant=self.plant, boiler=None)
        program = Program.objects.get(plant=self.plant, boiler=None)
        self._put(chemist, program, dict.fromkeys(shared, FEED_HOURS), "shared_draws")

    def _put(
        self,
        chemist: Actor,
        program: Program,
        hours: Mapping[SamplePoint, str],
        draws: str,
        limits: Sequence[LimitEntry] = (),
    ) -> None:
        schedule = [
            ScheduleEntry(point=point, state="steaming", method="conductivity", recurrence=at)
            for point, at in hours.items()
        ]
        version_put_in_force(
            actor=chemist,
            program=program,
            in_force_from=self._begin,
            limits=limits,
            schedule=schedule,
            # At the last of the points: the condensate, of the shared ones.
            events=[self._event(list(hours)[-1], told) for told in self._told[draws]],
            key=f"demo-{program.pk}",
            note="First version",
        )

    def _event(self, point: SamplePoint, told: dict[str, Any]) -> EventEntry:
        """Return a draw that an event asks for; a result is watched where that draw is made."""
        watched = point if told["event"] == "result_above" else None
        return EventEntry(point=point, watched_point=watched, **told)
