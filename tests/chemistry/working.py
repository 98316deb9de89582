"""Working a bench method in a test, and its results as one text."""

import math

from hypothesis import strategies as st

from chemistry.errors import ChemistryError, EntryError
from chemistry.methods.base import InstrumentFacts, Method, Worked

DEFAULTS = InstrumentFacts()
NOT_FIELDS = {"name", "mode", "results", "source", "kind"}


def work(method: Method, mode: str, facts=DEFAULTS, units=None, **typed) -> dict[str, Worked]:
    """Return the worked results by analyte; what was typed must be without trouble."""
    entry = method.read(mode, typed, units or {})
    assert not entry.errors, {key: str(error) for key, error in entry.errors.items()}
    return {each.analyte: each for each in method.work(mode, entry, facts)}


def trouble(method: Method, mode: str, units=None, **typed) -> dict[str, str]:
    """Return the code of each trouble by field, met while reading or while working."""
    entry = method.read(mode, typed, units or {})
    if entry.errors:
        return {key: error.code for key, error in entry.errors.items()}
    try:
        method.work(mode, entry, DEFAULTS)
    except EntryError as error:
        assert str(error)
        return {error.field: error.code}
    return {}


def notes(worked: Worked) -> str:
    """Return the notes of a result as they are read."""
    return " ".join(template % params for template, params in worked.notes)


def parts(worked: Worked) -> dict[str, float]:
    """Return the standard uncertainties of a result's budget by name."""
    return {part.name: part.u for part in worked.budget.components}


def as_text(worked: Worked) -> str:
    """Return a result as one text: analyte, qualifier, value, expanded uncertainty, unit, basis."""
    shown = f"{worked.qualifier}{worked.value_text} ± {worked.expanded_text}"
    return f"{worked.analyte} {shown} {worked.unit} {worked.basis.text}"


def pinned_text(method: Method, row: dict[str, str]) -> str:
    """Return the results of one golden row as one text."""
    asked = {field.key for field in method.mode(row["mode"]).fields}
    typed = {key: text for key, text in row.items() if key not in NOT_FIELDS and text}
    assert set(typed) <= asked, set(typed) - asked
    return "; ".join(as_text(each) for each in work(method, row["mode"], **typed).values())


def arbitrary(method: Method) -> st.SearchStrategy[tuple[str, dict[str, str], dict[str, str]]]:
    """Return a strategy of a mode, what was typed and the units selected: anything at all, mixed
    with what fits often enough that results are worked too."""

    def of(mode):
        fitting = {
            field.key: st.sampled_from([key for key, _ in field.choices])
            if field.choices
            else st.sampled_from(["1", "2.5", "12", "40", "0.02", "0", "1e-3"])
            for field in mode.fields
        }
        typed = st.fixed_dictionaries(
            {}, optional={key: fits | st.text(max_size=30) for key, fits in fitting.items()}
        ) | st.fixed_dictionaries(fitting)
        units = st.dictionaries(st.sampled_from(list(fitting)), st.text(max_size=8), max_size=1)
        return st.tuples(st.just(mode.key), typed, units)

    return st.sampled_from(method.modes).flatmap(of)


def check_arbitrary(method: Method, case: tuple[str, dict[str, str], dict[str, str]]) -> None:
    """Whatever was typed is worked to finite results or refused beside its field."""
    mode, typed, units = case
    entry = method.read(mode, typed, units)
    assert all(str(error) and error.field == key for key, error in entry.errors.items())
    try:
        found = method.work(mode, entry, DEFAULTS)
    except EntryError as error:
        asked = {field.key for field in method.mode(mode).fields}
        assert str(error) and error.field in asked
        return
    except ChemistryError as error:
        raise AssertionError(f"{error.code} stands beside no field") from error
    assert found
    for each in found:
        assert each.analyte in method.analytes
        assert math.isfinite(each.value) and each.value_text and float(each.expanded_text) > 0.0
        assert each.qualifier in ("", "<", ">")
        assert all(template % params for template, params in each.notes)
