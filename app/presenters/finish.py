"""The first answer: when is it done. After the pull :mod:`app.presenters.after` has it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from app.display import NO_CLOCK, span
from app.presenters.after import present_after
from app.presenters.arrival import word_arrival
from app.presenters.moment import Moment
from app.presenters.phase import Phase, phase_of
from app.presenters.spots import SpotWords, spot_words, where_to_check
from app.presenters.views import AnswerView, Mark
from app.presenters.words import in_ten, join_words
from core.cook import Milestone

if TYPE_CHECKING:
    from core.answers import Arrival

LIKELY = 0.5


def present_done(moment: Moment) -> AnswerView:
    """When the whole cook reaches its targets, in whatever state it is."""
    phase = phase_of(moment)
    if phase is not Phase.COOKING:
        return present_after(moment, phase)
    spots = spot_words(moment)
    targets = moment.arrivals(Milestone.TARGET)
    if spots is not None and not spots.found.short:
        return _by_spots(moment, spots)
    if not targets:
        return AnswerView("done", "done", NO_CLOCK, "", moment.why_unknown, "", Mark.UNKNOWN)
    if all(arrival.reached_s is not None for arrival in targets):
        return _at_target(moment, targets) if spots is None else _by_spots(moment, spots)
    ahead = _ahead(moment, targets)
    if spots is None:
        return ahead
    return replace(ahead, detail=join_words(f"{spots.said}; {spots.lowest}", ahead.detail))


def _by_spots(moment: Moment, spots: SpotWords) -> AnswerView:
    """Several spots were measured: they decide, not the one probe."""
    clock = moment.clock(spots.found.check.elapsed_s)
    mark = Mark.SOON if spots.found.short else Mark.NOW
    return AnswerView("done", "done", clock, spots.said, spots.lowest, spots.advice, mark)


def _at_target(moment: Moment, targets: tuple[Arrival, ...]) -> AnswerView:
    last = max(targets, key=lambda arrival: arrival.reached_s or 0.0)
    words = word_arrival(last, moment)
    what = "all at target" if len(targets) > 1 else "at target"
    return AnswerView(
        "done", "done", words.clock, f"{what}, {words.to_go}",
        f"check several spots ({where_to_check(moment)}): the lowest counts",
        "type them: spot thigh 168 breast 163", Mark.NOW,
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
