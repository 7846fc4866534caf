"""``doneby demo``: a sample cook replayed on the Tend screen."""

from __future__ import annotations

import argparse
import math

from app.cli.screens import require_terminal
from app.cli.shell import FAILED, OK, CommandError, Shell
from app.demo import SPEEDS, USUAL_SPEED, Demo
from app.samples import USUAL_SAMPLE, sample_files, samples_named
from storage.documents import read_document
from storage.errors import shown


def run(options: argparse.Namespace, shell: Shell) -> int:
    """List the samples, or replay one. The user's own data file is never touched."""
    files = sample_files()
    if not files:
        raise CommandError("the samples were not installed with the program", FAILED)
    if options.list:
        for name, path in files.items():
            shell.say(f"{name}: {read_document(path).title}")
        return OK
    speed = USUAL_SPEED if options.speed is None else _speed(options.speed)
    name = _one_of(options.name or USUAL_SAMPLE, tuple(files))
    document = read_document(files[name])
    require_terminal()
    from app.tui import run as run_screens

    return run_screens(shell.data_path, demo=Demo(document, speed))


def _one_of(asked: str, names: tuple[str, ...]) -> str:
    found = samples_named(asked)
    if len(found) == 1:
        return found[0]
    which = "several samples" if found else "no sample"
    raise CommandError(f"{shown(asked)} names {which}; there are {', '.join(found or names)}")


def _speed(text: str) -> float:
    try:
        speed = float(text.lower().rstrip("x"))
    except ValueError:
        speed = math.nan
    if not SPEEDS[0] <= speed <= SPEEDS[1]:
        low, high = SPEEDS
        raise CommandError(f"--speed {shown(text)}; allowed is {low:g} to {high:g} times")
    return speed
