"""Start Waterside: bring the store up to date, load the demo where asked, then serve."""

import gc
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from django.utils.module_loading import import_string
from gunicorn.app.base import BaseApplication

from records import guards
from records.demo import company, demo_load, demo_load_apart, holds_demo, plants
from records.services.first_start import code_for_console, is_open

TO_TRY = """\
  1. On the sign-in page press “Be the bench terminal” of the board mill, pick Wren, and test
     boiler 1. Type 1420: it is high. Draw again as it asks you to, type 1430, then work the
     blowdown out and record what you did.
  2. Hand the sheet in with Wren's PIN. Then sign in as magda and sign it.
  3. Sign in as odile, who sees the mill, the hospital and the dairy on one page, and give the
     mill's boiler 2 a limit: lay a set beside its program.
"""


class Command(BaseCommand):
    help = "Bring the store up to date and serve it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", default=os.environ.get("PORT", "8000"))
        parser.add_argument("--host", default="127.0.0.1")

    def handle(self, *args: Any, **options: Any) -> None:
        address = f"http://{options['host']}:{options['port']}/"
        self._bring_up_to_date()
        self._keep_apart()
        if settings.DEMO:
            self._demo(address)
        else:
            self._real(address)
        self.stdout.flush()
        self._serve(f"{options['host']}:{options['port']}")

    def _bring_up_to_date(self) -> None:
        """Migrate where a migration waits; asking costs a tenth of migrating."""
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            # Each step's models point at one another; to look for those let go of costs more than
            # to let go of all in the end.
            gc.disable()
            try:
                call_command("migrate", verbosity=0)
            finally:
                gc.enable()
        if guards.missing(connection):
            guards.lay(connection)

    def _keep_apart(self) -> None:
        """Refuse to serve invented people as real ones, or real records as a demo."""
        if holds_demo() and not settings.DEMO:
            raise CommandError(
                "This store holds the demo, whose passwords are no secret. Nothing was started. "
                "Name another folder in WATERSIDE_DATA (or another database in DATABASE_URL)."
            )
        if settings.DEMO and not is_open() and not holds_demo():
            raise CommandError(
                "This store holds records of a real plant. Nothing was started. The demo needs a "
                "folder of its own in WATERSIDE_DATA, and no DATABASE_URL."
            )

    def _demo(self, address: str) -> None:
        told = company()
        if is_open():
            self._say(f"Working out {told['days']} days of three invented plants ...")
            load = demo_load_apart if connection.vendor == "sqlite" else demo_load
            load(say=self._say)
        self.stdout.write(f"\nWaterside's demo is at  {address}\n")
        self.stdout.write("Every plant, person and company in it is invented.\n\n")
        self.stdout.write(f"Sign in by name (all with the password “{told['password']}”), or be a")
        self.stdout.write("plant's bench terminal and pick a name there (with its PIN):")
        self.stdout.write(f"\n  All plants of {told['organization']}")
        self._people(told["people"])
        for plant in plants().values():
            self.stdout.write(f"\n  {plant['name']}: {plant['kind']}")
            self._people(plant["people"])
        self.stdout.write(
            f"\nThree things to try:\n{TO_TRY}\nStop with Ctrl+C. Data lies in "
            f"{_short(settings.DATA_DIR)}; delete that folder to begin anew.\n"
        )

    def _say(self, told: str) -> None:
        self.stdout.write(told)
        self.stdout.flush()

    def _people(self, people: Sequence[Mapping[str, Any]]) -> None:
        for person in people:
            way = f"sign in as {person['username']}" if person.get("signs_in") else ""
            pin = f"PIN {person['pin']}" if person.get("pin") else ""
            ways = " or ".join(filter(None, [way, pin]))
            self.stdout.write(f"    {person['name']:22} {person['roles'][0]:14} {ways}")

    def _real(self, address: str) -> None:
        self.stdout.write(f"\nWaterside is at  {address}\n")
        self.stdout.write(f"Data lies in {_short(settings.DATA_DIR)}{_elsewhere()}.\n")
        self.stdout.write("Back it up with  manage.py backup FILE  (see Help, Keeping it safe).\n")
        if is_open():
            self.stdout.write(
                f"Nobody has an account yet. Open {address}setup and enter this one-time code:\n"
                f"\n    {code_for_console()}\n"
            )

    def _serve(self, bind: str) -> None:
        """Become the web server: what this process has imported, its workers need not again."""
        _let_go(connection)
        gc.freeze()  # so that the workers go on sharing it
        Server(bind).run()


class Server(BaseApplication):  # type: ignore[misc]
    """The web server, set up for one machine."""

    def __init__(self, bind: str) -> None:
        self._bind = bind
        super().__init__()

    def load_config(self) -> None:
        for name, value in {
            "bind": self._bind,
            "workers": 2,
            "worker_class": "gthread",
            "threads": 4,
            "loglevel": "warning",
            "preload_app": True,
        }.items():
            self.cfg.set(name, value)

    def load(self) -> Any:
        return import_string(settings.WSGI_APPLICATION)


def _let_go(connection: BaseDatabaseWrapper) -> None:
    """Leave nothing of the store open: neither a connection nor the threads of a pool outlive the
    fork into workers."""
    connection.close()
    if hasattr(connection, "close_pool"):  # PostgreSQL
        connection.close_pool()


def _elsewhere() -> str:
    """Say where the store is, unless it lies in the data folder too."""
    if connection.vendor != "postgresql":
        return ""
    return f" and in the PostgreSQL database {connection.settings_dict['NAME']}"


def _short(path: Path) -> str:
    try:
        return str(path.relative_to(settings.BASE_DIR))
    except ValueError:
        return str(path)
