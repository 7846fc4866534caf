"""Plan fields as they are typed: weights, lengths, spans, the meal and meat-on."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.line.fields import (
    read_field_c,
    read_mass_kg,
    read_meal,
    read_span_s,
    read_start,
    read_thickness_m,
)
from app.line.values import Refusal
from core.units import MassUnit, TemperatureUnit, f_to_c

ZONE = ZoneInfo("America/Chicago")
NOON = datetime(2026, 5, 9, 12, 0, tzinfo=ZONE)
KG, LB = MassUnit.KILOGRAM, MassUnit.POUND


@pytest.mark.parametrize(
    ("text", "unit", "kg"),
    [
        # 1 lb is 0.45359237 kg, 1 oz a sixteenth of it (international yard and pound, 1959)
        ("7", LB, 3.17514659),
        ("7 lb", KG, 3.17514659),
        ("7lb 4oz", KG, 3.2885446825),
        ("24oz", KG, 0.680388555),
        ("3.2", KG, 3.2),
        ("3,2 kg", LB, 3.2),
        ("850 g", LB, 0.85),
    ],
)
def test_weights(text: str, unit: MassUnit, kg: float) -> None:
    assert read_mass_kg(text, unit) == pytest.approx(kg, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["", "0", "-3", "nan", "7 stone", "61kg", "3 kg 4 oz", "１", "7lb4"]
)
def test_weights_that_are_refused(text: str) -> None:
    with pytest.raises(Refusal):
        read_mass_kg(text, KG)


def test_thickness() -> None:
    assert read_thickness_m("8", KG) == pytest.approx(0.08)
    assert read_thickness_m("3", LB) == pytest.approx(0.0762)
    assert read_thickness_m('3"', KG) == pytest.approx(0.0762)
    assert read_thickness_m("80 mm", LB) == pytest.approx(0.08)
    for text in ("", "8 feet", "0", "70cm", "x"):
        with pytest.raises(Refusal):
            read_thickness_m(text, KG)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("20", 20),
        ("20m", 20),
        ("1h", 60),
        ("1h20m", 80),
        ("1 h 20 min", 80),
        ("0", 0),
        ("90 min", 90),
    ],
)
def test_spans(text: str, minutes: float) -> None:
    assert read_span_s(text) == 60.0 * minutes


@pytest.mark.parametrize("text", ["", "soon", "-5", "49h", "1d"])
def test_spans_that_are_refused(text: str) -> None:
    with pytest.raises(Refusal):
        read_span_s(text)


def test_temperature_fields_name_themselves() -> None:
    assert read_field_c("pit", "300 F", TemperatureUnit.CELSIUS) == pytest.approx(f_to_c(300.0))
    with pytest.raises(Refusal) as refusal:
        read_field_c("pit", "hot", TemperatureUnit.CELSIUS)
    assert refusal.value.error.found.startswith("pit: ")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("18:30", "2026-05-09T18:30"),
        ("6:30pm", "2026-05-09T18:30"),
        ("6:30", "2026-05-09T18:30"),
        ("06:30", "2026-05-10T06:30"),
        ("11:00", "2026-05-10T11:00"),
        ("12:15", "2026-05-09T12:15"),
        ("1:30", "2026-05-09T13:30"),
        ("11am", "2026-05-10T11:00"),
        ("0:30", "2026-05-10T00:30"),
        ("2026-05-10T13:00", "2026-05-10T13:00"),
    ],
)
def test_the_meal_is_the_next_such_time(text: str, expected: str) -> None:
    meal = read_meal(text, NOON, ZONE)
    assert meal.replace(tzinfo=None) == datetime.fromisoformat(expected)
    assert meal.utcoffset() == timedelta(hours=-5)


@pytest.mark.parametrize(
    "text", ["", "late", "25:00", "12:75", "13pm", "2026-05-08T13:00", "2026-13-01T10:00"]
)
def test_meals_that_are_refused(text: str) -> None:
    with pytest.raises(Refusal):
        read_meal(text, NOON, ZONE)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("now", "2026-05-09T12:00"),
        ("", "2026-05-09T12:00"),
        ("-20m", "2026-05-09T11:40"),
        ("11:40", "2026-05-09T11:40"),
        ("12:15", "2026-05-09T12:15"),
        ("1:15", "2026-05-09T13:15"),
        ("22:00", "2026-05-09T22:00"),
        ("23:59", "2026-05-09T23:59"),
        ("00:30", "2026-05-09T00:30"),
    ],
)
def test_meat_on_is_the_nearest_such_time(text: str, expected: str) -> None:
    start = read_start(text, NOON, ZONE)
    assert start.replace(tzinfo=None) == datetime.fromisoformat(expected)


def test_a_night_with_a_clock_change_keeps_its_true_length() -> None:
    # The clock goes back an hour in Chicago on 2026-11-01 (tz database, US rules of 2007).
    evening = datetime(2026, 10, 31, 21, 0, tzinfo=ZONE)
    start = read_start("now", evening, ZONE)
    meal = read_meal("11:00", start, ZONE)
    assert meal - start == timedelta(hours=15)
    assert read_meal("11pm", start, ZONE) - start == timedelta(hours=2)
    later = read_start("-2h", datetime(2026, 11, 1, 2, 30, tzinfo=ZONE), ZONE)
    assert later.isoformat() == "2026-11-01T01:30:00-05:00"


def test_a_skipped_minute_is_not_a_meal() -> None:
    evening = datetime(2026, 3, 7, 22, 0, tzinfo=ZONE)
    meal = read_meal("2:30am", evening, ZONE)
    assert meal.date().isoformat() == "2026-03-09"


@given(st.text(max_size=20))
@settings(max_examples=300, deadline=None)
def test_any_text_is_read_or_refused(text: str) -> None:
    for reader in (
        lambda: read_mass_kg(text, KG),
        lambda: read_thickness_m(text, KG),
        lambda: read_span_s(text),
        lambda: read_meal(text, NOON, ZONE),
        lambda: read_start(text, NOON, ZONE),
    ):
        try:
            reader()
        except Refusal as refusal:
            assert refusal.error.message.isprintable()
