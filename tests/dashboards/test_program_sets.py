"""A published set laid beside the form: proposed with its source, confirmed by a person."""

import re
from types import SimpleNamespace

import pytest

from records.limit_library import limit_sets
from records.models import Boiler, Limit
from tests import factories
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page
from tests.dashboards.program_form import ProgramPage

CRTD, ASME = "crtd34_watertube_superheater", "asme_1979"
HEATED = "Boiler 8"
_WHAT = re.compile(r"l\d+\.what")


@pytest.fixture
def form(works: SimpleNamespace, cleo: Browser) -> ProgramPage:
    """The first version for a boiler of 600 psig with a superheater."""
    factories.boiler(works.plant, HEATED, superheater=True)
    return ProgramPage(works, cleo, boiler__name=HEATED)


def lay(form: ProgramPage, key: str, boiler: str = HEATED) -> Page:
    owner = Boiler.objects.get(name=boiler)
    return form.press("lay", set=f"{key}@{owner.pk}")


def limit_named(page: Page, analyte: str) -> str:
    """Return the name of the form's limit of an analyte, such as "l2"."""
    found = {
        text.partition("~")[0]: name for name, text in page.values.items() if _WHAT.fullmatch(name)
    }
    return found[analyte].partition(".")[0]


def test_only_sets_for_the_boilers_kind_are_offered(form: ProgramPage) -> None:
    offered = {a["value"].partition("@")[0] for a in form.page.named("option") if "@" in a["value"]}
    assert {CRTD, "common_practice"} <= offered
    assert not {"crtd34_firetube", "en12953_shell", "ufc_watertube"} & offered
    others = [each.title for each in limit_sets() if each.key not in offered]
    assert others and all(title in form.page.words for title in others)


def test_its_lines_are_added_with_source_basis_and_certainty(form: ProgramPage) -> None:
    """Silica at most 40 mg/L at 451-600 psi: ASME CRTD-Vol. 34 (1994), Table 1."""
    page = lay(form, CRTD)
    name = limit_named(page, "silica")
    assert page.values[f"{name}.high"] == "40" and page.values[f"{name}.unit"] == "mg/L"
    assert page.values[f"{name}.confidence"] == "published"
    assert "CRTD" in page.values[f"{name}.source"]
    assert "Added to the form" in page.words and "1994" in page.words


def test_a_maximum_that_the_set_leaves_open_is_asked_for(form: ProgramPage) -> None:
    """800 to 3800 µS/cm at 451-600 psi: ASME CRTD-Vol. 34 (1994), Table 1."""
    form.press("out.l0")
    page = lay(form, CRTD)
    name = limit_named(page, "conductivity")
    assert name != "l0" and page.values[f"{name}.high"] == ""
    assert "a maximum between 800 and 3800 µS/cm, set by steam purity" in page.words
    told = Page(form.put()).told()[f"f-{name}.high"]
    assert "Choose one from 800 to 3800" in told
    told = Page(form.put(**{f"{name}.high": "4000"})).told()[f"f-{name}.high"]
    assert "Choose one from 800 to 3800" in told


def test_beside_a_limit_that_stands_there_a_button_takes_it_over(
    works: SimpleNamespace, cleo: Browser
) -> None:
    """5000 µS/cm at 451-600 psi: older ASME guideline, as the set reads it."""
    form = ProgramPage(works, cleo)
    page = lay(form, ASME, "Boiler 1")
    assert page.values["l0.high"] == "1300" and "at most 5000 µS/cm" in page.words
    (button,) = [
        a["value"] for a in page.named("button") if a.get("value", "").startswith("use.0.")
    ]
    page = form.press(button)
    assert (page.values["l0.high"], page.values["l0.unit"]) == ("5000", "uS/cm")
    assert page.values["l0.confidence"] == "published" and page.values["l0.target"] == "1100"


