"""What is believed about a cook before its first reading: the joint prior of the model's unknowns.

Priors are data: a :class:`Prior` is a mean vector and a covariance over the unknowns below, chosen
by cut. The Ledger sharpens them (:mod:`core.learning`); nothing else in the forecast changes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.answers import FloatArray
from core.body import REFERENCE_C, Bodies
from core.catalogue import body_of, cut_named
from core.conduction import Modes
from core.cook import Plan, Probe
from core.fire import PAST_MODES
from core.food import properties
from core.moisture import FREED_SHARE
from core.prior_table import COVARIANCE, MEAN

UNKNOWNS = (
    "ln_size",  # half-thickness against the catalogue's, log
    "ln_h",  # convective coefficient against 12 W/m2K, log
    "ln_supply",  # moisture supply against core.moisture's, log
    "ln_drying",  # water that heat can set free against FREED_SHARE of the cut's, log
    "offset_c",  # grate minus gauge [K]
    "depth",  # probe tip, r/R = 0.6 / (1 + exp(-depth))
    "ln_wet",  # evaporation of the surface against WETNESS times the cut's share, log
    "shape",  # shape exponent against the catalogue's
)
"""The unknowns that a :class:`Prior` covers, in order."""

EXTRA = ("start", "leak", *(f"pit_{i}" for i in range(PAST_MODES)))
"""Further unknowns, standard normal a priori: the start, a wrap's leak and the fire's past."""

KITCHEN_SD = {"ln_size": 0.06, "depth": 0.3, "shape": 0.12, "ln_h": 0.1, "ln_wet": 0.2}
OTHER_SD = {"ln_size": 0.25, "shape": 0.5, "ln_h": 0.8, "ln_wet": 0.7, "ln_supply": 0.6}
OTHER_SHAPE = 0.25
"""A piece of no cut is typed by one thickness; its other sides heat it too, and what covers it is
not known."""
BREAST_SIZE_SD = 0.15
"""A turkey breast may be a half or a crown, with bone or rolled."""

DIMENSIONS = len(UNKNOWNS) + len(EXTRA)
H_W_PER_M2K = 12.0
WETNESS = 0.6  # of a free water surface: water activity, and sides that lie or are capped
MEAT_KG_PER_M3 = 1060.0
FAT_MELTING_J_PER_KG = 1.0e5
VAPOUR_PA = 3000.0
LEAK_SD = 0.4
FRIDGE_C, FRIDGE_SD_C, START_SD_C = 5.0, 3.0, 1.0
FROZEN_BELOW_C, ICE_HELD_C = 0.3, -1.5
MELTING_C, MELTING_SD_C = 45.0, 20.0
"""Heat of melting the ice of a partly frozen piece, as a colder core, and its spread [K].

