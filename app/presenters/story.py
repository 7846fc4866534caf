"""The story under the answers: what is not believed, what holds the finish back, what is old."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import span
from app.presenters.moment import Moment
from app.presenters.words import sentence

if TYPE_CHECKING:
    from core.answers import Holdback, Suspect

MOST_SUSPECTS = 2
AHEAD_S = 2 * 60.0
"""A line so far ahead of the clock is worth a word [s]."""
SMALL_S = 10 * 60.0
"""A smaller push is not worth a word [s]."""
LARGE_S = 3 * 3600.0
"""A larger push is not known that well [s]."""


def present_story(moment: Moment, stale_reason: str | None = None) -> str:
    """Zero or more sentences."""
    forecast = moment.forecast
    parts = [clock_words(moment)]
    if stale_reason:
        made = "" if forecast is None else f" from {moment.clock(forecast.now_s)}"
        parts.append(f"old forecast{made}: {stale_reason}")
    if forecast is not None:
        parts += [suspect_words(s, moment) for s in forecast.suspects[-MOST_SUSPECTS:]]
        parts += [words for h in forecast.holdbacks if (words := holdback_words(h, moment))]
    return " ".join(sentence(part) for part in parts if part)


def clock_words(moment: Moment) -> str:
    """That the clock stands before the newest line; empty while it does not.

    A cook's own clock never runs back, so one of the two is wrong, and until that is mended the
    forecast cannot use the line.
    """
    last = max((line.at for line in moment.saved.lines if line.live), default=None)
    if last is None or moment.saved.ended_at is not None:
        return ""
    ahead_s = (last - moment.now).total_seconds()
    if ahead_s < AHEAD_S:
        return ""
    return (
        f"the clock shows {moment.display.clock(moment.now, last)}, {span(ahead_s)} before the "
        f"newest line ({moment.display.clock(last, moment.now)}); was it set back? Set it right, "
        "or correct the time of that line: the forecast leaves out what has not come yet"
    )


def suspect_words(suspect: Suspect, moment: Moment) -> str:
    """``not believed: breast 32 °F at 14:20, expected about 131 °F``."""
    show = moment.display
    return (
        f"not believed: {suspect.probe} {show.reading(suspect.found_c)} at "
        f"{moment.clock(suspect.elapsed_s)}, expected about {show.temp(suspect.expected_c)}"
    )


def holdback_words(holdback: Holdback, moment: Moment) -> str:
    """What makes this cook later or sooner than usual; empty if nothing much does."""
    pushes = (
        (holdback.fire_s, "a fire below plan", "a fire above plan"),
        (holdback.evaporation_s, "a long stall", "a short stall"),
        (holdback.size_s, "a piece thicker than its weight says", "a thinner piece"),
    )
    later = [f"{slow} ({_push(s)})" for s, slow, _ in pushes if s >= SMALL_S]
    sooner = [f"{fast} ({_push(s)})" for s, _, fast in pushes if s <= -SMALL_S]
    parts = []
    if later:
        parts.append(f"later than usual: {', '.join(later)}")
    if sooner:
        parts.append(f"sooner than usual: {', '.join(sooner)}")
    several = len(moment.saved.cook.probes) > 1
    who = f"{holdback.probe}: " if several and parts else ""
    return who + "; ".join(parts)


def _push(seconds: float) -> str:
    if abs(seconds) >= LARGE_S:
        return f"over {span(LARGE_S)}"
    return span(round(seconds / 300.0) * 300.0)
