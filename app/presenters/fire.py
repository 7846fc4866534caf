"""The third answer: is the fire all right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import rounded, span
from app.presenters.after import present_meat
from app.presenters.moment import Moment
from app.presenters.phase import Phase, phase_of
from app.presenters.views import AnswerView, Mark
from app.presenters.words import in_ten, join_words
from core.cook import Cook, EventKind
from storage.values import SavedCook

if TYPE_CHECKING:
    from core.answers import FireOutlook
    from core.fire_leaving import Leaving

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
PLAINLY, TOLD_S = 0.8, 30 * 60.0
"""A chance of being inside that needs no number, and the time after which its share is told."""


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
    return _view(clock, trend_words(moment, fire), band, detail, mark)


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


def trend_words(moment: Moment, fire: FireOutlook) -> str:
    """``falling 7 °F in 20 min``."""
    if is_steady(fire):
        return "steady"
    change_c = fire.slope_c_per_s * TREND_S
    word = "rising" if change_c > 0.0 else "falling"
    return f"{word} {moment.display.delta(change_c)} in {span(TREND_S)}"


def is_steady(fire: FireOutlook) -> bool:
    """Whether its trend is too small to be worth a word."""
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
        low = fire.pit_c < (fire.band_low_c + fire.band_high_c) / 2.0
        side, edge_c = ("below", fire.band_low_c) if low else ("above", fire.band_high_c)
        return join_words(f"{side} {show.temp(edge_c)}", _back_words(moment)), Mark.NOW
    inside = _inside_words(moment, fire)
    leaves_s = fire.leaves_band_s
    if leaves_s is None or is_steady(fire):
        return inside, Mark.FINE
    falling = fire.slope_c_per_s < 0.0
    edge_c = fire.band_low_c if falling else fire.band_high_c
    left_s = leaves_s - moment.now_s
    when = show.clock(rounded(moment.at(leaves_s), 300.0, show.zone), moment.now)
    by = f"by {when}" if left_s > 0.0 else "by now"
    spread = "" if moment.leaving is None else leave_range(moment, moment.leaving, leaves_s)
    words = f"{'below' if falling else 'above'} {show.temp(edge_c)} {by}{spread} if nothing is done"
    return words, Mark.SOON if left_s <= SOON_S else Mark.FINE


def fire_leaving(saved: SavedCook, now_s: float) -> Leaving | None:
    """When the fire leaves its band; None before its first reading and off the fire."""
    return leaving_of(saved.cook, now_s)


def leaving_of(cook: Cook, now_s: float) -> Leaving | None:
    """The same for a cook's values. It fits the fire: not for the event loop of a screen."""
    # here, so that a command that words nothing loads no numpy
    from core.errors import CoreError
    from core.fire_leaving import leaving

    read = any(r.pit_c is not None and r.elapsed_s <= now_s for r in cook.readings)
    if not read or cook.first_event(EventKind.PULLED) is not None:
        return None
    try:
        return leaving(cook, now_s)
    except CoreError:
        return None


def _back_words(moment: Moment) -> str:
    """When a fire outside its band comes back without help."""
    leaving = moment.leaving
    if leaving is None or not leaving.outside:
        return ""
    if leaving.median_s is None:
        return "it does not come back by itself"
    back = rounded(moment.at(leaving.median_s), 300.0, moment.display.zone)
    spread = leave_range(moment, leaving, leaving.median_s)
    return f"back by {moment.display.clock(back, moment.now)}{spread} unaided"


def _inside_words(moment: Moment, fire: FireOutlook) -> str:
    """How likely it is inside now; where that is plain, for how much of the time it was so far."""
    from core.fire_log import band_time

    if fire.in_band_chance >= PLAINLY:
        band = band_time(moment.saved.cook, moment.now_s)
        if band.share is not None and band.inside_s + band.below_s + band.above_s >= TOLD_S:
            return f"inside it {band.share * 100.0:.0f} % of the time"
    return f"{in_ten(fire.in_band_chance)} inside the band"


def leave_range(moment: Moment, leaving: Leaving, about_s: float) -> str:
    """`` (14:55 to 15:40)``, eight of ten, around the time that is named; empty if not known.

    The range counts a first touch of the edge, the time named a lasting one: it is never outside.
    """
    if leaving.low_s is None:
        return ""
    show = moment.display
    low = rounded(moment.at(min(leaving.low_s, about_s)), 300.0, show.zone)
    if leaving.high_s is None or leaving.high_s < about_s:
        return f" ({show.clock(low, moment.now)} or later)"
    high = rounded(moment.at(leaving.high_s), 300.0, show.zone)
    return f" ({show.clocks(low, high, moment.now)})"
