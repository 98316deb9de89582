"""Single analyses: what is named, how much, how sure, and what is refused or not known."""

import math
from dataclasses import replace

import pytest
from scipy.stats import chi2

from chemistry import ingress, ingress_words
from chemistry.errors import ChemistryError, Refused
from chemistry.ingress import Analysis, Change, explain, kg_per_hour
from chemistry.ingress_signature import Water
from chemistry.ingress_sources import Source, chemical, seawater
from chemistry.solve import equilibrate
from tests.chemistry.ingress_cases import BOILER, CONDENSATE, sources_of

SALT = Source("salt", "raw_water", {"Na": 393.4, "Cl": 606.6}, 0.05)
SULFATE = Source("sulfate", "raw_water", {"Na": 323.7, "SO4": 676.3}, 0.05)
PLAIN = Water({"Na": 1.0, "Cl": 1.0})


def changes(**found):
    return {key: Change(*pair) for key, pair in found.items()}


def test_seawater_in_condensate_by_its_rate():
    """Calculated from Millero et al. (2008): 0.052 kg/h into 100 t/h brings 0.0101 mg/kg Cl."""
    found = explain(
        CONDENSATE,
        changes(Cl=(0.0101, 0.0003), Na=(0.0056, 0.0003), Mg=(0.0007, 0.0001)),
        sources_of(CONDENSATE),
    )
    assert found.best.keys == ("seawater",)
    assert kg_per_hour(found.best.amounts[0], 100_000.0) == pytest.approx(0.052, rel=0.03)
    assert found.best.probability > 0.75


def test_one_source_by_hand():
    """Weighted by 1/(u² + (5 % of what came)²), four times over, calculated by hand."""
    amount = 0.0
    for _ in range(4):
        weights = [
            1.0 / (u**2 + (0.05 * held * amount) ** 2) for held, u in ((393.4, 2.0), (606.6, 1.0))
        ]
        top = weights[0] * 393.4 * 40.0 + weights[1] * 606.6 * 59.0
        amount = top / (weights[0] * 393.4**2 + weights[1] * 606.6**2)
    found = explain(PLAIN, changes(Na=(40.0, 2.0), Cl=(59.0, 1.0)), [SALT]).best
    assert found.amounts[0] == pytest.approx(amount, rel=1e-9)
    assert found.u[0] == pytest.approx(
        (weights[0] * 393.4**2 + weights[1] * 606.6**2) ** -0.5, rel=1e-9
    )
    left = (40.0 - 393.4 * amount, 59.0 - 606.6 * amount)
    square = sum(weight * each**2 for weight, each in zip(weights, left, strict=True))
    assert found.chi_square == pytest.approx(square, rel=1e-9)
    assert found.fit == pytest.approx(chi2.sf(square, 1))
    assert found.predicted == pytest.approx({"Na": 393.4 * amount, "Cl": 606.6 * amount})
    for key, held in (("Na", 393.4), ("Cl", 606.6)):
        assert found.predicted_u[key] == pytest.approx(
            math.hypot(held * found.u[0], 0.05 * held * amount), rel=1e-9
        )


def test_a_source_costs_six():
    """Without doubt of the fingerprint exp((chi-square - 6) / 2) are the odds against nothing."""
    sure = Source("salt", "raw_water", dict(SALT.holds), 1e-9)
    found = explain(PLAIN, changes(Na=(1.0, 1.0), Cl=(3.0, 1.0)), [sure])
    by = {each.keys: each for each in found.explanations}
    gained = by[()].chi_square - by[("salt",)].chi_square
    odds = by[("salt",)].probability / by[()].probability
    assert by[()].chi_square == pytest.approx(10.0)
    assert math.log(odds) == pytest.approx(0.5 * (gained - 6.0), rel=1e-6)


def test_two_sources_are_told_with_their_amounts():
    found = explain(
        PLAIN,
        changes(Na=(393.4 * 0.1 + 323.7 * 0.05, 1.0), Cl=(60.66, 1.0), SO4=(33.815, 1.0)),
        [SALT, SULFATE],
    )
    assert set(found.best.keys) == {"salt", "sulfate"}
    amounts = dict(zip(found.best.keys, found.best.amounts, strict=True))
    assert amounts == pytest.approx({"salt": 0.1, "sulfate": 0.05}, rel=1e-6)
    assert found.best.fit > 0.99
    assert found.code == "explained"


