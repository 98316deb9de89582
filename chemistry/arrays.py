"""The same formula for one water and for a million: numbers go through `math`, arrays through
NumPy, which costs ten times as much for a single number."""

import math

import numpy as np
from numpy.typing import NDArray

Floats = float | NDArray[np.float64]


def plain(value: Floats) -> Floats:
    """Return a number as a float of Python's own, an array as it is.

    >>> plain(np.asarray(2.5))
    2.5
    """
    return float(value) if np.ndim(value) == 0 else value


def exp(value: Floats) -> Floats:
    """Return e to the value."""
    return np.exp(value) if isinstance(value, np.ndarray) else math.exp(value)


def log(value: Floats) -> Floats:
    """Return the natural logarithm."""
    return np.log(value) if isinstance(value, np.ndarray) else math.log(value)


def sqrt(value: Floats) -> Floats:
    """Return the square root."""
    return np.sqrt(value) if isinstance(value, np.ndarray) else math.sqrt(value)


def clip(value: Floats, bound: Floats) -> Floats:
    """Return the value held between minus and plus `bound`."""
    if isinstance(value, np.ndarray):
        return np.clip(value, -bound, bound)
    return min(max(value, -bound), bound)


def larger(first: Floats, second: Floats) -> Floats:
    """Return the larger of two."""
    if isinstance(first, np.ndarray) or isinstance(second, np.ndarray):
        return np.maximum(first, second)
    return max(first, second)


def largest(value: Floats) -> float:
    """Return the largest of all."""
    return float(np.max(value)) if isinstance(value, np.ndarray) else value


def smaller(first: Floats, second: Floats) -> Floats:
    """Return the smaller of two."""
    if isinstance(first, np.ndarray) or isinstance(second, np.ndarray):
        return np.minimum(first, second)
    return min(first, second)
