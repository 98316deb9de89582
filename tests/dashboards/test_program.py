"""A program as it is read: limits and times in words, its versions and what each changed."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import Program, ProgramVersion
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.records import story
from tests.records.programs import limit, line, put


def page_of(works: SimpleNamespace, browser: Browser, **which: object) -> Page:
    program = Program.objects.get(plant=works.plant, **which or {"boiler": works.boiler})
    return Page(browser.get(reverse("program", args=[works.plant.pk, program.pk])))


def changes_of(works: SimpleNamespace, browser: Browser, number: int) -> Page:
    version = ProgramVersion.objects.get(program__boiler=works.boiler, number=number)
    return Page(browser.get(reverse("program-changes", args=[works.plant.pk, version.pk])))


def test_the_program_shows_its_limit_source_and_times(
    works: SimpleNamespace, cleo: Browser
) -> None:
    page = page_of(works, cleo)
    for told in ("at most 1300 µmho/cm", "1100", "Common practice", "common practice, no source"):
        assert told in page.words, told
    assert "every day at 02:00, 06:00" in page.words and "Write a new version" in page.words


def test_a_supervisor_reads_the_program_and_is_offered_no_change(
    works: SimpleNamespace, sam: Browser
) -> None:
    assert "Write a new version" not in page_of(works, sam).words


def test_the_program_of_shared_water_is_written_too(works: SimpleNamespace, cleo: Browser) -> None:
    page = page_of(works, cleo, boiler=None)
    assert "No version is in force" in page.words and "Write a new version" in page.words


def test_what_a_version_changed_stands_beside_what_was(
    works: SimpleNamespace, cleo: Browser
) -> None:
    put(
        works,
        limit(works, high="1250", target="1000", source="Plant decision of March"),
        limit(works, analyte="ph", basis="25C||", unit="pH", low="10.5", high="11.5"),
        schedule=[line(works, "FREQ=WEEKLY;BYDAY=MO,TH;BYHOUR=9", method="ph")],
        note="less carryover",
    )
    words = changes_of(works, cleo, 2).words
    for told in (
        "less carryover",
        "Compared with version 1",
        "at most 1300 µmho/cm → at most 1250 µmho/cm",
        "target: 1100 → 1000",
        "source: Common practice → Plant decision of March",
        "pH added 10.5 to 11.5 pH",
        "Conductivity by meter and cell taken out every day at 02:00",
        "pH by electrode added on Monday, Thursday at 09:00",
    ):
        assert told in words, told


@pytest.mark.parametrize(
    ("number", "put_again", "told"),
    [
        (1, False, "This is the first version: there is none before it."),
        (2, True, "No limit, no scheduled test and no draw"),
    ],
)
def test_a_version_without_a_change_says_so(
    works: SimpleNamespace, cleo: Browser, number: int, put_again: bool, told: str
) -> None:
    if put_again:
        same = "FREQ=DAILY;BYMINUTE=0;BYHOUR=2,6,10,14,18,22"  # the same rule in other words
        put(works, limit(works, high="1300", target="1100"), schedule=[line(works, same)])
    assert told in changes_of(works, cleo, number).words


def test_a_version_to_come_is_marked_until_its_time(works: SimpleNamespace, cleo: Browser) -> None:
    put(works, limit(works, high="1250"))
    page = page_of(works, cleo)
    assert "Version 2 not yet in force" in page.words and "at most 1250" not in page.words
    with story.later(61):
        assert "at most 1250" in page_of(works, cleo).words


def test_a_limit_that_is_not_known_says_why(works: SimpleNamespace, cleo: Browser) -> None:
    put(works, limit(works, high="", note="Between 600 and 1200 psi none is known."))
    with story.later(61):
        words = page_of(works, cleo).words
    assert "no limit known" in words and "Between 600 and 1200 psi" in words


def test_what_asks_for_a_draw_is_told_with_its_source(
    works: SimpleNamespace, cleo: Browser
) -> None:
    """The trigger of condensate conductivity: UFC 3-240-13FN (2005), 6-3.6."""
    dose = story.after(works, "dose", state="steaming")
    story.events(works, dose, replace(dose, method="ph"), story.after(works, "blowdown"))
    story.events(works, story.hardness_above(works), point=works.feed)
    words = page_of(works, cleo).words
    for told in (
        "After a dose: Conductivity by meter and cell, pH by electrode at Boiler 1, Boiler water, "
        "steaming, 30 min later, may be late by 1 h 30 min · common practice, no source",
        "After a blowdown: Conductivity by meter and cell at Boiler 1, Boiler water, 30 min later",
    ):
        assert told in words, told
    told = (
        "Conductivity of Feedwater above 35 µmho/cm: Total hardness by EDTA at Feedwater, at once"
    )
    shared = page_of(works, cleo, boiler=None).words
    assert told in shared and "UFC 3-240-13FN (2005), 6-3.6" in shared


def test_what_a_version_changed_of_its_draws_stands_beside_what_was(
    works: SimpleNamespace, cleo: Browser
) -> None:
    dose, blown = story.after(works, "dose"), story.after(works, "blowdown")
    story.events(works, dose, blown)
    with story.later(1):
        lit = story.after(works, "light_off")
        story.events(works, replace(dose, minutes_after=60, source="Plant decision"), lit)
    words = changes_of(works, cleo, 3).words
    for told in (
        "After a dose: Conductivity by meter and cell changed 30 min later, may be late by "
        "1 h 30 min → 1 h later",
        "source: common practice, no source → Plant decision",
        "After a blowdown: Conductivity by meter and cell taken out",
        "After light-off: Conductivity by meter and cell added 30 min later",
    ):
        assert told in words, told
