"""Why one cook took longer than another: the model swaps one input at a time.

Each cook is fitted to its own readings. Then the fitted model runs it again with one input taken
from the other cook (its weight, its pit, its lids, ...), and the finish moves by so much. Every
input is swapped from both sides, into the first cook and out of the second, and the two answers are
averaged, so that neither cook is the measure of the other. What the single swaps do not add up to
is named as what several do together, and what the model gets wrong about the two cooks is named as
not explained: nothing is spread over the rest.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from core.answers import BoolArray, FloatArray
from core.body import Happened, run_past
from core.cook import Cook, Plan, Probe
from core.errors import CoreError
from core.fire import FirePath, fire_path
from core.forecast import grid_of, happened_of, step_and_error
from core.outlook import first_passage
from core.pit_statistics import off_heat_s
from core.posterior import Setting, infer
from core.prior import UNKNOWNS, Prior, Start, bodies_of, book_prior, pit_unknowns, start_of
from core.sightings import sightings

FEWEST_READINGS = 4
"""Readings of one probe below which a cook says too little of itself to be compared."""

MEMBERS = 48
_TOUCH_C = 0.05  # a reading this close below its target has reached it
_LATER = 1.7
"""How far beyond the later finish the swapped cooks are followed."""

_HORIZON_S = 12 * 3600.0
_STEPS = 240
_FEWEST_SHARE = 0.5
_BOUND_SHARE = 0.1


class NotComparable(CoreError):
    """A cook that says too little of itself to be set beside another."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class Input(StrEnum):
    """What can differ between two cooks, as far as the model knows."""

    PIECE = "cut and weight"
    START = "start"
    TARGET = "target"
    PIT = "pit"
    LIDS = "lids"
    WRAP = "wrap"
    WET = "glaze and spritz"
    STALL = "stall"
    """Moisture at the surface: how strong and how long its evaporation cools."""
    BUILD = "build"
    """What the weight does not tell: thickness, shape, place of the probe, gauge against grate."""


_COLUMNS = {Input.STALL: (2, 3), Input.BUILD: (0, 1, 4, 5, 6)}
_START_COLUMN, _LEAK_COLUMN = len(UNKNOWNS), len(UNKNOWNS) + 1


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """One past cook, fitted: what the swaps take from it.

    Attributes
    ----------
    plan : Plan
    probe : Probe
        The one that was last to its target.
    finish_s : float
        When it was done, from its readings [s from meat-on].
    departure : array, shape (MEMBERS, 7)
        Unknowns against the prior's mean.
    extra : array, shape (MEMBERS, k)
        The other standard normals: start, leak of a wrap, the fire's past.
    """

    plan: Plan
    probe: Probe
    finish_s: float
    start: Start
    prior: Prior
    fire: FirePath
    happened: Happened
    departure: FloatArray
    extra: FloatArray


@dataclass(frozen=True, slots=True)
class Effect:
    """What one input did to the second cook's finish against the first's [s]; later is positive.

    ``low_s`` and ``high_s`` are the 10 and 90 % quantiles over what the readings leave open.
    ``bound`` is set where a swapped cook was not done when the model stopped following it: the
    effect is then larger than is said here.
    """

    input: Input
    mean_s: float
    low_s: float
    high_s: float
    bound: bool = False


@dataclass(frozen=True, slots=True)
class Difference:
    """Why the second of two cooks was done later than the first; all in seconds, later positive.

    Attributes
    ----------
    real_s : float
        Difference of the real times from meat-on to done.
    effects : tuple of Effect
        Largest first.
    together_s : float
        What several inputs do together beyond the sum of the single ones.
    unexplained_s : float
        Real difference less the model's.
    """

    real_s: float
    effects: tuple[Effect, ...]
    together_s: float
    unexplained_s: float

    def effect(self, which: Input) -> Effect:
        """The effect of one input."""
        return next(effect for effect in self.effects if effect.input is which)


