"""The first start with its one-time code, and the set-up of a plant."""

from types import SimpleNamespace

import pytest
from django.urls import reverse

from records.models import Boiler, Instrument, Organization, Plant, SamplePoint, User
from records.services.first_start import FirstStart, code_for_console, first_start
from records.services.plants import NewPlant, plant_create
from tests.dashboards.conftest import Browser, administrator, at_desk
from tests.dashboards.page import Page
from tests.records.story import refused

FIRST = {
    "organization": "Invented Mills",
    "plant": "Larkfield Works",
    "timezone": "America/Chicago",
    "units": "us",
    "name": "Ada Adder",
    "username": "ada",
    "password": "a long enough pass phrase",
}


def asked(**changed: str) -> FirstStart:
    return FirstStart(**FIRST | changed)


def test_the_code_on_the_console_makes_the_first_administrator(db: None) -> None:
    browser = Browser()
    assert "one-time code stands on the console" in Page(browser.get(reverse("setup"))).words
    sent = browser.post(reverse("setup"), FIRST | {"code": code_for_console()})
    plant = Plant.objects.get(name="Larkfield Works")
    assert sent["Location"] == reverse("plant-setup", args=[plant.pk])
    page = Page(browser.get(sent["Location"]))
    assert page.status == 200 and "Before the first round" in page.words


def test_afterwards_the_page_is_gone_and_the_code_with_it(db: None) -> None:
    code = code_for_console()
    Browser().post(reverse("setup"), FIRST | {"code": code})
    other = Browser()
    assert other.get(reverse("setup")).status_code == 404
    assert (
        other.post(reverse("setup"), FIRST | {"code": code, "username": "eve"}).status_code == 404
    )
    assert User.objects.count() == 1


def test_of_two_who_send_the_code_at_once_one_is_refused(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = code_for_console()

    def meanwhile(new: NewPlant) -> Plant:
        with refused("wrong_code"):
            first_start(asked(code=code, organization="Another", username="eve"))
        return plant_create(new)

    monkeypatch.setattr("records.services.first_start.plant_create", meanwhile)
    first_start(asked(code=code))
    assert list(User.objects.values_list("username", flat=True)) == ["ada"]


def test_a_code_that_met_bad_input_works_still(db: None) -> None:
    code = code_for_console()
    with refused("needed"):
        first_start(asked(code=code, plant=" "))
    first_start(asked(code=code))
    with refused("wrong_code"):
        first_start(asked(code=code, username="eve"))


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"code": "0000-0000-0000"}, "f-code", "not the code on the console"),
        ({"code": ""}, "f-code", "not the code on the console"),
        ({"code": "é\0"}, "f-code", "not the code on the console"),
        ({"organization": " "}, "f-organization", "needed"),
        ({"organization": "x" * 300}, "f-organization", "too long"),
        ({"plant": ""}, "f-plant", "needed"),
        ({"plant": "x" * 300}, "f-plant", "too long"),
        ({"plant": "a\0b"}, "f-plant", "can't be stored"),
        ({"timezone": "Nowhere/Land"}, "f-timezone", "not a time zone"),
        ({"timezone": "../../etc"}, "f-timezone", "not a time zone"),
        ({"timezone": "America"}, "f-timezone", "not a time zone"),
        ({"timezone": "x" * 300}, "f-timezone", "not a time zone"),
        ({"timezone": "a\0b"}, "f-timezone", "not a time zone"),
        ({"name": ""}, "f-name", "person's name"),
        ({"username": "two words"}, "f-username", "letters, digits"),
        ({"password": "short"}, "f-password", "Choose another password"),
    ],
)
def test_bad_input_is_told_beside_its_field_and_nothing_begins(
    db: None, changed: dict[str, str], where: str, told: str
) -> None:
    page = Page(Browser().post(reverse("setup"), FIRST | {"code": code_for_console()} | changed))
    assert page.status == 422 and told in page.told()[where], page.told()
    kept = {key: (FIRST | changed)[key] for key in ("organization", "plant", "name", "username")}
    assert {key: page.values[key] for key in kept} == kept
    assert not User.objects.exists() and not Plant.objects.exists()
    assert not Organization.objects.exists()


BOILER = {
    "what": "boiler",
    "name": "Boiler 7",
    "kind": "watertube",
    "rated_psig": "41",
    "rated_psig.unit": "barg",
    "working_psig": "550",
    "working_psig.unit": "psig",
    "water_mass_kg": "",
    "steam_kg_h": "40,000.0",
    "steam_kg_h.unit": "lb/h",
}


