"""What the handbook's pictures are taken of: a small plant with a told shift, or the demo."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from django.db.models import Model, QuerySet
from django_scopes import scope

from records.demo import demo_load
from records.models import (
    Amendment,
    LogSheet,
    Membership,
    Pin,
    Plant,
    Program,
    Result,
    Role,
    Sample,
    User,
)
from records.selectors.sheets import SheetStatus, stand_of
from records.services.people import pin_set, terminal_enroll
from tests import factories
from tests.browser import screens
from tests.browser.conftest import Wall, served_works


@dataclass(frozen=True, kw_only=True)
class Scene:
    """A plant with what the pictures show of it; everybody's password and PIN are factories'."""

    url: str
    token: str
    plant: Plant
    people: dict[str, User]
    high: Sample
    waiting: LogSheet
    amended: Amendment
    program: Program


def scene_of(url: str, plant: Plant, token: str) -> Scene:
    """Find what is to be shown at a plant: the newest of each."""
    high = _newest(Result.objects.filter(plant=plant, verdicts__side="high"))
    sheets = LogSheet.objects.filter(plant=plant).order_by("-starts_at")
    sample = high.measurement.sample
    people = {
        role.value: User.objects.filter(
            memberships__plant=plant, memberships__role=role, memberships__until=None
        ).earliest("pk")
        for role in Role
    }
    return Scene(
        url=url,
        token=token,
        plant=plant,
        people=people,
        high=sample,
        waiting=next(s for s in sheets if stand_of(s).status is SheetStatus.HANDED_IN),
        amended=_newest(Amendment.objects.filter(plant=plant)),
        program=Program.objects.get(plant=plant, boiler=sample.sample_point.boiler),
    )


def _newest(rows: "QuerySet[Model]") -> "Model":
    return rows.order_by("-pk").first()


@contextmanager
def told(url: str, _wall: Wall) -> Iterator[Scene]:
    """The small plant with a told shift: what a normal run looks at."""
    with served_works(url) as works:
        screens.tell(works)
        yield scene_of(url, works.plant, works.token)


@contextmanager
def demo(url: str, wall: Wall) -> Iterator[Scene]:
    """The demo's first plant as it stands by the clock on the wall, its people's secrets known."""
    demo_load(wall.at)
    plant = Plant.objects.earliest("pk")
    with scope(plant=plant):
        owner = factories.founder(plant)
        members = Membership.objects.filter(plant=plant).values("user")
        for user in User.objects.filter(pk__in=members):
            user.set_password(factories.PASSWORD)
            user.save()
        for pin in Pin.objects.filter(plant=plant):
            pin_set(actor=owner, user=pin.user, pin=factories.PIN)
        token = terminal_enroll(actor=owner, name="Sample bench, test room")[1]
        yield scene_of(url, plant, token)
