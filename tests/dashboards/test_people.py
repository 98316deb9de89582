"""People of a plant: added with a role, a PIN, a password; each only as far as one's own goes."""

from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import Membership, Role, User
from tests.dashboards.conftest import Browser, administrator, at_desk, at_terminal
from tests.dashboards.page import Page

NEW = {
    "name": "Nils Newcomer",
    "username": "nils",
    "role": "tester",
    "pin": "1379",
    "password": "",
    "key": "p1",
}


def url(works: SimpleNamespace) -> str:
    return reverse("people", args=[works.plant.pk])


def test_a_supervisor_adds_a_tester_who_can_begin_at_once(
    works: SimpleNamespace, sam: Browser, token: str
) -> None:
    assert sam.post(url(works), NEW)["Location"] == url(works)
    page = Page(sam.get(url(works)))
    assert "Nils Newcomer" in page.words and "has one" in page.words
    nils = User.objects.get(username="nils")
    assert not nils.has_usable_password()
    bench = Browser()
    bench.cookies["waterside_terminal"] = token
    sent = bench.post(reverse("terminal-unlock"), {"user": str(nils.pk), "pin": "1379"})
    assert sent["Location"] == reverse("round", args=[works.plant.pk])


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"name": ""}, "f-name", "Give the person's name."),
        ({"name": "x" * 300}, "f-name", "Give the person's name."),
        ({"name": "a\0b"}, "f-name", "Give the person's name."),
        ({"username": "two words"}, "f-username", "letters, digits"),
        ({"username": "a\0b"}, "f-username", "letters, digits"),
        ({"username": "x" * 300}, "f-username", "letters, digits"),
        ({"username": "SAM-larkfield"}, "f-username", "taken"),
        ({"role": ""}, "f-role", "Pick at least one role."),
        ({"role": "king"}, "f-role", "Pick at least one role."),
        ({"role": "supervisor"}, "f-role", "does not allow you to give"),
        ({"pin": "12"}, "f-pin", "4 to 8 digits"),
        ({"pin": "7777"}, "f-pin", "not all the same"),
        ({"pin": "\u0661\u0662\u0663\u0664"}, "f-pin", "4 to 8 digits"),
        ({"password": "short"}, "f-password", "Choose another password"),
        ({"password": "nils newcomer"}, "f-password", "Choose another password"),
    ],
)
def test_bad_input_is_told_beside_its_field(
    works: SimpleNamespace, sam: Browser, changed: dict[str, str], where: str, told: str
) -> None:
    page = Page(sam.post(url(works), NEW | changed))
    assert page.status == 422 and told in page.told()[where], page.told()
    for name in ("name", "username"):
        assert page.values[name] == (NEW | changed)[name]
    assert page.values["pin"] == page.values["password"] == ""  # never sent back
    assert not User.objects.filter(username="nils").exists()


def test_an_administrator_may_give_every_role(works: SimpleNamespace) -> None:
    ada = at_desk(administrator(works.plant))
    sent = NEW | {"role": "chemist", "password": "a long enough pass phrase", "pin": ""}
    assert ada.post(url(works), sent).status_code == 302
    nils = User.objects.get(username="nils")
    role = Membership.objects.get(plant=works.plant, user=nils).role
    assert role == Role.CHEMIST and nils.check_password("a long enough pass phrase")


def test_a_locked_pin_is_shown_with_its_time_and_lifted(
    works: SimpleNamespace, sam: Browser, token: str
) -> None:
    bench = Browser()
    bench.cookies["waterside_terminal"] = token
    tester = str(works.people["tester"].pk)
    for _try in range(5):
        bench.post(reverse("terminal-unlock"), {"user": tester, "pin": "0000"})
    assert "PIN locked until 12:15" in Page(sam.get(url(works))).words
    assert sam.post(url(works), {"unlock": tester}).status_code == 302
    assert "PIN locked" not in Page(sam.get(url(works))).words
    at_terminal(token, works.people["tester"])


@pytest.mark.parametrize("key", ["", "x", "00000000-0000-0000-0000-000000000000"])
def test_nobody_elses_pin_is_unlocked(
    works: SimpleNamespace, dairy: SimpleNamespace, sam: Browser, key: str
) -> None:
    for who in (key, str(dairy.people["tester"].pk)):
        assert sam.post(url(works), {"unlock": who}).status_code == 404
