"""The grid of a finite cylinder in r and z, solid, with a bone on its axis, or hollow.

A slab (ribs, a side of fish, a brisket flat) is a cylinder far wider than it is high. Every cook
of a batch has its own sizes, so all arrays carry the cook as their first axis.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


@dataclass(slots=True, eq=False)
class Grid:
    """Volumes [m3], conduction shape factors [m] and surface faces of a batch of bodies.

    ``cond_r``, ``cond_z`` are area over distance of the inner faces. The surface faces run side
    (nz), bottom (nr), top (nr); ``face_cell`` maps each to its cell in flat (r, z) order and
    ``face_half_m`` is the distance from the face to the cell's centre.
    """

    nr: int
    nz: int
    volume: Array
    cond_r: Array
    cond_z: Array
    face_area: Array
    face_half_m: Array
    face_cell: npt.NDArray[np.intp]
    inner_area: Array
    inner_half_m: Array
    r_mid: Array
    z_mid: Array


def _edges_r(inner: Array, outer: Array, n: int) -> Array:
    u = np.linspace(0.0, 1.0, n + 1)
    return inner[:, None] + (outer - inner)[:, None] * (1.4 * u - 0.4 * u * u)


def _edges_z(height: Array, n: int) -> Array:
    v = np.linspace(-1.0, 1.0, n + 1)
    return 0.5 * height[:, None] * (1.0 + np.sign(v) * (1.35 * np.abs(v) - 0.35 * v * v))


def make_grid(inner_m: Array, radius_m: Array, height_m: Array, nr: int = 12, nz: int = 16) -> Grid:
    """Grid of cylinders with radius and height [m], hollow up to `inner_m` (0 if solid)."""
    re, ze = _edges_r(inner_m, radius_m, nr), _edges_z(height_m, nz)
    dr, dz = np.diff(re), np.diff(ze)
    rm, zm = 0.5 * (re[:, 1:] + re[:, :-1]), 0.5 * (ze[:, 1:] + ze[:, :-1])
    ring = np.pi * (re[:, 1:] ** 2 - re[:, :-1] ** 2)
    side_area = 2.0 * np.pi * re[:, -1:] * dz
    n = radius_m.size
    cells = np.arange(nr * nz).reshape(nr, nz)
    return Grid(
        nr=nr,
        nz=nz,
        volume=ring[:, :, None] * dz[:, None, :],
        cond_r=2.0 * np.pi * re[:, 1:-1, None] * dz[:, None, :] / np.diff(rm)[:, :, None],
        cond_z=ring[:, :, None] / np.diff(zm)[:, None, :],
        face_area=np.concatenate([side_area, ring, ring], axis=1),
        face_half_m=np.concatenate(
            [
                np.broadcast_to(0.5 * dr[:, -1:], (n, nz)),
                np.broadcast_to(0.5 * dz[:, :1], (n, nr)),
                np.broadcast_to(0.5 * dz[:, -1:], (n, nr)),
            ],
            axis=1,
        ),
        face_cell=np.concatenate([cells[-1, :], cells[:, 0], cells[:, -1]]),
        inner_area=2.0 * np.pi * re[:, :1] * dz,
        inner_half_m=0.5 * dr[:, :1],
        r_mid=rm,
        z_mid=zm,
    )


def probe_weights(grid: Grid, r_m: Array, z_m: Array) -> tuple[npt.NDArray[np.intp], Array]:
    """Cells (n, 4) and weights (n, 4) that interpolate the temperature at a probe's place."""
    n = r_m.size
    rows = np.arange(n)

    def bracket(mid: Array, at: Array) -> tuple[npt.NDArray[np.intp], Array]:
        low = np.clip((mid < at[:, None]).sum(axis=1) - 1, 0, mid.shape[1] - 2)
        share = (at - mid[rows, low]) / (mid[rows, low + 1] - mid[rows, low])
        return low, np.clip(share, 0.0, 1.0)

    i, a = bracket(grid.r_mid, r_m)
    j, b = bracket(grid.z_mid, z_m)
    cells = np.stack([i * grid.nz + j, i * grid.nz + j + 1, (i + 1) * grid.nz + j,
                      (i + 1) * grid.nz + j + 1], axis=1)  # fmt: skip
    weights = np.stack([(1 - a) * (1 - b), (1 - a) * b, a * (1 - b), a * b], axis=1)
    return cells, weights
