"""Members of the truth's family driven through a cook's known past: its fire, events, readings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from core.cook import Cook, Event, EventKind
from tests.bench.truth import properties as pr
from tests.bench.truth.meat import Air, Meat
from tests.bench.truth.run import WRAPS
from tests.bench.truth.scenario import Theta

Array = npt.NDArray[np.float64]

GRID = (8, 10)
"""Coarser than the truth's: cook times differ by 1 to 4 % of themselves."""
LONGEST_STEP_S = 30.0
STEP_GROWTH = 1.2
"""Over the truth's own cautious step; stable still, for its bound takes a high conductivity."""
PATH_STEP_S = 60.0
KNOTS = 16
EXTRA = KNOTS + 2
"""Normals beyond the hidden parameters: the fire's wander, the lid habit, the first pit."""
LID_SHARE = 0.09
HANDLED_SHARE = 0.16


@dataclass(slots=True, eq=False)
class Past:
    """State of the members at `now_s`, and what they say the readings should have been."""

    meat: Meat
    predicted: Array
    pit: Array
    swing: Array
    lids: npt.NDArray[np.bool_]
    wrap: Array


def read_meat(cook: Cook) -> tuple[Array, Array]:
    """Times and values of the first probe's readings."""
    name = cook.probes[0].name
    pairs = [(r.elapsed_s, r.of(name)) for r in cook.readings]
    kept = [(t, c) for t, c in pairs if c is not None]
    return np.array([t for t, _ in kept]), np.array([c for _, c in kept])


def lid_habit(cook: Cook, normals: Array) -> npt.NDArray[np.bool_]:
    """Who opens the lid to look: all if it was logged, else as likely as it then is."""
    if cook.first_event(EventKind.LID_OPEN):
        return np.ones(normals.size, dtype=bool)
    silent = 0.35 * 0.4 / (0.35 * 0.4 + 0.65)
    return normals < np.sqrt(2.0) * _erfinv(2.0 * silent - 1.0)


def _erfinv(value: float) -> float:
    from scipy.special import erfinv

    return float(erfinv(value))


def _swing(theta: Theta, normals: Array, spacing_s: float) -> Array:
    """Standard wander of each fire at the knots."""
    keep = np.exp(-spacing_s / theta["fire_memory_s"])
    out = np.empty((normals.shape[0], KNOTS))
    out[:, 0] = normals[:, 0]
    for k in range(1, KNOTS):
        out[:, k] = keep * out[:, k - 1] + np.sqrt(1.0 - keep**2) * normals[:, k]
    return out


def _dips(cook: Cook, lids: npt.NDArray[np.bool_], times: Array) -> Array:
    """Share of the heat that the lid lets out in each step of the path."""
    out = np.zeros((lids.size, times.size))
    for reading in cook.readings:
        at = min(int(reading.elapsed_s / PATH_STEP_S) + 1, times.size - 1)
        out[lids, at] = LID_SHARE
    handled = (EventKind.WRAPPED, EventKind.GLAZED, EventKind.SPRITZED, EventKind.FUEL_ADDED)
    for event in cook.events:
        if event.kind in handled:
            at = min(int(event.elapsed_s / PATH_STEP_S) + 1, times.size - 1)
            out[:, at] = HANDLED_SHARE
    return out


def _free_path(cook: Cook, theta: Theta, swing: Array, dips: Array, times: Array) -> Array:
    """The fire as the family has it, before the pit readings are heeded."""
    knots = np.linspace(0.0, times[-1], KNOTS)
    fuel = [e.elapsed_s for e in cook.events if e.kind is EventKind.FUEL_ADDED]
    pit, out = theta["start_pit_c"].copy(), np.empty((swing.shape[0], times.size))
    gain = -np.expm1(-PATH_STEP_S / theta["fire_tau_s"])
    for k, t in enumerate(times):
        last = max((f for f in fuel if f <= t), default=0.0)
        sunk = theta["decay_c_per_h"] * np.maximum(t - last - theta["first_burn_s"], 0.0) / 3600.0
        j = int(np.clip(np.searchsorted(knots, t) - 1, 0, KNOTS - 2))
        share = (t - knots[j]) / max(knots[j + 1] - knots[j], 1.0)
        wander = swing[:, j] + share * (swing[:, j + 1] - swing[:, j])
        pit = pit + gain * (theta["setpoint_c"] + theta["fire_sd_c"] * wander - sunk - pit)
        pit = pit - dips[:, k] * (pit - theta["room_c"])
        out[:, k] = np.maximum(pit, 40.0)
    return out


