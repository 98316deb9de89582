"""Working the plants out side by side gives the store that one process gives."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import transaction

from records.demo import apart
from records.models import Organization
from tests.served import ROOT

WHOLE = """
import io
import sys
from datetime import UTC, datetime
import django
django.setup()
from django.core.management import call_command
from django.db import connection
from records import clock, demo
call_command("migrate", verbosity=0)
load = getattr(demo, sys.argv[1])
now = datetime(2026, 3, 10, 17, 40, tzinfo=UTC)
with clock.clock_at(now):
    load(now, days={"hospital": 2, "dairy": 3})
call_command("verify_ledger", stdout=io.StringIO())
with connection.cursor() as cursor:
    tables = sorted(set(connection.introspection.table_names()) - {"django_migrations"})
    for table in tables:
        cursor.execute(f'SELECT count(*) FROM "{table}"')
        print(table, cursor.fetchone()[0])
    cursor.execute(
        "SELECT p.name, s.drawn_at, m.method, r.field, r.typed FROM records_reading r "
        "JOIN records_measurement m ON m.id = r.measurement_id "
        "JOIN records_sample s ON s.id = m.sample_id JOIN records_plant p ON p.id = s.plant_id "
        "ORDER BY 1, 2, 3, 4, 5"
    )
    for row in cursor.fetchall():
        print(*row)
"""


def told_by(load: str, folder: Path) -> list[str]:
    """Return what a store holds that was loaded in one way, in a process of its own."""
    env = {k: v for k, v in os.environ.items() if k != "DATABASE_URL"}
    env |= {"DJANGO_SETTINGS_MODULE": "config.settings", "WATERSIDE_DEMO": "1"}
    env["WATERSIDE_DATA"] = str(folder)
    run = [sys.executable, "-c", WHOLE, load]
    done = subprocess.run(run, cwd=ROOT, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


def test_it_gives_the_same_rows_as_one_process(tmp_path: Path) -> None:
    alone, beside = (told_by(each, tmp_path / each) for each in ("demo_load", "demo_load_apart"))
    readings = [line for line in alone if "Hospital" in line or "Dairy" in line]
    assert len(readings) > 100
    assert beside == alone
    assert not list((tmp_path / "demo_load_apart").glob("working-*"))


@pytest.mark.django_db(transaction=True)
def test_a_plant_that_fails_leaves_nothing_in_the_store(
    capfd: pytest.CaptureFixture[str],
) -> None:
    def breaks() -> None:
        raise ValueError("the drum ran dry")

    with pytest.raises(ChildProcessError), apart.workshop() as shop:
        with shop.first(), transaction.atomic():
            Organization.objects.create(name="Nobody")
        shop.work({Organization().pk: breaks})
    assert "the drum ran dry" in capfd.readouterr().err
    assert not Organization.objects.exists()
