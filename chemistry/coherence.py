"""Do the results of one sample hold together? Only relations that hold for any water are asked.

Alkalinity and hardness in mg/L as CaCO3, chloride in mg/L as the ion, iron in mg/L, conductivity at
25 °C in µS/cm; the keys are those of `chemistry.analytes`.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from chemistry.plausibility import Suspicion, plain
from chemistry.words import gettext_noop

RELATIVE_MARGIN = 0.05
"""Two results by one hand are not told apart more finely than this, where their uncertainties are
not given: rule of our own."""
TWO_DROPS_MG_L = 4.0
"""... nor within one drop of each of two titrations; 0.05 mL of 0.02 N acid in 50 mL, or of 0.01 M
EDTA, is 1 mg/L as CaCO3 (calculated), and the eye misses by two: rule of our own."""
IRON_MARGIN_MG_L = 0.02
"""Half a step of a usual iron comparator: common practice, no source."""
MG_PER_MEQ_CACO3 = 50.04
"""Half the molar mass of CaCO3, g/mol, from the IUPAC standard atomic weights (2021)."""
MG_PER_MEQ_CHLORIDE = 35.45
"""Molar mass of chloride, g/mol: IUPAC standard atomic weights (2021)."""
ION_PRODUCT_PK = 14.0
"""pKw at 25 °C to one decimal: IAPWS R11-24 gives 13.995 (from memory)."""
PH_MARGIN = 0.8
"""pKw falls by 0.5 from 25 to 40 °C, and a pH is shown at the sample's temperature; the rest is for
electrode and activity: rule of our own."""
P_END_POINT_PH = 8.3
"""End point of the P titration: Standard Methods 2320 B (from memory)."""
P_PH_MARGIN = 0.3
"""A pH this far below the end point is surely below it: rule of our own."""
SODIUM_CHLORIDE_PER_MEQ = 126.4
"""µS/cm of 1 meq/L of NaCl at infinite dilution: 50.08 + 76.31 S cm²/mol, CRC Handbook (2016)."""
SODIUM_BICARBONATE_PER_MEQ = 94.6
"""µS/cm of 1 meq/L of NaHCO3 at infinite dilution: 50.08 + 44.5 S cm²/mol, CRC Handbook (2016).
The alkalinity that conducts least; neutralized caustic conducts about as much."""
CONDUCTING_SHARE = 0.6
"""No water conducts less than this share of that sum: ions hinder one another, by a fifth at 0.05
eq/L, phosphate is slower, and both tests err: rule of our own."""

P_ABOVE_M = gettext_noop(
    "P alkalinity, %(part)s mg/L, can't be more than M alkalinity, %(whole)s mg/L: the first is "
    "titrated on the way to the second. Were the two end points mixed up?"
)
HYDROXIDE_ABOVE_M = gettext_noop(
    "Hydroxide alkalinity, %(part)s mg/L, can't be more than M alkalinity, %(whole)s mg/L. Is one "
    "of the two titrations read wrong?"
)
CALCIUM_ABOVE_TOTAL = gettext_noop(
    "Calcium hardness, %(part)s mg/L, can't be more than total hardness, %(whole)s mg/L: it is a "
    "part of it. Were the two tests or their samples mixed up?"
)
DISSOLVED_ABOVE_TOTAL_IRON = gettext_noop(
    "Dissolved iron, %(part)s mg/L, can't be more than total iron, %(whole)s mg/L. Was the "
    "filtered sample taken for the other?"
)
REACTIVE_ABOVE_TOTAL_IRON = gettext_noop(
    "Iron that reacts undigested, %(part)s mg/L, can't be more than total iron, %(whole)s mg/L. "
    "Were the two samples mixed up?"
)
HYDROXIDE_WITHOUT_PH = gettext_noop(
    "With %(hydroxide)s mg/L of hydroxide alkalinity the pH would be near %(expected)s, not "
    "%(ph)s. Is the electrode in order, and is the water free of what only looks like hydroxide "
    "(phosphate, silica, sulfite, an amine)?"
)
PH_WITHOUT_ALKALINITY = gettext_noop(
    "At a pH of %(ph)s the M alkalinity would be at least about %(least)s mg/L, not %(alkalinity)s "
    "mg/L. Is the electrode in order, and is the titration read right?"
)
P_BELOW_END_POINT = gettext_noop(
    "At a pH of %(ph)s there is no P alkalinity, since it is what lies above pH 8.3; %(p)s mg/L "
    "was found. Is the electrode in order, and was the right indicator used?"
)
CONDUCTIVITY_TOO_LOW = gettext_noop(
    "What was found of chloride and alkalinity alone conducts at least %(least)s µS/cm; the meter "
    "showed %(conductivity)s µS/cm. Is it the same water, and the right unit?"
)


@dataclass(frozen=True)
class _Part:
    """`part` is contained in `whole`, on the same basis; `margin` in their unit."""

    part: str
    whole: str
    margin: float
    code: str
    template: str


_PARTS = (
    # Standard Methods 2320 B (from memory)
    _Part("p_alkalinity", "m_alkalinity", TWO_DROPS_MG_L, "p_above_m", P_ABOVE_M),
    _Part(
        "hydroxide_alkalinity",
        "m_alkalinity",
        TWO_DROPS_MG_L,
        "hydroxide_above_m",
        HYDROXIDE_ABOVE_M,
    ),
    # Standard Methods 2340 B: total = 2.497 Ca + 4.118 Mg
    _Part(
        "calcium_hardness",
        "total_hardness",
        TWO_DROPS_MG_L,
        "calcium_above_total",
        CALCIUM_ABOVE_TOTAL,
    ),
    # by definition
    _Part(
        "iron_dissolved",
        "iron",
        IRON_MARGIN_MG_L,
        "dissolved_above_total_iron",
        DISSOLVED_ABOVE_TOTAL_IRON,
    ),
    _Part(
        "iron_reactive",
        "iron",
        IRON_MARGIN_MG_L,
        "reactive_above_total_iron",
        REACTIVE_ABOVE_TOTAL_IRON,
    ),
)


def hydroxide_of_ph(ph: float) -> float:
    """Return the hydroxide that a pH at 25 °C tells of, mg/L as CaCO3, activity taken as one.

    >>> round(hydroxide_of_ph(11.0), 1)
    50.0
    """
    return MG_PER_MEQ_CACO3 * 1000.0 * math.pow(10.0, ph - ION_PRODUCT_PK)


def beside_others(
    results: Mapping[str, float], expanded: Mapping[str, float] | None = None
) -> tuple[Suspicion, ...]:
    """Return which results of one sample can't be right together; at most one per relation.

    `results` by analyte key, in the units at the head of this file; `expanded` their expanded
    uncertainties, which replace the usual margin where both are given. What is missing is not
    asked; a result with a qualifier (`<`, `>`) is left out by the caller.

    >>> [each.code for each in beside_others({"p_alkalinity": 300.0, "m_alkalinity": 250.0})]
    ['p_above_m']
    """
    known = expanded or {}
    return (
        *(each for part in _PARTS for each in _part_above_whole(part, results, known)),
        *_hydroxide_and_ph(results),
        *_alkalinity_and_ph(results),
        *_ions_and_conductivity(results),
    )


def _part_above_whole(
    asked: _Part, results: Mapping[str, float], expanded: Mapping[str, float]
) -> Iterator[Suspicion]:
    if asked.part not in results or asked.whole not in results:
        return
    part, whole = results[asked.part], results[asked.whole]
    margin = max(asked.margin, RELATIVE_MARGIN * whole)
    if asked.part in expanded and asked.whole in expanded:
        margin = math.hypot(expanded[asked.part], expanded[asked.whole])
    if part > whole + margin:
        said = {"part": plain(part), "whole": plain(whole)}
        yield Suspicion(asked.code, asked.template, said, None, (asked.part, asked.whole))


def _hydroxide_and_ph(results: Mapping[str, float]) -> Iterator[Suspicion]:
    hydroxide, ph = results.get("hydroxide_alkalinity", 0.0), results.get("ph")
    if ph is None or hydroxide <= TWO_DROPS_MG_L:
        return
    expected = ION_PRODUCT_PK + math.log10(hydroxide / MG_PER_MEQ_CACO3 / 1000.0)
    if ph < expected - PH_MARGIN:
        said = {"hydroxide": plain(hydroxide), "expected": f"{expected:.1f}", "ph": f"{ph:.2f}"}
        between = ("hydroxide_alkalinity", "ph")
        yield Suspicion("hydroxide_without_ph", HYDROXIDE_WITHOUT_PH, said, None, between)


def _alkalinity_and_ph(results: Mapping[str, float]) -> Iterator[Suspicion]:
    """All hydroxide that a pH tells of is titrated with M; what lies below 8.3 is not P."""
    ph, p, m = results.get("ph"), results.get("p_alkalinity"), results.get("m_alkalinity")
    if ph is None:
        return
    least = hydroxide_of_ph(ph - PH_MARGIN)
    if m is not None and m + TWO_DROPS_MG_L < least:
        said = {"ph": f"{ph:.2f}", "least": plain(least), "alkalinity": plain(m)}
        between = ("ph", "m_alkalinity")
        yield Suspicion("ph_without_alkalinity", PH_WITHOUT_ALKALINITY, said, None, between)
    if p is not None and p > TWO_DROPS_MG_L and ph < P_END_POINT_PH - P_PH_MARGIN:
        said = {"ph": f"{ph:.2f}", "p": plain(p)}
        between = ("ph", "p_alkalinity")
        yield Suspicion("p_below_end_point", P_BELOW_END_POINT, said, None, between)


def _ions_and_conductivity(results: Mapping[str, float]) -> Iterator[Suspicion]:
    conductivity = results.get("conductivity")
    if conductivity is None:
        return
    chloride = results.get("chloride", 0.0) / MG_PER_MEQ_CHLORIDE
    alkalinity = results.get("m_alkalinity", 0.0) - TWO_DROPS_MG_L
    least = CONDUCTING_SHARE * (
        SODIUM_CHLORIDE_PER_MEQ * chloride
        + SODIUM_BICARBONATE_PER_MEQ * max(alkalinity, 0.0) / MG_PER_MEQ_CACO3
    )
    if conductivity < least:
        said = {"least": plain(least), "conductivity": plain(conductivity)}
        between = tuple(k for k in ("conductivity", "chloride", "m_alkalinity") if k in results)
        yield Suspicion("conductivity_too_low", CONDUCTIVITY_TOO_LOW, said, None, between)
