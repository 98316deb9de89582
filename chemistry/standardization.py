"""What a titrant really is: its strength and factor from a primary standard, with replicates.

A weighed primary standard, or a standard solution measured out, is titrated several times; each run
gives a strength, their mean counts, and the factor is that over the strength on the label. Budget:
JCGM 100:2008 (4.2 for replicates, 5.1 for the rest). Equation: the definition of normality, common
practice. Molar masses: IUPAC standard atomic weights (2021), from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite
from statistics import fmean

from chemistry.errors import ChemistryError, EntryError
from chemistry.uncertainty import Budget, Component, Input, propagated, rectangular, type_a
from chemistry.words import gettext_noop

FEWEST = 3
"""Runs from which a factor is taken: common practice, no source."""
APART_PERCENT = 0.5
"""How far the highest and the lowest run may lie apart, percent of the mean: common practice, no
source."""
FACTOR_RANGE = (0.8, 1.25)
"""A factor outside this is a slip or a wrong bottle, not a titrant that aged: rule of our own."""


@dataclass(frozen=True)
class Primary:
    """A primary standard: g per equivalent, what it is used for."""

    key: str
    name: str
    g_per_equivalent: float


PRIMARIES: dict[str, Primary] = {
    each.key: each
    for each in (
        Primary("sodium_carbonate", gettext_noop("Sodium carbonate, for acids"), 52.994),
        Primary("phthalate", gettext_noop("Potassium hydrogen phthalate, for alkalis"), 204.22),
        Primary("sodium_chloride", gettext_noop("Sodium chloride, for silver nitrate"), 58.44),
        Primary("calcium_carbonate", gettext_noop("Calcium carbonate, for EDTA"), 50.043),
        Primary("potassium_iodate", gettext_noop("Potassium iodate, for thiosulfate"), 35.667),
    )
}
"""IUPAC standard atomic weights (2021), from memory: Na2CO3 105.988 / 2, KHC8H4O4, NaCl, CaCO3
100.087 / 2, KIO3 214.00 / 6."""


@dataclass(frozen=True)
class Run:
    """One titration: `taken` of the standard, g or mL, and mL of titrant used."""

    taken: float
    used_ml: float


@dataclass(frozen=True)
class Taken:
    """How the standard is taken: equivalents in one g (`purity` / g per equivalent) or in one mL
    (strength / 1000), its relative standard uncertainty, the limits of one taking, ± g or mL."""

    equivalents_per_unit: float
    u_relative: float
    half_width: float


@dataclass(frozen=True)
class Standardized:
    """A titrant as found, in eq/L, with its budget; `factor` is that over the label's strength."""

    strength: float
    budget: Budget
    factor: float
    runs: tuple[float, ...]
    spread_percent: float
    agree: bool

    @property
    def factor_u(self) -> float:
        """Standard uncertainty of the factor."""
        return self.budget.combined * self.factor / self.strength

    @property
    def u_percent(self) -> float:
        """Standard uncertainty of the strength, percent: what a bench test's facts take."""
        return 100.0 * self.budget.combined / self.strength


def weighed(primary: Primary, purity: float, purity_u: float, balance_half_width_g: float) -> Taken:
    """Return a primary standard that is weighed; `purity` as a part of one. Errors: ChemistryError
    bad_standard."""
    if not 0.0 < purity <= 1.0:
        raise _bad_standard()
    return Taken(purity / primary.g_per_equivalent, purity_u / purity, balance_half_width_g)


def measured(strength: float, u: float, pipette_half_width_ml: float) -> Taken:
    """Return a standard solution that is measured out; strength in eq/L. Errors: ChemistryError
    bad_standard."""
    if not strength > 0.0:
        raise _bad_standard()
    return Taken(strength / 1000.0, u / strength, pipette_half_width_ml)


