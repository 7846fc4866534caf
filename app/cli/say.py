"""``doneby say``: one line, or a pipe of them, logged exactly as on the screen."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from app.cli.shell import BAD_INPUT, FAILED, OK, CommandError, Shell
from app.desk import Accepted, AskOnce, Desk, Outcome, Refused
from app.presenters.words import sentence

PIPED_LINE = 100_000
"""A piped line longer than this is cut before it is refused: it is no line."""


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Log the text, or each line of a pipe; stop at the first that is not saved."""
    piped = not options.text
    lines = _piped(shell) if piped else iter([" ".join(options.text)])
    saved = 0
    with shell.store() as store:
        desk = Desk(store, shell.clock, zone=shell.zone)
        for line in lines:
            outcome = desk.accept(line, confirmed=options.yes)
            if not isinstance(outcome, Accepted):
                where = f"line {saved + 1}: " if piped else ""
                kept = f" {saved} lines before it were saved." if piped else ""
                shell.complain(f"{where}{_reason(outcome)}{kept}")
                failed = isinstance(outcome, Refused) and outcome.failed
                return FAILED if failed else BAD_INPUT
            shell.say(outcome.message)
            if piped and shell.out is not None:
                shell.out.flush()  # whoever feeds the pipe may wait for this word
            saved += 1
    if piped and not saved:
        raise CommandError("nothing came through the pipe; nothing was saved")
    return OK


def _reason(outcome: Outcome) -> str:
    if isinstance(outcome, AskOnce):
        odd = " ".join(sentence(words) for words in outcome.odd)
        return f"{odd} Read as: {outcome.reads_as}. Nothing was saved; --yes saves it as it is."
    assert not isinstance(outcome, Accepted)  # noqa: S101  told apart by the caller
    return outcome.reason


def _piped(shell: Shell) -> Iterator[str]:
    """The lines of stdin that are not blank."""
    if shell.stdin is None or shell.stdin.isatty():
        raise CommandError("say what? For example: doneby say '305 128'; or pipe lines into it")
    while line := shell.stdin.readline(PIPED_LINE):
        if line.strip():
            yield line
