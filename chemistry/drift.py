"""The straight line through an instrument's checks, and how far it can be trusted.

Least squares with the covariance of intercept and slope, as in JCGM 100:2008, example H.3 (figures
from memory, self-proving): leave the correlation out and the uncertainty away from the middle comes
out wrong. The band around a coming check adds the scatter of a single one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from chemistry.errors import ChemistryError
from chemistry.uncertainty import coverage_factor
from chemistry.words import gettext_noop

FEWEST = 3
"""Checks from which a line with a scatter can be drawn: two take it all (rule of our own)."""


@dataclass(frozen=True)
class Line:
    """y = intercept + slope (x - reference), with what its checks scatter by."""

    reference: float
    intercept: float
    slope: float
    u_intercept: float
    u_slope: float
    correlation: float
    scatter: float
    """Standard deviation of a single check about the line."""
    count: int

    def at(self, x: float) -> float:
        """Return the line's value."""
        return self.intercept + self.slope * (x - self.reference)

    def u_at(self, x: float) -> float:
        """Return the standard uncertainty of the line itself."""
        away = x - self.reference
        variance = (
            self.u_intercept**2
            + (away * self.u_slope) ** 2
            + 2.0 * away * self.u_intercept * self.u_slope * self.correlation
        )
        return sqrt(max(variance, 0.0))

    def band_at(self, x: float, confidence: float = 0.9545) -> tuple[float, float]:
        """Return what a single coming check will lie between."""
        k = coverage_factor(self.count - 2, confidence)
        reach = k * sqrt(self.u_at(x) ** 2 + self.scatter**2)
        return self.at(x) - reach, self.at(x) + reach

    def reaches(self, tolerance: float, begin: float, end: float) -> float | None:
        """Return the first x from `begin` on at which the band reaches ± `tolerance`; None if it
        does not by `end`. Looked for in 400 steps, then halved."""

        def beyond(x: float) -> bool:
            low, high = self.band_at(x)
            return low <= -tolerance or high >= tolerance

        if beyond(begin):
            return begin
        grid = np.linspace(begin, end, 401)
        place = next((at for at, x in enumerate(grid) if beyond(float(x))), None)
        if place is None:
            return None
        inside, outside = float(grid[place - 1]), float(grid[place])
        for _ in range(60):
            middle = 0.5 * (inside + outside)
            inside, outside = (inside, middle) if beyond(middle) else (middle, outside)
        return outside


def fit(x: Sequence[float], y: Sequence[float], reference: float = 0.0) -> Line:
    """Return the line through the points, its figures referred to x = `reference`.

    Errors: ChemistryError too_few_checks for fewer than three, or all at one x.

    >>> found = fit([0.0, 1.0, 2.0, 3.0], [0.1, 0.9, 2.1, 2.9])
    >>> round(found.slope, 2), round(found.scatter, 3)
    (0.96, 0.126)
    """
    across, up = np.asarray(x, dtype=np.float64) - reference, np.asarray(y, dtype=np.float64)
    spread = float(np.sum((across - across.mean()) ** 2)) if len(across) else 0.0
    if len(across) < FEWEST or spread <= 0.0:
        raise ChemistryError(
            "too_few_checks",
            gettext_noop("A trend takes at least %(fewest)s checks on different days."),
            {"fewest": str(FEWEST)},
        )
    count = len(across)
    slope = float(np.sum((across - across.mean()) * (up - up.mean()))) / spread
    intercept = float(up.mean()) - slope * float(across.mean())
    left = up - intercept - slope * across
    scatter = sqrt(float(np.sum(left**2)) / (count - 2))
    squares = float(np.sum(across**2))
    u_intercept, u_slope = scatter * sqrt(squares / (count * spread)), scatter / sqrt(spread)
    correlation = -float(np.sum(across)) / sqrt(count * squares) if squares > 0.0 else 0.0
    return Line(reference, intercept, slope, u_intercept, u_slope, correlation, scatter, count)
