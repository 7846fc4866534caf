"""What is asked about once, and what passes without a word."""

from __future__ import annotations

import pytest

from app.line.odd import Candidate, Known, oddities
from app.line.values import TypedEvent
from core.answers import Suspect
from core.cook import Cook, Event, EventKind, Plan, Probe
from core.units import f_to_c
from tests.app.fakes import DISPLAY_F, PLAN, fan, forecast, minutes, reading_f

PROBES = (Probe("breast", 74.0, 5.0, 62.0), Probe("thigh", 80.0, 5.0))
COOK = Cook(
    PLAN,
    PROBES,
    (reading_f(0, 300, breast=41, thigh=41), reading_f(60, 305, breast=95, thigh=90)),
)


def ask(
    minute: float,
    pit_f: float | None = None,
    *,
    cook: Cook = COOK,
    events: tuple[EventKind, ...] = (),
    made: object = None,
    **meat_f: float,
) -> tuple[str, ...]:
    reading = reading_f(minute, pit_f, **meat_f)
    line = Candidate(
        reading.elapsed_s, reading.pit_c, reading.meat_c, tuple(TypedEvent(kind) for kind in events)
    )
    return oddities(line, Known(cook, made, DISPLAY_F))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("minute", "pit", "breast"),
    [(75, 310, 110), (75, 280, 104), (60, 305, 96), (90, 300, 130), (120, 295, 150), (75, 305, 94)],
)
def test_plain_readings_pass(minute: float, pit: float, breast: float) -> None:
    assert ask(minute, pit, breast=breast) == ()


@pytest.mark.parametrize(
    ("breast", "words", "hint"),
    [
        (32, "breast fell 63 °F in 15 min", ""),
        (11, "breast fell 84 °F in 15 min", ""),
        (1088, "meat does not get that hot", "did you mean 108?"),
        (160, "breast rose 65 °F in 15 min, faster than meat does", ""),
        (43, "breast fell 52 °F in 15 min", "did you mean 43c?"),
        (79, "breast fell 16 °F", "did you mean 97?"),
    ],
)
def test_meat_that_jumps_or_falls(breast: float, words: str, hint: str) -> None:
    (odd,) = ask(75, 305, breast=breast)
    assert words in odd
    assert hint in odd


def test_a_dropped_digit_is_named() -> None:
    cook = Cook(PLAN, PROBES, (reading_f(90, 305, breast=128),))
    (odd,) = ask(100, 306, cook=cook, breast=32)
    assert "did you mean 132?" in odd


def test_exchanged_numbers_are_named_once() -> None:
    (odd,) = ask(75, 110, breast=305)
    assert odd == "pit and breast look swapped; did you mean 305 110?"


def test_a_pit_colder_than_the_meat() -> None:
    (odd,) = ask(75, 90)
    assert odd == "the pit at 90 °F is colder than breast at 95 °F; did you mean 290?"
    assert ask(75, 80) == ("the pit at 80 °F is colder than breast at 95 °F; did you mean 280?",)


def test_a_far_jump_of_the_pit() -> None:
    (odd,) = ask(75, 205)
    assert odd == "pit 205 °F is far off: it was 305 °F"
    (odd,) = ask(75, 3055)
    assert "did you mean 305?" in odd
    (odd,) = ask(75, 152)
    assert "did you mean 152c?" in odd
    assert ask(75, 205, events=(EventKind.LID_OPEN,)) == ()


def test_a_far_first_pit_reading_is_measured_by_the_plan() -> None:
    (odd,) = ask(0, 150, cook=Cook(PLAN, PROBES), breast=41)
    assert odd == "pit 150 °F is far off: planned is 302 °F; did you mean 150c?"


def test_lid_and_fuel_explain_the_pit() -> None:
    cook = Cook(PLAN, PROBES, COOK.readings, (Event(minutes(65), EventKind.FUEL_ADDED),))
    assert ask(75, 205, cook=cook) == ()


def test_after_the_pull_nothing_is_odd() -> None:
    cook = Cook(PLAN, PROBES, COOK.readings, (Event(minutes(70), EventKind.PULLED),))
    assert ask(75, 90, cook=cook, breast=80) == ()
    assert ask(80, cook=cook, events=(EventKind.PULLED,)) == ("it was pulled before",)