def _heed(cook: Cook, theta: Theta, path: Array, times: Array, rng: np.random.Generator) -> Array:
    """Bend each path to the pit readings as its own gauge would have shown them."""
    seen = [(r.elapsed_s, r.pit_c) for r in cook.readings if r.pit_c is not None]
    if not seen:
        return path
    at, shown = np.array([t for t, _ in seen]), np.array([c for _, c in seen])
    noise = rng.normal(0.0, 0.9, (path.shape[0], at.size))
    index = np.clip((at / PATH_STEP_S).astype(int), 0, times.size - 1)
    miss = shown + noise - theta["gauge_offset_c"][:, None] - path[:, index]
    later = np.maximum(times - at[-1], 0.0)
    out = path.copy()
    for i in range(path.shape[0]):
        bend = np.interp(times, at, miss[i])
        out[i] += bend * np.exp(-later / (2.0 * theta["fire_memory_s"][i]))
    return np.maximum(out, 35.0)


def _air(meat: Meat, pit: Array, wrap: Array) -> Air:
    p = meat.p
    vapour = pr.saturation_pa(p["dew_c"]) + p["damp_pa_s_kg"] * meat.evaporation_rate
    return Air(
        pit, pit + p["wall_c"], np.minimum(vapour, 4.5e4), wrap[:, 0], wrap[:, 1], wrap[:, 2]
    )


def live_past(
    cook: Cook, now_s: float, theta: Theta, extra: Array, rng: np.random.Generator
) -> Past:
    """Drive members with parameters `theta` and fire normals `extra` to `now_s`."""
    n = extra.shape[0]
    times = np.arange(0.0, now_s + PATH_STEP_S, PATH_STEP_S)
    lids = lid_habit(cook, extra[:, KNOTS])
    swing = _swing(theta, extra[:, :KNOTS], times[-1] / (KNOTS - 1))
    path = _free_path(cook, theta, swing, _dips(cook, lids, times), times)
    path = _heed(cook, theta, path, times, rng)
    meat = Meat(theta, *GRID)
    at, _ = read_meat(cook)
    predicted = np.full((n, at.size), np.nan)
    predicted[:, at <= 0.0] = (meat.probe_c() + theta["probe_bias_c"])[:, None]
    events = [e for e in cook.events if e.kind in (EventKind.WRAPPED, EventKind.SPRITZED,
                                                   EventKind.GLAZED)]  # fmt: skip
    done = np.zeros((n, len(events)), dtype=bool)
    wrap, t = np.ones((n, 3)), np.zeros(n)
    longest = np.minimum(STEP_GROWTH * meat.largest_step_s(), LONGEST_STEP_S)
    rows, count = np.arange(n), 0
    before = meat.probe_c() + theta["probe_bias_c"]
    while (t < now_s - 0.5).any():
        dt = np.minimum(longest, np.maximum(now_s - t, 1e-3))
        place = np.clip(t / PATH_STEP_S, 0, times.size - 1.001)
        low = place.astype(int)
        pit = path[rows, low] + (place - low) * (path[rows, low + 1] - path[rows, low])
        meat.step(dt, _air(meat, pit, wrap), refresh=count % 4 == 0)
        t += dt
        count += 1
        after = meat.probe_c() + theta["probe_bias_c"]
        for j in np.flatnonzero((at > (t - dt).min()) & (at <= t.max())):
            hit = (t >= at[j]) & (t - dt < at[j])
            share = (at[j] - (t - dt)[hit]) / dt[hit]
            predicted[hit, j] = before[hit] + share * (after - before)[hit]
        before = after
        _happen(events, done, t, meat, wrap)
    left = np.isnan(predicted)
    predicted[left] = np.broadcast_to(before[:, None], predicted.shape)[left]
    return Past(meat, predicted, path[:, -2], swing[:, -1], lids, wrap)


def _happen(
    events: list[Event], done: npt.NDArray[np.bool_], t: Array, meat: Meat, wrap: Array
) -> None:
    """Wrap or wet each member when its own clock reaches the event."""
    for j, event in enumerate(events):
        due = ~done[:, j] & (t >= event.elapsed_s)
        done[due, j] = True
        if event.kind is EventKind.WRAPPED:
            wrap[due] = WRAPS.get(event.note, WRAPS["foil"])
        else:
            for i in np.flatnonzero(due):
                meat.spritz(int(i), 0.1)
