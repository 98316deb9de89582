"""What was typed is never lost: not by a lock, a reload, or the server going away."""

import os
import re
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from shutil import copytree
from socket import socket
from types import SimpleNamespace
from typing import Any

import pytest
from django.conf import settings as django_settings
from playwright.sync_api import Page, expect

from tests.browser import steps
from tests.browser.conftest import Opener

READING = "#conductivity-reading"


@pytest.fixture
def half(terminal: Page) -> Page:
    """A sheet that Tess has half typed; the server has it."""
    steps.unlock(terminal, "Tess Tanner")
    steps.draw(terminal)
    terminal.fill(READING, "1387")
    steps.saved(terminal)
    return terminal


def back_at_it(page: Page) -> None:
    """Unlock again and find the sheet as it was left."""
    steps.unlock(page, "Tess Tanner")
    page.get_by_role("link", name=re.compile("Go on")).first.click()
    expect(page.locator(READING)).to_have_value("1387")


def test_a_half_typed_sheet_survives_the_lock(half: Page) -> None:
    half.get_by_role("button", name="Lock").click()
    expect(half.get_by_role("heading", name="Who is here?")).to_be_visible()
    expect(half.locator("body")).to_contain_text("has an unfinished sheet")
    back_at_it(half)


def test_it_survives_a_reload_a_moment_after_the_last_key(half: Page) -> None:
    half.fill("#conductivity-temperature", "78.5")
    half.reload()
    expect(half.locator(READING)).to_have_value("1387")
    expect(half.locator("#conductivity-temperature")).to_have_value("78.5")
    steps.saved(half)


def test_left_alone_it_warns_locks_and_keeps_what_was_typed(
    works: SimpleNamespace, terminal: Page, settings: Any
) -> None:
    settings.TERMINAL_IDLE_SECONDS = 5
    steps.unlock(terminal, "Tess Tanner")
    steps.draw(terminal)
    terminal.fill(READING, "1387")
    expect(terminal.locator("#idle-warning")).to_contain_text("This terminal locks in")
    expect(terminal.get_by_role("heading", name="Who is here?")).to_be_visible()
    settings.TERMINAL_IDLE_SECONDS = 90
    back_at_it(terminal)


def test_typed_on_after_the_server_has_locked_it_waits_on_the_device(half: Page) -> None:
    half.context.clear_cookies(name="sessionid")  # as the server's own clock does
    half.fill("#conductivity-temperature", "78.5")
    expect(half.locator("#save-line")).to_contain_text("you are no longer signed in here")
    back_at_it(half)
    expect(half.locator("#conductivity-temperature")).to_have_value("78.5")
    steps.saved(half)


def test_the_next_tester_is_in_nobody_elses_name(half: Page) -> None:
    half.get_by_role("button", name="Lock").click()
    expect(half.get_by_role("heading", name="Who is here?")).to_be_visible()
    half.go_back()  # what the browser kept of the last page must not come back
    expect(half.locator(READING)).to_have_count(0)
    expect(half.locator("body")).not_to_contain_text("1387")
    steps.unlock(half, "Milo Mate")
    expect(half.locator(".spine-who")).to_contain_text("Milo Mate")
    expect(half.locator("body")).not_to_contain_text("Go on")
    for _step in range(4):
        half.go_back()
        expect(half.locator("body")).not_to_contain_text("Tess Tanner Lock")
        expect(half.locator(READING)).to_have_count(0)
    half.goto("/")
    expect(half.locator(".spine-who")).to_contain_text("Milo Mate")


ROOT = Path(django_settings.BASE_DIR)
MAKE_PLANT = """
import django; django.setup()
from datetime import UTC, datetime
from django.core.management import call_command
from django_scopes import scope
from records.services.people import terminal_enroll
from records.services.slots import slots_expand
from tests import factories
from tests.browser.conftest import zone_where_it_is_ten
call_command("migrate", verbosity=0)
works = factories.works(timezone=zone_where_it_is_ten(datetime.now(UTC)))
with scope(plant=works.plant):
    slots_expand(works.plant)
    print(terminal_enroll(actor=factories.founder(works.plant), name="Bench")[1])
"""


class Server:
    """The real web server on a store of its own, to be killed and started again."""

    def __init__(self, folder: Path) -> None:
        with socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.token = ""
        self.url = f"http://127.0.0.1:{self.port}"
        self._env = {
            **{key: text for key, text in os.environ.items() if key != "DATABASE_URL"},
            "WATERSIDE_DATA": str(folder),
            "WATERSIDE_DEMO": "1",  # the plant is laid a month back, so its clock must be settable
            "DJANGO_SETTINGS_MODULE": "config.settings",
        }
        self._process: subprocess.Popen[bytes] | None = None

    def make_plant(self) -> str:
        """Lay a small plant; returns the token of its terminal."""
        made = subprocess.run(
            [sys.executable, "-c", MAKE_PLANT],
            cwd=ROOT, env=self._env, check=True, capture_output=True, text=True,
        )  # fmt: skip
        return made.stdout.split()[-1]

    def start(self) -> None:
        command = [
            sys.executable, "-m", "gunicorn", "config.wsgi", "--bind", f"127.0.0.1:{self.port}",
            "--worker-class", "gthread", "--threads", "4", "--log-level", "critical",
        ]  # fmt: skip
        self._process = subprocess.Popen(command, cwd=ROOT, env=self._env, start_new_session=True)
        for _try in range(150):
            try:
                urllib.request.urlopen(f"{self.url}/help", timeout=2).close()
                return
            except OSError:  # not there yet
                time.sleep(0.1)
        raise TimeoutError("the server does not answer")

    def kill(self) -> None:
        """End it as a power cut does."""
        if self._process is not None:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait()
            self._process = None


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A data folder with a small plant, laid once, and its terminal's token."""
    folder = tmp_path_factory.mktemp("laid")
    return folder, Server(folder).make_plant()


@pytest.fixture
def server(tmp_path: Path, laid: tuple[Path, str]) -> Iterator[Server]:
    """The server on a copy of that folder."""
    folder, token = laid
    one = Server(Path(copytree(folder, tmp_path / "data")))
    one.token = token
    yield one
    one.kill()


def test_it_survives_the_server_going_away(server: Server, open_browser: Opener) -> None:
    server.start()
    page = open_browser(server.url, server.token)
    steps.unlock(page, "Tess Tanner")
    steps.draw(page)
    steps.choose(page, "automatic")
    page.fill(READING, "1387")
    steps.saved(page)
    server.kill()
    page.fill("#conductivity-temperature", "78.5")
    expect(page.locator("#save-line")).to_contain_text("Not saved yet")
    server.start()
    # Nobody touches a key: the browser tries again by itself.
    expect(page.locator("#save-line")).to_contain_text("Saved at", timeout=15000)
    page.reload()
    expect(page.locator(READING)).to_have_value("1387")
    expect(page.locator("#conductivity-temperature")).to_have_value("78.5")
    steps.finish(page)
    expect(page.locator("#main")).to_contain_text("High")


def test_a_closed_page_brings_back_what_the_server_never_got(
    server: Server, open_browser: Opener
) -> None:
    server.start()
    page = open_browser(server.url, server.token)
    steps.unlock(page, "Tess Tanner")
    steps.draw(page)
    sheet = page.url
    server.kill()
    page.fill(READING, "1387")
    expect(page.locator("#save-line")).to_contain_text("Not saved yet")
    page.close(run_before_unload=False)
    server.start()
    again = page.context.new_page()
    again.goto(sheet)
    expect(again.locator(READING)).to_have_value("1387")
    steps.saved(again)
