"""The Dayline's form as it is typed: what each field is for, and the wish that it amounts to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from typing import Any, TypeVar

from app.day_pieces import (
    numbered,
    piece_words,
    read_chance,
    read_day_meal,
    read_people,
    read_piece,
)
from app.day_wish import KeptWish
from app.display import WEEKDAYS, Display, plain_number, rounded
from app.line.values import Refusal
from app.presenters.day_conflicts import present_conflict
from app.presenters.start import StartText, hints, usual, with_typed, with_units
from app.presenters.start_reading import read_start
from app.presenters.words import in_ten
from core.catalogue import cut_named
from core.cook import Shape
from core.day_values import Brine, Dayline, DayWish, Piece, StepKey
from core.thaw import MeatState
from core.units import MassUnit, TemperatureUnit

T = TypeVar("T")
OWN_FIELDS = ("meal", "people", "chance", "others")
"""Text fields of the day itself; the others are the first piece's, as in the start form."""

PIECE_FIELDS = ("weight", "pit", "probes", "target", "glaze", "wrap", "rest", "thickness")


BEFORE_WORDS = (
    (StepKey.THAW, "thaw from"),
    (StepKey.BRINE_IN, "into the brine"),
    (StepKey.DRY_SALT, "salt it"),
    (StepKey.LIGHT, "light the fire"),
)


@dataclass(frozen=True, slots=True)
class DayText:
    """The form: the first piece, its state and salt, the meal, and what else is on the fire."""

    piece: StartText
    state: MeatState = MeatState.THAWED
    brine: Brine = Brine.NONE
    meal: str = ""
    people: str = ""
    chance: str = "90"
    others: str = ""

    def field(self, name: str) -> str:
        """What stands in a text field."""
        text: str = getattr(self if name in OWN_FIELDS else self.piece, name)
        return text


@dataclass(frozen=True, slots=True)
class DayReading:
    """What the form amounts to: `kept` is None while a field is bad."""

    kept: KeptWish | None
    errors: dict[str, str]


def typed_into(text: DayText, field: str, typed: str) -> DayText:
    """The form after something was typed."""
    if field in OWN_FIELDS:
        changed: dict[str, Any] = {field: typed}
        return replace(text, **changed)
    return replace(text, piece=with_typed(text.piece, field, typed))


def in_units(text: DayText, unit: TemperatureUnit, mass_unit: MassUnit) -> DayText:
    """The form in other units."""
    return replace(text, piece=with_units(text.piece, unit, mass_unit))


def for_cut(text: DayText, cut: str) -> DayText:
    """The form after another cut was chosen: its usual values replace the old ones."""
    return replace(text, piece=usual(cut, text.piece.unit, text.piece.mass_unit))


def day_hints(text: DayText) -> dict[str, str]:
    """What each field is for."""
    words = hints(text.piece)
    return words | {
        "state": "as it is now",
        "brine": "salt beforehand: wet brine, dry, or none",
        "meal": "when you want to eat: 18:30, or sat 13:00",
        "people": "how many eat; may be empty",
        "chance": "percent wanted of being ready by then",
        "others": "duck 5lb wet; ham 8lb",
    }


def form_of(kept: KeptWish, zone: tzinfo) -> DayText:
    """The form that would give a wish again."""
    wish, show = kept.wish, Display(kept.unit, kept.mass_unit, zone)
    first, *others = wish.pieces
    plan, probe = first.plan, first.probes[0]
    length_m = 0.01 if kept.mass_unit is MassUnit.KILOGRAM else 0.0254
    piece = StartText(
        cut=plan.cut,
        unit=kept.unit,
        mass_unit=kept.mass_unit,
        weight=show.mass(plan.mass_kg).partition(" ")[0],
        pit=show.number(plan.pit_c),
        probes=", ".join(
            each.name if each.target_c == probe.target_c
            else f"{each.name} {show.number(each.target_c)}"
            for each in first.probes
        ),
        target=show.number(probe.target_c),
        glaze="" if probe.glaze_c is None else show.number(probe.glaze_c),
        wrap="" if probe.wrap_c is None else show.number(probe.wrap_c),
        rest="" if plan.rest_s is None else plain_number(plan.rest_s / 60.0, 0),
        shape=plan.shape or Shape.CYLINDER,
        thickness="" if plan.thickness_m is None else plain_number(plan.thickness_m / length_m, 1),
    )  # fmt: skip
    local = wish.serve_at.astimezone(zone)
    return DayText(
        piece=piece,
        state=first.state,
        brine=first.brine,
        meal=_meal_words(local, wish.now, zone),
        people="" if wish.people is None else str(wish.people),
        chance=plain_number(100.0 * wish.chance, 0),
        others="; ".join(piece_words(other, show) for other in others),
    )


