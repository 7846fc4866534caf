"""The readings of one probe as the inference sees them: slips set aside, crowds thinned.

A slip is recognised first by kinematics alone (no meat jumps like that and comes back), before any
model is asked; what the fitted model finds odd later is handled by the robust likelihood.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.answers import BoolArray, FloatArray
from core.cook import Cook
from core.slips import exchanged

READING_SD_C = 0.5
SIGHTINGS_MAX = 40
_SLACK_C = 4.0
_RATE_C_PER_S = 2.5 / 60.0  # faster than any roast's core but a thin fillet's


@dataclass(frozen=True, slots=True, eq=False)
class Sightings:
    """Believed readings of one probe.

    Attributes
    ----------
    times_s, temps_c : array, shape (n,)
    noise_c : array, shape (n,)
        Standard deviation of each, without the model's own error [°C].
    doubted : tuple of (elapsed_s, temp_c)
        Readings set aside.
    last_s : float or None
        Time of the last believed reading.
    first : (elapsed_s, temp_c) or None
        The first believed reading.
    """

    times_s: FloatArray
    temps_c: FloatArray
    noise_c: FloatArray
    doubted: tuple[tuple[float, float], ...]

    @property
    def last_s(self) -> float | None:
        """Time of the last believed reading [s], None if there is none."""
        return float(self.times_s[-1]) if self.times_s.size else None

    @property
    def first(self) -> tuple[float, float] | None:
        """The first believed reading (elapsed_s, temp_c), None if there is none."""
        if not self.times_s.size:
            return None
        return float(self.times_s[0]), float(self.temps_c[0])

    def without(self, doubted: BoolArray) -> Sightings:
        """The same without the readings that are flagged in `doubted`, shape (n,)."""
        more = tuple(
            (float(t), float(c))
            for t, c in zip(self.times_s[doubted], self.temps_c[doubted], strict=True)
        )
        keep = ~doubted
        return Sightings(
            self.times_s[keep], self.temps_c[keep], self.noise_c[keep], self.doubted + more
        )


def sightings(cook: Cook, probe: str) -> Sightings:
    """What `probe` showed, ready for the inference."""
    pairs = [(max(r.elapsed_s, 0.0), t) for r in cook.readings if (t := r.of(probe)) is not None]
    if not pairs:
        empty = np.empty(0)
        return Sightings(empty, empty, empty, ())
    times, temps = np.array(pairs, dtype=float).T
    crossed = {at for at, name in exchanged(cook) if name == probe}
    bad = np.array([r.elapsed_s in crossed for r in cook.readings if r.of(probe) is not None])
    bad = _impossible(times, temps, bad)
    doubted = tuple((float(t), float(c)) for t, c in zip(times[bad], temps[bad], strict=True))
    times, temps = times[~bad], temps[~bad]
    times, temps, counts = _thinned(times, temps)
    return Sightings(times, temps, READING_SD_C * np.sqrt(0.3 + 0.7 / counts), doubted)


def _impossible(times: FloatArray, temps: FloatArray, bad: BoolArray) -> BoolArray:
    """Readings that leave the path their neighbours agree on and come back; `bad` are known."""
    bad = bad | (temps < -40.0) | (temps > 150.0)
    alive = np.flatnonzero(~bad)
    if alive.size > 2 and _false_start(temps[alive[:3]]):
        bad[alive[0]] = True
    for _ in range(3):
        alive = np.flatnonzero(~bad)
        worst, worst_by = -1, 0.0
        for at in range(1, alive.size):
            before = alive[at - 1]
            here = alive[at]
            after = alive[at + 1] if at + 1 < alive.size else None
            by = _off_path(times, temps, before, here, after)
            if by > worst_by:
                worst, worst_by = int(here), by
        if worst < 0:
            break
        bad[worst] = True
    return bad


def _false_start(first_three_c: FloatArray) -> bool:
    """Whether the first reading is far above two that agree: meat does not start by cooling."""
    first, second, third = first_three_c
    return bool(first > max(second, third) + 12.0 and third > second - _SLACK_C)


def _off_path(
    times: FloatArray, temps: FloatArray, before: int, here: int, after: int | None
) -> float:
    """How far a reading is off what its neighbours allow [°C]; 0 if it may be true."""
    rise = temps[here] - temps[before]
    fastest = _RATE_C_PER_S * (times[here] - times[before])
    if after is None:
        return float(max(rise - fastest - 15.0, -rise - 12.0, 0.0))
    low, high = sorted((temps[before], temps[after]))
    if temps[after] < temps[before] - _SLACK_C:
        return 0.0  # the neighbours disagree themselves: one of them, or a move, is the odd one
    span = times[after] - times[before]
    share = (times[here] - times[before]) / span if span > 0 else 0.5
    straight = temps[before] + share * (temps[after] - temps[before])
    slack = _SLACK_C + 0.35 * (high - low)
    off = abs(temps[here] - straight) - slack
    outside = max(low - temps[here], temps[here] - high) - _SLACK_C
    return float(max(0.0, off, outside))


def _thinned(times: FloatArray, temps: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """At most SIGHTINGS_MAX sightings, dense early readings averaged; also their counts."""
    if times.size <= SIGHTINGS_MAX:
        return times, temps, np.ones_like(times)
    edges = np.linspace(0.0, times[-1] + 1e-6, SIGHTINGS_MAX + 1)
    where = np.digitize(times, edges)
    groups = [np.flatnonzero(where == i) for i in np.unique(where)]
    return (
        np.array([times[g].mean() for g in groups]),
        np.array([temps[g].mean() for g in groups]),
        np.array([float(g.size) for g in groups]),
    )
