"""The first start of an installation: a one-time code, then the first plant and administrator."""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext_noop

from records.errors import RecordError
from records.models import Plant, User
from records.services.people import first_administrator
from records.services.plants import NewPlant, plant_create

WRONG_CODE = gettext_noop("This is not the code on the console.")
NEEDED = gettext_noop("This is needed.")
UNIT_HABITS = {
    "us": {
        "conductivity_unit": "umho/cm",
        "temperature_unit": "degF",
        "mass_flow_unit": "lb/h",
        "pressure_unit": "psi",
    },
    "si": {
        "conductivity_unit": "uS/cm",
        "temperature_unit": "degC",
        "mass_flow_unit": "kg/h",
        "pressure_unit": "bar",
    },
}


@dataclass(frozen=True, kw_only=True)
class FirstStart:
    """What is asked at the first start."""

    code: str
    organization: str
    plant: str
    timezone: str
    units: str
    name: str
    username: str
    password: str


def _file() -> Path:
    return Path(settings.DATA_DIR) / "first-start-code"


def is_open() -> bool:
    """Say whether nobody has an account yet."""
    return not User.objects.exists()


def code_for_console() -> str:
    """Return the one-time code, writing it anew at each start while nobody has an account."""
    code = "-".join(secrets.token_hex(2) for _ in range(3))
    path = _file()
    path.touch(mode=0o600, exist_ok=True)
    path.write_text(code)
    return code


@contextmanager
def _taken(code: str) -> Iterator[None]:
    """Take the code away while it is used, and for good where that went well.

    Of two who send it at once, one finds it gone: a file can be renamed once.
    """
    path = _file()
    held = path.with_suffix(".in-use")
    known = path.read_text() if path.exists() else ""
    if not known or not secrets.compare_digest(code.strip().encode(), known.encode()):
        raise RecordError("wrong_code", WRONG_CODE, field="code")
    try:
        path.rename(held)
    except FileNotFoundError as error:
        raise RecordError("wrong_code", WRONG_CODE, field="code") from error
    try:
        yield
    except BaseException:
        held.rename(path)
        raise
    held.unlink()


def first_start(asked: FirstStart) -> tuple[User, Plant]:
    """Make the first plant and its administrator, once, for who reads the console."""
    with _taken(asked.code), transaction.atomic():
        for field in ("organization", "plant"):
            if not getattr(asked, field).strip():
                raise RecordError("needed", NEEDED, field=field)
        plant = plant_create(
            NewPlant(
                organization=asked.organization,
                name=asked.plant,
                timezone=asked.timezone.strip(),
                units=UNIT_HABITS.get(asked.units, UNIT_HABITS["us"]),
            )
        )
        user = first_administrator(
            plant=plant, username=asked.username, name=asked.name, password=asked.password
        )
    return user, plant