def standardize(
    runs: Sequence[Run],
    taken: Taken,
    *,
    label: float,
    blank_ml: float = 0.0,
    burette_half_width_ml: float = 0.0,
) -> Standardized:
    """Return the titrant's strength: the mean of taken * equivalents * 1000 / (used - blank).

    `label` in eq/L. Errors: EntryError too_few_runs, below_blank and not_more_than_nothing with the
    run's number as field ("run_2"); no_label and factor_far, where it is not the titrant of the
    label, with the field "label".

    >>> carbonate = weighed(PRIMARIES["sodium_carbonate"], 1.0, 0.0005, 0.0002)
    >>> runs = [Run(0.0530, 50.0), Run(0.0530, 50.1), Run(0.0530, 49.9)]
    >>> round(standardize(runs, carbonate, label=0.02).factor, 4)
    1.0001
    """
    if len(runs) < FEWEST:
        raise EntryError(
            "too_few_runs",
            gettext_noop("A factor takes at least %(fewest)s titrations."),
            {"fewest": str(FEWEST)},
            field=f"run_{len(runs) + 1}",
        )
    if not label > 0.0:
        raise EntryError(
            "no_label",
            gettext_noop("Give the strength that the label states: a factor refers to it."),
            field="label",
        )
    strengths = [_strength(place, run, taken, blank_ml) for place, run in enumerate(runs, 1)]
    mean = fmean(strengths)
    spread = 100.0 * (max(strengths) - min(strengths)) / mean
    low, high = FACTOR_RANGE
    if not low <= mean / label <= high:
        raise EntryError(
            "factor_far",
            gettext_noop(
                "This comes to %(factor)s times the strength on the label. Was it the right "
                "bottle, and the right unit?"
            ),
            {"factor": f"{mean / label:.3g}"},
            field="label",
        )
    budget = _budget(runs, taken, strengths, blank_ml, burette_half_width_ml)
    agree = spread <= APART_PERCENT
    return Standardized(mean, budget, mean / label, tuple(strengths), spread, agree)


def _strength(place: int, run: Run, taken: Taken, blank_ml: float) -> float:
    """Return eq/L by one run."""
    figures = (run.taken, run.used_ml, blank_ml)
    if not (all(isfinite(each) for each in figures) and run.taken > 0.0 and blank_ml >= 0.0):
        raise EntryError(
            "not_more_than_nothing",
            gettext_noop("A titration needs a standard and a volume that are more than nothing."),
            field=f"run_{place}",
        )
    if run.used_ml <= blank_ml:
        raise EntryError(
            "below_blank",
            gettext_noop("The blank took as much as this titration. Check which is which."),
            field=f"run_{place}",
        )
    return run.taken * taken.equivalents_per_unit * 1000.0 / (run.used_ml - blank_ml)


def _budget(
    runs: Sequence[Run],
    taken: Taken,
    strengths: Sequence[float],
    blank_ml: float,
    burette_half_width_ml: float,
) -> Budget:
    """Replicates scatter; standard, balance or pipette and burette are shared by all of them, and
    are taken at the mean run."""
    amount, used = fmean(run.taken for run in runs), fmean(run.used_ml for run in runs)
    systematic = (
        Input(1.0, Component(gettext_noop("standard"), taken.u_relative)),
        Input(amount, rectangular(gettext_noop("taking the standard"), taken.half_width)),
        Input(used - blank_ml, rectangular(gettext_noop("burette"), burette_half_width_ml)),
    )

    def worked(values: Sequence[float]) -> float:
        share, mass, volume = values
        return share * mass * taken.equivalents_per_unit * 1000.0 / volume

    shared = propagated(worked, systematic).components
    scatter = replace(type_a(gettext_noop("titrations"), strengths), source="JCGM 100:2008, 4.2.3")
    return Budget(tuple(part for part in (*shared, scatter) if part.u > 0.0))


def _bad_standard() -> ChemistryError:
    return ChemistryError(
        "bad_standard", gettext_noop("The standard's purity or strength must be more than nothing.")
    )
