"""Check that what was signed is what is stored, and keep the ledger's heads elsewhere."""

from argparse import ArgumentParser
from itertools import islice
from pathlib import Path
from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError
from django_scopes import scope

from records.models import Plant
from records.selectors.ledger import Head, head_of, mismatches, not_grown_from


class Command(BaseCommand):
    help = (
        "Verify each plant's ledger: prints its head and the first thing that does not match. "
        "Exit code 1 where anything does not match."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--plant", help="id of one plant; without it, all are verified")
        parser.add_argument("--heads", metavar="FILE", help="write the heads there, to be kept")
        parser.add_argument(
            "--against", metavar="FILE", help="heads kept earlier: shows a chain cut since"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        plants = _plants(options["plant"])
        kept = _kept(options["against"])
        if not options["plant"]:
            gone = sorted({head.plant for head in kept} - {str(plant.pk) for plant in plants})
            for key in gone:
                self.stdout.write(f"{key}: the plant is gone")
        else:
            gone = []
        bad = [self._verify(plant, kept) for plant in plants]
        if options["heads"]:
            self._write_heads(plants, Path(options["heads"]))
        if any(bad) or gone:
            raise CommandError("The ledger does not match what is stored.", returncode=1)

    def _verify(self, plant: Plant, kept: list[Head]) -> bool:
        """Print what is found at a plant; return whether anything does not match."""
        with scope(plant=plant):
            self.stdout.write(f"{plant.name}: {head_of(plant)}")
            cuts = [not_grown_from(plant, head) for head in kept if head.plant == str(plant.pk)]
            found = [*filter(None, cuts), *mismatches(plant)]
        for first in islice(found, 1):
            self.stdout.write(f"  {first}")
        if len(found) > 1:
            self.stdout.write(f"  and {len(found) - 1} more")
        return bool(found)

    def _write_heads(self, plants: list[Plant], path: Path) -> None:
        lines = []
        for plant in plants:
            with scope(plant=plant):
                lines.append(f"{head_of(plant)}\n")
        path.write_text("".join(lines))
        self.stdout.write(f"Heads written to {path}.")


def _plants(key: str | None) -> list[Plant]:
    if key is None:
        return list(Plant.objects.order_by("name"))
    try:
        return [Plant.objects.get(pk=UUID(key))]
    except (ValueError, Plant.DoesNotExist) as error:
        raise CommandError(f"There is no plant with the id {key}.", returncode=2) from error


def _kept(path: str | None) -> list[Head]:
    if path is None:
        return []
    try:
        lines = Path(path).read_text().splitlines()
        return [Head.parse(line) for line in lines if line.strip()]
    except (OSError, ValueError) as error:
        raise CommandError(f"{path} holds no heads: {error}", returncode=2) from error
