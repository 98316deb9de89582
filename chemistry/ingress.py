"""Which waters explain a change of a composition, how much of each, and how sure that is.

Every source by itself and every two of them are fitted to what was measured, by least squares with
no amount below zero. The errors reckoned with are those of the tests and those of the fingerprints,
which grow with the amount. Of two explanations that fit alike the simpler one is the likelier: each
source costs 6 in chi-square, rule of our own (six is what a source has to explain to be worth
naming: odds of 20 to 1). Explanations are weighed against each other as exp(-score/2) (Schwarz,
Ann. Stat. 6:461 (1978), from memory, with our own penalty).

It weighs the sources that it is given. When the best of them explains the change badly, something
else got in, or a result is wrong, and it says so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import isfinite

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc

from chemistry.errors import ChemistryError, Refused
from chemistry.ingress_signature import Array, Signature, Water, signatures
from chemistry.ingress_sources import Source
from chemistry.words import gettext_noop

PENALTY = 6.0
"""What a source costs in chi-square: rule of our own."""
SOURCES_MOST = 2
"""Sources named together: rule of our own; more can't be told from errors."""
QUANTITIES_LEAST = 2
"""Quantities needed to tell one source from another: rule of our own."""
FITS = 0.01
"""An explanation that errors would miss by this much less often than so does not fit: rule of our
own."""
LEADING = 0.05
"""An explanation less likely than this is not among the leading ones: rule of our own."""
_NOTHING = 1e-9
"""Part of what a source holds most of; less is the solver's rounding: rule of our own."""
_PASSES = 4
"""Rounds in which amounts and what hangs on them settle: rule of our own."""
_FIRST_MG_KG = 1.0
"""What the first pass takes to have got in; later ones take what was found: rule of our own."""


@dataclass(frozen=True)
class Change:
    """By how much a quantity differs from what it was, in its unit, and the standard uncertainty of
    that: of both readings, in quadrature."""

    found: float
    u: float


@dataclass(frozen=True)
class Explanation:
    """Sources that together may have made the change; none of them: nothing got in.

    `amounts` and their standard uncertainties `u` are kg of source per kg of water; `probability`
    is among all explanations from the sources given; `fit` the part of honest errors that would be
    worse than what it leaves unexplained; `predicted` ± `predicted_u` (standard) is the change
    that it would have made, of each quantity, measured or not.
    """

    sources: tuple[Source, ...]
    amounts: tuple[float, ...]
    u: tuple[float, ...]
    chi_square: float
    fit: float
    probability: float
    predicted: Mapping[str, float]
    predicted_u: Mapping[str, float]

    @property
    def keys(self) -> tuple[str, ...]:
        return tuple(source.key for source in self.sources)

    @property
    def fits(self) -> bool:
        return self.fit >= FITS


@dataclass(frozen=True)
class Analysis:
    """All explanations, the likeliest first; `unseen`: sources that change nothing measured."""

    explanations: tuple[Explanation, ...]
    unseen: tuple[Source, ...]

    @property
    def best(self) -> Explanation:
        return self.explanations[0]

    @property
    def leading(self) -> tuple[Explanation, ...]:
        """The best, and those after it that can't be ruled out."""
        after = self.explanations[1:]
        return (self.best, *(each for each in after if each.probability >= LEADING))

    @property
    def code(self) -> str:
        """A key of ingress_words.VERDICTS."""
        if not self.best.fits:
            return "unexplained"
        if not self.best.sources:
            return "no_change"
        return "explained" if len(self.leading) == 1 else "several"


def explain(
    water: Water,
    changes: Mapping[str, Change],
    sources: Sequence[Source],
    also: Sequence[str] = (),
) -> Analysis:
    """Return which sources explain the changes of a water's quantities, the likeliest first.

    `changes` by quantity (see ingress_signature.signatures); `also`: quantities not measured, for
    which chemistry.ingress_tests will want the signatures. Errors: Refused too_few_quantities;
    ChemistryError not_a_change, no_sources, unknown_quantity.

    >>> from chemistry.ingress_sources import chemical, seawater
    >>> water = Water({"Na": 60.0, "Cl": 20.0, "PO4": 20.0, "SO4": 15.0}, boiler=True)
    >>> changes = {"chloride": Change(16.0, 1.5), "phosphate": Change(-0.5, 1.0)}
    >>> caustic = chemical("caustic", "caustic", {"Na": 1.0}, 39.997)
    >>> found = explain(water, changes, [seawater(), caustic])
    >>> found.best.keys, round(1e6 * found.best.amounts[0])
    (('seawater',), 826)
    """
    _checked(changes, sources)
    quantities = (*changes, *(each for each in also if each not in changes))
    found = np.array([change.found for change in changes.values()])
    errors = np.diag([change.u**2 for change in changes.values()])
    amounts = np.array([_FIRST_MG_KG / max(source.holds.values()) for source in sources])
    known = drops = signatures(water, sources, amounts.tolist(), quantities)
    for _ in range(_PASSES):
        alone = _fitted(found, errors, known, 1).amounts[:, 0]
        amounts = np.where(alone > 0.0, alone, amounts)
        known = signatures(water, sources, amounts.tolist(), quantities)
    fits = [_fitted(found, errors, known, size) for size in (0, 1)]
    # beside another source it may have been less, or met what the other brought: a chord to what
    # came alone, and what a drop does, are both tried
    for size in range(2, min(SOURCES_MOST, len(sources)) + 1):
        for each in (known, drops):
            fits.append(_fitted(found, errors, [one.from_nothing for one in each], size))
    unseen = tuple(each.source for each in known if not np.any(_seen(each, len(found))))
    return Analysis(_weighed(fits, known), unseen)


