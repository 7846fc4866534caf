"""The meat as an ensemble of bodies on a fire: parameters in, probe temperatures out.

One call steps hundreds of bodies at once; a step costs some forty small array operations however
many they are. Conduction is exact in the modes of :mod:`core.conduction`, the surface is solved
implicitly by :mod:`core.surface`, so steps may be as long as the readings allow.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.answers import FloatArray, IndexArray
from core.conduction import Modes, Step
from core.moisture import (
    WATER_J_PER_KG_K,
    WATER_KG_PER_M3,
    set_share,
    spread_c,
    supply,
    volume_lost,
)
from core.surface import FILM_S, LATENT_J_PER_KG, Exchange, balance

REFERENCE_C = 45.0  # temperature at which conductivity and diffusivity are given
RESTEP_C, RESTEP_LOST = 4.0, 0.02
"""Change of the mean temperature [K] and of the volume lost that asks for new properties."""
FAT_MELTS_C, FAT_MELTS_K = 33.0, 4.6
"""Middle and width of the melting of fat (logistic; lard, tallow and bird fat lie around it)."""
ROOM_C = 22.0
REST_H = 6.0  # W/m2K, still air on a board
REST_SUPPLY = 0.35
SPRITZ_J_PER_M2 = 2.3e5  # about 0.1 kg/m2 of water


@dataclass(frozen=True, slots=True, eq=False)
class Cover:
    """What lies between the meat and the pit, as factors on a bare surface's exchange.

    ``convection`` and ``radiation`` on the heat, ``leak`` on the evaporation; floats, or
    arrays of shape (n,) where the members differ.
    """

    convection: FloatArray | float = 1.0
    radiation: FloatArray | float = 1.0
    leak: FloatArray | float = 1.0


BARE = Cover()
FOIL = Cover(0.92, 0.50, 0.01)
PAPER = Cover(0.97, 0.80, 0.10)
SHIELD = Cover(0.90, 0.65, 0.85)
"""Folded foil reflects and holds steam, paper lets a share of it out; a sheet laid over one side
shades it and holds next to nothing (estimates, no source)."""


def cover_named(note: str) -> Cover:
    """The wrap that the words after ``wrap`` speak of; foil if they do not say.

    ``foil on the breast``, ``tented``, ``loosely over the top`` wrap nothing up: a shield.
    """
    words = f" {note.lower()} "
    if any(word in words for word in ("tent", "loose", " on ", " over ")):
        return SHIELD
    return PAPER if "paper" in words else FOIL


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """`n` bodies; every array has shape (n,).

    Attributes
    ----------
    half_thickness_m, conductivity, diffusivity : array
        R [m], k [W/mK] and alpha [m2/s].
    h : array
        Convective coefficient in the pit [W/m2K].
    wetness : array
        Evaporation of its surface against a free water surface's.
    mobility : array
        Factor on the moisture supply of :mod:`core.moisture`.
    releasable : array
        Water that heat can set free [kg/m3].
    offset_c : array
        Grate minus gauge [°C].
    start_c : array
        Temperature at meat-on [°C].
    vapour_pa : array
        Vapour pressure in the pit [Pa].
    floor_c : float
        Lowest temperature a probe shows: where ice holds it, the amplitudes carry the heat of
        melting as a colder start [°C].
    diffusivity_slope : float
        Relative change of the diffusivity with temperature, from ``REFERENCE_C`` [1/K].
    leak : array
        Factor on the leak of a wrap: how loosely it is folded.
    modes : Modes
    fat_k : float
        Heat of melting its fat over the specific heat [K].
    ice_k : array or float
        How much colder the ice in the core counts than it shows [K].
    """

    half_thickness_m: FloatArray
    conductivity: FloatArray
    diffusivity: FloatArray
    h: FloatArray
    wetness: FloatArray
    mobility: FloatArray
    releasable: FloatArray
    offset_c: FloatArray
    start_c: FloatArray
    vapour_pa: FloatArray
    leak: FloatArray
    modes: Modes
    floor_c: float = -np.inf
    diffusivity_slope: float = 0.0
    fat_k: float = 0.0
    ice_k: FloatArray | float = 0.0

    @property
    def area_per_m(self) -> FloatArray:
        """Surface over volume, shape (n,) [1/m]."""
        out: FloatArray = self.modes.gain[0] / self.half_thickness_m
        return out

    def shown_c(self, state: State) -> FloatArray:
        """What the probes show, shape (n,) [°C]."""
        out = self.modes.probe_temp_c(state.amplitudes, state.scaled_flux)
        return np.maximum(out, self.floor_c) if self.floor_c > -np.inf else out

    def step(self, duration_s: float, state: State) -> Propagator:
        """Propagator over `duration_s` with the properties of the bodies as they are now."""
        warmer = np.minimum(np.maximum(state.amplitudes[0], 0.0), 100.0) - REFERENCE_C
        fourier = self.diffusivity * duration_s / self.half_thickness_m**2
        lost = volume_lost(state.evaporated_j, self.area_per_m)
        length = np.cbrt(1.0 - lost)
        faster = length / self._capacity(state, lost)
        step = self.modes.step(fourier * faster * (1.0 + self.diffusivity_slope * warmer))
        scale = length * self.half_thickness_m / self.conductivity
        return Propagator(step, scale, step.surface * scale, self.area_per_m)

    def _capacity(self, state: State, lost: FloatArray) -> FloatArray:
        """Heat capacity against the fresh body's: less water, and the fat that is melting."""
        cold, hot = spread_c(state.amplitudes[0], state.surface_c)
        upper, lower = ((t - FAT_MELTS_C) / (2.0 * FAT_MELTS_K) for t in (hot, cold))
        melting = 0.5 * (np.tanh(upper) - np.tanh(lower)) / (hot - cold)
        water = WATER_KG_PER_M3 * WATER_J_PER_KG_K * self.diffusivity / self.conductivity
        out: FloatArray = 1.0 - lost * water + self.fat_k * melting
        return out


