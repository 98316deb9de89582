"""Writing a new version of a program: one form, every button keeps what was typed."""

from datetime import timedelta
from types import SimpleNamespace

import pytest

from records import clock
from records.models import Limit, ScheduleLine
from tests import factories
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.dashboards.program_form import BEGINS, ProgramPage
from tests.records import story
from tests.records.programs import limit, put

PH = "ph~25C||"


@pytest.fixture
def form(works: SimpleNamespace, cleo: Browser) -> ProgramPage:
    return ProgramPage(works, cleo)


def stored(number: int = 2) -> dict[str, tuple[str, ...]]:
    """Return analyte -> low, high, target and unit of a version."""
    rows = Limit.objects.filter(version__number=number)
    return {row.analyte: (row.low, row.high, row.target, row.unit) for row in rows}


def test_it_opens_with_all_that_is_in_force(form: ProgramPage) -> None:
    values = form.page.values
    assert (values["l0.high"], values["l0.target"], values["l0.unit"]) == (
        "1300",
        "1100",
        "umho/cm",
    )
    assert values["l0.source"] == "Common practice" and values["s0.test.conductivity"] == "on"
    assert values["s0.times"] == "02:00 06:00 10:00 14:00 18:00 22:00"
    assert "Begun from version 1" in form.page.words


def test_recorded_as_it_stands_it_says_the_same(form: ProgramPage) -> None:
    assert form.put()["Location"] == form.shown
    assert stored(1) == stored(2) and form.versions() == 2
    rules = ScheduleLine.objects.values_list("method", "recurrence", "grace_minutes")
    assert len(rules) == 2 and len(set(rules)) == 1


def test_it_begins_with_the_version_to_come_rather_than_drop_it(
    works: SimpleNamespace, cleo: Browser
) -> None:
    put(works, limit(works, high="1250"), since=clock.now() + timedelta(days=2))
    page = ProgramPage(works, cleo).page
    assert page.values["l0.high"] == "1250" and "Begun from version 2" in page.words
    assert page.values["in_force_from"] == "2026-03-12T13:00"


def test_limits_are_added_taken_out_and_put_back_with_all_that_was_typed(
    form: ProgramPage,
) -> None:
    form.press("keep", l0_high="1250", note="less carryover")
    page = form.add_limit(PH)
    assert (page.values["l0.high"], page.values["note"]) == ("1250", "less carryover")
    assert page.values["l1.what"] == PH and page.values["l1.unit"] == "pH"
    page = form.press("out.l0", l1_low="10,5", l1_high="11.5", l1_source="Plant decision")
    assert "taken out" in page.words and page.values["l0.high"] == "1250"
    page = form.press("back.l0")
    assert "taken out" not in page.words and page.values["l1.low"] == "10,5"
    form.press("out.l0")
    assert form.put()["Location"] == form.shown
    assert stored() == {"ph": ("10.5", "11.5", "", "pH")}


def test_what_is_there_already_is_not_added_again(form: ProgramPage) -> None:
    page = form.add_limit("conductivity~25C|neutralized|")
    assert page.status == 422 and "has a limit for it in this state already" in page.words
    assert form.add_limit("conductivity~25C|neutralized|", state="wet_layup").status == 200


