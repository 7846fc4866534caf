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
from core.surface import FILM_S, Exchange, balance

DRIEST = 0.001  # share of its moisture that a dry bark never gives up
REFERENCE_C = 45.0  # temperature at which conductivity and diffusivity are given
RESTEP_C = 3.0  # change of the mean temperature after which the properties are taken anew
ROOM_C = 22.0
REST_H = 6.0  # W/m2K, still air on a board
REST_SUPPLY = 0.35
SPRITZ_J_PER_M2 = 2.3e5  # about 0.1 kg/m2 of water


def released(surface_c: FloatArray) -> FloatArray:
    """Factor on the moisture supply: proteins let go of their water as they set.

    Water-holding capacity falls steeply around 60 to 70 °C (general meat science, from memory);
    the size of the step is this program's choice, made on the tuning cooks.
    """
    return 0.45 + 0.75 / (1.0 + np.exp((64.0 - surface_c) / 5.0))


@dataclass(frozen=True, slots=True, eq=False)
class Cover:
    """What lies between the meat and the pit, as factors on a bare surface's exchange.

    ``convection`` and ``radiation`` on the heat, ``leak`` on the moisture supply; floats, or
    arrays of shape (n,) where the members differ.
    """

    convection: FloatArray | float = 1.0
    radiation: FloatArray | float = 1.0
    leak: FloatArray | float = 1.0


BARE = Cover()
FOIL = Cover(0.85, 0.40, 0.03)
PAPER = Cover(0.95, 0.85, 0.30)
"""Folded foil reflects and holds steam, paper lets a share of it out (estimates, no source)."""


def cover_named(note: str) -> Cover:
    """The wrap that the words after ``wrap`` speak of; foil if they do not say."""
    return PAPER if "paper" in note.lower() else FOIL


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """`n` bodies; every array has shape (n,).

    Attributes
    ----------
    half_thickness_m, conductivity, diffusivity : array
        R [m], k [W/mK] and alpha [m2/s].
    h : array
        Convective coefficient in the pit [W/m2K].
    supply, drying_j : array
        Moisture supply at the start [W/m2] and the evaporated heat in which it fades [J/m2].
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
    """

    half_thickness_m: FloatArray
    conductivity: FloatArray
    diffusivity: FloatArray
    h: FloatArray
    supply: FloatArray
    drying_j: FloatArray
    offset_c: FloatArray
    start_c: FloatArray
    vapour_pa: FloatArray
    leak: FloatArray
    modes: Modes
    floor_c: float = -np.inf
    diffusivity_slope: float = 0.0

    def shown_c(self, state: State) -> FloatArray:
        """What the probes show, shape (n,) [°C]."""
        out = self.modes.probe_temp_c(state.amplitudes, state.scaled_flux)
        return np.maximum(out, self.floor_c) if self.floor_c > -np.inf else out

    def step(self, duration_s: float, mean_c: FloatArray) -> Step:
        """Propagator over `duration_s` with the properties at the bodies' mean temperature."""
        warmer = np.minimum(np.maximum(mean_c, 0.0), 100.0) - REFERENCE_C
        fourier = self.diffusivity * duration_s / self.half_thickness_m**2
        return self.modes.step(fourier * (1.0 + self.diffusivity_slope * warmer))


@dataclass(slots=True, eq=False)
class State:
    """Where `n` bodies stand: mode amplitudes (K + 1, n) and surfaces (n,)."""

    amplitudes: FloatArray
    surface_c: FloatArray
    scaled_flux: FloatArray
    evaporated_j: FloatArray
    film_j: FloatArray

    @classmethod
    def start(cls, bodies: Bodies) -> State:
        """All bodies at their starting temperature."""
        zero = np.zeros_like(bodies.start_c)
        return cls(
            bodies.modes.start(bodies.start_c), bodies.start_c.copy(), zero, zero.copy(), zero
        )

    @classmethod
    def joined(cls, states: list[State]) -> State:
        """All bodies of several states, in order."""
        return cls(
            np.hstack([s.amplitudes for s in states]),
            np.concatenate([s.surface_c for s in states]),
            np.concatenate([s.scaled_flux for s in states]),
            np.concatenate([s.evaporated_j for s in states]),
            np.concatenate([s.film_j for s in states]),
        )

    def chosen(self, index: IndexArray) -> State:
        """The bodies at `index`, copied."""
        return State(
            self.amplitudes[:, index],
            self.surface_c[index],
            self.scaled_flux[index],
            self.evaporated_j[index],
            self.film_j[index],
        )


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """What the bodies are in during a step; arrays (n,) or scalars.

    ``air_c`` is the grate's temperature, ``resting`` is 0 or 1.
    """

    air_c: FloatArray
    cover: Cover = BARE
    resting: FloatArray | float = 0.0


def advance(
    bodies: Bodies, state: State, step: Step, duration_s: float, around: Surroundings
) -> State:
    """The state after one step of `duration_s` in constant surroundings."""
    cover = around.cover
    wet = cover.leak * (1.0 + around.resting * (REST_SUPPLY - 1.0))
    left = np.maximum(1.0 - state.evaporated_j / bodies.drying_j, DRIEST)
    supply = wet * (
        bodies.supply * released(state.surface_c) * np.sqrt(left) + state.film_j / FILM_S
    )
    exchange = Exchange(
        air_c=around.air_c,
        h=(bodies.h + around.resting * (REST_H - bodies.h)) * cover.convection,
        radiation=cover.radiation,
        supply=supply,
        vapour_pa=bodies.vapour_pa,
    )
    free = step.decay * state.amplitudes
    scale = bodies.half_thickness_m / bodies.conductivity
    surface, flux, evaporated = balance(
        free.sum(axis=0), step.surface * scale, exchange, state.surface_c
    )
    scaled = flux * scale
    lost = np.maximum(evaporated, 0.0) * duration_s
    film = state.film_j * np.exp(-duration_s / FILM_S) if np.any(state.film_j) else state.film_j
    return State(free + step.response * scaled, surface, scaled, state.evaporated_j + lost, film)


def loosened(cover: Cover, bodies: Bodies) -> Cover:
    """The cover as each body wears it."""
    if cover is BARE:
        return cover
    return Cover(cover.convection, cover.radiation, np.minimum(cover.leak * bodies.leak, 1.0))


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
        Equally spaced times from 0 [s].
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
    duration = float(grid_s[1] - grid_s[0])
    step, stepped_at = bodies.step(duration, bodies.start_c), float(bodies.start_c.mean())
    spritzes = sorted(happened.spritzes)
    room = np.full_like(bodies.start_c, ROOM_C)
    for i in range(grid_s.size - 1):
        middle = float(grid_s[i]) + 0.5 * duration
        while spritzes and spritzes[0] <= middle:
            spritzes.pop(0)
            state.film_j = state.film_j + SPRITZ_J_PER_M2
        warm = float(state.amplitudes[0].mean())
        if abs(warm - stepped_at) > RESTEP_C:
            step, stepped_at = bodies.step(duration, state.amplitudes[0]), warm
        resting = happened.resting_at(middle)
        cover = loosened(happened.cover_at(middle), bodies)
        around = Surroundings(room if resting else grate_c[i], cover, float(resting))
        state = advance(bodies, state, step, duration, around)
        probe[i + 1] = bodies.shown_c(state)
        if i % 64 == 63 and cancelled():
            break
    return probe, state
