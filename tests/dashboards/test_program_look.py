"""Look first: the form's limits held against the last 90 days, without storing anything."""

from types import SimpleNamespace

from records.models import Verdict
from tests import factories
from tests.dashboards.conftest import Browser
from tests.dashboards.program_form import ProgramPage
from tests.records import story


def test_it_counts_what_would_have_been_judged_otherwise_and_stores_nothing(
    works: SimpleNamespace, cleo: Browser
) -> None:
    for reading in ("900", "1200", "1500"):
        story.draw(works, reading)
    before = list(Verdict.objects.values())
    form = ProgramPage(works, cleo)
    page = form.press("look", l0_high="1150", l0_target="", l0_confirmed="on")
    for told in (
        "1 of 3 results since",
        "1: in range, would be high",
        "1200 µmho/cm In range High",
        "no stored verdict changes",
    ):
        assert told in page.words, told
    assert page.values["l0.high"] == "1150" and form.versions() == 1
    assert list(Verdict.objects.values()) == before


def test_what_can_not_be_read_is_told_instead(works: SimpleNamespace, cleo: Browser) -> None:
    story.draw(works, "1200")
    page = ProgramPage(works, cleo).press("look", l0_high="lots")
    assert page.status == 422 and "not a number" in page.told()["f-l0.high"]
    assert "results since" not in page.words


def test_a_long_list_is_cut_and_says_how_much_is_left(
    works: SimpleNamespace, cleo: Browser, monkeypatch: object
) -> None:
    monkeypatch.setattr("dashboards.build.program_look.MOST_ROWS", 2)  # type: ignore[attr-defined]
    for reading in ("1200", "1210", "1220"):
        story.draw(works, reading)
    page = ProgramPage(works, cleo).press("look", l0_high="1150", l0_target="", l0_confirmed="on")
    assert "and 1 more, older ones" in page.words


def test_results_in_doubt_are_left_out_and_counted(works: SimpleNamespace, cleo: Browser) -> None:
    shelf = {**works.used, "meter": story.out_of_service(works)}
    doubtful = factories.conductivity("1200", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.tester, works.point, doubtful)
    assert "1 result in doubt is left out" in ProgramPage(works, cleo).press("look").words