def fit_past(
    cook: Cook, prior: Prior | None = None, cancelled: Callable[[], bool] = lambda: False
) -> Fitted:
    """Fit a past cook to its own readings up to where the meat left the heat.

    Raises
    ------
    NotComparable
        It has no probe, too few readings, or was never seen done nor pulled.
    InvalidValue, UnknownCut, ForecastFailed, ForecastCancelled
    """
    if not cook.probes:
        raise NotComparable("it had no probe in the meat")
    off = off_heat_s(cook)
    known = cook if off is None else cook.known_at(off)
    probe, finish = _last_done(known, off)
    seen = sightings(known, probe.name)
    if seen.times_s.size < FEWEST_READINGS:
        raise NotComparable(
            f"it has {seen.times_s.size} readings of one probe, {FEWEST_READINGS} are needed"
        )
    end_s = float(seen.times_s[-1])
    step_s, error = step_and_error(known)
    believed = prior if prior is not None else book_prior(cook.plan.cut)
    fire = fire_path(known, end_s, _HORIZON_S)
    start, happened = start_of(probe, seen.first), replace(happened_of(known), pulled_s=None)
    grid = grid_of(end_s, step_s)
    posterior = infer(
        Setting(known.plan, start, believed, fire, happened, grid), seen, error, cancelled
    )
    rows = np.linspace(0, posterior.z.shape[0] - 1, MEMBERS).astype(int)
    z = posterior.z[rows]
    departure = z[:, : len(UNKNOWNS)] @ believed.root.T
    return Fitted(
        known.plan, probe, finish, start, believed, fire, happened, departure,
        z[:, len(UNKNOWNS) :],
    )  # fmt: skip


def done_s(cook: Cook, probe: Probe) -> float | None:
    """When the believed readings of a probe passed its target [s from meat-on], None if never."""
    seen = sightings(cook, probe.name)
    above = np.flatnonzero(seen.temps_c >= probe.target_c - _TOUCH_C)
    if not above.size:
        return None
    i = int(above[0])
    if i == 0:
        return float(seen.times_s[0])
    # one that only touches it was there when it was read, not before
    aim = min(probe.target_c, float(seen.temps_c[i]))
    rise = float(seen.temps_c[i] - seen.temps_c[i - 1])
    share = (aim - float(seen.temps_c[i - 1])) / rise if rise > 0.0 else 1.0
    return float(seen.times_s[i - 1] + share * (seen.times_s[i] - seen.times_s[i - 1]))


def _last_done(cook: Cook, off_s: float | None) -> tuple[Probe, float]:
    """The probe that was last at its target, and when; the pull where none was seen there."""
    found = [(done, probe) for probe in cook.probes if (done := done_s(cook, probe)) is not None]
    if len(found) == len(cook.probes):
        done, probe = max(found, key=lambda pair: pair[0])
        return probe, done
    if off_s is None:
        raise NotComparable("it never showed its target, and no pull was logged")
    missing = next(p for p in cook.probes if all(p is not probe for _, probe in found))
    return _pulled_at(cook, missing), off_s


def _pulled_at(cook: Cook, probe: Probe) -> Probe:
    """The probe with the temperature it was pulled at for its target."""
    seen = sightings(cook, probe.name)
    if not seen.times_s.size:
        return probe
    return replace(probe, target_c=min(float(seen.temps_c[-1]), probe.target_c))