def _meal_words(local: datetime, now: datetime, zone: tzinfo) -> str:
    """The meal as a person would type it; a date where a weekday would not be plain."""
    days = (local.date() - now.astimezone(zone).date()).days
    if 0 <= days < 6 and local > now:
        return f"{WEEKDAYS[local.weekday()]} {local:%H:%M}"
    return f"{local:%Y-%m-%dT%H:%M}"


class _Errors:
    """Reads fields one by one and keeps a message for each that fails."""

    def __init__(self) -> None:
        self.found: dict[str, str] = {}

    def read(self, field: str, reader: Callable[[], T], fallback: T) -> T:
        try:
            return reader()
        except Refusal as refusal:
            self.found[field] = f"{refusal.error.found}; {refusal.error.allowed}"
            return fallback


def read_day_form(text: DayText, now: datetime, zone: tzinfo) -> DayReading:
    """Read the whole form as it stands at `now`."""
    form = _Errors()
    reading = read_start(replace(text.piece, meal="", on_at="now", meat="", title=""), now, zone)
    form.found |= reading.errors
    meal = form.read("meal", lambda: _meal(text.meal, now, zone), now)
    people = form.read("people", lambda: read_people(text.people), None)
    chance = form.read("chance", lambda: read_chance(text.chance), 0.9)
    nothing: tuple[Piece, ...] = ()
    others = form.read("others", lambda: _others(text, now, zone), nothing)
    if form.found or reading.new is None:
        return DayReading(None, form.found)
    new = reading.new
    first = Piece(cut_named(new.plan.cut).name, new.plan, new.probes, text.state, text.brine)
    pieces = numbered((first, *others))
    wish = DayWish(pieces, meal.astimezone(zone), now, people, chance)
    return DayReading(KeptWish(wish, text.piece.unit, text.piece.mass_unit), {})


def _meal(text: str, now: datetime, zone: tzinfo) -> datetime:
    if not text.strip():
        raise Refusal("needed", "18:30, or sat 13:00")
    return read_day_meal(text, now, zone)


def _others(text: DayText, now: datetime, zone: tzinfo) -> tuple[Piece, ...]:
    parts = (part.strip() for part in text.others.split(";"))
    return tuple(
        read_piece(part, text.piece.unit, text.piece.mass_unit, now, zone) for part in parts if part
    )


def present_first_plan(day: Dayline, display: Display) -> str:
    """The day that a form would give, in a few sentences."""
    parts = []
    for key, words in BEFORE_WORDS:
        step = day.step(key)
        if step is not None:
            parts.append(f"{words} {_day_clock(step.at, display)}")
    for piece in day.pieces:
        name = f"{piece.piece.name} " if len(day.pieces) > 1 else ""
        chance = in_ten(piece.chance)
        parts.append(
            f"{name}meat on {_day_clock(piece.on_at, display)}, ready by the meal: {chance}"
        )
    words = ", ".join(parts)
    sentences = [f"{words[:1].upper()}{words[1:]}."]
    sentences += [f"! {present_conflict(day, each, display).text}" for each in day.conflicts]
    return " ".join(sentences)


def _day_clock(at: datetime, display: Display) -> str:
    local = display.local(rounded(at, 300.0, display.zone))
    return f"{WEEKDAYS[local.weekday()]} {local:%H:%M}"
