"""A sample as it is sent, and reading it into what the services take."""

from collections.abc import Mapping
from typing import Any, TypeVar
from uuid import UUID

from django.http import Http404
from django.utils.translation import gettext as _
from rest_framework import serializers

from chemistry import methods
from chemistry.entry import written_unit
from chemistry.errors import EntryError
from chemistry.methods.base import Field, Method
from records.access import row_for
from records.actors import Actor
from records.api.fields import Instant, Strict, Text
from records.api.figures import unit_labels
from records.api.problems import Fault, Unusable
from records.errors import NOT_HERE
from records.models import DueSlot, PlantOwned, SamplePoint
from records.selectors.bench import TestEntry
from records.services.samples import SampleEntry
from records.words import sentence

Row = TypeVar("Row", bound=PlantOwned)
# The longest reading that the form takes too; what a field takes is told by its method.
_LONGEST_TYPED = 300
MOST_TESTS = len(methods.METHODS)


class ReadingIn(Strict):
    """One raw reading as typed, with the unit on the dial; a choice or own words have no unit."""

    value = Text(longest=_LONGEST_TYPED, blank=True)
    unit = Text(longest=40, blank=True, default="")


class TestIn(Strict):
    """One test of the sample, as the catalogue of methods asks for it."""

    __test__ = False  # a test of water; pytest must not collect it

    method = Text(longest=40)
    version = Text(longest=16, help_text="The version whose fields are filled in.")
    mode = Text(longest=40)
    readings = serializers.DictField(
        child=ReadingIn(), help_text="By the key of the method's field."
    )
    instruments = serializers.DictField(
        child=Text(longest=40, blank=True),
        default=dict,
        help_text="Ids of instruments and lots, by their role in the method.",
    )
    reasons = serializers.DictField(
        child=Text(longest=300, blank=True),
        default=dict,
        help_text="By role: why one that is not in order is used.",
    )
    confirmed = serializers.ListField(
        child=Text(longest=200),
        default=list,
        max_length=20,
        help_text="Tokens of the doubts that were looked at again.",
    )


class SampleIn(Strict):
    """Water drawn at one point at one time, with its tests."""

    key = Text(
        longest=64,
        help_text="A text of your own: sent again under it, it is stored once.",
    )
    dry_run = serializers.BooleanField(
        default=False, help_text="Work and judge it, and store nothing."
    )
    point = serializers.UUIDField()
    slot = serializers.UUIDField(default=None, allow_null=True)
    drawn_at = Instant()
    note = Text(longest=300, blank=True, default="")
    tests = TestIn(many=True, allow_empty=False, max_length=MOST_TESTS)  # type: ignore[call-arg]


def entry_of(actor: Actor, sent: Mapping[str, Any]) -> SampleEntry:
    """Return what was sent as a sample to register; raises Unusable with every place at fault."""
    faults: list[Fault] = []
    point = _row(actor, SamplePoint, sent["point"], "point", faults)
    slot = _row(actor, DueSlot, sent["slot"], "slot", faults) if sent["slot"] else None
    tests = _tests(sent["tests"], faults)
    if faults or point is None:
        raise Unusable(faults)
    return SampleEntry(
        key=sent["key"],
        point=point,
        slot=slot,
        drawn_at=sent["drawn_at"],
        # No sheet was opened here; the present time would make a repeat another body.
        opened_at=sent["drawn_at"],
        tests=tests,
        note=sent["note"],
    )


def _row(actor: Actor, model: type[Row], key: UUID, place: str, faults: list[Fault]) -> Row | None:
    try:
        return row_for(actor, model, key)
    except Http404:
        faults.append(Fault(place=(place,), code="not_here", detail=_(NOT_HERE)))
        return None


def _tests(sent: list[dict[str, Any]], faults: list[Fault]) -> tuple[TestEntry, ...]:
    entries: list[TestEntry] = []
    for number, test in enumerate(sent):
        place = ("tests", str(number))
        if any(test["method"] == earlier.method for earlier in entries):
            told = _("This test stands on the sample already: once is enough.")
            faults.append(Fault(place=(*place, "method"), code="twice", detail=told))
        try:
            method = methods.get(test["method"], test["version"])
        except EntryError as error:
            fault = Fault(place=(*place, "method"), code=error.code, detail=sentence(error))
            faults.append(fault)
            continue
        faults += _unasked(method, test, place)
        entries.append(_test(test))
    return tuple(entries)


def _test(test: Mapping[str, Any]) -> TestEntry:
    readings: Mapping[str, Mapping[str, str]] = test["readings"]
    return TestEntry(
        method=test["method"],
        version=test["version"],
        mode=test["mode"],
        typed={key: reading["value"] for key, reading in readings.items()},
        units={key: reading["unit"] for key, reading in readings.items() if reading["unit"]},
        instruments=test["instruments"],
        reasons=test["reasons"],
        confirmed=" ".join(test["confirmed"]),
    )


def _unasked(method: Method, test: Mapping[str, Any], place: tuple[str, ...]) -> list[Fault]:
    """Return what was sent that the test does not ask for, and units that it lacks."""
    faults: list[Fault] = []
    roles = {role.key for role in method.means}
    for part in ("instruments", "reasons"):
        faults += _unknown(test[part], roles, (*place, part))
    asked = {field.key: field for mode in method.modes for field in mode.fields
             if mode.key == test["mode"]}  # fmt: skip
    if not asked:
        return faults  # the mode is not known: the method itself says so
    faults += _unknown(test["readings"], set(asked), (*place, "readings"))
    for key, reading in test["readings"].items():
        told = _about_unit(asked[key], reading) if key in asked else ""
        if told:
            where = (*place, "readings", key, "unit")
            faults.append(Fault(place=where, code="unit", detail=told))
    return faults


def _unknown(sent: Mapping[str, Any], known: set[str], place: tuple[str, ...]) -> list[Fault]:
    told = _("This is not asked for here. Asked for are: %(known)s.") % {
        "known": ", ".join(sorted(known)) or "–"
    }
    return [
        Fault(place=(*place, key[:60]), code="unknown", detail=told)
        for key in sent
        if key not in known
    ]


def _about_unit(field: Field, reading: Mapping[str, str]) -> str:
    """Return what is wrong with a reading's unit: a number never travels bare."""
    if not field.units:
        return _("This has no unit.") if reading["unit"].strip() else ""
    bare = not reading["unit"].strip() and not written_unit(reading["value"])
    if bare and reading["value"].strip() and len(field.units) > 1:
        return _("Say in which unit this was read: %(units)s.") % {
            "units": unit_labels(field.units)
        }
    return ""
