"""When the next reading is due: as late as may be, since each look costs heat."""

from __future__ import annotations

from core.answers import Arrival, NextLook
from core.cook import Cook, EventKind, Milestone

CHANCE_PASSED = 0.10
"""Accepted chance of having passed the next milestone unseen."""

HOT_PIT_C = 135.0
FIRE_WATCH_HOT_S, FIRE_WATCH_LOW_S = 3600.0, 5400.0
"""Longest time a fire is left unread (common practice, no source) [s]."""


def next_look(cook: Cook, now_s: float, arrivals: tuple[Arrival, ...]) -> NextLook | None:
    """The latest time for the next reading; None when there is nothing left to wait for."""
    open_ = [a for a in arrivals if a.reached_s is None]
    if not open_:
        return None
    if not cook.readings:
        return NextLook(max(now_s, 0.0), "first")
    pulled = cook.first_event(EventKind.PULLED) is not None
    waiting = [a for a in open_ if (a.milestone is Milestone.RESTED) is pulled]
    if not waiting:
        return None
    due = [(q, a) for a in waiting if (q := a.quantile_s(CHANCE_PASSED)) is not None]
    last = cook.readings[-1].elapsed_s
    watch = FIRE_WATCH_HOT_S if cook.plan.pit_c >= HOT_PIT_C else FIRE_WATCH_LOW_S
    fire_due = last + watch
    if due:
        first, arrival = min(due, key=lambda pair: pair[0])
        if pulled or first <= fire_due:
            return NextLook(first, arrival.milestone.value, arrival.probe)
    return None if pulled else NextLook(fire_due, "fire")
