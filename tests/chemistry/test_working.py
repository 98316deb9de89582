"""Working what was typed, and remembering it."""

import pytest

from chemistry import methods
from chemistry.errors import EntryError
from chemistry.methods.base import InstrumentFacts
from chemistry.working import work_typed

TYPED = {"reading": "1230", "temperature": "25", "neutralized": "no"}
UNITS = {"reading": "umho/cm", "temperature": "degC"}
PLAIN = InstrumentFacts()


def work(typed=TYPED, units=UNITS, facts=PLAIN, mode="automatic", version="1"):
    return work_typed("conductivity", version, mode, typed, units, facts)


def test_it_says_what_the_method_says():
    method = methods.get("conductivity", "1")
    read = method.read("automatic", TYPED, UNITS)
    found = work()
    assert (found.read, found.worked) == (read, method.work("automatic", read, PLAIN))
    assert found.worked[0].value_text == "1230"
    assert found.trouble is None


def test_the_same_is_worked_once():
    assert work(dict(TYPED), dict(UNITS), InstrumentFacts()) is work()


@pytest.mark.parametrize(
    "other",
    [
        {"typed": TYPED | {"reading": "1240"}},
        {"units": UNITS | {"reading": "mS/cm"}, "typed": TYPED | {"reading": "1.23"}},
        {"facts": InstrumentFacts(accuracy_percent=9.0)},
    ],
    ids=["another reading", "another unit", "another meter"],
)
def test_anything_else_is_worked_anew(other):
    found = work(**other)
    assert found.worked and found.worked != work().worked


def test_trouble_is_told_not_raised():
    empty = work(TYPED | {"reading": ""})
    assert empty.read.errors["reading"].code == "missing" and not empty.worked


def test_an_unknown_version_is_refused():
    with pytest.raises(EntryError) as refused:
        work(version="99")
    assert refused.value.code == "unknown_method"
