"""The handbook's pictures: the main screens of each role, at a desk and on a phone, light and dark,
and what is printed.

WATERSIDE_PICTURES=1 takes them of the demo and keeps them, which needs minutes; a normal run takes
the same ones of a small plant, to see that each screen shows what its picture is of.
"""

import os
import re
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.conf import settings as django_settings
from django.urls import reverse
from playwright.sync_api import Browser, Page, expect

from dashboards.build.handbook import DESK_SIZE, PAPER, PHONE_SIZE, VARIANTS
from records.models import Role
from tests.browser import scenes, steps, webp
from tests.browser.conftest import DESK, PHONE, Opener, Wall
from tests.browser.paper import Print
from tests.browser.scenes import Scene
from tests.records import story

FOLDER = Path(django_settings.BASE_DIR) / "dashboards" / "help" / "pictures"
KEEP = os.environ.get("WATERSIDE_PICTURES") == "1"
MOST_OF_ALL, LEAST = 3_000_000, 3_000
GO_TO = "s => s ? document.querySelector(s).scrollIntoView() : scrollTo(0, 0)"
VIEWS = {
    "": (DESK, "light"),
    "-dark": (DESK, "dark"),
    "-phone": (PHONE, "light"),
    "-phone-dark": (PHONE, "dark"),
}


class Camera:
    """Takes each picture at both sizes and in both schemes."""

    def __init__(self, chromium: Browser) -> None:
        self._chromium = chromium
        self.taken: dict[str, bytes] = {}

    def take(self, page: Page, name: str, top: str = "", on_phone: str = "") -> None:
        """Take what is on the screen, from the page's top or from an element on."""
        for ending, (size, scheme) in VIEWS.items():
            page.set_viewport_size(size)
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            page.evaluate(GO_TO, on_phone if on_phone and size == PHONE else top)
            shot = page.screenshot(animations="disabled")
            self._keep(name + ending, webp.of_png(self._chromium, shot))
        page.set_viewport_size(DESK)

    def take_print(self, page: Page, name: str) -> None:
        """Take the first page that comes out of the printer."""
        first = Print(page, "A4").pictures[0]
        self._keep(name + PAPER, webp.of_pixels(self._chromium, first))

    def _keep(self, name: str, picture: bytes) -> None:
        assert len(picture) > LEAST, f"{name}: {len(picture)} bytes"
        self.taken[name] = picture


@pytest.fixture
def scene(live_server: Any, wall: Wall, settings: Any) -> Iterator[Scene]:
    """The demo where pictures are kept, the small plant otherwise."""
    settings.DEMO = KEEP  # its pages say at their foot that all is invented
    with (scenes.demo if KEEP else scenes.told)(live_server.url, wall) as found:
        yield found


def test_the_pictures_of_every_role(scene: Scene, open_browser: Opener, chromium: Browser) -> None:
    camera = Camera(chromium)
    for role, tour in TOURS.items():
        page = open_browser(scene.url)
        steps.sign_in(page, scene.people[role].username)
        tour(scene, page, camera)
    as_tester(scene, open_browser(scene.url, scene.token), camera)  # last: it writes
    assert sum(map(len, camera.taken.values())) < MOST_OF_ALL
    assert len(set(camera.taken.values())) == len(camera.taken)
    if KEEP:
        for old in FOLDER.glob("*"):
            old.unlink()
        for name, picture in camera.taken.items():
            (FOLDER / f"{name}.webp").write_bytes(picture)
    assert {path.stem for path in FOLDER.glob("*.webp")} == set(camera.taken)


def at(scene: Scene, name: str, *keys: object) -> str:
    return reverse(name, args=[scene.plant.pk, *keys])


def as_tester(scene: Scene, page: Page, camera: Camera) -> None:
    page.goto("/terminal")
    expect(page.get_by_role("heading", name="Who is here?")).to_be_visible()
    camera.take(page, "terminal")
    steps.unlock(page, scene.people["tester"].name)
    expect(page.locator(".line-act .act.first").first).to_be_visible()
    camera.take(page, "round")
    bench(scene, page, camera)
    remedy(page, camera)
    page.goto(at(scene, "handover"))
    expect(page.get_by_role("heading", name="Out of range and still open")).to_be_visible()
    camera.take(page, "handover")
    camera.take_print(page, "handover")


def bench(scene: Scene, page: Page, camera: Camera) -> None:
    """A sample of the boiler that is high, as its tester reads it."""
    page.get_by_text("Draw a sample that is not due").click()
    boiler = scene.high.sample_point.boiler
    page.get_by_role("button", name=re.compile(re.escape(boiler.name))).last.click()
    steps.choose(page, "automatic")
    steps.read(page, "1420")
    expect(page.locator(steps.WORKED)).to_contain_text("High")
    camera.take(page, "bench", ".test", on_phone="#conductivity-reading-field")
    steps.finish(page)