@dataclass(frozen=True, slots=True, eq=False)
class Propagator:
    """A step of conduction and what goes with the bodies' present size.

    ``scale`` turns a flux into the scaled flux Q [K per W/m2], ``answer`` is how the surface
    follows the flux held over the step [K per W/m2], ``area_per_m`` the fresh body's [1/m].
    """

    step: Step
    scale: FloatArray
    answer: FloatArray
    area_per_m: FloatArray


@dataclass(slots=True, eq=False)
class State:
    """Where `n` bodies stand: mode amplitudes (K + 1, n) and surfaces (n,)."""

    amplitudes: FloatArray
    surface_c: FloatArray
    scaled_flux: FloatArray
    evaporated_j: FloatArray
    film_j: FloatArray | None

    @classmethod
    def start(cls, bodies: Bodies) -> State:
        """All bodies at their starting temperature, with what ice they hold."""
        zero = np.zeros_like(bodies.start_c)
        amplitudes = bodies.modes.start(bodies.start_c)
        if np.any(bodies.ice_k):  # colder in the core by that much, not at the surface
            first = bodies.ice_k / (bodies.modes.core - 1.0)
            amplitudes[0] += first
            amplitudes[1] -= first
        return cls(amplitudes, bodies.start_c.copy(), zero, zero.copy(), None)

    @classmethod
    def joined(cls, states: list[State]) -> State:
        """All bodies of several states, in order."""
        return cls(
            np.hstack([s.amplitudes for s in states]),
            np.concatenate([s.surface_c for s in states]),
            np.concatenate([s.scaled_flux for s in states]),
            np.concatenate([s.evaporated_j for s in states]),
            _joined_film(states),
        )

    def chosen(self, index: IndexArray) -> State:
        """The bodies at `index`, copied."""
        return State(
            self.amplitudes[:, index],
            self.surface_c[index],
            self.scaled_flux[index],
            self.evaporated_j[index],
            None if self.film_j is None else self.film_j[index],
        )


def _joined_film(states: list[State]) -> FloatArray | None:
    """The films of several states, None if none of them was ever sprayed."""
    if all(s.film_j is None for s in states):
        return None
    dry = [np.zeros_like(s.surface_c) if s.film_j is None else s.film_j for s in states]
    return np.concatenate(dry)


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """What the bodies are in during a step; arrays (n,) or scalars.

    ``air_c`` is the grate's temperature, ``resting`` is 0 or 1.
    """

    air_c: FloatArray
    cover: Cover = BARE
    resting: FloatArray | float = 0.0


def advance(
    bodies: Bodies, state: State, by: Propagator, duration_s: float, around: Surroundings
) -> State:
    """The state after one step of `duration_s` in constant surroundings."""
    cover = around.cover
    wet = 1.0 + around.resting * (REST_SUPPLY - 1.0)
    step, scale = by.step, by.scale
    share = set_share(*spread_c(state.amplitudes[0], state.surface_c))
    fed = bodies.mobility * supply(
        share, state.evaporated_j, by.area_per_m, bodies.half_thickness_m, bodies.releasable
    )
    if state.film_j is not None:
        fed = fed + state.film_j / FILM_S
    exchange = Exchange(
        air_c=around.air_c,
        h=(bodies.h + around.resting * (REST_H - bodies.h)) * cover.convection,
        radiation=cover.radiation,
        supply=wet * fed,
        vapour_pa=bodies.vapour_pa,
        wetness=bodies.wetness * cover.leak,
    )
    free = step.decay * state.amplitudes
    surface, flux, evaporated = balance(
        np.add.reduce(free, axis=0), by.answer, exchange, state.surface_c
    )
    scaled = flux * scale
    lost = np.maximum(evaporated, 0.0) * duration_s
    film = None if state.film_j is None else state.film_j * np.exp(-duration_s / FILM_S)
    return State(free + step.response * scaled, surface, scaled, state.evaporated_j + lost, film)