def kg_per_hour(amount: float, water_kg_h: float) -> float:
    """Return the rate at which a source comes into a flow of water, both in kg/h.

    >>> kg_per_hour(1e-5, 100000.0)
    1.0
    """
    return amount * water_kg_h


def _seen(signature: Signature, measured: int) -> NDArray[np.bool_]:
    """Return which measured quantities a source changes by more than the arithmetic's errors."""
    least = _NOTHING * max(signature.source.holds.values())
    return np.abs(signature.change[:measured]) > least


def _checked(changes: Mapping[str, Change], sources: Sequence[Source]) -> None:
    if len(changes) < QUANTITIES_LEAST:
        raise Refused(
            "too_few_quantities",
            gettext_noop("One result can't tell one water from another: test two or more."),
        )
    if not all(isfinite(each.found) and 0.0 < each.u < np.inf for each in changes.values()):
        raise ChemistryError(
            "not_a_change",
            gettext_noop("Each change needs a number and its uncertainty, above zero."),
        )
    if not sources or len({source.key for source in sources}) < len(sources):
        raise ChemistryError(
            "no_sources", gettext_noop("At least one source is needed, each with its own name.")
        )


@dataclass(frozen=True)
class _Fits:
    """The fits of all subsets of one size, one row each: places of the sources in the list given,
    amounts, covariance of the amounts, chi-square, what they are weighed by, what they predict."""

    places: NDArray[np.int64]
    amounts: Array
    covariance: Array
    chi_square: Array
    score: Array
    predicted: Array
    predicted_u: Array
    freedom: int

    @property
    def possible(self) -> NDArray[np.int64]:
        """Rows in which no amount is below zero. The best that such a subset can do with no amount
        below zero is to leave that source out, and that is another subset."""
        return np.flatnonzero(np.all(self.amounts > 0.0, axis=1))


def _fitted(found: Array, errors: Array, known: Sequence[Signature], size: int) -> _Fits:
    """Fit every subset; the errors of the fingerprints follow the amounts, so each is fitted
    again."""
    places = np.array(list(combinations(range(len(known)), size)), dtype=np.int64)
    shapes = np.array([each.change for each in known])[places].swapaxes(1, 2)
    offsets = np.array([each.offset for each in known])[places].sum(axis=1)
    measured = len(found)
    rest = (found - offsets[:, :measured])[..., None]
    seen = shapes[:, :measured]
    every_doubt = np.array([each.covariance for each in known])[places]
    doubts = every_doubt[:, :, :measured, :measured]
    amounts = np.zeros(places.shape)
    for _ in range(_PASSES):
        spread = errors + np.einsum("sn,snij->sij", amounts**2, doubts)
        weight = np.linalg.inv(spread)
        weighted = seen.swapaxes(1, 2) @ weight
        covariance = np.linalg.pinv(weighted @ seen, hermitian=True)
        amounts = (covariance @ weighted @ rest)[..., 0]
    doubtful = np.einsum("sn,snqq->sq", amounts**2, every_doubt)
    fitted = np.einsum("sqn,snm,sqm->sq", shapes, covariance, shapes)
    left = (rest - seen @ amounts[..., None])[..., 0]
    chi_square = np.einsum("si,sij,sj->s", left, weight, left)
    return _Fits(
        places=places,
        amounts=amounts,
        covariance=covariance,
        chi_square=chi_square,
        score=chi_square + np.linalg.slogdet(spread)[1] + PENALTY * size,
        predicted=offsets + (shapes @ amounts[..., None])[..., 0],
        predicted_u=np.sqrt(doubtful + fitted),
        freedom=measured - size,
    )


def _weighed(fits: Sequence[_Fits], known: Sequence[Signature]) -> tuple[Explanation, ...]:
    """Return all possible fits as explanations, the likeliest first."""
    best: dict[tuple[int, ...], tuple[_Fits, int]] = {}
    for group, row in ((each, row) for each in fits for row in each.possible.tolist()):
        places = tuple(group.places[row].tolist())
        if places not in best or group.score[row] < best[places][0].score[best[places][1]]:
            best[places] = (group, row)
    every = list(best.values())
    scores = np.array([group.score[row] for group, row in every])
    weights = np.exp(-0.5 * (scores - scores.min()))
    order = np.argsort(scores, kind="stable").tolist()
    sure = (weights / weights.sum()).tolist()
    return tuple(_explanation(every[at][0], every[at][1], known, sure[at]) for at in order)


def _explanation(
    fits: _Fits, row: int, known: Sequence[Signature], probability: float
) -> Explanation:
    quantities, chi_square = known[0].quantities, float(fits.chi_square[row])
    return Explanation(
        sources=tuple(known[place].source for place in fits.places[row]),
        amounts=tuple(fits.amounts[row].tolist()),
        u=tuple(np.sqrt(np.diag(fits.covariance[row])).tolist()),
        chi_square=chi_square,
        fit=float(chdtrc(fits.freedom, chi_square)) if fits.freedom else 1.0,
        probability=probability,
        predicted=dict(zip(quantities, fits.predicted[row].tolist(), strict=True)),
        predicted_u=dict(zip(quantities, fits.predicted_u[row].tolist(), strict=True)),
    )