def test_a_form_sent_twice_is_stored_once(form: ProgramPage) -> None:
    for _time in range(2):
        assert form.put(l0_high="1250", l0_confirmed="on")["Location"] == form.shown
    assert form.versions() == 2


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"l0.high": "lots"}, "f-l0.high", "not a number"),
        ({"l0.high": "1,250"}, "f-l0.high", "1250 or 1.250"),
        ({"l0.low": "12\0"}, "f-l0.low", "not a number"),
        ({"l0.target": "x" * 300}, "f-l0.target", "too long"),
        ({"l0.source": " "}, "f-l0.source", "Say where this limit comes from."),
        ({"l0.source": "x" * 300}, "f-l0.source", "too long"),
        ({"l0.source": "a\0b"}, "f-l0.source", "can't be stored"),
        ({"l0.note": "x" * 301}, "f-l0.note", "too long"),
        ({"l0.unit": "parts"}, "f-l0.unit", "not known here"),
        ({"l0.unit": "degC"}, "f-l0.unit", "does not measure"),
        ({"l0.low": "1400"}, "f-l0.high", "from low over target to high"),
        ({"l0.target": "1400"}, "f-l0.target", "from low over target to high"),
        ({"l0.guard_band": "-5"}, "f-l0.guard_band", "leaves something of the range"),
        ({"l0.high": "", "l0.note": ""}, "f-l0.note", "needs a note"),
        ({"l0.high": "1200"}, "f-l0.confirmed", "then confirm it here"),
        ({"l0.what": "phlogiston~"}, "", ""),
        ({"note": "x" * 301}, "f-note", "too long"),
        ({"in_force_from": "soon"}, "f-in_force_from", "date and time"),
        ({"in_force_from": ""}, "f-in_force_from", "date and time"),
        ({"s0.times": "06:00 25:00"}, "f-s0.times", "“25:00” is not a time of day"),
        ({"s0.times": ""}, "f-s0.times", "at least one time of day"),
        ({"s0.grace": "soon"}, "f-s0.grace", "how many minutes"),
        ({"s0.grace": "99999"}, "f-s0.grace", "how many minutes"),
        ({"s0.test.conductivity": ""}, "f-s0.tests", "Tick at least one test."),
        ({"s0.days": "weekdays"}, "f-s0.days", "at least one weekday"),
        ({"s0.days": "nth", "s0.every": "1"}, "f-s0.every", "from 2 to 366"),
        ({"s0.days": "monthly", "s0.month_day": "31"}, "f-s0.month_day", "Pick one of the days"),
        ({"s0.days": "rule", "s0.rule": "now and then"}, "f-s0.rule", "can't be read"),
    ],
)
def test_bad_input_is_told_beside_its_field(
    form: ProgramPage, changed: dict[str, str], where: str, told: str
) -> None:
    page = Page(form.put(**changed))
    assert page.status == 422 and form.versions() == 1
    assert not where or told in page.told()[where]
    kept = {key: text for key, text in changed.items() if key in page.values}
    assert {key: page.values[key] for key in kept} == kept
    assert "This can't go on yet" in page.words


def test_all_that_is_wrong_is_told_at_once_each_with_its_place(form: ProgramPage) -> None:
    page = Page(form.put(**{"l0.high": "lots", "l0.source": "", "s0.times": "7:99"}))
    assert {"f-l0.high", "f-l0.source", "f-s0.times"} <= set(page.told())
    links = {attrs.get("href") for attrs in page.named("a")}
    assert {"#f-l0.high", "#f-l0.source", "#f-s0.times"} <= links


def test_it_is_not_back_dated_over_judged_draws_and_keeps_what_was_typed(
    works: SimpleNamespace, cleo: Browser
) -> None:
    story.draw(works, "1100")
    form = ProgramPage(works, cleo)
    page = Page(form.put(in_force_from="2026-03-10T08:00", l0_low="10"))
    assert page.status == 422 and form.versions() == 1
    assert "Draws have been judged" in page.told()["f-in_force_from"]
    assert page.values["l0.low"] == "10" and page.values["in_force_from"] == "2026-03-10T08:00"


def test_tests_of_one_point_and_state_share_a_line(form: ProgramPage) -> None:
    ticked = {f"s0.test.{key}": "on" for key in ("ph", "alkalinity", "phosphate", "sulfite")}
    assert form.put(**ticked)["Location"] == form.shown
    rows = ScheduleLine.objects.filter(version__number=2)
    assert {row.recurrence for row in rows} == {
        "FREQ=DAILY;BYHOUR=2,6,10,14,18,22;BYMINUTE=0;BYSECOND=0"
    }
    assert {row.method for row in rows} == {
        "conductivity", "ph", "alkalinity", "phosphate", "sulfite",
    }  # fmt: skip
    page = Page(form._browser.get(form.url))
    assert "s1.times" not in page.values and page.values["s0.test.sulfite"] == "on"


