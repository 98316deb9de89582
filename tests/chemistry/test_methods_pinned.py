"""Every method: its pinned rows, arbitrary text in every field, and what a method must have."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from chemistry import methods
from chemistry.analytes import ANALYTES
from tests.chemistry.working import arbitrary, check_arbitrary, pinned_text
from tests.golden import golden

KEYS = (
    "alkalinity",
    "chloride",
    "hardness_calcium",
    "hardness_total",
    "hydroxide_barium",
    "ph",
    "sulfite",
)
METHODS = [methods.get(key, "1") for key in KEYS]
ROWS = [(method, row) for method in METHODS for row in golden(f"method_{method.key}_1")]
each_method = pytest.mark.parametrize("method", METHODS, ids=KEYS)


@pytest.mark.parametrize(
    ("method", "row"), ROWS, ids=[f"{method.key}: {row['name']}" for method, row in ROWS]
)
def test_version_1_gives_the_same_text_for_ever(method, row):
    """Pinned: computed by version 1 itself."""
    assert pinned_text(method, row) == row["results"]


@each_method
def test_every_way_of_working_is_pinned(method):
    pinned = {row["mode"] for row in golden(f"method_{method.key}_1")}
    assert pinned == {mode.key for mode in method.modes}


@each_method
@settings(suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_arbitrary_text_is_worked_or_refused(method, data):
    check_arbitrary(method, data.draw(arbitrary(method)))


@each_method
def test_a_method_says_what_a_tester_needs(method):
    assert method.source and method.sample_ml > 0.0
    assert set(method.analytes) <= set(ANALYTES)
    assert any(step.caution for step in method.steps) and len(method.steps) >= 5
    for mode in method.modes:
        assert mode.help
        assert all(field.help for field in mode.fields)
        keys = [field.key for field in mode.fields]
        assert len(keys) == len(set(keys))
        for field in mode.fields:
            bounded = field.low is not None and field.high is not None
            assert field.choices or (bounded and field.unit in field.units), field.key
