"""Make the store of a release, by the services that people use."""

from pathlib import Path
from typing import Any

from django.apps import apps
from django.core.management import call_command
from django.db import connection
from django_scopes import scope, scopes_disabled

from records import clock
from records.demo import demo_load
from records.selectors.ledger import heads
from records.services.drafts import draft_open
from tests import factories
from tests.kept import FILE, KeptStore, migrations
from tests.records import story

DAYS = {"mill": 14}
"""As many as hold most of what is planted there."""


def make(version: str, folder: Path) -> None:
    """Make a store in a data folder that the settings name, and keep it."""
    call_command("migrate", verbosity=0)
    demo_load(factories.NOON, days=DAYS)
    with clock.clock_at(factories.NOON):
        works = factories.works()
        with scope(plant=works.plant):
            story.shift(works)
            draft_open(actor=works.tester, point=works.point, method_keys=["conductivity"])
    told = {"heads": [str(head) for head in heads()], "rows": _rows(), "migrations": migrations()}
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")
    connection.close()
    KeptStore(version).keep(folder / FILE, told)


def _rows() -> dict[str, Any]:
    """Return how many rows each table of ours holds."""
    with scopes_disabled():
        return {
            model._meta.db_table: model._base_manager.count()
            for model in apps.get_app_config("records").get_models()
        }
