"""The kill storms: the program at work, and a SIGKILL at a random moment.

Each takes a folder, a number of kills and dice, and returns a tally; it raises at the first line
that was acknowledged and is gone, that is there twice, or that nobody typed.
"""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

from app.samples import sample_files
from storage.backup import daily_backups
from tests.journeys.test_terminal import PROGRAM, Terminal, start
from tests.storage.test_schema import SAVED, saved_file
from tests.storms.attack import (
    PATIENCE_S,
    Tally,
    begin,
    check_lines,
    code,
    command,
    state,
    texts,
)

Storm = Callable[[Path, int, Random], Tally]

BURST = 25
"""Lines typed into the screen before it is killed."""

_SAID = re.compile(rb"saved: (note: storm \d+), at ")

AT_STATEMENT = """
import os, sys
from datetime import UTC, datetime
from pathlib import Path
from sqlalchemy import Engine, event
from app.cli.main import main

wanted, seen = int(sys.argv[2]), 0

def count(*_):
    global seen
    seen += 1
    if seen == wanted:
        os.kill(os.getpid(), 9)

event.listen(Engine, "after_cursor_execute", count)
event.listen(Engine, "commit", count)
os.environ["DONEBY_DATA"] = sys.argv[1]
sys.exit(main(sys.argv[3:]))
"""
"""The program, killed right after the statement with that number."""


def _typed(first: int, count: int) -> list[str]:
    return [f"note storm {number:05d}" for number in range(first, first + count)]


def _said(output: bytes) -> list[str]:
    """The lines that the program said it had saved."""
    return [found.decode().replace("note:", "note") for found in _SAID.findall(output)]


def _type(terminal: Terminal, lines: list[str], dice: Random, *, by_line: bool) -> None:
    """Type for a random time, all at once or line by line as a person waits for the answer."""
    terminal.wait_for(b"NEXT LOOK")
    if not by_line:
        terminal.write("".join(f"{text}\r" for text in lines))
        _read_for(terminal, dice.uniform(0.0, 2.0))
        return
    first = dice.randrange(1, 6)
    for text in lines[:first]:
        terminal.write(f"{text}\r")
        terminal.wait_for(f"saved: {text.replace('note', 'note:', 1)}, at".encode())
    terminal.write("".join(f"{text}\r" for text in lines[first : first + 3]))
    _read_for(terminal, dice.uniform(0.0, 0.3))


def _read_for(terminal: Terminal, seconds: float) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        terminal.read(0.01)


def screen(folder: Path, kills: int, dice: Random) -> Tally:
    """Lines typed in bursts through the live screen, in a pseudo-terminal."""
    tally, data, typed = Tally(), folder / "screen.db", list[str]()
    begin(data)
    for number in range(kills):
        terminal = start(data, PROGRAM)
        try:
            if number % 6 == 5:  # while it is starting
                time.sleep(dice.uniform(0.0, 1.5))
                fresh: list[str] = []
            else:
                fresh = _typed(len(typed), BURST)
                _type(terminal, fresh, dice, by_line=number % 2 == 0)
            terminal.process.kill()
            tally.killed(terminal.finish())
            found = texts(data)
            check_lines(found, typed, fresh, _said(terminal.output), tally)
            typed = found
        finally:
            terminal.close()
    return tally


def pipe(folder: Path, kills: int, dice: Random) -> Tally:
    """Lines through a pipe into ``say``, as fast as it takes them."""
    tally, data, typed = Tally(), folder / "pipe.db", list[str]()
    begin(data)
    for _ in range(kills):
        process = command(data, "say", "--yes")
        fresh = _typed(len(typed), 400)
        assert process.stdin is not None and process.stdout is not None
        process.stdin.write("".join(f"{text}\n" for text in fresh).encode())
        process.stdin.close()
        process.stdin = None
        first = process.stdout.readline() if dice.random() < 0.8 else b""
        time.sleep(dice.uniform(0.0, 0.8))
        process.kill()
        output, errors = process.communicate(timeout=PATIENCE_S)
        assert errors == b"", errors
        tally.killed(process.returncode)
        found = texts(data)
        check_lines(found, typed, fresh, _said(first + output), tally)
        typed = found
    return tally


def say(folder: Path, kills: int, dice: Random) -> Tally:
    """One ``say`` for each line, killed at any moment of its short life."""
    tally, data, typed = Tally(), folder / "say.db", list[str]()
    begin(data)
    begun = time.monotonic()
    _finished(data, "say", "--yes", "note storm 00000")
    usual_s, typed = time.monotonic() - begun, ["note storm 00000"]
    while tally.kills < kills:
        text = f"note storm {len(typed):05d}"
        process = command(data, "say", "--yes", text)
        time.sleep(dice.uniform(0.3, 1.1) * usual_s)
        process.kill()
        output, errors = process.communicate(timeout=PATIENCE_S)
        assert errors == b"", errors
        tally.killed(process.returncode)
        found = texts(data)
        check_lines(found, typed, [text], _said(output), tally)
        typed = found
    return tally


def _finished(data: Path, *words: str) -> bytes:
    process = command(data, *words)
    output, errors = process.communicate(timeout=PATIENCE_S)
    assert process.returncode == 0, errors
    return output


def imports(folder: Path, kills: int, dice: Random) -> Tally:
    """Six documents in one import: all of them are there or none, and a second try is clean."""
    return _all_or_nothing(
        folder, kills, dice, "import", ("import", *map(str, sample_files().values())), _with_a_cook
    )


