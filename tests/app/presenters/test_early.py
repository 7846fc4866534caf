"""The first answer where the plan asks for an early pull."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from app.presenters.answers import present_moment
from app.presenters.moment import Moment
from app.presenters.views import AnswersView, Mark
from core.answers import Fan, Forecast, Rest
from core.cook import Event, EventKind, Reading
from storage.values import SavedCook
from tests.app.fakes import DISPLAY_C, arrival, at, forecast, minutes, saved_cook

# 2 K in ten minutes from 60 °C at minute 100; 1 K to each side at the ends of eight in ten
TIMES = np.array([minutes(0), minutes(100), minutes(300)])
OFFSETS = np.array([-1.3, -1.0, -0.5, 0.0, 0.5, 1.0, 1.3])[:, None]
RISING = Fan("breast", TIMES, np.array([5.0, 60.0, 100.0]) + OFFSETS)
# pulled at 74 °C it peaks at 77 °C: pulled at 71 °C it ends at its target
RESTS = [Rest("breast", 76.0, 77.0, 79.0, 71.0)]
MADE = forecast(arrival(low=165, middle=170, high=175), fans=[RISING], rests=RESTS)


def told(saved: SavedCook, now: float = 100.0, made: Forecast = MADE) -> AnswersView:
    """The answers of a cook that is to be pulled early."""
    return present_moment(Moment(saved, made, at(now), DISPLAY_C, None, True))


def test_the_pull_is_named_with_what_the_rest_makes_of_it() -> None:
    done = told(saved_cook()).done
    # 11 K at 0.2 K a minute: 55 minutes on
    assert (done.label, done.clock, done.to_go) == ("pull", "15:35", "in 55 min")
    assert done.range == "15:30 to 15:40 in 8 of 10 cooks like this"
    assert done.detail.startswith(
        "pull at 71 °C: the rest carries it to 73 to 76 °C; ready for the"
    )


def test_without_the_wish_the_target_is_waited_for() -> None:
    plain = present_moment(Moment(saved_cook(), MADE, at(100), DISPLAY_C)).done
    assert (plain.label, plain.clock) == ("done", "15:50")


def test_at_the_pull_it_says_so_and_asks_for_a_reading_in_the_rest() -> None:
    readings = [Reading(minutes(90), None, (("breast", 69.0),)),
                Reading(minutes(98), None, (("breast", 71.4),))]  # fmt: skip
    done = told(saved_cook(readings=readings)).done
    assert (done.label, done.mark) == ("pull", Mark.NOW)
    assert done.to_go == "pull now, reached 3 min ago"
    assert "read the target in the rest" in done.detail


def test_spots_that_the_rest_will_carry_up_are_pulled_with_their_shortfall_said() -> None:
    note = "thigh 76 °C, breast 72.5 °C, wing 78 °C"
    saved = saved_cook(events=[Event(minutes(98), EventKind.SPOT_CHECK, note)])
    assert told(saved).done.detail.startswith("not yet: breast 2 °C below target"), "said ahead"
    far = saved_cook(events=[Event(minutes(98), EventKind.SPOT_CHECK, "thigh 66 °C, wing 70 °C")])
    reached = replace(MADE, arrivals=(arrival(reached=95.0),))
    readings = (Reading(minutes(95), None, (("breast", 74.0),)),)
    at_pull = replace(saved, cook=replace(saved.cook, readings=readings))
    done = told(at_pull, made=reached).done
    assert (done.label, done.detail) == ("pull", "the rest adds 2 °C or more: pull and type: pull")
    too_cold = replace(far, cook=replace(far.cook, readings=readings))
    assert told(too_cold, made=reached).done.label == "done"


def test_a_caution_stands_from_the_wish_to_the_serving() -> None:
    cautions = told(saved_cook()).cautions
    assert cautions[0].startswith(
        "Pulled early: leave the probe in and read the target in the rest"
    )
    assert "73.9 °C (FSIS)" in cautions[0]
    pulled = saved_cook(events=[Event(minutes(98), EventKind.PULLED)])
    assert any(text.startswith("Pulled early") for text in told(pulled).cautions)
    over = saved_cook(events=[Event(minutes(98), EventKind.SERVED)], ended=98.0)
    assert not any(text.startswith("Pulled early") for text in told(over).cautions)
