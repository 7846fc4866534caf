"""Laws of the answers and pages, whatever happened in whatever order."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from app.presenters.alerts import AlertKind, find_calls
from app.presenters.answers import present_moment
from app.presenters.fire_page import present_fire_page
from app.presenters.moment import Moment
from app.presenters.pages import page_sentences, page_text
from app.presenters.phase import Phase, phase_of
from app.presenters.status import status_object, status_text
from app.presenters.table_page import present_tables
from app.presenters.tend import present_patio
from core.answers import NextLook, Rest
from core.catalogue import FSIS_CHART
from core.cook import Event, EventKind, Reading
from core.fire_leaving import Leaving
from storage.values import SavedCook
from tests.app.fakes import (
    DISPLAY_C,
    DISPLAY_F,
    PLAN,
    START,
    arrival,
    at,
    fan,
    forecast,
    minutes,
    saved_cook,
)

MINUTES = st.floats(-60.0, 900.0)
NOTES = st.sampled_from(
    ("", "12 briquettes", "thigh 75.56 °C, breast 72.78 °C", "half", "leftovers away", "74 °C")
)
EVENTS = st.builds(
    lambda at_min, kind, note: Event(minutes(at_min), kind, note),
    MINUTES, st.sampled_from(EventKind), NOTES,
)  # fmt: skip
READINGS = st.builds(
    lambda at_min, pit, meat: Reading(minutes(at_min), pit, (("breast", meat),)),
    MINUTES, st.none() | st.floats(20.0, 300.0), st.floats(-5.0, 110.0),
)  # fmt: skip


def leaving_at(low_s: float | None, share: float, outside: bool) -> Leaving:
    """A fire that leaves its band, or never does."""
    return Leaving(low_s, None if low_s is None else low_s + 600.0, None, share, share, outside)


LEAVING = st.builds(
    leaving_at,
    st.none() | st.floats(0.0, 60000.0), st.floats(0.0, 1.0), st.booleans(),
)  # fmt: skip


@st.composite
def cooks(draw: st.DrawFn) -> SavedCook:
    """A cook with anything logged in any order, over or not."""
    events = draw(st.lists(EVENTS, max_size=8))
    served = [e.elapsed_s for e in events if e.kind is EventKind.SERVED]
    over = draw(st.booleans()) or bool(served)
    ended = None
    if over:
        ended = max([*served, 60.0]) / 60.0
    plan = replace(PLAN, serve_s=draw(st.none() | st.floats(0.0, 60000.0)))
    readings = draw(st.lists(READINGS, max_size=6))
    saved = saved_cook(plan=plan, readings=readings, events=events)
    ended_at = None if ended is None else START + timedelta(minutes=ended)
    return replace(saved, ended_at=ended_at)


YES_NO = st.booleans()


@given(cooks(), st.floats(0.0, 1200.0), YES_NO, YES_NO, YES_NO, st.none() | LEAVING)
@settings(max_examples=150, deadline=None)
def test_every_phase_can_be_worded_and_gives_no_verdict(
    saved: SavedCook,
    now: float,
    early: bool,
    fahrenheit: bool,
    known: bool,
    leaving: Leaving | None,
) -> None:
    made = forecast(
        arrival(low=150, middle=180, high=220),
        now=now,
        look=NextLook(minutes(now + 20), "rested", "breast"),
        rests=[Rest("breast", 75.0, 77.0, 79.0, 71.0)],
        fans=[fan("breast", 50.0, 76.0), fan("pit", 140.0, 160.0)],
    )
    display = DISPLAY_F if fahrenheit else DISPLAY_C
    moment = Moment(saved, made if known else None, at(now), display, leaving, early)
    view = present_moment(moment)
    answers = [a for a in (view.done, view.glaze, view.fire, view.look) if a is not None]
    assert [a.key for a in answers if a.key != "glaze"] == ["done", "fire", "look"]
    assert all(a.label and isinstance(a.clock, str) for a in answers)
    pages = (present_fire_page(moment), present_tables(moment))
    said = [status_text(moment, view), *(page_text(page, 400) for page in pages)]
    said += [" ".join(page_sentences(page)) for page in pages]
    for text in said:
        assert "safe" not in text.replace(FSIS_CHART, "").lower()
        assert "None" not in text
    status_object(moment, view)
    patio = present_patio(view)
    assert patio.done_clock
    calls = find_calls(moment, view)
    if saved.ended_at is not None:
        assert {call.kind for call in calls} <= {AlertKind.LEFTOVERS}
        assert phase_of(moment) in (Phase.SERVED, Phase.ENDED)
        assert view.glaze is None
    if phase_of(moment) is Phase.COOKING:
        assert view.fire.label == "fire"
    else:
        assert view.fire.label in ("meat", "coals")
