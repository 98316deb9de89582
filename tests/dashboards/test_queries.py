"""More rows on a page cost no more queries (style: growth is tested, not a magic count)."""

from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from records.models import Role
from records.services.slots import slots_expand
from tests import factories
from tests.dashboards.conftest import Browser, member_of
from tests.records import story


def more(works: SimpleNamespace, number: int) -> None:
    """Add boilers with a program, and a high sample of each."""
    for each in range(2):
        boiler = factories.boiler(works.plant, f"Boiler {number}{each}")
        point = works.point.__class__.objects.get(plant=works.plant, boiler=boiler)
        factories.program(works.plant, point)
        story.draw(works, "1500", point=point)
        story.draw(works, "1450", point=point, by=works.mate)


@pytest.mark.parametrize("name", ["round", "plant", "sheets", "sheet", "handover"])
def test_a_page_of_a_plant_does_not_ask_once_per_row(
    works: SimpleNamespace,
    sam: Browser,
    django_assert_max_num_queries: Any,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
) -> None:
    # Laying slots asks for each schedule's newest slot, by its index: tested by itself below.
    for module in ("bench", "plants", "handover"):
        monkeypatch.setattr(f"dashboards.views.{module}.slots_expand", lambda plant: 0)
    sheet = story.draw(works, "1500").sheet
    more(works, 2)
    keys = [works.plant.pk, sheet.pk] if name == "sheet" else [works.plant.pk]
    url = reverse(name, args=keys)
    sam.get(url)
    with CaptureQueriesContext(connection) as few:
        assert sam.get(url).status_code == 200
    most = len(few)
    more(works, 3)
    more(works, 4)
    sam.get(url)
    with django_assert_max_num_queries(most):
        sam.get(url)


def test_the_page_of_all_plants_costs_the_same_for_each(
    works: SimpleNamespace, cleo: Browser
) -> None:
    """Each plant is asked for by itself, under its own scope; rows within it cost nothing more."""
    url, counts = reverse("plants"), []
    for number, name in enumerate(("Otterbrook Dairy", "Alder Hospital", "Finch Laundry")):
        other = factories.works(name)
        member_of(other.plant, works.people["chemist"], Role.CHEMIST)
        more(works, number + 2)
        cleo.get(url)
        with CaptureQueriesContext(connection) as asked:
            assert cleo.get(url).status_code == 200
        counts.append(len(asked))
    steps = {after - before for before, after in pairwise(counts)}
    assert len(steps) == 1 and steps.pop() < 30


def test_laying_slots_costs_two_queries_for_each_schedule(works: SimpleNamespace) -> None:
    counts = []
    for number in (2, 3):
        more(works, number)
        slots_expand(works.plant)
        with CaptureQueriesContext(connection) as asked:
            slots_expand(works.plant)
        counts.append(len(asked))
    assert counts[1] - counts[0] == 2 * 2  # two boilers more, each with one schedule


def test_the_page_of_people_does_not_ask_once_per_person(
    works: SimpleNamespace, sam: Browser, django_assert_max_num_queries: Any
) -> None:
    url = reverse("people", args=[works.plant.pk])
    sam.get(url)
    with CaptureQueriesContext(connection) as few:
        assert sam.get(url).status_code == 200
    for number in range(4):
        factories.person(works.plant, f"nora-{number}", f"Nora {number}", Role.TESTER)
    with django_assert_max_num_queries(len(few)):
        sam.get(url)
