"""Bench tests in which whatever can be typed or sent stands."""

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from chemistry.methods.base import Method
from records.selectors.bench import TestEntry
from tests.texts import TEXT


def anything_but(test: TestEntry, method: Method) -> st.SearchStrategy[TestEntry]:
    """Return a strategy of a test that can be worked, in which any text stands here and there."""

    def some(texts: Any) -> st.SearchStrategy[dict[str, str]]:
        return st.fixed_dictionaries({key: st.just(old) | TEXT for key, old in texts.items()})

    roles = [role.key for role in method.means]
    return st.builds(
        replace,
        st.just(test),
        typed=some(test.typed),
        units=st.just(test.units) | some(test.units),
        instruments=st.just(test.instruments) | some(dict.fromkeys(roles, "") | test.instruments),
        reasons=st.just({}) | some(dict.fromkeys(roles, "")),
        confirmed=st.just("") | TEXT,
    )