@pytest.mark.parametrize(
    ("typed", "rule"),
    [
        ({"times": "6, 14:30"}, "BYHOUR=6,14;BYMINUTE=0,30;BYSECOND=0;BYSETPOS=1,4"),
        ({"days": "weekdays", "day.MO": "on"}, "FREQ=DAILY;BYDAY=MO;BYHOUR=2,6,10,14,18,22"),
        ({"days": "nth", "every": "3"}, "FREQ=DAILY;INTERVAL=3;BYHOUR"),
        ({"days": "monthly", "month_day": "-1"}, "FREQ=MONTHLY;BYMONTHDAY=-1;BYHOUR"),
        ({"days": "rule", "rule": "FREQ=MONTHLY;BYDAY=1MO;BYHOUR=9"}, "BYDAY=1MO;BYHOUR=9"),
    ],
)
def test_each_kind_of_day_is_stored_as_its_rule(
    form: ProgramPage, typed: dict[str, str], rule: str
) -> None:
    """RFC 5545 (2009), 3.3.10."""
    assert form.put(**{f"s0.{key}": text for key, text in typed.items()})["Location"] == form.shown
    assert rule in ScheduleLine.objects.get(version__number=2).recurrence
    page = Page(form._browser.get(form.url))
    assert page.values["s0.days"] == typed.get("days", "daily")


def test_the_next_times_are_shown_on_the_plants_clock(form: ProgramPage) -> None:
    page = form.press("keep", in_force_from=BEGINS, **{"s0.times": "06:15 13:00"})
    assert "Tue 10 Mar 2026, 13:00 · Wed 11 Mar 2026, 06:15" in page.words


def test_the_same_test_on_two_lines_is_told(form: ProgramPage) -> None:
    form.press("add-line", **{"plan.state": "steaming"})
    page = Page(form.put(**{"s1.times": "09:00", "s1.test.conductivity": "on"}))
    assert "on another line of this sample point and state" in page.told()["f-s1.tests"]


def test_the_shared_waters_program_is_written_without_a_state(
    works: SimpleNamespace, cleo: Browser
) -> None:
    form = ProgramPage(works, cleo, boiler=None)
    assert "add.state" not in form.page.values
    form.press("add-limit", **{"add.what": PH})
    typed = {"l0.low": "8.5", "l0.high": "9.5", "l0.source": "Plant decision"}
    assert form.put(**typed)["Location"] == form.shown
    row = Limit.objects.get(version__program=form.program)
    assert (row.sample_point, row.state, row.confidence) == (
        works.feed, "steaming", "decided for this plant",
    )  # fmt: skip


def test_a_new_boilers_first_version_asks_for_conductivity_every_four_hours(
    works: SimpleNamespace, cleo: Browser
) -> None:
    factories.boiler(works.plant, "Boiler 9")
    page = ProgramPage(works, cleo, boiler__name="Boiler 9").page
    assert page.values["l0.what"].startswith("conductivity") and page.values["l0.high"] == ""
    assert page.values["s0.test.conductivity"] == "on"
    assert "This is the program's first version." in page.words


def test_points_and_states_that_are_not_the_programs_are_refused(
    works: SimpleNamespace, form: ProgramPage
) -> None:
    assert form.add_limit(PH, point=str(works.feed.pk)).status == 422
    assert form.add_limit(PH, state="dancing").status == 422
    strange = {"l0.point": str(works.feed.pk), "l0.what": PH}
    assert Page(form.put(**strange)).status == 422 and form.versions() == 1


def test_a_form_as_long_as_it_may_be_is_read(works: SimpleNamespace, form: ProgramPage) -> None:
    """More fields than Django takes by itself (1000)."""
    many = {f"l{n}.note": "x" for n in range(140)} | {
        f"s{n}.test.{key}": "on" for n in range(50) for key in range(24)
    }
    assert form.send("keep", **many).status_code == 200
    more = {f"l{n}.note": "x" for n in range(200)}
    assert "at most 150 limits" in Page(form.put(**more)).words


@pytest.mark.parametrize("button", ["nonsense", "out.l99", "back.", "use.0.no:1", "use.x", "lay"])
def test_a_button_that_means_nothing_changes_nothing(form: ProgramPage, button: str) -> None:
    before = {key: text for key, text in form.page.values.items() if key != "csrfmiddlewaretoken"}
    page = form.press(button)
    after = {key: page.values[key] for key in before}
    assert after == before and form.versions() == 1
