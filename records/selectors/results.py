"""Reads of results as they count: the newest correction of each, with verdict, limit and doubts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import QuerySet

from chemistry.verdict import Side
from records.models import (
    Boiler,
    CheckOutcome,
    LogSheet,
    Measurement,
    Plant,
    Result,
    Sample,
    SampleKind,
    Verdict,
)
from records.selectors.bench import Worth
from records.selectors.doubts import Doubted, doubts_of_each
from records.selectors.sheets import current_measurements


@dataclass(frozen=True, kw_only=True)
class ResultStand:
    """One result with its measurement, verdict and doubts: what is shown wherever it appears."""

    measurement: Measurement
    result: Result
    verdict: Verdict
    doubts: tuple[Doubted, ...]
    current: bool

    @property
    def sample(self) -> Sample:
        return self.measurement.sample

    @property
    def side(self) -> Side:
        """The side as shown: in doubt, a result is not judged whatever its number says."""
        return Side.NOT_JUDGED if self.doubts else Side(self.verdict.side)

    @property
    def out_of_range(self) -> bool:
        return self.side in (Side.HIGH, Side.LOW)


@dataclass(frozen=True, kw_only=True)
class OutcomeStand:
    """What one check showed, and whether it counts: not once it is corrected."""

    check: CheckOutcome
    current: bool

    @property
    def measurement(self) -> Measurement:
        return self.check.measurement


def _whole() -> QuerySet[Measurement]:
    return (  # type: ignore[no-any-return]
        Measurement.objects.select_related("sample__sample_point__boiler", "sheet", "corrects")
        .prefetch_related(
            "readings",
            "uses",
            "doubts",
            "corrections",
            "amendments__signatures",
            "results__verdicts__limit",
            "results__verdicts__program_version",
        )
        .order_by("sample__drawn_at", "entered_at", "id")
    )


def _stands(
    measurements: Sequence[Measurement], doubts: Mapping[UUID, tuple[Doubted, ...]] | None = None
) -> list[ResultStand]:
    current = {m.pk for m in current_measurements(measurements)}
    doubts = doubts_of_each(measurements) if doubts is None else doubts
    return [
        ResultStand(
            measurement=measurement,
            result=result,
            verdict=result.verdicts.all()[0],
            doubts=doubts.get(measurement.pk, ()),
            current=measurement.pk in current,
        )
        for measurement in measurements
        for result in measurement.results.all()
    ]


def results_on_sheet(sheet: LogSheet) -> list[ResultStand]:
    """Return every result on a sheet, corrected ones too, by time of draw."""
    return _stands(list(_whole().filter(plant=sheet.plant_id, sheet=sheet)))


def results_of_sample(sample: Sample) -> list[ResultStand]:
    """Return every result of a sample, corrected ones too."""
    return _stands(list(_whole().filter(plant=sample.plant_id, sample=sample)))


@dataclass(frozen=True, kw_only=True)
class TestStand:
    """One test of a sample that counts, with its results and outcomes."""

    __test__ = False  # a test of water; pytest must not collect it

    measurement: Measurement
    results: Sequence[ResultStand]
    outcomes: Sequence[CheckOutcome]
    doubts: tuple[Doubted, ...] = ()


def tests_of_sample(sample: Sample) -> list[TestStand]:
    """Return the tests of a sample that count, in the order in which they were entered."""
    found = list(_whole().filter(plant=sample.plant_id, sample=sample).prefetch_related("outcomes"))
    doubts = doubts_of_each(found)
    stands = _stands(found, doubts)
    return [
        TestStand(
            measurement=measurement,
            results=[stand for stand in stands if stand.measurement is measurement],
            outcomes=list(measurement.outcomes.all()),
            doubts=doubts.get(measurement.pk, ()),
        )
        for measurement in current_measurements(found)
    ]


def worths_beside(measurement: Measurement) -> dict[str, Worth]:
    """Return what the other tests of a measurement's sample found, those that count, by analyte."""
    stands = results_of_sample(measurement.sample)
    return {
        stand.result.analyte: Worth(
            float(stand.result.value), float(stand.result.expanded), stand.result.value
        )
        for stand in stands
        if stand.current
        and stand.measurement.pk != measurement.pk
        and not stand.result.qualifier
        and not stand.doubts
    }


