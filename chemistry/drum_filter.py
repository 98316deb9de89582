"""A drum followed through its log: an extended Kalman filter that learns how noisy the plant is.

Results come at any hour, some missing; each has its own uncertainty. The filter foretells every
result from the mass balance (chemistry.drum) and lets the difference mend what it believes
(Kalman, J. Basic Eng. 82:35 (1960); Anderson and Moore, Optimal Filtering (1979); both from
memory). How far results scatter beyond or below their stated uncertainty, and how restless feed and
dosing are, is not known beforehand: several assumptions run side by side, and each counts as much
as it has foretold the results well (Magill, IEEE Trans. Autom. Control 10:434 (1965), from memory).

Only a steaming boiler mixes. A result from another state is not used, and says why.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import exp, sqrt

import numpy as np

from chemistry.drum import (
    UNMIXED,
    Blow,
    Dose,
    Entry,
    Result,
    Setting,
    first_setting,
    in_order,
    time_constant_h,
)
from chemistry.drum_model import SHIFT_H, Array, Model
from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop

RESULT_SCALES = (0.5, 0.7, 1.0, 1.4)
"""Scatter of results over their stated uncertainty, the assumptions: rule of our own."""
FEED_SCALES = (0.3, 1.0, 3.0)
"""Restlessness of feed and dosing over what drum_model states: rule of our own."""
MEMORY_RESULTS = 60.0
"""Results over which the weights of the assumptions forget: rule of our own."""
UNMIXED_PART = 0.1
"""Part by which the water may be off after a time without mixing: rule of our own."""
DOSE_PART = 0.05
"""Part by which a dose may be off: rule of our own."""
BLOW_PART = 0.1
"""Part by which a blow may be off: rule of our own."""
_UNKNOWN_TIMES = 10.0
"""Times a value by which water of which nothing is known may be off it: rule of our own."""


@dataclass(frozen=True)
class Spread:
    """A value and its standard uncertainty."""

    value: float
    u: float

    @property
    def low(self) -> float:
        return self.value - 2.0 * self.u

    @property
    def high(self) -> float:
        return self.value + 2.0 * self.u


@dataclass(frozen=True)
class Foretold:
    """A result and what was foretold of it, before it was known; `evidence`: the logarithm of how
    likely it was then."""

    result: Result
    expected: Spread
    evidence: float

    @property
    def z(self) -> float:
        """By how many standard uncertainties the result is off."""
        return (self.result.value - self.expected.value) / self.expected.u


@dataclass(frozen=True)
class Belief:
    """What is believed of a drum at an hour, under each assumption, and how much each counts."""

    model: Model
    at_h: float
    setting: Setting
    means: Array
    covariances: Array
    log_weights: Array

    def _mixed(self, values: Array, variances: Array) -> Spread:
        weights = np.exp(self.log_weights - self.log_weights.max())
        weights /= weights.sum()
        value = float(weights @ values)
        return Spread(value, sqrt(float(weights @ (variances + (values - value) ** 2))))

    def _state(self, place: int) -> Spread:
        return self._mixed(self.means[:, place], self.covariances[:, place, place])

    def concentration(self, solute: str) -> Spread:
        """Return the concentration in the drum."""
        return self._state(self.model.solutes.index(solute))

    def result(self, solute: str, u: float) -> Spread:
        """Return what a result of stated uncertainty `u` would be."""
        place = self.model.solutes.index(solute)
        return self._mixed(
            self.means[:, place], self.covariances[:, place, place] + (RESULT_SCALE * u) ** 2
        )

    @property
    def blowdown_kg_h(self) -> Spread:
        """The true blowdown."""
        off = self._state(self.model.blowdown_at)
        value = self.setting.blowdown_kg_h * exp(off.value)
        return Spread(value, value * off.u)

    @property
    def cycles(self) -> Spread:
        """Cycles of concentration, (E + B) / B, by the true blowdown."""
        blowdown = self.blowdown_kg_h
        ratio = self.setting.steam_kg_h / blowdown.value
        return Spread(1.0 + ratio, ratio * blowdown.u / blowdown.value)

    @property
    def time_constant_h(self) -> float:
        """Hours in which the drum goes 63 % of its way."""
        return time_constant_h(self.model.mass_kg, self.blowdown_kg_h.value)

    @property
    def leak_kg_h(self) -> Spread | None:
        """The leak of the model's fluid."""
        return self._state(self.model.leak_at) if self.model.fluid else None

    @property
    def hideout_per_h(self) -> Spread | None:
        """Part of the phosphate that hides in an hour; below zero: it comes back."""
        return self._state(self.model.hideout_at) if self.model.hides else None


_GRID = np.array([(result, feed) for result in RESULT_SCALES for feed in FEED_SCALES])
RESULT_SCALE, FEED_SCALE = _GRID[:, 0], _GRID[:, 1:]


@dataclass(frozen=True)
class Followed:
    """A log followed to its end: the last belief, every result foretold, the results not used with
    the reason (a key of drum_words.NOT_USED), and the belief after each hour with results."""

    belief: Belief
    foretold: tuple[Foretold, ...]
    not_used: tuple[tuple[Result, str], ...]
    course: tuple[Belief, ...]

    def evidence(self, since_h: float) -> float:
        """Return the logarithm of how well the results since an hour were foretold."""
        return sum(each.evidence for each in self.foretold if each.result.at_h >= since_h)


