"""The form of a new program version as a chemist's browser sends it."""

from types import SimpleNamespace

from django.http import HttpResponse
from django.urls import reverse

from records.models import Program, ProgramVersion
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page

BEGINS = "2026-03-10T12:30"


class ProgramPage:
    """A program's form, open in a browser: type, press a button, read what came back."""

    def __init__(self, works: SimpleNamespace, browser: Browser, **which: object) -> None:
        wanted = which or {"boiler": works.boiler}
        self.program = Program.objects.get(plant=works.plant, **wanted)
        keys = [works.plant.pk, self.program.pk]
        self.url, self.shown = reverse("program-version", args=keys), reverse("program", args=keys)
        self._browser = browser
        self.page = Page(browser.get(self.url))

    def send(self, button: str, **typed: str) -> HttpResponse:
        """Type into fields (`l0_high` for "l0.high") and press a button."""
        named = {
            key if "." in key or not key[1:2].isdigit() else key.replace("_", ".", 1): text
            for key, text in typed.items()
        }
        sent = {name: text for name, text in self.page.values.items() if name} | named
        return self._browser.post(self.url, {**sent, "do": button})

    def press(self, button: str, **typed: str) -> Page:
        """Press a button that shows the form again."""
        self.page = Page(self.send(button, **typed))
        return self.page

    def add_limit(self, what: str, point: str = "", state: str = "steaming") -> Page:
        """Add a limit; the first sample point unless told."""
        head = {"add.what": what, "add.state": state}
        return self.press("add-limit", **head, **({"add.point": point} if point else {}))

    def add_event(self, event: str, **when: str) -> Page:
        """Add a draw after an event; the first sample point unless told."""
        return self.press(
            "add-event", **{f"when.{k}": v for k, v in when.items()}, **{"when.event": event}
        )

    def put(self, **typed: str) -> HttpResponse:
        """Record the version from half an hour after noon."""
        return self.send("put", **{"in_force_from": BEGINS, **typed})

    def versions(self) -> int:
        return ProgramVersion.objects.filter(program=self.program).count()
