"""Typed words that do something on the screen, for hands that would rather not look for a key."""

from __future__ import annotations

import re

from app.line.vocabulary import COMMAND_WORDS
from app.presenters.alerts import ABOUT, SNOOZE_MIN, AlertKind
from app.screen_state import LONGEST_SNOOZE

OPENS = {
    "help": "app.help",
    "?": "app.help",
    "lines": "mode('lines')",
    "chart": "mode('chart')",
    "zoom": "zoom",
    "patio": "patio",
    "fire": "page('fire')",
    "levers": "page('levers')",
    "tables": "page('tables')",
    "cooks": "app.ledger",
    "ledger": "app.ledger",
    "new": "app.new",
    "day": "app.dayline",
    "dayline": "app.dayline",
    "brine": "app.mixes",
    "light": "app.palette('noon')",
    "dark": "app.palette('dusk')",
    "quit": "app.quit",
}
WORDS = (*COMMAND_WORDS, *OPENS, "snooze", "alert")
"""What the entry completes beside probe names and the words of the log."""

SNOOZE = re.compile(r"snooze(?: (\d{1,3})(?: ?m(?:in)?)?)?")
ALERT = re.compile(rf"alert ({'|'.join(AlertKind)}) (on|off)")
LONGEST_MIN = LONGEST_SNOOZE.total_seconds() / 60.0


def _plain(text: str) -> str:
    return " ".join(text.lower().split())


def _snooze_min(text: str) -> int | None:
    """Minutes that a snooze asks for, 0 for the usual; None if it is no snooze that can be."""
    found = SNOOZE.fullmatch(text)
    if found is None:
        return None
    if found[1] is None:
        return 0
    minutes = int(found[1])
    return minutes if 1 <= minutes <= LONGEST_MIN else None


def word_means(text: str) -> str:
    """What a typed text does on the screen; empty if it is none of these words."""
    words = _plain(text)
    if words in OPENS:
        return f"opens: {words}"
    minutes = _snooze_min(words)
    if minutes is not None:
        return f"alerts are quiet for {minutes or SNOOZE_MIN:g} min"
    found = ALERT.fullmatch(words)
    return (
        "" if found is None else f"switches {found[2]} the alert when {ABOUT[AlertKind(found[1])]}"
    )


def action_of(text: str) -> str:
    """The action of a text that :func:`word_means` knows."""
    words = _plain(text)
    minutes = _snooze_min(words)
    if minutes is not None:
        return f"snooze({minutes or SNOOZE_MIN:g})"
    found = ALERT.fullmatch(words)
    return f"alert_kind('{found[1]}', '{found[2]}')" if found else OPENS[words]
