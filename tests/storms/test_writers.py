"""Several writers on one cook: two screens, ``say`` in a loop and an import, all at once."""

from __future__ import annotations

import re
import subprocess
import sys
import threading
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.samples import sample_files
from storage.backup import verify
from storage.store import open_store
from tests.journeys.test_terminal import PROGRAM, Terminal, start
from tests.storms.attack import PATIENCE_S, begin, code, command

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a pseudo-terminal")

CTRL_Q = "\x11"

WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from core.cook import Event, EventKind
from storage.store import open_store

cook_id, first, count = map(int, sys.argv[2:])
now = datetime.now(UTC)
store = open_store(Path(sys.argv[1]), now=now)
for number in range(count):
    words = f"{first // 1000} {number:04d}"
    event = Event(float(first + number), EventKind.NOTE, words)
    store.add_line(cook_id, text=f"note {words}", typed_at=now, at=now, events=(event,))
    print(number, flush=True)
store.close()
"""


def type_all(screens: list[Terminal], rounds: int) -> None:
    """Lines into both screens in turn, as fast as they are read."""
    for number in range(rounds):
        for name, terminal in zip("ab", screens, strict=True):
            terminal.write(f"note screen {name} {number:04d}\r")
        for terminal in screens:
            terminal.read(0.02)


def feed(pipe: subprocess.Popen[bytes], count: int) -> None:
    """Lines into a pipe, as fast as they are taken."""
    assert pipe.stdin is not None
    pipe.stdin.write("".join(f"note pipe {n:04d}\n" for n in range(count)).encode())
    pipe.stdin.close()
    pipe.stdin = None


def drained(terminal: Terminal, words: bytes) -> None:
    """Wait until a screen has shown some words; the other one is read meanwhile by its turn."""
    end = time.monotonic() + PATIENCE_S
    while words not in terminal.output:
        assert time.monotonic() < end, terminal.output[-1500:]
        terminal.read()


def together(data: Path, rounds: int, piped: int) -> None:
    """All of them at work; raises unless every line is there once and in each writer's order."""
    cook_id = begin(data)
    screens = [start(data, PROGRAM) for _ in range(2)]
    try:
        for terminal in screens:
            terminal.wait_for(b"NEXT LOOK")
        pipe = command(data, "say", "--yes")
        importer = command(data, "import", *map(str, sample_files().values()))
        feeder = threading.Thread(target=feed, args=(pipe, piped))
        feeder.start()
        type_all(screens, rounds)
        feeder.join()
        for process in (pipe, importer):
            output, errors = process.communicate(timeout=10 * PATIENCE_S)
            assert (process.returncode, errors) == (0, b""), (output[-300:], errors)
        for name, terminal in zip("ab", screens, strict=True):
            drained(terminal, f"screen {name} {rounds - 1:04d}, at".encode())
        last = command(data, "say", "--yes", "note the very last of them")
        assert last.wait(PATIENCE_S) == 0
        last.communicate()
        for terminal in screens:
            drained(terminal, b"the very last of them")
            assert b"locked" not in terminal.output
            terminal.write(CTRL_Q)
            assert terminal.finish() == 0
    finally:
        for terminal in screens:
            terminal.close()
    assert verify(data) == ()
    store = open_store(data, now=datetime.now(UTC))
    saved, cooks = store.cook(cook_id), store.cooks()
    store.close()
    by_id = [line.text for line in sorted(saved.lines, key=lambda line: line.id)]
    for name, count in (("screen a", rounds), ("screen b", rounds), ("pipe", piped)):
        found = [int(m[1]) for text in by_id if (m := re.fullmatch(rf"note {name} (\d+)", text))]
        assert found == list(range(count)), f"{name}: lost, twice or out of order"
    assert len(by_id) == 2 * rounds + piped + 1
    assert len(cooks) == 1 + len(sample_files())


def test_all_writers_at_once(tmp_path: Path) -> None:
    together(tmp_path / "cooks.db", rounds=15, piped=60)


@pytest.mark.long
def test_many_writers_for_long(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    begun = time.monotonic()
    together(tmp_path / "cooks.db", rounds=150, piped=700)
    with capsys.disabled():
        print(f"\nwriters: 1,000 lines through the program in {time.monotonic() - begun:.0f} s")


@pytest.mark.long
def test_ten_thousand_lines_from_four_processes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Straight into the data file; order and number hold, and the cook still loads."""
    data = tmp_path / "cooks.db"
    cook_id = begin(data)
    begun = time.monotonic()
    writers = [code(data, WRITER, str(cook_id), str(1000 * n), "2500") for n in range(4)]
    for writer in writers:
        output, errors = writer.communicate(timeout=20 * PATIENCE_S)
        assert (writer.returncode, errors) == (0, b"")
        assert len(output.splitlines()) == 2500
    took_s = time.monotonic() - begun
    assert verify(data) == ()
    store = open_store(data, now=datetime.now(UTC))
    saved = store.cook(cook_id)
    store.close()
    by_id = sorted(saved.lines, key=lambda line: line.id)
    assert len(by_id) == 10_000
    for n in range(4):
        own = [line.text for line in by_id if line.text.startswith(f"note {n} ")]
        assert own == [f"note {n} {number:04d}" for number in range(2500)]
    with capsys.disabled():
        print(f"\nwriters: 10,000 lines of four processes in {took_s:.0f} s, "
              f"{1000 * took_s / 10_000:.1f} ms each")  # fmt: skip
