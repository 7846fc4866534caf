"""Heat and water in the meat: two-dimensional finite volumes for many cooks at once.

Heat: conduction with Choi and Okos properties, melting of ice and fat and denaturation as
apparent capacity. Water: what the meat can hold, Xeq, falls as it heats (van der Sman, Meat
Science 76, 2007, form of the equilibrium curve); what is freed seeps down its own gradient, what is
held only diffuses.
Surface: a skin of a millimetre or so takes water from below, loses it to the air by its own
activity and vapour pressure, drips what it cannot hold, and dries to a crust that resists vapour,
water and heat. So a stall begins when evaporation balances the fire and ends when the supply
fails; nothing else in here knows of a stall.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tests.bench.truth import properties as pr
from tests.bench.truth.geometry import Grid, make_grid, probe_weights

Array = npt.NDArray[np.float64]

SIGMA = 5.670374e-8
VAPOUR_PER_H = 6.8e-9
"""Mass transfer [kg/(m2 s Pa)] for each W/(m2 K) of convection, Lewis number near 0.87."""
BONE_K = 0.45
BONE_RHO_CP = 2.3e6
AW_SLOPE = 6.5
"""Water activity of the skin is 1 - exp(-AW_SLOPE X)."""
BOIL_C = 99.5
BOUND_WATER = 0.15
"""Water too tightly held to boil off [kg/kg dry]."""
AIR_CHANGE_S = 180.0
"""How long the vapour given off stays in the cooker's air."""
FILM = 0.20
"""Free water [kg/kg dry] that the skin holds above Xeq before it drips."""
CRUST_VAPOUR = 2.5e7
"""Vapour resistance of a dry crust [Pa m2 s/kg]."""
CRUST_HEAT = 0.008
"""Heat resistance of a dry crust [m2 K/W]."""


@dataclass(slots=True, eq=False)
class Air:
    """What surrounds each cook's meat in one step, shape (n,)."""

    temp_c: Array
    wall_c: Array
    vapour_pa: Array
    convection: Array
    """Factor on the surface coefficient (1 in the cooker, less in a wrap or in a still room)."""
    radiation: Array
    """Factor on the emissivity."""
    leak: Array
    """Factor on evaporation: 1 bare, near 0 in foil."""