def remedy(page: Page, camera: Camera) -> None:
    """The advice, once it is confirmed or there is a reason to act without."""
    if page.get_by_text("Act without a second draw").count():
        steps.act_without_a_second_draw(page)
    for field, typed in story.REMEDY_TYPED.items():
        page.fill(f"#f-{field}", typed)
    page.get_by_role("button", name="Work out the blowdown").click()
    expect(page.locator(".remedy-headline")).to_be_visible()
    camera.take(page, "sample", ".remedy", on_phone=".remedy-answer")


def as_supervisor(scene: Scene, page: Page, camera: Camera) -> None:
    page.goto(at(scene, "plant"))
    expect(page.get_by_role("heading", name="Waits for you")).to_be_visible()
    camera.take(page, "desk")
    page.goto(at(scene, "sheet", scene.waiting.pk))
    expect(page.locator(".status").first).to_have_text("Handed in")
    camera.take(page, "sheet")
    camera.take_print(page, "sheet")
    page.goto(at(scene, "result-history", scene.amended.measurement_id))
    expect(page.locator("section.version")).not_to_have_count(1)
    camera.take(page, "history", "section.version ~ section.version")
    page.goto(at(scene, "paper-forms"))
    camera.take_print(page, "form")


def as_chemist(scene: Scene, page: Page, camera: Camera) -> None:
    page.goto(reverse("plants"))
    expect(page.locator(".plants")).to_contain_text(scene.plant.name)
    camera.take(page, "plants")
    page.goto(at(scene, "program", scene.program.pk))
    expect(page.get_by_role("link", name="Write a new version")).to_be_visible()
    camera.take(page, "program")
    page.goto(at(scene, "program-version", scene.program.pk))
    page.get_by_label("Limit set", exact=True).select_option(index=2)
    page.get_by_role("button", name="Lay it beside the form").click()
    expect(page.locator(".laid")).to_be_visible()
    camera.take(page, "version", ".laid")


def as_administrator(scene: Scene, page: Page, camera: Camera) -> None:
    page.goto(at(scene, "plant-setup"))
    expect(page.get_by_role("heading", name="Boilers")).to_be_visible()
    camera.take(page, "setup")
    page.goto(at(scene, "people"))
    expect(page.get_by_role("table")).to_contain_text(scene.people["supervisor"].name)
    camera.take(page, "people")


TOURS = {
    Role.SUPERVISOR: as_supervisor,
    Role.CHEMIST: as_chemist,
    Role.ADMINISTRATOR: as_administrator,
}
SHOWN = """() => [...document.querySelectorAll('.prose img')].map((e) => [
    e.currentSrc.split('/').pop(), e.naturalWidth > 0, e.getBoundingClientRect().width])"""


@pytest.mark.parametrize("ending", VIEWS)
def test_a_reader_sees_the_picture_that_suits(
    works: SimpleNamespace, open_browser: Opener, ending: str
) -> None:
    size, scheme = VIEWS[ending]
    page = open_browser(works.url, viewport=size, color_scheme=scheme)
    for slug in ("tester", "supervisor", "chemist", "administrator"):
        page.goto(reverse("help-page", args=[slug]), wait_until="networkidle")
        shown = page.evaluate(SHOWN)
        assert sum(not name.endswith(f"{PAPER}.webp") for name, _, _ in shown) >= 2, slug
        for name, loaded, wide in shown:
            assert name.endswith((f"{ending}.webp", f"{PAPER}.webp")), (slug, name)
            assert loaded and 0 < wide <= size["width"], (slug, name)


def test_a_printed_chapter_has_the_light_pictures(
    works: SimpleNamespace, open_browser: Opener
) -> None:
    page = open_browser(works.url, color_scheme="dark")
    page.emulate_media(media="print", color_scheme="dark")
    page.goto(reverse("help-page", args=["tester"]), wait_until="networkidle")
    assert page.evaluate(SHOWN) and not [n for n, *_ in page.evaluate(SHOWN) if "-dark" in n]


def test_the_pictures_are_as_large_as_the_handbook_says() -> None:
    told = {ending: tuple(size.values()) for ending, (size, _scheme) in VIEWS.items() if ending}
    assert tuple(DESK.values()) == DESK_SIZE and tuple(PHONE.values()) == PHONE_SIZE
    assert {ending: size for ending, size, _media in VARIANTS} == told
