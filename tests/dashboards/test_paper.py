"""Paper forms for a power cut: made from the method files and the schedules in force."""

from types import SimpleNamespace

from django.urls import reverse

from chemistry import methods
from dashboards.build.paper import paper_screen
from records.selectors.paper import scheduled_tests
from tests import factories
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.records import story


def test_a_form_asks_for_what_the_bench_sheet_asks_for(
    works: SimpleNamespace, tess: Browser
) -> None:
    (form,) = paper_screen(works.tester).forms
    (test,) = form.tests
    usual = methods.latest("conductivity").modes[0]
    assert [item.label for item in test.fields] == [field.label for field in usual.fields]
    assert test.fields[0].units[0] == "µmho/cm"  # as this plant reads it
    page = Page(tess.get(reverse("paper-forms", args=[works.plant.pk])))
    for told in (
        "Boiler 1, Boiler water",
        "program version 1, in force from",
        "Conductivity: at most 1300 µmho/cm, target 1100",
        "draw at least 240 mL",
        "State of the boiler (was: Steaming)",
        "With which: ",
        "come before everything else: call",
        "the chemist, extension 100",
        "licensed practice come first",
    ):
        assert told in page.words, told
    cautions = [step.text for step in methods.latest("drawing").steps if step.caution]
    assert cautions and all(" ".join(text.split()) in page.words for text in cautions)


def test_the_way_worked_last_time_comes_first(works: SimpleNamespace) -> None:
    story.draw(works, "1100")
    (test,) = paper_screen(works.tester).forms[0].tests
    assert test.usual_way == methods.latest("conductivity").mode("automatic").label
    assert len(test.other_ways) == 2


def test_the_forms_follow_the_boilers_state(works: SimpleNamespace) -> None:
    with story.later(1):
        story.layup_schedule(works)
    with story.later(2):
        assert [each.methods for each in scheduled_tests(works.plant)] == [("conductivity",)]
        story.set_state(works, "wet_layup")
    with story.later(3):
        (asked,) = scheduled_tests(works.plant)
        assert (asked.state, asked.methods) == ("wet_layup", ("ph", "sulfite"))
        (form,) = paper_screen(works.tester).forms
        first = methods.latest("sulfite").name  # in bench order: air spoils it first
        assert form.tests[0].name == first


def test_one_point_can_be_picked_and_nonsense_picks_all(
    works: SimpleNamespace, tess: Browser
) -> None:
    boiler = factories.boiler(works.plant, "Boiler 2")
    point = works.point.__class__.objects.get(plant=works.plant, boiler=boiler)
    factories.program(works.plant, point)
    url = reverse("paper-forms", args=[works.plant.pk])

    def forms(**query: str) -> int:
        return Page(tess.get(url, query)).html.count('class="paper blank"')

    assert (forms(), forms(point=str(point.pk)), forms(point="\0x")) == (2, 1, 2)


def test_without_a_schedule_it_says_so(works: SimpleNamespace, sam: Browser) -> None:
    with story.later(1):
        story.events(works, story.after(works, "dose"))
    with story.later(2):
        page = Page(sam.get(reverse("paper-forms", args=[works.plant.pk])))
    assert "Nothing is scheduled at this plant" in page.words
