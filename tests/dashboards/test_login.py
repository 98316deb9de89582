"""Signing in and out with a password, and where each person's work begins."""

from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import Role
from tests import factories
from tests.dashboards.conftest import Browser, administrator, at_desk, member_of
from tests.dashboards.page import Page

RIGHT = {"username": "sam-larkfield", "password": factories.PASSWORD}


def test_the_right_pair_opens_the_page_that_was_wanted(works: SimpleNamespace) -> None:
    browser = at_desk(None)
    wanted = reverse("sheets", args=[works.plant.pk])
    sent_away = browser.get(wanted)["Location"]
    page = Page(browser.get(sent_away))
    assert page.values["next"] == wanted
    assert browser.post(reverse("login"), RIGHT | {"next": wanted})["Location"] == wanted
    assert browser.get(wanted).status_code == 200


@pytest.mark.parametrize(
    "next_", ["https://elsewhere.example/", "//elsewhere.example", "javascript:x", "/a\nb", "\0"]
)
def test_it_never_leads_to_another_site(works: SimpleNamespace, next_: str) -> None:
    sent = at_desk(None).post(reverse("login"), RIGHT | {"next": next_})
    assert sent.status_code == 302
    assert sent["Location"] == reverse("home") or sent["Location"].startswith("/a")


@pytest.mark.parametrize(
    "changed",
    [
        {"password": "wrong"},
        {"username": "nobody"},
        {"username": ""},
        {"username": "x" * 300},
        {"username": "a\0b"},
        {"password": "a\0b"},
        {"username": "tess-larkfield", "password": factories.PIN},
    ],
)
def test_a_wrong_pair_says_no_more_than_that(
    works: SimpleNamespace, changed: dict[str, str]
) -> None:
    page = Page(at_desk(None).post(reverse("login"), RIGHT | changed))
    assert page.status == 422
    assert "This user name and password do not belong together." in page.alerts
    assert page.values["username"] == (RIGHT | changed)["username"]
    assert page.values["password"] == ""


def test_signing_out_ends_it(works: SimpleNamespace, sam: Browser) -> None:
    assert sam.post(reverse("logout"))["Location"] == reverse("login")
    assert sam.get(reverse("plants")).status_code == 302
    assert sam.get(reverse("logout")).status_code == 405


@pytest.mark.parametrize(
    ("role", "page"), [("tester", "round"), ("supervisor", "plant"), ("chemist", "plant")]
)
def test_each_begins_where_the_work_is(works: SimpleNamespace, role: str, page: str) -> None:
    home = at_desk(works.people[role]).get(reverse("home"))
    assert home["Location"] == reverse(page, args=[works.plant.pk])


def test_an_administrator_begins_at_the_set_up(works: SimpleNamespace) -> None:
    home = at_desk(administrator(works.plant)).get(reverse("home"))
    assert home["Location"] == reverse("plant-setup", args=[works.plant.pk])


def test_who_has_several_plants_begins_with_all_of_them(
    works: SimpleNamespace, dairy: SimpleNamespace, cleo: Browser
) -> None:
    member_of(dairy.plant, works.people["chemist"], Role.TESTER)
    assert cleo.get(reverse("home"))["Location"] == reverse("plants")
    html = cleo.get(reverse("plants")).content.decode()
    assert reverse("plant", args=[works.plant.pk]) in html
    # Where the person only tests, the desk is not theirs: the link leads to the round.
    assert f'href="{reverse("round", args=[dairy.plant.pk])}"' in html


def test_who_has_no_plant_is_told_so(works: SimpleNamespace) -> None:
    from records.models import User

    lone = User.objects.create(username="lone", name="Lone Lodger")
    page = Page(at_desk(lone).get(reverse("home"), follow=True))
    assert "No plant is open to you yet." in page.words
