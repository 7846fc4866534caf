"""What was learned from own cooks, in words made from the numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import Display, plain_number, span
from app.presenters.review import Section
from core.catalogue import cut_named

if TYPE_CHECKING:
    from app.learned import Learned, Lessons, Typical

SMALL_SHARE = 0.02
"""A difference from the book that is not worth a number."""

PLURALS = {
    "pork_shoulder": "pork shoulders",
    "pork_loin": "pork loins",
    "pork_ribs": "pork ribs",
    "ham": "hams",
    "beef_brisket": "briskets",
    "beef_rib_roast": "rib roasts",
    "leg_of_lamb": "legs of lamb",
    "whole_chicken": "chickens",
    "chicken_pieces": "chicken pieces",
    "whole_turkey": "turkeys",
    "turkey_breast": "turkey breasts",
    "duck": "ducks",
    "goose": "geese",
    "salmon_side": "salmon sides",
    "other": "other cooks",
}


def plural(cut: str) -> str:
    """Several pieces of a cut, as they are called."""
    return PLURALS[cut_named(cut).key]


def learned_words(learned: Learned, typical: Typical | None) -> str:
    """``your ducks finish 9 % sooner than the book (learned from 5 cooks)``; empty if nothing was.

    Parameters
    ----------
    learned : Learned
    typical : Typical or None
        Of the plan that is spoken about.
    """
    if not learned.on:
        return "learning from your own cooks is off"
    if not learned.cook_ids or typical is None:
        return ""
    count = len(learned.cook_ids)
    source = f"learned from {count} {'cook' if count == 1 else 'cooks'}"
    return f"your {plural(learned.cut)} {share_words(typical.later_share)} ({source})"


def share_words(later_share: float) -> str:
    """``finish 9 % sooner than the book``."""
    if abs(later_share) < SMALL_SHARE:
        return "finish about when the book says"
    way = "later" if later_share > 0 else "sooner"
    return f"finish {plain_number(abs(100.0 * later_share), 0)} % {way} than the book"


def next_words(learned: Learned, typical: Typical | None) -> str:
    """As `learned_words`, with when it counts: after a cook has ended."""
    words = learned_words(learned, typical)
    return f"{words}; used from the next cook on" if learned.cook_ids and words else words


def typical_words(typical: Typical, mass_kg: float, display: Display) -> str:
    """``the next one of 2.3 kg: about 3 h 10 min on the fire; 8 of 10 take ...``."""
    return f"the next one of {display.mass(mass_kg)}: {length_words(typical)}"


def length_words(typical: Typical) -> str:
    """``about 3 h 10 min on the fire; 8 of 10 take 2 h 45 min to 3 h 40 min``."""
    middle, low, high = (_about(s) for s in (typical.middle_s, typical.low_s, typical.high_s))
    return f"about {middle} on the fire; 8 of 10 take {low} to {high}"


def lesson_section(lessons: Lessons, mass_kg: float, display: Display) -> Section:
    """What own cooks have to do with a past one, for the look back at it."""
    if not lessons.now.on:
        return Section("Your own cooks", (("", "Learning from your own cooks is off."),))
    then = source_words(lessons.then).removeprefix("forecast ") or "by the book"
    rows = [("forecast", then)]
    if words := learned_words(lessons.now, lessons.following):
        rows.append(("by now", f"{words[:1].upper()}{words[1:]}"))
    if lessons.following is not None:
        rows.append(("next time", f"{display.mass(mass_kg)}: {length_words(lessons.following)}"))
    return Section("Your own cooks", tuple(rows))


def _about(seconds: float) -> str:
    """A length of time no finer than it is known: to 5 minutes, beyond 6 hours to 15."""
    step = 300.0 if seconds < 6 * 3600.0 else 900.0
    return span(step * round(seconds / step))


def source_words(learned: Learned) -> str:
    """Where a forecast's first belief is from, for a line among others; empty for the book."""
    count = len(learned.cook_ids)
    if not count:
        return ""
    cooks = "1 earlier cook" if count == 1 else f"{count} earlier cooks"
    return f"forecast sharpened by {cooks} of yours"
