"""Draws that events ask for, in the form of a new program version."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from records.models import EventDraw, Program
from records.selectors.programs import newest_version
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.dashboards.program_form import ProgramPage
from tests.records import story

DOSE = {"e0.test.phosphate": "on", "e0.after": "30", "e0.source": "Plant decision"}


@pytest.fixture
def form(works: SimpleNamespace, cleo: Browser) -> ProgramPage:
    return ProgramPage(works, cleo)


@pytest.fixture
def shared(works: SimpleNamespace, cleo: Browser) -> ProgramPage:
    return ProgramPage(works, cleo, boiler=None)


def stored(program: Program) -> list[tuple[Any, ...]]:
    """Return what the newest version asks for, in its order."""
    kept = EventDraw.objects.filter(version=newest_version(program)).order_by("id")
    keys = ("event", "method", "state", "minutes_after", "grace_minutes", "source")
    return list(kept.values_list(*keys))


def test_several_tests_are_asked_for_by_one_event(form: ProgramPage) -> None:
    page = form.add_event("dose")
    assert "After a dose: draw at Boiler 1, Boiler water" in page.words
    assert (page.values["e0.after"], page.values["e0.grace"]) == ("0", "90")
    sent = {**DOSE, "e0.test.ph": "on", "e0.state": "steaming", "e0.grace": "45"}
    assert form.put(**sent)["Location"] == form.shown
    assert sorted(stored(form.program)) == [
        ("dose", method, "steaming", 30, 45, "Plant decision") for method in ("ph", "phosphate")
    ]
    page = Page(form._browser.get(form.url))
    assert "e1.after" not in page.values and page.values["e0.test.ph"] == "on"


def test_a_result_above_a_trigger_asks_at_another_point(
    works: SimpleNamespace, form: ProgramPage
) -> None:
    """Condensate conductivity above 35 µmho/cm asks for hardness: UFC 3-240-13FN (2005), 6-3.6."""
    feed = str(works.feed.pk)
    page = form.add_event("result_above", watched=feed, analyte="conductivity")
    assert "Conductivity of Feedwater above a trigger: draw at Boiler 1, Boiler water" in page.words
    assert page.values["e0.unit"] == "umho/cm"
    sent = {"e0.test.hardness_total": "on", "e0.trigger": "35,5", "e0.source": "UFC"}
    assert form.put(**sent)["Location"] == form.shown
    row = EventDraw.objects.get()
    assert (row.watched_point, row.watched_analyte) == (works.feed, "conductivity")
    assert (row.trigger_value, row.trigger_unit, row.sample_point) == (
        "35.5", "umho/cm", works.point,
    )  # fmt: skip


def test_what_is_in_force_is_in_the_form_and_says_the_same_when_recorded(
    works: SimpleNamespace, cleo: Browser
) -> None:
    story.events(works, story.hardness_above(works), point=works.feed)
    form = ProgramPage(works, cleo, boiler=None)
    assert form.page.values["e0.trigger"] == "35"
    before = stored(form.program)
    assert form.put()["Location"] == form.shown and form.versions() == 2
    assert stored(form.program) == before and EventDraw.objects.count() == 2


def test_a_draw_is_taken_out_and_put_back_with_all_that_was_typed(form: ProgramPage) -> None:
    form.add_event("blowdown")
    form.press("out.e0", **DOSE)
    assert "taken out" in form.page.words
    page = form.press("back.e0")
    assert "taken out" not in page.words
    assert {key: page.values[key] for key in DOSE} == DOSE
    form.press("out.e0")
    assert form.put()["Location"] == form.shown and stored(form.program) == []


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"e0.test.phosphate": ""}, "f-e0.tests", "Tick at least one test."),
        ({"e0.after": "soon"}, "f-e0.after", "how many minutes afterwards"),
        ({"e0.after": "1441"}, "f-e0.after", "0 to 1440"),
        ({"e0.after": "-5"}, "f-e0.after", "0 to 1440"),
        ({"e0.grace": "99999"}, "f-e0.grace", "0 to 10080"),
        ({"e0.grace": ""}, "f-e0.grace", "0 to 10080"),
        ({"e0.source": " "}, "f-e0.source", "Say where this comes from."),
        ({"e0.source": "x" * 201}, "f-e0.source", "too long"),
        ({"e0.source": "a\0b"}, "f-e0.source", "can't be stored"),
        ({"e0.state": "dancing"}, "f-e0.state", "Pick one of the states given"),
        ({"e0.trigger": ""}, "f-e0.trigger", "above which figure"),
        ({"e0.trigger": "many"}, "f-e0.trigger", "not a number"),
        ({"e0.unit": "degC"}, "f-e0.unit", "does not measure"),
        ({"e0.unit": "parts"}, "f-e0.unit", "not known here"),
        ({"e0.watched": ""}, "f-e0.trigger", "which result is watched"),
        ({"e0.analyte": "phlogiston"}, "", ""),
        ({"e0.event": "full_moon"}, "f-e0.tests", "Pick one of the events given."),
    ],
)
def test_bad_input_is_told_beside_its_field(
    works: SimpleNamespace, form: ProgramPage, changed: dict[str, str], where: str, told: str
) -> None:
    form.add_event("result_above", watched=str(works.feed.pk), analyte="conductivity")
    page = Page(form.put(**{**DOSE, "e0.trigger": "35", **changed}))
    assert page.status == 422 and form.versions() == 1
    assert not where or told in page.told()[where], page.told()
    kept = {key: text for key, text in changed.items() if key in page.values and "state" not in key}
    assert {key: page.values[key] for key in kept} == kept
    links = {attrs.get("href") for attrs in page.named("a")}
    assert "#e0" in links if where.endswith(".tests") else not where or f"#{where}" in links


def test_the_same_test_asked_for_twice_is_told(form: ProgramPage) -> None:
    form.add_event("dose")
    form.press("add-event", **DOSE, **{"when.event": "dose"})
    again = {key.replace("e0", "e1"): text for key, text in DOSE.items()}
    page = Page(form.put(**again))
    assert "is asked for once more by the same event" in page.told()["f-e1.tests"]


@pytest.mark.parametrize(
    ("when", "where"),
    [
        ({"event": "full_moon"}, "f-when.event"),
        ({"event": "light_off"}, "f-when.event"),
        ({"event": "dose", "point": "x"}, "f-when.point"),
        ({"event": "result_above", "watched": "x"}, "f-when.watched"),
        ({"event": "result_above", "analyte": "phlogiston"}, "f-when.analyte"),
    ],
)
def test_what_cannot_be_added_is_told_beside_its_choice(
    shared: ProgramPage, when: dict[str, str], where: str
) -> None:
    assert "A chemical is dosed" in shared.page.words
    assert "A cold boiler is lit off" not in shared.page.words  # that happens to a boiler
    page = shared.add_event(**when)
    assert page.status == 422 and where in page.told() and "e0.after" not in page.values


def test_another_plants_point_is_not_watched(
    works: SimpleNamespace, dairy: SimpleNamespace, form: ProgramPage
) -> None:
    other = str(dairy.feed.pk)
    assert other not in form.page.html
    assert form.add_event("result_above", watched=other).status == 422
    form.add_event("result_above", watched=str(works.feed.pk))
    sent = {**DOSE, "e0.trigger": "35", "e0.watched": other}
    assert form.send("put", **sent).status_code == 422 and form.versions() == 1


def test_no_more_draws_than_a_form_holds(form: ProgramPage) -> None:
    more = {f"e{n}.source": "x" for n in range(41)}
    assert "40 draws" in Page(form.put(**more)).words


def test_more_draws_cost_no_more_queries(
    works: SimpleNamespace, cleo: Browser, django_assert_max_num_queries: Any
) -> None:
    def ask(count: int) -> None:
        dose = story.after(works, "dose")
        story.events(works, *(replace(dose, minutes_after=10 * n) for n in range(count)))

    ask(2)
    form = ProgramPage(works, cleo)
    with CaptureQueriesContext(connection) as few:
        Page(cleo.get(form.url)), Page(cleo.get(form.shown))
    with story.later(1):
        ask(12)
        with django_assert_max_num_queries(len(few)):
            Page(cleo.get(form.url)), Page(cleo.get(form.shown))
