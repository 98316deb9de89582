"""What fixtures/demo tells of the invented company and its plants."""

import tomllib
from collections.abc import Mapping
from typing import Any

from django.conf import settings

Told = Mapping[str, Any]


def company() -> Told:
    """Return what the plants have in common: the organization, the password, people of several."""
    return _read("company")


def plants() -> dict[str, Told]:
    """Return what is told of each plant, by its key, the newcomer's first."""
    return {key: _read(key) for key in company()["plants"]}


def people_of(told: Told) -> list[Told]:
    """Return a plant's people, those of several plants last."""
    return [*told["people"], *company()["people"]]


def _read(name: str) -> Told:
    return tomllib.loads((settings.FIXTURES / "demo" / f"{name}.toml").read_text("utf-8"))
