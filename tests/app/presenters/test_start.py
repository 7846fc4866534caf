"""The start form without a screen: usual values, units, and every field's message."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.display import Display
from app.presenters.start import (
    cut_choices,
    default_title,
    hints,
    present_outlook,
    usual,
    with_cut,
    with_units,
)
from app.presenters.start_reading import read_start
from app.settings import locale_units
from core.catalogue import CUTS
from core.cook import Cook
from core.units import MassUnit, TemperatureUnit, f_to_c
from tests.journeys.stage import plain_forecast

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2026, 5, 9, 11, 30, tzinfo=ZONE)
UNITS = [(t, m) for t in TemperatureUnit for m in MassUnit]


@pytest.mark.parametrize(("unit", "mass_unit"), UNITS)
@pytest.mark.parametrize("cut", sorted(CUTS))
def test_the_usual_values_of_every_cut_can_be_started(
    cut: str, unit: TemperatureUnit, mass_unit: MassUnit
) -> None:
    text = usual(cut, unit, mass_unit)
    if cut == "other":
        text = replace(text, thickness="8 cm")
    reading = read_start(text, NOW, ZONE)
    assert reading.errors == {}
    assert reading.new is not None
    plan, probe = reading.new.plan, reading.new.probes[0]
    assert plan.mass_kg == pytest.approx(CUTS[cut].typical_mass_kg, rel=0.1)
    assert plan.pit_c == pytest.approx(CUTS[cut].pit_c, abs=1.5)
    assert probe.target_c == pytest.approx(CUTS[cut].target_c, abs=0.5)


def test_every_cut_of_the_catalogue_can_be_chosen_and_every_field_says_what_it_is_for() -> None:
    assert {key for _, key in cut_choices()} == set(CUTS)
    for cut in CUTS:
        for hint in hints(usual(cut, TemperatureUnit.FAHRENHEIT, MassUnit.POUND)).values():
            assert 0 < len(hint) <= 45, hint


def test_no_usual_target_is_below_the_published_minimum_unless_the_catalogue_says_so() -> None:
    for cut in CUTS.values():
        text = usual(cut.key, TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
        if cut.target_c >= cut.minimum.temp_c:
            assert float(text.target) >= cut.minimum.temp_f


def test_another_cut_keeps_what_is_not_about_the_cut() -> None:
    text = replace(
        usual("ham", TemperatureUnit.CELSIUS, MassUnit.KILOGRAM), title="Sunday", meal="13:00"
    )
    changed = with_cut(text, "duck")
    assert (changed.title, changed.meal) == ("Sunday", "13:00")
    assert changed.probes == "breast" and changed.weight == "2.3"


def test_units_convert_what_can_be_read_and_leave_the_rest() -> None:
    text = replace(
        usual("duck", TemperatureUnit.FAHRENHEIT, MassUnit.POUND), pit="300", glaze="hot"
    )
    changed = with_units(text, TemperatureUnit.CELSIUS, MassUnit.KILOGRAM)
    assert changed.pit == "149"
    assert changed.glaze == "hot"
    assert changed.weight == "2.27"


def test_a_probe_may_have_its_own_target() -> None:
    text = replace(
        usual("whole_chicken", TemperatureUnit.FAHRENHEIT, MassUnit.POUND),
        probes="breast, thigh 175",
    )
    reading = read_start(text, NOW, ZONE)
    assert reading.new is not None
    targets = {probe.name: probe.target_c for probe in reading.new.probes}
    assert targets == {
        "breast": pytest.approx(f_to_c(165.0)),
        "thigh": pytest.approx(f_to_c(175.0)),
    }


def test_the_meal_is_counted_from_meat_on() -> None:
    text = replace(
        usual("duck", TemperatureUnit.CELSIUS, MassUnit.KILOGRAM), on_at="11:00", meal="17:30"
    )
    new = read_start(text, NOW, ZONE).new
    assert new is not None
    assert new.started_at == NOW - timedelta(minutes=30)
    assert new.plan.serve_s == 6.5 * 3600.0


def test_a_name_is_made_of_the_cut_and_the_day() -> None:
    assert default_title("duck", NOW, ZONE) == "duck, Sat 9 May"


def test_units_follow_the_locale() -> None:
    american = (TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
    metric = (TemperatureUnit.CELSIUS, MassUnit.KILOGRAM)
    assert locale_units({"LANG": "en_US.UTF-8"}) == american
    assert locale_units({}) == american
    assert locale_units({"LANG": "C.UTF-8"}) == american
    assert locale_units({"LANG": "de_AT.UTF-8"}) == metric
    assert locale_units({"LANG": "en_US.UTF-8", "LC_MEASUREMENT": "en_GB.UTF-8"}) == metric


def test_the_outlook_says_when_and_keeps_a_caution() -> None:
    text = replace(usual("duck", TemperatureUnit.CELSIUS, MassUnit.KILOGRAM), target="60")
    text = replace(text, glaze="50")
    new = read_start(text, NOW, ZONE).new
    assert new is not None
    forecast = plain_forecast(Cook(new.plan, new.probes), 0.0)
    words = present_outlook(new, forecast, NOW, Display(new.unit, new.mass_unit, ZONE))
    assert words.startswith("Meat on 11:30: done about ")
    assert "Glaze about" in words
    assert "Below the published minimum" in words


@pytest.mark.parametrize(
    ("unit", "field", "typed", "words"),
    [
        (TemperatureUnit.CELSIUS, "pit", "325", "325f is °F, 325c keeps it"),
        (TemperatureUnit.CELSIUS, "target", "165", "165f is °F"),
        (TemperatureUnit.FAHRENHEIT, "target", "74", "74 °F is no usual core; 74c is °C"),
        (TemperatureUnit.FAHRENHEIT, "pit", "110", "110c is °C"),
    ],
)
def test_a_number_of_the_other_unit_is_not_taken_in_silence(
    unit: TemperatureUnit, field: str, typed: str, words: str
) -> None:
    text = usual("whole_chicken", unit, MassUnit.KILOGRAM)
    reading = read_start(replace(text, **{field: typed}), NOW, ZONE)
    assert reading.new is None
    assert words in reading.errors[field]
    letter = "f" if unit is TemperatureUnit.CELSIUS else "c"
    other = read_start(replace(text, **{field: f"{typed}{letter}"}), NOW, ZONE)
    assert field not in other.errors


def test_an_odd_pit_with_its_unit_is_taken_at_its_word() -> None:
    text = usual("salmon_side", TemperatureUnit.CELSIUS, MassUnit.KILOGRAM)
    reading = read_start(replace(text, pit="325c"), NOW, ZONE)
    assert reading.new is not None
    assert reading.new.plan.pit_c == 325.0
