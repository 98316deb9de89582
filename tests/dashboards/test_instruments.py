"""The register on screen: how instruments stand, a guided check, cards and lots."""

from types import SimpleNamespace
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django_scopes import scope

from records.models import Instrument, InstrumentCard, InstrumentCheck, Lot, LotCard
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.records import story
from tests.records.checking import check, kcl, meter_of, run


def url(works: SimpleNamespace, name: str, *keys: Any) -> str:
    return reverse(name, args=[works.plant.pk, *keys])


def form(works: SimpleNamespace, lot: Lot | None, reading: str = "1400", **changed: str) -> Any:
    """Return a filled check of the conductivity meter, as the page sends it."""
    sent = {
        "key": story.key(),
        "do": "record",
        "done_at": "2026-03-10T12:00",
        "standard.standard": str(lot.pk) if lot else "",
        "found.reading": reading,
        "found.reading.unit": "umho/cm",
        "found.temperature": "77",
        "found.temperature.unit": "degF",
        "found.correction": "yes",
    }
    return sent | changed


@pytest.fixture
def at(works: SimpleNamespace) -> str:
    return url(works, "instrument-check", meter_of(works).pk, "conductivity")


def test_the_form_asks_what_the_recipe_asks_in_the_plants_units(
    works: SimpleNamespace, tess: Browser, at: str
) -> None:
    kcl(works, number="K7")
    page = Page(tess.get(at))
    assert page.values["found.reading.unit"] == "umho/cm"
    assert page.values["found.temperature.unit"] == "degF"
    assert page.values["done_at"] == "2026-03-10T12:00"
    assert "KCl 1400, K7: 1400 ± 14 µmho/cm" in page.words
    assert "never scrub" in page.words.lower() and "call the chemist" in page.words


def test_looking_stores_nothing_and_says_what_it_comes_to(
    works: SimpleNamespace, tess: Browser, at: str
) -> None:
    works.plant.whom_to_call = "the chemist, extension 100"
    answer = tess.post(at, form(works, kcl(works), "1600", do="look"))
    page = Page(answer)
    assert answer.status_code == 200 and not InstrumentCheck.objects.exists()
    assert page.values["found.reading"] == "1600"
    assert (
        "Outside its tolerance" in page.words and "Out of service: call the chemist" in page.words
    )
    assert "All results by it so far are then in doubt" in page.words


def test_a_check_is_recorded_and_shown_with_its_history(
    works: SimpleNamespace, tess: Browser, at: str
) -> None:
    sent = form(works, kcl(works), "1390")
    assert tess.post(at, sent).status_code == 302
    assert tess.post(at, sent).status_code == 302  # the same form once more
    with scope(plant=works.plant):
        assert InstrumentCheck.objects.count() == 1
    page = Page(tess.get(url(works, "instrument", meter_of(works).pk)))
    assert "Passed as found" in page.words and "Tess Tanner" in page.words
    assert "-0.7 ± " in page.words and "1390 µmho/cm" in page.words
    assert "17 Mar 2026" in page.words  # a week on: the quick verification


def test_what_is_missing_is_told_beside_its_field_and_what_was_typed_stays(
    works: SimpleNamespace, tess: Browser, at: str
) -> None:
    answer = tess.post(at, form(works, None, "tall", note="wet bench"))
    page = Page(answer)
    assert answer.status_code == 422
    assert set(page.told()) == {"f-found-reading", "f-standard-standard"}
    assert page.values["found.reading"] == "tall" and page.values["note"] == "wet bench"


@pytest.mark.parametrize(
    ("changed", "beside"),
    [
        ({"done_at": "soon"}, "f-done_at"),
        ({"done_at": "2026-03-11T12:00"}, "f-done_at"),
        ({"found.temperature": "200"}, "f-found-temperature"),
        ({"adjusted": "yes"}, "f-adjustment"),
        ({"together": "x"}, "f-together"),
        ({"standard.standard": "x"}, "f-standard-standard"),
        ({"note": "x" * 301}, "f-note"),
    ],
)
def test_bad_input_is_refused_in_words(
    works: SimpleNamespace, tess: Browser, at: str, changed: dict[str, str], beside: str
) -> None:
    answer = tess.post(at, form(works, kcl(works), **changed))
    assert answer.status_code == 422 and beside in Page(answer).told()
    assert not InstrumentCheck.objects.exists()


def test_an_expired_lot_asks_for_a_reason(works: SimpleNamespace, tess: Browser, at: str) -> None:
    bottle = kcl(works, shelf="2026-03-09")
    answer = tess.post(at, form(works, bottle))
    page = Page(answer)
    assert "Past its expiry date" in page.words and "f-reason-standard" in page.told()
    again = form(works, bottle) | {"reason.standard": "the only one left"}
    assert tess.post(at, again).status_code == 302