All ice would be some 65 K (latent heat of its water over the specific heat).
"""


@dataclass(frozen=True, slots=True, eq=False)
class Prior:
    """Joint normal prior of the unknowns.

    Attributes
    ----------
    mean : array, shape (8,)
    root : array, shape (8, 8)
        Lower Cholesky factor of the covariance.
    """

    mean: FloatArray
    root: FloatArray

    @classmethod
    def of(cls, mean: FloatArray, covariance: FloatArray) -> Prior:
        """From mean and covariance."""
        return cls(np.asarray(mean, float), np.linalg.cholesky(np.asarray(covariance, float)))

    @property
    def covariance(self) -> FloatArray:
        """Covariance of the unknowns, shape (8, 8)."""
        out: FloatArray = self.root @ self.root.T
        return out


def book_prior(cut: str) -> Prior:
    """The prior that comes with the program for a cut of the catalogue.

    The simulated cooks it is fitted to know their pieces' sizes better than a kitchen does, so
    size, probe depth and shape are given some more room; the typed measures of ``other`` more yet.
    """
    mean, covariance = np.array(MEAN[cut_named(cut).key]), np.array(COVARIANCE)
    room = dict(KITCHEN_SD)
    if cut == "turkey_breast":
        room["ln_size"] = BREAST_SIZE_SD
    if cut == "other":
        room |= OTHER_SD
        mean[UNKNOWNS.index("shape")] += OTHER_SHAPE
    for name, sd in room.items():
        i = UNKNOWNS.index(name)
        covariance[i, i] += sd**2
    return Prior.of(mean, covariance)


@dataclass(frozen=True, slots=True)
class Start:
    """Temperature of the meat at meat-on and how well it is known [°C]."""

    temp_c: float
    sd_c: float
    frozen: bool = False


def start_of(probe: Probe, first_reading: tuple[float, float] | None) -> Start:
    """Starting temperature from the plan or the first reading (elapsed_s, temp_c) near meat-on.

    Meat that shows 0 °C or less holds ice; melting it is taken as a colder core.
    """
    known = probe.start_c
    if first_reading is not None and first_reading[0] <= 300.0:
        known = first_reading[1]
    if known is None:
        return Start(FRIDGE_C, FRIDGE_SD_C)
    if known <= FROZEN_BELOW_C:
        return Start(min(known, ICE_HELD_C), MELTING_SD_C, frozen=True)
    return Start(known, START_SD_C)


def unknowns_of(prior: Prior, z: FloatArray) -> FloatArray:
    """Unknowns, shape (n, 8), of standard normals `z`, shape (n, DIMENSIONS)."""
    out: FloatArray = prior.mean + z[:, : len(UNKNOWNS)] @ prior.root.T
    return out


def bodies_of(plan: Plan, start: Start, prior: Prior, z: FloatArray) -> Bodies:
    """The ensemble that standard normals `z`, shape (n, DIMENSIONS), stand for.

    Raises
    ------
    UnknownCut, InvalidValue
        The plan cannot be modelled.
    """
    cut, body = cut_named(plan.cut), body_of(plan)
    food = properties(cut.composition, REFERENCE_C)
    cold, hot = (properties(cut.composition, t) for t in (20.0, 80.0))
    slope = (float(hot.diffusivity) - float(cold.diffusivity)) / 60.0 / float(food.diffusivity)
    x = unknowns_of(prior, z).T
    ones = np.ones(z.shape[0])
    return Bodies(
        half_thickness_m=body.half_thickness_m * np.exp(x[0]),
        conductivity=float(food.k) * ones,
        diffusivity=float(food.diffusivity) * ones,
        h=H_W_PER_M2K * np.exp(x[1]),
        wetness=WETNESS * cut.evaporation * np.exp(x[6]),
        mobility=np.exp(x[2]),
        releasable=FREED_SHARE * MEAT_KG_PER_M3 * cut.composition.water * np.exp(x[3]),
        offset_c=x[4],
        start_c=_starts(start, z[:, len(UNKNOWNS)]),
        vapour_pa=VAPOUR_PA * ones,
        diffusivity_slope=slope,
        fat_k=FAT_MELTING_J_PER_KG * cut.composition.fat / float(food.cp),
        ice_k=_ice(start, z[:, len(UNKNOWNS)]),
        floor_c=ICE_HELD_C if start.frozen else -np.inf,
        leak=np.exp(LEAK_SD * z[:, len(UNKNOWNS) + 1]),
        modes=Modes.of(body.shape_exponent + x[7], 0.6 / (1.0 + np.exp(-x[5]))),
    )


def _starts(start: Start, z: FloatArray) -> FloatArray:
    out: FloatArray = start.temp_c + (0.0 if start.frozen else start.sd_c) * z
    return out


def _ice(start: Start, z: FloatArray) -> FloatArray | float:
    """How much colder the ice in the core counts than it shows [K]."""
    return np.maximum(MELTING_C + start.sd_c * z, 0.0) if start.frozen else 0.0


def pit_unknowns(z: FloatArray) -> FloatArray:
    """The fire's share of the standard normals, shape (n, PAST_MODES)."""
    return z[:, -PAST_MODES:]
