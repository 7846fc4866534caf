"""The start form in words: what each field is for, its usual value, and the first forecast."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, tzinfo
from typing import Any

from app.display import WEEKDAYS, Display, plain_number
from app.presenters.answers import present_answers
from app.presenters.cautions import minimum_words
from app.presenters.tend import BELOW_MINIMUM
from app.presenters.words import sentence
from core.answers import Forecast
from core.catalogue import CUTS, cut_named
from core.cook import Cook, Shape
from core.units import (
    MassUnit,
    TemperatureUnit,
    from_celsius,
    kg_to_lb,
    lb_to_kg,
    to_celsius,
)
from storage.values import NewCook, SavedCook

USUAL_PLACE = {
    "pork_shoulder": "shoulder",
    "pork_loin": "loin",
    "pork_ribs": "ribs",
    "ham": "ham",
    "beef_brisket": "flat",
    "beef_rib_roast": "roast",
    "leg_of_lamb": "leg",
    "whole_chicken": "breast",
    "chicken_pieces": "thigh",
    "whole_turkey": "breast",
    "turkey_breast": "breast",
    "duck": "breast",
    "goose": "breast",
    "salmon_side": "fillet",
    "other": "middle",
}
"""Where the one probe of each cut usually goes. Common practice, no source."""

FIRST_CUT = "pork_shoulder"


@dataclass(frozen=True, slots=True)
class StartText:
    """The start form as it is typed; every field is text but the choices."""

    cut: str
    unit: TemperatureUnit
    mass_unit: MassUnit
    title: str = ""
    weight: str = ""
    pit: str = ""
    probes: str = ""
    target: str = ""
    glaze: str = ""
    wrap: str = ""
    meat: str = ""
    on_at: str = "now"
    meal: str = ""
    rest: str = ""
    shape: Shape = Shape.CYLINDER
    thickness: str = ""


def cut_choices() -> tuple[tuple[str, str], ...]:
    """Names and keys of the catalogue, as the form lists them."""
    return tuple((cut.name, cut.key) for cut in CUTS.values())


def usual(cut_key: str, unit: TemperatureUnit, mass_unit: MassUnit) -> StartText:
    """The form for one cut with the catalogue's usual values."""
    cut = cut_named(cut_key)
    return StartText(
        cut=cut_key,
        unit=unit,
        mass_unit=mass_unit,
        weight=_mass_text(cut.typical_mass_kg, mass_unit),
        pit=_round_temp(cut.pit_c, unit, 5.0),
        probes=USUAL_PLACE[cut_key],
        target=_round_temp(cut.target_c, unit, 1.0),
        glaze="" if cut.glaze_c is None else _round_temp(cut.glaze_c, unit, 5.0),
        wrap="" if cut.wrap_c is None else _round_temp(cut.wrap_c, unit, 5.0),
        rest=plain_number(cut.rest_s / 60.0, 0),
    )


def _round_temp(temp_c: float, unit: TemperatureUnit, step: float) -> str:
    """A usual temperature as a round number of the person's own unit."""
    if unit is TemperatureUnit.CELSIUS:
        step = 1.0
    return plain_number(step * round(from_celsius(temp_c, unit) / step), 0)


def _mass_text(mass_kg: float, mass_unit: MassUnit) -> str:
    if mass_unit is MassUnit.POUND:
        mass_lb = kg_to_lb(mass_kg)
        return plain_number(round(2.0 * mass_lb) / 2.0 if mass_lb > 2.0 else mass_lb, 1)
    return plain_number(mass_kg, 2)