def test_another_kinds_check_does_not_exist(works: SimpleNamespace, tess: Browser) -> None:
    for recipe in ("balance", "nonsense"):
        at = url(works, "instrument-check", meter_of(works).pk, recipe)
        assert tess.get(at).status_code == 404


def test_the_list_says_what_is_not_in_order_first(works: SimpleNamespace, sam: Browser) -> None:
    bottle = kcl(works)
    story.draw(works, "1100", drawn_at=None)
    with story.later(10):
        check(works, run("1600"), lot=bottle)
        page = Page(sam.get(url(works, "instruments")))
    assert "1 out of service" in page.words and "1 test in doubt" in page.words
    assert page.words.index("meter A") < page.words.index("cell A")


def test_a_supervisor_registers_changes_and_puts_back(works: SimpleNamespace, sam: Browser) -> None:
    sent = {"kind": "balance", "name": "Balance B", "place": "bench", "key": story.key()}
    bad = sam.post(url(works, "instrument-new"), sent | {"range_low": "x"})
    assert bad.status_code == 422 and Page(bad).values["name"] == "Balance B"
    assert sam.post(url(works, "instrument-new"), sent).status_code == 302
    with scope(plant=works.plant):
        balance = Instrument.objects.get(name="Balance B")
    card = url(works, "instrument-card", balance.pk)
    assert Page(sam.get(card)).values["place"] == "bench"
    why = {"place": "water room", "why": "it shakes", "key": story.key()}
    assert sam.post(card, why).status_code == 302
    event = url(works, "instrument-event", balance.pk)
    told = {"kind": "out_of_service", "why": "lent out", "happened_at": "2026-03-10T11:00"}
    assert sam.post(event, told | {"key": story.key()}).status_code == 302
    page = Page(sam.get(url(works, "instrument", balance.pk)))
    assert "it shakes" in page.words and "lent out" in page.words
    assert "Out of service" in page.words and "water room" in page.words
    with scope(plant=works.plant):
        assert InstrumentCard.objects.filter(instrument=balance).count() == 2


def test_a_tester_can_note_and_take_out_but_is_offered_nothing_else(
    works: SimpleNamespace, tess: Browser
) -> None:
    at = url(works, "instrument", meter_of(works).pk)
    page = Page(tess.get(at))
    kinds = {a["value"] for a in page.named("input") if a.get("name") == "kind"}
    assert kinds == {"out_of_service", "noted"}
    sent = {"kind": "repaired", "why": "x", "happened_at": "2026-03-10T11:00", "key": story.key()}
    assert tess.post(url(works, "instrument-event", meter_of(works).pk), sent).status_code == 422


def test_lots_are_registered_opened_and_listed(
    works: SimpleNamespace, sam: Browser, tess: Browser
) -> None:
    sent = {
        "kind": "standard", "name": "KCl 1413", "lot_number": "B-12", "value": "1413",
        "unit": "uS/cm", "expanded": "14", "behavior": "kcl", "shelf": "2026-12-31",
        "use_days": "30", "key": story.key(),
    }  # fmt: skip
    bad = sam.post(url(works, "lot-new"), sent | {"behavior": ""})
    page = Page(bad)
    assert bad.status_code == 422 and "f-behavior" in page.told()
    assert page.values["lot_number"] == "B-12"
    assert sam.post(url(works, "lot-new"), sent).status_code == 302
    with scope(plant=works.plant):
        lot = Lot.objects.get(lot_number="B-12")
    opened = {"opened_on": "2026-03-10", "key": story.key()}
    assert tess.post(url(works, "lot-open", lot.pk), opened).status_code == 302
    page = Page(tess.get(url(works, "lots")))
    assert "1413 ± 14 µS/cm" in page.words and "9 Apr 2026" in page.words
    with scope(plant=works.plant):
        assert LotCard.objects.filter(lot=lot).count() == 2
    own = Page(tess.get(url(works, "lot", lot.pk)))
    assert "value" not in own.values  # a tester sees the card and can't change it


@pytest.mark.parametrize("name", ["instruments", "lots", "instrument"])
def test_a_page_does_not_ask_once_per_row(
    works: SimpleNamespace, sam: Browser, django_assert_max_num_queries: Any, name: str
) -> None:
    bottle = kcl(works)
    keys = [meter_of(works).pk] if name == "instrument" else []

    def more(minutes: int) -> None:
        with story.later(minutes):
            check(works, run("1400"), lot=bottle)
        kcl(works)
        entry = {"kind": "balance", "name": f"Balance {minutes}", "key": story.key()}
        assert sam.post(url(works, "instrument-new"), entry).status_code == 302

    more(1)
    sam.get(url(works, name, *keys))
    with CaptureQueriesContext(connection) as few:
        assert sam.get(url(works, name, *keys)).status_code == 200
    most = len(few)
    for minutes in (2, 3, 4):
        more(minutes)
    with django_assert_max_num_queries(most):
        sam.get(url(works, name, *keys))
