"""Load the invented demo: three plants with 120 days of rounds from a mass balance of each drum.

Everything goes in by the services that people use, under a clock set back. The figures, and what
is planted when, stand in fixtures/demo: a file for each plant, and README.md beside them.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta
from functools import partial

import numpy as np
from django.db import transaction
from django_scopes import scope

from records import clock
from records.demo import apart
from records.demo.life import Life, Say
from records.demo.people import People
from records.demo.scene import Scene
from records.demo.setting import (
    cards_lay,
    equipment_lay,
    plant_lay,
    programs_lay,
    terminal_lay,
    token_file,
)
from records.demo.told import Told, company, plants
from records.models import Organization, Plant
from records.shifts import from_local, local, shifts_of

__all__ = ["company", "demo_load", "demo_load_apart", "holds_demo", "plants", "token_file"]


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
    with transaction.atomic():
        scenes = _scenes(now or clock.now(), days)
        for scene in scenes.values():
            _live(scene, say)
    return {key: scene.plant for key, scene in scenes.items()}


def demo_load_apart(
    now: datetime | None = None,
    *,
    days: int | Mapping[str, int] | None = None,
    say: Say = _silent,
) -> None:
    """Do the same with a process for each plant, in SQLite: sooner where there are cores.

    Nothing of it is in the store before all of it is. Raises `ChildProcessError` when a plant
    could not be worked out.
    """
    with apart.workshop() as shop:
        with shop.first(), transaction.atomic():
            scenes = _scenes(now or clock.now(), days)
        shop.work({scene.plant.pk: partial(_live, scene, say) for scene in scenes.values()})
        shop.gather()


def _scenes(end: datetime, days: int | Mapping[str, int] | None) -> dict[str, Scene]:
    """Lay every plant as it was before its first round."""
    people = People()
    every = dict.fromkeys(plants(), days if isinstance(days, int) else company()["days"])
    wanted = days if isinstance(days, Mapping) else every
    return {
        key: _scene(key, told, people, end, wanted[key])
        for key, told in plants().items()
        if key in wanted
    }


def _scene(key: str, told: Told, people: People, end: datetime, days: int) -> Scene:
    with clock.clock_at(end - timedelta(days=days)):
        plant = plant_lay(told)
    begin = _midnight(plant, end - timedelta(days=days))
    with scope(plant=plant):
        with clock.clock_at(begin):
            owner, actors = people.at(plant, told)
            points = equipment_lay(owner, told, end)
            cards_lay(actors["odile"], told, end)
            programs_lay(actors["odile"], told, points)
            terminal_lay(owner, key, told, actors)
        for point in points.values():
            point.plant = plant  # read once, for all draws there
        return Scene(
            plant=plant,
            told=told,
            actors=actors,
            points=points,
            shifts=shifts_of(plant),
            begin=begin,
            end=end,
            dice=np.random.default_rng(told["seed"]),
        )


def _live(scene: Scene, say: Say) -> None:
    say(f"{scene.told['name']}: {scene.told['kind']}")
    with scope(plant=scene.plant):
        Life(scene, say).live()


def _midnight(plant: Plant, instant: datetime) -> datetime:
    here = local(plant, instant).replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=None)
    return from_local(plant, here)
