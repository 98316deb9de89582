"""The chemist's program: sets side by side, a new version, never back-dated over judged draws."""

from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import Program, ProgramVersion
from tests import factories
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.records import story

NEW = {
    "low": "",
    "high": "1250",
    "target": "1000",
    "source": "Plant decision of March",
    "in_force_from": "2026-03-10T12:30",
    "note": "less carryover",
    "key": "v2",
}


@pytest.fixture
def urls(works: SimpleNamespace) -> SimpleNamespace:
    program = Program.objects.get(plant=works.plant, boiler=works.boiler)
    keys = [works.plant.pk, program.pk]
    return SimpleNamespace(
        page=reverse("program", args=keys), new=reverse("program-version", args=keys)
    )


def versions(works: SimpleNamespace) -> int:
    return ProgramVersion.objects.filter(plant=works.plant).count()


def test_the_program_shows_its_limit_source_and_times(urls: SimpleNamespace, cleo: Browser) -> None:
    page = Page(cleo.get(urls.page))
    for told in ("at most 1300 µmho/cm", "target", "Common practice", "common practice, no source"):
        assert told in page.words, told
    assert "every day at 02:00, 06:00" in page.words and "Write a new version" in page.words


def test_a_supervisor_reads_the_program_and_is_offered_no_change(
    urls: SimpleNamespace, sam: Browser
) -> None:
    assert "Write a new version" not in Page(sam.get(urls.page)).words


def test_a_new_version_is_recorded_for_a_time_to_come(
    works: SimpleNamespace, urls: SimpleNamespace, cleo: Browser
) -> None:
    form = Page(cleo.get(urls.new))
    assert form.values["high"] == "1300" and form.values["source"] == "Common practice"
    assert cleo.post(urls.new, NEW)["Location"] == urls.page
    page = Page(cleo.get(urls.page))
    assert "Not yet in force" in page.words and "at most 1250" in page.words
    assert cleo.post(urls.new, NEW)["Location"] == urls.page  # sent twice
    assert versions(works) == 2


def test_it_is_not_back_dated_over_judged_draws_and_keeps_what_was_typed(
    works: SimpleNamespace, urls: SimpleNamespace, cleo: Browser
) -> None:
    story.draw(works, "1100")
    page = Page(cleo.post(urls.new, NEW | {"in_force_from": "2026-03-10T08:00"}))
    assert page.status == 422
    assert "Draws have been judged" in page.told()["f-in_force_from"]
    kept = {key: page.values[key] for key in ("high", "target", "source", "note", "in_force_from")}
    assert kept == {key: (NEW | {"in_force_from": "2026-03-10T08:00"})[key] for key in kept}
    assert versions(works) == 1


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"high": "lots"}, "f-high", "not a number"),
        ({"high": "1,250"}, "f-high", "1250 or 1.250"),
        ({"low": "12\0"}, "f-low", "not a number"),
        ({"target": "x" * 300}, "f-target", "too long"),
        ({"source": " "}, "f-source", "Say where this limit comes from."),
        ({"source": "x" * 300}, "f-source", "too long"),
        ({"source": "a\0b"}, "f-source", "can't be stored"),
        ({"note": "x" * 301}, "f-note", "too long"),
        ({"in_force_from": "soon"}, "f-in_force_from", "date and time"),
        ({"in_force_from": ""}, "f-in_force_from", "date and time"),
        ({"low": "1400"}, "f-high", ""),
        ({"target": "1400"}, "f-high", ""),
    ],
)
def test_bad_input_is_told_beside_its_field(
    works: SimpleNamespace,
    urls: SimpleNamespace,
    cleo: Browser,
    changed: dict[str, str],
    where: str,
    told: str,
) -> None:
    page = Page(cleo.post(urls.new, NEW | changed))
    assert page.status == 422 and told in page.told()[where]
    assert {key: page.values[key] for key in changed} == changed
    assert versions(works) == 1


def test_at_900_psig_the_sets_stand_side_by_side_and_none_is_interpolated(
    works: SimpleNamespace, cleo: Browser
) -> None:
    """1300 µmho/cm up to 600 psi, 700 at 1200 psi (common practice, no source): none between."""
    factories.boiler(works.plant, "Boiler 9", rated_psig=900.0, working_psig=860.0)
    program = Program.objects.get(plant=works.plant, boiler__name="Boiler 9")
    page = Page(cleo.get(reverse("program-version", args=[works.plant.pk, program.pk])))
    assert "This set knows no limit at this pressure. None is guessed" in page.words
    assert "a maximum between" in page.words and "set by steam purity" in page.words
    assert "before putting this in force" in page.words
    assert page.values["high"] == ""


def test_the_program_of_shared_water_has_no_limits_to_write(
    works: SimpleNamespace, cleo: Browser
) -> None:
    shared = Program.objects.get(plant=works.plant, boiler=None)
    keys = [works.plant.pk, shared.pk]
    assert cleo.get(reverse("program", args=keys)).status_code == 200
    assert cleo.get(reverse("program-version", args=keys)).status_code == 404
