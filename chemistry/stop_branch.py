"""The stop branch: findings that come before any optimum, from all results of one sample.

A finding says what it means and whom to turn to first. It orders nothing and computes no dose, and
it does not wait for a confirming draw, which is asked for beside it.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

from chemistry import stop_words as words
from chemistry.checks import OIL_FILM
from chemistry.coherence import hydroxide_of_ph
from chemistry.verdict import Side

BOILER, FEED, CONDENSATE = "boiler_water", "feedwater", "condensate"
STOPPED_STATES = ("cleaning", "dry_layup", "out_of_service")
"""States whose water is meant to be odd, or absent: nothing is concluded from it."""

ACID_PH = 8.3
"""At and below this no alkalinity is left above the P end point: IUPAC Gold Book, 09038 (1997)."""
SHUTDOWN_PH = 8.0
"""Boiler water below this, and falling, is shut down for at once: EPRI cycle-chemistry guidelines,
from memory."""
FALLING_DRAWS = 3
"""Draws, this one included, each lower than the one before: rule of our own."""
FALLING_BY = 0.3
"""Least fall of pH over them that counts, beside their uncertainty: rule of our own."""
RISEN_TIMES = 1.5
"""A value this many times the middle of the last ones has risen: rule of our own."""
HISTORY_LEAST = 2
"""Earlier draws needed to speak of a rise: rule of our own."""
CLEAN_HARDNESS = 1.0
"""Total hardness, mg/L as CaCO3, above which feedwater or condensate without a limit in force is
hard: EN 12953-10:2003, Table 5-1 (feedwater, 0.01 mmol/L), read in a secondary copy."""


@dataclass(frozen=True)
class Seen:
    """One result of the sample: value ± expanded in the analyte's unit, and its verdict's side.

    `low` and `high` are the limit's ends in force (None: open or no limit); `before` the last
    values at that point on the same basis, the newest last, each with its expanded uncertainty.
    """

    value: float
    expanded: float
    side: Side = Side.NOT_JUDGED
    low: float | None = None
    high: float | None = None
    qualifier: str = ""
    before: tuple[tuple[float, float], ...] = ()

    @property
    def limited(self) -> bool:
        return self.low is not None or self.high is not None

    @property
    def absent(self) -> bool:
        """Whether nothing of it can be told from zero."""
        return self.qualifier == "<" or (self.qualifier == "" and self.value <= self.expanded)


@dataclass(frozen=True)
class StopSample:
    """A sample as the stop branch sees it: kind of water, boiler state, results by analyte.

    `expects_alkali`: the program in force asks for some P or hydroxide alkalinity there.
    """

    kind: str
    state: str = ""
    results: Mapping[str, Seen] = field(default_factory=dict)
    appearance: str = ""
    expects_alkali: bool = False


@dataclass(frozen=True)
class Finding:
    """Something found: a code, the analytes that show it, what it means, what first."""

    code: str
    analytes: tuple[str, ...]

    @property
    def means(self) -> str:
        """What it means, marked."""
        return words.MEANS[self.code]

    @property
    def first(self) -> tuple[str, ...]:
        """What to see to first, marked: never an order."""
        return words.FIRST[self.code]

    @property
    def source(self) -> str:
        """Where the rule comes from."""
        return words.SOURCES[self.code]


def findings(sample: StopSample) -> tuple[Finding, ...]:
    """Return what stops the ordinary way for this sample, the gravest first; empty: nothing."""
    if sample.kind == BOILER and sample.state in STOPPED_STATES:
        return ()
    return tuple(found for rule in RULES for found in rule(sample))


def _acid(sample: StopSample) -> Iterator[Finding]:
    """No alkalinity is left: pH at the P end point or below it, or none found by titration."""
    if sample.kind != BOILER:
        return
    ph, shown = sample.results.get("ph"), []
    if ph is not None and ph.value <= ACID_PH and ph.qualifier != ">":
        shown.append("ph")
    shown.extend(_alkalinity_gone(sample))
    if shown:
        grave = ph is not None and ph.value < SHUTDOWN_PH
        yield Finding("acid_shutdown" if grave else "acid", tuple(shown))


def _alkalinity_gone(sample: StopSample) -> Iterator[str]:
    """Yield the titrations that found none where some must be.

    Hydroxide alone says so only where a limit asks for it and no P was found beside it: a program
    without free caustic has none by intention, and caustic must not be called for there.
    """
    p, hydroxide, m = (
        sample.results.get(key) for key in ("p_alkalinity", "hydroxide_alkalinity", "m_alkalinity")
    )
    ph = sample.results.get("ph")
    expects = sample.expects_alkali
    if expects and p is not None and p.absent and not _too_little_to_see(p, ph):
        yield "p_alkalinity"
    asked = expects and hydroxide is not None and hydroxide.absent and bool(hydroxide.low)
    if asked and (p is None or p.absent):
        yield "hydroxide_alkalinity"
    if m is not None and m.absent and not _too_little_to_see(m, ph):
        yield "m_alkalinity"


def _too_little_to_see(alkalinity: Seen, ph: Seen | None) -> bool:
    """Whether the pH found needs no more alkalinity than the titration can't tell from nothing: so
    it is with the pure water of high pressures. Not where either lies below its own limit."""
    if ph is None or ph.qualifier or ph.value <= ACID_PH or Side.LOW in (alkalinity.side, ph.side):
        return False
    return hydroxide_of_ph(ph.value) <= alkalinity.value + alkalinity.expanded


def _low_ph(sample: StopSample) -> Iterator[Finding]:
    ph = sample.results.get("ph")
    low = ph is not None and ph.side is Side.LOW and ph.value > ACID_PH
    if sample.kind == BOILER and low:
        yield Finding("low_ph", ("ph",))


def _falling_ph(sample: StopSample) -> Iterator[Finding]:
    ph = sample.results.get("ph")
    if sample.kind != BOILER or ph is None or ph.side is Side.LOW or ph.qualifier:
        return
    draws = (*ph.before, (ph.value, ph.expanded))[-FALLING_DRAWS:]
    values = [value for value, _ in draws]
    falls = all(after < before for before, after in pairwise(values))
    if len(draws) < FALLING_DRAWS or not falls or ph.value <= ACID_PH:
        return
    fall = round(values[0] - values[-1], 6)  # typed decimals, not their binary neighbors
    if fall >= max(FALLING_BY, math.hypot(draws[0][1], draws[-1][1])):
        yield Finding("falling_ph", ("ph",))


def _hardness(sample: StopSample) -> Iterator[Finding]:
    """Hardness above its limit; in feedwater or condensate without one, more than clean water has.

    Boiler water and makeup without a limit are not concluded from: some treatments leave hardness.
    """
    shown = []
    for analyte in ("total_hardness", "calcium_hardness"):
        seen = sample.results.get(analyte)
        if seen is None or seen.qualifier == "<":
            continue
        unlimited = sample.kind in (FEED, CONDENSATE) and not seen.limited
        if seen.side is Side.HIGH or (
            unlimited and seen.value > CLEAN_HARDNESS and not seen.absent
        ):
            shown.append(analyte)
    if shown:
        yield Finding("hardness", tuple(shown))


def _raw_water(sample: StopSample) -> Iterator[Finding]:
    """Chloride, hardness and conductivity rise together: sea or raw water has come in.

    A boiler concentrates chloride and conductivity by itself, so there hardness must be among them.
    """
    watched = {k: sample.results.get(k) for k in ("chloride", "total_hardness", "conductivity")}
    risen = [key for key, seen in watched.items() if seen is not None and _risen(seen)]
    steady = [key for key, seen in watched.items() if seen is not None and key not in risen]
    if sample.kind in (FEED, CONDENSATE) and len(risen) >= 2 and not steady:
        yield Finding("raw_water", tuple(risen))
    if sample.kind == BOILER and {"chloride", "total_hardness"} <= set(risen):
        yield Finding("raw_water", tuple(risen))


def _risen(seen: Seen) -> bool:
    if len(seen.before) < HISTORY_LEAST or seen.qualifier == "<":
        return False
    usual = median(value for value, _ in seen.before)
    spread = math.hypot(seen.expanded, median(expanded for _, expanded in seen.before))
    return seen.value > RISEN_TIMES * usual and seen.value - usual > spread


def _oil(sample: StopSample) -> Iterator[Finding]:
    if sample.appearance == OIL_FILM:
        yield Finding("oil", ())


RULES: tuple[Callable[[StopSample], Iterator[Finding]], ...] = (
    _acid,
    _raw_water,
    _oil,
    _hardness,
    _low_ph,
    _falling_ph,
)
