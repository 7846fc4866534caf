"""``doneby ledger ID`` and what can be done with one past cook from the command line."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict, replace
from typing import Any

from app.cli.documents import cook_number
from app.cli.shell import BAD_INPUT, OK, CommandError, Shell
from app.display import Display
from app.learned import Learning, lessons_of
from storage.errors import shown
from storage.values import Outcome, SavedCook

SCORES = ("tender", "juicy", "skin", "smoke")
TEXTS = ("words_said", "change", "wood")


def tell_cook(text: str, options: argparse.Namespace, shell: Shell) -> int:
    """Look back at one cook, as the screen does."""
    from app.presenters.hindcast import hindcast_table
    from app.presenters.learning import lesson_section
    from app.presenters.review import headline, review_sections, section_lines, sentence_of
    from core.forecast import hindcast
    from core.review import figures

    cook_id = cook_number(text)
    with shell.store() as store:
        saved = store.cook(cook_id)
        outcome, mixes = store.outcomes.of(cook_id), store.mixes.of_cook(cook_id)
        lessons = lessons_of(Learning(store), saved, shell.clock())
    prior = lessons.then.prior
    if saved.ended_at is None:
        raise CommandError(f"cook {cook_id} is still in hand; 'doneby status' tells about it")
    found = figures(saved.cook, prior=prior)
    if options.json:
        shell.say(json.dumps(_object(saved, found, outcome), indent=1))
        return OK
    display = Display(saved.unit, saved.mass_unit, shell.zone)
    shell.say(headline(saved, display))
    shell.say(sentence_of(saved, found))
    shell.say("")
    sections = review_sections(saved, found, outcome, mixes, display)
    own = lesson_section(lessons, saved.cook.plan.mass_kg, display)
    for line in section_lines((*sections, own)):
        shell.say(line)
    if saved.cook.probes and saved.cook.readings:
        from app.cli.table import table_lines

        made = hindcast(saved.cook, prior=prior)
        shell.say("\nHow the forecast moved: median, and the range that holds 8 of 10")
        for line in table_lines(hindcast_table(saved.cook, saved.started_at, made, display)):
            shell.say(f"  {line}")
    return OK


def _object(saved: SavedCook, found: Any, outcome: Outcome | None) -> dict[str, object]:
    """One cook for a script; seconds from meat-on, °C, kg."""
    return {
        "id": saved.id, "title": saved.title, "cut": saved.cook.plan.cut,
        "mass_kg": saved.cook.plan.mass_kg, "started_at": saved.started_at.isoformat(),
        "ended_at": None if saved.ended_at is None else saved.ended_at.isoformat(),
        "invented": saved.invented, "figures": asdict(found),
        "outcome": None if outcome is None else asdict(outcome),
    }  # fmt: skip


def set_outcome(text: str, rest: list[str], options: argparse.Namespace, shell: Shell) -> int:
    """Say how a cook turned out; what is not named stays as it was."""
    from app.presenters.review import outcome_rows

    _no_more(rest)
    cook_id = cook_number(text)
    changes: dict[str, Any] = {
        name: _score(name, getattr(options, name))
        for name in SCORES
        if getattr(options, name) is not None
    }
    for option in TEXTS:
        if getattr(options, option) is not None:
            changes[option.removesuffix("_said")] = getattr(options, option).strip()
    with shell.store() as store:
        outcome = store.outcomes.of(cook_id) or Outcome()
        if changes:
            outcome = replace(outcome, **changes)
            store.outcomes.save(cook_id, outcome)
            shell.say("saved:")
        rows = outcome_rows(outcome, store.mixes.of_cook(cook_id))
    for name, words in rows:
        shell.say(f"  {name:<13} {words}")
    if not rows:
        shell.say("  nothing was said of it")
    return OK


def _score(name: str, text: str) -> int | None:
    if text in ("none", "-"):
        return None
    if text not in ("1", "2", "3", "4", "5"):
        raise CommandError(f"--{name} {shown(text)}; allowed are 1 (poor) to 5, or none")
    return int(text)


def say_to_cook(text: str, rest: list[str], options: argparse.Namespace, shell: Shell) -> int:
    """A typed line to a past cook, such as a correction; the original stays beside it."""
    from app.desk import Accepted, AskOnce, Desk

    del options
    cook_id = cook_number(text)
    if not rest:
        raise CommandError(
            'found no line; allowed is a line: doneby ledger say 12 "fix #3 305 132"'
        )
    with shell.store() as store:
        desk = Desk(store, shell.clock, zone=shell.zone, cook_id=cook_id)
        store.cook(cook_id)
        # a person who names a past cook by its number means it
        outcome = desk.accept(" ".join(rest), confirmed=True)
    if isinstance(outcome, Accepted):
        shell.say(outcome.message)
        return OK
    reason = "; ".join(outcome.odd) if isinstance(outcome, AskOnce) else outcome.reason
    raise CommandError(f"not saved: {reason}", BAD_INPUT)


def bin_cook(text: str, rest: list[str], options: argparse.Namespace, shell: Shell) -> int:
    """A past cook into the bin."""
    del options
    _no_more(rest)
    cook_id = cook_number(text)
    with shell.store() as store:
        saved = store.cook(cook_id)
        if saved.ended_at is None:
            raise CommandError(f"cook {cook_id} is in hand; allowed is a cook that has ended")
        store.bin_cook(cook_id, shell.clock())
    shell.say(f"'{saved.title}' is in the bin; 'doneby ledger unbin {cook_id}' takes it back")
    return OK


def unbin_cook(text: str, rest: list[str], options: argparse.Namespace, shell: Shell) -> int:
    """A cook out of the bin."""
    del options
    _no_more(rest)
    cook_id = cook_number(text)
    with shell.store() as store:
        store.unbin_cook(cook_id)
        title = store.cook(cook_id).title
    shell.say(f"'{title}' is back in the list")
    return OK


def _no_more(rest: list[str]) -> None:
    if rest:
        raise CommandError(f"found {shown(' '.join(rest))} behind the number; allowed is nothing")
