"""Cooks made by the fitted model itself, with known unknowns, for tests of recovery."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.body import FOIL, Happened, run_past
from core.catalogue import body_of
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.prior import DIMENSIONS, Start, bodies_of, book_prior


@dataclass(frozen=True, slots=True)
class Made:
    """A cook and the true time of its finish [s] (inf if it never gets there)."""

    cook: Cook
    finish_s: float

    def until(self, share: float) -> Cook:
        """The cook as known at that share of its finish."""
        return self.cook.known_at(share * self.finish_s)


def made_cook(
    plan: Plan,
    target_c: float,
    *,
    every_s: float = 900.0,
    pit_c: float | None = None,
    departures: tuple[float, ...] = (0.0,) * 8,
    seed: int = 1,
    wrap_at_s: float | None = None,
    glaze_c: float | None = None,
    wrap_c: float | None = None,
    noise_c: float = 0.3,
) -> Made:
    """A cook of the model itself; `departures` are standard normals of its unknowns."""
    rng = np.random.default_rng(seed)
    z = np.zeros((1, DIMENSIONS))
    z[0, : len(departures)] = departures
    bodies = bodies_of(plan, Start(4.0, 1.0), book_prior(plan.cut), z)
    pit = plan.pit_c if pit_c is None else pit_c
    size = body_of(plan).half_thickness_m
    grid = np.arange(0.0, 60.0 * 3600.0, 30.0 if size < 0.03 else 120.0)
    wraps = ((wrap_at_s, FOIL),) if wrap_at_s is not None else ()
    grate = np.full((grid.size - 1, 1), pit + float(bodies.offset_c[0]))
    temps, _ = run_past(bodies, grid, grate, Happened(wraps=wraps), lambda: False)
    meat = temps[:, 0]
    passed = np.flatnonzero(meat >= target_c)
    finish = (
        float(np.interp(target_c, meat[: passed[0] + 1], grid[: passed[0] + 1]))
        if (passed.size)
        else float("inf")
    )
    last = min(finish, 40.0 * 3600.0)
    readings = tuple(
        Reading(
            float(t),
            round(pit + 2.0 * rng.standard_normal()),
            (
                (
                    "core",
                    round(float(np.interp(t, grid, meat)) + noise_c * rng.standard_normal(), 1),
                ),
            ),
        )
        for t in np.arange(0.0, last, every_s)
    )
    events = (Event(wrap_at_s, EventKind.WRAPPED),) if wrap_at_s is not None else ()
    probe = Probe("core", target_c, glaze_c=glaze_c, wrap_c=wrap_c)
    return Made(Cook(plan, (probe,), readings, events), finish)
