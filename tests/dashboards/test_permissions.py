"""Who may open what: one table, complete by a comparison with the URL conf."""

from types import SimpleNamespace
from uuid import UUID

import pytest
from django.urls import get_resolver, reverse
from django_scopes import scope

from records.models import Boiler, DueSlot, LookBack, Lot, Program, ProgramVersion, Role
from tests import factories
from tests.dashboards.conftest import (
    Browser,
    administrator,
    at_desk,
    at_terminal,
    begun,
    enroll,
    member_of,
)
from tests.dashboards.page import Page
from tests.records import story

# Addresses of no plant, and why whoever comes is answered.
PUBLIC = {
    "home": "sends each person to where their work begins",
    "login": "the way in",
    "logout": "the way out",
    "setup": "the first start: gone once there is an account, and asks for the console's code",
    "help": "the handbook holds nothing of a plant",
    "help-page": "the handbook holds nothing of a plant",
    "demo-terminal": "exists in a demo only",
    "terminal": "names of who may unlock: on an enrolled terminal only",
    "terminal-unlock": "the way in at a terminal: asks for the PIN",
    "terminal-lock": "whoever is at the screen may lock it",
    "terminal-heartbeat": "says only whether somebody is at the screen",
    "plants": "shows a person's own plants: nobody signs in, an outsider sees none of these",
    "instrument-audit": "shows a person's own plants: an outsider sees none of these",
    "calculator": "holds nothing of a plant: for whoever is signed in",
    "calculation": "holds nothing of a plant: for whoever is signed in",
}
# Forms are sent empty: 422 says that the person may, and that nothing was written. The bench sheet
# is the tester's own, so it does not exist for the others.
MATRIX = [
    # name, method, tester, supervisor, chemist, administrator, outsider, nobody
    ("plant", "get", 403, 200, 200, 403, 404, 302),
    ("round", "get", 200, 200, 200, 403, 404, 302),
    ("not-tested", "get", 200, 200, 200, 403, 404, 302),
    ("not-tested", "post", 422, 422, 422, 403, 404, 302),
    ("sample-start", "post", 404, 404, 404, 403, 404, 302),
    ("bench", "get", 200, 404, 404, 403, 404, 302),
    ("bench-work", "post", 200, 404, 404, 403, 404, 302),
    ("bench-add", "post", 422, 404, 404, 403, 404, 302),
    ("bench-finish", "post", 422, 404, 404, 403, 404, 302),
    ("bench-discard", "post", 302, 404, 404, 403, 404, 302),
    ("boiler", "get", 200, 200, 200, 403, 404, 302),
    ("boiler-state", "post", 422, 422, 422, 403, 404, 302),
    ("sample", "get", 200, 200, 200, 403, 404, 302),
    ("sample-confirm", "post", 302, 302, 302, 403, 404, 302),
    ("confirm-waive", "post", 422, 422, 422, 403, 404, 302),
    ("remedy-plan", "post", 422, 422, 422, 403, 404, 302),
    ("action-record", "post", 422, 422, 422, 403, 404, 302),
    ("water-plan", "get", 200, 200, 200, 403, 404, 302),
    ("water-plan", "post", 422, 422, 422, 403, 404, 302),
    ("water-plan-done", "post", 302, 302, 302, 403, 404, 302),
    ("result-history", "get", 200, 200, 200, 403, 404, 302),
    ("result-correct", "get", 200, 200, 200, 403, 404, 302),
    ("result-correct", "post", 422, 422, 422, 403, 404, 302),
    ("instruments", "get", 200, 200, 200, 403, 404, 302),
    ("instrument", "get", 200, 200, 200, 403, 404, 302),
    ("instrument-new", "get", 403, 200, 200, 403, 404, 302),
    ("instrument-new", "post", 403, 422, 422, 403, 404, 302),
    ("instrument-event", "post", 422, 422, 422, 403, 404, 302),
    ("instrument-card", "get", 403, 200, 200, 403, 404, 302),
    ("instrument-card", "post", 403, 422, 422, 403, 404, 302),
    ("instrument-check", "get", 200, 200, 200, 403, 404, 302),
    ("instrument-check", "post", 200, 200, 200, 403, 404, 302),
    ("lots", "get", 200, 200, 200, 403, 404, 302),
    ("lot", "get", 200, 200, 200, 403, 404, 302),
    ("lot", "post", 403, 422, 422, 403, 404, 302),
    ("lot-new", "get", 403, 200, 200, 403, 404, 302),
    ("lot-new", "post", 403, 422, 422, 403, 404, 302),
    ("lot-open", "post", 422, 422, 422, 403, 404, 302),
    ("look-back", "get", 200, 200, 200, 403, 404, 302),
    ("look-back-decide", "post", 403, 403, 422, 403, 404, 302),
    ("result-decide", "post", 403, 403, 422, 403, 404, 302),
    ("handover", "get", 200, 200, 200, 403, 404, 302),
    ("handover", "post", 422, 422, 422, 403, 404, 302),
    ("paper-forms", "get", 200, 200, 200, 403, 404, 302),
    ("sheets", "get", 200, 200, 200, 403, 404, 302),
    ("sheet", "get", 200, 200, 200, 403, 404, 302),
    ("sheet-hand-in", "post", 422, 422, 422, 403, 404, 302),
    ("sheet-sign", "post", 403, 422, 422, 403, 404, 302),
    ("sheet-return", "post", 403, 422, 422, 403, 404, 302),
    ("amendment-sign", "post", 403, 422, 422, 403, 404, 302),
    ("program", "get", 200, 200, 200, 403, 404, 302),
    ("program-version", "get", 403, 403, 200, 403, 404, 302),
    ("program-version", "post", 403, 403, 422, 403, 404, 302),
    ("program-changes", "get", 200, 200, 200, 403, 404, 302),
    ("people", "get", 403, 200, 403, 200, 404, 302),
    ("people", "post", 403, 422, 403, 422, 404, 302),
    ("person", "get", 403, 200, 403, 200, 404, 302),
    ("person-pin", "post", 403, 422, 403, 422, 404, 302),
    ("role-end", "post", 403, 422, 403, 422, 404, 302),
    ("role-give", "post", 403, 422, 403, 422, 404, 302),
    ("terminals", "get", 403, 200, 403, 200, 404, 302),
    ("terminals", "post", 403, 404, 403, 404, 404, 302),
    ("terminal-enroll", "post", 403, 422, 403, 422, 404, 302),
    ("tokens", "get", 403, 200, 403, 200, 404, 302),
    ("tokens", "post", 403, 404, 403, 404, 404, 302),
    ("token-issue", "post", 403, 422, 403, 422, 404, 302),
    ("plant-setup", "get", 403, 403, 403, 200, 404, 302),
    ("plant-setup", "post", 403, 403, 403, 404, 404, 302),
]
ROWS = [pytest.param(*row, id=f"{row[0]} {row[1]}") for row in MATRIX]
CAST = ("tester", "supervisor", "chemist", "administrator")


