"""The program in a real pseudo-terminal: started, killed, hung up, and started again."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from storage.store import open_store
from tests.journeys.stage import StageClock, lamb

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = (
    "import sys; from pathlib import Path; from app.tui import run; "
    "sys.exit(run(Path(sys.argv[1])))"
)
BROKEN = (
    "import sys; from pathlib import Path; from app.screens.tend import TendScreen; "
    "from app.tui import run\n"
    "def fail(screen): raise RuntimeError('a hole in the roof')\n"
    "TendScreen.action_zoom = fail\n"
    "sys.exit(run(Path(sys.argv[1])))"
)
LEAVE_ALTERNATE_SCREEN = b"\x1b[?1049l"
SHOW_CURSOR = b"\x1b[?25h"
MOUSE_OFF = b"\x1b[?1000l"
PATIENCE_S = 30.0


@dataclass(slots=True)
class Terminal:
    """The program on one side of a pseudo-terminal, the test on the other."""

    process: subprocess.Popen[bytes]
    master: int
    slave: int
    output: bytes = b""

    def read(self, seconds: float = 0.05) -> None:
        """Take what the program wrote."""
        while select.select([self.master], [], [], seconds)[0]:
            try:
                self.output += os.read(self.master, 65536)
            except OSError:
                return

    def wait_for(self, words: bytes) -> None:
        """Read until the program wrote `words`."""
        end = time.monotonic() + PATIENCE_S
        while words not in self.output:
            assert time.monotonic() < end, self.output[-2000:]
            self.read()

    def write(self, text: str) -> None:
        """Keys."""
        os.write(self.master, text.encode())

    def finish(self) -> int:
        """Wait for the end and return the exit code."""
        end = time.monotonic() + PATIENCE_S
        while self.process.poll() is None:
            assert time.monotonic() < end
            self.read()
        self.read()
        return self.process.returncode

    def close(self) -> None:
        """Leave nothing behind."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        for descriptor in {self.master, self.slave}:
            os.close(descriptor)


