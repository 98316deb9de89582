"""Reading what a person typed: numbers with decimal point or comma, with or without a unit."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from chemistry import units as unit_book
from chemistry.errors import EntryError
from chemistry.words import gettext_noop

MAX_CHARACTERS = 20
"""No reading needs more: rule of our own."""
MAX_EXPONENT = 30
"""No reading has a last digit beyond 10 to plus or minus this: rule of our own."""

_SPACES = re.compile(r"[\s\u00a0\u2007\u2009\u202f]+")
_NUMBER = re.compile(r"([+-]?)([\d., ]*\d[\d., ]*)(?:[eE]([+-]?\d{1,3}))?", re.ASCII)
_GROUPED_BY = {mark: re.compile(rf"\d{{1,3}}({re.escape(mark)}\d{{3}})+") for mark in " ,."}
_WITH_UNIT = re.compile(
    r"([+-]?[\d., ]*\d[., ]*(?:[eE][+-]?\d{1,3}(?![\d.]))?)\s*(\D.*)?", re.ASCII
)

EMPTY = gettext_noop("Nothing is written here. Write the number you read.")
NOT_A_NUMBER = gettext_noop("“%(typed)s” is not a number. Write digits only, such as 1230 or 7.10.")
TOO_LONG = gettext_noop("This is too long for a reading. Write at most %(most)s characters.")
OUT_OF_SCALE = gettext_noop("“%(typed)s” is far too large or too small to be a reading.")
AMBIGUOUS_COMMA = gettext_noop(
    "“%(typed)s” can be read in two ways. Write %(whole)s or %(decimal)s, whichever you mean."
)
WRONG_DIMENSION = gettext_noop("%(unit)s does not fit here. This reading is wanted in %(units)s.")


@dataclass(frozen=True)
class Number:
    """A number as typed, as plain decimal text, as a float, and one unit of its last typed
    digit."""

    typed: str
    normalized: str
    value: float
    resolution: float


@dataclass(frozen=True)
class NumberWithUnit:
    """A number with the unit key it was given in; value and resolution are in that unit."""

    typed: str
    normalized: str
    unit: str
    value: float
    resolution: float


def parse_number(text: str) -> Number:
    """Return the number in `text`; thousands marks are accepted only where they can mean nothing
    else.

    A lone comma before exactly three digits, with one to three digits other than a lone zero before
    it, is ambiguous; any other lone comma is a decimal comma; a lone point is a decimal point.
    Errors: EntryError empty, too_long, not_a_number, ambiguous_comma, out_of_scale.

    >>> parse_number("12,5").value, parse_number("7.10").normalized
    (12.5, '7.10')
    >>> parse_number("1.2e2").resolution
    10.0
    """
    plain = _plain(text)
    if not plain:
        raise EntryError("empty", EMPTY)
    if len(plain) > MAX_CHARACTERS:
        raise EntryError("too_long", TOO_LONG, {"most": str(MAX_CHARACTERS)})
    match = _NUMBER.fullmatch(plain)
    if match is None:
        raise EntryError("not_a_number", NOT_A_NUMBER, {"typed": plain})
    sign, digits, exponent = match.groups()
    number = Decimal(f"{sign}{_with_point(digits, plain)}e{exponent or 0}")
    return _as_number(text, plain, number)


def parse_reading(text: str, *, unit: str, units: Sequence[str]) -> NumberWithUnit:
    """Return the number and its unit; a unit written in `text` wins over the selected `unit`.

    `units` are the unit keys the field offers; a written unit of the same dimension is accepted
    too. Errors: those of `parse_number`, and EntryError unknown_unit, wrong_dimension.
    """
    wanted = ", ".join(unit_book.label(key) for key in units)
    plain = _plain(text)
    match = _WITH_UNIT.fullmatch(plain)
    written = match.group(2) if match else None
    number = parse_number(match.group(1) if match and written else plain)
    try:
        key = unit_book.unit_key_among(written or unit, units)
    except EntryError as error:
        raise EntryError(error.code, error.template, {**error.params, "units": wanted}) from None
    if not any(unit_book.same_dimension(key, offered) for offered in units):
        params = {"unit": unit_book.label(key), "units": wanted}
        raise EntryError("wrong_dimension", WRONG_DIMENSION, params)
    return NumberWithUnit(text, number.normalized, key, number.value, number.resolution)


def written_unit(text: str) -> str:
    """Return the unit written behind a number, or nothing.

    >>> written_unit("1,22 mS/cm"), written_unit("1.2e3")
    ('mS/cm', '')
    """
    match = _WITH_UNIT.fullmatch(_plain(text))
    return (match.group(2) or "") if match else ""


def _plain(text: str) -> str:
    """Return `text` with one kind of minus and one kind of space."""
    return _SPACES.sub(" ", text.replace("\u2212", "-")).strip()


def _with_point(digits: str, typed: str) -> str:
    """Return `digits` with a decimal point at most, or raise where marks are misplaced or
    ambiguous."""
    decimal_mark = _decimal_mark(digits, typed)
    whole, _, fraction = digits.partition(decimal_mark) if decimal_mark else (digits, "", "")
    for mark in " ,.":
        if mark in whole:
            if not _GROUPED_BY[mark].fullmatch(whole):
                raise EntryError("not_a_number", NOT_A_NUMBER, {"typed": typed})
            whole = whole.replace(mark, "")
    if not fraction.isdigit() and (fraction or decimal_mark == ","):
        raise EntryError("not_a_number", NOT_A_NUMBER, {"typed": typed})
    return f"{whole or '0'}.{fraction}" if fraction else whole


def _decimal_mark(digits: str, typed: str) -> str:
    """Return the mark that separates the decimals, or nothing; raise when a comma can be either."""
    commas, points = digits.count(","), digits.count(".")
    if commas and points:
        mark = max(",.", key=digits.rfind)
        return mark if digits.count(mark) == 1 else _misplaced(typed)
    if points == 1:
        return "."
    if commas != 1:
        return ""
    whole, _, fraction = digits.partition(",")
    if re.fullmatch(r"[1-9]\d{0,2}", whole) and re.fullmatch(r"\d{3}", fraction):
        choices = {"whole": whole + fraction, "decimal": f"{whole}.{fraction}"}
        raise EntryError("ambiguous_comma", AMBIGUOUS_COMMA, {"typed": typed, **choices})
    return ","


def _misplaced(typed: str) -> str:
    raise EntryError("not_a_number", NOT_A_NUMBER, {"typed": typed})


def _as_number(text: str, plain: str, number: Decimal) -> Number:
    exponent = int(number.as_tuple().exponent)
    if abs(exponent) > MAX_EXPONENT:
        raise EntryError("out_of_scale", OUT_OF_SCALE, {"typed": plain})
    value = float(number) or 0.0
    normalized = format(number if number else abs(number), "f")
    resolution = 10.0**exponent
    if not math.isfinite(value):
        raise EntryError("out_of_scale", OUT_OF_SCALE, {"typed": plain})
    return Number(text, normalized, value, resolution)
