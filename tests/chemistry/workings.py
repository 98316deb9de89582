"""Helpers of the method tests: work a test from typed texts, hold it against its pinned rows."""

import math

from chemistry import methods
from chemistry.checks import ALL_OUTCOME_WORDS
from chemistry.errors import EntryError
from chemistry.methods.base import InstrumentFacts, Method
from tests.golden import golden

DEFAULTS = InstrumentFacts()


def work_all(method: Method, mode: str, facts: InstrumentFacts = DEFAULTS, units=None, **typed):
    """Return what a method worked; the entry must be free of trouble."""
    entry = method.read(mode, typed, units or {})
    assert not entry.errors, {key: str(error) for key, error in entry.errors.items()}
    return {each.analyte: each for each in method.work(mode, entry, facts)}


def work(method: Method, mode: str, facts: InstrumentFacts = DEFAULTS, units=None, **typed):
    """Return the one result of a method."""
    (found,) = work_all(method, mode, facts, units, **typed).values()
    return found


def trouble(method: Method, mode: str, units=None, **typed) -> dict[str, str]:
    """Return the codes of what is wrong, by field, whether found in reading or in working."""
    entry = method.read(mode, typed, units or {})
    if entry.errors:
        return {key: error.code for key, error in entry.errors.items()}
    try:
        method.work(mode, entry, DEFAULTS)
        method.outcomes(mode, entry)
    except EntryError as error:
        assert str(error)
        return {error.field: error.code}
    return {}


def outcomes(method: Method, mode: str, units=None, **typed):
    """Return the outcomes of a check by what was checked."""
    entry = method.read(mode, typed, units or {})
    assert not entry.errors, {key: str(error) for key, error in entry.errors.items()}
    return {each.check: each for each in method.outcomes(mode, entry)}


def parts_of(worked) -> dict[str, float]:
    return {part.name: part.u for part in worked.budget.components}


def pinned(key: str) -> list[dict[str, str]]:
    return golden(f"method_{key}_1")


def check_pinned(key: str, row: dict[str, str]) -> None:
    """Assert that version 1 gives the pinned text again."""
    method = methods.get(key, "1")
    asked = {field.key for field in method.mode(row["mode"]).fields}
    typed = {name: row[name] for name in asked if row.get(name)}
    found = work_all(method, row["mode"], **typed)[row["analyte"]]
    told = (found.qualifier, found.value_text, found.expanded_text, found.unit, found.basis.text)
    wanted = ("qualifier", "value_text", "expanded_text", "unit", "basis")
    assert told == tuple(row[name] for name in wanted)


def check_pinned_outcome(key: str, row: dict[str, str]) -> None:
    """Assert that version 1 concludes the pinned outcome again."""
    method = methods.get(key, "1")
    asked = {field.key for field in method.mode(row["mode"]).fields}
    typed = {name: row[f"typed_{name}"] for name in asked if row.get(f"typed_{name}")}
    found = outcomes(method, row["mode"], **typed)[row["check"]]
    told = (found.outcome, found.reason, found.remark, found.witness, str(len(found.notes)))
    wanted = ("outcome", "reason", "remark", "witness", "notes")
    assert told == tuple(row[name] for name in wanted)


def check_arbitrary(method: Method, mode: str, typed, units) -> None:
    """Assert that any text is either worked or refused beside a field."""
    entry = method.read(mode, typed, units)
    assert all(str(error) and error.field == key for key, error in entry.errors.items())
    try:
        found = method.work(mode, entry, DEFAULTS)
        outcomes = method.outcomes(mode, entry)
    except EntryError as error:
        assert error.field and str(error)
        return
    assert found or outcomes
    for each in outcomes:
        assert each.check in method.checks and each.outcome in ALL_OUTCOME_WORDS
        assert all(template % params for template, params in each.notes)
    for each in found:
        assert math.isfinite(each.value) and each.value_text and float(each.expanded_text) > 0.0
        assert each.qualifier in ("", "<", ">") and each.analyte in method.analytes
        assert all(template % params for template, params in each.notes)
