"""``doneby ledger``: the list of cooks."""

from __future__ import annotations

import argparse
import json
from datetime import timedelta

from app.cli.learning import tell_learning
from app.cli.shell import OK, CommandError, Shell
from app.cli.table import table_lines
from app.display import Display
from app.settings import usual_units
from core.catalogue import CUTS
from storage.errors import shown
from storage.values import CookSummary


def run(options: argparse.Namespace, shell: Shell) -> int:
    """List all cooks, newest first."""
    if options.words:
        return _words(options.words, shell)
    with shell.store() as store:
        cooks = store.cooks()
        unit, mass_unit = usual_units(store, shell.env)
        display = Display(unit, mass_unit, shell.zone)
    if options.json:
        shell.say(json.dumps({"cooks": [_entry(cook) for cook in cooks]}, indent=1))
        return OK
    if not cooks:
        shell.say("No cook yet. 'doneby start' starts one, 'doneby demo' shows a sample.")
        return OK
    rows: list[tuple[str, ...]] = [
        ("no.", "meat on", "cut", "weight", "pit", "readings", "state", "title")
    ]
    rows += [_row(cook, display) for cook in cooks]
    for line in table_lines(rows):
        shell.say(line)
    return OK


def _words(words: list[str], shell: Shell) -> int:
    what, *rest = words
    if what != "learning" or len(rest) > 1:
        raise CommandError(f"found {shown(' '.join(words))}; allowed is learning, with on or off")
    return tell_learning(rest[0] if rest else None, shell)


def _row(cook: CookSummary, display: Display) -> tuple[str, ...]:
    start = display.local(cook.started_at)
    return (
        str(cook.id), f"{start:%Y-%m-%d %H:%M}", CUTS[cook.cut].name, display.mass(cook.mass_kg),
        display.temp(cook.pit_c), str(cook.readings), _state(cook, display), cook.title,
    )  # fmt: skip


def _state(cook: CookSummary, display: Display) -> str:
    if cook.ended_at is None:
        return "in hand"
    length = cook.ended_at - cook.started_at
    return display.span(max(length, timedelta(0)).total_seconds())


def _entry(cook: CookSummary) -> dict[str, object]:
    return {
        "id": cook.id, "title": cook.title, "cut": cook.cut, "mass_kg": cook.mass_kg,
        "started_at": cook.started_at.isoformat(),
        "ended_at": None if cook.ended_at is None else cook.ended_at.isoformat(),
        "readings": cook.readings, "invented": cook.invented,
    }  # fmt: skip
