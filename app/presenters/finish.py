"""The first answer: when is it done. After the pull: when to carve."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import NO_CLOCK, span
from app.presenters.arrival import word_arrival
from app.presenters.moment import Moment
from app.presenters.views import AnswerView, Mark
from app.presenters.words import in_ten, join_words
from core.cook import EventKind, Milestone

if TYPE_CHECKING:
    from core.answers import Arrival

LIKELY = 0.5


def present_done(moment: Moment) -> AnswerView:
    """When the whole cook reaches its targets, in whatever state it is."""
    ended_at = moment.saved.ended_at
    if ended_at is not None:
        return _ended(moment)
    if moment.pulled_s is not None:
        return _resting(moment, moment.pulled_s)
    targets = moment.arrivals(Milestone.TARGET)
    if not targets:
        return AnswerView("done", "done", NO_CLOCK, "", moment.why_unknown, "", Mark.UNKNOWN)
    if all(arrival.reached_s is not None for arrival in targets):
        return _at_target(moment, targets)
    return _ahead(moment, targets)


def _ended(moment: Moment) -> AnswerView:
    ended_at = moment.saved.ended_at or moment.now
    served = moment.saved.cook.first_event(EventKind.SERVED) is not None
    clock = moment.display.clock(ended_at, moment.now)
    length = span((ended_at - moment.saved.started_at).total_seconds())
    word = "served" if served else "ended"
    return AnswerView("done", "done", clock, word, "", f"{length} from meat-on", Mark.FINE)


def _resting(moment: Moment, pulled_s: float) -> AnswerView:
    carve_s = pulled_s + moment.rest_s
    left_s = carve_s - moment.now_s
    if left_s >= 30.0:
        to_go, mark = f"in {span(left_s)}", Mark.SOON if left_s <= 300.0 else Mark.FINE
    else:
        to_go, mark = "rested, carve", Mark.NOW
    detail = f"pulled {moment.clock(pulled_s)}, {span(moment.rest_s)} rest"
    return AnswerView(
        "done", "carve", moment.clock(carve_s), to_go, _peak_words(moment), detail, mark
    )


def _peak_words(moment: Moment) -> str:
    if moment.forecast is None:
        return ""
    words = []
    for rest in moment.forecast.rests:
        peak = moment.display.temps(rest.peak_c_low, rest.peak_c_high)
        arrival = moment.forecast.arrival(rest.probe, Milestone.RESTED)
        peak_s = None if arrival is None else arrival.quantile_s(0.5)
        when = "" if peak_s is None else f" about {moment.clock(peak_s)}"
        words.append(f"{rest.probe} peaks at {peak}{when}")
    return "; ".join(words)


def _at_target(moment: Moment, targets: tuple[Arrival, ...]) -> AnswerView:
    last = max(targets, key=lambda arrival: arrival.reached_s or 0.0)
    words = word_arrival(last, moment)
    what = "all at target" if len(targets) > 1 else "at target"
    return AnswerView(
        "done", "done", words.clock, f"{what}, {words.to_go}",
        "check several spots: the lowest counts", "then pull and type: pull", Mark.NOW,
    )  # fmt: skip


def _ahead(moment: Moment, targets: tuple[Arrival, ...]) -> AnswerView:
    last = last_waiting(moment) or targets[-1]
    words = word_arrival(last, moment)
    chance, meal = meal_words(moment, last)
    mark = words.mark
    if chance is not None and chance < LIKELY and mark in (Mark.FINE, Mark.SOON):
        mark = Mark.LATE
    who = f"{last.probe} is last" if len(targets) > 1 else ""
    return AnswerView(
        "done", "done", words.clock, words.to_go, words.range, join_words(meal, who), mark
    )


def last_waiting(moment: Moment) -> Arrival | None:
    """The target that is expected last; None when none is waited for any more."""
    if moment.pulled_s is not None or moment.saved.ended_at is not None:
        return None
    targets = moment.arrivals(Milestone.TARGET)
    waiting = [arrival for arrival in targets if arrival.reached_s is None]
    return max(waiting, key=_lateness, default=None)


def _lateness(arrival: Arrival) -> tuple[float, float]:
    median_s = arrival.quantile_s(0.5)
    return (float("inf") if median_s is None else median_s, arrival.probability_never)


def meal_words(moment: Moment, arrival: Arrival) -> tuple[float | None, str]:
    """Chance of being done and rested by the meal, and the words for it."""
    serve_s = moment.saved.cook.plan.serve_s
    if serve_s is None:
        return None, ""
    chance = arrival.chance_by(serve_s - moment.rest_s)
    rest = f" after {span(moment.rest_s)} rest" if moment.rest_s >= 60.0 else ""
    return chance, f"ready for the {moment.clock(serve_s)} meal{rest}: {in_ten(chance)}"