def loosened(cover: Cover, bodies: Bodies) -> Cover:
    """The cover as each body wears it."""
    if cover is BARE:
        return cover
    return Cover(cover.convection, cover.radiation, np.minimum(cover.leak * bodies.leak, 1.0))


@dataclass(slots=True, eq=False)
class Stepper:
    """Keeps the last propagator while the bodies' properties have hardly changed."""

    bodies: Bodies
    _kept: Propagator | None = None
    _duration_s: float = 0.0
    _warm_c: float = 0.0
    _gone_j: float = 0.0
    _restep_j: float = 0.0

    def __post_init__(self) -> None:
        area = float(self.bodies.area_per_m.mean())
        self._restep_j = RESTEP_LOST * WATER_KG_PER_M3 * LATENT_J_PER_KG / area

    def step(self, duration_s: float, state: State) -> Propagator:
        """Propagator over `duration_s` of the bodies as they are in `state`."""
        count = state.surface_c.size
        warm = float(np.add.reduce(state.amplitudes[0])) / count
        gone = float(np.add.reduce(state.evaporated_j)) / count
        same = abs(duration_s - self._duration_s) <= 1e-6 * duration_s
        near = abs(warm - self._warm_c) <= RESTEP_C and abs(gone - self._gone_j) <= self._restep_j
        if self._kept is None or not (same and near):
            self._kept = self.bodies.step(duration_s, state)
            self._duration_s, self._warm_c, self._gone_j = duration_s, warm, gone
        return self._kept


@dataclass(frozen=True, slots=True, eq=False)
class Happened:
    """What happened to the meat, as times from meat-on [s]."""

    wraps: tuple[tuple[float, Cover], ...] = ()
    spritzes: tuple[float, ...] = ()
    pulled_s: float | None = None

    def cover_at(self, elapsed_s: float) -> Cover:
        """What it is wrapped in at that time."""
        cover = BARE
        for at, put_on in self.wraps:
            if at <= elapsed_s:
                cover = put_on
        return cover

    def resting_at(self, elapsed_s: float) -> bool:
        """Whether it has left the heat by that time."""
        return self.pulled_s is not None and self.pulled_s <= elapsed_s


def run_past(
    bodies: Bodies,
    grid_s: FloatArray,
    grate_c: FloatArray,
    happened: Happened,
    cancelled: Callable[[], bool],
) -> tuple[FloatArray, State]:
    """Step all bodies through the past.

    Parameters
    ----------
    bodies : Bodies
    grid_s : array, shape (m + 1,)
        Increasing times from 0 [s]; cheap where they are equally spaced.
    grate_c : array, shape (m, n)
        Grate temperature in the middle of each step [°C].
    happened : Happened
    cancelled : callable
        Polled now and then; the run is cut short if it returns true.

    Returns
    -------
    probe_c : array, shape (m + 1, n)
        Temperature at the probe [°C].
    state : State
        At the last time.
    """
    state = State.start(bodies)
    probe = np.empty((grid_s.size, bodies.start_c.size))
    probe[0] = np.maximum(bodies.start_c, bodies.floor_c)
    if grid_s.size == 1:
        return probe, state
    walker = Stepper(bodies)
    spritzes = sorted(happened.spritzes)
    room = np.full_like(bodies.start_c, ROOM_C)
    for i, duration in enumerate(np.diff(grid_s).tolist()):
        middle = float(grid_s[i]) + 0.5 * duration
        while spritzes and spritzes[0] <= middle:
            spritzes.pop(0)
            film = np.zeros_like(bodies.start_c) if state.film_j is None else state.film_j
            state.film_j = film + SPRITZ_J_PER_M2
        step = walker.step(duration, state)
        resting = happened.resting_at(middle)
        cover = loosened(happened.cover_at(middle), bodies)
        around = Surroundings(room if resting else grate_c[i], cover, float(resting))
        state = advance(bodies, state, step, duration, around)
        probe[i + 1] = bodies.shown_c(state)
        if i % 64 == 63 and cancelled():
            break
    return probe, state
