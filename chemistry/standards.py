"""What a standard is worth at the temperature that it was measured at, and how surely.

A standard has a value at its reference temperature, and either a table, a coefficient, or neither:
then it is known at its reference temperature only. Uncertainties: JCGM 100:2008. KCl tables: CRC
Handbook p. 5-73, see SOURCES.md (KCl table).
"""

from dataclasses import dataclass, replace
from math import hypot, isfinite, log, sqrt

from chemistry import units as unit_book
from chemistry.entry import WRONG_DIMENSION
from chemistry.errors import ChemistryError, EntryError, OutOfValidity
from chemistry.ph import BORAX_TABLE, PHOSPHATE_TABLE, phthalate_ph
from chemistry.words import gettext_noop

Table = tuple[tuple[float, float], ...]

REFERENCE_C = 25.0
"""Temperature that certificates of solutions refer to unless they say otherwise, °C: common
practice, no source."""
WITHOUT_COEFFICIENT_K = 0.5
"""How near to its reference temperature a standard of one value alone may be used, K: rule of our
own."""
COEFFICIENT_REACH_K = 10.0
"""How far from its reference temperature a straight line is trusted, K: rule of our own."""
COEFFICIENT_HALF_WIDTH_PERCENT_PER_K = 0.05
"""Limits of a stated coefficient, ± percent per K, where the certificate gives none: 0.01 mol/kg
KCl runs from 1.89 to 1.99 percent per K between 15 and 35 °C, computed from the CRC Handbook, p.
5-73 (NIST, 1991 to 2001)."""

KCL_TABLES: tuple[Table, ...] = (
    (
        (0.0, 772.92),
        (5.0, 890.96),
        (10.0, 1013.95),
        (15.0, 1141.45),
        (18.0, 1219.93),
        (20.0, 1273.03),
        (25.0, 1408.23),
        (30.0, 1546.63),
        (35.0, 1687.79),
        (40.0, 1831.27),
        (45.0, 1976.62),
        (50.0, 2123.43),
    ),
    (
        (0.0, 7116.85),
        (5.0, 8183.70),
        (10.0, 9291.72),
        (15.0, 10437.1),
        (18.0, 11140.6),
        (20.0, 11615.9),
        (25.0, 12824.6),
        (30.0, 14059.2),
        (35.0, 15316.0),
        (40.0, 16591.0),
        (45.0, 17880.6),
        (50.0, 19180.9),
    ),
    (
        (0.0, 63488.0),
        (5.0, 72030.0),
        (10.0, 80844.0),
        (15.0, 89900.0),
        (20.0, 99170.0),
        (25.0, 108620.0),
        (30.0, 118240.0),
        (35.0, 127970.0),
        (40.0, 137810.0),
        (45.0, 147720.0),
        (50.0, 157670.0),
    ),
)
"""°C and µS/cm of 0.01, 0.1 and 1 mol/kg KCl, the water's own conductivity taken off: CRC Handbook
p. 5-73, after Wu, Koch and Pratt (1991, 1994) and Pratt et al. (2001)."""
KCL_RANGE_US_CM = (70.0, 120000.0)
"""Standards at 25 °C that are taken to change with temperature as KCl does, µS/cm: from 0.0005
mol/L (73.87 µS/cm, CRC Handbook 97th ed.) to the strongest of the table, with a little room: rule
of our own."""

