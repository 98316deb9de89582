"""Write measurements with all that stands beside them: readings, instruments, results, verdicts."""

from collections.abc import Sequence

from chemistry.uncertainty import RULE_VERSION
from records import canonical, clock
from records.actors import Actor
from records.models import (
    CheckOutcome,
    Doubt,
    Instrument,
    InstrumentUse,
    LogSheet,
    Lot,
    Measurement,
    Reading,
    Result,
    Sample,
    Verdict,
)
from records.selectors.bench import Judged, WorkedTest
from records.selectors.instruments import label_of
from records.selectors.written import Written


def measurements_write(
    actor: Actor,
    *,
    sample: Sample,
    sheet: LogSheet,
    works: Sequence[WorkedTest],
    corrects: Measurement | None = None,
    reason: str = "",
) -> Written:
    """Insert a measurement for each worked test, with its readings, instruments, results, verdicts
    and doubts: the rows of all tests at once, table by table."""
    made = [
        Measurement(
            plant=actor.plant,
            sample=sample,
            sheet=sheet,
            method=work.method.key,
            method_version=work.method.version,
            mode=work.entry.mode,
            entered_at=clock.now(),
            confirmed=work.to_confirm,
            corrects=corrects,
            reason=reason,
            **actor.signed_by,
        )
        for work in works
    ]
    Measurement.objects.bulk_create(made)
    tests = list(zip(made, works, strict=True))
    Reading.objects.bulk_create([row for each in tests for row in _readings(*each)])
    InstrumentUse.objects.bulk_create([row for each in tests for row in _uses(*each)])
    doubts = [row for each in tests for row in _doubts(*each)]
    outcomes = [row for each in tests for row in _outcomes(*each)]
    judged = [(_result(test, each), each) for test, work in tests for each in work.results]
    verdicts = [_verdict(*each) for each in judged]
    Doubt.objects.bulk_create(doubts)
    doubted = {doubt.measurement_id for doubt in doubts}
    CheckOutcome.objects.bulk_create(outcomes)
    Result.objects.bulk_create([result for result, _judged in judged])
    Verdict.objects.bulk_create(verdicts)
    return Written(measurements=made, verdicts=verdicts, outcomes=outcomes, doubted=doubted)


def _readings(measurement: Measurement, work: WorkedTest) -> list[Reading]:
    rows = []
    for field, reading in work.read.readings.items():
        row = {"typed": reading.typed, "normalized": reading.normalized, "unit": reading.unit}
        rows.append((field, row))
    for field, choice in work.read.choices.items():
        typed = work.entry.typed.get(field, "").strip()
        rows.append((field, {"typed": typed, "normalized": choice, "unit": ""}))
    for field, words in work.read.texts.items():
        typed = work.entry.typed.get(field, "").strip()
        rows.append((field, {"typed": typed, "normalized": words, "unit": ""}))
    return [
        Reading(plant_id=measurement.plant_id, measurement=measurement, field=field, **row)
        for field, row in rows
    ]


def _uses(measurement: Measurement, work: WorkedTest) -> list[InstrumentUse]:
    return [
        InstrumentUse(
            plant_id=measurement.plant_id,
            measurement=measurement,
            role=use.role,
            instrument=use.used if isinstance(use.used, Instrument) else None,
            lot=use.used if isinstance(use.used, Lot) else None,
            label=label_of(use.used),
            standing=use.standing.value,
            reason=use.reason if use.in_doubt else "",
        )
        for use in work.uses
    ]


def _doubts(measurement: Measurement, work: WorkedTest) -> list[Doubt]:
    return [
        Doubt(
            plant_id=measurement.plant_id,
            measurement=measurement,
            cause=f"{use.role}_{use.standing.value}",
            detail=use.reason,
            at=measurement.entered_at,
        )
        for use in work.uses
        if use.in_doubt
    ]


def _outcomes(measurement: Measurement, work: WorkedTest) -> list[CheckOutcome]:
    return [
        CheckOutcome(
            plant_id=measurement.plant_id,
            measurement=measurement,
            what=each.check,
            outcome=each.outcome,
            reason=each.reason,
            remark=each.remark,
            witness=each.witness,
        )
        for each in work.outcomes
    ]


def _result(measurement: Measurement, judged: Judged) -> Result:
    worked, budget = judged.worked, judged.worked.budget
    return Result(
        plant_id=measurement.plant_id,
        measurement=measurement,
        analyte=worked.analyte,
        value=worked.value_text,
        unit=worked.unit,
        qualifier=worked.qualifier,
        basis=worked.basis.text,
        expanded=worked.expanded_text,
        coverage=f"{budget.coverage:.3f}",
        degrees_of_freedom=f"{budget.dof:.6g}",
        u_random=f"{budget.u_random:.4g}",
        u_systematic=f"{budget.u_systematic:.4g}",
        budget=canonical.dumps(budget.as_text()),
        rule_version=RULE_VERSION,
    )


def _verdict(result: Result, judged: Judged) -> Verdict:
    said, limit = judged.verdict, judged.limit
    return Verdict(
        plant_id=result.plant_id,
        result=result,
        side=said.side.value,
        near_limit=said.near_limit,
        probability="" if said.probability is None else f"{said.probability:.4f}",
        rule=said.rule,
        reason=said.reason,
        program_version=limit.version if limit else None,
        limit=limit.row if limit else None,
    )
