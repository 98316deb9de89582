"""What seldom changes stands on the sheet as it was the last time; readings never do."""

from datetime import timedelta

import pytest
from django.urls import reverse

from records import clock
from records.models import Measurement
from records.selectors.bench import TestEntry
from records.services.drafts import draft_open
from records.services.samples import SampleEntry, samples_register
from tests.dashboards.conftest import at_desk
from tests.dashboards.page import Page
from tests.records import story

METER = {"initial": "104200", "final": "104950", "hours": "8.0", "multiplier": "10"}
HARDNESS = {"end": "0.4", "sample_volume": "100", "strength": "0.0098"}


@pytest.fixture
def bench(works):
    """The tester's browser, after a round that read the feed meter and tested the hardness."""
    tests = (
        TestEntry(
            method="feed_meter",
            version="1",
            mode="register",
            typed=METER,
            units={"initial": "lb", "final": "lb", "hours": "h"},
        ),
        TestEntry(method="hardness_total", version="1", mode="self_zeroing", typed=HARDNESS),
    )
    at = clock.now() - timedelta(hours=8)
    with clock.clock_at(at):
        entry = SampleEntry(
            key=story.key(), point=works.point, drawn_at=at, opened_at=at, tests=tests
        )
        samples_register(actor=works.tester, entries=[entry])
    return at_desk(works.people["tester"])


def _open(works, bench, *methods):
    draft = draft_open(actor=works.tester, point=works.point, method_keys=list(methods))
    return draft, Page(bench.get(reverse("bench", args=[works.plant.pk, draft.pk])))


def test_a_register_begins_where_it_ended(works, bench):
    _, page = _open(works, bench, "feed_meter")
    assert page.values["feed_meter.initial"] == "104950"
    assert page.values["feed_meter.multiplier"] == "10"
    assert page.values["feed_meter.final"] == page.values["feed_meter.hours"] == ""
    assert "as last time" in page.words


def test_volume_and_strength_stand_and_the_reading_does_not(works, bench):
    _, page = _open(works, bench, "hardness_total")
    assert page.values["hardness_total.sample_volume"] == "100"
    assert page.values["hardness_total.strength"] == "0.0098"
    assert page.values["hardness_total.end"] == ""


def test_what_only_stands_there_is_no_test_made(works, bench):
    """Of two tests the one with nothing but carried figures is left out."""
    draft, _ = _open(works, bench, "feed_meter", "hardness_total")
    drawn = clock.now() - timedelta(hours=5)  # five hours behind UTC in March
    sent = {
        "drawn_at": drawn.strftime("%Y-%m-%dT%H:%M"),
        "hardness_total:mode": "self_zeroing",
        "hardness_total.end": "0.5",
        "revision": "0",
    }
    done = bench.post(reverse("bench-finish", args=[works.plant.pk, draft.pk]), sent)
    assert done.status_code == 302
    made = Measurement.objects.filter(sample__drawn_at__gt=clock.now() - timedelta(hours=1))
    assert [row.method for row in made] == ["hardness_total"]


def test_another_way_of_working_starts_afresh(works, bench):
    draft, _ = _open(works, bench, "hardness_total")
    sent = {"hardness_total:mode": "burette", "revision": "0"}
    page = Page(bench.post(reverse("bench-work", args=[works.plant.pk, draft.pk]), sent))
    assert page.values["hardness_total.sample_volume"] == ""


def _open_folds(works, bench, draft) -> list[str]:
    page = Page(bench.get(reverse("bench", args=[works.plant.pk, draft.pk])))
    folds = [dict(a) for tag, a in page.elements if tag == "details"]
    return [fold["class"] for fold in folds if "open" in fold and "class" in fold]


def test_what_is_as_last_time_is_folded_and_told_in_a_line(works, bench):
    draft, page = _open(works, bench, "hardness_total")
    assert _open_folds(works, bench, draft) == []
    assert "Sample taken 100 mL" in page.words and "Self-zeroing burette" in page.words


def test_what_was_never_used_here_stands_open(works, bench):
    draft, _ = _open(works, bench, "hardness_calcium")
    assert _open_folds(works, bench, draft) == ["test-modes", "test-standing"]


def test_a_standing_figure_that_is_wrong_is_not_folded(works, bench):
    draft, _ = _open(works, bench, "hardness_total")
    sent = {"hardness_total.sample_volume": "0", "hardness_total.end": "0.5", "revision": "0"}
    bench.post(reverse("bench-work", args=[works.plant.pk, draft.pk]), sent)
    assert _open_folds(works, bench, draft) == ["test-standing"]