def test_never_three_at_once():
    third = Source("potash", "raw_water", {"K": 524.0, "Cl": 476.0}, 0.05)
    found = explain(
        PLAIN,
        changes(Na=(80.0, 1.0), Cl=(110.0, 1.0), SO4=(40.0, 1.0), K=(50.0, 1.0)),
        [SALT, SULFATE, third],
    )
    assert max(len(each.sources) for each in found.explanations) == 2


def test_no_amount_is_below_zero():
    found = explain(PLAIN, changes(Na=(-40.0, 1.0), Cl=(-60.0, 1.0)), [SALT, SULFATE])
    assert [each.keys for each in found.explanations] == [()]
    assert found.code == "unexplained"


def test_errors_of_the_tests_need_no_source():
    found = explain(PLAIN, changes(Na=(1.0, 1.0), Cl=(0.5, 1.0)), [SALT, SULFATE])
    assert (found.best.keys, found.code) == ((), "no_change")


def test_what_no_source_explains_is_said_to_be_so():
    found = explain(
        PLAIN, changes(Na=(0.0, 1.0), Cl=(60.0, 1.0), SiO2=(30.0, 1.0)), [SALT, SULFATE]
    )
    assert not found.best.fits
    assert found.code == "unexplained"


@pytest.mark.parametrize(
    ("left", "code"),
    [
        pytest.param(2.574, "explained", id="errors are that bad as often"),
        pytest.param(2.578, "unexplained", id="they hardly ever are"),
    ],
)
def test_where_a_fit_ends(left, code):
    """1 % of chi-square with one degree of freedom is beyond 2.576 squared (published in any
    table)."""
    sure = Source("salt", "raw_water", {"Na": 600.0, "Cl": 800.0}, 1e-9)
    off = (-0.8 * left, 0.6 * left)
    found = explain(PLAIN, changes(Na=(60.0 + off[0], 1.0), Cl=(80.0 + off[1], 1.0)), [sure])
    assert found.code == code


def test_explanations_that_fit_alike_are_all_told():
    """Chloride and phosphate can't tell the sea from brine."""
    found = explain(
        BOILER, changes(chloride=(16.0, 1.5), phosphate=(-0.5, 1.0)), sources_of(BOILER)
    )
    assert [each.keys for each in found.leading] == [("seawater",), ("brine",)]
    assert found.code == "several"
    assert {source.key for source in found.unseen} == {"caustic", "acid"}


@pytest.mark.parametrize(("probability", "leads"), [(0.0501, True), (0.0499, False)])
def test_where_the_leading_ones_end(probability, leads):
    """One of 5 % or more can't be ruled out: rule of our own."""
    best = explain(PLAIN, changes(Na=(39.0, 1.0), Cl=(61.0, 1.0)), [SALT]).best
    rival = replace(best, probability=probability)
    assert (rival in Analysis((best, rival), ()).leading) is leads


def test_what_does_not_add_up_is_worked_out_at_its_amount():
    """Caustic lifts pH steeply at first; the amount found is that at which both changes hold."""
    came, water = 2e-5, {"Na": 2.3, "HCO3": 6.1}
    caustic = chemical("caustic", "caustic", {"Na": 1.0}, 39.997)
    before, after = (
        equilibrate({**water, "Na": 2.3 + amount * caustic.holds["Na"]}) for amount in (0.0, came)
    )
    changed = changes(
        ph=(after.ph - before.ph, 0.02),
        conductivity=(after.conductivity - before.conductivity, 1.0),
    )
    best = explain(Water(water), changed, [caustic, SALT]).best
    assert best.keys == ("caustic",)
    assert best.amounts[0] == pytest.approx(came, rel=0.01)
    assert best.fit > 0.9


def pair(phosphate, sodium, calcium):
    """Return river water and trisodium phosphate fitted together: 14 mg/kg Cl, 19 SO4 came too."""
    river, tsp = (
        next(each for each in sources_of(BOILER) if each.key == key) for key in ("river", "tsp")
    )
    found = explain(
        BOILER,
        changes(PO4=(phosphate, 1.0), Cl=(14.0, 0.8), SO4=(19.0, 1.0), Na=(sodium, 1.0),
                Ca=(calcium, 0.2)),
        [river, tsp],
    )  # fmt: skip
    assert len(found.explanations) == len({each.keys for each in found.explanations})
    return found.best


def test_a_dose_that_meets_the_hardness_beside_it():
    """0.5 kg/kg of river water take 39.1 mg/kg PO4, 40 mg/kg of Na3PO4 bring 23.2 and 16.8 Na
    (calculated): alone the river would have used up all phosphate, with the dose it does not."""
    found = pair(23.2 - 39.1, 11.0 + 16.8, 0.0)
    assert found.keys == ("river", "tsp")
    assert (found.amounts[0], 1e6 * found.amounts[1]) == pytest.approx((0.5, 40.0), rel=0.05)
    assert found.fit > 0.5


