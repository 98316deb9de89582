"""Alkalinity by acid: from the P and M titrations to hydroxide, carbonate and bicarbonate."""

from dataclasses import dataclass

import numpy as np

from chemistry.arrays import Floats
from chemistry.errors import OutOfValidity
from chemistry.words import gettext_noop

CACO3_MG_PER_EQUIVALENT = 50_000.0
"""mg CaCO3 per equivalent, rounded as in the equation of EPA 310.1 (1971, rev. 1978) and Standard
Methods 2320 B (from memory); the exact figure is 50,043."""

PHOSPHATE_AS_CACO3 = 0.527
"""mg/L CaCO3 per mg/L PO4 and equivalent: 50.04 / 94.97, IUPAC atomic weights (2021)."""
SILICA_AS_CACO3 = 0.833
"""mg/L CaCO3 per mg/L SiO2 and equivalent: 50.04 / 60.08, IUPAC atomic weights (2021)."""


@dataclass(frozen=True)
class Split:
    """The kinds of alkalinity, all in mg/L as CaCO3."""

    hydroxide: Floats
    carbonate: Floats
    bicarbonate: Floats


def split(p: Floats, m: Floats) -> Split:
    """Return hydroxide, carbonate and bicarbonate of a water whose alkalinity is nothing else.

    The relations of Standard Methods 2320 B.6, Table 2320:II (from memory), P up to half of M: 0,
    2P, M - 2P; above: 2P - M, 2(M - P), 0. `p`, `m` and the result in mg/L as CaCO3. They say
    nothing of a water with phosphate, silica, sulfite or amine. Errors: OutOfValidity below zero,
    and where P is more than M.

    >>> split(50.0, 80.0)
    Split(hydroxide=20.0, carbonate=60.0, bicarbonate=0.0)
    """
    p_all, m_all = np.asarray(p, dtype=np.float64), np.asarray(m, dtype=np.float64)
    if not np.all((p_all >= 0.0) & (p_all <= m_all) & np.isfinite(m_all)):
        raise OutOfValidity(
            "p_beyond_m",
            gettext_noop("P alkalinity lies between zero and M alkalinity."),
            bound="0 <= P <= M",
        )
    caustic = 2.0 * p_all > m_all
    parts = (
        np.where(caustic, 2.0 * p_all - m_all, 0.0),
        np.where(caustic, 2.0 * (m_all - p_all), 2.0 * p_all),
        np.where(caustic, 0.0, m_all - 2.0 * p_all),
    )
    if parts[0].ndim:
        return Split(*parts)
    return Split(*(float(part) for part in parts))
