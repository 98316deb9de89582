"""Reads behind the stop branch: a sample's results beside the last ones, and what is open."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import islice

from django.db.models import Q

from chemistry.stop_branch import ACID_PH, Finding, Seen, StopSample, findings
from chemistry.verdict import Side
from records.models import Boiler, FollowUp, Sample, Verdict
from records.selectors.past import PastDraws, past_of
from records.selectors.programs import as_in_force
from records.selectors.written import Written, written_of

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


def stop_findings(
    sample: Sample, written: Written | None = None, past: PastDraws | None = None
) -> tuple[Finding, ...]:
    """Return what stops the ordinary way for a sample; what is at hand of it need not be read.

    A result in doubt counts here too: it must not hide what may be so.
    """
    shown = written or written_of(sample)
    verdicts = [each for each in shown.verdicts if each.result.analyte in WATCHED]
    looks = [each for each in shown.outcomes if each.what == "appearance"]
    if not verdicts and not looks:
        return ()
    seen = _seen(sample, verdicts, past)
    return findings(
        StopSample(
            kind=sample.sample_point.kind,
            state=sample.boiler_state,
            results=seen,
            appearance=looks[-1].outcome if looks else "",
            expects_alkali=_expects_alkali(seen),
        )
    )


def _expects_alkali(seen: dict[str, Seen]) -> bool:
    lows = {analyte: each.low or 0.0 for analyte, each in seen.items()}
    alkaline = max(lows.get("p_alkalinity", 0.0), lows.get("hydroxide_alkalinity", 0.0))
    return alkaline > 0.0 or lows.get("ph", 0.0) > ACID_PH


def _seen(sample: Sample, verdicts: Sequence[Verdict], past: PastDraws | None) -> dict[str, Seen]:
    before = _before(sample, {each.result.analyte for each in verdicts}, past)
    seen = {}
    for verdict in verdicts:
        result, version, row = verdict.result, verdict.program_version, verdict.limit
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
    sample: Sample, measured: set[str], past: PastDraws | None
) -> dict[tuple[str, str], tuple[tuple[float, float], ...]]:
    """Return the last results of the point by analyte and basis, the newest last."""
    wanted = measured & ({"ph"} | (RISING if len(RISING & measured) > 1 else frozenset()))
    if not wanted:
        return {}
    found: dict[tuple[str, str], tuple[tuple[float, float], ...]] = {}
    for draw in islice(past or past_of(sample), _DRAWS):
        if draw.drawn_at < sample.drawn_at - _HISTORY:
            break
        for each in draw.results:
            if each.current and not each.qualifier and each.analyte in wanted:
                key = (each.analyte, each.basis)
                found[key] = ((each.value, each.expanded), *found.get(key, ()))
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
