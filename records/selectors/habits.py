"""What this bench did last time: the mode and instruments that are offered first."""

from dataclasses import dataclass, field

from records.models import InstrumentUse, Measurement, SamplePoint


@dataclass(frozen=True)
class Habit:
    """How a test was last made at a point; empty where it never was."""

    mode: str = ""
    instruments: dict[str, str] = field(default_factory=dict)


def habit_of(point: SamplePoint, method: str) -> Habit:
    """Return mode and instruments of the newest measurement at a point."""
    last: Measurement | None = (
        Measurement.objects.filter(plant=point.plant_id, sample__sample_point=point, method=method)
        .order_by("-entered_at")
        .first()
    )
    if last is None:
        return Habit()
    uses = InstrumentUse.objects.filter(plant=point.plant_id, measurement=last)
    return Habit(mode=last.mode, instruments={u.role: str(u.instrument_id) for u in uses})
