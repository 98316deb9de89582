"""Water as a solvent near the surface of the earth: density, dielectric constant, viscosity, and
the Debye-Hückel constants that follow from them. Vectorized, 0 to 100 °C at 0.1 MPa: whoever
asks has held the temperature against its own bounds, which are narrower."""

from chemistry.arrays import Floats, exp, log, sqrt
from chemistry.equilibria import KELVIN

PRESSURE_BAR = 1.0
"""Of the atmosphere, nearly: rule of our own."""


def density_kg_l(temp_c: Floats) -> Floats:
    """Return the density of water, kg/L. Kell, J. Chem. Eng. Data 20:97 (1975), from memory.

    >>> round(density_kg_l(25.0), 5)
    0.99705
    """
    t = temp_c
    above = 999.83952 + t * (
        16.945176
        + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - 280.54253e-12 * t)))
    )
    return above / (1.0 + 16.879850e-3 * t) / 1000.0


def dielectric(temp_c: Floats) -> Floats:
    """Return the relative permittivity of water. Bradley and Pitzer, J. Phys. Chem. 83:1599
    (1979), from memory.

    >>> round(dielectric(25.0), 2)
    78.38
    """
    kelvin = temp_c + KELVIN
    at_1000_bar = 342.79 * exp(-5.0866e-3 * kelvin + 9.4690e-7 * kelvin**2)
    c = -2.0525 + 3115.9 / (-182.89 + kelvin)
    b = -8032.5 + 4.2142e6 / kelvin + 2.1417 * kelvin
    return at_1000_bar + c * log((b + PRESSURE_BAR) / (b + 1000.0))


def viscosity_mpa_s(temp_c: Floats) -> Floats:
    """Return the viscosity of water, mPa s. Kestin, Sokolov and Wakeham, J. Phys. Chem. Ref. Data
    7:941 (1978), from memory.

    >>> round(viscosity_mpa_s(25.0), 4)
    0.8901
    """
    below = 20.0 - temp_c
    exponent = below / (temp_c + 96.0) * (1.2364 + below * (-1.37e-3 + 5.7e-6 * below))
    return 1.002 * exp(exponent * 2.302585092994046)


def debye_hueckel(temp_c: Floats) -> tuple[Floats, Floats]:
    """Return A in (kg/mol)^0.5, for log10, and B in (kg/mol)^0.5 per Å, of the Debye-Hückel law.

    Truesdell and Jones, J. Res. USGS 2:233 (1974), from memory.

    >>> [round(value, 4) for value in debye_hueckel(25.0)]
    [0.51, 0.3285]
    """
    product = dielectric(temp_c) * (temp_c + KELVIN)
    root = sqrt(density_kg_l(temp_c))
    return 1.8248e6 * root / product**1.5, 50.29 * root / sqrt(product)
