"""By how much a boiler's newest water differs from its last two weeks, and what may explain it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from math import hypot
from statistics import median

from chemistry.errors import Refused
from chemistry.ingress import Analysis, Change, explain
from chemistry.ingress_signature import FORMULA_OF, Water
from chemistry.ingress_sources import Source, chemical, concentrating
from chemistry.ingress_telling import TESTS, Telling, telling
from chemistry.planner_water import water_behind, water_of_alkalinity
from chemistry.words import gettext_noop
from records.selectors.drum_logs import LEAST_RESULTS
from records.selectors.results import ResultStand

# How close draws must lie to speak of one water, and from how many of its standard uncertainties on
# a change is told of: rules of our own.
TOGETHER = timedelta(hours=8)
TOLD_FROM = 2.0
WEIGHED = (
    "conductivity", "ph", "chloride", "phosphate", "silica", "sulfite", "p_alkalinity",
    "m_alkalinity",
)  # fmt: skip
# Standard deviations in a median absolute deviation of normal errors: 1 / 0.6745, from memory.
_MAD = 1.4826
TRISODIUM_PHOSPHATE, CAUSTIC = 163.94, 39.997
"""g/mol, atomic weights of IUPAC (2022)."""
WATER_UNKNOWN = gettext_noop(
    "What the water usually holds can't be worked out: test conductivity, and P alkalinity or pH, "
    "three times in two weeks."
)


@dataclass(frozen=True, kw_only=True)
class Drift:
    """What the water usually is, by analyte, and by how much its newest results differ."""

    usual: Mapping[str, float]
    changes: Mapping[str, Change]

    @property
    def told(self) -> dict[str, Change]:
        """The changes that the tests' uncertainty and the usual wandering don't explain."""
        return {k: c for k, c in self.changes.items() if abs(c.found) > TOLD_FROM * c.u}


def drift_of(stands: Sequence[ResultStand]) -> Drift:
    """Return how the newest water differs, `stands` being the span's results, the oldest first."""
    trusted = [each for each in stands if not each.doubts and not each.result.qualifier]
    basis = {each.result.analyte: each.result.basis for each in trusted}
    series: dict[str, list[ResultStand]] = {}
    for each in trusted:
        key = each.result.analyte
        if key in WEIGHED and each.result.basis == basis[key]:
            series.setdefault(key, []).append(each)
    usual, changes = {}, {}
    last = max((each.sample.drawn_at for each in trusted), default=None)
    for key, (*before, newest) in series.items():
        values = [float(each.result.value) for each in before]
        if len(values) < LEAST_RESULTS:
            continue
        usual[key] = median(values)
        wanders = _MAD * median([abs(value - usual[key]) for value in values])
        u = hypot(float(newest.result.expanded) / float(newest.result.coverage), wanders)
        if last is not None and last - newest.sample.drawn_at <= TOGETHER and u > 0.0:
            changes[key] = Change(float(newest.result.value) - usual[key], u)
    return Drift(usual=usual, changes=changes)


def explained(drift: Drift) -> tuple[Analysis, tuple[Telling, ...]]:
    """Return what may have made the changes, and the tests that would tell explanations apart.

    Only what every plant has is weighed: too little blowdown, phosphate, caustic. Errors: Refused
    water_unknown and what the engine refuses.
    """
    water = Water(_water_before(drift.usual), boiler=True)
    also = tuple(test.quantity for test in TESTS)
    found = explain(water, drift.changes, _sources(water), also)
    return found, telling(water, found, set(drift.changes))


def _sources(water: Water) -> list[Source]:
    # carbon as it is solved for counts as a formula of its own; nothing is no fingerprint
    held = {key: value for key, value in water.before.items() if value > 0.0}
    return [
        concentrating(held),
        chemical("phosphate", "overdose", {"Na": 3.0, "PO4": 1.0}, TRISODIUM_PHOSPHATE),
        chemical("caustic", "caustic", {"Na": 1.0}, CAUSTIC),
    ]


def _water_before(usual: Mapping[str, float]) -> dict[str, float]:
    tested = {FORMULA_OF[key]: value for key, value in usual.items() if key in FORMULA_OF}
    conductivity = usual.get("conductivity")
    if conductivity is not None and "p_alkalinity" in usual:
        p, m = usual["p_alkalinity"], usual.get("m_alkalinity")
        try:
            return water_of_alkalinity(p, conductivity, tested, m)
        except Refused:
            return water_of_alkalinity(p, conductivity, tested)
    if conductivity is not None and "ph" in usual:
        return water_behind(usual["ph"], conductivity, tested)
    raise Refused("water_unknown", WATER_UNKNOWN, missing=("p_alkalinity", "ph"))
