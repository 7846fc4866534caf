"""What does not go as wished, in words, with what can still be done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from app.display import Display, rough_span, span
from app.presenters.cautions import minimum_words
from app.presenters.words import in_ten
from core.catalogue import cut_named
from core.day_times import floored, later
from core.day_values import Conflict, ConflictKey, Dayline, Remedy, RemedyKey
from core.thaw import WATER_CHANGE_S
from core.units import from_celsius


@dataclass(frozen=True, slots=True)
class ConflictView:
    """One conflict and its remedies, finished sentences."""

    text: str
    remedies: tuple[str, ...]


def present_conflict(day: Dayline, conflict: Conflict, display: Display) -> ConflictView:
    """One conflict in words."""
    text = _conflict_words(day, conflict, display)
    if conflict.piece is not None and len(day.pieces) > 1:
        text = f"{conflict.piece}: {text}"
    remedies = tuple(_remedy_words(day, remedy, display) for remedy in conflict.remedies)
    return ConflictView(text[:1].upper() + text[1:], remedies)


def round_pit(pit_c: float, display: Display) -> str:
    """A pit that is proposed, as a fire is held: in steps of 5 degrees."""
    return f"{5 * round(from_celsius(pit_c, display.unit) / 5)} {display.degree}"


def _conflict_words(day: Dayline, conflict: Conflict, display: Display) -> str:
    now = day.wish.now
    at = "" if conflict.at is None else _clock(conflict.at, now, display)
    n = dict(conflict.numbers)
    match conflict.key:
        case ConflictKey.SERVE_PAST:
            return f"the meal at {at} is past."
        case ConflictKey.THAW_LATE:
            return f"it should have been thawing in the refrigerator since {at}."
        case ConflictKey.BRINE_LATE:
            needed, left = rough_span(n["needed_s"]), rough_span(n["left_s"])
            return f"not time enough for the salt: it needs {needed}, there are {left}."
        case ConflictKey.MEAT_ON_LATE:
            late = span(n["late_s"])
            told = f"{late} before you put it on" if n["moved"] else f"{late} before it can"
            return f"it should go on at {at}, {told}. Ready by the meal: {in_ten(n['chance'])}."
        case ConflictKey.RUNNING_LATE:
            return f"it runs late. Ready by the meal: {in_ten(n['chance'])}."
        case ConflictKey.NEVER_REACHED:
            return f"{in_ten(n['never'])} never get there at this fire."
        case ConflictKey.LONG_HOLD:
            early, late = rough_span(n["early_s"]), rough_span(n["late_s"])
            return (
                f"the finish is unsure, {early} to {late} from meat-on: "
                f"early meat would be held hot for up to {rough_span(n['hold_s'])}."
            )
        case ConflictKey.PITS_DIFFER:
            return _pits_words(conflict, display)
        case ConflictKey.BELOW_MINIMUM:
            return _below_words(day, conflict, display)
        case ConflictKey.FIRE_EARLY:
            ahead = rough_span(n["ahead_s"])
            return f"the fire was lit {ahead} before the meat goes on: it will want fuel by then."
        case ConflictKey.SMALL_FOR_PEOPLE:
            fed = max(round(n["fed"]), 1)
            return f"this feeds about {fed}; you are {n['people']:.0f}."


def _pits_words(conflict: Conflict, display: Display) -> str:
    """One fire has one pit: what each wants, and the compromise that is planned with."""
    wanted = [
        f"{name.removeprefix('pit_c ')} {display.temp(value)}"
        for name, value in conflict.numbers
        if name.startswith("pit_c ")
    ]
    fire = display.temp(conflict.number("fire_c") or 0.0)
    return f"one fire has one pit: {', '.join(wanted)}. Planned for all: {fire}, the middle."


def _clock(at: datetime, now: datetime, display: Display) -> str:
    """A clock time on the last five-minute mark: what is a latest time is never said too late."""
    return display.clock(floored(at), now)


def _one_pit_words(day: Dayline, remedy: Remedy, display: Display) -> str:
    """All at the pit of one of them, and when each goes on then."""
    on = [
        (name.removeprefix("ahead_s "), floored(later(day.wish.serve_at, -value)))
        for name, value in remedy.numbers
        if name.startswith("ahead_s ")
    ]
    times = ", ".join(f"{name} on at {display.clock(at, day.wish.now)}" for name, at in on)
    return f"all at {display.temp(dict(remedy.numbers)['pit_c'])} instead: {times}."


def _below_words(day: Dayline, conflict: Conflict, display: Display) -> str:
    piece = next(p for p in day.wish.pieces if p.name == conflict.piece)
    minimum = cut_named(piece.plan.cut).minimum
    target = display.reading(conflict.number("target_c") or 0.0)
    return (
        f"the target {target} is below the published minimum, {minimum_words(minimum, display)} "
        f"for {minimum.food} ({minimum.source})."
    )


def _remedy_words(day: Dayline, remedy: Remedy, display: Display) -> str:
    by = "" if remedy.by is None else _clock(remedy.by, day.wish.now, display)
    n = dict(remedy.numbers)
    chance = f", {in_ten(n['chance'])} ready" if "chance" in n else ""
    match remedy.key:
        case RemedyKey.COLD_WATER:
            takes, change = rough_span(n["thaw_high_s"]), span(WATER_CHANGE_S)
            if by and n["share"] < 1.0:
                return (
                    f"in the refrigerator until {by}, then what is still frozen in cold water, "
                    f"changed every {change}: takes about {takes}."
                )
            start = f"from {by} at the latest" if by else "from now on"
            return f"thaw in cold water, changed every {change}, {start}: takes about {takes}."
        case RemedyKey.FROM_FROZEN:
            return f"roast it frozen: half as long again at least, to eat at {by}."
        case RemedyKey.SHORTER_BRINE:
            return f"salt it dry from {by}, {rough_span(n['soak_low_s'])} or longer."
        case RemedyKey.NO_BRINE:
            return "leave the salt out, or salt it as it goes on."
        case RemedyKey.EAT_AT:
            return f"eat at {by}{chance}."
        case RemedyKey.HOTTER_PIT:
            return f"pit at {round_pit(n['pit_c'], display)}, meat on at {by}{chance}."
        case RemedyKey.WRAP:
            held = f", held for up to {rough_span(n['hold_s'])}"
            return f"wrap at {display.temp(n['wrap_c'])}, meat on at {by}{chance}{held}."
        case RemedyKey.LOWER_CHANCE:
            return f"meat on at {by}{chance}, held for up to {rough_span(n['hold_s'])}."
        case RemedyKey.FIRMER_PIT:
            held = f", held for up to {rough_span(n['hold_s'])}"
            return f"pit at {round_pit(n['pit_c'], display)}, meat on at {by}{chance}{held}."
        case RemedyKey.ONE_PIT:
            return _one_pit_words(day, remedy, display)
        case RemedyKey.MORE_MEAT:
            return f"about {display.mass(n['mass_kg'])} more."
