"""How the fire was held over a whole cook: mean, spread, time in the band, the worst, the lids.

The arithmetic is that of :mod:`core.fire_log`, taken from meat-on until the meat left the heat.
"""

from __future__ import annotations

from dataclasses import dataclass

from core.cook import Cook, EventKind
from core.fire_log import band_time, lid_loss, pit_points


@dataclass(frozen=True, slots=True)
class PitStatistics:
    """The pit of one cook, from meat-on until the meat left the heat.

    Attributes
    ----------
    plan_c : float
        Pit that was planned [°C].
    low_c, high_c : float
        Band to hold it in [°C].
    readings : int
        Believed pit readings behind all this.
    mean_c, spread_c : float or None
        Mean and standard deviation over the counted time [°C]; None below two readings.
    in_band, below, above : float or None
        Shares of the counted time inside, under and over the band, 0 to 1.
    unread_s : float
        Time between readings too far apart to count [s].
    worst_c, worst_s : float or None
        Reading furthest outside the band [°C], and when [s from meat-on]; None if all lay inside.
    openings : int
        Lid openings that were logged.
    lid_lost_s : float
        Estimated time they cost [s].
    """

    plan_c: float
    low_c: float
    high_c: float
    readings: int
    mean_c: float | None
    spread_c: float | None
    in_band: float | None
    below: float | None
    above: float | None
    unread_s: float
    worst_c: float | None
    worst_s: float | None
    openings: int
    lid_lost_s: float

    @property
    def worst_beyond_c(self) -> float | None:
        """How far the worst reading lay outside the band [K]; below it is negative."""
        if self.worst_c is None:
            return None
        return self.worst_c - (self.high_c if self.worst_c > self.high_c else self.low_c)


def off_heat_s(cook: Cook) -> float | None:
    """When the meat left the heat [s from meat-on]: pulled, else served; None if not logged."""
    for kind in (EventKind.PULLED, EventKind.SERVED):
        event = cook.first_event(kind)
        if event is not None:
            return event.elapsed_s
    return None


def heat_end_s(cook: Cook) -> float:
    """When the meat left the heat, or the last reading if that was not logged [s]."""
    off = off_heat_s(cook)
    last = cook.readings[-1].elapsed_s if cook.readings else 0.0
    return max(last if off is None else off, 0.0)


def pit_statistics(cook: Cook) -> PitStatistics:
    """How the pit was held from meat-on until the meat left the heat."""
    end_s = heat_end_s(cook)
    band = band_time(cook, end_s)
    counted = band.inside_s + band.below_s + band.above_s
    loss = lid_loss(cook, end_s)
    return PitStatistics(
        plan_c=cook.plan.pit_c,
        low_c=band.low_c,
        high_c=band.high_c,
        readings=len(pit_points(cook, end_s)),
        mean_c=band.mean_c,
        spread_c=band.spread_c,
        in_band=band.share,
        below=band.below_s / counted if counted > 0.0 else None,
        above=band.above_s / counted if counted > 0.0 else None,
        unread_s=band.unread_s,
        worst_c=band.worst_c,
        worst_s=band.worst_s,
        openings=loss.openings,
        lid_lost_s=loss.lost_s,
    )
