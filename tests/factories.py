"""Plain factories with defaults, built on the services that users take. All people are invented."""

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from uuid import uuid4

from django_scopes import scope

from records import clock
from records.access import actor_at
from records.actors import Actor, Proof
from records.models import (
    Boiler,
    Instrument,
    Plant,
    Program,
    Role,
    SampleKind,
    SamplePoint,
    User,
)
from records.selectors.bench import TestEntry
from records.services.people import NewPerson, people_add
from records.services.plants import (
    THREE_SHIFTS,
    NewPlant,
    boiler_add,
    instrument_add,
    plant_create,
    point_add,
)
from records.services.programs import LimitEntry, ScheduleEntry, version_put_in_force
from records.services.samples import SampleEntry, samples_register

NOON = datetime(2026, 3, 10, 17, 0, tzinfo=UTC)  # noon at America/Chicago, day shift
US_UNITS = {
    "conductivity_unit": "umho/cm",
    "temperature_unit": "degF",
    "mass_flow_unit": "lb/h",
    "pressure_unit": "psi",
}
PASSWORD = "a long enough pass phrase"
PIN = "2580"


def plant(name: str = "Larkfield Works", **options: object) -> Plant:
    return plant_create(
        NewPlant(
            organization=str(options.get("organization", "Invented Mills")),
            name=name,
            timezone=str(options.get("timezone", "America/Chicago")),
            units=US_UNITS,
            whom_to_call="the chemist, extension 100",
            shifts=options.get("shifts", THREE_SHIFTS),  # type: ignore[arg-type]
        )
    )


def founder(at: Plant) -> Actor:
    """Return an actor who may set everything up at a plant."""
    user = User.objects.filter(username=f"founder-{at.pk}").first() or User.objects.create(
        username=f"founder-{at.pk}", name="Fern Founder"
    )
    return Actor(user=user, plant=at, roles=frozenset(Role), proof=Proof.PASSWORD)


def person(at: Plant, username: str, name: str, *roles: Role) -> User:
    with scope(plant=at):
        new = NewPerson(username=username, name=name, roles=roles, password=PASSWORD, pin=PIN)
        return people_add(actor=founder(at), people=[new])[0]


def actor(user: User, at: Plant, proof: Proof = Proof.PASSWORD) -> Actor:
    return actor_at(user, at.pk).proved_by(proof)


def boiler(at: Plant, name: str = "Boiler 1", **figures: object) -> Boiler:
    values = {
        "kind": "watertube",
        "rated_psig": 600.0,
        "working_psig": 550.0,
        "water_mass_kg": 20_000.0,
        "steam_kg_h": 18_000.0,
        "continuous_blowdown_max_kg_h": 2_000.0,
        **figures,
    }
    return boiler_add(actor=founder(at), name=name, **values)


def program(
    at: Plant,
    point: SamplePoint,
    *,
    high: str = "1300",
    target: str = "1100",
    since: datetime | None = None,
) -> None:
    """Put a version with one conductivity limit and a test every four hours in force."""
    which = Program.objects.get(plant=at, boiler=point.boiler)
    since = since or clock.now() - timedelta(days=1)
    with clock.clock_at(min(since, clock.now())):  # written down when it came in force
        _version(at, which, point, since, high, target)


def _version(
    at: Plant, which: Program, point: SamplePoint, since: datetime, high: str, target: str
) -> None:
    version_put_in_force(
        actor=founder(at),
        program=which,
        in_force_from=since,
        limits=[
            LimitEntry(
                point=point,
                state="steaming",
                analyte="conductivity",
                basis="25C|not_neutralized|",
                unit="umho/cm",
                high=high,
                target=target,
                source="Common practice",
                confidence="common practice, no source",
            )
        ],
        schedule=[
            ScheduleEntry(
                point=point,
                state="steaming",
                method="conductivity",
                recurrence="FREQ=DAILY;BYHOUR=2,6,10,14,18,22;BYMINUTE=0;BYSECOND=0",
            )
        ],
        key=str(uuid4()),
    )  # fmt: skip


def instruments(at: Plant) -> dict[str, str]:
    """Register a meter, a cell and a thermometer in order; returns their keys by role."""
    found: dict[str, str] = {}
    for role, kind in (
        ("meter", "conductivity_meter"),
        ("cell", "conductivity_cell"),
        ("thermometer", "thermometer"),
    ):
        row: Instrument = instrument_add(actor=founder(at), kind=kind, name=f"{role} A", serial="")
        found[role] = str(row.pk)
    return found


def conductivity(reading: str, used: dict[str, str], **options: object) -> TestEntry:
    """Return a conductivity test by a self-compensating meter at 25 °C."""
    typed = {"reading": reading, "temperature": "25", "neutralized": "no"}
    return TestEntry(
        method="conductivity",
        version="1",
        mode=str(options.get("mode", "automatic")),
        typed={**typed, **options.get("typed", {})},  # type: ignore[dict-item]
        units={"reading": "umho/cm", "temperature": "degC"},
        instruments=used,
        reasons=options.get("reasons", {}),  # type: ignore[arg-type]
        confirmed=str(options.get("confirmed", "")),
    )


def sample(by: Actor, point: SamplePoint, test: TestEntry, **options: object) -> object:
    drawn = options.get("drawn_at") or clock.now()
    entry = SampleEntry(
        key=str(options.get("key") or uuid4()),
        point=point,
        drawn_at=drawn,  # type: ignore[arg-type]
        opened_at=drawn,  # type: ignore[arg-type]
        tests=(test,),
        slot=options.get("slot"),  # type: ignore[arg-type]
    )
    return samples_register(actor=by, entries=[entry])[0]


def works(name: str = "Larkfield Works", **options: object) -> SimpleNamespace:
    """Return a whole small plant: people, one boiler with its program, instruments.

    It was set up a month ago; its program has been in force for a day.
    """
    now = clock.now()
    with clock.clock_at(now - timedelta(days=30)):
        built = _set_up(name, **options)
    with scope(plant=built.plant):
        program(built.plant, built.point)
    return built


def _set_up(name: str, **options: object) -> SimpleNamespace:
    at = plant(name, **options)
    slug = name.split()[0].lower()
    people = {
        "tester": person(at, f"tess-{slug}", "Tess Tanner", Role.TESTER),
        "mate": person(at, f"milo-{slug}", "Milo Mate", Role.TESTER),
        "supervisor": person(at, f"sam-{slug}", "Sam Sutter", Role.SUPERVISOR),
        "chemist": person(at, f"cleo-{slug}", "Cleo Carver", Role.CHEMIST),
    }
    with scope(plant=at):
        one = boiler(at)
        point = SamplePoint.objects.get(plant=at, boiler=one)
        feed = point_add(actor=founder(at), name="Feedwater", kind=SampleKind.FEEDWATER)
        used = instruments(at)
    return SimpleNamespace(
        plant=at, people=people, boiler=one, point=point, feed=feed, used=used,
        **{role: actor(user, at) for role, user in people.items()},
    )  # fmt: skip
