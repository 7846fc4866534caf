"""The second answer: when to glaze or wrap, whichever comes next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import NO_CLOCK
from app.presenters.arrival import word_arrival
from app.presenters.moment import Moment
from app.presenters.views import AnswerView, Mark
from core.cook import EventKind, Milestone, Probe

if TYPE_CHECKING:
    from core.answers import Arrival

DONE_BY = {Milestone.GLAZE: EventKind.GLAZED, Milestone.WRAP: EventKind.WRAPPED}


def steps_left(moment: Moment) -> tuple[tuple[Probe, Milestone], ...]:
    """The planned glazes and wraps that nobody has logged as done."""
    cook = moment.saved.cook
    if moment.pulled_s is not None or moment.saved.ended_at is not None:
        return ()
    return tuple(
        (probe, milestone)
        for milestone, kind in DONE_BY.items()
        for probe in cook.probes
        if probe.threshold_c(milestone) is not None and cook.first_event(kind) is None
    )


def present_glaze(moment: Moment) -> AnswerView | None:
    """The next glaze or wrap; None if the plan has none left."""
    left = steps_left(moment)
    if not left:
        return None
    known = [
        arrival
        for probe, milestone in left
        for arrival in moment.arrivals(milestone)
        if arrival.probe == probe.name
    ]
    if not known:
        probe, milestone = left[0]
        detail = _trigger_words(moment, probe.name, probe.threshold_c(milestone))
        return AnswerView(
            "glaze", milestone.value, NO_CLOCK, "", "no forecast yet", detail, Mark.UNKNOWN
        )
    return _worded(moment, min(known, key=_earliness))


def _worded(moment: Moment, arrival: Arrival) -> AnswerView:
    words = word_arrival(arrival, moment)
    label = arrival.milestone.value
    detail = _trigger_words(moment, arrival.probe, arrival.threshold_c)
    if arrival.reached_s is not None:
        return AnswerView(
            "glaze", label, words.clock, f"{label} now", words.to_go, detail, Mark.NOW
        )
    return AnswerView("glaze", label, words.clock, words.to_go, words.range, detail, words.mark)


def _trigger_words(moment: Moment, probe: str, threshold_c: float | None) -> str:
    return "" if threshold_c is None else f"when {probe} is at {moment.display.temp(threshold_c)}"


def _earliness(arrival: Arrival) -> float:
    median_s = arrival.quantile_s(0.5)
    return float("inf") if median_s is None else median_s
