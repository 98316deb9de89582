"""The real start as people do it: `make serve` on an empty folder, in a process of its own."""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.dashboards.page import Page
from tests.dashboards.test_setup import FIRST
from tests.served import MAKE_SERVE, Answer, manage, served

CODE = re.compile(r"^    ([0-9a-f]{4}(?:-[0-9a-f]{4}){2})$", re.MULTILINE)


def page(answer: Answer) -> Page:
    return Page(answer)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SimpleNamespace]:
    """A folder that was empty, served, and begun by Ada; a demo was asked for and is not heard."""
    data = tmp_path_factory.mktemp("first") / "serve"
    with served(data, MAKE_SERVE, WATERSIDE_DEMO="1") as server:
        (code,) = CODE.findall(server.console)
        ada = server.visitor()
        shown = page(ada.get("/setup"))
        wrong = page(ada.post("/setup", FIRST | {"code": "0000-0000-0000"}))
        right = ada.post("/setup", FIRST | {"code": code})
        yield SimpleNamespace(
            server=server, data=data, code=code, ada=ada, shown=shown, wrong=wrong, right=right
        )


def usernames(data: Path) -> list[str]:
    with closing(sqlite3.connect(data / "waterside.sqlite3")) as store:
        return [name for (name,) in store.execute("SELECT username FROM records_user")]


def test_the_code_makes_the_first_administrator_and_plant(begun: SimpleNamespace) -> None:
    assert begun.shown.status == 200 and "First start" in begun.shown.words
    assert begun.wrong.status == 422 and "not the code on the console" in begun.wrong.words
    assert begun.right.status_code == 302
    told = page(begun.ada.get(begun.right.location))
    assert told.status == 200 and FIRST["plant"] in told.words
    assert "Before the first round" in told.words


def test_the_code_works_once(begun: SimpleNamespace) -> None:
    eve = begun.server.visitor()
    assert eve.get("/setup").status_code == 404
    again = eve.post("/setup", FIRST | {"code": begun.code, "username": "eve"})
    assert again.status_code == 404
    assert not list(begun.data.glob("first-start-code*"))


def test_only_she_can_sign_in(begun: SimpleNamespace) -> None:
    told = {"username": FIRST["username"], "password": FIRST["password"]}
    assert begun.server.visitor().post("/login", told).status_code == 302
    assert begun.server.visitor().post("/login", told | {"password": "no"}).status_code == 422
    assert begun.server.visitor().get(begun.right.location).status_code == 302


def test_no_demo_is_there(begun: SimpleNamespace) -> None:
    """What was asked for in the environment too: an invented plant has no way in here."""
    assert usernames(begun.data) == [FIRST["username"]]
    assert "invented" not in begun.server.console
    assert "demo" not in page(begun.server.visitor().get("/login")).html.lower()
    assert begun.server.visitor().post("/demo/terminal", {}).status_code == 404


def test_a_demo_does_not_begin_among_real_records(begun: SimpleNamespace) -> None:
    refused = manage(begun.data, "start", WATERSIDE_DEMO="1")
    assert refused.returncode == 1 and "records of a real plant" in refused.stderr
    assert usernames(begun.data) == [FIRST["username"]]
