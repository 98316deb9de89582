"""Work every measurement of a store again from what was typed.

Prints what came out otherwise than it is stored, a line each, and how many were worked. Run by
`manage.py shell` on the data folder of a store, whose clock may be set: with WATERSIDE_DEMO=1.
"""

import sys

from django_scopes import scope

from chemistry import methods
from dashboards.build.correct import typed_of
from dashboards.forms.bench import entry_of
from records import clock
from records.models import Measurement, Plant, Result
from records.selectors.bench import WorkedTest, draw_of, tests_work


def rework() -> None:
    worked = 0
    for plant in Plant.objects.order_by("name"):
        with scope(plant=plant):
            for each in Measurement.objects.order_by("pk"):
                worked += 1
                with clock.clock_at(each.entered_at):
                    sys.stdout.writelines(_otherwise(each, _again(each)))
    sys.stdout.write(f"{worked} measurements worked again\n")


def _again(measurement: Measurement) -> WorkedTest:
    sample = measurement.sample
    draw = draw_of(sample.sample_point, sample.boiler_state, sample.drawn_at)
    method = methods.get(measurement.method, measurement.method_version)
    (work,) = tests_work(draw, [entry_of(method, typed_of(measurement))])
    return work


def _otherwise(measurement: Measurement, work: WorkedTest) -> list[str]:
    stored = {_told(each) for each in Result.objects.filter(measurement=measurement)}
    again = {
        (one.analyte, one.value_text, one.unit, one.qualifier, one.basis.text, one.expanded_text)
        for one in (judged.worked for judged in work.results)
    }
    name = f"{measurement.method} {measurement.method_version} {measurement.pk}"
    return [] if stored == again else [f"{name}: {sorted(stored)} is now {sorted(again)}\n"]


def _told(result: Result) -> tuple[str, ...]:
    return (
        result.analyte, result.value, result.unit, result.qualifier, result.basis, result.expanded,
    )  # fmt: skip
