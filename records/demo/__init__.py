"""Load the invented demo: three plants with 120 days of rounds from a mass balance of each drum.

Everything goes in by the services that people use, under a clock set back. The figures, and what
is planted when, stand in fixtures/demo: a file for each plant, and README.md beside them.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta

import numpy as np
from django.db import transaction
from django_scopes import scope

from records import clock
from records.demo.life import Life, Say
from records.demo.people import People
from records.demo.scene import Scene
from records.demo.setting import (
    equipment_lay,
    plant_lay,
    programs_lay,
    terminal_lay,
    token_file,
)
from records.demo.told import Told, company, plants
from records.models import Organization, Plant
from records.shifts import from_local, local, shifts_of

__all__ = ["company", "demo_load", "holds_demo", "plants", "token_file"]


def holds_demo() -> bool:
    """Say whether the store holds the invented company, whose passwords anybody can read."""
    return Organization.objects.filter(name=company()["organization"]).exists()


def _silent(_told: str) -> None:
    pass


def demo_load(
    now: datetime | None = None,
    *,
    days: int | Mapping[str, int] | None = None,
    say: Say = _silent,
) -> dict[str, Plant]:
    """Create the demo's plants as they stand at `now`, their days behind them. Runs once.

    Fewer `days`, for all plants or for those named by their key alone, are for tests. `say` is told
    how far it has come. Returns the plants by key.
    """
    end = now or clock.now()
    people = People()
    loaded: dict[str, Plant] = {}
    every = dict.fromkeys(plants(), days if isinstance(days, int) else company()["days"])
    wanted = days if isinstance(days, Mapping) else every
    with transaction.atomic():
        for key, told in plants().items():
            if key in wanted:
                say(f"{told['name']}: {told['kind']}")
                loaded[key] = _plant(key, told, people, end, wanted[key], say)
    return loaded


def _plant(key: str, told: Told, people: People, end: datetime, days: int, say: Say) -> Plant:
    with clock.clock_at(end - timedelta(days=days)):
        plant = plant_lay(told)
    begin = _midnight(plant, end - timedelta(days=days))
    with scope(plant=plant):
        with clock.clock_at(begin):
            owner, actors = people.at(plant, told)
            points = equipment_lay(owner, told, end)
            programs_lay(actors["odile"], told, points)
            terminal_lay(owner, key, told, actors)
        for point in points.values():
            point.plant = plant  # read once, for all draws there
        scene = Scene(
            plant=plant,
            told=told,
            actors=actors,
            points=points,
            shifts=shifts_of(plant),
            begin=begin,
            end=end,
            dice=np.random.default_rng(told["seed"]),
        )
        Life(scene, say).live()
    return plant


def _midnight(plant: Plant, instant: datetime) -> datetime:
    here = local(plant, instant).replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=None)
    return from_local(plant, here)