def test_leaving_the_fire_short_of_the_target() -> None:
    odd = ask(75, events=(EventKind.PULLED,))
    assert odd == (
        "breast was last 95 °F, its target is 165.2 °F",
        "thigh was last 90 °F, its target is 176 °F",
    )
    assert len(ask(75, events=(EventKind.SERVED,))) == 2
    done = Cook(PLAN, PROBES, (reading_f(170, 305, breast=161, thigh=173),))
    assert ask(175, cook=done, events=(EventKind.PULLED,)) == ()
    assert len(ask(175, cook=done, events=(EventKind.PULLED,), breast=158)) == 1


def test_a_moved_probe_may_read_anything_meat_can() -> None:
    assert ask(75, 305, events=(EventKind.PROBE_MOVED,), breast=70) == ()


def test_meat_before_meat_on() -> None:
    assert ask(-30, breast=41) == ("a meat reading 30 min before meat-on",)
    assert ask(-30, 300) == ()
    assert ask(-200, 300) == ("a reading 3 h 20 min before meat-on",)


def test_an_earlier_line_is_held_between_its_neighbours() -> None:
    assert ask(30, 300, breast=65) == ()
    (odd,) = ask(50, 300, breast=103)
    assert odd == "breast 103 °F is not what is expected, 36 to 100 °F"


def test_the_forecast_narrows_what_is_expected() -> None:
    made = forecast(now=60, fans=[fan("breast", f_to_c(104.0), f_to_c(112.0))])
    assert ask(75, 305, made=made, breast=108) == ()
    (odd,) = ask(75, 305, made=made, breast=119)
    assert odd == "breast 119 °F is not what is expected, 98 to 118 °F"
    assert ask(75, 305, breast=119) == ()
    (odd,) = ask(75, 305, made=made, breast=96)
    assert "98 to 118" in odd


def test_a_reading_that_the_forecast_doubts_is_no_measure() -> None:
    cook = Cook(PLAN, PROBES, (*COOK.readings, reading_f(70, 305, breast=32)))
    assert ask(75, 305, cook=cook, breast=108) != ()
    doubt = Suspect(minutes(70), "breast", f_to_c(32.0), f_to_c(104.0))
    assert ask(75, 305, cook=cook, made=forecast(suspects=[doubt]), breast=108) == ()


def test_thin_fish_may_rise_fast_and_a_big_cut_may_not() -> None:
    fish = Cook(Plan("salmon_side", 1.2, 110.0), PROBES, (reading_f(10, 230, breast=70),))
    assert ask(20, 230, cook=fish, breast=100) == ()
    shoulder = Cook(Plan("pork_shoulder", 4.0, 115.0), PROBES, (reading_f(60, 240, breast=70),))
    (odd,) = ask(70, 240, cook=shoulder, breast=100)
    assert "faster than meat does" in odd


def test_a_cut_of_unknown_shape_is_not_judged_by_its_speed() -> None:
    odd_plan = Plan("other", 2.0, 140.0)
    cook = Cook(odd_plan, PROBES, (reading_f(60, 285, breast=70),))
    assert ask(61, 285, cook=cook, breast=150) == ()


# spots


def ask_spots(minute: float, note: str, *, cook: Cook = COOK) -> tuple[str, ...]:
    line = Candidate(minutes(minute), None, (), (TypedEvent(EventKind.SPOT_CHECK, note),))
    return oddities(line, Known(cook, None, DISPLAY_F))


def test_spots_far_from_the_probes_are_asked_about_and_near_ones_are_not() -> None:
    # the probes last showed 95 and 90 °F; 35 K are 63 °F
    assert ask_spots(61, "wing 38 °C, thigh 33 °C") == ()
    (odd,) = ask_spots(61, "thigh 168 °F, wing 100 °F")
    assert odd == "thigh 168 °F is far from the 90 to 95 °F of the probes"
    assert ask_spots(5, "thigh 168 °F", cook=Cook(PLAN, PROBES)) == (), "nothing to compare with"


def test_a_pull_against_the_last_check_is_asked_about() -> None:
    hot = (*COOK.readings, reading_f(170, 300, breast=166, thigh=177))
    checked = Event(minutes(171), EventKind.SPOT_CHECK, "thigh 70 °C, breast 75 °C")
    cook = Cook(PLAN, PROBES, hot, (checked,))
    (odd,) = ask(172, cook=cook, events=(EventKind.PULLED,))
    assert odd == "thigh was 158 °F when checked, 18 °F below its target"
    again = Event(minutes(175), EventKind.SPOT_CHECK, "thigh 80 °C, breast 76 °C")
    assert (
        ask(176, cook=Cook(PLAN, PROBES, hot, (checked, again)), events=(EventKind.PULLED,)) == ()
    )
