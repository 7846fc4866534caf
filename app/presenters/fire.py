"""The third answer: is the fire all right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import rounded, span
from app.presenters.after import present_meat
from app.presenters.moment import Moment
from app.presenters.phase import Phase, phase_of
from app.presenters.views import AnswerView, Mark
from app.presenters.words import in_ten
from core.cook import EventKind

if TYPE_CHECKING:
    from core.answers import FireOutlook

NO_PIT = "--"
TREND_S = 20 * 60.0
"""Span that a trend is worded over [s]."""
STEADY_C = 1.5
"""A smaller change over that span is called steady [K]."""
OLD_S = 60 * 60.0
"""A pit value older than this says little about the fire [s]."""
LID_S = 10 * 60.0
"""A pit is low for so long after its lid was open, and nothing is wrong [s]."""
SOON_S = 30 * 60.0


def present_fire(moment: Moment) -> AnswerView:
    """The pit now, where it is going, and when that matters."""
    phase = phase_of(moment)
    if phase is not Phase.COOKING:
        return present_meat(moment, phase)
    if moment.forecast is None:
        return _unknown(moment)
    fire = moment.forecast.fire
    band = f"band {moment.display.temps(fire.band_low_c, fire.band_high_c)}"
    if fire.last_pit_reading_s is None:
        return _view(NO_PIT, "no pit reading yet", band, "", Mark.UNKNOWN)
    clock = moment.display.temp(fire.pit_c)
    age_s = moment.now_s - fire.last_pit_reading_s
    if age_s > OLD_S:
        spread = moment.display.temps(fire.pit_c_low, fire.pit_c_high)
        to_go = f"last read {moment.clock(fire.last_pit_reading_s)}, {span(age_s)} ago"
        return _view(clock, to_go, f"{spread} by now, {band}", "read the pit", Mark.STALE)
    detail, mark = _outlook(moment, fire)
    return _view(clock, _trend_words(moment, fire), band, detail, mark)


def _view(clock: str, to_go: str, band: str, detail: str, mark: Mark) -> AnswerView:
    return AnswerView("fire", "fire", clock, to_go, band, detail, mark)


def _unknown(moment: Moment) -> AnswerView:
    cook = moment.saved.cook
    plan = f"planned {moment.display.temp(cook.plan.pit_c)}"
    read = [reading for reading in cook.readings if reading.pit_c is not None]
    if not read:
        return _view(NO_PIT, "no pit reading yet", plan, "", Mark.UNKNOWN)
    last = read[-1]
    pit = moment.display.reading(last.pit_c or 0.0)
    return _view(pit, f"read {moment.clock(last.elapsed_s)}", plan, "", Mark.UNKNOWN)


def _trend_words(moment: Moment, fire: FireOutlook) -> str:
    if _is_steady(fire):
        return "steady"
    change_c = fire.slope_c_per_s * TREND_S
    word = "rising" if change_c > 0.0 else "falling"
    return f"{word} {moment.display.delta(change_c)} in {span(TREND_S)}"


def _is_steady(fire: FireOutlook) -> bool:
    return abs(fire.slope_c_per_s * TREND_S) < STEADY_C


def _lid_since_reading_s(moment: Moment, fire: FireOutlook) -> float | None:
    """When the lid was open last, if that was a short while ago and the pit was not read since."""
    opened = [
        event.elapsed_s
        for event in moment.saved.cook.events
        if event.kind is EventKind.LID_OPEN and 0.0 <= moment.now_s - event.elapsed_s <= LID_S
    ]
    if not opened or max(opened) < (fire.last_pit_reading_s or 0.0):
        return None
    return max(opened)


def _outlook(moment: Moment, fire: FireOutlook) -> tuple[str, Mark]:
    show = moment.display
    lid_s = _lid_since_reading_s(moment, fire)
    if lid_s is not None:
        return f"the lid was open at {moment.clock(lid_s)}; it comes back", Mark.FINE
    if fire.in_band_chance < 0.5:
        if fire.pit_c < (fire.band_low_c + fire.band_high_c) / 2.0:
            return f"below {show.temp(fire.band_low_c)}", Mark.NOW
        return f"above {show.temp(fire.band_high_c)}", Mark.NOW
    inside = f"{in_ten(fire.in_band_chance)} inside the band"
    leaves_s = fire.leaves_band_s
    if leaves_s is None or _is_steady(fire):
        return inside, Mark.FINE
    falling = fire.slope_c_per_s < 0.0
    edge_c = fire.band_low_c if falling else fire.band_high_c
    left_s = leaves_s - moment.now_s
    when = show.clock(rounded(moment.at(leaves_s), 300.0, show.zone), moment.now)
    by = f"by {when}" if left_s > 0.0 else "by now"
    words = f"{'below' if falling else 'above'} {show.temp(edge_c)} {by} if nothing is done"
    return words, Mark.SOON if left_s <= SOON_S else Mark.FINE
