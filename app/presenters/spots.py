"""What a check of several spots says: the lowest counts, and what is missing is said."""

from __future__ import annotations

from dataclasses import dataclass

from app.display import one_line, span
from app.presenters.moment import Moment
from core.spots import ENOUGH, Finding, finding, last_check

OLD_S = 45 * 60.0
"""A check this old that found too little says nothing about now [s]."""

LEAST_RATE_K_S = 0.2 / 60.0 / 10.0
"""Slower than 0.2 K in ten minutes: how long it takes cannot be said [K/s]."""

BIRDS = ("whole_chicken", "whole_turkey", "duck", "goose")
EVERYWHERE = "in the thickest places, clear of bone"


@dataclass(frozen=True, slots=True)
class SpotWords:
    """A check in words: the headline, the lowest spot and the spread, and what to do."""

    said: str
    lowest: str
    advice: str
    found: Finding


def where_to_check(moment: Moment) -> str:
    """Where the spots are to be: for a whole bird as FSIS names them."""
    if moment.saved.cook.plan.cut in BIRDS:
        return "innermost thigh and wing, thickest breast (FSIS)"
    return EVERYWHERE


def spot_words(moment: Moment) -> SpotWords | None:
    """The last check; None if there is none that still says something."""
    check = last_check(moment.saved.cook, moment.now_s)
    if check is None:
        return None
    found = finding(check, moment.saved.cook.probes)
    if found.short and moment.now_s - check.elapsed_s > OLD_S and moment.pulled_s is None:
        return None
    show = moment.display
    lowest = check.lowest
    named = "" if len(check.spots) == 1 else f", spread {show.delta(check.spread_c)}"
    words = f"lowest {one_line(lowest.place)} {show.reading(lowest.temp_c)}{named}"
    words += f", checked {moment.clock(check.elapsed_s)}"
    return SpotWords(_said(moment, found), words, _advice(moment, found), found)


def _said(moment: Moment, found: Finding) -> str:
    if found.short:
        spot, below_k = found.short[0]
        others = len(found.short) - 1
        more = f" and {others} more" if others else ""
        return f"not yet: {one_line(spot.place)} {moment.display.delta(below_k)} below target{more}"
    if found.missing:
        return f"{found.check.counted} at target, {found.missing} more to check"
    return f"lowest of {found.check.counted} at target"


def _advice(moment: Moment, found: Finding) -> str:
    if found.short:
        more_s = _more_s(moment, found)
        if more_s is None:
            return "check again later"
        return f"about {span(more_s)} more at this rate, then check again"
    if found.missing:
        return f"check {ENOUGH}: {where_to_check(moment)}"
    return "pull and type: pull" if moment.pulled_s is None else ""


def _more_s(moment: Moment, found: Finding) -> float | None:
    """How long the lowest spot still takes, rising as the forecast rises [s]."""
    if moment.forecast is None or moment.pulled_s is not None:
        return None
    fans = [fan for fan in moment.forecast.fans if fan.name != "pit"]
    rises = [fan.at(moment.now_s + 600.0)[3] - fan.at(moment.now_s)[3] for fan in fans]
    rate = min(rises, default=0.0) / 600.0
    if rate < LEAST_RATE_K_S:
        return None
    since_s = moment.now_s - found.check.elapsed_s
    left_s = found.short[0][1] / rate - since_s
    return max(round(left_s / 300.0) * 300.0, 300.0)
