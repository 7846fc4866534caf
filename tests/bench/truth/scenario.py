"""What is drawn for a simulated cook: the plan, the meat, the cooker and the person.

``draw_plan`` is what the cook decides. ``draw_theta`` draws everything hidden for `n` cooks of one
plan; it is the truth's own prior, and the oracle's too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tests.bench.truth.cuts import KINDS, Kind

Array = npt.NDArray[np.float64]
Theta = dict[str, Array]

DENSITY = 1060.0


@dataclass(frozen=True, slots=True)
class Plan:
    """The cook's intentions [°C, kg]."""

    cut: str
    mass_kg: float
    pit_c: float
    target_c: float
    glaze_c: float | None
    wrap_c: float | None
    fahrenheit: bool
    start_known: bool
    shape: str | None
    thickness_m: float | None


def _pick(rng: np.random.Generator, ranges: tuple[tuple[float, float, float], ...]) -> float:
    weights = np.array([w for w, _, _ in ranges])
    _, low, high = ranges[int(rng.choice(len(ranges), p=weights / weights.sum()))]
    return float(rng.uniform(low, high))


def _round_unit(temp_c: float, fahrenheit: bool, step_f: float, step_c: float) -> float:
    """As a person would plan it: whole steps of their own unit."""
    if fahrenheit:
        return (round((temp_c * 1.8 + 32.0) / step_f) * step_f - 32.0) / 1.8
    return round(temp_c / step_c) * step_c


def draw_plan(rng: np.random.Generator, cut: str) -> Plan:
    """Draw what a person sets out to do with `cut`."""
    kind = KINDS[cut]
    fahrenheit = bool(rng.random() < 0.6)
    mass = float(np.clip(kind.mass_kg * np.exp(kind.mass_spread * rng.normal()), *kind.mass_range))
    mass = round(mass / 0.4536 * 4) / 4 * 0.4536 if fahrenheit else round(mass, 1)
    mass = float(np.clip(mass, *kind.mass_range))
    if cut == "chicken_pieces":
        mass = float(np.round(np.clip(kind.mass_kg * np.exp(0.33 * rng.normal()), 0.1, 0.5), 2))
    pit = _round_unit(_pick(rng, kind.pits), fahrenheit, 5, 5)
    target = _round_unit(_pick(rng, kind.targets), fahrenheit, 1, 1)
    glaze = _trigger(rng, kind.glaze, fahrenheit, target)
    wrap = _trigger(rng, kind.wrap, fahrenheit, target)
    shape = thickness = None
    if kind.shapes:
        shape = str(rng.choice(kind.shapes))
        thickness = _typed_thickness(rng, shape, mass)
    return Plan(cut, mass, pit, target, glaze, wrap, fahrenheit, bool(rng.random() < 0.7),
                shape, thickness)  # fmt: skip


def _trigger(
    rng: np.random.Generator, habit: tuple[float, float, float], fahrenheit: bool, target: float
) -> float | None:
    chance, low, high = habit
    draw, at = rng.random(), rng.uniform(low, high)
    if draw >= chance:
        return None
    return _round_unit(float(min(at, target - 4.0)), fahrenheit, 5 if at > 60 else 1, 1)


def _typed_thickness(rng: np.random.Generator, shape: str, mass_kg: float) -> float:
    """Full thickness or diameter [m], to half a centimetre, of a usual piece of that mass."""
    volume = mass_kg / DENSITY
    if shape == "ball":
        size = (6.0 * volume / np.pi) ** (1 / 3)
    elif shape == "cylinder":
        size = (4.0 * volume / np.pi / rng.uniform(1.8, 3.2)) ** (1 / 3)
    else:
        size = rng.uniform(0.03, 0.06) * mass_kg**0.2
    return max(round(size * 200) / 200, 0.02)


def _lognormal(rng: np.random.Generator, n: int, median: float, spread: float) -> Array:
    return median * np.exp(spread * rng.normal(size=n))


def draw_theta(rng: np.random.Generator, plan: Plan, n: int = 1) -> Theta:
    """Draw the hidden truth of `n` cooks of one plan; every value has shape (n,)."""
    kind = KINDS[plan.cut]
    theta = _draw_body(rng, plan, kind, n)
    theta |= _draw_food(rng, kind, n)
    theta |= _draw_surface(rng, kind, n)
    theta |= _draw_start(rng, kind, n)
    theta |= _draw_probe(rng, theta, n)
    theta |= _draw_fire(rng, plan, n)
    return theta


def _draw_body(rng: np.random.Generator, plan: Plan, kind: Kind, n: int) -> Theta:
    volume = plan.mass_kg * kind.size / DENSITY * _lognormal(rng, n, 1.0, 0.1)
    aspect = _lognormal(rng, n, kind.aspect, 0.16)
    hollow = kind.cavity * _lognormal(rng, n, 1.0, 0.15)
    slip = _lognormal(rng, n, 1.0, 0.12)
    if plan.shape is not None and plan.thickness_m is not None:
        size = plan.thickness_m * _lognormal(rng, n, 1.0, 0.08)
        if plan.shape == "slab":
            height, radius = size, np.sqrt(volume / np.pi / size)
        elif plan.shape == "cylinder":
            radius = size / 2.0
            height = np.clip(volume / np.pi / radius**2, 1.2 * size, 5.0 * size)
        else:  # the cylinder as high as wide that cools like the ball
            radius, height = 0.90 * size / 2.0, 0.90 * size
    elif kind.thick_m is not None:
        height = kind.thick_m * (plan.mass_kg / kind.mass_kg) ** kind.thick_power * slip
        radius = np.sqrt(volume / np.pi / height)
    else:
        radius = (volume / (2.0 * np.pi * aspect * (1.0 - hollow**2))) ** (1 / 3)
        height = 2.0 * aspect * radius
    bone = np.where(rng.random(n) < kind.boned, kind.bone * _lognormal(rng, n, 1.0, 0.2), 0.0)
    return {
        "radius_m": radius,
        "height_m": height,
        "inner_m": hollow * radius,
        "bone_m": bone * radius,
        "bone_length": rng.uniform(0.55, 1.0, n),
        "cavity_open": rng.uniform(0.1, 0.4, n),
        "cavity_h": _lognormal(rng, n, 7.0, 0.3),
    }


