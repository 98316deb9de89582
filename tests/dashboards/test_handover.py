"""The handover of a shift: one page that says what the next shift must know."""

from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import HandoverNote
from records.selectors.handover import notes_on
from tests.dashboards.conftest import Browser, at_terminal, begun
from tests.dashboards.page import Page
from tests.records import story


@pytest.fixture
def url(works: SimpleNamespace) -> str:
    return reverse("handover", args=[works.plant.pk])


def test_it_tells_what_is_open_done_and_left(
    works: SimpleNamespace, tess: Browser, url: str
) -> None:
    high = story.draw(works, "1500")
    story.act(works, high)
    story.set_state(works, "banked")
    story.out_of_service(works)
    begun(works, by=works.mate)
    words = Page(tess.get(url)).words
    for told in (
        "On this shift: Tess Tanner",
        "Out of range and still open 1",
        "Boiler 1, Conductivity: Test again",
        "Blew down How much: two turns",
        "12:00: Banked, recorded by Tess Tanner",
        "Meter on the shelf Conductivity meter Out of service",
        "Unfinished bench sheets 12:00 Milo Mate",
        "Nobody has left a note.",
    ):
        assert told in words, told


def test_a_finding_that_stops_stands_first(works: SimpleNamespace, tess: Browser, url: str) -> None:
    from records.models import FollowUp

    sample = story.draw(works, "1500")
    result = story.result_of(sample)
    FollowUp.objects.create(
        plant=works.plant, sheet=sample.sheet, sample=sample, result=result, kind="answer",
        why="stop", due_at=sample.drawn_at, at=sample.drawn_at, **works.tester.signed_by,
    )  # fmt: skip
    words = Page(tess.get(url)).words
    assert words.index("This comes first") < words.index("Notes for the next shift")
    assert "Call: the chemist, extension 100" in words


def test_a_note_is_left_and_read_by_the_next_shift(
    works: SimpleNamespace, tess: Browser, url: str, token: str
) -> None:
    form = Page(tess.get(url)).values
    sent = {"text": "Softener 2 rinses\nuntil seven", "key": form["key"], "shift": "now"}
    assert tess.post(url, sent).status_code == 302
    assert tess.post(url, sent).status_code == 302  # pressed twice
    assert "Softener 2 rinses until seven Tess Tanner, 12:00" in Page(tess.get(url)).words
    sheet = HandoverNote.objects.get().sheet
    on_sheet = Page(tess.get(reverse("sheet", args=[works.plant.pk, sheet.pk]))).words
    assert "Softener 2 rinses" in on_sheet
    with story.later(60 * 8):
        mate = at_terminal(token, works.people["mate"])
        words = Page(mate.get(url)).words
        assert "Notes of the shift before Softener 2 rinses" in words
        assert "Softener 2 rinses" in Page(mate.get(url, {"shift": "before"})).words


def test_a_note_for_the_shift_before_stands_on_its_sheet(
    works: SimpleNamespace, tess: Browser, url: str, token: str
) -> None:
    sheet = story.draw(works, "1100").sheet
    with story.later(60 * 8):
        mate = at_terminal(token, works.people["mate"])
        sent = {"text": "forgot to say", "key": "k1", "shift": "before"}
        assert mate.post(url, sent).status_code == 302
    assert [note.text for note in notes_on(sheet)] == ["forgot to say"]


def test_an_empty_note_is_refused_beside_its_field_and_a_long_one_stays(
    works: SimpleNamespace, tess: Browser, url: str
) -> None:
    empty = Page(tess.post(url, {"text": " ", "key": "k"}))
    assert (empty.status, empty.told()) == (
        422, {"f-text": "Write what the next shift has to know."},
    )  # fmt: skip
    long = Page(tess.post(url, {"text": "x" * 1001, "key": "k"}))
    assert "too long" in long.told()["f-text"] and long.values["text"] == "x" * 1001
    assert not HandoverNote.objects.exists()


def test_it_says_what_a_note_does_to_a_sheet_handed_in(
    works: SimpleNamespace, tess: Browser, url: str
) -> None:
    story.hand_in(works, story.draw(works, "1100").sheet)
    assert "has to be handed in again" in Page(tess.get(url)).words