def start(path: Path, program: str = PROGRAM) -> Terminal:
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    environment = {**os.environ, "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    process = subprocess.Popen(
        [sys.executable, "-c", program, str(path)],
        stdin=slave, stdout=slave, stderr=slave, env=environment, start_new_session=True,
    )  # fmt: skip
    return Terminal(process, master, slave)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A data file with a cook in hand that began a moment ago."""
    path = tmp_path / "doneby.db"
    clock = StageClock()
    store = open_store(path, now=clock())
    store.create_cook(lamb(datetime.now(UTC)))
    store.close()
    return path


@pytest.fixture
def terminals() -> Iterator[list[Terminal]]:
    """Terminals to close at the end, however the test ends."""
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


def lines_of(path: Path) -> list[str]:
    store = open_store(path, now=StageClock()())
    saved = store.cook_in_hand()
    store.close()
    assert saved is not None
    return [line.text for line in saved.lines if line.live]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_it_with_the_terminal_restored(
    data: Path, terminals: list[Terminal], number: signal.Signals
) -> None:
    terminal = start(data)
    terminals.append(terminal)
    before = termios.tcgetattr(terminal.slave)
    terminal.wait_for(b"NEXT LOOK")
    assert termios.tcgetattr(terminal.slave) != before, "raw mode while it runs"
    terminal.process.send_signal(number)
    # 128 + number is what a shell reports for a program that a signal ended (POSIX.1-2017, sh)
    assert terminal.finish() == 128 + number
    for sequence in (LEAVE_ALTERNATE_SCREEN, SHOW_CURSOR, MOUSE_OFF):
        assert sequence in terminal.output
    assert termios.tcgetattr(terminal.slave) == before


@pytest.mark.parametrize("hang_up", [False, True], ids=["silently", "with SIGHUP"])
def test_a_terminal_that_goes_away_ends_it(
    data: Path, terminals: list[Terminal], hang_up: bool
) -> None:
    terminal = start(data)
    terminals.append(terminal)
    terminal.wait_for(b"NEXT LOOK")
    # paint a lot at once, then take the terminal away
    terminal.write("note 1\r" * 20 + "\x1b[18~" * 40)
    os.close(terminal.slave)
    os.close(terminal.master)
    terminal.slave = terminal.master = os.open(os.devnull, os.O_RDONLY)
    if hang_up:
        terminal.process.send_signal(signal.SIGHUP)
    assert terminal.process.wait(PATIENCE_S) == 128 + signal.SIGHUP


def test_ctrl_q_ends_it_with_zero(data: Path, terminals: list[Terminal]) -> None:
    terminal = start(data)
    terminals.append(terminal)
    terminal.wait_for(b"NEXT LOOK")
    terminal.write("\x11")
    assert terminal.finish() == 0
    assert LEAVE_ALTERNATE_SCREEN in terminal.output


def test_sigkill_loses_nothing_and_it_comes_back_to_the_same_cook(
    data: Path, terminals: list[Terminal]
) -> None:
    wanted: list[str] = []
    for round_number in range(3):
        terminal = start(data)
        terminals.append(terminal)
        terminal.wait_for(b"NEXT LOOK")
        text = f"note round {round_number}"
        terminal.write(f"{text}\r")
        terminal.wait_for(b"saved")
        wanted.append(text)
        terminal.process.kill()
        assert terminal.finish() == -signal.SIGKILL
        assert lines_of(data) == wanted
    terminal = start(data)
    terminals.append(terminal)
    terminal.wait_for(b"note: round 2")
    terminal.write("\x11")
    assert terminal.finish() == 0


def test_a_bug_ends_it_with_one_plain_line_and_a_log(data: Path, terminals: list[Terminal]) -> None:
    terminal = start(data, BROKEN)
    terminals.append(terminal)
    before = termios.tcgetattr(terminal.slave)
    terminal.wait_for(b"NEXT LOOK")
    terminal.write("\x1b[18~")  # F7
    assert terminal.finish() == 1
    assert termios.tcgetattr(terminal.slave) == before
    after = terminal.output.split(LEAVE_ALTERNATE_SCREEN)[-1].decode()
    assert "doneby stopped: RuntimeError: a hole in the roof" in " ".join(after.split())
    assert "Traceback" not in after, "no local variables on the screen"
    log = data.with_suffix(".log")
    assert "a hole in the roof" in log.read_text() and "Traceback" in log.read_text()
    assert log.stat().st_mode & 0o077 == 0


def test_lines_typed_in_one_burst_are_all_read(data: Path, terminals: list[Terminal]) -> None:
    terminal = start(data)
    terminals.append(terminal)
    terminal.wait_for(b"NEXT LOOK")
    wanted = [f"note burst {number}" for number in range(12)]
    terminal.write("".join(f"{text}\r" for text in wanted))
    terminal.wait_for(b"burst 11, at")
    terminal.write("\x11")
    assert terminal.finish() == 0
    assert lines_of(data) == wanted


def test_the_start_form_takes_keys_in_one_burst(tmp_path: Path, terminals: list[Terminal]) -> None:
    path = tmp_path / "doneby.db"
    terminal = start(path)
    terminals.append(terminal)
    terminal.wait_for(b"fills in what is usual")
    # cut and units stay; name, weight, pit, probes, done at, glaze, wrap, meat, on, meal, rest
    fields = ["Burst", "4 kg", "125c", "blade", "93c", "", "", "5c", "now", "", "30"]
    terminal.write("\t\t\t" + "".join(f"{text}\r" for text in fields))
    terminal.wait_for(b"NEXT LOOK")
    terminal.write("\x11")
    assert terminal.finish() == 0
    store = open_store(path, now=StageClock()())
    saved = store.cook_in_hand()
    store.close()
    assert saved is not None and saved.title == "Burst"
    plan, (probe,) = saved.cook.plan, saved.cook.probes
    assert (plan.mass_kg, plan.pit_c, plan.rest_s) == (4.0, 125.0, 1800.0)
    assert (probe.name, probe.target_c, probe.start_c) == ("blade", 93.0, 5.0)