def outcomes_of(sample: Sample) -> list[OutcomeStand]:
    """Return what the checks of a sample showed, corrected ones too."""
    return _checked(CheckOutcome.objects.filter(measurement__sample=sample))


def outcomes_on_sheet(sheet: LogSheet) -> list[OutcomeStand]:
    """Return what the checks on a sheet showed, corrected ones too, by time of draw."""
    return _checked(CheckOutcome.objects.filter(measurement__sheet=sheet))


def _checked(found: QuerySet[CheckOutcome]) -> list[OutcomeStand]:
    rows = list(
        found.select_related("measurement__sample__sample_point__boiler", "measurement__corrects")
        .prefetch_related("measurement__amendments__signatures")
        .order_by("measurement__sample__drawn_at", "id")
    )
    current = {m.pk for m in current_measurements([row.measurement for row in rows])}
    return [OutcomeStand(check=row, current=row.measurement_id in current) for row in rows]


def results_since(plant: Plant, since: datetime) -> list[ResultStand]:
    """Return the results that count of all draws since an instant, by time of draw."""
    found = _stands(list(_whole().filter(plant=plant, sample__drawn_at__gte=since)))
    return [stand for stand in found if stand.current]


def newest_of_boiler(boiler: Boiler, since: datetime, until: datetime) -> list[ResultStand]:
    """Return the results that count of a boiler's own water in a span, the oldest first."""
    found = _whole().filter(
        plant=boiler.plant_id,
        sample__sample_point__boiler=boiler,
        sample__sample_point__kind=SampleKind.BOILER_WATER,
        sample__drawn_at__range=(since, until),
    )
    return [stand for stand in _stands(list(found)) if stand.current]


def latest_by_point(plant: Plant, since: datetime) -> dict[tuple[object, str], ResultStand]:
    """Return the newest result that counts of each point and analyte since an instant.

    Only the samples that hold one are read whole.
    """
    newest = _newest_samples(plant, since)
    samples = set(newest.values())
    whole = _stands(list(_whole().filter(plant=plant, sample__in=samples))) if samples else []
    found: dict[tuple[object, str], ResultStand] = {
        key: stand
        for stand in whole
        for key in [(stand.sample.sample_point_id, stand.result.analyte)]
        if stand.current and newest[key] == stand.sample.pk
    }
    if len(found) == len(newest):
        return found
    # A correction took a result away without giving another: look behind it.
    every = results_since(plant, since)
    return {(each.sample.sample_point_id, each.result.analyte): each for each in every}


def _newest_samples(plant: Plant, since: datetime) -> dict[tuple[object, str], UUID]:
    """Return the newest sample with a result for each point and analyte. Read by keys: a join
    under the plant's scope would walk every result of the plant."""
    drawn = Sample.objects.filter(plant=plant, drawn_at__gte=since)
    order = ("drawn_at", "entered_at", "id")
    points = dict(drawn.order_by(*order).values_list("pk", "sample_point_id"))
    tests = dict(
        Measurement.objects.filter(plant=plant, sample__in=list(points)).values_list(
            "pk", "sample_id"
        )
    )
    analytes: dict[object, set[str]] = {}
    for test, analyte in Result.objects.filter(
        plant=plant, measurement__in=list(tests)
    ).values_list("measurement_id", "analyte"):
        analytes.setdefault(tests[test], set()).add(analyte)
    return {
        (point, analyte): sample
        for sample, point in points.items()
        for analyte in analytes.get(sample, ())
    }
