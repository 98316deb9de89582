"""A bench sheet with several tests: adding one, changing its mode, leaving one out, confirming."""

from datetime import timedelta

import pytest
from django.urls import reverse

from records import clock
from records.models import Draft, Measurement, Sample
from records.services.drafts import draft_open
from tests import factories
from tests.dashboards.conftest import at_desk
from tests.dashboards.page import Page


@pytest.fixture
def sheet(works):
    """The tester's browser with an open sheet of the boiler's water."""
    draft = draft_open(actor=works.tester, point=works.point, method_keys=["conductivity"])
    return at_desk(works.people["tester"]), draft


def _url(name: str, draft: Draft) -> str:
    return reverse(name, args=[draft.plant_id, draft.pk])


def _typed(works, **typed: str) -> dict[str, str]:
    used = {f"conductivity@{role}": key for role, key in works.used.items()}
    drawn = clock.now() - timedelta(hours=5)
    return {
        "drawn_at": drawn.strftime("%Y-%m-%dT%H:%M"),  # five hours behind UTC in March
        "conductivity:mode": "automatic",
        "conductivity.reading": "1240",
        "conductivity.reading.unit": "umho/cm",
        "conductivity.temperature": "77",
        "conductivity.temperature.unit": "degF",
        "conductivity.neutralized": "no",
        **used,
        **typed,
    }


def test_it_puts_one_more_test_on_the_sheet_and_keeps_what_is_typed(works, sheet):
    browser, draft = sheet
    sent = _typed(works, add="alkalinity", revision="0")
    assert browser.post(_url("bench-add", draft), sent).status_code == 302
    page = Page(browser.get(_url("bench", draft)))
    assert "P and M alkalinity" in page.words
    assert Draft.objects.get(pk=draft.pk).typed["conductivity.reading"] == "1240"


def test_another_mode_brings_its_own_fields(works, sheet):
    browser, draft = sheet
    browser.post(_url("bench-add", draft), _typed(works, add="alkalinity", revision="0"))
    sent = _typed(works, revision="1") | {
        "alkalinity:mode": "drops",
        "alkalinity:shown": "burette",
    }
    reply = browser.post(_url("bench-work", draft), sent, headers={"HX-Request": "true"})
    text = reply.content.decode()
    assert 'id="fields-alkalinity"' in text and 'id="fields-conductivity"' not in text
    assert "drops" in text.split('id="fields-alkalinity"')[1].split('id="confirm-')[0]


def test_a_test_on_which_nothing_was_entered_is_left_out(works, sheet):
    browser, draft = sheet
    browser.post(_url("bench-add", draft), _typed(works, add="alkalinity", revision="0"))
    answer = browser.post(_url("bench-finish", draft), _typed(works, revision="1"))
    assert answer.status_code == 302
    assert [m.method for m in Measurement.objects.all()] == ["conductivity"]


def test_an_unlikely_value_is_told_and_asked_about(works, sheet):
    browser, draft = sheet
    for hours in (20, 16, 12, 8):
        with clock.clock_at(clock.now() - timedelta(hours=hours)):
            test = factories.conductivity("1100", works.used)
            factories.sample(works.mate, works.point, test)
    sent = _typed(works, revision="0") | {"conductivity.reading": "110"}
    refused = browser.post(_url("bench-finish", draft), sent)
    page = Page(refused)
    assert refused.status_code == 422 and Sample.objects.count() == 4
    assert "right as it stands" in page.words
    box = next(a for _, a in page.elements if a.get("name") == "conductivity:confirm")
    sent |= {"conductivity:confirm": box["value"], "revision": "1"}
    assert browser.post(_url("bench-finish", draft), sent).status_code == 302
    assert Sample.objects.count() == 5


@pytest.mark.parametrize("add", ["", "alchemy", "x" * 300])
def test_a_test_that_is_not_known_is_not_added(works, sheet, add):
    browser, draft = sheet
    answer = browser.post(_url("bench-add", draft), _typed(works, add=add, revision="0"))
    assert answer.status_code == 422
    assert Draft.objects.get(pk=draft.pk).method_versions == {"conductivity": "1"}


def _blocks(reply) -> list[str]:
    """Return the tests that a reply brings anew."""
    ids = [dict(attrs).get("id", "") for _, attrs in Page(reply).elements]
    return [each.removeprefix("worked-") for each in ids if each.startswith("worked-")]


@pytest.fixture
def three(works, sheet):
    """Three tests on the sheet, and a function that types on it as the page's script does."""
    browser, draft = sheet
    for add in ("ph", "alkalinity"):
        revision = str(Draft.objects.get(pk=draft.pk).revision)
        browser.post(_url("bench-add", draft), _typed(works, add=add, revision=revision))
    sent = _typed(works) | {
        "ph:mode": "automatic", "ph.reading": "10.9", "ph.temperature": "77",
        "ph.temperature.unit": "degF", "ph.buffer_low": "seven", "ph.buffer_high": "carbonate",
        "alkalinity:mode": "drops", "alkalinity.p_end": "6", "alkalinity.m_end": "20",
        "alkalinity.drop_means": "result", "alkalinity.per_drop_result": "20",
        "alkalinity.end_point": "reached", "alkalinity.others": "yes",
    }  # fmt: skip

    def type_on(in_step: bool = True, **typed: str):
        sent.update({name.replace("__", "."): text for name, text in typed.items()})
        revision = Draft.objects.get(pk=draft.pk).revision
        told = {"revision": str(revision if in_step else revision - 1)}
        return browser.post(_url("bench-work", draft), sent | told, headers={"HX-Request": "true"})

    type_on()
    return type_on


def test_only_the_test_typed_in_comes_anew(three):
    assert _blocks(three(conductivity__reading="1250")) == ["conductivity"]


def test_a_result_that_no_longer_fits_another_brings_that_one_too(three):
    """P alkalinity is what lies above pH 8.3: Standard Methods 2320 B, from memory."""
    reply = three(ph__reading="7.5")
    assert _blocks(reply) == ["ph", "alkalinity"]
    assert "there is no P alkalinity" in Page(reply).words
    mended = three(ph__reading="10.8")
    assert _blocks(mended) == ["ph", "alkalinity"]
    assert "there is no P alkalinity" not in Page(mended).words


def test_another_time_of_the_draw_brings_all(three):
    earlier = clock.now() - timedelta(hours=6)
    reply = three(drawn_at=earlier.strftime("%Y-%m-%dT%H:%M"))
    assert _blocks(reply) == ["conductivity", "ph", "alkalinity"]


def test_a_page_that_is_behind_gets_all(works, sheet, three):
    """The same text once more, its first answer lost: nothing is new, yet the page knows none."""
    three(conductivity__reading="1250")
    assert _blocks(three(in_step=False)) == ["conductivity", "ph", "alkalinity"]
