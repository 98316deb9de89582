"""What this bench did last time: the mode, instruments and standing figures that are offered
first."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from uuid import UUID

from records.models import InstrumentUse, Measurement, Reading, Sample, SamplePoint

# Samples looked through for the last time that a test was made: rule of our own.
_LOOKED_AT, _AT_A_TIME = 40, 8


@dataclass(frozen=True)
class Kept:
    """A reading or choice of last time, as typed where it was typed, with its unit."""

    text: str
    unit: str


@dataclass(frozen=True)
class Habit:
    """How a test was last made at a point; empty where it never was."""

    mode: str = ""
    instruments: dict[str, str] = field(default_factory=dict)
    readings: dict[str, Kept] = field(default_factory=dict)


@dataclass(frozen=True)
class Habits:
    """How tests were last made at a point; read when first asked for, for all of them at once."""

    point: SamplePoint
    methods: Sequence[str]

    def of(self, method: str) -> Habit | None:
        """Return how a test was last made, or None where it never was."""
        return self._by_method.get(method)

    @cached_property
    def _by_method(self) -> dict[str, Habit]:
        return _habits(self.point, self.methods)


def _habits(point: SamplePoint, methods: Sequence[str]) -> dict[str, Habit]:
    """Return by test what was used for its newest measurement at a point. Read by keys."""
    newest = _newest(point, methods)
    plant = point.plant_id
    by_key = {pk: method for method, (pk, _mode) in newest.items()}
    habits = {method: Habit(mode=mode) for method, (_pk, mode) in newest.items()}
    theirs = {"plant": plant, "measurement__in": list(by_key)}
    uses = InstrumentUse.objects.filter(**theirs)
    for key, role, instrument, lot in uses.values_list(
        "measurement_id", "role", "instrument_id", "lot_id"
    ):
        habits[by_key[key]].instruments[role] = str(instrument or lot or "")
    readings = Reading.objects.filter(**theirs)
    for key, name, typed, normalized, unit in readings.values_list(
        "measurement_id", "field", "typed", "normalized", "unit"
    ):
        habits[by_key[key]].readings[name] = Kept(typed.strip() or normalized, unit)
    return habits


def _newest(point: SamplePoint, methods: Sequence[str]) -> dict[str, tuple[UUID, str]]:
    """Return by test the key and mode of its newest measurement, no further back than is needed."""
    plant, newest = point.plant_id, dict[str, tuple[UUID, str]]()
    drawn = Sample.objects.filter(plant=plant, sample_point=point).order_by("-drawn_at")
    samples = list(drawn.values_list("pk", flat=True)[:_LOOKED_AT])
    for first in range(0, len(samples), _AT_A_TIME):
        wanted = [method for method in methods if method not in newest]
        if not wanted:
            break
        some = samples[first : first + _AT_A_TIME]
        made = Measurement.objects.filter(plant=plant, sample__in=some, method__in=wanted)
        rows = made.order_by("entered_at", "id").values_list("method", "pk", "mode")
        newest |= {method: (pk, mode) for method, pk, mode in rows}
    return newest
