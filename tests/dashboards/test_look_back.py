"""A failed check on screen: what it reaches, the marks, and a chemist's decision."""

from collections.abc import Iterator
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django_scopes import scope

from records import clock
from records.models import Disposition, LookBack, Measurement
from tests import factories
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.records import story
from tests.records.checking import check, kcl, run


@pytest.fixture
def reached(works: SimpleNamespace) -> Iterator[SimpleNamespace]:
    """Two draws between a pass and a check that fails an hour after noon."""
    bottle, noon = kcl(works), factories.NOON
    with clock.clock_at(noon - timedelta(hours=5)):
        check(works, run("1400"), lot=bottle)
    works.draws = []
    for hours, reading in ((4, "1240"), (1, "1350")):
        with clock.clock_at(noon - timedelta(hours=hours)):
            works.draws.append(story.draw(works, reading))
    with clock.clock_at(noon + timedelta(hours=1)):
        check(works, run("1600"), lot=bottle)
        works.back = LookBack.objects.get(plant=works.plant)
        works.url = reverse("look-back", args=[works.plant.pk, works.back.pk])
        yield works


def decide(works: SimpleNamespace, who: Browser, *draws: Any, **changed: str) -> Any:
    keys = [str(draw.measurements.get().pk) for draw in draws]
    sent = {
        "key": story.key(), "outcome": "stands", "reason": "the other meter agreed",
        "scope": "picked" if draws else "all", **changed,
    }  # fmt: skip
    return who.post(f"{works.url}/decide", {**sent, "measurement": keys})


def test_it_lists_what_is_reached_and_which_verdicts_might_change(
    reached: SimpleNamespace, cleo: Browser
) -> None:
    page = Page(cleo.get(reached.url))
    assert "It reaches 2 results; 2 wait for a decision, of which 1 might have had" in page.words
    # 1350 an hour before noon, four of six hours into a drift to 8/7: 1350 / (1 + 4/42)
    assert "1233 µmho/cm, in range another verdict" in page.words
    assert "1240 ±" in page.words and "If it jumped right after its last pass" in page.words
    assert page.words.index("1350") < page.words.index("1240 ±")


def test_the_mark_stands_on_every_screen_until_it_is_decided(
    reached: SimpleNamespace, cleo: Browser
) -> None:
    draw = reached.draws[1]
    at = reached.plant.pk
    urls = {
        "sample": reverse("sample", args=[at, draw.pk]),
        "sheet": reverse("sheet", args=[at, draw.sheet_id]),
        "desk": reverse("plant", args=[at]),
        "history": reverse("result-history", args=[at, draw.measurements.get().pk]),
    }
    told = "meter A failed its check of 2026-03-10"
    for name, url in urls.items():
        assert told in Page(cleo.get(url)).words, name
    assert decide(reached, cleo).status_code == 302
    for name in ("sample", "sheet", "desk"):
        assert told not in Page(cleo.get(urls[name])).words, name
    history = Page(cleo.get(urls["history"])).words
    assert told in history and "It stands, with all others: the other meter agreed" in history


def test_one_is_decided_about_by_its_tick(reached: SimpleNamespace, cleo: Browser) -> None:
    assert decide(reached, cleo, reached.draws[0]).status_code == 302
    page = Page(cleo.get(reached.url))
    assert "1 wait for a decision" in page.words and "the other meter agreed" in page.words
    with scope(plant=reached.plant):
        (row,) = Disposition.objects.all()
        assert row.measurement.sample == reached.draws[0] and row.by_name == "Cleo Carver"


@pytest.mark.parametrize(
    ("changed", "beside"),
    [({"outcome": ""}, "f-outcome"), ({"reason": " "}, "f-reason"), ({"outcome": "amended"}, "")],
)
def test_what_is_missing_is_told_and_ticks_and_words_stay(
    reached: SimpleNamespace, cleo: Browser, changed: dict[str, str], beside: str
) -> None:
    draw = reached.draws[0]
    answer = decide(reached, cleo, draw, **changed)
    page = Page(answer)
    assert answer.status_code == 422 and set(page.told()) == {beside or "f-outcome"}
    assert page.values["measurement"] == str(draw.measurements.get().pk)
    assert page.values["reason"] == changed.get("reason", "the other meter agreed")
    with scope(plant=reached.plant):
        assert not Disposition.objects.exists()


def test_nothing_ticked_is_told(reached: SimpleNamespace, cleo: Browser) -> None:
    answer = decide(reached, cleo, scope="picked")
    assert answer.status_code == 422 and "Tick the results" in Page(answer).alerts


def test_others_see_it_and_decide_nothing(
    reached: SimpleNamespace, sam: Browser, tess: Browser
) -> None:
    for who in (sam, tess):
        page = Page(who.get(reached.url))
        assert "A chemist decides about them" in page.words
        assert not [f for f in page.forms() if f.endswith("/decide")]
        assert decide(reached, who).status_code == 403


def test_a_doubt_of_the_entry_is_decided_about_in_its_history(
    works: SimpleNamespace, cleo: Browser, sam: Browser
) -> None:
    shelf = {**works.used, "meter": story.out_of_service(works)}
    draw = factories.conductivity("900", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.mate, works.point, draw)
    row = Measurement.objects.get(plant=works.plant)
    at = reverse("result-history", args=[works.plant.pk, row.pk])
    assert "Decide about the doubt" not in Page(sam.get(at)).words
    assert "Decide about the doubt" in Page(cleo.get(at)).words
    sent = {"key": story.key(), "outcome": "void", "reason": "that meter was never right"}
    bad = cleo.post(f"{at}/decide", sent | {"reason": ""})
    assert bad.status_code == 422 and "f-reason" in Page(bad).told()
    assert cleo.post(f"{at}/decide", sent).status_code == 302
    words = Page(cleo.get(at)).words
    assert "Void: that meter was never right" in words and "Decide about the doubt" not in words
    sample = Page(cleo.get(reverse("sample", args=[works.plant.pk, row.sample_id]))).words
    assert "void: that meter was never right" in sample


def test_the_page_does_not_ask_once_per_result(
    reached: SimpleNamespace, cleo: Browser, django_assert_max_num_queries: Any
) -> None:
    cleo.get(reached.url)
    with CaptureQueriesContext(connection) as few:
        cleo.get(reached.url)
    most = len(few)
    for number in range(4):
        story.draw(
            reached, "1240", drawn_at=factories.NOON - timedelta(minutes=10 * number),
            reasons={"meter": "drawn before"},
        )  # fmt: skip
    with django_assert_max_num_queries(most):
        cleo.get(reached.url)
