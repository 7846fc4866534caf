"""``doneby ledger learning``: what own cooks taught, by cut, and switching it on or off."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from app.cli.shell import OK, CommandError, Shell
from app.display import Display
from app.learned import Learning, typical
from app.presenters.learning import next_words, typical_words
from app.presenters.words import sentence
from app.settings import usual_units
from storage.errors import shown
from storage.store import Store

SETTINGS = {"on": True, "off": False}
NOTHING = (
    "Nothing was learned yet: that takes a finished cook of your own with at least "
    "four readings of its first probe. Samples do not count."
)


def tell_learning(setting: str | None, shell: Shell) -> int:
    """Switch learning on or off if asked to, and say what was learned.

    Parameters
    ----------
    setting : str or None
        ``on``, ``off``, or None to leave it as it is.
    shell : Shell
    """
    if setting is not None and setting not in SETTINGS:
        raise CommandError(f"found {shown(setting)}; allowed are on and off, or neither")
    with shell.store() as store:
        learning = Learning(store)
        if setting is not None:
            learning.switch(SETTINGS[setting])
        if not learning.on:
            shell.say("Learning from your own cooks is off: forecasts go by the book.")
            return OK
        shell.say("Learning from your own cooks is on.")
        display = Display(*usual_units(store, shell.env), shell.zone)
        for line in list(_told(store, learning, shell.clock(), display)) or [NOTHING]:
            shell.say(line)
    return OK


def _told(store: Store, learning: Learning, now: datetime, display: Display) -> Iterator[str]:
    """One line for each cut, that of the newest cook first."""
    newest: dict[str, int] = {}
    for summary in store.cooks():
        if not summary.invented and summary.ended_at is not None:
            newest.setdefault(summary.cut, summary.id)
    for cut, cook_id in newest.items():
        learned = learning.of(cut, now)
        if not learned.cook_ids:
            continue
        cook = store.cook(cook_id).cook
        told = typical(cook, learned)
        if told is not None:
            parts = (next_words(learned, told), typical_words(told, cook.plan.mass_kg, display))
            yield " ".join(sentence(part) for part in parts)
