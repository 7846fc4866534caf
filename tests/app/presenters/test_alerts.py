"""What calls for the cook, in what order, how often, and what puts it off."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from app.presenters.alerts import AlertBook, AlertChoices, AlertKind, Call, find_calls
from app.presenters.answers import present_answers
from app.presenters.moment import Moment
from app.presenters.views import Mark
from app.screens.words import action_of, word_means
from core.answers import Forecast, NextLook
from core.cook import Event, EventKind, Milestone
from storage.values import SavedCook
from tests.app.fakes import (
    DISPLAY_C,
    PLAN,
    arrival,
    at,
    fire,
    forecast,
    minutes,
    reading_f,
    saved_cook,
)

READ = reading_f(98, 300, breast=120)


def calls(
    saved: SavedCook, found: Forecast | None, now: float = 100.0, stale: str = ""
) -> tuple[Call, ...]:
    """What calls so many minutes from meat-on."""
    answers = present_answers(saved, found, at(now), DISPLAY_C, stale_reason=stale or None)
    return find_calls(Moment(saved, found, at(now), DISPLAY_C), answers)


def kinds(found: tuple[Call, ...]) -> list[str]:
    """The kinds alone."""
    return [call.kind.value for call in found]


def test_a_cook_on_its_way_is_silent() -> None:
    assert calls(saved_cook(readings=[READ]), forecast(look=NextLook(minutes(120), "target"))) == ()


def test_each_kind_calls_for_its_own_reason() -> None:
    saved = saved_cook(readings=[READ])
    near = forecast(arrival(low=105, middle=110, high=116))
    assert kinds(calls(saved, near)) == ["target"]
    glaze = arrival(Milestone.GLAZE, 95, 101, 110, threshold_c=62.0)
    assert kinds(calls(saved, forecast(arrival(), glaze))) == ["glaze"]
    low = forecast(outlook=fire(120.0, chance=0.1))
    assert kinds(calls(saved, low)) == ["fire"]
    leaving = forecast(outlook=fire(142.0, slope_c_per_s=-0.005, leaves=115))
    assert kinds(calls(saved, leaving)) == ["fire"]
    late = forecast(arrival(low=280, middle=300, high=330))
    assert kinds(calls(saved, late)) == ["meal"]
    assert "MEAL AT RISK: ready for the 17:30 meal" in calls(saved, late)[0].words
    assert kinds(calls(saved, forecast(look=NextLook(minutes(99), "target")))) == ["look"]


def test_silence_calls_even_without_a_forecast_but_not_before_the_next_look() -> None:
    saved = saved_cook(readings=[READ])
    assert kinds(calls(saved, None, 157)) == []
    assert kinds(calls(saved, None, 159)) == ["reading"]
    ahead = forecast(arrival(low=380, middle=400, high=420), look=NextLook(minutes(200), "target"))
    assert "reading" not in kinds(calls(saved, ahead, 159))
    pulled = saved_cook(readings=[READ], events=[Event(minutes(99), EventKind.PULLED)])
    assert "reading" not in kinds(calls(pulled, None, 159))


def test_the_most_urgent_comes_first_and_nothing_old_calls() -> None:
    saved = saved_cook(readings=[READ])
    glaze = arrival(Milestone.GLAZE, 95, 99, 110, threshold_c=62.0)
    late, cold = arrival(low=280, middle=300, high=330), fire(120.0, chance=0.1)
    found = forecast(late, glaze, outlook=cold, look=NextLook(minutes(99), "glaze"))
    assert kinds(calls(saved, found)) == ["glaze", "fire", "meal", "look"]
    assert calls(saved, found, stale="it is old") == ()
    assert calls(saved_cook(readings=[READ], ended=99), found) == ()


def test_near_its_target_the_alert_says_that_the_meal_is_at_risk() -> None:
    saved = saved_cook(plan=replace(PLAN, serve_s=minutes(115)), readings=[READ])
    found = calls(saved, forecast(arrival(low=105, middle=110, high=116)))
    assert kinds(found) == ["target", "meal"]
    target = found[0].words
    assert target.startswith("DONE: 14:50, in 10 min")
    assert target.endswith(
        "MEAL AT RISK: ready for the 14:55 meal after 15 min rest: under 1 in 20."
    )


def test_off_the_fire_the_hold_calls_and_then_the_leftovers() -> None:
    pulled = Event(minutes(99), EventKind.PULLED)
    cool = [reading_f(98, None, breast=165), reading_f(110, None, breast=130)]
    resting = saved_cook(readings=cool, events=[pulled])
    assert "hold" not in kinds(calls(resting, None, 111))
    assert "hold" in kinds(calls(resting, None, 205))
    served = Event(minutes(120), EventKind.SERVED)
    over = saved_cook(readings=[READ], events=[pulled, served], ended=120)
    assert kinds(calls(over, None, 180)) == []
    assert kinds(calls(over, None, 215)) == ["leftovers"]
    assert "LEFTOVERS: 17:00" in calls(over, None, 215)[0].words
    away = Event(minutes(130), EventKind.NOTE, "leftovers away")
    done = saved_cook(readings=[READ], events=[pulled, served, away], ended=120)
    assert calls(done, None, 215) == ()


def test_each_calls_once_and_again_when_louder_or_quiet_in_between() -> None:
    book, soon = AlertBook(), Call(AlertKind.FIRE, Mark.SOON, "FIRE: soon.")
    now = Call(AlertKind.FIRE, Mark.NOW, "FIRE: now.")
    assert [notice.text for notice in book.take((soon,), at(1))] == ["FIRE: soon."]
    assert book.take((soon,), at(2)) == ()
    assert [notice.text for notice in book.take((now,), at(3))] == ["FIRE: now."]
    assert book.take((soon,), at(4)) == ()
    assert book.take((), at(5)) == ()
    assert len(book.take((soon,), at(6))) == 1


def test_a_snooze_is_silent_and_then_calls_what_still_holds() -> None:
    book, call = AlertBook(), Call(AlertKind.LOOK, Mark.NOW, "NEXT LOOK: now.")
    book.take((call,), at(0))
    assert book.snooze(at(1), 600.0) == at(1) + timedelta(minutes=10)
    assert book.take((call,), at(10)) == ()
    assert len(book.take((call,), at(11))) == 1
    assert book.take((call,), at(12)) == ()


def test_a_kind_that_is_off_is_silent_and_calls_once_on_again() -> None:
    choices = AlertChoices()
    book, call = AlertBook(choices), Call(AlertKind.LOOK, Mark.NOW, "NEXT LOOK: now.")
    assert choices.switch(AlertKind.LOOK) is False
    assert book.take((call,), at(0)) == ()
    assert choices.switch(AlertKind.LOOK, on=True) is True
    assert len(book.take((call,), at(1))) == 1


def test_the_typed_words() -> None:
    assert action_of("Snooze") == "snooze(10)"
    assert action_of(" snooze  15 ") == action_of("snooze 15 min") == "snooze(15)"
    assert action_of("alert fire off") == "alert_kind('fire', 'off')"
    assert word_means("alert fire off") == "switches off the alert when the fire leaves its band"
    for other in (
        "snooze 0",
        "snooze 900",
        "snooze now",
        "alert oven off",
        "alert fire",
        "305 128",
    ):
        assert word_means(other) == "", other
