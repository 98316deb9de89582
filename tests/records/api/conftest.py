"""A program that talks to the API, and what it sends."""

import json
from types import SimpleNamespace
from typing import Any
from uuid import uuid4

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from django_scopes import scope

from records.models import Plant, User
from records.services.tokens import NewToken, token_issue
from tests import factories

JSON = "application/json"
NOON = "2026-03-10T12:00:00-05:00"


class Program:
    """Another program with a token, or with none."""

    def __init__(self, secret: str = "") -> None:
        header = {"HTTP_AUTHORIZATION": f"Bearer {secret}"} if secret else {}
        self._client = Client(raise_request_exception=True, **header)

    def get(self, name: str, *keys: object) -> Any:
        return self._client.get(address(name, *keys))

    def ask(self, method: str, url: str, text: str | bytes = "", kind: str = JSON) -> Any:
        return self._client.generic(method, url, text, content_type=kind)

    def post(self, url: str, body: Any) -> Any:
        return self.ask("POST", url, body if isinstance(body, bytes) else json.dumps(body))

    def send(self, plant: Plant, body: Any) -> Any:
        return self.post(address("samples", plant.pk), body)


def address(name: str, *keys: object) -> str:
    return reverse(f"api:{name}", args=keys)


def token_for(user: User, at: Plant, *, may_send: bool = True, label: str = "") -> str:
    """Issue a token by the founder, who is nobody else here; returns its secret."""
    new = NewToken(user=user, label=label or str(uuid4()), may_send=may_send, lasts_days=30)
    with scope(plant=at):
        return token_issue(actor=factories.founder(at), new=new)[1]


def program_of(user: User, at: Plant, **options: Any) -> Program:
    return Program(token_for(user, at, **options))


def reading(value: str, unit: str = "") -> dict[str, str]:
    return {"value": value, "unit": unit}


def conductivity(works: SimpleNamespace, value: str = "1240", **changed: Any) -> dict[str, Any]:
    """Return a conductivity test by a meter that corrects to 25 °C by itself."""
    return {
        "method": "conductivity",
        "version": "1",
        "mode": "automatic",
        "readings": {
            "reading": reading(value, "umho/cm"),
            "temperature": reading("25", "degC"),
            "neutralized": {"value": "no"},
        },
        "instruments": dict(works.used),
        **changed,
    }


def body(works: SimpleNamespace, *tests: dict[str, Any], **changed: Any) -> dict[str, Any]:
    """Return a sample of the boiler's water, drawn at noon."""
    return {
        "key": str(uuid4()),
        "point": str(works.point.pk),
        "drawn_at": NOON,
        "tests": list(tests) or [conductivity(works)],
        **changed,
    }


def faults(answer: Any) -> dict[str, str]:
    """Return what a refusal says, by place in the body."""
    return {fault["pointer"]: fault["detail"] for fault in answer.json()["errors"]}


def stored(works: SimpleNamespace, model: Any) -> int:
    with scope(plant=works.plant):
        return int(model.objects.filter(plant=works.plant).count())


@pytest.fixture
def lab(works: SimpleNamespace) -> Program:
    """A laboratory's program that acts for the tester."""
    return program_of(works.people["tester"], works.plant)


@pytest.fixture
def dairy(works: SimpleNamespace) -> SimpleNamespace:
    """Another plant of another organization, with the same kinds of people."""
    return factories.works("Otterbrook Dairy")


@pytest.fixture(autouse=True)
def _nothing_counted() -> None:
    """Begin with no wrong token counted."""
    cache.clear()
