"""What a forecast answers with: arrivals, fans, the fire's outlook and the next look.

Every uncertain quantity is carried as equally likely draws, so that any quantile, interval or
chance can be read off consistently and quantiles can never cross.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from core.cook import Milestone

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]
IndexArray = npt.NDArray[np.intp]

LEVELS = (0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95)
"""Quantile levels that every fan and every printed forecast carries."""


def _frozen(values: FloatArray) -> FloatArray:
    out = np.array(values, dtype=np.float64)
    out.setflags(write=False)
    return out


@dataclass(frozen=True, slots=True, eq=False)
class Arrival:
    """When one probe passes one milestone.

    Attributes
    ----------
    probe : str
    milestone : Milestone
    threshold_c : float or None
        Temperature waited for [°C]; None for the carryover peak.
    draws_s : array, shape (n,)
        Sorted, equally likely times from meat-on [s]; ``inf`` where it is never reached.
    reached_s : float or None
        Set when the readings say that it is behind us [s]; the draws then all equal it.
    """

    probe: str
    milestone: Milestone
    threshold_c: float | None
    draws_s: FloatArray
    reached_s: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "draws_s", _frozen(np.sort(self.draws_s)))

    def quantile_s(self, level: float) -> float | None:
        """Time from meat-on [s] by which it is reached with chance `level`; None if never."""
        n = self.draws_s.size
        position = level * n - 0.5
        low = int(np.clip(np.floor(position), 0, n - 1))
        high = min(low + 1, n - 1)
        first, second = float(self.draws_s[low]), float(self.draws_s[high])
        if not np.isfinite(first):
            return None
        share = min(max(position - low, 0.0), 1.0)
        if share == 0.0:
            return first
        if not np.isfinite(second):
            return None
        return first + share * (second - first)

    @property
    def probability_never(self) -> float:
        """Chance of never getting there with the fire as it is held."""
        return float(np.mean(~np.isfinite(self.draws_s)))

    def chance_by(self, elapsed_s: float) -> float:
        """Chance of having got there by `elapsed_s`."""
        return float(np.mean(self.draws_s <= elapsed_s))


@dataclass(frozen=True, slots=True, eq=False)
class Fan:
    """Quantiles of a temperature over time.

    Attributes
    ----------
    name : str
        Probe name, or ``pit``.
    elapsed_s : array, shape (m,)
        Increasing times from meat-on [s]. Starts at meat-on: the part before the last reading is
        the fitted past, the part after it the outlook.
    temp_c : array, shape (7, m)
        Temperature [°C] at the quantile levels of ``LEVELS``.
    """

    name: str
    elapsed_s: FloatArray
    temp_c: FloatArray

    def __post_init__(self) -> None:
        object.__setattr__(self, "elapsed_s", _frozen(self.elapsed_s))
        object.__setattr__(self, "temp_c", _frozen(self.temp_c))

    def at(self, elapsed_s: float) -> tuple[float, ...]:
        """Temperatures [°C] at the levels of ``LEVELS`` at one time (ends held)."""
        return tuple(float(np.interp(elapsed_s, self.elapsed_s, row)) for row in self.temp_c)


@dataclass(frozen=True, slots=True)
class Rest:
    """Carryover of one probe after the meat leaves the heat.

    Attributes
    ----------
    probe : str
    peak_c_low, peak_c, peak_c_high : float
        10, 50 and 90 % quantiles of the peak [°C].
    pull_c : float or None
        Temperature to pull at so that the median peak is the target [°C]; None once pulled.
    """

    probe: str
    peak_c_low: float
    peak_c: float
    peak_c_high: float
    pull_c: float | None


@dataclass(frozen=True, slots=True)
class FireOutlook:
    """The fire as the pit readings tell it.

    Attributes
    ----------
    pit_c : float
        Present pit temperature as the gauge would show it [°C]: median of the fire model.
    pit_c_low, pit_c_high : float
        Its 10 and 90 % quantiles [°C].
    slope_c_per_s : float
        Present trend [°C/s].
    band_low_c, band_high_c : float
        The band to hold [°C].
    in_band_chance : float
        Chance that it is inside the band now.
    leaves_band_s : float or None
        Median time from meat-on at which it leaves the band if nothing is done; None if it stays
        inside for the hours ahead, or is outside already.
    last_pit_reading_s : float or None
    """

    pit_c: float
    pit_c_low: float
    pit_c_high: float
    slope_c_per_s: float
    band_low_c: float
    band_high_c: float
    in_band_chance: float
    leaves_band_s: float | None
    last_pit_reading_s: float | None


@dataclass(frozen=True, slots=True)
class NextLook:
    """Latest time by which the next reading should be taken.

    ``reason`` is ``glaze``, ``wrap``, ``target`` or ``rested`` (the milestone that would else be
    passed unseen with more than a tenth chance), ``fire`` (the pit wants watching first) or
    ``first`` (no reading yet).
    """

    elapsed_s: float
    reason: str
    probe: str | None = None


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that the forecast does not believe, and what it expected there [°C]."""

    elapsed_s: float
    probe: str
    found_c: float
    expected_c: float


@dataclass(frozen=True, slots=True)
class Holdback:
    """What holds the finish back, in seconds against this cut's usual cook on the planned pit.

    Positive is later. ``fire_s``: the pit was or is colder than planned; ``evaporation_s``: a
    wetter, longer stall than usual; ``size_s``: the piece behaves thicker than its weight says.
    """

    probe: str
    fire_s: float
    evaporation_s: float
    size_s: float


@dataclass(frozen=True, slots=True, eq=False)
class Forecast:
    """All answers of one forecast, made at `now_s` from what was known then.

    ``arrivals`` holds one entry for each probe and milestone that the plan asks for, those
    already reached included (``reached_s`` set). ``fans`` holds one fan a probe and one for
    ``pit``. ``readings_used`` counts believed meat readings.
    """

    now_s: float
    arrivals: tuple[Arrival, ...]
    fans: tuple[Fan, ...]
    fire: FireOutlook
    next_look: NextLook | None
    rests: tuple[Rest, ...] = ()
    suspects: tuple[Suspect, ...] = ()
    holdbacks: tuple[Holdback, ...] = ()
    readings_used: int = 0

    def arrival(self, probe: str, milestone: Milestone) -> Arrival | None:
        """The arrival of one probe at one milestone, None if the plan does not ask for it."""
        for arrival in self.arrivals:
            if arrival.probe == probe and arrival.milestone is milestone:
                return arrival
        return None

    def fan(self, name: str) -> Fan | None:
        """The fan of that probe or ``pit``, None if there is none."""
        return next((fan for fan in self.fans if fan.name == name), None)

    @property
    def finish(self) -> Arrival:
        """Arrival of the whole cook at its targets: draw by draw, the last of the probes."""
        targets = [a for a in self.arrivals if a.milestone is Milestone.TARGET]
        if len(targets) == 1:
            return targets[0]
        rng = np.random.default_rng(len(targets))
        shuffled = [rng.permutation(a.draws_s) for a in targets]
        last = max(targets, key=lambda a: float(np.median(a.draws_s)))
        reached = [a.reached_s for a in targets if a.reached_s is not None]
        return Arrival(
            probe=last.probe,
            milestone=Milestone.TARGET,
            threshold_c=last.threshold_c,
            draws_s=np.max(shuffled, axis=0),
            reached_s=max(reached) if len(reached) == len(targets) else None,
        )
