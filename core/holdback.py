"""Why the finish is early or late: one input at a time swapped for this cut's usual."""

from __future__ import annotations

import numpy as np

from core.answers import FloatArray, Holdback
from core.body import Happened, run_past
from core.cook import Probe
from core.outlook import first_passage
from core.posterior import Posterior, Setting
from core.prior import UNKNOWNS, bodies_of, pit_unknowns

_STEPS = 40
_SIZE = (0, 1, 4, 5, 7)  # where grate and gauge differ counts with the piece: neither is seen
_EVAPORATION = (2, 3, 6)


def holdback_of(
    setting: Setting, posterior: Posterior, probe: Probe, step_s: float
) -> Holdback | None:
    """Minutes that fire, evaporation and size each cost, None if the cook never finishes."""
    mean = posterior.z.mean(axis=0)
    x = mean[: len(UNKNOWNS)] @ setting.prior.root.T  # departure from the prior's mean
    variants = [x.copy() for _ in range(4)]
    variants[2][list(_EVAPORATION)] = 0.0
    variants[3][list(_SIZE)] = 0.0
    z = np.tile(mean, (4, 1))
    z[:, : len(UNKNOWNS)] = np.linalg.solve(setting.prior.root, np.array(variants).T).T
    bodies = bodies_of(setting.plan, setting.start, setting.prior, z)
    rough = float(np.median(bodies.half_thickness_m**2 / bodies.diffusivity))
    step = max(step_s, rough / _STEPS)
    grid: FloatArray = np.arange(3 * _STEPS + 1.0) * step
    middles = 0.5 * (grid[1:] + grid[:-1])
    grate = setting.fire.at(middles, pit_unknowns(z)) + bodies.offset_c
    grate[:, 1] = setting.plan.pit_c + bodies.offset_c[1]
    probe_c, _ = run_past(bodies, grid, grate, _without_pull(setting.happened), lambda: False)
    finish = first_passage(grid, probe_c, probe.target_c)
    if not np.all(np.isfinite(finish)):
        return None
    costs: FloatArray = finish[0] - finish[1:]
    return Holdback(probe.name, float(costs[0]), float(costs[1]), float(costs[2]))


def _without_pull(happened: Happened) -> Happened:
    return Happened(happened.wraps, happened.spritzes, None)
