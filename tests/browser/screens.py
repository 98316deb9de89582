"""Every screen there is, by who opens it."""

from datetime import timedelta
from types import SimpleNamespace
from uuid import UUID

from django.urls import reverse
from playwright.sync_api import Page

from dashboards.views.help import PAGES
from records import clock
from records.models import DueSlot, LookBack, Lot, Program, ProgramVersion, Role
from tests import factories
from tests.browser import steps
from tests.dashboards.conftest import begun
from tests.dashboards.test_permissions import MATRIX, address
from tests.records import story

ADMINISTRATOR = "ada"
# In the order of the permission table's columns; a tester is at the terminal.
ROLES = ("terminal", "supervisor", "chemist", "administrator")
WHO = ("nobody", "locked", *ROLES)
# All others answer 200.
ANSWERS = {"nothing": 404, "not yours": 403}


def tell(works: SimpleNamespace) -> SimpleNamespace:
    """Tell a shift that leaves something on every screen, the newest result high and answered."""
    factories.person(works.plant, ADMINISTRATOR, "Ada Adder", Role.ADMINISTRATOR)
    with clock.clock_at(clock.now() - timedelta(hours=2)):
        shift = story.shift(works)
    high = story.draw(works, "1480")
    story.plan(works, high)
    story.act(works, high)
    sheet = high.sheet
    story.hand_in(works, sheet)
    proposed = story.correct(works, shift.amendment.measurement, "1120")
    slot = DueSlot.objects.filter(plant=works.plant, answers=None).earliest("due_at")
    return SimpleNamespace(
        high=high,
        sheet=sheet,
        signed=shift.sheet,
        proposed=proposed,
        slot=slot,
        draft=begun(works),
    )


def by_person(works: SimpleNamespace, told: SimpleNamespace) -> dict[str, dict[str, str]]:
    """Return the addresses of all screens, by who opens them: all that each role may open."""
    found = _picked(works, told)
    keys = _keys(works, told)
    for at, who in enumerate(ROLES):
        for name, method, *answers in MATRIX:
            where = address(name, keys) if method == "get" and answers[at] == 200 else ""
            if where and where not in found[who].values():
                found[who][name] = where
    return found


def _keys(works: SimpleNamespace, told: SimpleNamespace) -> dict[str, UUID]:
    """Return a row for every name in an address."""
    program = Program.objects.get(plant=works.plant, boiler=works.boiler)
    return {
        "plant": works.plant.pk,
        "slot": told.slot.pk,
        "draft": told.draft.pk,
        "boiler": works.boiler.pk,
        "sample": told.high.pk,
        "measurement": told.proposed.pk,
        "sheet": told.sheet.pk,
        "program": program.pk,
        "version": ProgramVersion.objects.get(program=program).pk,
        "user": works.people["tester"].pk,
        "instrument": LookBack.objects.get(plant=works.plant).instrument_id,
        "recipe": "conductivity",
        "look_back": LookBack.objects.get(plant=works.plant).pk,
        "lot": Lot.objects.get(plant=works.plant).pk,
    }


def _picked(works: SimpleNamespace, told: SimpleNamespace) -> dict[str, dict[str, str]]:
    """Return what is worth a look in more than one state, by who opens it."""
    plant = works.plant.pk
    program = Program.objects.get(plant=works.plant, boiler=works.boiler).pk
    version = ProgramVersion.objects.get(program=program).pk

    def at(name: str, *keys: object) -> str:
        return reverse(name, args=[plant, *keys])

    tester = works.people["tester"].pk
    return {
        "nobody": {
            "sign in": reverse("login"),
            "not enrolled": reverse("terminal"),
            "nothing": "/nowhere",
            **{f"help {slug}": reverse("help-page", args=[slug]) for slug in PAGES},
        },
        "locked": {"names": reverse("terminal"), "PIN": f"{reverse('terminal')}?user={tester}"},
        "terminal": {
            "round": at("round"),
            "handover": at("handover"),
            "could not test": at("not-tested", told.slot.pk),
            "sample": at("sample", told.high.pk),
            "correct": at("result-correct", told.high.measurements.get().pk),
            "not yours": at("people"),
            "a question": f"{reverse('calculation', args=['cycles'])}?boiler=5000&feed=abc",
        },
        "supervisor": {
            "desk": at("plant"),
            "sheets": at("sheets"),
            "sheet to sign": at("sheet", told.sheet.pk),
            "history": at("result-history", told.proposed.pk),
            "handover": at("handover"),
            "paper forms": at("paper-forms"),
            "signed sheet": at("sheet", told.signed.pk),
            "people": at("people"),
            "person": at("person", tester),
            "terminals": at("terminals"),
            "tokens": at("tokens"),
        },
        "chemist": {
            "plants": reverse("plants"),
            "calculator": reverse("calculator"),
            "an answer": f"{reverse('calculation', args=['composition'])}?Na=9.2&PO4=10",
            "no answer": f"{reverse('calculation', args=['steam_silica'])}?SiO2=8&pressure=0",
            "program": at("program", program),
            "new version": at("program-version", program),
            "version": at("program-changes", version),
        },
        "administrator": {"plants": reverse("plants"), "set-up": at("plant-setup")},
    }


def arrive(page: Page, who: str) -> None:
    """Come to a browser as one of them."""
    names = {"supervisor": "sam-larkfield", "chemist": "cleo-larkfield"}
    names["administrator"] = ADMINISTRATOR
    if who == "terminal":
        steps.unlock(page, "Tess Tanner")
    elif who in names:
        steps.sign_in(page, names[who])