def test_every_url_is_in_the_table() -> None:
    named = {str(key) for key in get_resolver().reverse_dict if isinstance(key, str)}
    assert named == {row[0] for row in MATRIX} | set(PUBLIC)


def told(works: SimpleNamespace) -> dict[str, UUID]:
    """Tell a shift and return the key of a row for every name in an address."""
    with scope(plant=works.plant):
        shift = story.shift(works)
        return {
            "plant": works.plant.pk,
            "point": works.point.pk,
            "slot": DueSlot.objects.filter(plant=works.plant).latest("due_at").pk,
            "draft": begun(works).pk,
            "boiler": Boiler.objects.get(plant=works.plant).pk,
            "sample": shift.high.pk,
            "measurement": shift.high.measurements.get().pk,
            "sheet": shift.sheet.pk,
            "amendment": shift.amendment.pk,
            "program": Program.objects.get(plant=works.plant, boiler=works.boiler).pk,
            "user": works.people["mate"].pk,
            "instrument": works.used["meter"],
            "recipe": "conductivity",
            "look_back": LookBack.objects.get(plant=works.plant).pk,
            "lot": Lot.objects.get(plant=works.plant).pk,
            "version": ProgramVersion.objects.get(program__boiler=works.boiler).pk,
        }


def keys_of(name: str) -> tuple[str, ...]:
    """Return the names of the keys in an address."""
    return tuple(get_resolver().reverse_dict.getlist(name)[0][0][0][1])


def address(name: str, keys: dict[str, UUID]) -> str:
    return reverse(name, kwargs={key: keys[key] for key in keys_of(name)})


@pytest.mark.parametrize(
    ("name", "method", "tester", "supervisor", "chemist", "admin", "outsider", "nobody"), ROWS
)
def test_each_person_gets_what_the_table_says(
    works: SimpleNamespace,
    dairy: SimpleNamespace,
    name: str,
    method: str,
    tester: int,
    supervisor: int,
    chemist: int,
    admin: int,
    outsider: int,
    nobody: int,
) -> None:
    url = address(name, told(works))
    stranger = dairy.people["supervisor"]
    member_of(dairy.plant, stranger, *set(Role) - {Role.SUPERVISOR})
    cast = {
        "nobody": None,
        "outsider": stranger,
        "administrator": administrator(works.plant),
        **{role: works.people[role] for role in ("chemist", "supervisor", "tester")},
    }
    got = {who: getattr(at_desk(user), method)(url).status_code for who, user in cast.items()}
    assert got == {
        "tester": tester,
        "supervisor": supervisor,
        "chemist": chemist,
        "administrator": admin,
        "outsider": outsider,
        "nobody": nobody,
    }


def each_address(keys: dict[str, UUID]) -> list[tuple[str, str, str]]:
    return [(name, method, address(name, keys)) for name, method, *_rest in MATRIX]


def answers(browser: Browser, keys: dict[str, UUID]) -> dict[str, int]:
    """Return the status of every address of a plant for one browser."""
    return {
        f"{name} {method}": getattr(browser, method)(url).status_code
        for name, method, url in each_address(keys)
    }