class Meat:
    """State of a batch of pieces; `theta` maps parameter names to arrays of shape (n,)."""

    def __init__(self, theta: Mapping[str, Array], nr: int = 12, nz: int = 16) -> None:
        p = self.p = theta
        self.grid: Grid = make_grid(p["inner_m"], p["radius_m"], p["height_m"], nr, nz)
        g = self.grid
        self.n = n = p["radius_m"].size
        self.k_dry, self.cp_dry, rho_dry = pr.dry_mixture(p["protein"], p["fat"], p["ash"])
        dry = p["protein"] + p["fat"] + p["ash"]
        rho = 1.0 / (p["water"] / pr.RHO["water"] + dry / rho_dry)
        self.dry_density = rho * dry
        self.rho_dry = rho_dry
        self.x0 = p["water"] / dry
        bone = (g.r_mid < p["bone_m"][:, None])[:, :, None] & (
            g.z_mid < (p["bone_length"] * p["height_m"])[:, None]
        )[:, None, :]
        self.bone = bone
        self.dry_mass = np.where(bone, 1e-9, self.dry_density[:, None, None] * g.volume)
        self.bone_heat = np.where(bone, BONE_RHO_CP * g.volume, 0.0)
        self.wet_r = ~(bone[:, 1:, :] | bone[:, :-1, :])
        self.wet_z = ~(bone[:, :, 1:] | bone[:, :, :-1])
        self.temp = self._start()
        self.water = np.where(bone, 0.0, self.x0[:, None, None])
        nf = g.face_cell.size
        self.face_bone = bone.reshape(n, -1)[:, g.face_cell]
        self.skin = np.broadcast_to(self.x0[:, None] * p["skin_start"][:, None], (n, nf)).copy()
        self.surface = self.temp.reshape(n, -1)[:, g.face_cell].copy()
        self.h_shape = self._sides(p["h_bottom"], p["h_top"])
        self.e_shape = self._sides(p["e_bottom"], p["e_top"])
        self.evaporated = np.zeros(n)
        self.dripped = np.zeros(n)
        self.evaporation_rate = np.zeros(n)
        self.probe_cells, self.probe_weight = probe_weights(g, p["probe_r_m"], p["probe_z_m"])
        self.shrink = np.ones(n)
        self._properties()

    def _start(self) -> Array:
        """Even, or colder inside: `start_core_c` may lie at the edge of frozen."""
        p, g = self.p, self.grid
        depth = np.minimum(
            1.0 - g.r_mid[:, :, None] / p["radius_m"][:, None, None],
            2.0
            * np.minimum(g.z_mid, p["height_m"][:, None] - g.z_mid)[:, None, :]
            / p["height_m"][:, None, None],
        )
        inside = np.clip(2.0 * depth, 0.0, 1.0)
        outer, core = p["start_c"][:, None, None], p["start_core_c"][:, None, None]
        return outer + (core - outer) * inside

    def _sides(self, bottom: Array, top: Array) -> Array:
        """A factor for each face: 1 at the side, and as given below and above."""
        g = self.grid
        return np.concatenate(
            [
                np.ones((self.n, g.nz)),
                np.repeat(bottom[:, None], g.nr, axis=1),
                np.repeat(top[:, None], g.nr, axis=1),
            ],
            axis=1,
        )

    def _properties(self) -> None:
        """Refresh capacity, conductivity, water-holding and mobility from the present state."""
        p, t = self.p, self.temp
        at = pr.table_index(t)
        c = self.cp_dry[:, :, None, None]
        a = pr.CP["water"]
        dry = p["protein"] + p["fat"] + p["ash"]
        cp = c[:, 0] + t * (c[:, 1] + t * c[:, 2])
        cp += (p["fat"] / dry)[:, None, None] * pr.FAT_TABLE[at]
        water = self.water * (a[0] + t * (a[1] + t * a[2]) + pr.THAW_TABLE[at])
        sink = (p["protein"] / dry * p["denature"])[:, None, None] * pr.PROTEIN_TABLE[at]
        self.heat_cool = self.dry_mass * (cp + water) + self.bone_heat
        self.heat_warm = self.heat_cool + self.dry_mass * sink
        k, b = self.k_dry[:, :, None, None], pr.K["water"]
        wet = self.water / pr.RHO["water"]
        share = wet / (wet + 1.0 / self.rho_dry[:, None, None])
        cond = share * (b[0] + t * (b[1] + t * b[2]))
        cond += (1.0 - share) * (k[:, 0] + t * (k[:, 1] + t * k[:, 2]))
        ice = np.clip((-1.0 - t) / 1.5, 0.0, 0.8)
        cond *= p["k_factor"][:, None, None] * (1.0 + 1.5 * ice)
        self.cond = np.where(self.bone, BONE_K, cond)
        self.k_r = self._between(self.cond[:, 1:], self.cond[:, :-1]) * self.grid.cond_r
        self.k_z = self._between(self.cond[:, :, 1:], self.cond[:, :, :-1]) * self.grid.cond_z
        self.x_eq = self._holding(t)
        lay = self.dry_density[:, None, None]
        self.lay_r, self.lay_z = (
            lay * self.grid.cond_r * self.wet_r,
            lay * self.grid.cond_z * self.wet_z,
        )
        volume = self.dry_mass * (1.0 / self.rho_dry[:, None, None] + wet)
        first = self.dry_mass * (1.0 / self.rho_dry + self.x0 / pr.RHO["water"])[:, None, None]
        self.shrink = np.cbrt(volume.sum(axis=(1, 2)) / first.sum(axis=(1, 2)))

    def _holding(self, temp: Array) -> Array:
        """Water that the meat holds at `temp` [kg/kg dry]."""
        p = self.p
        extra = (slice(None),) + (None,) * (temp.ndim - 1)
        fall = 1.0 / (1.0 + np.exp((p["hold_centre_c"][extra] - temp) / 4.5))
        return self.x0[extra] * (1.0 - p["hold_drop"][extra] * fall)

    @staticmethod
    def _between(one: Array, two: Array) -> Array:
        return 2.0 * one * two / (one + two)

    def largest_step_s(self) -> Array:
        """Time step [s] that keeps the explicit scheme stable, with a margin."""
        g = self.grid
        total = np.zeros_like(self.temp)
        k_r, k_z = g.cond_r * 0.68, g.cond_z * 0.68
        total[:, 1:] += k_r
        total[:, :-1] += k_r
        total[:, :, 1:] += k_z
        total[:, :, :-1] += k_z
        faces = 0.68 * g.face_area / g.face_half_m
        np.add.at(total.reshape(self.n, -1), (slice(None), g.face_cell), faces)
        least = 2.6e6 * g.volume
        return 0.85 * (least / total).min(axis=(1, 2))

    def probe_c(self) -> Array:
        """Temperature at the probe's place [°C], without its bias."""
        flat = self.temp.reshape(self.n, -1)
        return (np.take_along_axis(flat, self.probe_cells, axis=1) * self.probe_weight).sum(axis=1)

    def spritz(self, cook: int, water_kg_m2: float) -> None:
        """Wet one cook's surface."""
        self.skin[cook] += water_kg_m2 / (self.dry_density[cook] * self.p["skin_m"][cook])

    def step(self, dt: Array, air: Air, *, refresh: bool) -> None:
        """Advance all cooks by their own `dt` [s]."""
        if refresh:
            self._properties()
        g, n = self.grid, self.n
        heat = np.zeros_like(self.temp)
        flow = self.k_r * (self.temp[:, 1:] - self.temp[:, :-1])
        heat[:, :-1] += flow
        heat[:, 1:] -= flow
        flow = self.k_z * (self.temp[:, :, 1:] - self.temp[:, :, :-1])
        heat[:, :, :-1] += flow
        heat[:, :, 1:] -= flow
        heat *= self.shrink[:, None, None]
        heat[:, 0, :] += self._cavity(air)
        water = self._flow_of_water()
        face_heat, face_water = self._surface_step(dt, air)
        flat_heat, flat_water = heat.reshape(n, -1), water.reshape(n, -1)
        for part in (slice(0, g.nz), slice(g.nz, g.nz + g.nr), slice(g.nz + g.nr, None)):
            cells = g.face_cell[part]
            flat_heat[:, cells] += face_heat[:, part]
            flat_water[:, cells] -= face_water[:, part]
        step = dt[:, None, None]
        self.temp += step * heat / np.where(heat > 0.0, self.heat_warm, self.heat_cool)
        self.water += step * water / self.dry_mass
        self._boil(dt)
        np.clip(self.water, 0.0, None, out=self.water)

    def _boil(self, dt: Array) -> None:
        """Wet meat gets no hotter than boiling: the heat beyond makes steam, which escapes."""
        hot = self.temp > BOIL_C
        if not hot.any():
            return
        spare = np.maximum(self.water - BOUND_WATER, 0.0) * self.dry_mass
        steam = (self.temp - BOIL_C) * self.heat_cool / pr.LATENT_J_PER_KG
        steam = np.where(hot, np.minimum(steam, spare), 0.0)
        self.temp -= steam * pr.LATENT_J_PER_KG / self.heat_cool
        self.water -= steam / self.dry_mass
        gone = steam.sum(axis=(1, 2))
        self.evaporated += gone
        self.evaporation_rate += gone / AIR_CHANGE_S

    def _flow_of_water(self) -> Array:
        """Water into each cell [kg/s]: freed water seeps, held water diffuses far more slowly."""
        free = np.maximum(self.water - self.x_eq, 0.0)
        slow, fast = self.p["diffusion"][:, None, None], self.p["mobility"][:, None, None]
        drive = self.drive = fast * free + slow * self.water
        water = np.zeros_like(self.temp)
        flow = self.lay_r * (drive[:, 1:] - drive[:, :-1])
        water[:, :-1] += flow
        water[:, 1:] -= flow
        flow = self.lay_z * (drive[:, :, 1:] - drive[:, :, :-1])
        water[:, :, :-1] += flow
        water[:, :, 1:] -= flow
        return water

    def _cavity(self, air: Air) -> Array:
        """Heat into the wall of a hollow body [W]: moist still air, open to the cooker a little."""
        p, g = self.p, self.grid
        wall = self.temp[:, 0, :]
        mean = wall.mean(axis=1)
        inside = mean + p["cavity_open"] * (np.minimum(air.temp_c, 130.0) - mean)
        u = 1.0 / (1.0 / p["cavity_h"][:, None] + g.inner_half_m / self.cond[:, 0, :])
        return u * g.inner_area * (inside[:, None] - wall) * self.shrink[:, None] ** 2

    def _surface_step(self, dt: Array, air: Air) -> tuple[Array, Array]:
        """Heat into [W] and water out of [kg/s] the cells under each face."""
        p, g, n = self.p, self.grid, self.n
        cell = self.temp.reshape(n, -1)[:, g.face_cell]
        below = self.cond.reshape(n, -1)[:, g.face_cell]
        wet = np.clip(self.skin / (0.35 * self.x0[:, None]), 0.0, 1.0)
        dryness = (1.0 - wet) ** 2
        h = p["h_conv"][:, None] * self.h_shape * air.convection[:, None]
        leak = p["evaporation"][:, None] * self.e_shape * air.leak[:, None]
        gate = leak / (1.0 / (VAPOUR_PER_H * h) + CRUST_VAPOUR * dryness)
        inward = 1.0 / (g.face_half_m / self.shrink[:, None] / below + CRUST_HEAT * dryness)
        fade = np.exp(-AW_SLOPE * self.skin)
        ts = self.surface
        emit = SIGMA * p["emissivity"][:, None] * air.radiation[:, None]
        p_sat = pr.saturation_pa(ts)
        loss = gate * ((1.0 - fade) * p_sat - air.vapour_pa[:, None])
        kelvin = ts + 273.15
        wall = (air.wall_c[:, None] + 273.15) ** 4
        lift = h * (air.temp_c[:, None] - ts) + emit * (wall - kelvin**4)
        excess = lift - pr.LATENT_J_PER_KG * loss - inward * (ts - cell)
        slope = h + 4.0 * emit * kelvin**3 + inward
        slope += pr.LATENT_J_PER_KG * gate * (1.0 - fade) * pr.saturation_slope(ts, p_sat)
        ts += np.clip(excess / slope, -15.0, 15.0)
        np.clip(ts, -5.0, 160.0, out=ts)
        area = g.face_area * self.shrink[:, None] ** 2
        face_heat = inward * area * (ts - cell)
        return face_heat, self._skin_step(dt, gate, fade, wet, air, area)

    def _skin_step(
        self, dt: Array, gate: Array, fade: Array, wet: Array, air: Air, area: Array
    ) -> Array:
        """Water balance of the skin, implicit in it; returns the draw on the cells [kg/s]."""
        p, g, n = self.p, self.grid, self.n
        stock = self.dry_density[:, None] * p["skin_m"][:, None]
        below = self.drive.reshape(n, -1)[:, g.face_cell]
        path = g.face_half_m + 0.5 * p["skin_m"][:, None]
        way = self.dry_density[:, None] / path * ~self.face_bone * (0.1 + 0.9 * wet)
        slow, fast = p["diffusion"][:, None], p["mobility"][:, None]
        holding = self._holding(self.surface)
        free = self.skin - holding
        feed = way * (below - slow * self.skin - fast * np.maximum(free, 0.0))
        supply = way * (slow + fast * (free > 0.0))
        p_sat = pr.saturation_pa(self.surface)
        loss = gate * ((1.0 - fade) * p_sat - air.vapour_pa[:, None])
        damp = 1.0 + dt[:, None] / stock * (supply + gate * p_sat * AW_SLOPE * fade)
        change = dt[:, None] / stock * (feed - loss) / damp
        new = np.maximum(self.skin + change, 0.002)
        feed = feed - supply * (new - self.skin)
        spill = np.maximum(new - (holding + FILM), 0.0)
        lost = feed * dt[:, None] - (new - self.skin) * stock
        self.skin = new - spill
        wetted = area * ~self.face_bone
        self.evaporated += (lost * wetted).sum(axis=1)
        rate = (lost * wetted).sum(axis=1) / dt
        self.evaporation_rate += (rate - self.evaporation_rate) * -np.expm1(-dt / AIR_CHANGE_S)
        self.dripped += (spill * stock * wetted).sum(axis=1)
        return feed * wetted

    def weight_loss(self) -> Array:
        """Share of the raw boneless mass lost: water and rendered fat."""
        p = self.p
        dry = self.dry_mass.sum(axis=(1, 2))
        start = dry * (1.0 + self.x0)
        mean = (self.temp * self.dry_mass).sum(axis=(1, 2)) / dry
        fat = p["fat"] * p["fat_render"] / (1.0 + np.exp((72.0 - mean) / 6.0))
        return (self.evaporated + self.dripped) / start + fat

    def keep(self, rows: npt.NDArray[np.bool_]) -> None:
        """Drop the cooks that are over, so that the rest runs faster."""
        total = self.n
        self.p = {name: value[rows] for name, value in self.p.items()}
        for holder in (self, self.grid):
            names = list(getattr(holder, "__slots__", ())) or list(vars(holder))
            for name in names:
                value = getattr(holder, name)
                if (
                    isinstance(value, np.ndarray)
                    and value.ndim
                    and name != "face_cell"
                    and value.shape[0] == total
                ):
                    setattr(holder, name, value[rows])
        self.n = int(rows.sum())
