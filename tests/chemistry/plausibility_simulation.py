"""Simulated benches: honest entries of the simulated plants, and the slips that testers make.

The bench adds the errors that the conductivity budget states, with hands up to four times worse.
Slips are invented too; the errors that they stand for are common practice, no source.
"""

import math
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from chemistry import conductivity_budget as bench
from chemistry.conductivity import REFERENCE_C, WATER_COEFFICIENT_PER_K
from chemistry.plausibility import other_units, suspicions
from tests.chemistry.simulated_plants import DRUMS, Draw, Kind, draws_of

MOST_READING = 200000.0
"""A reading above this is refused by the method and never comes here."""
UNITS = ("uS/cm", "umho/cm", "mS/cm")


@dataclass(frozen=True)
class Entered:
    """One entry as the bench sheet would hand it on; `reading` and `resolution` in µS/cm as
    typed."""

    mode: str
    reading: float
    resolution: float
    temp_c: float
    temp_unit: str = "degC"
    selected: str = "uS/cm"

    @property
    def corrected_by(self) -> float | None:
        if self.mode != "uncompensated":
            return None
        return 1.0 / (1.0 + WATER_COEFFICIENT_PER_K * (self.temp_c - REFERENCE_C))

    @property
    def value(self) -> float:
        return self.reading * (self.corrected_by or 1.0)

    @property
    def u(self) -> float:
        seen = bench.Observed(self.reading, self.resolution / 2.0, self.temp_c, 0.5)
        if self.mode == "uncompensated":
            return bench.budget(bench.referred_linearly(seen, WATER_COEFFICIENT_PER_K)).combined
        return bench.budget(bench.referred_by_meter(seen, 0.02)).combined

    def asked(self) -> dict[str, Any]:
        """Return what `suspicions` is asked with, but for the last results."""
        return {
            "value": self.value,
            "u": self.u,
            "unit": "uS/cm",
            "resolution": self.resolution,
            "raw": self.reading,
            "corrected_by": self.corrected_by,
            "temperature_c": self.temp_c,
            "temperature_unit": self.temp_unit,
            "mode": self.mode,
            "unit_factors": other_units(self.selected, UNITS),
        }


class Bench:
    """One plant's bench: its meter, cell, thermometer, way of working and testers' hands."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng = rng
        self.mode = str(rng.choice(["uncompensated", "automatic", "set_on_meter"]))
        self.temp_c = rng.uniform(12.0, 38.0)
        self.water = (
            WATER_COEFFICIENT_PER_K + rng.uniform(-1, 1) * bench.COEFFICIENT_HALF_WIDTH_PER_K
        )
        meter = rng.uniform(-1, 1) * bench.METER_ACCURACY_PERCENT
        cell = rng.normal() * bench.CELL_CONSTANT_U_PERCENT
        self.gain = 1.0 + (meter + cell) / 100.0
        self.thermometer = rng.uniform(-1, 1) * bench.THERMOMETER_HALF_WIDTH_C
        self.hands = rng.uniform(1.0, 4.0)  # how much worse than the budget's tester they repeat
        self.digits = int(rng.choice([3, 4]))

    def temperature(self) -> float:
        return float(np.clip(self.rng.normal(self.temp_c, 2.0), 3.0, 45.0))

    def entered(self, kappa25: float, temp_c: float, mode: str = "") -> Entered:
        """Return the entry that an honest tester makes."""
        mode = mode or self.mode
        noise = self.rng.normal() * bench.REPEATABILITY_PERCENT / 100.0 * self.hands
        shown = kappa25 * self.gain * (1.0 + noise) * (1.0 + self.water * (temp_c - REFERENCE_C))
        if mode != "uncompensated":
            shown /= 1.0 + 0.02 * (temp_c - REFERENCE_C)
        read = round((temp_c + self.thermometer) * 2.0) / 2.0
        return Entered(mode, *rounded(shown, self.digits), read)


def rounded(reading: float, digits: int) -> tuple[float, float]:
    """Return a reading to so many significant digits, and one unit of its last digit."""
    step = 10.0 ** (math.floor(math.log10(reading)) - digits + 1)
    return round(reading / step) * step, step


# The slips. Each makes of an honest entry a wrong one, or None where it can't be made or the method
# refuses it.
Slip = Callable[[Bench, Entered, float, float], Entered | None]


def _times(honest: Entered, factor: float, selected: str = "uS/cm") -> Entered | None:
    reading, resolution = honest.reading * factor, honest.resolution * factor
    if reading > MOST_READING:
        return None
    return replace(honest, reading=reading, resolution=resolution, selected=selected)


def tenfold(at: Bench, honest: Entered, kappa25: float, temp_c: float) -> Entered | None:
    return _times(honest, 10.0 if at.rng.random() < 0.5 else 0.1)


def hundredfold(at: Bench, honest: Entered, kappa25: float, temp_c: float) -> Entered | None:
    return _times(honest, 100.0 if at.rng.random() < 0.5 else 0.01)


def milli_as_micro(at: Bench, honest: Entered, kappa25: float, temp_c: float) -> Entered | None:
    return _times(honest, 1e-3)


def micro_as_milli(at: Bench, honest: Entered, kappa25: float, temp_c: float) -> Entered | None:
    return _times(honest, 1e3, selected="mS/cm")


def double_compensation(at: Bench, honest: Entered, kappa25: float, temp_c: float) -> Entered:
    """The meter corrected already, and it is corrected again here."""
    shown = at.entered(kappa25, temp_c, "automatic")
    return replace(shown, mode="uncompensated")


def missing_compensation(at: Bench, honest: Entered, kappa25: float, temp_c: float) -> Entered:
    """The meter's correction is off, and nobody corrects."""
    shown = at.entered(kappa25, temp_c, "uncompensated")
    return replace(shown, mode="automatic" if at.rng.random() < 0.5 else "set_on_meter")


