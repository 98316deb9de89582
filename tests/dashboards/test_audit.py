"""The audit of instruments across plants: one list, filters, nobody else's plant."""

from itertools import pairwise
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from records.models import Role
from tests import factories
from tests.dashboards.conftest import Browser, member_of
from tests.dashboards.page import Page
from tests.records import story
from tests.records.checking import check, kcl, run

AUDIT = reverse("instrument-audit")


@pytest.fixture
def two(works: SimpleNamespace, dairy: SimpleNamespace) -> SimpleNamespace:
    """The chemist of both plants; at one of them a meter failed with a result in doubt."""
    member_of(dairy.plant, works.people["chemist"], Role.CHEMIST)
    bottle = kcl(works)
    story.draw(works, "1100")
    with story.later(10):
        check(works, run("1600"), lot=bottle)
    return works


def test_it_lists_the_instruments_of_all_plants(
    two: SimpleNamespace, dairy: SimpleNamespace, cleo: Browser
) -> None:
    page = Page(cleo.get(AUDIT))
    assert page.status == 200 and "6 instruments: all instruments" in page.words
    assert two.plant.name in page.words and dairy.plant.name in page.words
    assert f"{two.plant.name}, meter A: Out of service, 1 test in doubt" in page.words


@pytest.mark.parametrize(
    ("asked", "count"),
    [
        ("shown=not_in_order", 1),
        ("shown=in_doubt", 1),
        ("shown=never", 5),
        ("kind=thermometer", 2),
        ("shown=never&kind=conductivity_meter", 1),
        ("kind=balance", 0),
        ("plant=nonsense", 0),
        ("shown=nonsense", 6),
    ],
)
def test_the_filters_narrow_it(two: SimpleNamespace, cleo: Browser, asked: str, count: int) -> None:
    page = Page(cleo.get(f"{AUDIT}?{asked}"))
    word = "instrument" if count == 1 else "instruments"
    assert f"{count} {word}:" in page.words
    assert ("There is none of these" in page.words) == (count == 0)


def test_one_plant_can_be_picked(two: SimpleNamespace, cleo: Browser) -> None:
    page = Page(cleo.get(f"{AUDIT}?plant={two.plant.pk}"))
    assert f"3 instruments: {two.plant.name}" in page.words


def test_nobody_sees_another_plants_instruments(
    two: SimpleNamespace, dairy: SimpleNamespace, sam: Browser, tess: Browser
) -> None:
    page = Page(sam.get(AUDIT))
    assert "3 instruments" in page.words and dairy.plant.name not in page.words
    at_terminal = tess.get(AUDIT)
    assert at_terminal.status_code == 302
    assert at_terminal["Location"] == reverse("instruments", args=[two.plant.pk])


def test_each_plant_costs_the_same(works: SimpleNamespace, cleo: Browser) -> None:
    counts = []
    for name in ("Otterbrook Dairy", "Alder Hospital", "Finch Laundry"):
        other = factories.works(name)
        member_of(other.plant, works.people["chemist"], Role.CHEMIST)
        cleo.get(AUDIT)
        with CaptureQueriesContext(connection) as asked:
            assert cleo.get(AUDIT).status_code == 200
        counts.append(len(asked))
    steps = {after - before for before, after in pairwise(counts)}
    assert len(steps) == 1 and steps.pop() < 10
