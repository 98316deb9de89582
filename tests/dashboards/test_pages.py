"""What holds on every page: the policy, no inline style or script, help, pages of refusal."""

from collections.abc import Iterator
from types import SimpleNamespace

import pytest
from django.test import Client
from django.urls import reverse

from dashboards.views.help import PAGES
from tests.dashboards.conftest import Browser, administrator, at_desk, at_terminal
from tests.dashboards.page import Page
from tests.dashboards.test_permissions import MATRIX, address, told
from tests.records import story


def every_page(works: SimpleNamespace, token: str) -> Iterator[tuple[str, Page]]:
    """Open every page there is as someone who may see it."""
    keys = told(works)
    cast = {role: at_desk(works.people[role]) for role in ("tester", "supervisor", "chemist")}
    cast["administrator"] = at_desk(administrator(works.plant))
    for name, method, *statuses in MATRIX:
        if method != "get":
            continue
        role = ("tester", "supervisor", "chemist", "administrator")[statuses.index(200)]
        yield name, Page(cast[role].get(address(name, keys)))
    bench = at_terminal(token)
    for name in ("terminal", "login", "help"):
        yield name, Page(bench.get(reverse(name)))
    tester = {"user": str(works.people["tester"].pk)}
    yield "PIN", Page(bench.get(reverse("terminal"), tester))
    yield "404", Page(bench.get("/nowhere"))
    yield "403", Page(cast["tester"].get(reverse("people", args=[works.plant.pk])))
    yield "plants", Page(cast["chemist"].get(reverse("plants")))


def test_no_page_holds_a_style_or_a_script_of_its_own(works: SimpleNamespace, token: str) -> None:
    seen = 0
    for name, page in every_page(works, token):
        seen += 1
        assert page.inline == [], name
        for tag, attrs in page.elements:
            assert "style" not in attrs and not any(k.startswith("on") for k in attrs), (name, tag)
            assert tag != "script" or attrs.get("src", "").startswith("/static/"), name
    assert seen >= 19


def test_every_form_that_writes_carries_its_token(works: SimpleNamespace, token: str) -> None:
    for name, page in every_page(works, token):
        posting = [f for f in page.named("form") if f.get("method") == "post"]
        tokens = [i for i in page.named("input") if i.get("name") == "csrfmiddlewaretoken"]
        assert len(posting) == len(tokens), name


def test_every_page_is_under_the_strict_policy(works: SimpleNamespace, sam: Browser) -> None:
    policy = sam.get(reverse("plant", args=[works.plant.pk]))["Content-Security-Policy"]
    assert "default-src 'none'" in policy and "script-src 'self'" in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize("slug", sorted(PAGES))
def test_the_handbook_opens_for_everyone(db: None, slug: str) -> None:
    page = Page(Browser().get(reverse("help-page", args=[slug])))
    assert page.status == 200 and len(page.words) > 300


def test_a_page_of_the_handbook_that_is_none_is_not_found(db: None) -> None:
    assert Browser().get(reverse("help-page", args=["alchemy"])).status_code == 404


def test_the_address_of_nothing_says_so(db: None) -> None:
    page = Page(Browser().get("/plants/x/round"))
    assert page.status == 404 and "There is nothing here" in page.words


def test_a_wrong_role_is_told_so(works: SimpleNamespace) -> None:
    page = Page(at_desk(works.people["tester"]).get(reverse("people", args=[works.plant.pk])))
    assert page.status == 403 and "That is not yours to do" in page.words


def test_a_form_without_its_token_is_too_old(works: SimpleNamespace) -> None:
    strict = Client(enforce_csrf_checks=True)
    page = Page(strict.post(reverse("login"), {"username": "x", "password": "y"}))
    assert page.status == 403 and "This form is too old." in page.words


def test_a_fault_of_ours_is_told_without_a_database(
    works: SimpleNamespace, sam: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_args: object) -> None:
        raise RuntimeError("broken for the test")

    monkeypatch.setattr("dashboards.views.plants.desk_screen", broken)
    sam.raise_request_exception = False
    page = Page(sam.get(reverse("plant", args=[works.plant.pk])))
    assert page.status == 500 and "Something broke" in page.words
    assert "broken for the test" not in page.html


def test_the_desk_says_what_waits(works: SimpleNamespace, sam: Browser) -> None:
    story.draw(works, "1500")
    words = Page(sam.get(reverse("plant", args=[works.plant.pk]))).words
    assert "Out of range and still open 1" in words
    assert "to confirm a result out of range by a fresh draw" in words
