"""The start command: what the console is told, and what is not served."""

import re
import tomllib
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from dashboards.management.commands.start import Command
from records.models import Role
from records.services.first_start import first_start
from tests import factories
from tests.dashboards.test_setup import asked
from tests.served import ROOT


@pytest.fixture
def bound(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Where a server would have listened: none is started."""
    binds: list[str] = []
    monkeypatch.setattr(Command, "_serve", lambda self, bind: binds.append(bind))
    return binds


def test_each_start_shows_a_new_code_until_the_first_one_worked(
    db: None, bound: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    codes = []
    for _start in range(2):
        call_command("start", port="8123")
        (code,) = re.findall(r"^    (\S+-\S+-\S+)$", capsys.readouterr().out, re.MULTILINE)
        codes.append(code)
    assert codes[0] != codes[1]
    first_start(asked(code=codes[1]))
    call_command("start", port="8123")
    printed = capsys.readouterr().out
    assert "one-time" not in printed and "manage.py backup FILE" in printed
    assert bound == ["127.0.0.1:8123"] * 3


def told_of_demo() -> dict[str, Any]:
    return tomllib.loads((ROOT / "fixtures/demo/company.toml").read_text("utf-8"))


def test_a_demo_is_not_served_as_the_real_thing(
    db: None, bound: list[str], settings: Any, at_noon: None
) -> None:
    at = factories.plant(organization=told_of_demo()["organization"])
    factories.person(at, "ada", "Ada Adder", Role.SUPERVISOR)
    with pytest.raises(CommandError, match="passwords are no secret"):
        call_command("start")
    settings.DEMO = True
    call_command("start")
    assert len(bound) == 1


def test_real_records_are_not_served_as_a_demo(works: Any, bound: list[str], settings: Any) -> None:
    settings.DEMO = True
    with pytest.raises(CommandError, match="records of a real plant"):
        call_command("start")
    assert bound == []
