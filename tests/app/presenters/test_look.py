"""The next look in words: when, why, and what it costs."""

from __future__ import annotations

import pytest

from app.presenters.answers import Mark, present_answers
from app.presenters.status import answer_text
from core.answers import NextLook
from tests.app.fakes import (
    DISPLAY_C,
    PULLED,
    at,
    forecast,
    minutes,
    reading_f,
    saved_cook,
    shown,
)


def test_a_look_at_resting_meat_opens_no_lid() -> None:
    made = forecast(look=NextLook(minutes(130), "rested", "breast"), now=102)
    assert shown(made, 102, saved_cook(events=[PULLED])).look.detail == ""
    assert "lid" in shown(made, 102).look.detail


@pytest.mark.parametrize(
    ("minute", "clock", "to_go", "mark"),
    [
        (131.9, "15:11", "in 31 min", Mark.FINE),
        (104.5, "14:44", "in 4 min", Mark.SOON),
        (100.4, "14:40", "now", Mark.NOW),
        (95.0, "14:35", "now", Mark.NOW),
        (80.0, "14:20", "now, 20 min late", Mark.LATE),
    ],
)
def test_next_look_is_never_rounded_up(minute: float, clock: str, to_go: str, mark: Mark) -> None:
    look = shown(forecast(look=NextLook(minutes(minute), "glaze", "breast"))).look
    assert (look.clock, look.to_go, look.mark) == (clock, to_go, mark)
    assert look.range == "breast may then be at 62 °C (glaze)"


@pytest.mark.parametrize(
    ("look", "words"),
    [
        (NextLook(minutes(150), "fire"), "the fire wants watching"),
        (NextLook(minutes(150), "first"), "no reading yet"),
        (NextLook(minutes(150), "rested", "breast"), "it may be at its peak"),
        (NextLook(minutes(150), "target", "breast"), "breast may then be at 74 °C (target)"),
        (NextLook(minutes(150), "wrap", "breast"), "wrap may come up"),
        (None, "nothing to wait for"),
    ],
)
def test_next_look_says_why(look: NextLook | None, words: str) -> None:
    assert shown(forecast(look=look)).look.range == words


@pytest.mark.parametrize(
    ("pit_f", "meat_f", "cost"), [(300.0, 60.0, 1), (300.0, 150.0, 2), (250.0, 200.0, 4)]
)
def test_a_look_costs_more_the_nearer_the_meat_is_to_the_pit(
    pit_f: float, meat_f: float, cost: int
) -> None:
    # By hand from the fire model's dip: 0.15 x 480 s = 72 s, times (pit - air) / (pit - meat).
    saved = saved_cook(readings=[reading_f(98, pit_f, breast=meat_f)])
    found = forecast(look=NextLook(minutes(130), "target", "breast"))
    look = present_answers(saved, found, at(100), DISPLAY_C).look
    assert look.detail == f"each look, lid up, costs about {cost} min"


def test_as_a_sentence_now_is_said_once() -> None:
    due = shown(forecast(look=NextLook(minutes(99), "target", "breast"))).look
    assert answer_text(due).startswith("Next look (now): 14:39. Breast may then be at 74 °C")
    late = shown(forecast(look=NextLook(minutes(80), "target", "breast"))).look
    assert answer_text(late).startswith("Next look (late): 14:20, now, 20 min late.")