def _draw_food(rng: np.random.Generator, kind: Kind, n: int) -> Theta:
    fat = np.clip(kind.fat * _lognormal(rng, n, 1.0, 0.25), 0.005, 0.45)
    lean = (1.0 - fat - 0.01) / (kind.water + kind.protein)
    return {
        "water": kind.water * lean,
        "protein": kind.protein * lean,
        "fat": fat,
        "ash": np.full(n, 0.01),
        "k_factor": _lognormal(rng, n, 0.95, 0.05),
        "denature": _lognormal(rng, n, 1.0, 0.2),
        "mobility": _lognormal(rng, n, 5.5e-8, 0.3),
        "diffusion": _lognormal(rng, n, 1.2e-9, 0.3),
        "hold_drop": np.clip(rng.normal(0.52, 0.06, n), 0.35, 0.7),
        "hold_centre_c": rng.normal(66.0, 1.5, n),
        "fat_render": rng.uniform(0.2, 0.5, n),
    }


def _draw_surface(rng: np.random.Generator, kind: Kind, n: int) -> Theta:
    return {
        "h_conv": _lognormal(rng, n, 11.8, 0.22),
        "emissivity": rng.uniform(0.8, 0.95, n),
        "h_bottom": _lognormal(rng, n, 0.85, 0.25),
        "h_top": _lognormal(rng, n, 1.0, 0.2),
        "e_bottom": np.clip(kind.below * _lognormal(rng, n, 1.0, 0.3), 0.03, 1.0),
        "e_top": np.clip(kind.above * _lognormal(rng, n, 1.0, 0.3), 0.03, 1.0),
        "evaporation": np.clip(kind.skin * _lognormal(rng, n, 1.0, 0.2), 0.05, 1.0),
        "skin_m": _lognormal(rng, n, 1.2e-3, 0.3),
        "skin_start": rng.uniform(0.5, 1.0, n),
        "dew_c": np.clip(rng.normal(38.0, 8.0, n), 18.0, 60.0),
        "damp_pa_s_kg": _lognormal(rng, n, 4.0e7, 0.7),
        "wall_c": rng.normal(-2.0, 6.0, n),
    }


def _draw_start(rng: np.random.Generator, kind: Kind, n: int) -> Theta:
    fridge = rng.normal(4.5, 1.8, n)
    out = rng.random(n)
    start = np.where(out < 0.35, fridge + rng.uniform(2.0, 10.0, n), fridge)
    core = np.where(out < 0.35, start - rng.uniform(0.0, 4.0, n), start)
    hard = rng.random(n) < (0.06 if kind.mass_kg > 1.5 else 0.02)
    core = np.where(hard, rng.uniform(-1.9, -1.0, n), core)
    start = np.where(hard, np.minimum(start, 3.0), start)
    return {
        "start_c": np.maximum(start, 0.5),
        "start_core_c": np.where(hard, core, np.maximum(core, 0.0)),
    }


def _draw_probe(rng: np.random.Generator, theta: Theta, n: int) -> Theta:
    radius, inner, height = theta["radius_m"], theta["inner_m"], theta["height_m"]
    miss = rng.normal(0.0, 0.004, n)
    solid = np.abs(rng.normal(0.0, 0.14, n)) * radius + np.abs(miss)
    solid = np.maximum(solid, theta["bone_m"] + 0.006)
    wall = inner + (radius - inner) * (0.42 + 0.09 * rng.normal(size=n))
    r = np.where(
        inner > 0.0, np.clip(wall, inner + 0.006, radius - 0.008), np.minimum(solid, 0.6 * radius)
    )
    z = height * np.clip(0.5 + 0.09 * rng.normal(size=n), 0.2, 0.8) + rng.normal(0.0, 0.0015, n)
    return {"probe_r_m": r, "probe_z_m": z, "probe_bias_c": rng.normal(0.0, 0.7, n)}


def _draw_fire(rng: np.random.Generator, plan: Plan, n: int) -> Theta:
    steady = rng.random(n) < 0.3
    high = rng.random(n) < 0.75
    offset = np.where(high, rng.normal(2.5, 4.0, n), rng.normal(0.0, 1.0, n))
    return {
        "steady": steady.astype(float),
        "gauge_offset_c": np.clip(offset, -10.0, 10.0),
        "gauge_tau_s": rng.uniform(40.0, 240.0, n),
        "fire_tau_s": rng.uniform(240.0, 900.0, n),
        "fire_sd_c": np.where(steady, rng.uniform(1.5, 4.0, n), rng.uniform(4.0, 10.0, n)),
        "fire_memory_s": rng.uniform(900.0, 5400.0, n),
        "decay_c_per_h": np.where(steady, rng.uniform(0.0, 0.5, n), _lognormal(rng, n, 4.0, 0.6)),
        "first_burn_s": rng.uniform(0.5, 2.5, n) * 3600.0,
        "setpoint_c": plan.pit_c - 0.8 * offset + rng.normal(0.0, 5.0, n),
        "start_pit_c": plan.pit_c - 0.8 * offset + rng.normal(-4.0, 10.0, n),
        "room_c": rng.uniform(19.0, 26.0, n),
    }
