"""Can a worked result be right, beside the last results of its point?

Nothing is refused here: what is impossible, the method has refused already. A suspicion asks the
tester to look again and to confirm, with the reason in words. All of it works on a log scale, so it
is for quantities that start at nothing, not for pH or a temperature. How often it is right was
measured on simulated benches (tests/chemistry/plausibility_simulation.py).
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise
from statistics import NormalDist, median

from chemistry import units as unit_book
from chemistry.conductivity import REFERENCE_C, WATER_COEFFICIENT_PER_K
from chemistry.words import gettext_noop

FEWEST_RECENT = 4
"""Fewer results than this say nothing about the level: with three, one bad one is already a third,
and their spread means little: rule of our own."""
MOST_RECENT = 10
"""Older results than the last ten tell of another state of the boiler: rule of our own."""
SPREAD_FLOOR = 0.03
"""A point is never taken to be steadier than this, relative: feedwater and load wander by as much
between two tests of the steadiest boiler: rule of our own."""
EVIDENCE = 1.25
"""A slip is named if it makes the result e to this times as likely: rule of our own, by
simulation."""
FITTING = 2.0
"""What a slip would have turned into this must lie within so many spreads: rule of our own, by
simulation."""
SMALLEST_SLIP = 1.15
"""A slip that changes the result by less than this factor is not looked for: water changes as much
between two tests, so asking would be wrong more often than right: rule of our own, by
simulation."""
SMALLEST_SWAP = 1.3
"""Two digits changed about are looked for only where that makes at least this factor: a number has
several neighbors, so some swap fits many an honest excursion: rule of our own, by simulation."""
MOST_PLACES = 4
"""Nobody misplaces a decimal point, zeros or a multiplier by more places: rule of our own."""
LARGE_SLIP = 5.0
"""A slip of at least this factor is told from honest change by its size alone: rule of our own."""
LARGE_SLIP_FITTING = 1.6
"""... and is recognized within this factor of the usual level, since the water itself may have
moved: half way from one power of ten to the next is 3.2: rule of our own."""
UNLIKELY = 2.0
"""Less than this factor from the usual level is never called unlikely by itself: a valve left shut
for a shift does that: rule of our own, by simulation."""
UNLIKELY_SPREADS = 6.0
"""Nor is anything within so many spreads: rule of our own, by simulation."""
MAD_TO_SIGMA = 1.0 / NormalDist().inv_cdf(0.75)
"""Standard deviation over median absolute deviation of a normal distribution, 1.4826."""
TYPED_RANGE_C = (0.0, 60.0)
"""What a sample's temperature may be (`chemistry.methods.parts`): rule of our own."""

METER_CORRECTS = frozenset({"automatic", "set_on_meter"})
"""The modes of the conductivity test in which the meter refers the reading to 25 °C."""

DECIMAL_SLIP = gettext_noop(
    "%(value)s %(unit)s is off by a factor of about %(times)s: this point has lately shown "
    "%(usual)s %(unit)s, and %(likely)s %(unit)s would fit. Is a decimal point or a zero out of "
    "place, or the meter's range or cell multiplier missed?"
)
UNIT_SLIP = gettext_noop(
    "%(value)s %(unit)s is far from the %(usual)s %(unit)s that this point has lately shown. Had "
    "the dial shown %(other)s, it would be %(likely)s %(unit)s, which fits. Which unit does it "
    "show?"
)
DOUBLE_COMPENSATION = gettext_noop(
    "The reading as the meter shows it, %(likely)s %(unit)s, fits what this point has lately "
    "shown; corrected to 25 °C, %(value)s %(unit)s, it does not. Does the meter already correct "
    "for temperature by itself?"
)
MISSING_COMPENSATION = gettext_noop(
    "%(value)s %(unit)s does not fit the %(usual)s %(unit)s that this point has lately shown. "
    "Corrected from %(temperature)s °C to 25 °C it would be %(likely)s %(unit)s, which fits. Is "
    "the meter's temperature correction on, and set?"
)
TEMPERATURE_UNIT_SLIP = gettext_noop(
    "%(value)s %(unit)s does not fit the %(usual)s %(unit)s that this point has lately shown. Were "
    "the sample at %(temperature)s °C, it would be %(likely)s %(unit)s, which fits. Was its "
    "temperature read in °F or in °C?"
)
UNLIKELY_LEVEL = gettext_noop(
    "%(value)s %(unit)s is far from the %(usual)s %(unit)s that this point has lately shown (the "
    "middle of the last %(count)s results). Is it read and written right, and is it the right "
    "bottle?"
)
SWAPPED_DIGITS = gettext_noop(
    "%(value)s %(unit)s does not fit the %(usual)s %(unit)s that this point has lately shown. With "
    "two digits changed about it would be %(likely)s %(unit)s, which fits. Is it written as it was "
    "read?"
)


