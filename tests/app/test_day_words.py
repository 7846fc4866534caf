"""Typed words about the steps of a day, and its kept form."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.day_pieces import numbered, piece_words, read_chance, read_people, read_piece
from app.day_wish import DayMix, KeptWish, WishError, read_wish, wish_text
from app.day_words import DayChange, Moved, Ticked, read_day_line
from app.display import Display
from app.line.values import Refusal
from core.catalogue import CUTS
from core.day_values import Brine, Dayline, DayWish, Piece, StepKey
from core.dayline import plan_day
from core.thaw import MeatState
from core.units import MassUnit, TemperatureUnit
from tests.core.day_fakes import made_forecast

ZONE = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 5, 8, 10, 0, tzinfo=ZONE)
METRIC = (TemperatureUnit.CELSIUS, MassUnit.KILOGRAM)
AMERICAN = (TemperatureUnit.FAHRENHEIT, MassUnit.POUND)


def _pieces(*texts: str) -> tuple[Piece, ...]:
    return numbered(read_piece(text, *METRIC, NOW, ZONE) for text in texts)


def _day(*texts: str) -> Dayline:
    wish = DayWish(_pieces(*texts), NOW + timedelta(hours=33), NOW)
    return plan_day(wish, forecast_of=made_forecast)


DAY = _day("leg_of_lamb 2.5kg", "whole_chicken 1.8kg wet")


def _read(text: str, now: datetime = NOW) -> DayChange:
    return read_day_line(text, DAY, DAY.step(StepKey.LIGHT), now, ZONE)


@pytest.mark.parametrize(
    ("text", "step_id", "clock"),
    [
        ("done", "light", "10:00"),
        ("", "light", "10:00"),
        ("done fire 9:40", "light", "09:40"),
        ("done brine", "brine_in:whole chicken", "10:00"),
        ("tick brine -20m", "brine_in:whole chicken", "09:40"),
        ("done on chicken @8:15", "meat_on:whole chicken", "08:15"),
        ("done meat on leg", "meat_on:leg of lamb", "10:00"),
        ("done meat_on:leg of lamb 9:00", "meat_on:leg of lamb", "09:00"),
    ],
)
def test_ticks(text: str, step_id: str, clock: str) -> None:
    change = _read(text)
    assert isinstance(change, Ticked)
    assert change.step.id == step_id
    assert change.at is not None
    assert f"{change.at.astimezone(ZONE):%H:%M}" == clock


@pytest.mark.parametrize(
    ("text", "step_id", "shown"),
    [
        ("11:15", "light", "Sat 11:15"),
        ("move to 11:15", "light", "Sat 11:15"),
        ("brine fri 21:00", "brine_in:whole chicken", "Fri 21:00"),
        ("meal 18:30", "eat", "Sat 18:30"),
        ("meal sun 13:00", "eat", "Sun 13:00"),
        ("rub chicken 2026-05-09T12:10", "rub:whole chicken", "Sat 12:10"),
    ],
)
def test_moves(text: str, step_id: str, shown: str) -> None:
    change = _read(text)
    assert isinstance(change, Moved)
    assert change.step.id == step_id
    assert change.to is not None
    assert f"{change.to.astimezone(ZONE):%a %H:%M}" == shown


def test_shifts_and_ways_back() -> None:
    light = DAY.step(StepKey.LIGHT)
    assert light is not None
    assert _read("+15") == Moved(light, light.at + timedelta(minutes=15))
    assert _read("-1h10m") == Moved(light, light.at - timedelta(minutes=70))
    assert _read("back") == Moved(light, None)
    assert _read("undone fire") == Ticked(light, None)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("done on", "one of several"),
        ("done thaw", "no such step"),
        ("done fire 11:00", "to come"),
        ("fire thu 9:00", "past"),
        ("fire 2027-01-01T10:00", "two weeks"),
        ("carve 12:00", "follows"),
        ("pull leg 12:00", "the meat decides"),
        ("bananas", "found"),
        ("fire fri", "found 'fri'"),
        ("fire fri now", "found 'fri now'"),
        ("brine fri 27:00", "found"),
        ("done fire bananas", "found"),
    ],
)
def test_refusals_say_what_is_allowed(text: str, words: str) -> None:
    with pytest.raises(Refusal) as caught:
        _read(text)
    assert words in caught.value.error.message
    assert caught.value.error.allowed


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        change = _read(text)
    except Refusal:
        return
    assert change.step in DAY.steps


@pytest.mark.parametrize("unit", [METRIC, AMERICAN])
@pytest.mark.parametrize("cut", [key for key in CUTS if key != "other"])
def test_a_piece_is_spelled_so_that_it_is_read_again(
    cut: str, unit: tuple[TemperatureUnit, MassUnit]
) -> None:
    piece = read_piece(f"{cut} 2kg frozen wet rest=25", *METRIC, NOW, ZONE)
    again = read_piece(piece_words(piece, Display(*unit, ZONE)), *unit, NOW, ZONE)
    assert again.plan.cut == cut
    assert (again.state, again.brine) == (MeatState.FROZEN, Brine.WET)
    assert again.plan.mass_kg == pytest.approx(piece.plan.mass_kg, abs=0.03)
    assert again.plan.pit_c == pytest.approx(piece.plan.pit_c, abs=0.1)
    assert again.plan.rest_s == 1500.0
    for old, new in zip(piece.probes, again.probes, strict=True):
        assert old.name == new.name
        assert new.target_c == pytest.approx(old.target_c, abs=0.1)
        assert (old.glaze_c is None) == (new.glaze_c is None)


def test_several_of_one_kind_are_numbered() -> None:
    names = [piece.name for piece in _pieces("duck 2kg", "duck 2.2kg", "ham 5kg")]
    assert names == ["duck 1", "duck 2", "ham"]


def test_people_and_chance() -> None:
    assert read_people(" ") is None
    assert read_people("12") == 12
    assert read_chance("90 %") == pytest.approx(0.9)
    for wrong in ("0", "-3", "many"):
        with pytest.raises(Refusal):
            read_people(wrong)
    for wrong in ("100", "4", "", "nan"):
        with pytest.raises(Refusal):
            read_chance(wrong)


WISH = KeptWish(
    DayWish(
        _pieces("leg_of_lamb 2.5kg frozen", "whole_chicken 1.8kg wet pit=170"),
        NOW + timedelta(hours=33), NOW, 8, 0.8,
    ),
    *METRIC, {"whole chicken": 4},
    (DayMix("house", "brine", ("60 g salt", "1 l water"), 2.0, "whole chicken"),),
)  # fmt: skip


def test_a_wish_is_kept_and_read_back() -> None:
    again = read_wish(wish_text(WISH), NOW, ZONE)
    assert again.wish == WISH.wish
    assert (again.unit, again.mass_unit, again.cooks) == (*METRIC, {"whole chicken": 4})
    assert again.mixes == WISH.mixes
    assert again.wish.zone is ZONE


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("version",), 99),
        (("serve_at",), "noon"),
        (("serve_at",), "2026-05-09T19:00:00"),
        (("serve_at",), "9999-12-31T23:59:59+00:00"),
        (("people",), "many"),
        (("people",), 0),
        (("chance",), 1.5),
        (("chance",), True),
        (("unit",), "K"),
        (("pieces",), {}),
        (("pieces",), []),
        (("pieces", 0), 3),
        (("pieces", 0, "cut"), "unicorn"),
        (("pieces", 0, "name"), ""),
        (("pieces", 0, "probes"), []),
        (("pieces", 0, "mass_kg"), 10**400),
        (("pieces", 0, "mass_kg"), float("nan")),
        (("pieces", 0, "mass_kg"), None),
        (("pieces", 0, "state"), "boiled"),
        (("pieces", 0, "probes", 0, "name"), "pit"),
        (("pieces", 1, "probes", 0, "target_c"), "hot"),
        (("mixes",), 3),
        (("mixes", 0, "kind"), "soup"),
        (("mixes", 0, "meat_kg"), -1),
        (("mixes", 0, "piece"), 7),
    ],
)
def test_a_damaged_wish_is_refused_in_words(place: tuple[str | int, ...], value: object) -> None:
    found = json.loads(wish_text(WISH))
    part = found
    for key in place[:-1]:
        part = part[key]
    part[place[-1]] = value
    with pytest.raises(WishError):
        read_wish(json.dumps(found), NOW, ZONE)


def test_what_is_no_json_is_refused() -> None:
    for text in ("", "[]", "null", "{"):
        with pytest.raises(WishError):
            read_wish(text, NOW, ZONE)
