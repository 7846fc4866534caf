"""``doneby dayline``: the day counted back from the meal, as text or as one JSON object."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, time, timedelta, tzinfo

from app.cli.shell import OK, CommandError, Shell
from app.cli.start import new_cook
from app.display import WEEKDAYS, Display
from app.line.fields import read_mass_kg, read_meal
from app.line.values import Refusal
from app.localtime import with_offset
from app.presenters.dayline import dayline_object, dayline_text, present_dayline
from app.settings import usual_units
from core.catalogue import CUTS, cut_named
from core.day_values import Brine, DayWish, Piece
from core.dayline import plan_day
from core.thaw import MeatState, ThawMethod
from core.units import MassUnit, TemperatureUnit
from storage.errors import shown

PIECE_RULE = "CUT WEIGHT, then any of frozen, partly, wet, dry, target=T, glaze=T, rest=SPAN"
_STATES = {state.value: state for state in MeatState}
_BRINES = {brine.value: brine for brine in Brine}
_SETTINGS = ("target", "glaze", "wrap", "rest", "probe", "pit")


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Print the plan."""
    with shell.store() as store:
        unit, mass_unit = usual_units(store, shell.env)
    unit = TemperatureUnit(options.unit) if options.unit else unit
    mass_unit = MassUnit(options.mass_unit) if options.mass_unit else mass_unit
    now = shell.clock()
    wish = DayWish(
        pieces=_pieces(options, shell, unit, mass_unit),
        serve_at=read_day_meal(options.meal, now, shell.zone).astimezone(shell.zone),
        now=now,
        people=_people(options.people),
        chance=_chance(options.chance),
    )
    day = plan_day(wish)
    display = Display(unit, mass_unit, shell.zone)
    view = present_dayline(day, display)
    if options.json:
        shell.say(json.dumps(dayline_object(day, view, display), indent=1))
    else:
        shell.say(dayline_text(view))
    return OK


def read_day_meal(text: str, now: datetime, zone: tzinfo) -> datetime:
    """A meal to come: ``18:30``, ``sat 13:00``, or dated; raises Refusal.

    A weekday alone means its next one, today included while the time is still to come.
    """
    clean = text.strip()
    day = next((d for d in WEEKDAYS if clean.lower().startswith(d.lower())), None)
    if day is None:
        return read_meal(clean, now, zone)
    clock = clean[len(day) :].lstrip("abcdefghijklmnopqrstuvwxyz").strip(" ,")
    today = now.astimezone(zone).date()
    for ahead in range(8):
        date = today + timedelta(days=ahead)
        if WEEKDAYS[date.weekday()] != day:
            continue
        midnight = with_offset(datetime.combine(date, time(0), tzinfo=zone), zone)
        at = read_meal(clock, midnight - timedelta(seconds=1), zone)
        if at > now:
            return at
    raise Refusal(f"meal {shown(text)}", "a meal is 18:30, sat 13:00 or 2026-05-09T13:00")


def _pieces(
    options: argparse.Namespace, shell: Shell, unit: TemperatureUnit, mass_unit: MassUnit
) -> tuple[Piece, ...]:
    first = _piece(options, shell, unit, mass_unit)
    others = [
        _piece(_other(text, options, mass_unit), shell, unit, mass_unit)
        for text in options.others or ()
    ]
    return _named((first, *others))


def _piece(
    options: argparse.Namespace, shell: Shell, unit: TemperatureUnit, mass_unit: MassUnit
) -> Piece:
    # the meal is the whole day's, so each piece is read without it
    form = argparse.Namespace(**vars(options))
    form.meal, form.at, form.title, form.band, form.meat = None, "now", None, None, None
    new = new_cook(form, shell, unit, mass_unit)
    return Piece(
        name=cut_named(new.plan.cut).name,
        plan=new.plan,
        probes=new.probes,
        state=_STATES[options.state],
        brine=_BRINES[options.brine],
        thaw=ThawMethod(options.thaw) if options.thaw else None,
    )


def _named(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """The pieces, those of one name numbered."""
    names = [piece.name for piece in pieces]
    return tuple(
        replace(piece, name=f"{piece.name} {names[: i + 1].count(piece.name)}")
        if names.count(piece.name) > 1
        else piece
        for i, piece in enumerate(pieces)
    )


def _other(text: str, options: argparse.Namespace, mass_unit: MassUnit) -> argparse.Namespace:
    """Options of another piece, from its words; it shares nothing but the fire."""
    form = argparse.Namespace(**vars(options))
    for name in (
        "weight",
        "probe",
        "target",
        "glaze",
        "wrap",
        "rest",
        "shape",
        "thickness",
        "thaw",
    ):
        setattr(form, name, None)
    form.state, form.brine = MeatState.THAWED.value, Brine.NONE.value
    words = text.split()
    if not words or words[0].lower().replace("-", "_") not in CUTS:
        raise CommandError(f"--with {shown(text)}: it begins with a cut; {PIECE_RULE}")
    form.cut = words[0]
    _read_words(form, words[1:], text, mass_unit)
    if form.weight is None:
        raise CommandError(f"--with {shown(text)}: a weight is needed; {PIECE_RULE}")
    return form


def _read_words(
    form: argparse.Namespace, words: Iterable[str], text: str, mass_unit: MassUnit
) -> None:
    for word in words:
        lower = word.lower()
        name, sign, value = lower.partition("=")
        if lower in _STATES:
            form.state = lower
        elif lower in _BRINES:
            form.brine = lower
        elif sign and name in _SETTINGS and value:
            many = name in ("target", "glaze", "wrap", "probe")
            setattr(form, name, [value] if many else value)
        else:
            try:
                read_mass_kg(word, mass_unit)
            except Refusal:
                found = f"--with {shown(text)}: found {shown(word)}"
                raise CommandError(f"{found}; {PIECE_RULE}") from None
            form.weight = word


def _people(text: str | None) -> int | None:
    if text is None:
        return None
    if not text.isdigit() or not 1 <= int(text) <= 10_000:
        raise CommandError(f"--people {shown(text)}; allowed is 1 to 10000")
    return int(text)


def _chance(text: str) -> float:
    try:
        chance = float(text.removesuffix("%").replace(",", ".")) / 100.0
    except ValueError:
        chance = -1.0
    if not 0.05 <= chance <= 0.99:
        raise CommandError(f"--chance {shown(text)}; allowed is 5 to 99 (percent)")
    return chance
