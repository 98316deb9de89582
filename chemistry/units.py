"""The one Pint registry, the trade's units, and conversions at the door.

Unit keys are ASCII text that Pint reads ("uS/cm", "degC"). Gauge pressure is a dimension of its
own, so that a gauge reading never turns into an absolute one without `absolute_kpa`. Factors: NIST
SP 811 (2008), Appendix B; the standard atmosphere, 101.325 kPa, is the 10th CGPM (1954).
"""

import re
from fractions import Fraction
from functools import lru_cache

import pint

from chemistry.errors import EntryError
from chemistry.words import gettext_noop

STANDARD_ATMOSPHERE_KPA = 101.325
"""10th CGPM (1954), Resolution 4."""

ureg: pint.UnitRegistry[float] = pint.UnitRegistry(on_redefinition="raise")
ureg.define("gauge_pascal = [gauge_pressure] = Pag")
ureg.define("psi_gauge = 6894.757293168361 * gauge_pascal = psig")
ureg.define("bar_gauge = 100000 * gauge_pascal = barg")

LABELS: dict[str, str] = {
    "uS/cm": "µS/cm",
    "mS/cm": "mS/cm",
    "umho/cm": "µmho/cm",
    "degC": "°C",
    "degF": "°F",
    "K": "K",
    "1/cm": "1/cm",
    "%/K": "%/°C",
    "kg": "kg",
    "lb": "lb",
    "t": "t",
    "kg/h": "kg/h",
    "lb/h": "lb/h",
    "t/h": "t/h",
    "psi": "psi",
    "bar": "bar",
    "kPa": "kPa",
    "psig": "psig",
    "barg": "barg",
    "kPag": "kPag",
    "m**3": "m³",
    "L": "L",
    "US_liquid_gallon": "US gal",
    "mg/kg": "mg/kg",
    "ug/kg": "µg/kg",
    "h": "h",
    "min": "min",
}
"""How each unit key is shown to a person."""

_SPELLINGS: dict[str, str] = {
    "us/cm": "uS/cm",
    "microsiemens/cm": "uS/cm",
    "ms/cm": "mS/cm",
    "millisiemens/cm": "mS/cm",
    "umho/cm": "umho/cm",
    "umhos/cm": "umho/cm",
    "micromho/cm": "umho/cm",
    "micromhos/cm": "umho/cm",
    "micromho": "umho/cm",
    "micromhos": "umho/cm",
    "umho": "umho/cm",
    "umhos": "umho/cm",
    "c": "degC",
    "degc": "degC",
    "f": "degF",
    "degf": "degF",
    "k": "K",
    "/cm": "1/cm",
    "1/cm": "1/cm",
    "cm-1": "1/cm",
    "cm^-1": "1/cm",
    "%/k": "%/K",
    "%/c": "%/K",
    "%/degc": "%/K",
    "lbs": "lb",
    "lbs/h": "lb/h",
    "lbs/hr": "lb/h",
    "lb/hr": "lb/h",
    "kg/hr": "kg/h",
    "t/hr": "t/h",
    "l": "L",
    "m3": "m**3",
    "m^3": "m**3",
    "gal": "US_liquid_gallon",
    "usgal": "US_liquid_gallon",
    "ppm": "mg/kg",
    "ppb": "ug/kg",
    **{key.lower(): key for key in ("kg", "lb", "t", "kg/h", "lb/h", "t/h", "psi", "bar", "kPa")},
    **{key.lower(): key for key in ("psig", "barg", "kPag", "mg/kg", "ug/kg", "h", "min")},
}
"""Spellings as people write them, in lower case and without spaces; ppm is read as mg/kg by this
trade."""

_PLAIN_UNIT = re.compile(r"[A-Za-z]{1,12}(/[A-Za-z]{1,12})?", re.ASCII)
_FOLD = str.maketrans({"µ": "u", "μ": "u", "°": "deg", "º": "deg", "℃": "degC", "℉": "degF"})
_FOLD_MORE = str.maketrans({"³": "3", "·": "", "\u00a0": "", " ": ""})

