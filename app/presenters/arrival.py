"""When something is reached, in words: clock, time to go and range, no finer than is known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from app.display import NO_CLOCK, honest_step_s, rounded, span
from app.presenters.moment import Moment
from app.presenters.views import Mark
from app.presenters.words import EIGHT_IN_TEN, in_ten, join_words, never_words

if TYPE_CHECKING:
    from core.answers import Arrival

SOON_S = 20 * 60.0
"""From here on an arrival is marked as near [s]."""


@dataclass(frozen=True, slots=True)
class ArrivalWords:
    """One arrival, worded: the parts of an answer that all arrivals share."""

    clock: str
    to_go: str
    range: str
    mark: Mark


def word_arrival(arrival: Arrival, moment: Moment) -> ArrivalWords:
    """The words for one arrival, whatever its state."""
    if arrival.reached_s is not None:
        ago = span(moment.now_s - arrival.reached_s)
        return ArrivalWords(moment.clock(arrival.reached_s), f"reached {ago} ago", "", Mark.NOW)
    median_s = arrival.quantile_s(0.50)
    if median_s is None:
        return _word_never(arrival, moment)
    low_s, high_s = arrival.quantile_s(0.10), arrival.quantile_s(0.90)
    return _word_expected(arrival, moment, low_s or 0.0, median_s, high_s)


def _word_never(arrival: Arrival, moment: Moment) -> ArrivalWords:
    early_s = arrival.quantile_s(0.10)
    first = "" if early_s is None else f"at the earliest {_rounded_clock(moment, early_s, 900.0)}"
    chance = f"{in_ten(arrival.probability_never)} never get there"
    return ArrivalWords(NO_CLOCK, "not at this fire", join_words(chance, first), Mark.LATE)


def _word_expected(
    arrival: Arrival, moment: Moment, low_s: float, median_s: float, high_s: float | None
) -> ArrivalWords:
    now_s = moment.now_s
    last_s = high_s if high_s is not None else median_s + 2.0 * (median_s - low_s)
    step_s = honest_step_s(last_s - low_s)
    clock = _rounded_clock(moment, median_s, step_s)
    if median_s <= now_s:
        ago_s = now_s - median_s
        to_go = "about now" if ago_s < 120.0 else f"probably passed {span(ago_s)} ago"
        mark = Mark.NOW if ago_s < 600.0 else Mark.LATE
    else:
        to_go = _to_go(moment, median_s, step_s)
        mark = Mark.SOON if median_s - now_s <= SOON_S else Mark.FINE
    # ahead of the middle only what is still to come; once it has passed, all of the range around it
    first_s = max(low_s, now_s) if median_s > now_s else low_s
    words = _range_words(arrival, moment, first_s, high_s, step_s)
    return ArrivalWords(clock, to_go, words, mark)


def _to_go(moment: Moment, at_s: float, step_s: float) -> str:
    # From the rounded clock time, so that the two agree; then rounded as coarsely.
    left_s = (_round(moment, at_s, step_s) - moment.now).total_seconds()
    left_s = round(left_s / step_s) * step_s
    return f"in {span(left_s)}" if left_s >= 60.0 else "about now"


def _range_words(
    arrival: Arrival, moment: Moment, low_s: float, high_s: float | None, step_s: float
) -> str:
    if high_s is None:
        from_then_on = f"{_rounded_clock(moment, low_s, step_s)} or later"
        return join_words(from_then_on, never_words(arrival))
    if high_s <= moment.now_s:
        return "no reading since: it is not known"
    first, last = _round(moment, low_s, step_s), _round(moment, high_s, step_s)
    words = f"{moment.display.clocks(first, last, moment.now)} {EIGHT_IN_TEN}"
    return join_words(words, never_words(arrival))


def _round(moment: Moment, elapsed_s: float, step_s: float) -> datetime:
    return rounded(moment.at(elapsed_s), step_s, moment.display.zone)


def _rounded_clock(moment: Moment, elapsed_s: float, step_s: float) -> str:
    return moment.display.clock(_round(moment, elapsed_s, step_s), moment.now)
