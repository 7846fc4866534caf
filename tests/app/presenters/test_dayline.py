"""The day's plan in words: every number comes from the plan, and nothing is promised."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.display import Display
from app.presenters.dayline import dayline_object, dayline_text, present_dayline
from core.catalogue import CUTS, cut_named
from core.cook import Plan, Probe
from core.day_values import Brine, ConflictKey, Dayline, DayWish, Piece, Pin, RemedyKey, StepKey
from core.dayline import plan_day
from core.thaw import MeatState
from core.units import MassUnit, TemperatureUnit
from tests.core.day_fakes import made_forecast, never_below

ZONE = ZoneInfo("Europe/Paris")
NOW = datetime(2026, 6, 5, 12, 0, tzinfo=ZONE)
FAHRENHEIT = Display(TemperatureUnit.FAHRENHEIT, MassUnit.POUND, ZONE)
CELSIUS = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, ZONE)


def _piece(cut: str, **more: object) -> Piece:
    book = cut_named(cut)
    probe = Probe("core", book.target_c, None, book.glaze_c, book.wrap_c)
    plan = Plan(cut, book.typical_mass_kg, book.pit_c)
    return Piece(book.name, plan, (probe,), **more)  # type: ignore[arg-type]


def _day(*pieces: Piece, ahead_h: float = 49.0, people: int | None = 4) -> Dayline:
    wish = DayWish(pieces, NOW + timedelta(hours=ahead_h), NOW, people)
    return plan_day(wish, forecast_of=made_forecast)


@pytest.mark.parametrize("display", [FAHRENHEIT, CELSIUS])
@pytest.mark.parametrize("brine", Brine)
@pytest.mark.parametrize("state", MeatState)
@pytest.mark.parametrize("cut", [key for key in CUTS if key != "other"])
def test_every_step_of_every_cut_is_worded(
    cut: str, state: MeatState, brine: Brine, display: Display
) -> None:
    day = _day(_piece(cut, state=state, brine=brine))
    view = present_dayline(day, display)
    assert len(view.steps) == len(day.steps)
    for step in view.steps:
        assert step.text
        assert step.source
        assert re.fullmatch(r"\d\d:\d[05]", step.clock)
        assert step.clock.endswith(("0", "5"))
    text = dayline_text(view)
    assert "None" not in text
    assert "\u2014" not in text
    assert not re.search(r"\bsafe(ly|ty)?\b", text.lower().replace("fsis safe minimum", ""))
    assert (" °C" if display is FAHRENHEIT else " °F") not in text.split("Check several")[0]
    assert "carbon monoxide" in text
    assert "4 °C / 40 °F" in text


def test_a_ham_may_be_uncooked_or_sold_cooked_and_a_duck_is_not_asked() -> None:
    (ham, *_) = present_dayline(_day(_piece("ham")), FAHRENHEIT).cautions
    for words in ("145 °F and 3 min rest is published for uncooked", "to 140 °F if", "to 165 °F"):
        assert words in ham
    assert "ham" not in " ".join(present_dayline(_day(_piece("duck")), FAHRENHEIT).cautions)


def test_clock_of_meat_on_is_the_plan_s() -> None:
    day = _day(_piece("duck"))
    (piece,) = day.pieces
    view = present_dayline(day, FAHRENHEIT)
    (step,) = [s for s in view.steps if s.key == "meat_on"]
    assert step.clock == f"{piece.on_at.astimezone(ZONE):%H:%M}"
    assert step.day == "Sun 2026-06-07"
    assert "9 in 10 at most" in step.why


def test_ranges_over_midnight_name_both_days() -> None:
    day = _day(_piece("pork_shoulder"), ahead_h=24.0)
    view = present_dayline(day, CELSIUS)
    ranges = [s.range for s in view.steps if "Fri" in s.range or "Sat" in s.range]
    for shown in ranges:
        assert shown.count("Fri") + shown.count("Sat") >= 2, shown


def test_pieces_are_named_only_when_there_are_two() -> None:
    one = present_dayline(_day(_piece("duck")), CELSIUS)
    assert {s.piece for s in one.steps} == {""}
    two = present_dayline(_day(_piece("leg_of_lamb"), _piece("whole_chicken")), CELSIUS)
    assert {s.piece for s in two.steps} == {"", "leg of lamb", "whole chicken"}
    (pits,) = [c for c in two.conflicts if c.text.startswith("One fire has one pit")]
    assert pits.text.endswith(
        "leg of lamb 150 °C, whole chicken 165 °C. Planned for all: 158 °C, the middle."
    )
    assert [r.split(":")[0] for r in pits.remedies] == [
        "all at 150 °C instead",
        "all at 165 °C instead",
    ]


def _all_conflicts() -> list[Dayline]:
    frozen = _piece("duck", state=MeatState.FROZEN)
    low = Piece("duck", Plan("duck", 2.3, 150.0), (Probe("core", 60.0),))
    cold = Piece("duck", Plan("duck", 2.3, 90.0), (Probe("core", 74.0),))
    wish = DayWish((cold,), NOW + timedelta(hours=30), NOW)
    on = Pin(NOW - timedelta(hours=1), done=True)
    late = DayWish((_piece("duck"),), NOW + timedelta(hours=2), NOW, pins={"meat_on:duck": on})
    lit = {"light": Pin(NOW, done=True)}
    early = DayWish((_piece("duck"),), NOW + timedelta(hours=12), NOW, pins=lit)
    return [
        plan_day(early, forecast_of=made_forecast),
        _day(frozen, ahead_h=8.0),
        _day(frozen, ahead_h=3.0),
        _day(_piece("duck", brine=Brine.WET), ahead_h=6.0),
        _day(_piece("pork_shoulder", brine=Brine.DRY), ahead_h=-1.0, people=40),
        _day(low, _piece("whole_chicken")),
        plan_day(wish, forecast_of=never_below(95.0)),
        plan_day(late, forecast_of=made_forecast),
    ]


def test_conflicts_and_remedies_are_sentences() -> None:
    found: set[ConflictKey] = set()
    offered: set[RemedyKey] = set()
    for day in _all_conflicts():
        found |= {c.key for c in day.conflicts}
        offered |= {r.key for c in day.conflicts for r in c.remedies}
        for conflict in present_dayline(day, FAHRENHEIT).conflicts:
            for sentence in (conflict.text, *conflict.remedies):
                assert sentence.rstrip().endswith("."), sentence
                assert "None" not in sentence
                assert "nan" not in sentence
    assert found >= set(ConflictKey) - {ConflictKey.LONG_HOLD}
    assert {RemedyKey.COLD_WATER, RemedyKey.EAT_AT, RemedyKey.HOTTER_PIT} <= offered


def test_conflicts_come_before_the_steps() -> None:
    day = _day(_piece("duck", state=MeatState.FROZEN), ahead_h=8.0)
    lines = dayline_text(present_dayline(day, FAHRENHEIT)).splitlines()
    assert lines[1].startswith("! It should have been thawing in the refrigerator since")
    assert lines[2].startswith("  - can still be done: thaw in cold water")


def test_steps_that_stand_say_so() -> None:
    lit = Pin(NOW + timedelta(hours=42, minutes=7))
    wish = DayWish((_piece("duck"),), NOW + timedelta(hours=49), NOW, pins={"light": lit})
    day = plan_day(wish, forecast_of=made_forecast)
    (step,) = [s for s in present_dayline(day, CELSIUS).steps if s.key == "light"]
    assert (step.clock, step.state, step.range) == ("06:07", "moved", "")
    assert "06:07  [moved] light the fire" in dayline_text(present_dayline(day, CELSIUS))


def test_object_holds_instants_with_their_offset() -> None:
    day = _day(_piece("ham"))
    found = dayline_object(day, present_dayline(day, CELSIUS), CELSIUS)
    (piece,) = found["pieces"]
    assert datetime.fromisoformat(piece["meat_on"]) == day.pieces[0].on_at
    assert piece["chance_by_meal"] >= 0.895
    on = next(s for s in found["steps"] if s["key"] == StepKey.MEAT_ON.value)
    assert on["at"].endswith("+02:00")
