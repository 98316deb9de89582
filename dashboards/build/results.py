"""Results, verdicts and their strips, the same wherever they are shown."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from chemistry import checks, methods
from chemistry.analytes import ANALYTES, Basis
from chemistry.verdict import REASON_WORDS, SIDE_WORDS, Side
from dashboards import words
from dashboards.screens.results import (
    CorrectionView,
    OutcomeView,
    RawReading,
    ResultView,
    Strip,
    VerdictView,
)
from records.models import Limit, Measurement, Plant, Result, Verdict
from records.selectors.bench import Judged
from records.selectors.doubts import CHECK_FAILED, VOID
from records.selectors.results import ResultStand
from records.selectors.sheets import counts


def analyte_name(key: str) -> str:
    """Return an analyte's name in the reader's language."""
    return _(ANALYTES[key].name)


def basis_words(text: str) -> tuple[str, ...]:
    """Return a stored basis in words."""
    return tuple(_(word) for word in Basis.parse(text).words())


def verdict_view(
    side: str, *, near: bool = False, reason: str = "", in_doubt: str = "", note: str = ""
) -> VerdictView:
    """Return a verdict in words; `note` is what the program says where no limit is known."""
    if in_doubt:
        return VerdictView(
            side="not_judged", word=_(SIDE_WORDS[Side.NOT_JUDGED]), in_doubt=True, reason=in_doubt
        )
    told = note if reason == "no_limit" and note else _(REASON_WORDS.get(reason, ""))
    return VerdictView(
        side=Side(side).value, word=_(SIDE_WORDS[Side(side)]), near_limit=near, reason=told
    )


def _limit_text(low: str, high: str, target: str, unit: str) -> str:
    if not low and not high:
        return ""
    if low and high:
        text = _("%(low)s to %(high)s %(unit)s allowed")
    elif high:
        text = _("at most %(high)s %(unit)s")
    else:
        text = _("at least %(low)s %(unit)s")
    told = text % {"low": low, "high": high, "unit": unit}
    if target:
        told += _(", target %(target)s") % {"target": target}
    return told


def limit_words(row: Limit | None, plant: Plant) -> str:
    """Return a limit as a short sentence in the plant's units."""
    if row is None:
        return ""
    unit = words.plant_unit(plant, ANALYTES[row.analyte].unit)
    low, high, target = (
        words.in_unit(text, row.unit, unit) for text in (row.low, row.high, row.target)
    )
    return _limit_text(low, high, target, words.unit_label(unit))


def result_view(
    plant: Plant,
    *,
    analyte: str,
    value: str,
    unit: str,
    expanded: str,
    basis: str,
    verdict: VerdictView,
    limit: Limit | None,
    qualifier: str = "",
    name: str = "",
) -> ResultView:
    """Return a result with its strip, in the unit in which this plant reads it."""
    shown = words.plant_unit(plant, unit)
    figure, spread = words.with_spread(value, expanded, unit, shown)
    ends = {"low": "", "high": "", "target": ""}
    if limit is not None:
        ends = {k: words.in_unit(getattr(limit, k), limit.unit, shown) for k in ends}
    label = words.unit_label(shown)
    spread_text = f" ± {spread}" if spread else ""
    strip = Strip(
        value=float(figure),
        expanded=float(spread) if spread else None,
        **{k: float(text) if text else None for k, text in ends.items()},
        value_text=f"{qualifier}{figure}{spread_text} {label}",
        low_text=ends["low"],
        high_text=ends["high"],
        target_text=ends["target"],
        verdict=verdict,
    )
    return ResultView(
        name=name or analyte_name(analyte),
        value_text=figure,
        expanded_text=spread,
        unit=label,
        qualifier=qualifier,
        basis_words=basis_words(basis),
        strip=strip,
        verdict=verdict,
        limit_text=_limit_text(ends["low"], ends["high"], ends["target"], label),
    )


def stand_view(plant: Plant, stand: ResultStand) -> ResultView:
    """Return a stored result as it is shown: a doubt outranks the verdict of its day."""
    return stored_view(plant, stand.result, stand.verdict, in_doubt=doubt_words(stand))


