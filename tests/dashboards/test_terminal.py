"""The shared terminal: enrolled by a supervisor, one person at a time, locked when left."""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.test import override_settings
from django.urls import reverse

from dashboards.middleware import COOKIE
from records import clock
from records.models import Draft, Terminal
from tests import factories
from tests.dashboards.conftest import Browser, at_terminal, begun
from tests.dashboards.forms import bench_form, bench_urls
from tests.dashboards.page import Page


def round_of(works: SimpleNamespace) -> str:
    return reverse("round", args=[works.plant.pk])


def later(seconds: float) -> object:
    return clock.clock_at(clock.now() + timedelta(seconds=seconds))


def test_a_supervisor_makes_a_browser_a_terminal_and_is_signed_out_of_it(
    works: SimpleNamespace, sam: Browser
) -> None:
    sent = sam.post(reverse("terminal-enroll", args=[works.plant.pk]), {"name": "Bench 2"})
    assert sent["Location"] == reverse("terminal")
    cookie = sent.cookies[COOKIE]
    assert cookie["httponly"] and cookie["samesite"] == "Lax" and int(cookie["max-age"]) > 1e8
    page = Page(sam.get(reverse("terminal")))
    assert "Who is here?" in page.words and "Tess Tanner" in page.words
    assert sam.get(reverse("plant", args=[works.plant.pk]))["Location"].startswith("/terminal")
    row = Terminal.objects.get(plant=works.plant)
    assert cookie.value not in (row.token_digest, row.name)


@pytest.mark.parametrize("name", ["", "   ", "x" * 81, "a\0b", "Bench"])
def test_a_terminal_needs_a_name_of_its_own(
    works: SimpleNamespace, sam: Browser, token: str, name: str
) -> None:
    page = Page(sam.post(reverse("terminal-enroll", args=[works.plant.pk]), {"name": name}))
    assert page.status == 422 and "a name that no other one has" in page.told()["f-name"]
    assert page.values["name"] == name
    assert Terminal.objects.filter(plant=works.plant).count() == 1


def test_a_revoked_terminal_opens_nothing_from_now_on(
    works: SimpleNamespace, sam: Browser, tess: Browser
) -> None:
    terminal = Terminal.objects.get(plant=works.plant)
    url = reverse("terminals", args=[works.plant.pk])
    assert sam.post(url, {"revoke": str(terminal.pk)}).status_code == 302
    assert "revoked" in Page(sam.get(url)).words
    assert tess.get(round_of(works))["Location"].startswith("/login")
    assert "This is not an enrolled terminal" in Page(tess.get(reverse("terminal"))).words
    pin = {"user": str(works.people["tester"].pk), "pin": factories.PIN}
    tess.post(reverse("terminal-unlock"), pin)
    assert tess.get(round_of(works)).status_code == 302


@pytest.mark.parametrize("key", ["", "x", "00000000-0000-0000-0000-000000000000"])
def test_revoking_what_is_not_there_is_not_found(
    works: SimpleNamespace, sam: Browser, key: str
) -> None:
    url = reverse("terminals", args=[works.plant.pk])
    assert sam.post(url, {"revoke": key}).status_code == 404


def test_a_wrong_pin_counts_and_is_told_beside_its_field(
    works: SimpleNamespace, token: str
) -> None:
    bench = at_terminal(token)
    sent = {"user": str(works.people["tester"].pk), "pin": "1111"}
    page = Page(bench.post(reverse("terminal-unlock"), sent))
    assert page.status == 422 and "Tries left before a pause: 4." in page.told()["pin"]
    assert bench.get(round_of(works)).status_code == 302
    for _try in range(4):
        page = Page(bench.post(reverse("terminal-unlock"), sent))
    assert "Locked out at this terminal until 12:15." in page.words
    right = bench.post(reverse("terminal-unlock"), sent | {"pin": factories.PIN})
    assert right.status_code == 422
    at_terminal(token, works.people["mate"])


