"""Reads behind the stop branch: a sample's results beside the last ones, and what is open."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Q

from chemistry.stop_branch import ACID_PH, Finding, Seen, StopSample, findings
from chemistry.verdict import Side
from records.models import (
    Boiler,
    CheckOutcome,
    Doubt,
    FollowUp,
    Measurement,
    Result,
    Sample,
    Verdict,
)
from records.selectors.programs import as_in_force
from records.selectors.sheets import current_measurements

STOP = "stop"
# Of what a look at the sample showed: it hangs on some result of the sample, but is not about it.
STOP_LOOK = "stop_look"
# Results that the stop branch looks at, and those that mean something when they rise together.
WATCHED = frozenset(
    {
        "ph",
        "p_alkalinity",
        "hydroxide_alkalinity",
        "m_alkalinity",
        "total_hardness",
        "calcium_hardness",
        "chloride",
        "conductivity",
    }
)
RISING = frozenset({"chloride", "total_hardness", "conductivity"})
# Draws before this one that it is held beside, and how old they may be: rules of our own.
_DRAWS = 5
_HISTORY = timedelta(days=3)
# An open finding keeps ordinary remedies back for this long at most: rule of our own.
HOLDS_FOR = timedelta(hours=24)


def stop_findings(sample: Sample) -> tuple[Finding, ...]:
    """Return what stops the ordinary way for a sample.

    A result in doubt counts here too: it must not hide what may be so.
    """
    measurements = _counting(sample, [sample.pk])
    keys = [m.pk for m in measurements]
    results = list(
        Result.objects.filter(plant=sample.plant_id, measurement__in=keys, analyte__in=WATCHED)
    )
    look = CheckOutcome.objects.filter(
        plant=sample.plant_id, measurement__in=keys, what="appearance"
    ).last()
    if not results and look is None:
        return ()
    seen = _seen(sample, results)
    return findings(
        StopSample(
            kind=sample.sample_point.kind,
            state=sample.boiler_state,
            results=seen,
            appearance=look.outcome if look else "",
            expects_alkali=_expects_alkali(seen),
        )
    )


def _expects_alkali(seen: dict[str, Seen]) -> bool:
    lows = {analyte: each.low or 0.0 for analyte, each in seen.items()}
    alkaline = max(lows.get("p_alkalinity", 0.0), lows.get("hydroxide_alkalinity", 0.0))
    return alkaline > 0.0 or lows.get("ph", 0.0) > ACID_PH


def _counting(sample: Sample, samples: Sequence[UUID]) -> list[Measurement]:
    made = Measurement.objects.filter(plant=sample.plant_id, sample__in=samples).prefetch_related(
        "amendments__signatures"
    )
    return current_measurements(list(made))


def _seen(sample: Sample, results: Sequence[Result]) -> dict[str, Seen]:
    verdicts = Verdict.objects.filter(result__in=[r.pk for r in results]).select_related(
        "limit", "program_version"
    )
    by_result = {verdict.result_id: verdict for verdict in verdicts}
    before = _before(sample, results)
    seen = {}
    for result in results:
        verdict = by_result[result.pk]
        version, row = verdict.program_version, verdict.limit
        limit = as_in_force(version, row).limit if version and row else None
        seen[result.analyte] = Seen(
            value=float(result.value),
            expanded=float(result.expanded),
            side=Side(verdict.side),
            low=limit.low if limit else None,
            high=limit.high if limit else None,
            qualifier=result.qualifier,
            before=before.get((result.analyte, result.basis), ()),
        )
    return seen


def _before(
    sample: Sample, results: Sequence[Result]
) -> dict[tuple[str, str], tuple[tuple[float, float], ...]]:
    """Return the last results of the point by analyte and basis, the newest last. By keys."""
    measured = {result.analyte for result in results}
    wanted = measured & ({"ph"} | (RISING if len(RISING & measured) > 1 else frozenset()))
    if not wanted:
        return {}
    drawn = dict(
        Sample.objects.filter(
            plant=sample.plant_id,
            sample_point=sample.sample_point_id,
            boiler_state=sample.boiler_state,
            drawn_at__lt=sample.drawn_at,
            drawn_at__gte=sample.drawn_at - _HISTORY,
        )
        .order_by("-drawn_at")
        .values_list("pk", "drawn_at")[:_DRAWS]
    )
    made = {m.pk: drawn[m.sample_id] for m in _counting(sample, list(drawn))} if drawn else {}
    doubted = set(
        Doubt.objects.filter(plant=sample.plant_id, measurement__in=list(made)).values_list(
            "measurement_id", flat=True
        )
    )
    trusted = [pk for pk in made if pk not in doubted]
    found = Result.objects.filter(
        plant=sample.plant_id, measurement__in=trusted, analyte__in=wanted, qualifier=""
    )
    return _in_order([(made[row.measurement_id], row) for row in found])


def _in_order(
    rows: Sequence[tuple[datetime, Result]],
) -> dict[tuple[str, str], tuple[tuple[float, float], ...]]:
    found: dict[tuple[str, str], tuple[tuple[float, float], ...]] = {}
    for _, row in sorted(rows, key=lambda pair: pair[0]):
        key = (row.analyte, row.basis)
        found[key] = (*found.get(key, ()), (float(row.value), float(row.expanded)))
    return found


def stops_open_at(boiler: Boiler, instant: datetime) -> list[FollowUp]:
    """Return the stop findings about a boiler, or water that all boilers share, that nobody has
    answered yet."""
    return list(
        FollowUp.objects.filter(
            Q(sample__sample_point__boiler=boiler) | Q(sample__sample_point__boiler__isnull=True),
            plant=boiler.plant_id,
            why__in=(STOP, STOP_LOOK),
            at__gte=instant - HOLDS_FOR,
            settlements__isnull=True,
        )
        .select_related("sample__sample_point__boiler")
        .order_by("at")
    )
