"""Record an instrument's check: what was found, what was left, and what that does to it."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from uuid import UUID

from chemistry.errors import ChemistryError
from chemistry.methods.base import Entry
from chemistry.recipes.base import Ending, Figure, Found
from records import canonical, clock
from records.actors import Actor
from records.errors import RecordError
from records.models import (
    AppendOnly,
    CheckStandard,
    Happening,
    Instrument,
    InstrumentCheck,
    LookBack,
)
from records.permissions import Deed
from records.selectors.cards import card_of
from records.selectors.check_history import due_after, last_pass
from records.selectors.check_work import CheckEntry, Held, Run, WorkedCheck, check_work
from records.services.instruments import event_write
from records.services.ledger import ledger_append, ledger_lock
from records.services.once import stored_once


class CheckRefused(RecordError):  # noqa: N818
    """What was typed can't be used; `errors` holds the trouble by field."""

    def __init__(self, errors: Mapping[str, ChemistryError | RecordError]) -> None:
        first = next(iter(errors.values()))
        super().__init__("check_refused", first.template, **first.params)
        self.errors = errors


def check_record(*, actor: Actor, entry: CheckEntry, key: str) -> UUID:
    """Record a check of an instrument, and of the cell or meter it was read with; returns its key.

    What was not accepted takes the instrument out of service; what was found outside its tolerance
    opens a look-back. Raises CheckRefused with the trouble by field; nothing is stored then.
    """
    actor.require(Deed.CHECK, entry.instrument)

    def write() -> UUID:
        work = check_work(entry)
        if work.errors:
            raise CheckRefused(work.errors)
        first = _write(actor, work, entry.instrument, None)
        if work.partner is not None:
            _write(actor, work, work.partner, first)
        new: UUID = first.pk
        return new

    body = _body(entry)
    return stored_once(actor=actor, key=key, operation="check_record", body=body, write=write)


def _body(entry: CheckEntry) -> dict[str, object]:
    run = {"found": asdict(entry.found), "left": asdict(entry.left) if entry.left else {}}
    return run | {
        "instrument": str(entry.instrument.pk),
        "recipe": f"{entry.recipe} {entry.version}",
        "done_at": entry.done_at.isoformat(),
        "quick": "yes" if entry.quick else "no",
        "together": entry.together,
        "adjustment": entry.adjustment,
        "note": entry.note,
        "standards": dict(entry.standards),
        "values": dict(entry.values),
        "spreads": dict(entry.spreads),
        "reasons": dict(entry.reasons),
    }


def _write(
    actor: Actor, work: WorkedCheck, instrument: Instrument, together: InstrumentCheck | None
) -> InstrumentCheck:
    """Insert a check with its standards, seal it, and set how the instrument stands."""
    entry, end = work.entry, work.ending
    assert work.found is not None and end is not None  # what could not be worked was refused
    passed = last_pass(instrument)
    check: InstrumentCheck = InstrumentCheck.objects.create(
        plant=actor.plant,
        instrument=instrument,
        together=together,
        recipe=work.recipe.key,
        recipe_version=work.recipe.version,
        quick=entry.quick,
        done_at=entry.done_at,
        entered_at=clock.now(),
        typed=canonical.dumps(_typed(work)),
        answer=canonical.dumps(_answers(work)),
        adjustment=entry.adjustment.strip(),
        acceptance=work.found.acceptance.value,
        ending=end.value,
        note=entry.note.strip(),
        **actor.signed_by,
    )
    standards = [_standard(check, held) for held in work.held]
    CheckStandard.objects.bulk_create(standards)
    rows: list[AppendOnly] = [check, *standards]
    if work.puts_in_doubt:
        rows.append(_look_back(check, passed))
    ledger_append(ledger_lock(actor.plant), rows)
    _stand(actor, instrument, end)
    return check


def _look_back(check: InstrumentCheck, passed: InstrumentCheck | None) -> LookBack:
    found: LookBack = LookBack.objects.create(
        plant_id=check.plant_id,
        check_of=check,
        instrument=check.instrument,
        passed=passed,
        since=passed.done_at if passed else None,
        until=check.done_at,
        at=check.entered_at,
    )
    return found


def _stand(actor: Actor, instrument: Instrument, end: Ending) -> None:
    """Set how an instrument stands after a check; one that is not decided changes nothing."""
    if end is Ending.UNDECIDED:
        return
    fresh = Instrument.objects.get(plant=actor.plant, pk=instrument.pk)
    failed = end is Ending.OUT_OF_SERVICE
    fresh.check_failed = failed
    if failed:
        if fresh.in_service:
            event_write(actor, fresh, Happening.OUT_OF_SERVICE, "")
        fresh.in_service = False
    else:
        checks = InstrumentCheck.objects.filter(plant=actor.plant, instrument=fresh)
        fresh.check_due_on = due_after(fresh, card_of(fresh), list(checks))
    fresh.save(update_fields=["check_failed", "in_service", "check_due_on"])


def _standard(check: InstrumentCheck, held: Held) -> CheckStandard:
    return CheckStandard(
        plant_id=check.plant_id,
        check_of=check,
        role=held.role.key,
        lot=held.lot,
        lot_card=held.lot_card,
        instrument=held.instrument,
        instrument_card=held.instrument_card,
        label=held.label,
        value=f"{held.standard.value:.8g}",
        unit=held.standard.unit,
        expanded=f"{held.expanded:.4g}",
        standing=held.standing.value,
        reason=held.reason if held.standing.value != "in_order" else "",
    )


def _typed(work: WorkedCheck) -> dict[str, object]:
    """Return what was typed beside what was understood, as texts."""
    runs = [("found", work.entry.found, work.read)]
    if work.entry.left is not None and work.read_left is not None:
        runs.append(("left", work.entry.left, work.read_left))
    return {name: _run(run, read) for name, run, read in runs}


def _run(run: Run, read: Entry) -> list[dict[str, str]]:
    rows = [
        {"field": key, "typed": each.typed, "normalized": each.normalized, "unit": each.unit}
        for key, each in read.readings.items()
    ]
    chosen = {**read.choices, **read.texts}
    return rows + [
        {"field": key, "typed": run.typed.get(key, "").strip(), "normalized": value, "unit": ""}
        for key, value in chosen.items()
    ]


def _answers(work: WorkedCheck) -> dict[str, object]:
    every = [("found", work.found), ("left", work.left)]
    return {name: _answer(found) for name, found in every if found is not None}


def _answer(found: Found) -> dict[str, object]:
    effect = found.effect
    return {
        "acceptance": found.acceptance.value,
        "figures": _figures(found.figures),
        "effect": {
            "kind": effect.kind.value,
            "size": f"{effect.size:.10g}",
            "unit": effect.unit,
            "u": f"{effect.u:.4g}",
        },
        "levels": [f"{level:.8g}" for level in found.levels],
        "level_unit": found.level_unit,
        "reasons": [[template, dict(params)] for template, params in found.reasons],
    }


def _figures(figures: Sequence[Figure]) -> list[dict[str, str]]:
    def end(value: float | None) -> str:
        return "" if value is None else f"{value:.6g}"

    return [
        {
            "key": each.key,
            "label": each.label,
            "value": each.value_text,
            "unit": each.unit,
            "expanded": each.expanded_text,
            "low": end(each.low),
            "high": end(each.high),
            "acceptance": each.acceptance.value if each.acceptance else "",
            "at": end(each.at),
        }
        for each in figures
    ]
