"""Working the demo's plants out side by side: a store and a process for each, gathered in the end.

A SQLite store takes one writer at a time, and a plant's rows have keys that no other plant's can
have. So each plant lives its days in a copy of the store, and the copies are brought together.
"""

import gc
import multiprocessing
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db import connection, models, transaction

from records.models import Plant

# By so much a plant's process gives way to the one before it: a third of its share of a core.
_NICER = 5


@contextmanager
def workshop() -> Iterator["Workshop"]:
    """Open a folder for the copies beside the store; it is gone in the end."""
    store = Path(connection.settings_dict["NAME"])
    with TemporaryDirectory(dir=store.parent, prefix="working-") as folder:
        yield Workshop(Path(folder))


@dataclass
class Workshop:
    """The copies of an empty store in which the plants are worked out."""

    _folder: Path
    _plants: list[UUID] = field(default_factory=list)

    @contextmanager
    def first(self) -> Iterator[None]:
        """Work in the copy that all plants begin with."""
        _copy(self._first)
        with _connected_to(self._first):
            yield

    def work(self, lives: Mapping[UUID, Callable[[], None]]) -> None:
        """Carry out each plant's life in a process and a store of its own.

        Where there are more plants than cores, the earlier plant comes first: begin with the
        longest, or a core stands idle while it ends.
        """
        self._plants = list(lives)
        with _connected_to(self._first):
            for plant in lives:
                _copy(self._store(plant))
        fork = multiprocessing.get_context("fork")  # Python and the figures are there at once
        begun = [
            fork.Process(target=_live, args=(self._store(plant), life, place), daemon=True)
            for place, (plant, life) in enumerate(lives.items())
        ]
        for process in begun:
            process.start()
        for process in begun:
            process.join()
        if any(process.exitcode for process in begun):
            raise ChildProcessError("a plant of the demo could not be worked out")

    def gather(self) -> None:
        """Bring all copies into the store, in one transaction."""
        stores = [self._store(plant) for plant in self._plants]
        with connection.cursor() as cursor:
            for number, store in enumerate(stores):
                cursor.execute(f"ATTACH DATABASE %s AS store{number}", [str(store)])
            with transaction.atomic():
                for model in apps.get_models(include_auto_created=True):
                    _gather(cursor, model, self._plants)
        connection.close()  # and with it what was attached

    @property
    def _first(self) -> Path:
        return self._folder / "first.sqlite3"

    def _store(self, plant: UUID) -> Path:
        return self._folder / f"{plant}.sqlite3"


def _gather(cursor: Any, model: type[models.Model], plants: list[UUID]) -> None:
    """Take a plant's rows out of its own store, and what belongs to none out of the first one."""
    meta = model._meta
    columns = ", ".join(f'"{each.column}"' for each in meta.local_concrete_fields)
    put = f'INSERT INTO main."{meta.db_table}" ({columns}) SELECT {columns} FROM'
    owner = _owner(model)
    if owner is None:
        pk = f'"{meta.pk.column}"'
        there = f'SELECT {pk} FROM main."{meta.db_table}"'
        cursor.execute(f'{put} store0."{meta.db_table}" WHERE {pk} NOT IN ({there})')
        return
    for number, plant in enumerate(plants):
        cursor.execute(f'{put} store{number}."{meta.db_table}" WHERE "{owner}" = %s', [plant.hex])


def _owner(model: type[models.Model]) -> str | None:
    """Return the column that names a row's plant; None for what belongs to no plant."""
    if model is Plant:
        return "id"
    fields = model._meta.local_concrete_fields
    return next((each.column for each in fields if each.name == "plant"), None)


def _live(store: Path, life: Callable[[], None], place: int) -> None:
    """Be a plant's process."""
    os.nice(_NICER * place)
    gc.disable()  # it is gone in a minute
    with _connected_to(store), transaction.atomic():
        life()


def _copy(to: Path) -> None:
    with connection.cursor() as cursor:
        cursor.execute("VACUUM INTO %s", [str(to)])


@contextmanager
def _connected_to(store: Path) -> Iterator[None]:
    """Have the connection open another file; between the two it is closed."""
    usual = connection.settings_dict["NAME"]
    connection.close()
    connection.settings_dict["NAME"] = str(store)
    try:
        yield
    finally:
        connection.close()
        connection.settings_dict["NAME"] = usual