def difference(
    first: Fitted, second: Fitted, cancelled: Callable[[], bool] = lambda: False
) -> Difference | None:
    """Why `second` was done later (or sooner) than `first`.

    Returns
    -------
    Difference or None
        None if the model says of one of the two as they were that it never gets done.
    """
    grid = _grid(first, second)
    sides = ((first, second), (second, first))
    whole = [_finish(one, one, None, grid, cancelled) for one, _ in sides]
    keep: BoolArray = np.isfinite(whole[0]) & np.isfinite(whole[1])
    if keep.mean() < _FEWEST_SHARE:
        return None
    at_first, at_second = (side[keep] for side in whole)
    effects = []
    for which in Input:
        if not _differs(first, second, which):
            effects.append(Effect(which, 0.0, 0.0, 0.0))
            continue
        into, out_of = (_finish(a, b, which, grid, cancelled)[keep] for a, b in sides)
        effects.append(_effect(which, at_first, into, out_of, at_second, float(grid[-1])))
    modelled = float((at_second - at_first).mean())
    real = second.finish_s - first.finish_s
    ranked = tuple(sorted(effects, key=lambda effect: -abs(effect.mean_s)))
    together = modelled - sum(effect.mean_s for effect in effects)
    return Difference(real, ranked, together, real - modelled)


def _effect(
    which: Input,
    at_first: FloatArray,
    into: FloatArray,
    out_of: FloatArray,
    at_second: FloatArray,
    end_s: float,
) -> Effect:
    """Mean of both swaps; members that are not done by `end_s` count as done then."""
    unfinished = ~(np.isfinite(into) & np.isfinite(out_of))
    moved = 0.5 * ((np.minimum(into, end_s) - at_first) + (at_second - np.minimum(out_of, end_s)))
    low, high = np.quantile(moved, (0.1, 0.9))
    bound = bool(unfinished.mean() > _BOUND_SHARE)
    return Effect(which, float(moved.mean()), float(low), float(high), bound)


def _grid(first: Fitted, second: Fitted) -> FloatArray:
    end = _LATER * max(first.finish_s, second.finish_s)
    return np.linspace(0.0, end, _STEPS + 1)


def _differs(first: Fitted, second: Fitted, which: Input) -> bool:
    """Whether a swap can do anything: what is the same in both costs no run of the model."""
    if which is Input.LIDS:
        return first.fire.lid_s != second.fire.lid_s
    if which is Input.WRAP:
        return bool(first.happened.wraps or second.happened.wraps)
    if which is Input.WET:
        return first.happened.spritzes != second.happened.spritzes
    if which is Input.TARGET:
        return first.probe.target_c != second.probe.target_c
    return True


def _finish(
    one: Fitted,
    other: Fitted,
    swapped: Input | None,
    grid: FloatArray,
    cancelled: Callable[[], bool],
) -> FloatArray:
    """Finish of the members of `one` with the `swapped` input of `other`, shape (MEMBERS,)."""

    def of(which: Input) -> Fitted:
        return other if which is swapped else one

    piece, pit = of(Input.PIECE), of(Input.PIT)
    bodies = bodies_of(piece.plan, of(Input.START).start, piece.prior, _normals_of(of))
    fire = replace(pit.fire, lid_s=of(Input.LIDS).fire.lid_s)
    middles = 0.5 * (grid[1:] + grid[:-1])
    grate = fire.at(middles, pit_unknowns(pit.extra)) + bodies.offset_c
    happened = Happened(of(Input.WRAP).happened.wraps, of(Input.WET).happened.spritzes)
    probe_c, _ = run_past(bodies, grid, grate, happened, cancelled)
    return first_passage(grid, probe_c, of(Input.TARGET).probe.target_c)


def _normals_of(of: Callable[[Input], Fitted]) -> FloatArray:
    """Standard normals that stand for the chosen unknowns under the chosen piece's prior."""
    departure = of(Input.BUILD).departure.copy()
    columns = list(_COLUMNS[Input.STALL])
    departure[:, columns] = of(Input.STALL).departure[:, columns]
    normals = np.linalg.solve(of(Input.PIECE).prior.root, departure.T).T
    extra = of(Input.PIT).extra.copy()
    offset = len(UNKNOWNS)
    extra[:, _START_COLUMN - offset] = of(Input.START).extra[:, _START_COLUMN - offset]
    extra[:, _LEAK_COLUMN - offset] = of(Input.WRAP).extra[:, _LEAK_COLUMN - offset]
    out: FloatArray = np.hstack([normals, extra])
    return out
