"""``doneby status --watch``: told again at each change and as time passes, until Ctrl+C."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from app.cli.main import main
from app.cli.shell import Shell
from tests.app.cli.runs import CODE, ROOT, ZONE, Result, Terminal


def watch(
    terminal: Terminal,
    *arguments: str,
    beats: int,
    at: dict[int, Callable[[], object]] | None = None,
) -> Result:
    """A watch whose seconds pass as fast as they can; Ctrl+C comes after so many of them."""
    out, err, passed = io.StringIO(), io.StringIO(), [0]

    def pause(seconds: float) -> None:
        passed[0] += 1
        terminal.now += timedelta(seconds=seconds)
        if at and passed[0] in at:
            at[passed[0]]()
        if passed[0] == beats:
            raise KeyboardInterrupt

    env = {"DONEBY_DATA": str(terminal.data)}
    shell = Shell(env, lambda: terminal.now, ZONE, out, err, None, pause)
    return Result(main(["status", "--watch", *arguments], shell), out.getvalue(), err.getvalue())


def test_it_tells_at_once_and_then_at_the_interval(cooking: Terminal) -> None:
    result = watch(cooking.after(5), "60", beats=130)
    assert result.code == 130
    assert result.out.count("Next look:") == 3
    assert "\n\n" in result.out


def test_it_tells_what_another_terminal_wrote(cooking: Terminal) -> None:
    cooking.after(5)
    other = Terminal(cooking.data, cooking.now + timedelta(seconds=10))
    result = watch(cooking, beats=30, at={10: lambda: other.ok("say", "note wind got up")})
    assert result.out.count("Next look:") == 2
    first, second = result.out.split("\n\n")
    assert "wind got up" not in first and "wind got up" in second


def test_json_is_one_object_a_line(cooking: Terminal) -> None:
    lines = watch(cooking.after(5), "10", "--json", beats=15).out.splitlines()
    assert len(lines) == 2
    assert all(json.loads(line)["answers"]["look"]["clock"] for line in lines)


def test_it_waits_for_a_cook(terminal: Terminal) -> None:
    start = {3: lambda: terminal.ok("start", "duck", "--weight", "5lb", "--pit", "325f")}
    out = watch(terminal, beats=8, at=start).out
    assert out.startswith("No cook is in hand") and "\nDone: " in out


@pytest.mark.parametrize("span", ["0", "soon", "nan", "1e9"])
def test_a_span_that_is_none_is_refused(terminal: Terminal, span: str) -> None:
    result = terminal.run("status", "--watch", span)
    assert result.code == 2 and "allowed is 5 to 86400 seconds" in result.err


@pytest.mark.skipif(os.name == "nt", reason="no SIGINT to a single process")
def test_it_speaks_through_a_pipe_and_ends_on_ctrl_c(cooking: Terminal) -> None:
    data: Path = cooking.data
    environment = {**os.environ, "DONEBY_DATA": str(data), "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        [sys.executable, "-c", CODE, "status", "--watch"], env=environment, cwd=data.parent,
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as running:  # fmt: skip
        assert running.stdout is not None
        try:
            assert running.stdout.readline().strip(), "it speaks while it goes on"
            running.send_signal(signal.SIGINT)
            _, err = running.communicate(timeout=30)
        finally:
            running.kill()  # where Ctrl+C is ignored, as in a job in the background, it would go on
    assert running.returncode == 130
    assert b"Traceback" not in err
