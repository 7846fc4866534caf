"""The first answer: when is it done. After the pull :mod:`app.presenters.after` has it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from app.display import NO_CLOCK, span
from app.presenters.after import present_after
from app.presenters.arrival import word_arrival
from app.presenters.cautions import believed_temps
from app.presenters.goals import goals, is_early, pull_words
from app.presenters.moment import Moment
from app.presenters.phase import Phase, phase_of
from app.presenters.spots import SpotWords, spot_words, where_to_check
from app.presenters.views import AnswerView, Mark
from app.presenters.words import in_ten, join_words

if TYPE_CHECKING:
    from core.answers import Arrival, Rest

LIKELY = 0.5
NEAR_K = 3.0
"""A probe that was last read this near its target does not speak against a check [K]."""


def present_done(moment: Moment) -> AnswerView:
    """When the whole cook reaches its targets, in whatever state it is."""
    phase = phase_of(moment)
    if phase is not Phase.COOKING:
        return present_after(moment, phase)
    spots = spot_words(moment)
    targets = goals(moment)
    if spots is not None and spots.found.done and _probes_agree(moment):
        return _by_spots(moment, spots)
    if not targets:
        return AnswerView("done", "done", NO_CLOCK, "", moment.why_unknown, "", Mark.UNKNOWN)
    if all(arrival.reached_s is not None for arrival in targets):
        return _at_target(moment, targets) if spots is None else _by_spots(moment, spots)
    ahead = _ahead(moment, targets)
    if spots is None:
        return ahead
    checked = moment.clock(spots.found.check.elapsed_s)
    probe = "" if spots.found.short else "the probe is a spot too"
    said = join_words(f"{spots.said} ({checked})", probe, ahead.detail)
    return replace(ahead, detail=said)


def _probes_agree(moment: Moment) -> bool:
    """Whether no probe was last read far below its target: the lowest counts, it too."""
    for probe in moment.saved.cook.probes:
        read = believed_temps(moment, probe.name)
        if read and read[-1] < probe.target_c - NEAR_K:
            return False
    return True


def _by_spots(moment: Moment, spots: SpotWords) -> AnswerView:
    """Several spots were measured: they decide, not the one probe."""
    clock = moment.clock(spots.found.check.elapsed_s)
    mark = Mark.SOON if spots.found.short else Mark.NOW
    rises = [rest.peak_c_low - _target_c(moment, rest.probe) for rest in _rests(moment)]
    carried = min(rises, default=0.0)
    if moment.early and spots.found.short and spots.found.short[0][1] <= carried:
        advice = f"the rest adds {moment.display.delta(carried)} or more: pull and type: pull"
        return AnswerView("done", "pull", clock, spots.said, spots.lowest, advice, Mark.NOW)
    return AnswerView("done", "done", clock, spots.said, spots.lowest, spots.advice, mark)


def _rests(moment: Moment) -> tuple[Rest, ...]:
    return () if moment.forecast is None else moment.forecast.rests


def _target_c(moment: Moment, probe: str) -> float:
    return moment.saved.cook.probe(probe).target_c


def _at_target(moment: Moment, targets: tuple[Arrival, ...]) -> AnswerView:
    last = max(targets, key=lambda arrival: arrival.reached_s or 0.0)
    words = word_arrival(last, moment)
    if is_early(moment, last):
        return AnswerView(
            "done", "pull", words.clock, f"pull now, {words.to_go}", pull_words(moment, last),
            "type: pull; read the target in the rest, at several spots", Mark.NOW,
        )  # fmt: skip
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
    label, how = "done", ""
    if is_early(moment, last):
        label, how = "pull", pull_words(moment, last)
    detail = join_words(how, meal, who)
    return AnswerView("done", label, words.clock, words.to_go, words.range, detail, mark)


def last_waiting(moment: Moment) -> Arrival | None:
    """The target that is expected last; None when none is waited for any more."""
    if moment.pulled_s is not None or moment.saved.ended_at is not None:
        return None
    targets = goals(moment)
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