def hints(text: StartText) -> dict[str, str]:
    """What each field is for, in words that need no manual."""
    cut = cut_named(text.cut)
    low, high = (_mass_text(mass, text.mass_unit) for mass in (cut.mass_low_kg, cut.mass_high_kg))
    degree = f"°{text.unit.value}"
    minimum = minimum_words(cut.minimum, Display(text.unit, text.mass_unit, UTC))
    length = "cm" if text.mass_unit is MassUnit.KILOGRAM else "inches"
    return {
        "title": "empty: the cut and the day",
        "cut": "fills in what is usual for it below",
        "weight": f"{text.mass_unit.value}, raw; usually {low} to {high}",
        "pit": f"{degree} to hold where the meat is",
        "probes": "where each one sits; commas between",
        "target": f"{degree}; published minimum {minimum}",
        "glaze": f"{degree} inside for glaze or sauce; empty: none",
        "wrap": f"{degree} inside for wrapping; empty: not wrapped",
        "meat": f"{degree} inside now; empty: fresh from the fridge",
        "on_at": "meat on the fire: now, 14:05 or -20m",
        "meal": "when you want to eat; may be empty",
        "rest": "minutes from the fire to the knife",
        "shape": "what it is most like",
        "thickness": f"{length} at the thickest place, or across",
    }


def with_typed(text: StartText, field: str, typed: str) -> StartText:
    """The form after something was typed into one of its text fields."""
    changed: dict[str, Any] = {field: typed}
    return replace(text, **changed)


def with_cut(text: StartText, cut_key: str) -> StartText:
    """The form after another cut was chosen: the catalogue's values replace the old ones."""
    fresh = usual(cut_key, text.unit, text.mass_unit)
    return replace(
        fresh,
        title=text.title,
        meat=text.meat,
        on_at=text.on_at,
        meal=text.meal,
        shape=text.shape,
        thickness=text.thickness,
    )


def with_units(text: StartText, unit: TemperatureUnit, mass_unit: MassUnit) -> StartText:
    """The form in other units: what was typed is converted, what cannot be read is left."""

    def temp(typed: str) -> str:
        if unit is text.unit:
            return typed
        return _converted(typed, lambda value: _other_temp(value, text.unit, unit))

    weight = text.weight
    if mass_unit is not text.mass_unit:
        weight = _converted(weight, lambda value: _other_mass(value, mass_unit))
    return replace(
        text,
        unit=unit,
        mass_unit=mass_unit,
        weight=weight,
        pit=temp(text.pit),
        target=temp(text.target),
        glaze=temp(text.glaze),
        wrap=temp(text.wrap),
        meat=temp(text.meat),
    )


def _converted(typed: str, convert: Callable[[float], str]) -> str:
    try:
        return convert(float(typed.replace(",", ".")))
    except ValueError:
        return typed


def _other_temp(value: float, old: TemperatureUnit, new: TemperatureUnit) -> str:
    return plain_number(from_celsius(to_celsius(value, old), new), 0)


def _other_mass(value: float, new: MassUnit) -> str:
    if new is MassUnit.POUND:
        return plain_number(kg_to_lb(value), 1)
    return plain_number(lb_to_kg(value), 2)


def default_title(cut_key: str, on_at: datetime, zone: tzinfo) -> str:
    """``duck, Sat 9 May``: what a cook without a name is called."""
    local = on_at.astimezone(zone)
    return f"{cut_named(cut_key).name}, {WEEKDAYS[local.weekday()]} {local.day} {local:%b}"


def present_outlook(new: NewCook, forecast: Forecast, now: datetime, display: Display) -> str:
    """The first forecast of a cook that is not started yet, in a few sentences."""
    cook = Cook(new.plan, new.probes)
    saved = SavedCook(
        0, new.title, new.started_at, new.unit, new.mass_unit, cook, (), None, new.invented
    )
    view = present_answers(saved, forecast, max(now, new.started_at), display)
    on_at = display.clock(new.started_at, now)
    parts = [f"meat on {on_at}: done about {view.done.clock}, {view.done.range}", view.done.detail]
    if view.glaze is not None:
        parts.append(f"{view.glaze.label} about {view.glaze.clock}, {view.glaze.range}")
    parts += [text for text in view.cautions if text.startswith(BELOW_MINIMUM)]
    return " ".join(sentence(part) for part in parts if part)
