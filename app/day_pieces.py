"""A piece of meat of a day in words: ``whole_chicken 4lb frozen wet target=165``, read and spelled.

The command line takes it behind ``--with``, the day's form in its field for what else is on the
fire.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, time, timedelta, tzinfo

from app.display import WEEKDAYS, Display, plain_number
from app.line.fields import read_mass_kg, read_meal
from app.line.values import Refusal
from app.localtime import with_offset
from app.presenters.start import USUAL_PLACE, StartText, usual, with_typed
from app.presenters.start_reading import drop_late_usuals, read_start
from core.catalogue import CUTS, cut_named
from core.day_values import Brine, Piece
from core.thaw import MeatState
from core.units import MassUnit, TemperatureUnit
from storage.errors import shown
from storage.limits import YEARS

PIECE_RULE = "CUT WEIGHT, then any of frozen, partly, wet, dry, pit=T, target=T, glaze=T, rest=MIN"
STATES = {state.value: state for state in MeatState}
BRINES = {brine.value: brine for brine in Brine}
FIELDS = {
    "pit": "pit",
    "target": "target",
    "glaze": "glaze",
    "wrap": "wrap",
    "rest": "rest",
    "probe": "probes",
}
NONE = "none"
FAR = timedelta(days=366)


def read_piece(
    text: str,
    unit: TemperatureUnit,
    mass_unit: MassUnit,
    now: datetime,
    zone: tzinfo,
    pit: str | None = None,
) -> Piece:
    """The piece that the words describe; what is left out is the cut's usual. Raises Refusal.

    Parameters
    ----------
    text : str
    unit, mass_unit
        Of bare numbers.
    now, zone
    pit : str, optional
        As typed, in the place of the cut's usual.
    """
    words = text.split()
    key = words[0].lower().replace("-", "_") if words else ""
    if key not in CUTS or key == "other":
        raise Refusal(f"found {shown(text)}", f"a piece begins with a cut; {PIECE_RULE}")
    form = usual(key, unit, mass_unit)
    form = replace(form, weight="", pit=form.pit if pit is None else pit)
    form, state, brine = _with_words(form, words[1:], text)
    if not form.weight:
        raise Refusal(f"found {shown(text)}", f"a weight is needed; {PIECE_RULE}")
    typed = {word.lower().partition("=")[0] for word in words[1:]}
    reading = read_start(drop_late_usuals(form, typed), now, zone)
    if reading.new is None:
        field, message = next(iter(reading.errors.items()))
        raise Refusal(f"found {shown(text)}", f"{field}: {message}")
    new = reading.new
    return Piece(cut_named(key).name, new.plan, new.probes, state, brine)


def _with_words(
    form: StartText, words: Iterable[str], text: str
) -> tuple[StartText, MeatState, Brine]:
    state, brine = MeatState.THAWED, Brine.NONE
    for word in words:
        lower = word.lower()
        name, sign, value = lower.partition("=")
        if lower in STATES:
            state = STATES[lower]
        elif lower in BRINES:
            brine = BRINES[lower]
        elif sign and name in FIELDS and value:
            form = with_typed(form, FIELDS[name], "" if value == NONE else value)
        else:
            try:
                read_mass_kg(word, form.mass_unit)
            except Refusal:
                raise Refusal(f"found {shown(word)} in {shown(text)}", PIECE_RULE) from None
            form = replace(form, weight=word)
    return form, state, brine


def numbered(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """The pieces, those of one name numbered."""
    all_of_them = tuple(pieces)
    names = [piece.name for piece in all_of_them]
    return tuple(
        replace(piece, name=f"{piece.name} {names[: i + 1].count(piece.name)}")
        if names.count(piece.name) > 1
        else piece
        for i, piece in enumerate(all_of_them)
    )


def piece_words(piece: Piece, display: Display) -> str:
    """The piece spelled so that it is read the same again."""
    plan, probe = piece.plan, piece.probes[0]
    unit = display.unit.value.lower()
    words = [plan.cut, display.mass(plan.mass_kg).replace(" ", "")]
    words += [word.value for word in (piece.state,) if word is not MeatState.THAWED]
    words += [word.value for word in (piece.brine,) if word is not Brine.NONE]
    words += [f"pit={display.number(plan.pit_c)}{unit}"]
    words += [f"target={display.number(probe.target_c)}{unit}"]
    for name, value in (("glaze", probe.glaze_c), ("wrap", probe.wrap_c)):
        words.append(f"{name}={NONE if value is None else f'{display.number(value)}{unit}'}")
    if plan.rest_s is not None:
        words.append(f"rest={plain_number(plan.rest_s / 60.0, 0)}")
    if [each.name for each in piece.probes] != [USUAL_PLACE[plan.cut]]:
        words.append(f"probe={','.join(each.name for each in piece.probes)}")
    return " ".join(words)


def read_day_meal(text: str, now: datetime, zone: tzinfo) -> datetime:
    """A meal to come: ``18:30``, ``sat 13:00``, or dated; raises Refusal.

    A weekday alone means its next one, today included while the time is still to come.
    """
    clean = text.strip()
    day = next((d for d in WEEKDAYS if clean.lower().startswith(d.lower())), None)
    if day is None:
        at = read_meal(clean, now, zone)
        if not YEARS[0] < at.year < YEARS[1] or at > now + FAR:
            raise Refusal(f"meal {shown(text)}", "a day is planned up to a year ahead")
        return at
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


def read_people(text: str) -> int | None:
    """How many eat; empty: not said. Raises Refusal."""
    clean = text.strip()
    if not clean:
        return None
    if not (clean.isascii() and clean.isdigit() and 1 <= int(clean) <= 10_000):
        raise Refusal(f"people {shown(text)}", "allowed is 1 to 10000")
    return int(clean)


def read_chance(text: str) -> float:
    """A wanted chance in percent as a share; raises Refusal."""
    try:
        chance = float(text.strip().removesuffix("%").replace(",", ".")) / 100.0
    except ValueError:
        chance = -1.0
    if not 0.05 <= chance <= 0.99:
        raise Refusal(f"chance {shown(text)}", "allowed is 5 to 99 (percent)")
    return chance
