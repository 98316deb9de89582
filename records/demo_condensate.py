"""The demo's condensate: clean but for two leaks of a heat exchanger, which ask for hardness."""

import random
from datetime import datetime, timedelta

from records.models import DueSlot, SampleKind, SamplePoint
from records.selectors.bench import TestEntry
from records.shifts import local

HARDNESS = "hardness_total"
# What was planted, in days before the end (fixtures/demo/README.md).
LEAK = 5
SHUT = 3
# The newest leak is found this long before the end, and its hardness is left to the newcomer.
FOUND = timedelta(minutes=25)
CLEAN_US_CM, LEAKING_US_CM = 6.5, 46.0  # invented


def is_condensate(point: SamplePoint) -> bool:
    return point.kind == SampleKind.CONDENSATE


def condensate_us_cm(at: datetime, end: datetime, dice: random.Random) -> float:
    """Return the condensate's conductivity: high on one day, and again at the very end."""
    leaking = (end - at).days == LEAK or end - at <= FOUND
    return (LEAKING_US_CM if leaking else CLEAN_US_CM) * dice.gauss(1.0, 0.03)


def hardness_entry(dice: random.Random) -> TestEntry:
    """Return hardness by drops of 1 mg/L each: raw water leaks in, so a few."""
    typed = {"end": str(dice.randint(3, 5)), "per_drop_result": "1", "drop_means": "result"}
    return TestEntry(method=HARDNESS, version="1", mode="drops", typed=typed)


def is_shut(slot: DueSlot, end: datetime) -> bool:
    """Say whether the sample line was shut at a slot's time: one afternoon."""
    afternoon = local(slot.plant, slot.due_at).hour == 14
    return is_condensate(slot.sample_point) and (end - slot.due_at).days == SHUT and afternoon
