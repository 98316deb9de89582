"""Random waters, the same every time: mg per kg of water by formula."""

from collections.abc import Mapping

import numpy as np

from chemistry.totals import molar_mass

RANGES = {
    # mg/kg, lowest and highest; drawn evenly on the logarithm
    "Na": (1.0, 600.0), "K": (0.05, 20.0), "NH3": (0.01, 3.0), "PO4": (0.1, 80.0),
    "C": (0.1, 30.0), "Cl": (0.1, 100.0), "SO4": (0.1, 150.0), "SO3": (0.1, 60.0),
    "SiO2": (0.05, 120.0), "NO3": (0.05, 20.0),
}  # fmt: skip
ALL_TWELVE = (
    "Na", "K", "NH3", "Ca", "Mg", "PO4", "C", "Cl", "SO4", "SO3", "SiO2", "CH3COO",
)  # fmt: skip

Water = dict[str, float]


def boiler_waters(count: int, seed: int, *, without: tuple[str, ...] = ()) -> list[Water]:
    """Return softened boiler waters; about one in three of the lesser substances is absent."""
    rng, found = np.random.default_rng(seed), []
    for _ in range(count):
        water = {
            key: float(np.exp(rng.uniform(*np.log(bounds))))
            for key, bounds in RANGES.items()
            if key not in without and (key in ("Na", "Cl") or rng.random() < 0.7)
        }
        found.append(water)
    return found


def hard_waters(count: int, seed: int) -> list[Water]:
    """Return the same with calcium and magnesium."""
    rng = np.random.default_rng(seed)
    return [
        water | {"Ca": float(rng.uniform(0.1, 40.0)), "Mg": float(rng.uniform(0.1, 20.0))}
        for water in boiler_waters(count, seed + 1)
    ]


def any_compositions(count: int, seed: int) -> dict[str, np.ndarray]:
    """Return arrays of twelve totals: 0, or 1e-9 to 0.05 mol/kg, calcium and magnesium to 0.001."""
    rng, found = np.random.default_rng(seed), {}
    for formula in ALL_TWELVE:
        most = 0.001 if formula in ("Ca", "Mg") else 0.05
        molal = 10.0 ** rng.uniform(-9.0, np.log10(most), count)
        molal[rng.random(count) < 0.3] = 0.0
        found[formula] = 1000.0 * molar_mass(formula) * molal
    return found


def columns(waters: list[Water]) -> dict[str, np.ndarray]:
    """Return many waters as one: an array for each formula that any of them holds."""
    formulas = {formula: None for water in waters for formula in water}
    return {key: np.array([water.get(key, 0.0) for water in waters]) for key in formulas}


def one_of(waters: Mapping[str, np.ndarray], place: int) -> Water:
    return {key: float(values[place]) for key, values in waters.items()}
