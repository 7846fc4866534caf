"""The page of the levers: the chance of being ready by the meal, and what would change it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import NO_CLOCK, honest_step_s, rounded, span
from app.presenters.cautions import minimum_words
from app.presenters.moment import Moment
from app.presenters.pages import PageRow, PageView
from app.presenters.views import Mark
from app.presenters.words import in_ten
from core.levers import MEDIAN_CHANCE, PIT_HIGH_C, PIT_LOW_C, WANTED_CHANCE, LeverKey

if TYPE_CHECKING:
    from core.levers import Lever, Levers

TITLE = "levers"
LIKELY = 0.5
WORKING = "working them out ..."

HELD = "A pit counts as brought there with the vents in a quarter of an hour, then held."
CAUTIONS = {
    "hot_pit": "A much hotter pit browns fast; fat that drips may flare.",
    "softens_skin": "Foil softens the skin.",
    "see_target_in_rest": "Pulled lower, the target must be read in the rest before it is served.",
}


def present_levers(moment: Moment, levers: Levers | None, *, reason: str = "") -> PageView:
    """The table; without one it says why.

    Parameters
    ----------
    moment : Moment
    levers : Levers or None
        None without a meal time, once the meat is off the fire, or while they are worked out.
    reason : str
        Why there is no table although there could be one.
    """
    missing = why_none(moment)
    if missing or levers is None:
        return PageView(TITLE, "", (PageRow((missing or reason or WORKING,)),))
    serve_s = moment.saved.cook.plan.serve_s or 0.0
    about = f"for the {moment.clock(serve_s)} meal, {span(levers.rest_s)} rest before it"
    rows = [PageRow(("what", "chance", "ready (8 of 10)"))]
    rows += [_row(moment, lever) for lever in levers.levers]
    keys = dict.fromkeys(key for lever in levers.levers for key in lever.cautions)
    notes = [_caution(moment, key) for key in keys]
    if any(lever.pit_c is not None for lever in levers.levers):
        notes.insert(0, HELD)
    made = f"Worked out at {moment.clock(levers.now_s)}."
    return PageView(TITLE, about, tuple(rows), (made, *notes))


def why_none(moment: Moment) -> str:
    """Why there can be no table; empty if there can."""
    if moment.saved.ended_at is not None:
        return "the cook is over"
    if moment.pulled_s is not None:
        return "the meat is off the fire"
    if not moment.saved.cook.probes:
        return "no probe in the meat, so there is no forecast"
    if moment.saved.cook.plan.serve_s is None:
        return "no meal time is planned; type for example: plan meal 18:30"
    return ""


def _row(moment: Moment, lever: Lever) -> PageRow:
    mark = None
    if lever.key is LeverKey.AS_IT_IS:
        mark = Mark.FINE if lever.chance >= LIKELY else Mark.LATE
    return PageRow((_what(moment, lever), in_ten(lever.chance), _ready(moment, lever)), mark)


def _what(moment: Moment, lever: Lever) -> str:
    show = moment.display
    match lever.key:
        case LeverKey.PIT_MEDIAN | LeverKey.PIT_WANTED:
            return f"pit {show.temp(lever.pit_c or 0.0)} for {in_ten(_wanted(lever))}"
        case LeverKey.WRAP_NOW:
            return "wrap in foil now"
        case LeverKey.PULL_LOWER:
            return f"pull {show.delta(lever.pull_below_k or 0.0)} lower"
        case LeverKey.EAT_LATER:
            return f"eat at {moment.clock(lever.serve_s)}"
        case _:
            return "as it is"


def _wanted(lever: Lever) -> float:
    """The chance that a pit was looked for."""
    return MEDIAN_CHANCE if lever.key is LeverKey.PIT_MEDIAN else WANTED_CHANCE


def _ready(moment: Moment, lever: Lever) -> str:
    words = _ready_clock(moment, lever)
    if not lever.attainable:
        low, high = moment.display.whole(PIT_LOW_C), moment.display.temp(PIT_HIGH_C)
        more = lever.chance > _wanted(lever)
        words += (
            f"; every pit from {low} to {high} gives more than that chance"
            if more
            else f"; no pit from {low} to {high} gives that chance, this is the nearest"
        )
    if lever.peak_above_k is not None:
        side = "above" if lever.peak_above_k >= 0.0 else "below"
        words += f"; peaks {moment.display.delta(lever.peak_above_k)} {side} the target"
    return words


def _ready_clock(moment: Moment, lever: Lever) -> str:
    low_s, ready_s, high_s = lever.ready_low_s, lever.ready_s, lever.ready_high_s
    if ready_s is None or low_s is None:
        return f"{NO_CLOCK} not at this fire"
    show = moment.display
    last_s = ready_s + (ready_s - low_s) if high_s is None else high_s
    step_s = honest_step_s(last_s - low_s)
    low, ready, high = (rounded(moment.at(s), step_s, show.zone) for s in (low_s, ready_s, last_s))
    clock = show.clock(ready, moment.now)
    if high_s is None:
        return f"{clock} ({show.clock(low, moment.now)} or later)"
    return f"{clock} ({show.clocks(low, high, moment.now)})"


def _caution(moment: Moment, key: str) -> str:
    if key == "minimum_holds":
        words = minimum_words(moment.cut.minimum, moment.display)
        return f"The published minimum stays {words} (FSIS): read it, do not assume it."
    return CAUTIONS[key]
