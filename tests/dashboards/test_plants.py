"""The chemist's first page over all plants, and the supervisor's desk."""

from types import SimpleNamespace

from django.urls import reverse

from dashboards.build.plants import desk_screen
from records import clock
from records.models import Amendment
from records.selectors.bench import TestEntry
from records.services.samples import SampleEntry, samples_register
from records.services.slots import slots_expand
from tests import factories
from tests.dashboards.conftest import Browser, at_desk, at_terminal
from tests.dashboards.page import Page
from tests.records import story


def desk(works: SimpleNamespace, browser: Browser) -> str:
    return Page(browser.get(reverse("plant", args=[works.plant.pk]))).words


def test_all_plants_tell_each_boiler_that_is_in_trouble(
    works: SimpleNamespace, cleo: Browser
) -> None:
    factories.boiler(works.plant, "Boiler 2")
    story.draw(works, "1500")
    shelf = {**works.used, "meter": story.out_of_service(works)}
    doubtful = factories.conductivity("45", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.tester, works.feed, doubtful)
    words = Page(cleo.get(reverse("plants"))).words
    assert "Boiler 1 Steaming Conductivity 1500 µmho/cm, High" in words
    assert "Water of all boilers in doubt: Conductivity" in words
    assert "Nothing out of range, in doubt or overdue: Boiler 2" in words


def test_all_plants_tell_what_is_overdue_and_what_nobody_handed_in(
    works: SimpleNamespace, cleo: Browser
) -> None:
    story.draw(works, "1100")
    slots_expand(works.plant)
    with story.later(60 * 8):
        row = Page(at_desk(works.people["chemist"]).get(reverse("plants"))).words
        assert "Boiler 1 Steaming 6 tests overdue" in row
        # out of range, overdue, in doubt, to sign, not handed in, follow-ups
        assert "1 boiler 0 6 0 0 1 0" in row


def test_the_desk_asks_for_sheets_that_nobody_handed_in(
    works: SimpleNamespace, sam: Browser
) -> None:
    sheet = story.draw(works, "1100").sheet
    asked = "Not handed in, though the shift is over 1"
    assert asked not in desk(works, sam)  # the shift goes on
    with story.later(60 * 8):
        late = at_desk(works.people["supervisor"])
        assert asked in desk(works, late)
        story.hand_in(works, sheet)
        assert asked not in desk(works, late) and "Check and sign" in desk(works, late)


def test_the_desk_says_what_is_owed_for_a_result_out_of_range(
    works: SimpleNamespace, sam: Browser
) -> None:
    sample = story.draw(works, "1500")
    assert "Test again, due " in desk(works, sam)
    story.act(works, sample)
    assert "Test again, due 12:30" in desk(works, sam)


def test_the_desk_shows_what_is_in_doubt(works: SimpleNamespace, sam: Browser) -> None:
    shelf = {**works.used, "meter": story.out_of_service(works)}
    doubtful = factories.conductivity("900", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.tester, works.point, doubtful)
    words = desk(works, sam)
    assert words.index("In doubt 1") < words.index("Boilers")


def test_an_amendment_of_ones_own_waits_for_another(
    works: SimpleNamespace, sam: Browser, cleo: Browser
) -> None:
    sheet = story.signed(works, story.draw(works, "1500").sheet)
    story.correct(works, sheet.measurements.get(), "1410", by=works.supervisor)
    assert Amendment.objects.count() == 1
    assert "You proposed it: another person must sign it." in desk(works, sam)
    assert "Amendment Boiler 1" in desk(works, cleo) and "You proposed it" not in desk(works, cleo)


def test_the_tester_at_a_terminal_gets_no_desk(works: SimpleNamespace, token: str) -> None:
    tess = at_terminal(token, works.people["tester"])
    assert tess.get(reverse("plant", args=[works.plant.pk])).status_code == 403


def test_a_boilers_card_shows_what_is_judged_of_a_sample_with_several_tests(
    works: SimpleNamespace,
) -> None:
    phosphate = TestEntry(
        method="phosphate", version="1", mode="photometer",
        typed={"reading": "30"}, units={"reading": "mg/L"},
    )  # fmt: skip
    entry = SampleEntry(
        key="card",
        point=works.point,
        drawn_at=clock.now(),
        opened_at=clock.now(),
        tests=(phosphate, factories.conductivity("1050", works.used)),
    )
    samples_register(actor=works.tester, entries=[entry])
    (card,) = desk_screen(works.supervisor).boilers
    assert card.latest is not None and card.latest.name == "Conductivity"
