"""Reads the start form: a cook that can be started, or one plain message for each bad field."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from typing import TypeVar

from app.line.fields import (
    read_mass_kg,
    read_meal,
    read_span_s,
    read_thickness_m,
)
from app.line.fields import read_start as read_on_at
from app.line.numbers import PIT_C, TARGET_C, named_unit, other_unit_words, read_temp_c
from app.line.values import Refusal
from app.line.vocabulary import RESERVED
from app.presenters.start import StartText, default_title
from core.catalogue import body_of
from core.cook import Plan, Probe
from core.errors import CoreError
from core.units import TemperatureUnit
from storage.limits import good_name, good_text
from storage.values import NewCook

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class StartReading:
    """What the form amounts to: `new` is None while any field is bad."""

    new: NewCook | None
    errors: dict[str, str]


class BadField(Exception):
    """A field that cannot be read; the message is for the person who typed it."""


class _Form:
    """Reads fields one by one and keeps a message for each that fails."""

    def __init__(self) -> None:
        self.errors: dict[str, str] = {}

    def read(self, field: str, text: str, reader: Callable[[str], T], fallback: T) -> T:
        """What `reader` makes of the text, or `fallback` and a message."""
        try:
            return reader(text.strip())
        except BadField as error:
            self.errors[field] = str(error)
        except Refusal as refusal:
            self.errors[field] = f"{refusal.error.found}; {refusal.error.allowed}"
        return fallback


def read_start(text: StartText, now: datetime, zone: tzinfo) -> StartReading:
    """Read the whole form as it stands at `now`."""
    form = _Form()
    unit = text.unit
    on_at = form.read("on_at", text.on_at, lambda typed: read_on_at(typed, now, zone), now)
    meal = form.read("meal", text.meal, lambda typed: _maybe_meal(typed, on_at, zone), None)
    mass_kg = form.read(
        "weight", text.weight, lambda typed: read_mass_kg(typed, text.mass_unit), 1.0
    )
    pit_c = form.read("pit", text.pit, lambda typed: _pit_c(typed, unit), 100.0)
    target_c = form.read("target", text.target, lambda typed: _target_c(typed, unit), 70.0)
    glaze_c = form.read("glaze", text.glaze, lambda typed: _maybe_c(typed, unit), None)
    wrap_c = form.read("wrap", text.wrap, lambda typed: _maybe_c(typed, unit), None)
    start_c = form.read("meat", text.meat, lambda typed: _maybe_c(typed, unit), None)
    rest_s = form.read("rest", text.rest, _maybe_s, None)
    other = text.cut == "other"
    thickness_m: float | None = None
    if other:
        thickness_m = form.read(
            "thickness", text.thickness, lambda typed: read_thickness_m(typed, text.mass_unit), 0.05
        )
    usual = Probe("", target_c, start_c, glaze_c, wrap_c)
    nothing: tuple[Probe, ...] = ()
    probes = form.read(
        "probes", text.probes, lambda typed: read_probes(typed, usual, unit), nothing
    )
    form.read("title", text.title, _good_title, "")
    plan = Plan(
        cut=text.cut,
        mass_kg=mass_kg,
        pit_c=pit_c,
        serve_s=None if meal is None else (meal - on_at).total_seconds(),
        rest_s=rest_s,
        shape=text.shape if other else None,
        thickness_m=thickness_m,
    )
    _check_together(form, plan, probes)
    if form.errors:
        return StartReading(None, form.errors)
    title = text.title.strip() or default_title(text.cut, on_at, zone)
    new = NewCook(title, on_at, unit, text.mass_unit, plan, probes)
    return StartReading(new, {})


def drop_late_usuals(text: StartText, typed: Collection[str]) -> StartText:
    """The form without a usual glaze or wrap that a lower target has left behind.

    Parameters
    ----------
    text : StartText
    typed : collection of str
        Fields that were given by hand: they stay, and are refused where they do not fit.
    """
    try:
        target_c = _target_c(text.target, text.unit)
    except (BadField, Refusal):
        return text
    glaze, wrap = (
        "" if _is_late(text, field, target_c) and field not in typed else getattr(text, field)
        for field in ("glaze", "wrap")
    )
    return replace(text, glaze=glaze, wrap=wrap)


def _is_late(text: StartText, field: str, target_c: float) -> bool:
    try:
        trigger_c = _maybe_c(getattr(text, field), text.unit)
    except (BadField, Refusal):
        return False
    return trigger_c is not None and trigger_c >= target_c


def _check_together(form: _Form, plan: Plan, probes: tuple[Probe, ...]) -> None:
    """What only shows when several fields are seen at once."""
    if form.errors:
        return
    if not all(probe.target_c < plan.pit_c for probe in probes):
        form.errors["target"] = "must be below the pit, or it is never reached"
    for field, name in (("glaze", "glaze_c"), ("wrap", "wrap_c")):
        wanted = [getattr(probe, name) for probe in probes]
        if any(
            trigger is not None and trigger >= probe.target_c
            for trigger, probe in zip(wanted, probes, strict=True)
        ):
            form.errors[field] = "must be below the temperature at which it is done"
    try:
        body_of(plan)
    except CoreError as error:
        form.errors["weight"] = str(error)


def _temp_c(typed: str, unit: TemperatureUnit) -> float:
    if not typed:
        raise BadField("needed")
    word, _, apart = typed.partition(" ")
    return read_temp_c(word, apart.strip(), unit)


def _pit_c(typed: str, unit: TemperatureUnit) -> float:
    """A pit; one that no charcoal pit shows was meant in the other unit."""
    pit_c = _temp_c(typed, unit)
    if not named_unit(typed) and not PIT_C[0] <= pit_c <= PIT_C[1]:
        raise BadField(other_unit_words(typed, unit, "pit"))
    return pit_c


def _target_c(typed: str, unit: TemperatureUnit) -> float:
    """A core to cook to; one that no cooked meat has was meant in the other unit."""
    target_c = _temp_c(typed, unit)
    if not named_unit(typed) and not TARGET_C[0] <= target_c <= TARGET_C[1]:
        raise BadField(other_unit_words(typed, unit, "core"))
    return target_c


def _maybe_c(typed: str, unit: TemperatureUnit) -> float | None:
    return _temp_c(typed, unit) if typed else None


def _maybe_s(typed: str) -> float | None:
    return read_span_s(typed) if typed else None


def read_probes(typed: str, usual: Probe, unit: TemperatureUnit) -> tuple[Probe, ...]:
    """Probes of ``breast, thigh 175``; a number behind a name is that probe's own target."""
    probes: list[Probe] = []
    for part in (part.strip() for part in typed.split(",")):
        if not part:
            continue
        words = part.split()
        target_c = usual.target_c
        if len(words) > 1 and words[-1][0].isdigit():
            target_c = read_temp_c(words.pop(), "", unit)
        name = " ".join(words)
        if not good_name(name) or name[0].isdigit():
            raise BadField("a name is a word or two, such as breast")
        if name.lower().split()[0] in RESERVED:
            raise BadField(f"{name} means something else on the entry line")
        if name in (probe.name for probe in probes):
            raise BadField(f"{name} is there twice")
        own = Probe(name, target_c, usual.start_c, usual.glaze_c, usual.wrap_c)
        probes.append(own)
    if not probes:
        raise BadField("at least one")
    return tuple(probes)


def _good_title(typed: str) -> str:
    if len(typed) > 80 or not good_text(typed):
        raise BadField("at most 80 letters")
    return typed


def _maybe_meal(typed: str, on_at: datetime, zone: tzinfo) -> datetime | None:
    return read_meal(typed, on_at, zone) if typed else None
