"""``doneby hindcast``: what the forecast would have said at each reading of a cook."""

from __future__ import annotations

import argparse
import json
import math
from dataclasses import dataclass
from datetime import datetime, tzinfo
from pathlib import Path

from app.cli.documents import cook_number
from app.cli.shell import OK, CommandError, Shell
from app.cli.table import table_lines
from app.display import Display
from app.learned import Learned, Learning
from app.presenters.hindcast import hindcast_object, hindcast_table
from core.answers import Forecast
from core.cook import Cook
from core.forecast import hindcast
from core.units import MassUnit, TemperatureUnit
from storage.documents import read_document
from storage.errors import shown
from storage.limits import ELAPSED_S, within


@dataclass(frozen=True, slots=True)
class _Source:
    """A cook, wherever it came from."""

    title: str
    cook: Cook
    started_at: datetime
    unit: TemperatureUnit
    zone: tzinfo
    learned: Learned


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Print the forecasts made with only what was known at each time."""
    at_s = None if options.at is None else tuple(_minute_s(text) for text in options.at)
    source = _source(options.source, shell, by_book=options.book)
    forecasts = _forecasts(source, at_s)
    if options.json:
        shell.say(json.dumps(hindcast_object(source.title, forecasts), indent=1))
        return OK
    display = Display(source.unit, MassUnit.KILOGRAM, source.zone)
    shell.say(source.title)
    if not source.cook.probes:
        shell.say("No probe is in the meat of this cook, so there is nothing to forecast.")
        return OK
    if not forecasts:
        shell.say("No readings yet, so there is nothing to look back on. --at 0 asks the prior.")
        return OK
    rows = hindcast_table(source.cook, source.started_at, forecasts, display)
    if source.learned.cook_ids:
        shell.say(_learned_words(source.learned))
    shell.say("Median, and the range that holds 8 of 10 cooks like this:")
    for line in table_lines(rows):
        shell.say(line)
    return OK


def _forecasts(source: _Source, at_s: tuple[float, ...] | None) -> tuple[Forecast, ...]:
    if not source.cook.probes:
        return ()
    return hindcast(source.cook, at_s=at_s, prior=source.learned.prior)


def _learned_words(learned: Learned) -> str:
    count = len(learned.cook_ids)
    cooks = "1 cook" if count == 1 else f"{count} cooks"
    return f"With what {cooks} of yours before it taught; --book leaves that out."


def _minute_s(text: str) -> float:
    """Time from meat-on [s] of a typed minute."""
    try:
        seconds = 60.0 * float(text.replace(",", "."))
    except ValueError:
        seconds = math.nan
    if not within(seconds, ELAPSED_S):
        low, high = (bound / 60.0 for bound in ELAPSED_S)
        raise CommandError(
            f"--at {shown(text)}; allowed are minutes from meat-on, {low:g} to {high:g}"
        )
    return seconds


def _source(text: str, shell: Shell, *, by_book: bool) -> _Source:
    """The cook in a file, or the one of that number in the data file.

    A bare number is a cook's number; a file of that name is ``./12``. A cook of the data file is
    looked back at with what the cooks before it had taught; a file goes by the book.
    """
    if text.removeprefix("#").isdigit():
        with shell.store() as store:
            saved = store.cook(cook_number(text))
            book = Learned(saved.cook.plan.cut)
            learned = book if by_book else Learning(store).for_cook(saved)
        return _Source(saved.title, saved.cook, saved.started_at, saved.unit, shell.zone, learned)
    document = read_document(Path(text))
    cook = Cook(document.plan, document.probes, document.readings, document.events)
    zone = document.started_at.tzinfo or shell.zone
    title, start, unit = document.title or text, document.started_at, document.unit
    return _Source(title, cook, start, unit, zone, Learned(cook.plan.cut))
