"""``doneby`` without a command: the screens on the cook in hand."""

from __future__ import annotations

import argparse
import sys
from importlib.metadata import PackageNotFoundError, version

from app.cli.shell import OK, CommandError, Shell


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Open the screens, or print the version."""
    if options.version:
        shell.say(f"doneby {_version()}")
        return OK
    require_terminal()
    from app.tui import run as run_screens

    return run_screens(shell.data_path, quiet=options.quiet)


def require_terminal() -> None:
    """Raise CommandError unless a person sits at a terminal."""
    if not (sys.stdin and sys.stdin.isatty() and sys.stdout and sys.stdout.isatty()):
        raise CommandError(
            "the screens need a terminal; 'doneby status' and 'doneby say' work without one"
        )


def _version() -> str:
    try:
        return version("doneby")
    except PackageNotFoundError:
        return "from a source tree"
