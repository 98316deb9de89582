"""Which chemicals a plan may use, and what each brings."""

from dataclasses import replace

import pytest

from chemistry import planner_words as words
from chemistry.dosing_plan import CONGRUENT, COORDINATED, FREE_CAUSTIC, NOT_SURE
from chemistry.planner_case import Aim, Stock
from chemistry.planner_chemicals import ENTRIES, PRODUCTS, amines_over, usable
from tests.chemistry.planner_cases import AIMS, STEAMING

EVERYWHERE = ("drum", "feed_line", "deaerator")
RATIO = Aim(2.6, 0.1, 2.3, 2.9, 2.6)


def reason(key, **changes):
    """Return why a chemical is left out; "" where it may be used."""
    entries = changes.pop("entries", EVERYWHERE)
    case = replace(STEAMING, stocks=(Stock(key, 100.0, entries),), **changes)
    found, left_out = usable(case)
    assert len(found) + len(left_out) == 1
    return dict(left_out).get(key, "")


@pytest.mark.parametrize(
    ("key", "formula", "part"),
    [
        # IUPAC (2021), formula masses by hand: Na 22.990, PO4 94.970, SO3 80.057
        ("tsp_crystals", "PO4", 94.970 / 380.119),
        ("tsp_crystals", "Na", 3 * 22.990 / 380.119),
        ("tsp_anhydrous", "Na", 3 * 22.990 / 163.940),
        ("dsp_anhydrous", "PO4", 94.970 / 141.958),
        ("dsp_anhydrous", "Na", 2 * 22.990 / 141.958),
        ("dsp_crystals", "PO4", 0.3543),
        ("dsp_crystals", "Na", 2 * 22.990 / 268.063),
        ("msp_anhydrous", "PO4", 0.7916),
        ("msp_anhydrous", "Na", 22.990 / 119.976),
        ("msp_crystals", "PO4", 94.970 / 137.991),
        ("msp_crystals", "Na", 22.990 / 137.991),
        ("caustic_soda", "Na", 22.990 / 39.997),
        ("sodium_sulfite", "SO3", 0.6352),
        ("sodium_sulfite", "Na", 2 * 22.990 / 126.037),
        ("sulfite_crystals", "SO3", 80.057 / 252.142),
        ("sulfite_crystals", "Na", 2 * 22.990 / 252.142),
    ],
)
def test_what_a_milligram_brings(key, formula, part):
    assert PRODUCTS[key].brings(1.0)[formula] == pytest.approx(part, abs=6e-5)
    assert PRODUCTS[key].brings(0.5)[formula] == pytest.approx(part / 2.0, abs=3e-5)


def test_an_acid_phosphate_takes_alkalinity_and_a_trisodium_brings_it():
    """NAVEDTRA 14075, Table 7-4: a mole of trisodium phosphate holds one equivalent above the P
    end point; the balance of charges takes one for monosodium phosphate."""
    assert PRODUCTS["tsp_crystals"].chemical.alkalinity == 1.0
    for key in ("msp_anhydrous", "msp_crystals"):
        assert PRODUCTS[key].chemical.alkalinity == -1.0
        assert PRODUCTS[key].chemical.phosphate == 1.0
    for key in ("dsp_anhydrous", "dsp_crystals"):
        assert PRODUCTS[key].chemical.alkalinity == 0.0
    assert PRODUCTS["sulfite_crystals"].chemical.sulfite == 1.0


def test_sulfite_ends_at_900_psig():
    """UFC 3-240-13FN (2005), Table 3-3, published."""
    assert reason("sodium_sulfite", working_psig=900.0) == ""
    assert reason("sodium_sulfite", working_psig=900.1) == words.TOO_HOT_FOR_SULFITE


