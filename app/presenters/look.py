"""The fourth answer: when must I look again."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from app.display import NO_CLOCK, rounded, span
from app.presenters.after import coldest, hot_words, present_leftovers
from app.presenters.moment import Moment
from app.presenters.phase import Phase, phase_of
from app.presenters.views import AnswerView, Mark
from core.cook import Event, EventKind, Milestone

if TYPE_CHECKING:
    from core.answers import NextLook

SOON_S = 5 * 60.0
LATE_S = 10 * 60.0
DIP_OVER_S = 2 * 3600.0
"""The dip of an opened lid is over after this [s]."""


def present_look(moment: Moment) -> AnswerView:
    """The latest time of the next reading, and why then."""
    if moment.saved.ended_at is not None:
        leftovers = present_leftovers(moment)
        return leftovers or _view(NO_CLOCK, "", "the cook is over", "", Mark.FINE)
    if moment.forecast is None:
        return _view(NO_CLOCK, "", moment.why_unknown, "", Mark.UNKNOWN)
    look = moment.forecast.next_look
    if moment.pulled_s is not None and moment.now_s >= moment.pulled_s + moment.rest_s:
        return _rested(moment)
    if look is None:
        return _view(NO_CLOCK, "", "nothing to wait for", "", Mark.FINE)
    left_s = look.elapsed_s - moment.now_s
    if left_s <= 60.0:
        late_s = -left_s
        to_go = "now" if late_s < LATE_S else f"now, {span(late_s)} late"
        mark = Mark.NOW if late_s < LATE_S else Mark.LATE
    else:
        to_go = f"in {span(left_s // 60.0 * 60.0)}"
        mark = Mark.SOON if left_s <= SOON_S else Mark.FINE
    # Never rounded up: it is the latest time.
    latest = rounded(moment.at(look.elapsed_s), 60.0, moment.display.zone, down=True)
    clock = moment.display.clock(latest, moment.now)
    on_fire = moment.pulled_s is None
    cost = _cost_words(moment) if on_fire and mark is Mark.FINE else ""
    return _view(clock, to_go, _reason_words(moment, look), cost, mark)


def _rested(moment: Moment) -> AnswerView:
    """Once it has rested, only its heat is still to be watched."""
    hold = coldest(moment)
    if phase_of(moment) is Phase.RESTING or hold is None or hold.below_low_s is None:
        return _view(NO_CLOCK, "", "it has rested: carve", "", Mark.FINE)
    left_s = hold.below_low_s - moment.now_s
    latest = rounded(moment.at(hold.below_low_s), 60.0, moment.display.zone, down=True)
    reason = f"it may then be below {hot_words(moment)}"
    if left_s <= 60.0:
        return _view(moment.clock(moment.now_s), "now", reason, "", Mark.NOW)
    clock = moment.display.clock(latest, moment.now)
    mark = Mark.SOON if left_s <= SOON_S else Mark.FINE
    return _view(clock, f"in {span(left_s // 60.0 * 60.0)}", reason, "", mark)


def _cost_words(moment: Moment) -> str:
    """What one opening of the lid now puts the finish back by, as the fire model has it."""
    # here, so that a command that words nothing loads no numpy
    from core.fire_log import lid_loss

    opened = Event(moment.now_s, EventKind.LID_OPEN)
    # only this one opening, once its dip is over
    loss = lid_loss(replace(moment.saved.cook, events=(opened,)), moment.now_s + DIP_OVER_S)
    if not loss.openings:
        return "each look, lid up, costs heat"
    minutes = max(round(loss.lost_s / 60.0), 1)
    return f"each look, lid up, costs about {minutes} min"


def _view(clock: str, to_go: str, reason: str, detail: str, mark: Mark) -> AnswerView:
    return AnswerView("look", "next look", clock, to_go, reason, detail, mark)


def _reason_words(moment: Moment, look: NextLook) -> str:
    if moment.pulled_s is not None:
        return "it may be at its peak" if look.reason == "rested" else "it rests"
    if look.reason == "fire":
        return "the fire wants watching"
    if look.reason == "first":
        return "no reading yet"
    if look.reason == "rested":
        return "it may be at its peak"
    probe = next((p for p in moment.saved.cook.probes if p.name == look.probe), None)
    threshold_c = None
    if probe is not None and look.reason in {m.value for m in Milestone}:
        threshold_c = probe.threshold_c(Milestone(look.reason))
    if probe is None or threshold_c is None:
        return f"{look.reason} may come up"
    return f"{probe.name} may then be at {moment.display.temp(threshold_c)} ({look.reason})"