@pytest.fixture
def ada(works: SimpleNamespace) -> Browser:
    return at_desk(administrator(works.plant))


def url(works: SimpleNamespace) -> str:
    return reverse("plant-setup", args=[works.plant.pk])


def test_a_boiler_is_added_by_the_figures_on_its_plate(
    works: SimpleNamespace, ada: Browser
) -> None:
    assert ada.post(url(works), BOILER)["Location"] == url(works)
    boiler = Boiler.objects.get(plant=works.plant, name="Boiler 7")
    assert boiler.rated_psig == pytest.approx(594.65, abs=0.05)  # 41 bar x 14.5038 psi/bar
    assert boiler.steam_kg_h == pytest.approx(18143.7, abs=0.1)  # 40,000 lb x 0.45359237 kg/lb
    assert boiler.water_mass_kg is None
    assert SamplePoint.objects.filter(plant=works.plant, boiler=boiler).count() == 1
    assert "Boiler 7" in Page(ada.get(url(works))).words


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"name": ""}, "boiler-f-name", "Give it a name."),
        ({"name": "Boiler 1"}, "boiler-f-name", "has this name already"),
        ({"name": "x" * 300}, "boiler-f-name", "too long"),
        ({"name": "a\0b"}, "boiler-f-name", "can't be stored"),
        ({"kind": "teapot"}, "boiler-f-kind", "Look at this again"),
        ({"kind": ""}, "boiler-f-kind", "Look at this again"),
        ({"rated_psig": ""}, "boiler-f-rated_psig", "needed"),
        ({"rated_psig": "high"}, "boiler-f-rated_psig", "not a number"),
        ({"rated_psig": "-5"}, "boiler-f-rated_psig", "above zero"),
        ({"working_psig": "77 °F"}, "boiler-f-working_psig", "does not fit"),
        ({"steam_kg_h": "0"}, "boiler-f-steam_kg_h", "above zero"),
        ({"treatment": "x" * 300}, "boiler-f-treatment", "too long"),
        ({"treatment": "a\0b"}, "boiler-f-treatment", "can't be stored"),
    ],
)
def test_a_boiler_that_cannot_be_is_told_beside_its_field(
    works: SimpleNamespace, ada: Browser, changed: dict[str, str], where: str, told: str
) -> None:
    page = Page(ada.post(url(works), BOILER | changed))
    assert page.status == 422
    assert told in page.told()[where], page.told()
    assert page.values["working_psig"] == (BOILER | changed)["working_psig"]
    assert Boiler.objects.filter(plant=works.plant).count() == 1


def test_a_point_and_an_instrument_are_added(works: SimpleNamespace, ada: Browser) -> None:
    point = {"what": "point", "name": "Condensate return", "kind": "condensate"}
    meter = {
        "what": "instrument", "kind": "conductivity_meter", "name": "Meter M-9",
        "serial": "no. 9", "check_due_on": "2026-06-01",
    }  # fmt: skip
    for sent in (point, meter):
        assert ada.post(url(works), sent).status_code == 302
    assert SamplePoint.objects.filter(plant=works.plant, name="Condensate return").exists()
    assert Instrument.objects.get(plant=works.plant, name="Meter M-9").serial == "no. 9"


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"name": ""}, "instrument-f-name", "Give it a name."),
        ({"serial": "x" * 300}, "instrument-f-serial", "too long"),
        ({"check_due_on": "next week"}, "instrument-f-check_due_on", "year-month-day"),
        ({"kind": "teapot"}, "instrument-f-kind", "Look at this again"),
    ],
)
def test_an_instrument_that_cannot_be_is_told_beside_its_field(
    works: SimpleNamespace, ada: Browser, changed: dict[str, str], where: str, told: str
) -> None:
    sent = {"what": "instrument", "kind": "thermometer", "name": "T-9", "serial": ""}
    before = Instrument.objects.filter(plant=works.plant).count()
    page = Page(ada.post(url(works), sent | {"check_due_on": ""} | changed))
    assert page.status == 422 and told in page.told()[where], page.told()
    assert Instrument.objects.filter(plant=works.plant).count() == before


@pytest.mark.parametrize("sent", [{}, {"what": "palace"}, {"what": "point", "kind": "wine"}])
def test_what_is_no_part_of_a_plant_is_not_found(
    works: SimpleNamespace, ada: Browser, sent: dict[str, str]
) -> None:
    assert ada.post(url(works), sent).status_code == 404
