"""Bottles of boiler water with several tests, and a program that limits them; all invented."""

from collections.abc import Sequence
from types import SimpleNamespace

from records import clock
from records.models import Program, Result, Sample
from records.selectors.bench import TestEntry
from records.services.programs import LimitEntry, version_put_in_force
from records.services.samples import SampleEntry, samples_register
from tests.records import story

# analyte, unit, basis, low, target, high
LIMITS = (
    ("conductivity", "umho/cm", "25C|not_neutralized|", "", "1100", "1300"),
    ("phosphate", "mg/L", "any||PO4", "30", "40", "60"),
    ("ph", "pH", "25C||", "10.3", "", "12"),
    ("total_hardness", "mg/L", "||CaCO3", "", "", "10"),
)


def limited(works: SimpleNamespace, limits: Sequence[tuple[str, ...]] = LIMITS) -> SimpleNamespace:
    """Put limits for these tests in force from now on."""
    told = {"point": works.point, "state": "steaming", "source": "invented", "confidence": "none"}
    version_put_in_force(
        actor=works.chemist,
        program=Program.objects.get(boiler=works.boiler),
        in_force_from=clock.now(),
        limits=[
            LimitEntry(analyte=a, unit=u, basis=b, low=low, target=t, high=h, **told)
            for a, u, b, low, t, h in limits
        ],
        schedule=[],
        key=story.key(),
    )
    return works


def phosphate(reading: str) -> TestEntry:
    typed = {"reading": reading, "scale": "on", "range_low": "0", "range_high": "100"}
    return TestEntry(
        method="phosphate", version="1", mode="photometer", typed={**typed, "shown_as": "PO4"}
    )


def ph(reading: str) -> TestEntry:
    buffers = {"buffer_low": "seven", "buffer_high": "calcium_hydroxide"}
    typed = {"reading": reading, "temperature": "25", **buffers}
    return TestEntry(method="ph", version="1", mode="automatic", typed=typed, confirmed="any")


def hardness(drops: str) -> TestEntry:
    """Total hardness by drops of 5 mg/L each."""
    typed = {"end": drops, "end_point": "reached", "drop_means": "result", "per_drop_result": "5"}
    return TestEntry(method="hardness_total", version="1", mode="drops", typed=typed)


def sulfite(drops: str) -> TestEntry:
    """Sulfite by drops of 5 mg/L each."""
    typed = {"end": drops, "drop_means": "result", "per_drop_result": "5", "temperature": "25"}
    return TestEntry(
        method="sulfite", version="1", mode="drops", typed={**typed, "stated_as": "SO3"}
    )


def alkalinity(p: str, m: str) -> TestEntry:
    """P and M alkalinity by drops of 20 mg/L each, in water where nothing else takes acid."""
    typed = {"p_end": p, "m_end": m, "per_drop_result": "20", "drop_means": "result"}
    return TestEntry(
        method="alkalinity", version="1", mode="drops", typed={**typed, "others": "no"}
    )


def look(seen: str) -> TestEntry:
    return TestEntry(method="appearance", version="1", mode="by_eye", typed={"look": seen})


def bottle(works: SimpleNamespace, *tests: TestEntry, **options: object) -> Sample:
    """Register one bottle of the boiler's water, or of `point`."""
    at = options.get("drawn_at") or clock.now()
    entry = SampleEntry(
        key=story.key(),
        point=options.get("point") or works.point,  # type: ignore[arg-type]
        drawn_at=at,  # type: ignore[arg-type]
        opened_at=at,  # type: ignore[arg-type]
        tests=tests,
    )
    pk = samples_register(actor=works.tester, entries=[entry])[0]
    return Sample.objects.get(plant=works.plant, pk=pk)


def result_in(sample: Sample, analyte: str) -> Result:
    return Result.objects.get(measurement__sample=sample, analyte=analyte)
