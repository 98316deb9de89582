"""phreeqpython (IPhreeqc 3.7.3) on the same waters in the same run: machines differ.

Where the aims of speed were set it solved 10,800 waters a second; an aim in milliseconds is
asserted as the share of its time that this is.
"""

from collections.abc import Mapping
from time import process_time

import numpy as np
import phreeqpython

SOFT = {"Na": 30.0, "PO4": 20.0, "SiO2": 5.0, "C": 2.0, "Cl": 10.0, "SO4": 12.0, "NH3": 0.4}
HARD = SOFT | {"Ca": 1.0, "Mg": 0.5}
THERE_PER_S = 10_800
"""Waters a second of phreeqpython where the aims were set."""
NAMES = {"PO4": "P", "SiO2": "Si", "C": "C(4)", "SO4": "S(6)", "NH3": "N(-3)"}
MASSES = {"Na": 22.99, "PO4": 94.97, "SiO2": 60.083, "C": 12.011, "Cl": 35.45, "SO4": 96.056,
          "NH3": 17.031, "Ca": 40.078, "Mg": 24.305}  # fmt: skip


def waters(mean: Mapping[str, float], count: int) -> dict[str, np.ndarray]:
    """Return boiler waters about a mean, each total between a tenth and twice of it."""
    rng = np.random.default_rng(7)
    return {key: each * rng.uniform(0.1, 2.0, count) for key, each in mean.items()}


def theirs_per_s(mean: Mapping[str, float], count: int) -> float:
    """Return how many waters phreeqpython solves in a second, pH and conductivity."""
    program = phreeqpython.PhreeqPython(database="phreeqc.dat")
    many = waters(mean, count)
    given = [
        {"units": "mmol/kgw", "temp": 25.0, "pH": "7 charge"}
        | {NAMES.get(key, key): float(each[place]) / MASSES[key] for key, each in many.items()}
        for place in range(count)
    ]
    start = process_time()
    for each in given:
        solution = program.add_solution(each)
        assert solution.pH > 1.0 and solution.sc > 0.0
        solution.forget()
    return count / (process_time() - start)