def stored_view(plant: Plant, row: Result, verdict: Verdict, *, in_doubt: str = "") -> ResultView:
    """Return a stored result with a stored verdict."""
    limit = verdict.limit
    return result_view(
        plant,
        analyte=row.analyte,
        value=row.value,
        unit=row.unit,
        expanded=row.expanded,
        basis=row.basis,
        qualifier=row.qualifier,
        limit=limit,
        verdict=verdict_view(
            verdict.side,
            near=verdict.near_limit,
            reason=verdict.reason,
            note=limit.note if limit else "",
            in_doubt=in_doubt,
        ),
    )


def doubt_words(stand: ResultStand) -> str:
    """Return why a result is in doubt, or ""."""
    if not stand.doubts:
        return ""
    plain = [doubt.detail for doubt in stand.doubts if doubt.cause in (VOID, CHECK_FAILED)]
    why = "; ".join(doubt.detail for doubt in stand.doubts if doubt.detail not in plain)
    if why or not plain:
        plain.append(_("An instrument was not in order: %(why)s") % {"why": why})
    return "; ".join(plain)


def judged_view(plant: Plant, judged: Judged, *, in_doubt: str = "") -> ResultView:
    """Return a result as it is being typed."""
    worked, said, limit = judged.worked, judged.verdict, judged.limit
    return result_view(
        plant,
        analyte=worked.analyte,
        value=worked.value_text,
        unit=worked.unit,
        expanded=worked.expanded_text,
        basis=worked.basis.text,
        qualifier=worked.qualifier,
        limit=limit.row if limit else None,
        verdict=verdict_view(
            said.side.value,
            near=said.near_limit,
            reason=said.reason,
            note=limit.row.note if limit else "",
            in_doubt=in_doubt,
        ),
    )


def outcome_view(
    what: str, outcome: str, *, reason: str = "", remark: str = "", witness: str = ""
) -> OutcomeView:
    """Return what a check of the boiler showed, in the reader's language."""
    check = checks.CHECKS[what]
    return OutcomeView(
        name=_(check.name),
        word=_(checks.ALL_OUTCOME_WORDS[outcome]),
        grave=outcome == checks.OIL_FILM or (outcome == checks.DID_NOT_WORK and check.stops_boiler),
        reason=_(checks.REASON_WORDS[reason]) if reason else "",
        remark=remark,
        witness=witness,
    )


def raw_of(measurement: Measurement) -> tuple[RawReading, ...]:
    """Return the raw readings of a measurement as they were typed."""
    method = methods.get(measurement.method, measurement.method_version)
    stored = {reading.field: reading for reading in measurement.readings.all()}
    rows = []
    for field in method.mode(measurement.mode).fields:
        reading = stored.get(field.key)
        if reading is None:
            continue
        typed = reading.typed.strip() or reading.normalized
        if field.choices:
            typed = _(dict(field.choices).get(reading.normalized, reading.normalized))
        rows.append(
            RawReading(
                label=_(field.label),
                typed=typed,
                unit=words.unit_label(reading.unit) if reading.unit else "",
            )
        )
    return tuple(rows)


def corrections_of(
    plant: Plant, stand: ResultStand, all_of: Sequence[ResultStand]
) -> tuple[CorrectionView, ...]:
    """Return the older versions of a result, the newest first, each with why it was replaced."""
    by_measurement = {
        s.measurement.pk: s for s in all_of if s.result.analyte == stand.result.analyte
    }
    views = []
    newer = stand
    while newer.measurement.corrects_id in by_measurement:
        older = by_measurement[newer.measurement.corrects_id]
        if counts(older.measurement):
            views.append(_correction(plant, older, newer.measurement))
        newer = older
    return tuple(views)


def _correction(plant: Plant, older: ResultStand, by: Measurement) -> CorrectionView:
    shown = words.plant_unit(plant, older.result.unit)
    return correction_view(
        plant,
        by,
        value_text=words.in_unit(older.result.value, older.result.unit, shown),
        unit=words.unit_label(shown),
        raw=raw_of(older.measurement),
    )


def correction_view(
    plant: Plant,
    by: Measurement,
    *,
    value_text: str,
    unit: str = "",
    raw: tuple[RawReading, ...] = (),
) -> CorrectionView:
    """Return what was replaced, with who replaced it, when and why."""
    return CorrectionView(
        value_text=value_text,
        unit=unit,
        reason=by.reason,
        by=by.by_name,
        at_text=words.time_of(plant, by.entered_at),
        amendment=bool(by.amendments.all()),
        raw=raw,
    )
