"""The modal conduction solution against exact series and the one-term table.

Series: see exact_conduction.py. Table: Incropera et al., table 5.1, as solved here with scipy (the
printed column is only recalled, so it decides nothing).
"""

from __future__ import annotations

import numpy as np
import pytest

from core.conduction import Modes
from tests.published.exact_conduction import CYLINDER, PLANE_WALL, SPHERE, left_to_go, roots
from tests.published.tables import Row, load

SHAPES = {"plane_wall": PLANE_WALL, "infinite_cylinder": CYLINDER, "sphere": SPHERE}
BIOTS = (0.1, 0.3, 1.0, 3.0, 10.0, 30.0, 100.0)
FOURIERS = (0.05, 0.1, 0.2, 0.4, 0.8, 1.6)

TOLERANCE = 0.005
"""Of the first temperature difference: 0.7 K for meat at 4 °C in a pit of 145 °C."""


def stepped(
    modes: Modes, biot: float, fouriers: tuple[float, ...], step: float
) -> tuple[np.ndarray, np.ndarray]:
    """Share left to go at the probe and at the surface, after steps of that Fourier number.

    The surroundings stay at one; the flux of each step is the one that the surface temperature at
    the step's end calls for, as the cook model takes it.
    """
    a = modes.start(np.zeros(modes.tail.size))
    once = modes.step(np.full(modes.tail.size, step))
    probe, surface = [], []
    steps = 0
    for fourier in fouriers:
        while steps < round(fourier / step):
            free = once.decay * a
            flux = biot * (1.0 - free.sum(axis=0)) / (1.0 + biot * once.surface)
            a = free + once.response * flux
            steps += 1
        probe.append(1.0 - modes.probe_temp_c(a, flux)[0])
        surface.append(1.0 - (a.sum(axis=0) + modes.tail * flux)[0])
    return np.array(probe), np.array(surface)


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("biot", BIOTS)
@pytest.mark.parametrize("depth", [0.0, 0.3, 0.6])
def test_step_response_equals_the_series(shape: int, biot: float, depth: float) -> None:
    modes = Modes.of(np.array([float(shape)]), np.array([depth]))
    found, _ = stepped(modes, biot, FOURIERS, step=0.0005)
    exact = [left_to_go(shape, biot, fourier, depth) for fourier in FOURIERS]
    assert found == pytest.approx(exact, abs=TOLERANCE)


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("biot", BIOTS)
def test_surface_equals_the_series(shape: int, biot: float) -> None:
    modes = Modes.of(np.array([float(shape)]), np.array([0.0]))
    _, found = stepped(modes, biot, FOURIERS, step=0.0005)
    exact = [left_to_go(shape, biot, fourier, 1.0) for fourier in FOURIERS]
    assert found == pytest.approx(exact, abs=2 * TOLERANCE)


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("biot", [0.3, 3.0, 30.0])
def test_error_falls_with_the_step(shape: int, biot: float) -> None:
    """A quarter of the step leaves about a quarter of the error, and no step is unstable."""
    modes = Modes.of(np.array([float(shape)]), np.array([0.0]))
    exact = np.array([left_to_go(shape, biot, fourier, 0.0) for fourier in FOURIERS[2:]])
    coarse, fine = (
        np.abs(stepped(modes, biot, FOURIERS[2:], step=step)[0] - exact).max()
        for step in (0.008, 0.002)
    )
    assert coarse < 4 * TOLERANCE
    assert 0.15 * coarse < fine < 0.35 * coarse
    long, _ = stepped(modes, biot, (0.4, 0.8, 1.2, 1.6, 2.0), step=0.4)
    assert np.all((long > 0.0) & (long < 1.0)) and np.all(np.diff(long) < 0.0)


def modal_decay(modes: Modes, biot: float) -> tuple[float, float]:
    """First root and first coefficient at the probe of the modal system, free of time steps."""
    lam2, gain = modes.lam2[:, 0], modes.gain[:, 0]
    drive = biot / (1.0 + biot * modes.tail[0])
    matrix = np.diag(lam2) + np.outer(gain, np.ones_like(gain)) * drive
    values, vectors = np.linalg.eig(matrix)
    first = int(np.argmin(values.real))
    amplitudes = vectors[:, first] * np.linalg.solve(vectors, np.eye(lam2.size)[0])[first]
    flux = -drive * amplitudes.sum()
    seen = modes.probe[:, 0] @ amplitudes + modes.probe_tail[0] * flux
    return float(np.sqrt(values[first].real)), float(seen.real)


@pytest.mark.parametrize(
    "row",
    load("one_term_coefficients", mark_column="provenance_computed"),
    ids=lambda r: f"{r.text('geometry')}-{r.text('biot')}",
)
def test_one_term_table(row: Row) -> None:
    shape, biot = SHAPES[row.text("geometry")], row.number("biot")
    zeta, c1 = modal_decay(Modes.of(np.array([float(shape)]), np.array([0.0])), biot)
    assert zeta == pytest.approx(row.number("zeta1_rad"), rel=2e-3)
    assert c1 == pytest.approx(row.number("c1"), rel=1e-2)
    # and the reference itself, so that the series above is held by the table too
    assert roots(shape, biot)[0] == pytest.approx(row.number("zeta1_rad"), abs=1e-6)


@pytest.mark.parametrize("biot", [0.3, 3.0, 30.0])
def test_rounder_bodies_heat_sooner(biot: float) -> None:
    """At one half-thickness, more surface for the volume: monotone between slab and ball."""
    left = [
        stepped(Modes.of(np.array([m]), np.array([0.0])), biot, (0.3,), step=0.001)[0][0]
        for m in np.linspace(0.0, 2.0, 17)
    ]
    assert np.all(np.diff(left) < 0.0)