def test_nobody_is_sent_to_sign_in_and_a_part_of_a_page_is_refused(works: SimpleNamespace) -> None:
    nobody = at_desk(None)
    for name, method, url in each_address(told(works)):
        whole = getattr(nobody, method)(url)
        assert whole.status_code == 302 and whole["Location"].startswith("/login"), name
        part = getattr(nobody, method)(url, headers={"HX-Request": "true"})
        assert part.status_code == 401 and not part.content, name


def test_one_plants_address_never_opens_another_plants_row(
    works: SimpleNamespace, dairy: SimpleNamespace
) -> None:
    both = works.people["tester"]
    member_of(works.plant, both, *set(Role) - {Role.TESTER})
    member_of(dairy.plant, both, *Role)
    mixed = told(works) | {"plant": dairy.plant.pk}
    found = answers(at_desk(both), mixed)
    with_row = {f"{name} {method}" for name, method, *_ in MATRIX if len(keys_of(name)) > 1}
    assert len(with_row) > 15
    assert {key: status for key, status in found.items() if key in with_row} == dict.fromkeys(
        with_row, 404
    )


def test_at_a_terminal_a_person_is_at_that_plant_only(
    works: SimpleNamespace, dairy: SimpleNamespace
) -> None:
    user = works.people["tester"]
    member_of(dairy.plant, user, *Role)
    browser = at_terminal(enroll(works), user)
    keys = told(dairy)
    assert set(answers(browser, keys).values()) == {404}
    assert browser.get(reverse("round", args=[works.plant.pk])).status_code == 200
    everywhere = browser.get(reverse("plants"), follow=True)
    assert dairy.plant.name not in everywhere.content.decode()


def test_a_password_at_a_terminal_opens_that_plant_only(
    works: SimpleNamespace, dairy: SimpleNamespace
) -> None:
    user = works.people["supervisor"]
    member_of(dairy.plant, user, *Role)
    browser = at_terminal(enroll(works))
    browser.force_login(user)
    assert set(answers(browser, told(dairy)).values()) == {404}


def test_a_pin_of_one_plants_terminal_is_none_at_anothers(
    works: SimpleNamespace, dairy: SimpleNamespace
) -> None:
    user = works.people["tester"]
    member_of(dairy.plant, user, Role.TESTER)
    browser = at_terminal(enroll(works), user)
    browser.cookies["waterside_terminal"] = enroll(dairy)
    there = browser.get(reverse("round", args=[dairy.plant.pk]))
    assert there.status_code == 302 and there["Location"].startswith("/terminal")


def test_an_ended_role_opens_nothing(works: SimpleNamespace) -> None:
    from records.services.people import roles_end

    browser = at_desk(works.people["tester"])
    keys = told(works)
    roles_end(
        actor=factories.founder(works.plant), user=works.people["tester"], roles=[Role.TESTER]
    )
    assert set(answers(browser, keys).values()) == {404}


def test_an_administrator_sees_no_result(works: SimpleNamespace) -> None:
    with scope(plant=works.plant):
        story.draw(works, "1500")
    told_to_chemist = Page(at_desk(works.people["chemist"]).get(reverse("plants"))).words
    told_to_administrator = at_desk(administrator(works.plant)).get(reverse("plants"))
    assert "1500 µmho/cm" in told_to_chemist
    assert "1500" not in Page(told_to_administrator).words
    assert reverse("plant-setup", args=[works.plant.pk]) in told_to_administrator.content.decode()


def test_public_addresses_answer_whoever_comes(works: SimpleNamespace) -> None:
    nobody = at_desk(None)
    expected = {
        ("get", reverse("home")): 302,
        ("get", reverse("login")): 200,
        ("post", reverse("logout")): 302,
        ("get", reverse("setup")): 404,
        ("get", reverse("help")): 200,
        ("get", reverse("help-page", args=["chemist"])): 200,
        ("post", reverse("demo-terminal")): 404,
        ("get", reverse("terminal")): 200,
        ("post", reverse("terminal-unlock")): 302,
        ("post", reverse("terminal-lock")): 302,
        ("post", reverse("terminal-heartbeat")): 401,
        ("get", reverse("plants")): 302,
        ("get", reverse("instrument-audit")): 302,
        ("get", reverse("calculator")): 302,
        ("get", reverse("calculation", args=["cycles"])): 302,
    }
    assert len(expected) == len(PUBLIC)
    got = {(how, url): getattr(nobody, how)(url).status_code for how, url in expected}
    assert got == expected
    shown = nobody.get(reverse("terminal")).content.decode()
    assert works.people["tester"].name not in shown  # the names are for enrolled terminals


def test_what_writes_is_never_done_by_a_link(works: SimpleNamespace) -> None:
    keys = told(works)
    both = {name for name, method, *_ in MATRIX if method == "get"}
    writes = [row[0] for row in MATRIX if row[1] == "post" and row[0] not in both]
    assert len(writes) == 24
    chief = works.people["chemist"]
    member_of(works.plant, chief, *set(Role) - {Role.CHEMIST})
    browser = at_desk(chief)
    assert {n: browser.get(address(n, keys)).status_code for n in writes} == dict.fromkeys(
        writes, 405
    )
