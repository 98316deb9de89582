"""What a boiler's newest water says of a change, worked out from a usual water."""

import pytest

from chemistry.errors import Refused
from chemistry.ingress import Change
from records import clock
from records.selectors.drifts import Drift, drift_of, explained
from records.selectors.drum_logs import water_of
from tests.records.test_drum_logs import drawn

USUAL = {"conductivity": 1000.0, "p_alkalinity": 60.0, "phosphate": 30.0, "chloride": 80.0}


def risen(**times):
    """Return a drift to so many times the usual, every test good to 3 %."""
    changes = {
        key: Change(held * (times.get(key, 1.0) - 1.0), 0.03 * held) for key, held in USUAL.items()
    }
    return Drift(usual=USUAL, changes=changes)


def test_a_water_that_grows_richer_in_everything_is_too_little_blowdown():
    """All that it holds by the same part: a mass balance without blowdown."""
    found, _tests = explained(risen(**dict.fromkeys(USUAL, 1.3)))
    assert found.best.keys == ("little_blowdown",) and found.best.fits
    assert found.best.amounts[0] == pytest.approx(0.3, rel=0.1)


def test_phosphate_alone_is_an_overdose():
    found, _tests = explained(risen(phosphate=1.6, p_alkalinity=1.15, conductivity=1.04))
    assert found.best.sources and found.best.sources[0].kind == "overdose"


def test_chloride_alone_is_explained_by_none_of_them():
    found, _tests = explained(risen(chloride=1.8))
    assert found.code == "unexplained"


def test_one_result_tells_no_water_from_another():
    one = Drift(usual=USUAL, changes={"conductivity": Change(300.0, 20.0)})
    with pytest.raises(Refused) as refused:
        explained(one)
    assert refused.value.code == "too_few_quantities"


def test_without_alkalinity_and_ph_the_water_is_not_known():
    with pytest.raises(Refused) as refused:
        explained(Drift(usual={"conductivity": 1000.0}, changes=risen().changes))
    assert refused.value.code == "water_unknown"


def test_the_usual_is_the_median_before_the_newest(works):
    drawn(works, ["1000", "1010", "990", "1000", "1300"])
    found = drift_of(water_of(works.boiler, clock.now()))
    assert found.usual["conductivity"] == pytest.approx(1000.0)
    assert found.told["conductivity"].found == pytest.approx(300.0)


def test_a_steady_water_has_nothing_to_explain(works):
    drawn(works, ["1000", "1010", "990", "1000", "1005"])
    assert not drift_of(water_of(works.boiler, clock.now())).told