def fahrenheit(at: Bench, honest: Entered, kappa25: float, temp_c: float) -> Entered | None:
    """°F typed as °C, or °C typed as °F, where the method lets it pass."""
    shown = at.entered(kappa25, temp_c, "uncompensated")
    as_celsius, as_fahrenheit = shown.temp_c * 1.8 + 32.0, (shown.temp_c - 32.0) / 1.8
    if as_celsius <= 60.0:
        return replace(shown, temp_c=as_celsius)
    if as_fahrenheit >= 0.0:
        return replace(shown, temp_c=as_fahrenheit, temp_unit="degF")
    return None


def swapped_digits(at: Bench, honest: Entered, kappa25: float, temp_c: float) -> Entered | None:
    """Two neighboring digits changed about, where that makes 15 % or more."""
    digits = str(round(honest.reading / honest.resolution))
    place = int(at.rng.integers(len(digits) - 1))
    changed = digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :]
    reading = float(changed) * honest.resolution
    if changed.startswith("0") or abs(reading / honest.reading - 1.0) < 0.15:
        return None
    return replace(honest, reading=reading)


SLIPS: dict[str, tuple[str, Slip]] = {
    "tenfold": ("decimal_slip", tenfold),
    "hundredfold": ("decimal_slip", hundredfold),
    "mS as µS": ("unit_slip", milli_as_micro),
    "µS as mS": ("unit_slip", micro_as_milli),
    "corrected twice": ("double_compensation", double_compensation),
    "not corrected": ("missing_compensation", missing_compensation),
    "°F for °C": ("temperature_unit_slip", fahrenheit),
    "digits swapped": ("swapped_digits", swapped_digits),
}


@dataclass
class Counts:
    """How many entries were tried, asked about, and explained rightly (code and value meant)."""

    tried: int = 0
    asked: int = 0
    explained: int = 0

    @property
    def share_asked(self) -> float:
        return self.asked / self.tried if self.tried else math.nan

    @property
    def share_explained(self) -> float:
        return self.explained / self.tried if self.tried else math.nan


@dataclass
class Outcome:
    """Honest entries by (kind, label) and by code; slips by (name, far from 25 °C or not)."""

    honest: dict[tuple[str, str], Counts]
    slips: dict[tuple[str, bool], Counts]
    codes: Counter[tuple[str, str]]


def recent_of(rng: np.random.Generator, values: list[float]) -> list[float]:
    """Return the last results: mostly ten, sometimes fewer, one in twenty with a tenfold slip that
    somebody confirmed."""
    count = 10 if rng.random() < 0.7 else int(rng.integers(4, 10))
    last = list(values[-count:])
    if rng.random() < 0.05:
        last[int(rng.integers(len(last)))] *= 10.0 if rng.random() < 0.5 else 0.1
    return last


def simulate(seed: int, kinds: tuple[Kind, ...] = DRUMS, series: int = 60) -> Outcome:
    """Return what `suspicions` says of so many series of each kind, and of slips in them."""
    rng = np.random.default_rng(seed)
    found = Outcome({}, {}, Counter())
    for kind in kinds:
        for _ in range(series):
            _one_series(rng, kind, found)
    return found


def _one_series(rng: np.random.Generator, kind: Kind, found: Outcome) -> None:
    at, values = Bench(rng), list[float]()
    for draw in draws_of(rng, kind):
        temp_c = at.temperature()
        honest = at.entered(draw.kappa25, temp_c)
        if len(values) >= 10:
            recent = recent_of(rng, values)
            said = suspicions(recent=recent, **honest.asked())
            counts = found.honest.setdefault((kind.name, draw.label), Counts())
            counts.tried += 1
            counts.asked += bool(said)
            found.codes.update((draw.label, each.code) for each in said)
            _slips(at, honest, draw, temp_c, recent, found)
        values.append(honest.value)


def _slips(
    at: Bench, honest: Entered, draw: Draw, temp_c: float, recent: list[float], found: Outcome
) -> None:
    name = list(SLIPS)[int(at.rng.integers(len(SLIPS)))]
    code, slip = SLIPS[name]
    wrong = slip(at, honest, draw.kappa25, temp_c)
    if wrong is None:
        return
    said = suspicions(recent=recent, **wrong.asked())
    counts = found.slips.setdefault((name, abs(temp_c - REFERENCE_C) >= 8.0), Counts())
    counts.tried += 1
    counts.asked += bool(said)
    counts.explained += any(
        each.code == code
        and each.likely is not None
        and abs(each.likely / draw.kappa25 - 1.0) < 0.15
        for each in said
    )


def total(counts: Iterable[Counts]) -> Counts:
    """Return counts added up."""
    every = list(counts)
    return Counts(
        sum(each.tried for each in every),
        sum(each.asked for each in every),
        sum(each.explained for each in every),
    )
