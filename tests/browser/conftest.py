"""Fixtures of the browser's tests: Debian's Chromium, driven by Playwright's own interface.

pytest-playwright stays off (pyproject.toml): its event loop would be there for all other tests too.
"""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from django_scopes import scope
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    expect,
    sync_playwright,
)

from dashboards.middleware import COOKIE
from records import clock
from records.services.people import terminal_enroll
from records.services.slots import slots_expand
from tests import factories

# Playwright's synchronous interface runs an event loop in this thread; the store is used from it.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
# A refusal (409, 422) or a server that is away is told to the console too, by Chromium and htmx.
NO_FAULT = (
    "Failed to load resource",
    "Response Status Error Code",
    "htmx:afterRequest",
    "htmx:sendError",
    "htmx:responseError",
)
# How long a page may take on a machine that does much else: no measure of the program.
PATIENCE_MS = 20_000
DESK = {"width": 1280, "height": 800}
PHONE = {"width": 390, "height": 844}
Opener = Callable[..., Page]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


def zone_where_it_is_ten(now: datetime) -> str:
    """Return a zone in which it is past ten: a test fell due at ten and is not missed yet."""
    ahead = 10 - now.hour
    ahead = ahead + 24 if ahead < -12 else ahead
    return f"Etc/GMT{-ahead:+d}"


@contextmanager
def served_works(url: str, **options: object) -> Iterator[SimpleNamespace]:
    """A small plant behind an address, with its enrolled terminal, inside its scope."""
    built = factories.works(**options)  # type: ignore[arg-type]
    built.url = url
    with scope(plant=built.plant):
        slots_expand(built.plant)
        built.token = terminal_enroll(
            actor=factories.founder(built.plant), name="Sample bench, invented boiler house"
        )[1]
        yield built


@pytest.fixture
def works(live_server: Any) -> Iterator[SimpleNamespace]:
    """A small plant on a live server, on the real clock, inside its scope."""
    zone = zone_where_it_is_ten(datetime.now(UTC))
    with served_works(live_server.url, timezone=zone) as built:
        yield built


class Wall:
    """A clock that stands still until the test moves it, for itself and the server's threads.

    `clock_at` is seen only by the thread that calls it; here it still goes first.
    """

    def __init__(self, instant: datetime) -> None:
        self.at = instant

    def now(self) -> datetime:
        return clock._set_to.get() or self.at

    def go_to(self, instant: datetime) -> None:
        """Let it be later: time never goes back under a server that runs."""
        assert instant > self.at
        self.at = instant

    def wait(self, minutes: float) -> None:
        self.go_to(self.at + timedelta(minutes=minutes))


def hang_up(monkeypatch: pytest.MonkeyPatch, instant: datetime) -> Wall:
    """Hang a clock that shows an instant on the wall, until the test ends."""
    wall = Wall(instant)
    monkeypatch.setattr(clock, "now", wall.now)
    return wall


@pytest.fixture
def wall(monkeypatch: pytest.MonkeyPatch) -> Wall:
    """A clock on the wall, at noon of a day shift of the works."""
    return hang_up(monkeypatch, factories.NOON)


@pytest.fixture
def dated_works(live_server: Any, wall: Wall) -> Iterator[SimpleNamespace]:
    """A small plant on a live server, by the clock on the wall."""
    with served_works(live_server.url) as built:
        yield built


def watched(context: BrowserContext, troubles: list[str]) -> Page:
    """Return a page that notes each fault of a script and each breach of the policy."""

    def note(message: ConsoleMessage) -> None:
        if message.type == "error" and not message.text.startswith(NO_FAULT):
            troubles.append(f"{context.pages[0].url}: {message.text}")

    page = context.new_page()
    page.on("console", note)
    page.on("pageerror", lambda error: troubles.append(f"{page.url}: {error}"))
    page.set_default_timeout(PATIENCE_MS)
    return page


@pytest.fixture
def open_browser(chromium: Browser) -> Iterator[Opener]:
    """Open browsers of their own: `open_browser(url, token="")`; no page may complain."""
    contexts: list[BrowserContext] = []
    troubles: list[str] = []

    def open_one(url: str, token: str = "", **options: Any) -> Page:
        context = chromium.new_context(base_url=url, **{"viewport": DESK, **options})
        contexts.append(context)
        if token:
            context.add_cookies([{"name": COOKIE, "value": token, "url": url}])
        return watched(context, troubles)

    yield open_one
    for context in contexts:
        context.close()
    assert troubles == []


@pytest.fixture
def terminal(works: SimpleNamespace, open_browser: Opener) -> Page:
    """The enrolled terminal at the bench."""
    return open_browser(works.url, works.token)
