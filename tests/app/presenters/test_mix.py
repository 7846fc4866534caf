"""A mix in words: its numbers are those of the brine model, its cautions always stand."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest

from app.display import Display
from app.mix_lines import read_mix
from app.presenters.mix import MixView, guessed_kind, mix_text, present_mix
from core.brine import strength
from core.cook import Plan, Shape
from core.units import MassUnit, TemperatureUnit

SHOW = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, ZoneInfo("Europe/Rome"))
CHICKEN = Plan("whole_chicken", 1.8, 165.0)


def _view(*lines: str, meat_kg: float | None = None, plan: Plan | None = None) -> MixView:
    return present_mix(read_mix(lines), SHOW, meat_kg=meat_kg, plan=plan)


def _fact(view: MixView, label: str) -> str:
    return next(fact.text for fact in view.facts if fact.label == label)


def test_three_quarters_of_a_cup_of_table_salt_in_a_gallon() -> None:
    """USDA Meat and Poultry Hotline's turkey brine; 5.4 to 5.5 % with 288 to 292 g a cup."""
    view = _view("3/4 cup table salt", "1 gallon water")
    assert _fact(view, "strength") == "5.4 % salt by weight"
    assert _fact(view, "which is") == "within the usual 4.8 to 6 %"
    assert "usual here" not in {fact.label for fact in view.facts}


def test_sixty_grams_a_litre() -> None:
    """The strong end of a spice seller's 50 to 60 g a litre: 60 / 1060 is 5.7 %."""
    view = _view("60 g salt", "1 l water")
    assert _fact(view, "strength") == "5.7 % salt by weight"
    assert not next(fact.source for fact in view.facts if fact.label == "strength")


def test_a_weak_brine_says_what_would_be_usual() -> None:
    view = _view("120 g salt", "4 l water", meat_kg=3.0)
    assert _fact(view, "strength") == "2.9 % salt by weight"
    assert _fact(view, "usual here") == "200 to 255 g of salt for this water"
    assert _fact(view, "with the meat").startswith("1.7 % salt")


def test_a_salt_of_unknown_kind_is_a_range_and_a_caution() -> None:
    view = _view("3/4 cup kosher salt", "1 gallon water")
    found = strength(read_mix(["3/4 cup kosher salt", "1 gallon water"]).mix(None))
    words = f"{found.low_pct:.1f} to {found.high_pct:.1f} % salt by weight"
    assert _fact(view, "strength") == words
    assert any("Salts differ" in caution for caution in view.cautions)


def test_time_by_cut_and_by_thickness() -> None:
    """An appliance manual gives 3 to 8 h for a whole chicken."""
    assert _fact(_view("60 g salt", "1 l water", plan=CHICKEN), "time").startswith("3 h to 8 h")
    thin = Plan("other", 1.0, 150.0, shape=Shape.SLAB, thickness_m=0.03)
    thick = Plan("other", 1.0, 150.0, shape=Shape.SLAB, thickness_m=0.06)
    times = {_fact(_view("60 g salt", "1 l water", plan=each), "time") for each in (thin, thick)}
    assert len(times) == 2


def test_a_rub_compares_its_salt_with_the_published_dry_brine() -> None:
    """USDA Hotline: a tablespoon of kosher salt for 5 lb."""
    view = _view("1 tbsp kosher salt", "1 tsp pepper", meat_kg=5.0 * 0.45359237)
    assert view.kind == "rub"
    low, _, high = _fact(view, "dry brine").split(" of ")[0].removesuffix(" g").partition(" to ")
    assert _fact(view, "salt").startswith(f"{low} to {high} g on 2.27 kg")
    assert not any("brine again" in caution for caution in view.cautions)


@pytest.mark.parametrize(
    "lines", [("60 g salt", "1 l water"), ("4 l water",), ("300 g salt", "1 l water")]
)
def test_brine_cautions_always_stand(lines: tuple[str, ...]) -> None:
    text = mix_text(_view(*lines))
    assert "at or below 4 °C / 40 °F" in text
    assert "Never use a brine again" in text
    assert "Wash your hands" in text
    assert "\u2014" not in text


def test_curing_salt_is_not_counted_and_warned_of() -> None:
    view = _view("5 g pink curing salt", "1 l water")
    assert _fact(view, "strength") == "0 % salt by weight"
    assert view.cautions[0].startswith("Curing salt holds nitrite")


def test_bad_lines_are_told_by_number() -> None:
    view = _view("60 g salt", "2 water", "1 l water")
    assert view.errors[0].startswith("line 2: found '2 water'")
    assert view.lines == ("60 g salt", "1 l water")
    assert _view("nothing").facts[0].text == "none that is counted"


def test_kinds_are_guessed_by_the_liquid() -> None:
    assert guessed_kind(read_mix(["60 g salt", "1 l water"])) == "brine"
    assert guessed_kind(read_mix(["60 g salt", "2 tbsp vinegar"])) == "rub"