UNKNOWN_UNIT = gettext_noop("The unit “%(unit)s” is not known here. Write one of: %(units)s.")


def unit_key(text: str) -> str:
    """Return the key of a unit as a person wrote it ("µS/cm" -> "uS/cm").

    Errors: EntryError unknown_unit.

    >>> unit_key("µmho/cm"), unit_key("°C")
    ('umho/cm', 'degC')
    """
    plain = text.translate(_FOLD).translate(_FOLD_MORE)
    if plain in LABELS:
        return plain
    known = _SPELLINGS.get(plain.lower())
    if known is not None:
        return known
    if _PLAIN_UNIT.fullmatch(plain) and _pint_reads(plain):
        return plain
    raise EntryError(
        "unknown_unit", UNKNOWN_UNIT, {"unit": text.strip()[:40], "units": "µS/cm, °C …"}
    )


@lru_cache(maxsize=512)
def _pint_reads(plain: str) -> bool:
    try:
        return bool(ureg.parse_units(plain).dimensionality)
    except (pint.errors.PintError, ValueError, TypeError, AttributeError, KeyError):
        return False


def label(key: str) -> str:
    """Return how a unit is shown; a unit without a label of its own is shown by its key."""
    return LABELS.get(key, key)


@lru_cache(maxsize=512)
def same_dimension(one: str, other: str) -> bool:
    """Say whether two units measure the same kind of thing. Gauge and absolute pressure do not."""
    return bool(_pint_unit(one).dimensionality == _pint_unit(other).dimensionality)


def convert(value: float, src: str, dst: str) -> float:
    """Return `value` in `dst`; temperatures are taken as points on their scale, not as differences.

    Errors: EntryError wrong_dimension when the two do not measure the same kind of thing.

    >>> convert(212.0, "degF", "degC")
    100.0
    """
    if src == dst:
        return value
    scale, offset = _affine(src, dst)
    if offset == 0:
        return float(value * float(scale))
    return float(Fraction(value) * scale + offset)


def convert_step(step: float, src: str, dst: str) -> float:
    """Return the size of a difference `step` in `dst` (1 °F is 0.556 °C)."""
    return step if src == dst else float(step * float(_affine(src, dst)[0]))


def gauge_kpa(value: float, unit: str) -> float:
    """Return a gauge reading in kPa above the atmosphere. "psi", "bar" and "kPa" are taken as
    gauge."""
    return convert(value, unit if unit.endswith("g") else f"{unit}g", "kPag")


def absolute_kpa(gauge: float, atmosphere: float = STANDARD_ATMOSPHERE_KPA) -> float:
    """Return the absolute pressure of a gauge pressure, both in kPa; at sea level unless told."""
    return gauge + atmosphere


def _pint_unit(key: str) -> pint.Unit:
    return ureg.parse_units("percent/kelvin" if key == "%/K" else key)


@lru_cache(maxsize=512)
def _affine(src: str, dst: str) -> tuple[Fraction, Fraction]:
    """Return scale and offset of dst = scale * src + offset, once per pair: Pint costs 50 µs a
    call.

    Exact for temperatures (5/9, 32), so that 77 °F is 25 °C. Factors are cut to 15 digits, what a
    double can promise, so that 1.23 mS/cm is 1230 uS/cm and not 1229.9999999999998.
    """
    if not same_dimension(src, dst):
        raise EntryError(
            "wrong_dimension",
            gettext_noop("%(unit)s does not measure what is asked for here; use %(units)s."),
            {"unit": label(src), "units": label(dst)},
        )
    low = ureg.Quantity(0.0, _pint_unit(src)).to(_pint_unit(dst)).magnitude
    high = ureg.Quantity(1000.0, _pint_unit(src)).to(_pint_unit(dst)).magnitude
    if low:
        scale = Fraction((high - low) / 1000.0).limit_denominator(1000)
        return scale, Fraction(low).limit_denominator(1000)
    return Fraction(f"{high / 1000.0:.15g}"), Fraction(0)