def test_hardness_in_boiler_water_is_known_by_the_phosphate_it_takes():
    """The river shows by what it takes, though no hardness is left to be found."""
    found = explain(
        BOILER,
        changes(PO4=(-15.6, 1.0), Cl=(5.6, 0.8), SO4=(7.6, 1.0), Ca=(0.0, 0.2)),
        sources_of(BOILER),
    )
    assert found.best.keys == ("river",)
    assert found.best.amounts[0] == pytest.approx(0.2, rel=0.05)


def test_phosphate_that_is_all_used_up():
    """10 mg/kg of hardness beyond it: worked out at the amount that came, not at a drop of it."""
    leak = 0.5
    left = 27.5 - 25.0 / 94.971 / 0.6 * 40.078
    found = explain(
        BOILER,
        changes(PO4=(-25.0, 0.5), Cl=(14.0, 0.8), SO4=(19.0, 1.0), Ca=(left, 0.5)),
        sources_of(BOILER),
    )
    assert found.best.keys == ("river",)
    assert found.best.amounts[0] == pytest.approx(leak, rel=0.05)
    assert found.best.fits


def test_quantities_not_measured_are_foretold():
    found = explain(
        BOILER,
        changes(chloride=(16.0, 1.5), phosphate=(-0.5, 1.0)),
        sources_of(BOILER),
        also=("Na", "phosphate"),
    )
    assert set(found.best.predicted) == {"chloride", "phosphate", "Na"}
    assert found.best.predicted["Na"] == pytest.approx(826e-6 * 10781.5, rel=0.01)


def test_two_quantities_are_enough_for_one_source_and_one_for_none():
    with pytest.raises(Refused) as refused:
        explain(PLAIN, changes(Na=(40.0, 1.0)), [SALT])
    assert refused.value.code == "too_few_quantities"
    assert explain(PLAIN, changes(Na=(39.34, 1.0), Cl=(60.66, 1.0)), [SALT]).best.fits


def test_as_many_sources_as_quantities_fit_whatever_is_found():
    found = explain(PLAIN, changes(Cl=(60.0, 1.0), SO4=(60.0, 1.0)), [SALT, SULFATE])
    assert found.best.fit == 1.0
    assert len(found.best.sources) == 2


@pytest.mark.parametrize(
    "change", [(1.0, 0.0), (1.0, -1.0), (math.nan, 1.0), (1.0, math.inf), (math.inf, 1.0)]
)
def test_what_is_no_change_is_refused(change):
    with pytest.raises(ChemistryError) as refused:
        explain(PLAIN, changes(Na=change, Cl=(1.0, 1.0)), [SALT])
    assert refused.value.code == "not_a_change"


@pytest.mark.parametrize("sources", [[], [SALT, SALT]])
def test_sources_need_names_of_their_own(sources):
    with pytest.raises(ChemistryError) as refused:
        explain(PLAIN, changes(Na=(1.0, 1.0), Cl=(1.0, 1.0)), sources)
    assert refused.value.code == "no_sources"


def test_a_small_uncertainty_is_one_too():
    found = explain(PLAIN, changes(Na=(0.03934, 0.005), Cl=(0.06066, 0.005)), [SALT])
    assert found.best.keys == ("salt",)


def test_every_code_and_kind_has_its_words():
    assert set(ingress_words.KINDS) == set(ingress_words.LOOK_AT)
    assert {"explained", "several", "no_change", "unexplained"} == set(ingress_words.VERDICTS)
    kinds = {source.kind for source in sources_of(BOILER)}
    assert kinds == set(ingress_words.KINDS)


def test_the_rules_are_as_the_words_have_them():
    assert ingress.SOURCES_MOST == 2
    assert any("at most two" in each for each in ingress_words.ASSUMPTIONS)


def test_an_acid_is_seen_by_what_it_neutralizes():
    """0.41 meq/kg of acid takes as much alkalinity; 14.48 mg/kg of chloride come with it."""
    acid = chemical("acid", "acid", {"Cl": 1.0}, 36.46)
    found = explain(
        Water({"Na": 46.0, "HCO3": 61.0, "Cl": 10.0}),
        changes(m_alkalinity=(-20.5, 2.0), conductivity=(-19.6, 3.0), Cl=(14.5, 1.0)),
        [acid, seawater(), SALT],
    )
    assert found.best.keys == ("acid",)
    assert found.best.amounts[0] * 1e6 == pytest.approx(14.9, rel=0.03)
