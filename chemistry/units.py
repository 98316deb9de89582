"""The one Pint registry, the trade's units, and conversions at the door.

Unit keys are ASCII text that Pint reads ("uS/cm", "degC"). Gauge pressure is a dimension of its
own, so that a gauge reading never turns into an absolute one without `absolute_kpa`. Factors: NIST
SP 811 (2008), Appendix B; the standard atmosphere, 101.325 kPa, is the 10th CGPM (1954).
"""

import re
from collections.abc import Sequence
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
# Dimensions of their own, so that 40 ppm typed for a dilution or a valve is refused, not converted.
ureg.define("times = [dilution]")
ureg.define("absorbance = [absorbance]")
ureg.define("percent_of_span = [span]")
ureg.define("valve_turn = [valve_travel]")
# Equivalents, drops, pH and "as CaCO3" are dimensions of their own: none of them turns into moles,
# mL or the mass of an ion by itself. `chemistry.hardness` and `chemistry.titration` convert when
# asked.
ureg.define("equivalent = [equivalents] = eq")
ureg.define("equivalents_per_million = 0.001 * equivalent / liter = epm")
ureg.define("drop = [drops]")
ureg.define("pH = [pH]")
ureg.define("mg_CaCO3 = [mass_as_CaCO3]")
# 1 grain is 64.79891 mg, 1 US gallon 3.785411784 L: NIST SP 811 (2008), Appendix B.
ureg.define("gpg = 64.79891 / 3.785411784 * mg_CaCO3 / liter")
# 1 °dH is 10 mg/L CaO: 10 x 100.087 / 56.077 mg/L CaCO3 (IUPAC 2021 atomic weights).
ureg.define("dH = 17.848 * mg_CaCO3 / liter")
ureg.define("fH = 10 * mg_CaCO3 / liter")

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
    "g/kg": "g/kg",
    "meq/kg": "meq/kg",
    "mmol/kg": "mmol/kg",
    "kW": "kW",
    "d": "days",
    "ug/kg": "µg/kg",
    "mg/L": "mg/L",
    "ug/L": "µg/L",
    "times": "×",
    "absorbance": "A",
    "mg/L/absorbance": "mg/L per A",
    "ug/L/absorbance": "µg/L per A",
    "percent_of_span": "%",
    "percent": "%",
    "valve_turn": "turns",
    "klb": "1000 lb",
    "klb/h": "1000 lb/h",
    "m**3/h": "m³/h",
    "L/h": "L/h",
    "L/min": "L/min",
    "gal/h": "US gal/h",
    "gal/min": "US gal/min",
    "kgal": "1000 US gal",
    "mL": "mL",
    "g": "g",
    "mg": "mg",
    "mV": "mV",
    "1/min": "1/min",
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "inch": "in",
    "ft": "ft",
    "h": "h",
    "min": "min",
    "s": "s",
    "eq/L": "N",
    "meq/L": "meq/L",
    "epm": "epm",
    "M": "M",
    "drop": "drops",
    "1": "×",
    "pH": "pH",
    "mg_CaCO3/L": "mg/L as CaCO3",
    "gpg": "grains/US gal as CaCO3",
    "dH": "°dH",
    "fH": "°fH",
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
    "x": "times",
    "×": "times",
    "a": "absorbance",
    "abs": "absorbance",
    "%": "percent_of_span",
    "percent": "percent_of_span",
    "turn": "valve_turn",
    "turns": "valve_turn",
    "klbs": "klb",
    "klbs/h": "klb/h",
    "klb/hr": "klb/h",
    "m3/h": "m**3/h",
    "m^3/h": "m**3/h",
    "gpm": "gal/min",
    "gph": "gal/h",
    "usgal/h": "gal/h",
    "usgal/min": "gal/min",
    "ml": "mL",
    "g": "g",
    "mg": "mg",
    "mv": "mV",
    "strokes/min": "1/min",
    "in": "inch",
    "inches": "inch",
    "cc": "mL",
    "n": "eq/L",
    "drops": "drop",
    "mg/lascaco3": "mg_CaCO3/L",
    "mg/lcaco3": "mg_CaCO3/L",
    "gr/gal": "gpg",
    "grains/gal": "gpg",
    "grains/usgal": "gpg",
    "grains/usgalascaco3": "gpg",
    "degdh": "dH",
    "degfh": "fH",
    **{key.lower(): key for key in ("kg", "lb", "t", "kg/h", "lb/h", "t/h", "psi", "bar", "kPa")},
    **{key.lower(): key for key in ("psig", "barg", "kPag", "mg/kg", "ug/kg", "h", "min")},
    **{key.lower(): key for key in ("mg/L", "ug/L", "L/h", "L/min", "gal/h", "gal/min", "klb")},
    **{key.lower(): key for key in ("klb/h", "kgal", "1/min", "mm", "cm", "m", "inch", "ft", "s")},
}
"""Spellings as people write them, in lower case and without spaces; ppm is read as mg/kg by this
trade."""

MOST_CHARACTERS = 16
"""A unit key is no longer, so that a record can hold it: rule of our own."""
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
    if len(plain) <= MOST_CHARACTERS and _PLAIN_UNIT.fullmatch(plain) and _pint_reads(plain):
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


_PER_LITER = {"ppm": "mg/L", "ppb": "ug/L"}


def unit_key_among(text: str, offered: Sequence[str]) -> str:
    """Return the key of a unit as a person wrote it where the units `offered` are asked for.

    A bench test measures out a volume: what its scale calls ppm or ppb is mg or µg per liter. Where
    units of mass per volume are offered, ppm and ppb are read so (common practice, no source);
    everywhere else they stay mg/kg and µg/kg. A bare % is one of a whole where that is asked for,
    else one of a scale's span. Errors: EntryError unknown_unit.

    >>> unit_key_among("ppm", ("mg/L",)), unit_key_among("ppm", ("ug/kg",))
    ('mg/L', 'mg/kg')
    """
    key = _PER_LITER.get(text.strip().lower(), "")
    if key and any(same_dimension(key, each) for each in offered):
        return key
    if text.strip() == "%" and "percent" in offered:
        return "percent"
    return unit_key(text)


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
