"""The console script: reads the arguments, runs one command, turns errors into exit codes."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path

from app.cli.parser import build_parser
from app.cli.shell import BAD_INPUT, FAILED, OK, CommandError, Shell
from app.line.values import Refusal
from app.logs import log_path
from core.errors import CoreError, InvalidValue, UnknownCut
from storage.errors import (
    DocumentError,
    InvalidEntry,
    LineNotLive,
    NoSuchCook,
    NoSuchDay,
    NoSuchLine,
    NoSuchMix,
    ProbeInUse,
    StorageError,
)

BAD_INPUT_ERRORS = (
    DocumentError, InvalidEntry, InvalidValue, LineNotLive, NoSuchCook, NoSuchDay, NoSuchLine,
    NoSuchMix, ProbeInUse, UnknownCut,
)  # fmt: skip
INTERRUPTED = 130


def main(argv: Sequence[str] | None = None, shell: Shell | None = None) -> int:
    """Run one command and return its exit status.

    Parameters
    ----------
    argv : sequence of str, optional
        The arguments; those of the process if not given.
    shell : Shell, optional
        The surroundings; those of the process if not given.

    Returns
    -------
    int
        0; 1 for a failure; 2 for bad input.
    """
    # Many small arrays: threads of the linear algebra library only wait for one another. It reads
    # this when numpy is first imported, which no command has done yet.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _soften_streams()
    shell = shell or Shell()
    arguments = list(sys.argv[1:] if argv is None else argv)
    try:
        code = _run(arguments, shell)
        if shell.out is not None:
            shell.out.flush()
    except BrokenPipeError:
        # Whoever read the output has enough of it.
        _drop_output()
        return OK
    except KeyboardInterrupt:
        shell.complain("interrupted")
        return INTERRUPTED
    return code


def _run(arguments: list[str], shell: Shell) -> int:
    if any("\0" in argument for argument in arguments):
        shell.complain(
            "found a null character in an argument; no name or text may hold one. "
            "Nothing was saved."
        )
        return BAD_INPUT
    try:
        options = build_parser().parse_args(arguments)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else BAD_INPUT
    try:
        code: int = options.run(options, shell)
    except CommandError as error:
        shell.complain(str(error))
        return error.code
    except Refusal as refusal:
        shell.complain(refusal.error.message)
        return BAD_INPUT
    except (StorageError, CoreError) as error:
        shell.complain(str(error))
        return BAD_INPUT if isinstance(error, BAD_INPUT_ERRORS) else FAILED
    except (BrokenPipeError, KeyboardInterrupt):
        raise
    except Exception as error:  # noqa: BLE001  the last line of defence: log it, say it, fail
        kept = keep_traceback(shell)
        where = f"; the details are in {kept}" if kept else ""
        shell.complain(f"something went wrong in the program: {error!r}{where}")
        return FAILED
    return code


def keep_traceback(shell: Shell) -> Path | None:
    """Write the traceback in hand to the log file beside the data file; None if that fails."""
    try:
        path = log_path(shell.data_path)
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        with os.fdopen(descriptor, "a", encoding="utf-8", errors="backslashreplace") as log:
            log.write(f"{shell.clock().isoformat()}\n{traceback.format_exc()}\n")
    except OSError:
        return None
    return path


def _soften_streams() -> None:
    """A terminal that has no degree sign shows a question mark, it does not end the program."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def _drop_output() -> None:
    """Point the closed stdout at nothing, so that the interpreter's last flush is quiet."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError, AttributeError):
        return
