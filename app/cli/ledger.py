"""``doneby ledger``: the list of cooks, one cook looked back at, or several side by side."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, replace

from app.cli.learning import tell_learning
from app.cli.ledger_cook import bin_cook, say_to_cook, set_outcome, tell_cook, unbin_cook
from app.cli.main import keep_traceback
from app.cli.shell import OK, CommandError, Shell
from app.cli.table import table_lines
from app.display import Display
from app.learned import Learning
from app.ledger import KIND, Kept, LedgerEntry, encode, entries, work_out
from app.presenters.ledger import Column, cell, haystack, matches, ordered
from app.settings import usual_units
from core.catalogue import CUTS
from storage.errors import StorageError, shown
from storage.store import Store

WORKED_OUT_MOST = 60
"""Figures that a list works out without being asked: some tenths of a second each."""

SORTS = {
    "date": Column.DATE, "no": Column.NUMBER, "cut": Column.CUT, "weight": Column.WEIGHT,
    "pit": Column.PIT, "plan": Column.PLAN, "took": Column.TOOK, "late": Column.LATE,
    "half": Column.HALF, "outcome": Column.OUTCOME, "title": Column.TITLE, "fire": Column.HELD,
}  # fmt: skip
"""What ``--sort`` takes."""

COLUMNS = (
    Column.NUMBER, Column.DATE, Column.CUT, Column.WEIGHT, Column.PIT, Column.PLAN, Column.TOOK,
    Column.LATE, Column.HALF, Column.OUTCOME, Column.TITLE,
)  # fmt: skip

NO_COOK = "No cook yet. 'doneby start' starts one, 'doneby demo' shows a sample."

DOES = (
    "a cook's number; compare and two to four numbers; outcome, say, bin or unbin and a number; "
    "learning, with on or off; or nothing for the list"
)


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Do what the words ask for; without any, list the cooks."""
    if not options.words:
        return _list(options, shell)
    what, *rest = options.words
    if what.removeprefix("#").isdigit() and not rest:
        return tell_cook(what, options, shell)
    if what == "learning" and len(rest) <= 1:
        return tell_learning(rest[0] if rest else None, shell)
    if what == "compare":
        from app.cli.ledger_compare import tell_compared

        return tell_compared(rest, options, shell)
    jobs: dict[str, Callable[[str, list[str], argparse.Namespace, Shell], int]] = {
        "outcome": set_outcome, "say": say_to_cook, "bin": bin_cook, "unbin": unbin_cook,
    }  # fmt: skip
    if what in jobs and rest:
        return jobs[what](rest[0], rest[1:], options, shell)
    raise CommandError(f"found {shown(' '.join(options.words))}; allowed is {DOES}")


def _list(options: argparse.Namespace, shell: Shell) -> int:
    column = _sort(options.sort)
    cut = _cut(options.cut)
    with shell.store() as store:
        unit, mass_unit = usual_units(store, shell.env)
        display = Display(unit, mass_unit, shell.zone)
        found = entries(store, binned=options.bin)
        there = len(found)
        found = tuple(e for e in found if cut is None or e.summary.cut == cut)
        found, waiting = _with_figures(store, found, shell, everything=options.all)
    query = options.search or ""
    shown_ = ordered(
        [e for e in found if matches(haystack(e, display), query)], column, turned=options.turn
    )
    if options.json:
        shell.say(json.dumps({"cooks": [ledger_object(entry) for entry in shown_]}, indent=1))
        return OK
    if not there:
        shell.say("The bin is empty." if options.bin else NO_COOK)
        return OK
    if not shown_:
        shell.say(f"None of {there} cooks matches.")
        return OK
    rows = [tuple(column.value for column in COLUMNS)]
    rows += [tuple(cell(entry, column, display) for column in COLUMNS) for entry in shown_]
    for line in table_lines(rows):
        shell.say(line)
    if waiting:
        shell.say(f"{waiting} cooks have no figures yet; --all works them out.")
    return OK


def _sort(text: str) -> Column:
    if text not in SORTS:
        raise CommandError(f"--sort {shown(text)}; allowed are {', '.join(SORTS)}")
    return SORTS[text]


def _cut(text: str | None) -> str | None:
    """The key of a cut that was named by key or by name."""
    if text is None:
        return None
    key = "_".join(text.strip().lower().replace("-", " ").split())
    if key not in CUTS:
        raise CommandError(f"--cut {shown(text)}; allowed are {', '.join(CUTS)}")
    return key


def _with_figures(
    store: Store, found: tuple[LedgerEntry, ...], shell: Shell, *, everything: bool
) -> tuple[tuple[LedgerEntry, ...], int]:
    """The entries with what is missing worked out, newest first; and how many still miss it."""
    learning = Learning(store)
    done, waiting = [], 0
    left = len(found) if everything else WORKED_OUT_MOST
    for entry in found:
        if not entry.over or entry.kept is not None:
            done.append(entry)
        elif left:
            left -= 1
            done.append(replace(entry, kept=_figures(store, entry.summary.id, learning, shell)))
        else:
            waiting += 1
            done.append(entry)
    return tuple(done), waiting


def _figures(store: Store, cook_id: int, learning: Learning, shell: Shell) -> Kept:
    """The figures of one cook, kept beside it; one that fails does not hide the others."""
    saved = store.cook(cook_id)
    try:
        kept = work_out(saved, learning=learning)
    except Exception as error:  # noqa: BLE001  the log has all of it, the list says so
        keep_traceback(shell)
        return Kept(failed=f"{type(error).__name__}: {error}")
    # a full disk must not hide what was worked out
    with suppress(StorageError):
        store.derived.put(saved.id, KIND, saved.stamp, encode(kept))
    return kept


def ledger_object(entry: LedgerEntry) -> dict[str, object]:
    """One cook of the list for a script; seconds from meat-on, °C, kg."""
    cook = entry.summary
    return {
        "id": cook.id, "title": cook.title, "cut": cook.cut, "mass_kg": cook.mass_kg,
        "pit_c": cook.pit_c, "started_at": cook.started_at.isoformat(),
        "ended_at": None if cook.ended_at is None else cook.ended_at.isoformat(),
        "readings": cook.readings, "invented": cook.invented,
        "outcome": None if entry.outcome is None else asdict(entry.outcome),
        "figures": None if entry.kept is None else asdict(entry.kept),
    }  # fmt: skip