CARBONATE_TABLE: Table = (
    (0.0, 10.317),
    (5.0, 10.245),
    (10.0, 10.179),
    (15.0, 10.118),
    (20.0, 10.062),
    (25.0, 10.012),
    (30.0, 9.966),
    (35.0, 9.926),
    (40.0, 9.889),
    (50.0, 9.828),
)
"""0.025 mol/kg of sodium bicarbonate and as much carbonate: Staples and Bates, J. Res. NBS 73A:37
(1969); 25 °C as in the abstract, the other rows from memory."""
CALCIUM_HYDROXIDE_TABLE: Table = (
    (0.0, 13.423),
    (5.0, 13.207),
    (10.0, 13.003),
    (15.0, 12.810),
    (20.0, 12.627),
    (25.0, 12.454),
    (30.0, 12.289),
    (35.0, 12.133),
    (40.0, 11.984),
    (45.0, 11.841),
    (50.0, 11.705),
)
"""Saturated at 25 °C: Bates, J. Res. NBS 66A:179 (1962), from memory."""
SEVEN_TABLE: Table = ((20.0, 7.0), (30.0, 7.0))
"""The buffer of 7.00 on the label, whose makers differ: taken as labeled from 20 to 30 °C, rule of
our own."""
BUFFERS: dict[str, Table] = {
    "phthalate": tuple((temp, float(phthalate_ph(temp))) for temp, _ in PHOSPHATE_TABLE),
    "phosphate": PHOSPHATE_TABLE,
    "seven": SEVEN_TABLE,
    "borax": BORAX_TABLE,
    "carbonate": CARBONATE_TABLE,
    "calcium_hydroxide": CALCIUM_HYDROXIDE_TABLE,
}
"""pH by temperature in °C of each buffer that the bench's pH test knows by name."""


@dataclass(frozen=True)
class AtTemperature:
    """A standard's value and its standard uncertainty at one temperature, in the standard's unit;
    `per_k`: what the value changes by per K there."""

    value: float
    u: float
    per_k: float = 0.0


@dataclass(frozen=True)
class Standard:
    """What an instrument is held against: a solution, a weight, a reference instrument's reading.

    `value` in `unit` at `reference_c`, `u` its standard uncertainty, which goes with the value
    where it is `in_proportion`. `table` (°C, value) comes before `percent_per_k`. `steady`: it does
    not change with temperature, as a weight. `key` says which solution it is, where that is known.
    """

    value: float
    unit: str
    u: float
    percent_per_k: float | None = None
    percent_per_k_half_width: float = COEFFICIENT_HALF_WIDTH_PERCENT_PER_K
    table: Table = ()
    reference_c: float = REFERENCE_C
    steady: bool = False
    in_proportion: bool = True
    key: str = ""

    def __post_init__(self) -> None:
        if not (isfinite(self.value) and isfinite(self.u) and self.u >= 0.0):
            raise ChemistryError(
                "bad_standard",
                gettext_noop("A standard needs a value, and an uncertainty that is not negative."),
            )
        temps = [temp for temp, _ in self.table]
        if len(temps) == 1 or temps != sorted(set(temps)):
            raise ChemistryError(
                "bad_table",
                gettext_noop("A standard's table needs two rows or more, from cold to warm."),
            )

    @property
    def range_c(self) -> tuple[float, float]:
        """The temperatures between which its value is known, °C."""
        if self.steady:
            return float("-inf"), float("inf")
        if self.table:
            return self.table[0][0], self.table[-1][0]
        reach = WITHOUT_COEFFICIENT_K if self.percent_per_k is None else COEFFICIENT_REACH_K
        return self.reference_c - reach, self.reference_c + reach

    def at(self, temp_c: float) -> AtTemperature:
        """Return its value at `temp_c`. Errors: OutOfValidity standard_temperature.

        >>> round(Standard(1413.0, "uS/cm", 3.0, percent_per_k=1.9).at(20.0).value, 2)
        1278.77
        """
        self._require(temp_c)
        if self.steady:
            return AtTemperature(self.value, self.u)
        if self.table:
            value = interpolated(self.table, temp_c)
            return AtTemperature(value, self._u_of(value), self._slope(temp_c))
        away = temp_c - self.reference_c
        share = (self.percent_per_k or 0.0) / 100.0
        doubt = 0.0 if self.percent_per_k is None else self.percent_per_k_half_width / 100.0
        value = self.value * (1.0 + share * away)
        of_coefficient = self.value * doubt * away / sqrt(3.0)
        u = hypot(self._u_of(value), of_coefficient)
        return AtTemperature(value, u, self.value * share)

    def in_unit(self, unit: str) -> "Standard":
        """Return the same standard in another unit of the same kind. Errors: EntryError
        wrong_dimension, also for temperatures, of which nobody knows whether they are points or
        differences."""
        if unit == self.unit:
            return self
        if unit_book.same_dimension(unit, "K"):
            said = {"unit": unit_book.label(self.unit), "units": unit_book.label(unit)}
            raise EntryError("wrong_dimension", WRONG_DIMENSION, said)
        return replace(
            self,
            value=unit_book.convert(self.value, self.unit, unit),
            u=unit_book.convert_step(self.u, self.unit, unit),
            table=tuple((t, unit_book.convert(value, self.unit, unit)) for t, value in self.table),
            unit=unit,
        )

    def _u_of(self, value: float) -> float:
        return self.u * abs(value / self.value) if self.in_proportion and self.value else self.u

    def _require(self, temp_c: float) -> None:
        low, high = self.range_c
        if not low <= temp_c <= high:
            raise OutOfValidity(
                "standard_temperature",
                gettext_noop(
                    "What this standard is worth is known from %(low)s to %(high)s °C only. Bring "
                    "it there and read again."
                ),
                {"low": f"{low:g}", "high": f"{high:g}"},
                bound=f"{low:g} <= temp_c <= {high:g}",
            )

    def _slope(self, temp_c: float) -> float:
        low, high = self.range_c
        cold, warm = max(temp_c - 0.5, low), min(temp_c + 0.5, high)
        rise = interpolated(self.table, warm) - interpolated(self.table, cold)
        return rise / (warm - cold)


