"""What the first answer waits for: the targets, or the pulls that the rest carries up to them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.presenters.moment import Moment
from core.cook import Milestone

if TYPE_CHECKING:
    from core.answers import Arrival, Rest

LEAST_RISE_K = 0.5
"""A rest that adds less than this is no reason to pull early [K]."""


def goals(moment: Moment) -> tuple[Arrival, ...]:
    """The arrivals waited for, probe by probe."""
    targets = moment.arrivals(Milestone.TARGET)
    if not moment.early or moment.forecast is None:
        return targets
    return tuple(_early(moment, target) for target in targets)


def _early(moment: Moment, target: Arrival) -> Arrival:
    """The pull of one probe; its target where the rest adds next to nothing or is not known."""
    # here, so that a command that words nothing loads no numpy
    from core.lethality import trusted_readings
    from core.pulling import pull_arrival

    made = moment.forecast
    rest = rest_of(moment, target.probe)
    if made is None or rest is None or rest.pull_c is None or target.threshold_c is None:
        return target
    fan = made.fan(target.probe)
    if fan is None or target.threshold_c - rest.pull_c < LEAST_RISE_K:
        return target
    read = trusted_readings(moment.saved.cook, target.probe, made.suspects)
    return pull_arrival(fan, rest.pull_c, made.now_s, read)


def rest_of(moment: Moment, probe: str) -> Rest | None:
    """What the forecast says of one probe's rest."""
    if moment.forecast is None:
        return None
    return next((rest for rest in moment.forecast.rests if rest.probe == probe), None)


def is_early(moment: Moment, goal: Arrival) -> bool:
    """Whether that goal lies below its probe's target."""
    if not moment.early:
        return False
    target = next((p.target_c for p in moment.saved.cook.probes if p.name == goal.probe), None)
    return target is not None and goal.threshold_c is not None and goal.threshold_c < target


def pull_words(moment: Moment, goal: Arrival) -> str:
    """``pull at 71 °C: the rest carries it to 73 to 76 °C``."""
    rest = rest_of(moment, goal.probe)
    if rest is None or goal.threshold_c is None:
        return ""
    show = moment.display
    # the peaks are those of a pull at the target: so much lower
    below_k = rest.peak_c - _target_c(moment, goal.probe)
    peaks = show.temps(rest.peak_c_low - below_k, rest.peak_c_high - below_k)
    several = len(moment.saved.cook.probes) > 1
    who = f"{goal.probe} " if several else ""
    return f"pull {who}at {show.temp(goal.threshold_c)}: the rest carries it to {peaks}"


def _target_c(moment: Moment, probe: str) -> float:
    return moment.saved.cook.probe(probe).target_c