def follow(model: Model, log: Iterable[Entry]) -> Followed:
    """Follow a log with a model. Errors: ChemistryError no_setting, no_result, not_a_result.

    >>> log = [Setting(0.0, 20000.0, 1000.0, {"chloride": 1.0})]
    >>> log += [Result(8.0 * shift, "chloride", 21.0, 1.0) for shift in range(9)]
    >>> found = follow(Model(50000.0, ("chloride",)), log).belief
    >>> round(found.concentration("chloride").value), round(found.cycles.value)
    (21, 21)
    """
    entries = in_order(log)
    _checked(model, entries)
    belief = _begin(model, entries)
    foretold: list[Foretold] = []
    not_used: list[tuple[Result, str]] = []
    course: list[Belief] = []
    for entry in entries:
        belief = advanced(belief, entry.at_h)
        if not isinstance(entry, Result):
            belief = acted(belief, entry)
            continue
        if not belief.setting.steaming:
            not_used.append((entry, "not_mixed"))
            continue
        expected = belief.result(entry.solute, entry.u)
        belief, evidence = _learned(belief, entry)
        foretold.append(Foretold(entry, expected, evidence))
        if course and course[-1].at_h == belief.at_h:
            course.pop()
        course.append(belief)
    return Followed(belief, tuple(foretold), tuple(not_used), tuple(course))


def advanced(belief: Belief, at_h: float) -> Belief:
    """Return the belief at a later hour, its setting unchanged."""
    model, left = belief.model, at_h - belief.at_h
    means, covariances = belief.means, belief.covariances
    while left > 0.0:
        hours = min(left, SHIFT_H)
        left -= hours
        ended, slopes = model.slopes(means, belief.setting, hours)
        noise = model.noise(means, belief.setting, hours, FEED_SCALE)
        covariances = slopes @ covariances @ slopes.swapaxes(-1, -2) + _diagonal(noise)
        means = ended
    return replace(belief, at_h=at_h, means=means, covariances=covariances)


def acted(belief: Belief, entry: Setting | Dose | Blow) -> Belief:
    """Return the belief after something done: a dose or a blow, or another setting."""
    if isinstance(entry, Setting):
        return _set(belief, entry)
    means, more = belief.means.copy(), np.zeros_like(belief.means)
    mass, setting = belief.model.mass_kg, belief.setting
    slopes = np.ones_like(means)
    for place, solute in enumerate(belief.model.solutes):
        if isinstance(entry, Dose):
            change = np.full(len(means), entry.amounts.get(solute, 0.0) / mass)
            part = DOSE_PART
        else:
            share = entry.kg / mass
            change = (setting.feed.get(solute, 0.0) - means[:, place]) * share
            slopes[:, place] = 1.0 - share
            part = BLOW_PART
        means[:, place] += change
        more[:, place] = (part * change) ** 2
    covariances = belief.covariances * slopes[:, :, None] * slopes[:, None, :] + _diagonal(more)
    return replace(belief, means=means, covariances=covariances)


def _set(belief: Belief, setting: Setting) -> Belief:
    """Return the belief under another setting; wider where the water did not mix, or is new."""
    before = belief.setting.state
    more = np.zeros_like(belief.means)
    if setting.steaming and not belief.setting.steaming:
        part = UNMIXED_PART if before in UNMIXED else _UNKNOWN_TIMES
        count = len(belief.model.solutes)
        more[:, :count] = (part * belief.means[:, :count]) ** 2
    return replace(belief, setting=setting, covariances=belief.covariances + _diagonal(more))


def _begin(model: Model, entries: Sequence[Entry]) -> Belief:
    """Return the first belief: the first results, with hardly any trust in them."""
    first: dict[str, float] = {}
    for entry in entries:
        if isinstance(entry, Result):
            first.setdefault(entry.solute, abs(entry.value) + entry.u)
    start = np.array([first[solute] for solute in model.solutes])
    spread, _ = model.wanders(FEED_SCALE)
    count = len(RESULT_SCALE)
    means = np.zeros((count, model.size))
    means[:, : len(start)] = start
    variances = np.concatenate(
        [np.broadcast_to((_UNKNOWN_TIMES * start) ** 2, (count, len(start))), spread**2], axis=1
    )
    setting = first_setting(entries)
    return Belief(model, setting.at_h, setting, means, _diagonal(variances), np.zeros(count))


def _learned(belief: Belief, result: Result) -> tuple[Belief, float]:
    """Return the belief after a result, and the logarithm of how well it was foretold."""
    place = belief.model.solutes.index(result.solute)
    column = belief.covariances[:, :, place]
    variance = column[:, place] + (RESULT_SCALE * result.u) ** 2
    off = result.value - belief.means[:, place]
    gain = column / variance[:, None]
    likelihood = -0.5 * (off**2 / variance + np.log(variance))
    weights = belief.log_weights - np.logaddexp.reduce(belief.log_weights)
    learned = replace(
        belief,
        means=belief.means + gain * off[:, None],
        covariances=belief.covariances - gain[:, :, None] * column[:, None, :],
        log_weights=weights * (1.0 - 1.0 / MEMORY_RESULTS) + likelihood,
    )
    return learned, float(np.logaddexp.reduce(weights + likelihood))


def _diagonal(variances: Array) -> Array:
    return np.asarray(variances[..., None] * np.eye(variances.shape[-1]))


def _checked(model: Model, entries: Sequence[Entry]) -> None:
    first_setting(entries)
    results = [entry for entry in entries if isinstance(entry, Result)]
    missing = [each for each in model.solutes if each not in {one.solute for one in results}]
    if missing:
        raise ChemistryError(
            "no_result",
            gettext_noop("There is no result of %(solute)s in the log."),
            {"solute": missing[0]},
        )
    for one in results:
        if one.solute not in model.solutes or not (one.u > 0.0 and np.isfinite(one.value + one.u)):
            raise ChemistryError(
                "not_a_result",
                gettext_noop("The result of %(solute)s needs a number and its uncertainty."),
                {"solute": one.solute},
            )