@pytest.mark.parametrize("user", ["", "x", "00000000-0000-0000-0000-000000000000", "\0"])
def test_who_is_not_of_this_plant_is_asked_for_no_pin(token: str, user: str) -> None:
    bench = at_terminal(token)
    sent = bench.post(reverse("terminal-unlock"), {"user": user, "pin": factories.PIN})
    assert sent["Location"] == reverse("terminal")
    assert bench.get(reverse("terminal"), {"user": user}).status_code == 200


def test_another_plants_people_are_not_shown(
    works: SimpleNamespace, dairy: SimpleNamespace, token: str
) -> None:
    bench = at_terminal(token)
    stranger = {"user": str(dairy.people["tester"].pk), "pin": factories.PIN}
    assert bench.post(reverse("terminal-unlock"), stranger)["Location"] == reverse("terminal")
    assert str(dairy.people["tester"].pk) not in bench.get(reverse("terminal")).content.decode()


def test_lock_is_at_once_and_the_next_one_finds_nothing_of_the_last(
    works: SimpleNamespace, token: str, tess: Browser
) -> None:
    draft = begun(works)
    sent = tess.post(bench_urls(draft).work, bench_form(works, "1313"), headers={"HX-Request": "1"})
    assert sent.status_code == 200
    assert tess.post(reverse("terminal-lock"))["Location"] == reverse("terminal")
    assert "has an unfinished sheet" in Page(tess.get(reverse("terminal"))).words
    assert tess.get(bench_urls(draft).page).status_code == 302
    pin = {"user": str(works.people["mate"].pk), "pin": factories.PIN}
    tess.post(reverse("terminal-unlock"), pin)
    assert "Milo Mate" in Page(tess.get(round_of(works))).words
    assert "1313" not in Page(tess.get(round_of(works))).words
    assert tess.get(bench_urls(draft).page).status_code == 404
    tess.post(reverse("terminal-lock"))
    back = at_terminal(token, works.people["tester"])
    assert Page(back.get(bench_urls(draft).page)).values["conductivity.reading"] == "1313"


def test_a_password_at_the_terminal_ends_the_testers_stay(
    works: SimpleNamespace, tess: Browser
) -> None:
    sent = {"username": "sam-larkfield", "password": factories.PASSWORD}
    assert tess.post(reverse("login"), sent).status_code == 302
    words = Page(tess.get(round_of(works))).words
    assert "Sam Sutter" in words and "Tess Tanner Lock" not in words


def test_left_alone_it_locks_by_the_servers_clock(works: SimpleNamespace, tess: Browser) -> None:
    with later(60):
        assert tess.get(round_of(works)).status_code == 200
        with later(60):
            assert tess.post(reverse("terminal-heartbeat")).status_code == 204
            with later(106):
                assert tess.post(reverse("terminal-heartbeat")).status_code == 401
                assert tess.get(round_of(works))["Location"].startswith("/terminal")


def test_a_supervisor_with_a_password_is_locked_out_too(works: SimpleNamespace, token: str) -> None:
    bench = at_terminal(token)
    bench.force_login(works.people["supervisor"])
    assert bench.get(round_of(works)).status_code == 200
    with later(106):
        assert bench.get(round_of(works))["Location"].startswith("/terminal")


def test_a_desk_is_not_locked(works: SimpleNamespace, sam: Browser) -> None:
    assert sam.get(round_of(works)).status_code == 200
    with later(3600):
        assert sam.get(round_of(works)).status_code == 200


@override_settings(TERMINAL_IDLE_SECONDS=30)
def test_a_save_after_the_lock_is_refused_and_stores_nothing(
    works: SimpleNamespace, tess: Browser
) -> None:
    draft = begun(works)
    with later(46):
        sent = tess.post(bench_urls(draft).work, bench_form(works), headers={"HX-Request": "true"})
    assert sent.status_code == 401
    assert Draft.objects.get(plant=works.plant).revision == 0


def test_what_a_person_saw_is_not_kept_by_the_browser(
    works: SimpleNamespace, tess: Browser
) -> None:
    assert tess.get(round_of(works))["Cache-Control"] == "no-store, private"
