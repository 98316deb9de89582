"""The calculator: answers as typed, in the units a person likes, for whoever is signed in."""

from types import SimpleNamespace

import pytest
from django.urls import reverse
from django_scopes import scope
from hypothesis import given
from hypothesis import strategies as st

from chemistry import calculations
from dashboards.build.calculator import calculation_screen
from records.models import Draft, Sample
from tests.dashboards.conftest import Browser, at_desk, at_terminal
from tests.dashboards.page import Page
from tests.texts import TEXT, as_many_as

HTMX = {"HTTP_HX_REQUEST": "true"}


def asked(browser: Browser, key: str, **typed: str) -> Page:
    return Page(browser.get(reverse("calculation", args=[key]), typed))


def test_every_question_is_listed(sam: Browser) -> None:
    page = Page(sam.get(reverse("calculator")))
    links = {each.get("href") for each in page.named("a")}
    for key, each in calculations.CALCULATIONS.items():
        assert reverse("calculation", args=[key]) in links and each.question in page.words


@pytest.mark.parametrize("key", sorted(calculations.CALCULATIONS))
def test_each_page_answers_its_example(sam: Browser, key: str) -> None:
    empty = asked(sam, key)
    assert empty.status == 200 and "the answer comes as you type" in empty.words
    page = asked(sam, key, **calculations.get(key).example)
    assert page.status == 200 and "There is no answer" not in page.words
    assert "Nothing on this page is recorded." in page.words
    assert ("Before you act on it" in page.words) == bool(calculations.get(key).cautions)


def test_whoever_is_not_signed_in_is_sent_to_sign_in(db: None) -> None:
    answer = Browser().get(reverse("calculator"))
    assert answer.status_code == 302 and "/login" in answer["Location"]


def test_at_a_terminal_the_round_stays_one_press_away(works: SimpleNamespace, token: str) -> None:
    page = asked(at_terminal(token, works.people["tester"]), "cycles")
    links = [each.get("href") for each in page.named("a")]
    assert reverse("round", args=[works.plant.pk]) in links


def test_a_question_that_is_none_is_not_found(sam: Browser) -> None:
    assert asked(sam, "alchemy").status == 404


def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays(sam: Browser) -> None:
    page = asked(sam, "cycles", boiler="abc", feed="250")
    assert "is not a number" in page.errors["f-boiler"]
    assert page.values["boiler"] == "abc" and page.values["feed"] == "250"


def test_what_is_missing_is_named_without_alarm(sam: Browser) -> None:
    page = asked(sam, "cycles", boiler="5000")
    assert "Still to be given: Feedwater" in page.words
    assert not any(page.errors.values())


def test_what_cannot_be_answered_says_why(sam: Browser) -> None:
    page = asked(sam, "steam_silica", SiO2="8.8", pressure="100 psig")
    assert "There is no answer for this" in page.words and "2800" in page.words


def test_as_typed_only_the_answers_come_back(sam: Browser) -> None:
    url = reverse("calculation", args=["cycles"])
    reply = sam.get(url, {"boiler": "5000", "feed": "250"}, **HTMX).content.decode()
    assert "<html" not in reply and "Cycles of concentration" in reply
    assert 'id="f-boiler-error" hx-swap-oob="innerHTML"' in reply


def test_units_are_those_a_person_likes_and_are_remembered(sam: Browser) -> None:
    typed = {"boiler": "5000", "feed": "250", "steam": "40000", "steam.unit": "lb/h"}
    page = asked(sam, "cycles", **typed)
    assert page.values["answer.blowdown.unit"] == "lb/h" and "2105" in page.words
    other = asked(sam, "course")
    assert other.values["steam.unit"] == "lb/h" and other.values["blowdown.unit"] == "lb/h"


def test_an_answer_is_read_in_a_unit_of_its_own(sam: Browser) -> None:
    typed = {"boiler": "5000", "feed": "250", "steam": "10000"}
    page = asked(sam, "cycles", **typed, **{"answer.blowdown.unit": "t/h"})
    assert "0.5263" in page.words


def test_what_an_empty_field_stands_for_is_shown_in_the_unit_liked() -> None:
    screen = calculation_screen(calculations.get("composition"), {}, {"degC": "degF"})
    field = next(each for each in screen.fields if each.name == "temperature")
    assert field.value == "77" and [each.value for each in field.units if each.selected] == ["degF"]


def test_nothing_is_stored(works: SimpleNamespace) -> None:
    browser = at_desk(works.people["tester"])
    asked(browser, "dose", rise="40", mass="10000")
    with scope(plant=works.plant):
        assert not Sample.objects.exists() and not Draft.objects.exists()


@as_many_as(150)
@given(data=st.data())
def test_no_text_whatever_breaks_it(data: st.DataObject) -> None:
    calculation = calculations.get(data.draw(st.sampled_from(sorted(calculations.CALCULATIONS))))
    names = [each.key for each in calculation.fields]
    every = [*names, *(f"{name}.unit" for name in names), "answer.dose.unit", "answer.ph.unit"]
    example = {name: calculation.example.get(name, "") for name in every}
    sent = data.draw(st.fixed_dictionaries({k: st.just(v) | TEXT for k, v in example.items()}))
    screen = calculation_screen(calculation, sent, {})
    shown = {each.name: each.value for each in screen.fields if not each.choices}
    assert shown == {name: sent[name] for name in shown}
    assert (
        screen.answers
        or screen.refusal
        or screen.waiting
        or not screen.touched
        or any(each.error for each in screen.fields)
    )
