"""One person at a plant: a PIN for who forgot theirs, roles ended and given again."""

from types import SimpleNamespace
from uuid import UUID

import pytest
from django.urls import reverse

from records.models import AuditEvent, Membership, Role
from tests import factories
from tests.dashboards.conftest import Browser, administrator, at_desk, at_terminal, member_of
from tests.dashboards.page import Page


@pytest.fixture
def tester(works: SimpleNamespace) -> UUID:
    key: UUID = works.people["tester"].pk
    return key


@pytest.fixture
def ada(works: SimpleNamespace) -> Browser:
    return at_desk(administrator(works.plant))


def url(works: SimpleNamespace, name: str, user: UUID) -> str:
    return reverse(name, args=[works.plant.pk, user])


def page_of(works: SimpleNamespace, browser: Browser, user: UUID) -> Page:
    return Page(browser.get(url(works, "person", user)))


def audited(works: SimpleNamespace) -> list[tuple[str, str, str]]:
    rows = AuditEvent.objects.filter(plant=works.plant).order_by("id")
    return list(rows.values_list("verb", "subject", "by_name"))


def unlock(token: str, user: UUID, pin: str) -> str:
    """Try a PIN at the terminal; returns where that leads, "" if nowhere."""
    bench = at_terminal(token)
    sent = bench.post(reverse("terminal-unlock"), {"user": str(user), "pin": pin})
    return str(sent.headers.get("Location", ""))


def test_who_forgot_the_pin_gets_another_and_is_not_locked_out_any_more(
    works: SimpleNamespace, sam: Browser, token: str, tester: UUID
) -> None:
    for _try in range(5):
        unlock(token, tester, "0000")
    page = page_of(works, sam, tester)
    assert "PIN locked until 12:15" in page.words and "opens nothing any more" in page.words
    assert sam.post(url(works, "person-pin", tester), {"pin": "8642"}).status_code == 302
    page = page_of(works, sam, tester)
    assert "The new PIN holds from now on." in page.words and "PIN locked" not in page.words
    assert not unlock(token, tester, factories.PIN).endswith("/round")
    assert unlock(token, tester, "8642").endswith("/round")
    assert audited(works)[-1] == ("PIN set", "tess-larkfield", "Sam Sutter")


@pytest.mark.parametrize("pin", ["", "12", "7777", "12a4", "123456789"])
def test_a_pin_that_is_none_is_told_beside_its_field(
    works: SimpleNamespace, sam: Browser, token: str, tester: UUID, pin: str
) -> None:
    page = Page(sam.post(url(works, "person-pin", tester), {"pin": pin}))
    assert page.status == 422 and "4 to 8 digits" in page.told()["f-pin"]
    assert page.values["pin"] == "" and unlock(token, tester, factories.PIN).endswith("/round")


def test_a_supervisor_gets_nobodys_pin_who_signs(
    works: SimpleNamespace, sam: Browser, ada: Browser, token: str
) -> None:
    """With a chemist's PIN a supervisor could be both of the two persons."""
    chemist = works.people["chemist"].pk
    address = url(works, "person-pin", chemist)
    assert address not in page_of(works, sam, chemist).forms()
    assert Page(sam.post(address, {"pin": "8642"})).status == 422
    assert unlock(token, chemist, factories.PIN).endswith("/round")
    assert ada.post(address, {"pin": "8642"}).status_code == 302
    assert unlock(token, chemist, "8642").endswith("/round")
    own = works.people["supervisor"].pk
    assert sam.post(url(works, "person-pin", own), {"pin": "9753"}).status_code == 302


def test_an_ended_role_opens_nothing_and_is_given_again(
    works: SimpleNamespace, sam: Browser, token: str, tester: UUID
) -> None:
    tess = at_terminal(token, works.people["tester"])
    assert "opens nothing any more, at once" in page_of(works, sam, tester).words
    sent = sam.post(url(works, "role-end", tester), {"role": "tester"})
    assert sent["Location"] == reverse("people", args=[works.plant.pk])
    assert tess.get(reverse("round", args=[works.plant.pk])).status_code == 404
    assert audited(works)[-1] == ("role ended", "tess-larkfield: tester", "Sam Sutter")
    assert "Tess Tanner left tess-larkfield" in Page(sam.get(sent["Location"])).words
    page = page_of(works, sam, tester)
    assert "No role at this plant now" in page.words and "f-pin" not in page.html
    assert sam.post(url(works, "person-pin", tester), {"pin": "8642"}).status_code == 422
    assert sam.post(url(works, "role-give", tester), {"give": "tester"}).status_code == 302
    assert unlock(token, tester, factories.PIN).endswith("/round")
    assert Membership.objects.filter(user=tester).count() == 2  # ended ones are kept


@pytest.mark.parametrize(
    ("name", "sent", "told"),
    [
        ("role-end", {"role": "supervisor"}, "does not allow you to give or end"),
        ("role-end", {"role": "king"}, "Pick at least one role."),
        ("role-give", {"give": "chemist"}, "does not allow you to give or end"),
        ("role-give", {"give": ""}, "Pick at least one role."),
    ],
)
def test_a_supervisor_ends_and_gives_testers_roles_only(
    works: SimpleNamespace, sam: Browser, name: str, sent: dict[str, str], told: str
) -> None:
    someone = works.people["supervisor"].pk
    page = Page(sam.post(url(works, name, someone), sent))
    assert page.status == 422 and told in page.words
    assert Membership.objects.filter(user=someone, until=None).count() == 1


def test_the_last_administrator_stays_one(works: SimpleNamespace, ada: Browser) -> None:
    user = administrator_of(works)
    page = Page(ada.post(url(works, "role-end", user), {"role": "administrator"}))
    assert page.status == 422 and "keeps at least one administrator" in page.alerts
    member_of(works.plant, works.people["chemist"], Role.ADMINISTRATOR)
    sent = ada.post(url(works, "role-end", user), {"role": "administrator"})
    assert sent.status_code == 302 and ada.get(sent["Location"]).status_code == 404


def administrator_of(works: SimpleNamespace) -> UUID:
    key: UUID = Membership.objects.get(plant=works.plant, role=Role.ADMINISTRATOR).user_id
    return key


def test_another_plants_person_is_not_here(
    works: SimpleNamespace, dairy: SimpleNamespace, sam: Browser
) -> None:
    stranger = dairy.people["tester"].pk
    assert sam.get(url(works, "person", stranger)).status_code == 404
    for name in ("person-pin", "role-end", "role-give"):
        sent = {"pin": "8642", "role": "tester", "give": "tester"}
        assert sam.post(url(works, name, stranger), sent).status_code == 404
    assert not Membership.objects.filter(plant=works.plant, user=stranger).exists()