@dataclass(frozen=True)
class Suspicion:
    """Why a result may be wrong: a stable code, a marked sentence with its parameters, and the
    value that was likely meant where a slip is recognized (in the result's unit).

    `between` names the analytes of one sample that don't hold together, where it is about those.
    """

    code: str
    template: str
    params: dict[str, str]
    likely: float | None
    between: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Slip:
    """A slip that may have been made: the result times `factor` is what was meant."""

    code: str
    template: str
    factor: float
    params: dict[str, str] = field(default_factory=dict)
    smallest: float = SMALLEST_SLIP


@dataclass(frozen=True)
class _Level:
    """Where a point's results have lately lain, all as ln: what they usually are, the newest, what
    is expected next, and how far one result lies from the next."""

    usual: float
    newest: float
    expected: float
    spread: float

    def off(self, value: float) -> float:
        """Return how far `value` lies from what is expected."""
        return abs(math.log(value) - self.expected)

    def outside(self, value: float) -> float:
        """Return how far `value` lies from the span of the usual and the newest; 0 within it."""
        x, (low, high) = math.log(value), sorted((self.usual, self.newest))
        return max(low - x, 0.0, x - high)


def suspicions(
    *,
    value: float,
    u: float,
    unit: str,
    recent: Sequence[float],
    resolution: float,
    raw: float | None = None,
    corrected_by: float | None = None,
    temperature_c: float | None = None,
    temperature_unit: str = "degC",
    mode: str = "",
    unit_factors: Mapping[str, float] | None = None,
) -> tuple[Suspicion, ...]:
    """Return why `value` may be wrong beside the last results of its point, or nothing; at most
    one, the slip that explains it best.

    `value`, its standard uncertainty `u` and `recent` (newest last, the last ten count, same basis)
    are in `unit`, a unit key. `raw` is the reading before the correction that multiplied it by
    `corrected_by`; `resolution` is one unit of its last typed digit; both in `unit` too.
    `temperature_c` is the sample's temperature, typed in `temperature_unit`; `mode` is the way of
    working. `unit_factors` says by what the result would change had the reading been in another
    unit (`other_units`). Fewer than FEWEST_RECENT results say nothing about the level: one bad one
    among three moves their middle, and their spread means nothing. Nor is a result of nothing asked
    about: the log of it says nothing, and a treatment used up is found so.
    """
    level = _level(recent, value, u, resolution) if value > 0.0 else None
    if level is None:
        return ()
    last = recent[-MOST_RECENT:]
    usual = median(last)
    slips = (
        *_unit_slips(unit_factors or {}),
        *_decimal_slip(value, level),
        *_compensation_slips(corrected_by, temperature_c, mode),
        *_temperature_slip(corrected_by, temperature_c, temperature_unit),
        *_swapped_digits(value if raw is None else raw, resolution),
    )
    # where there is usually nothing, no factor explains anything
    fitting = [each for each in slips if usual > 0.0 and _explains(each, value, level)]
    said = {"unit": unit_book.label(unit), "value": plain(value), "usual": plain(usual)}
    if fitting:
        best = min(fitting, key=lambda each: level.off(value * each.factor))
        likely = value * best.factor
        said |= {**best.params, "likely": plain(likely)}
        return (Suspicion(best.code, best.template, said, likely),)
    far = level.outside(value) > _unlikely_from(level.spread)
    if not far:
        return ()
    said["count"] = str(len(last))
    return (Suspicion("unlikely", UNLIKELY_LEVEL, said, None),)


def other_units(selected: str, offered: Sequence[str]) -> dict[str, float]:
    """Return what a number typed under `selected` would be multiplied by in each other unit key.

    Units of the same size, and those with another zero (°F), are left out. Errors: EntryError
    wrong_dimension, from `chemistry.units.convert`.

    >>> other_units("uS/cm", ("uS/cm", "umho/cm", "mS/cm"))
    {'mS/cm': 1000.0}
    """
    factors = {}
    for key in offered:
        factor = unit_book.convert(1.0, key, selected)
        if factor != 1.0 and unit_book.convert(0.0, key, selected) == 0.0:
            factors[key] = factor
    return factors


def _level(recent: Sequence[float], value: float, u: float, resolution: float) -> _Level | None:
    """Return the level of the last results, or None where they are too few.

    The newest is what is expected next, since a boiler's water drifts: in simulation it foretells
    better than the median. The median stands in where the newest is itself unlikely beside it. The
    spread is the median absolute deviation of the steps between results, with the result's own
    uncertainty, half its last digit and a floor. A result of nothing counts as half a digit.
    """
    half_digit = resolution / 2.0
    floored = [each if each > 0.0 else half_digit for each in recent[-MOST_RECENT:]]
    if len(floored) < FEWEST_RECENT or min(floored) <= 0.0:
        return None
    logs = [math.log(each) for each in floored]
    usual, newest = median(logs), logs[-1]
    steps = [after - before for before, after in pairwise(logs)]
    wander = MAD_TO_SIGMA * _deviation(steps)
    spread = math.hypot(wander, SPREAD_FLOOR, u / value, half_digit / value)
    odd = abs(newest - usual) > _unlikely_from(spread)
    return _Level(usual, newest, usual if odd else newest, spread)