def interpolated(table: Table, temp_c: float) -> float:
    """Return the value of the cubic through the four rows about `temp_c` (through all where there
    are fewer): Lagrange's formula, interpolation of our own between the rows.

    >>> round(interpolated(((0.0, 0.0), (1.0, 1.0), (2.0, 4.0), (3.0, 9.0)), 1.5), 6)
    2.25
    """
    above = sum(1 for temp, _ in table if temp <= temp_c)
    first = max(0, min(above - 2, len(table) - 4))
    rows = table[first : first + 4]
    total = 0.0
    for here, value in rows:
        weight = 1.0
        for other, _ in rows:
            if other != here:
                weight *= (temp_c - other) / (here - other)
        total += weight * value
    return total


def kcl(value: float, u: float) -> Standard:
    """Return a KCl standard of `value` µS/cm at 25 °C: it changes with temperature as that of the
    three tabulated solutions which is nearest to it.

    Scaling a table to the standard's own value is a rule of our own: 1413 on the label and 1408.23
    in the table are one concentration counted per liter and per kilogram. Errors: OutOfValidity
    kcl_range.

    >>> round(kcl(1408.23, 0.5).at(20.0).value, 2)
    1273.03
    """
    low, high = KCL_RANGE_US_CM
    if not low <= value <= high:
        raise OutOfValidity(
            "kcl_range",
            gettext_noop(
                "How KCl changes with temperature is known from %(low)s to %(high)s µS/cm."
            ),
            {"low": f"{low:g}", "high": f"{high:g}"},
            bound=f"{low:g} <= value <= {high:g}",
        )
    tables = [(dict(table)[REFERENCE_C], table) for table in KCL_TABLES]
    at_25, table = min(tables, key=lambda each: abs(log(each[0] / value)))
    scaled = tuple((temp, row * value / at_25) for temp, row in table)
    return Standard(value, "uS/cm", u, table=scaled, key="kcl")


def buffer(key: str, u: float, value: float | None = None) -> Standard:
    """Return a pH buffer by its key in `BUFFERS`; `value` is the pH on its label at 25 °C, that the
    table is shifted to. Raises KeyError for an unknown buffer.

    >>> round(buffer("carbonate", 0.01).at(15.0).value, 3)
    10.118
    """
    table = BUFFERS[key]
    at_25 = interpolated(table, REFERENCE_C)
    shift = 0.0 if value is None else value - at_25
    return Standard(
        at_25 + shift,
        "pH",
        u,
        table=tuple((temp, ph + shift) for temp, ph in table),
        in_proportion=False,
        key=key,
    )