def migrations(folder: Path, kills: int, dice: Random) -> Tally:
    """A file of the oldest schema, opened by this program: old and whole, or new and whole."""
    return _all_or_nothing(folder, kills, dice, "migration", ("ledger",), _old)


def restores(folder: Path, kills: int, dice: Random) -> Tally:
    """A backup put in the place of the file: the old one or the new one, never something else."""
    return _all_or_nothing(folder, kills, dice, "restore", ("doctor", "--restore"), _with_a_backup)


def _with_a_cook(path: Path) -> None:
    begin(path)


def _old(path: Path) -> None:
    (schema,) = [file for file in SAVED.glob("*.sql") if file.stem == "schema_0001"]
    made = saved_file(path.parent, schema.stem.removeprefix("schema_"))
    made.replace(path)


def _with_a_backup(path: Path) -> None:
    begin(path)
    _finished(path, "doctor")
    _finished(path, "say", "--yes", "note newer than the backup")
    (copy,) = daily_backups(path)
    assert copy.exists()


def _all_or_nothing(
    folder: Path, kills: int, dice: Random, name: str, words: tuple[str, ...],
    make: Callable[[Path], None],
) -> Tally:  # fmt: skip
    """Kill one piece of work in the middle; what is there is what was there or what is wanted."""
    tally, untouched = Tally(), folder / f"{name}-untouched"
    untouched.mkdir()
    make(untouched / "cooks.sqlite3")
    before = state(untouched / "cooks.sqlite3")
    done = _copied(untouched, folder / f"{name}-done")
    begun = time.monotonic()
    _finished(done, *words)
    usual_s, after = time.monotonic() - begun, state(done)
    assert before != after
    number = 0
    while tally.kills < kills:
        number += 1
        data = _copied(untouched, folder / f"{name}-{number}")
        process = command(data, *words)
        time.sleep(dice.uniform(0.3, 1.05) * usual_s)
        process.kill()
        output, errors = process.communicate(timeout=PATIENCE_S)
        assert errors == b"", errors
        tally.killed(process.returncode)
        found = state(data)
        assert found in (before, after), f"{name}: neither as before nor as wanted"
        tally.acknowledged += bool(output)
        tally.unsaid += not output and found == after
        assert found == after or not output, f"{name}: said to be done, and is not"
        if number % 5 == 0:
            _finished(data, *words)
            assert state(data) == after, f"{name}: a second try does not complete it"
        shutil.rmtree(data.parent)
    return tally


def _copied(untouched: Path, folder: Path) -> Path:
    shutil.copytree(untouched, folder)
    return folder / "cooks.sqlite3"


def statements(folder: Path, kills: int, dice: Random) -> Tally:
    """A migration and an import, killed right after each of their statements in turn."""
    tally = Tally()
    for name, words, make in (
        ("migrating", ("ledger",), _old),
        ("importing", ("import", *map(str, sorted(sample_files().values())[:2])), _with_a_cook),
    ):
        untouched = folder / f"{name}-untouched"
        untouched.mkdir()
        make(untouched / "cooks.sqlite3")
        done = _copied(untouched, folder / f"{name}-done")
        _finished(done, *words)
        before, after = state(untouched / "cooks.sqlite3"), state(done)
        numbers = list(range(1, 400))
        if kills < len(numbers):
            numbers = sorted(dice.sample(range(1, 60), kills))
        for number in numbers:
            data = _copied(untouched, folder / f"{name}-{number}")
            process = code(data, AT_STATEMENT, str(number), *words)
            _, errors = process.communicate(timeout=PATIENCE_S)
            assert errors == b"", errors
            tally.killed(process.returncode)
            assert state(data) in (before, after), f"{name}, statement {number}"
            shutil.rmtree(data.parent)
            if process.returncode == 0:
                tally.notes.append(f"{name} has {number - 1} statements")
                break
    return tally


def stty(terminal: Terminal) -> str:
    """The settings of a terminal, as the system's own tool tells them."""
    told = subprocess.run(["stty", "-g"], stdin=terminal.slave, capture_output=True, text=True)
    assert told.returncode == 0, told.stderr
    return told.stdout


def signals(folder: Path, kills: int, dice: Random) -> Tally:
    """SIGTERM and SIGHUP while lines are typed: nothing is lost, and the terminal is usable."""
    tally, data, typed = Tally(), folder / "signals.db", list[str]()
    begin(data)
    for number in range(kills):
        sent = (signal.SIGTERM, signal.SIGHUP)[number % 2]
        terminal = start(data, PROGRAM)
        usable = stty(terminal)
        try:
            fresh = _typed(len(typed), BURST)
            _type(terminal, fresh, dice, by_line=number % 4 < 2)
            terminal.process.send_signal(sent)
            assert terminal.finish() == 128 + sent, "the exit code of a shell for this signal"
            assert stty(terminal) == usable, "the terminal is not as it was"
            tally.kills += 1
            found = texts(data)
            check_lines(found, typed, fresh, _said(terminal.output), tally)
            typed = found
        finally:
            terminal.close()
    return tally


STORMS: dict[str, tuple[Storm, int, int]] = {
    "screen": (screen, 2, 100),
    "pipe": (pipe, 3, 60),
    "say": (say, 3, 60),
    "import": (imports, 2, 50),
    "migration": (migrations, 2, 50),
    "restore": (restores, 2, 40),
    "statement by statement": (statements, 3, 400),
    "signals": (signals, 2, 30),
}
"""Name, storm, how many kills in the short form and in the long one."""