def _deviation(values: Sequence[float]) -> float:
    middle = median(values)
    return median(abs(each - middle) for each in values)


def _unlikely_from(spread: float) -> float:
    return max(math.log(UNLIKELY), UNLIKELY_SPREADS * spread)


def _explains(slip: _Slip, value: float, level: _Level) -> bool:
    """Say whether a slip explains a result so much better than chance that it is worth asking.

    A large one by size alone. For a small one the normal log likelihood of what was likely meant
    must exceed that of the result as it is by EVIDENCE.
    """
    size = abs(math.log(slip.factor))
    without = level.off(value * slip.factor)
    if size >= math.log(LARGE_SLIP):
        window = max(math.log(LARGE_SLIP_FITTING), FITTING * level.spread)
        return level.outside(value) > size / 2.0 and without <= window
    if size < math.log(slip.smallest):
        return False
    gained = (level.off(value) ** 2 - without**2) / (2.0 * level.spread**2)
    return gained > EVIDENCE and without <= FITTING * level.spread


def _unit_slips(factors: Mapping[str, float]) -> Iterator[_Slip]:
    for key, factor in factors.items():
        yield _Slip("unit_slip", UNIT_SLIP, factor, {"other": unit_book.label(key)})


def _decimal_slip(value: float, level: _Level) -> Iterator[_Slip]:
    power = round((level.expected - math.log(value)) / math.log(10.0))
    if 0 < abs(power) <= MOST_PLACES:
        yield _Slip("decimal_slip", DECIMAL_SLIP, 10.0**power, {"times": plain(10.0 ** abs(power))})


def _compensation_slips(
    corrected_by: float | None, temperature_c: float | None, mode: str
) -> Iterator[_Slip]:
    if corrected_by is not None:
        yield _Slip("double_compensation", DOUBLE_COMPENSATION, 1.0 / corrected_by)
    elif temperature_c is not None and mode in METER_CORRECTS:
        yield _Slip(
            "missing_compensation",
            MISSING_COMPENSATION,
            _referred(temperature_c, WATER_COEFFICIENT_PER_K),
            {"temperature": f"{temperature_c:.1f}"},
        )


def _temperature_slip(
    corrected_by: float | None, temperature_c: float | None, temperature_unit: str
) -> Iterator[_Slip]:
    """Yield what follows if °F was typed as °C or the other way about, where that is possible.

    The coefficient is that of the correction made here: exact for the linear rule, good to a tenth
    for the natural-water factors.
    """
    if corrected_by is None or temperature_c is None:
        return
    fahrenheit = temperature_unit == "degF"
    source, target = ("degC", "degF") if fahrenheit else ("degF", "degC")
    meant = unit_book.convert(temperature_c, source, target)
    off = temperature_c - REFERENCE_C
    low, high = TYPED_RANGE_C
    if low <= meant <= high and abs(off) >= 1.0:
        coefficient = (1.0 / corrected_by - 1.0) / off
        params = {"temperature": f"{meant:.1f}"}
        # no straight line holds where it would have the water conduct nothing
        if 1.0 + coefficient * (meant - REFERENCE_C) > 0.0:
            factor = _referred(meant, coefficient) / corrected_by
            yield _Slip("temperature_unit_slip", TEMPERATURE_UNIT_SLIP, factor, params)


def _swapped_digits(read: float, resolution: float) -> Iterator[_Slip]:
    """Yield what follows if two neighboring digits of the reading were changed about."""
    digits = str(round(read / resolution)) if resolution > 0.0 else ""
    for at, (one, two) in enumerate(pairwise(digits)):
        meant = float(digits[:at] + two + one + digits[at + 2 :]) * resolution
        if one != two and meant > 0.0:
            yield _Slip("swapped_digits", SWAPPED_DIGITS, meant / read, smallest=SMALLEST_SWAP)


def _referred(temperature_c: float, coefficient_per_k: float) -> float:
    return 1.0 / (1.0 + coefficient_per_k * (temperature_c - REFERENCE_C))


def plain(value: float) -> str:
    """Return four significant digits, never with an exponent.

    >>> plain(12345.6), plain(0.25)
    ('12350', '0.25')
    """
    return format(Decimal(f"{value:.4g}"), "f")
