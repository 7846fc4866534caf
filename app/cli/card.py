"""``doneby help``: the card of the typed line, or how a command is called."""

from __future__ import annotations

import argparse

from app.cli.parser import build_parser
from app.cli.shell import OK, Shell
from app.line.card import card_text


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Print the help that was asked for."""
    if options.topic == "line":
        shell.say(card_text())
        return OK
    arguments = ["--help"] if options.topic is None else [options.topic, "--help"]
    try:
        build_parser().parse_args(arguments)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else OK
    return OK