def test_other_figures_than_the_sets_are_not_called_published(
    works: SimpleNamespace, cleo: Browser
) -> None:
    form = ProgramPage(works, cleo)
    lay(form, ASME, "Boiler 1")
    name = limit_named(form.page, "silica")
    page = Page(form.put(**{f"{name}.high": "60"}))
    assert "not those of the set any more" in page.told()[f"f-{name}.confidence"]
    sent = {f"{name}.high": "60", f"{name}.confidence": "decided for this plant"}
    assert form.put(**sent)["Location"] == form.shown


def test_what_was_not_read_in_a_document_is_confirmed_first(
    works: SimpleNamespace, cleo: Browser
) -> None:
    form = ProgramPage(works, cleo)
    page = lay(form, "abma_1981", "Boiler 1")
    name = limit_named(page, "m_alkalinity")
    assert "I have confirmed this limit" in page.words
    assert "confirm it here" in Page(form.put()).told()[f"f-{name}.confirmed"]
    assert form.put(**{f"{name}.confirmed": "on"})["Location"] == form.shown
    row = Limit.objects.get(version__number=2, analyte="m_alkalinity")
    assert row.confidence == "from memory, confirmed"


def test_where_conditions_differ_none_is_picked_by_itself(
    works: SimpleNamespace, cleo: Browser
) -> None:
    factories.boiler(works.plant, "Shell boiler", kind="firetube", rated_psig=150.0)
    form = ProgramPage(works, cleo, boiler__name="Shell boiler")
    page = lay(form, "en12953_shell", "Shell boiler")
    name = limit_named(page, "ph")
    assert (page.values[f"{name}.low"], page.values[f"{name}.high"]) == ("", "")
    uses = [a.get("value", "") for a in page.named("button")]
    assert sum(text.startswith(f"use.{name[1:]}.") for text in uses) > 1


def test_at_900_psig_common_practice_knows_nothing_and_nothing_is_guessed(
    works: SimpleNamespace, cleo: Browser
) -> None:
    """1300 µmho/cm up to 600 psi, 700 at 1200 psi (common practice, no source): none between."""
    factories.boiler(works.plant, "Boiler 9", rated_psig=900.0, working_psig=860.0)
    form = ProgramPage(works, cleo, boiler__name="Boiler 9")
    page = lay(form, "common_practice", "Boiler 9")
    assert "This set knows no limit at this pressure. None is guessed" in page.words
    assert page.values["l0.high"] == "" and "l1.what" not in page.values


def test_for_shared_water_the_pressure_of_each_boiler_is_offered(
    works: SimpleNamespace, cleo: Browser
) -> None:
    """Feedwater oxygen at most 0.007 mg/L: ASME CRTD-Vol. 34 (1994), Table 1."""
    factories.boiler(works.plant, HEATED, superheater=True)
    form = ProgramPage(works, cleo, boiler=None)
    assert ", for Boiler 1" in form.page.words and f", for {HEATED}" in form.page.words
    page = lay(form, CRTD)
    name = limit_named(page, "oxygen")
    assert page.values[f"{name}.high"] == "0.007"
    assert page.values[f"{name}.point"] == str(works.feed.pk)
    whats = [text for key, text in page.values.items() if _WHAT.fullmatch(key)]
    assert not any(text.startswith("silica") for text in whats)


@pytest.mark.parametrize(
    ("typed", "unit", "target"),
    [("1.2", "mS/cm", "1200"), ("lots", "mS/cm", "lots"), ("1.2", "furlong", "1.2")],
)
def test_a_target_is_taken_along_in_the_sets_unit(
    works: SimpleNamespace, cleo: Browser, typed: str, unit: str, target: str
) -> None:
    form = ProgramPage(works, cleo)
    page = lay(form, ASME, "Boiler 1")
    (button,) = [
        a["value"] for a in page.named("button") if a.get("value", "").startswith("use.0.")
    ]
    page = form.press(button, l0_target=typed, l0_unit=unit)
    assert (page.values["l0.target"], page.values["l0.unit"]) == (target, "uS/cm")