@pytest.mark.parametrize("key", ["dsp_anhydrous", "dsp_crystals", "msp_anhydrous", "msp_crystals"])
def test_di_and_monosodium_phosphate_only_where_the_program_names_them(key):
    held = {"aims": {**AIMS, "sodium_to_phosphate": RATIO}, "program": CONGRUENT}
    assert reason(key, **held) == words.NOT_NAMED_BY_PROGRAM
    assert reason(key, **held, allowed=frozenset({key})) == ""
    assert reason(key, program=FREE_CAUSTIC) == words.NOT_NAMED_BY_PROGRAM
    assert reason(key, program=CONGRUENT, allowed=frozenset({key})) == words.NO_RATIO


def test_caustic_where_free_caustic_is_allowed_or_named_beside_a_ratio():
    assert reason("caustic_soda", program=FREE_CAUSTIC) == ""
    assert reason("caustic_soda", program=COORDINATED) == words.NOT_NAMED_BY_PROGRAM
    named = {"program": COORDINATED, "allowed": frozenset({"caustic_soda"})}
    assert reason("caustic_soda", **named) == words.NO_RATIO
    assert reason("caustic_soda", **named, aims={**AIMS, "sodium_to_phosphate": RATIO}) == ""
    open_up = replace(RATIO, high=None)
    aims = {**AIMS, "sodium_to_phosphate": open_up}
    assert reason("caustic_soda", **named, aims=aims) == words.NO_RATIO


def test_trisodium_phosphate_in_each_program():
    assert reason("tsp_crystals", program=FREE_CAUSTIC) == ""
    assert reason("tsp_crystals", program=COORDINATED) == ""
    assert reason("tsp_crystals", program=CONGRUENT) == words.NO_RATIO
    assert reason("tsp_crystals", program=NOT_SURE) == words.PROGRAM_NOT_KNOWN


def test_nothing_solid_ahead_of_the_spray():
    """Common practice, no source."""
    for key in ("sodium_sulfite", "caustic_soda"):
        assert reason(key, spray_from_feed=True) == ""
        assert reason(key, spray_from_feed=True, entries=("feed_line", "deaerator")) == (
            words.AHEAD_OF_SPRAY
        )
    found, _ = usable(
        replace(STEAMING, spray_from_feed=True, stocks=(Stock("sodium_sulfite", 97.0, EVERYWHERE),))
    )
    assert found[0].entry == "drum"


def test_the_best_feed_point_that_the_plant_has():
    """Common practice, no source."""
    assert ENTRIES["sulfite"] == ("deaerator", "feed_line", "drum")
    assert ENTRIES["caustic"] == ("drum", "feed_line")
    assert reason("tsp_crystals", entries=("feed_line",)) == words.NO_WAY_IN
    assert reason("sodium_sulfite", entries=()) == words.NO_WAY_IN


def test_no_hydrazine_where_steam_touches_food():
    assert reason("hydrazine", food_steam=True) == words.NO_HYDRAZINE
    assert reason("hydrazine") == words.NOT_DOSED_HERE
    assert reason("morpholine", food_steam=True) == words.FOOD_AMINE
    assert reason("morpholine") == words.NOT_DOSED_HERE


@pytest.mark.parametrize(
    ("in_steam", "over"),
    [
        # 21 CFR 173.310, from memory: 10, 10 and 15 mg/kg, 25 together
        ({"morpholine": 10.0, "cyclohexylamine": 10.0}, ()),
        ({"morpholine": 10.05}, ("morpholine",)),
        ({"cyclohexylamine": 10.05}, ("cyclohexylamine",)),
        ({"diethylaminoethanol": 15.0}, ()),
        ({"diethylaminoethanol": 15.05}, ("diethylaminoethanol",)),
        ({"morpholine": 10.0, "diethylaminoethanol": 15.0}, ()),
        ({"morpholine": 10.0, "diethylaminoethanol": 15.0, "cyclohexylamine": 0.1}, ("all",)),
        ({"unheard_of": 0.001}, ("unheard_of",)),
    ],
)
def test_amines_in_steam_that_touches_food_are_capped(in_steam, over):
    assert amines_over(in_steam) == over
