"""The figures of one past cook: how long it took, how far off the forecast was, what held it back.

They take a second of the model's time, so whoever lists many cooks works them out once and keeps
them; nothing in them depends on a clock.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from core.answers import Arrival, Forecast, Holdback
from core.catalogue import cut_named
from core.compare import done_s
from core.cook import Cook
from core.forecast import forecast, hindcast
from core.pit_statistics import PitStatistics, heat_end_s, off_heat_s, pit_statistics
from core.prior import Prior

HALF = 0.5
REVISIONS_MAX = 60
"""Forecasts that a look back makes at the most: of more readings it takes every so many."""

REVISION_LEVELS = (0.10, 0.25, 0.50, 0.75, 0.90)


@dataclass(frozen=True, slots=True)
class Range:
    """10, 50 and 90 % quantiles of a finish, from meat-on [s]; None where it is never."""

    low_s: float | None
    middle_s: float | None
    high_s: float | None

    @classmethod
    def of(cls, arrival: Arrival) -> Range:
        """The range of an arrival."""
        low, middle, high = (arrival.quantile_s(level) for level in (0.1, 0.5, 0.9))
        return cls(low, middle, high)


@dataclass(frozen=True, slots=True)
class Figures:
    """What is worth knowing of one past cook at a glance. Times are seconds from meat-on.

    Attributes
    ----------
    took_s : float or None
        When the meat left the heat, or was done if that was not logged; None if neither is known.
    finish_s : float or None
        When the last probe showed its target; None if it never did.
    planned_s : float or None
        When it was to leave the heat: the meal less the rest; None without a meal.
    expected : Range or None
        The forecast at meat-on, from the plan alone.
    half_s : float or None
        Half of the real time to the finish.
    half : Range or None
        The forecast that was made then.
    pit : PitStatistics
    holdback : Holdback or None
        What held the finish back against this cut's usual cook on the planned pit.
    """

    took_s: float | None
    finish_s: float | None
    planned_s: float | None
    expected: Range | None
    half_s: float | None
    half: Range | None
    pit: PitStatistics
    holdback: Holdback | None

    @property
    def half_miss_s(self) -> float | None:
        """Forecast at half time less the truth [s]: positive said too late."""
        if self.half is None or self.half.middle_s is None or self.finish_s is None:
            return None
        return self.half.middle_s - self.finish_s

    @property
    def late_s(self) -> float | None:
        """Left the heat so much later than planned [s]."""
        if self.took_s is None or self.planned_s is None:
            return None
        return self.took_s - self.planned_s


def planned_off_s(cook: Cook) -> float | None:
    """When the meat was to leave the heat [s from meat-on]: the meal less the rest."""
    plan = cook.plan
    if plan.serve_s is None:
        return None
    rest_s = plan.rest_s if plan.rest_s is not None else cut_named(plan.cut).rest_s
    return plan.serve_s - rest_s


def finish_s(cook: Cook) -> float | None:
    """When the last probe showed its target, by the believed readings; None if one never did."""
    found = [done_s(cook, probe) for probe in cook.probes]
    done = [at for at in found if at is not None]
    return max(done) if done and len(done) == len(found) else None


def figures(
    cook: Cook, *, prior: Prior | None = None, cancelled: Callable[[], bool] = lambda: False
) -> Figures:
    """Work out the figures of a cook that is over.

    Parameters
    ----------
    cook : Cook
    prior : Prior, optional
        What was believed when its meat went on; the book's for the cut if not given.
    cancelled : callable

    Raises
    ------
    ForecastCancelled, ForecastFailed, UnknownCut, InvalidValue
    """
    finish, off = finish_s(cook), off_heat_s(cook)
    took = off if off is not None else finish
    expected = half = holdback = None
    half_s = None if finish is None else HALF * finish
    if cook.probes:
        made = hindcast(
            cook, at_s=(0.0,) if half_s is None else (0.0, half_s), prior=prior, cancelled=cancelled
        )
        expected = Range.of(made[0].finish)
        half = None if half_s is None else Range.of(made[1].finish)
        if cook.readings:
            end = forecast(cook, heat_end_s(cook), prior=prior, cancelled=cancelled)
            holdback = _holdback(end)
    return Figures(
        took, finish, planned_off_s(cook), expected, half_s, half, pit_statistics(cook), holdback
    )


def _holdback(made: Forecast) -> Holdback | None:
    """That of the probe that was last."""
    last = made.finish.probe
    return next((held for held in made.holdbacks if held.probe == last), None)


@dataclass(frozen=True, slots=True)
class Revision:
    """Where the finish was seen at one time of the cook [s from meat-on].

    ``quantiles_s`` are at ``REVISION_LEVELS``; None where it was seen never to come.
    """

    at_s: float
    quantiles_s: tuple[float | None, ...]


def revisions(
    cook: Cook, *, prior: Prior | None = None, cancelled: Callable[[], bool] = lambda: False
) -> tuple[Revision, ...]:
    """How the forecast of the finish moved: from the plan alone, then at each reading.

    Only what was known at each time is used; it ends where the last probe was at its target, or
    the meat left the heat.
    """
    if not cook.probes:
        return ()
    done = finish_s(cook)
    end = done if done is not None else heat_end_s(cook)
    times = [0.0, *sorted({r.elapsed_s for r in cook.readings if 0.0 < r.elapsed_s < end})]
    step = -(-len(times) // REVISIONS_MAX)
    made = hindcast(cook, at_s=tuple(times[::step]), prior=prior, cancelled=cancelled)
    return tuple(
        Revision(one.now_s, tuple(one.finish.quantile_s(level) for level in REVISION_LEVELS))
        for one in made
    )
