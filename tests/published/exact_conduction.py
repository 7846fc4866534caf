"""Exact series for a body at one temperature put into surroundings at another, own writing.

Incropera et al., Fundamentals of Heat and Mass Transfer, sections 5.5 and 5.6: the roots of
``z tan z = Bi`` (plane wall), ``z J1(z) = Bi J0(z)`` (cylinder), ``1 - z cot z = Bi`` (sphere).
The ``ht`` library holds no transient solutions to compare with.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.optimize import brentq
from scipy.special import j0, j1

PLANE_WALL, CYLINDER, SPHERE = 0, 1, 2
TERMS = 60


def _characteristic(shape: int, z: float, biot: float) -> float:
    if shape == PLANE_WALL:
        return float(z * np.sin(z) - biot * np.cos(z))
    if shape == CYLINDER:
        return float(z * j1(z) - biot * j0(z))
    return float((1.0 - biot) * np.sin(z) - z * np.cos(z))


@lru_cache(maxsize=64)
def roots(shape: int, biot: float) -> tuple[float, ...]:
    """First ``TERMS`` positive roots, found by a fine scan for changes of sign."""
    grid = np.linspace(1e-6, (TERMS + 2) * np.pi, 40 * (TERMS + 2))
    values = [_characteristic(shape, z, biot) for z in grid]
    found = [
        float(brentq(lambda z: _characteristic(shape, z, biot), a, b, xtol=1e-13))
        for a, b, fa, fb in zip(grid, grid[1:], values, values[1:], strict=False)
        if fa * fb < 0.0
    ]
    return tuple(found[:TERMS])


def _coefficient(shape: int, z: float) -> float:
    if shape == PLANE_WALL:
        return float(4.0 * np.sin(z) / (2.0 * z + np.sin(2.0 * z)))
    if shape == CYLINDER:
        return float(2.0 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2))
    return float(4.0 * (np.sin(z) - z * np.cos(z)) / (2.0 * z - np.sin(2.0 * z)))


def _profile(shape: int, zx: float) -> float:
    if shape == PLANE_WALL:
        return float(np.cos(zx))
    if shape == CYLINDER:
        return float(j0(zx))
    return float(np.sinc(zx / np.pi))


def left_to_go(shape: int, biot: float, fourier: float, depth: float) -> float:
    """Share of the first temperature difference that is left at r/R = `depth`."""
    return sum(
        _coefficient(shape, z) * np.exp(-(z**2) * fourier) * _profile(shape, z * depth)
        for z in roots(shape, biot)
    )
