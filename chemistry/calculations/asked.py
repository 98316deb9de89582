"""The fields that several calculations ask for, and the units that figures are read in.

The ranges are what can be typed at all, rules of our own; where a formula ends it says so itself.
"""

from collections.abc import Mapping

from chemistry.methods.base import Field
from chemistry.words import gettext_noop

AMOUNTS = ("mg/kg", "ug/kg")
PER_LITER = ("mg/L", "ug/L")
AS_CACO3 = ("mg_CaCO3/L", "gpg", "dH", "fH")
CONDUCTIVITIES = ("uS/cm", "umho/cm", "mS/cm")
FLOWS = ("kg/h", "t/h", "lb/h", "klb/h")
MASSES = ("kg", "t", "lb")
PRESSURES = ("psig", "barg", "kPag")
TEMPERATURES = ("degC", "degF")

NAMES: Mapping[str, str] = {
    "Na": gettext_noop("Sodium, Na"),
    "K": gettext_noop("Potassium, K"),
    "Ca": gettext_noop("Calcium, Ca"),
    "Mg": gettext_noop("Magnesium, Mg"),
    "NH3": gettext_noop("Ammonia, NH3"),
    "morpholine": gettext_noop("Morpholine"),
    "cyclohexylamine": gettext_noop("Cyclohexylamine"),
    "ethanolamine": gettext_noop("Ethanolamine"),
    "CO2": gettext_noop("Inorganic carbon, as CO2"),
    "Cl": gettext_noop("Chloride, Cl"),
    "SO4": gettext_noop("Sulfate, SO4"),
    "SO3": gettext_noop("Sulfite, SO3"),
    "PO4": gettext_noop("Phosphate, PO4"),
    "SiO2": gettext_noop("Silica, SiO2"),
    "NO3": gettext_noop("Nitrate, NO3"),
    "CH3COO": gettext_noop("Acetate, CH3COO"),
    "F": gettext_noop("Fluoride, F"),
    "B": gettext_noop("Boron, B"),
}
"""The substances that the solver knows, by the formula they are given in."""
CARBON_HELP = gettext_noop(
    "Dissolved, bicarbonate and carbonate together: 1 mg of HCO3 is 0.72 mg."
)


def substances(*formulas: str) -> tuple[Field, ...]:
    """Return a field for each substance, none of them required."""
    return tuple(amount(each, NAMES[each], required=False) for each in formulas)


def amount(key: str, label: str, *, required: bool = True, unit: str = "mg/kg") -> Field:
    """Return a field for an amount in water, mg or µg per kg."""
    return Field(
        key,
        label,
        unit=unit,
        units=(unit, *(each for each in AMOUNTS if each != unit)),
        low=0.0,
        high=50_000.0,
        help=CARBON_HELP if key == "CO2" else "",
        required=required,
    )


def as_caco3(key: str, label: str, *, required: bool = True, help: str = "") -> Field:
    """Return a field for an amount in mg/L as CaCO3."""
    return Field(
        key,
        label,
        unit="mg_CaCO3/L",
        units=AS_CACO3,
        low=0.0,
        high=50_000.0,
        help=help,
        required=required,
    )


def conductivity(key: str, label: str, *, required: bool = True, help: str = "") -> Field:
    """Return a field for a conductivity."""
    return Field(
        key,
        label,
        unit="uS/cm",
        units=CONDUCTIVITIES,
        low=0.01,
        high=200_000.0,
        help=help,
        required=required,
    )


def temperature(
    key: str = "temperature",
    label: str = gettext_noop("Temperature of the water"),
    *,
    low: float = 0.0,
    high: float = 60.0,
    default: str = "25",
    required: bool = True,
) -> Field:
    """Return a field for a temperature."""
    return Field(
        key,
        label,
        unit="degC",
        units=TEMPERATURES,
        low=low,
        high=high,
        default=default,
        required=required,
    )


def ph(key: str = "ph", label: str = gettext_noop("pH"), help: str = "") -> Field:
    """Return a field for a pH."""
    return Field(key, label, unit="pH", units=("pH",), low=0.0, high=14.0, help=help)


def flow(key: str, label: str, *, required: bool = True, help: str = "") -> Field:
    """Return a field for a flow of water or steam."""
    return Field(
        key,
        label,
        unit="kg/h",
        units=FLOWS,
        low=0.0,
        high=5_000_000.0,
        help=help,
        required=required,
    )


def mass(key: str, label: str, *, required: bool = True, help: str = "") -> Field:
    """Return a field for a mass of water."""
    return Field(
        key,
        label,
        unit="kg",
        units=MASSES,
        low=1.0,
        high=1_000_000.0,
        help=help,
        required=required,
    )


def pressure(key: str = "pressure", label: str = gettext_noop("Pressure of the boiler")) -> Field:
    """Return a field for a pressure as a gauge shows it."""
    return Field(key, label, unit="kPag", units=PRESSURES, low=0.0, high=20_000.0)


def altitude() -> Field:
    """Return a field for the height of a plant above the sea."""
    return Field(
        "altitude",
        gettext_noop("Height above the sea"),
        unit="m",
        units=("m", "ft"),
        low=-400.0,
        high=5000.0,
        default="0",
        required=False,
    )


def level(key: str, label: str, *, required: bool = True) -> Field:
    """Return a field for a figure that is only compared with others of its own kind: conductivity
    or chloride, in whatever unit."""
    return Field(key, label, unit="1", units=("1",), low=0.0, high=200_000.0, required=required)


EVERY_SUBSTANCE = substances(*NAMES)
