"""Text commands that are interrupted or ended, and files that belong to somebody else."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.cli.main import main
from app.cli.shell import Shell
from tests.storms.attack import PATIENCE_S, begin, command, texts

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="POSIX signals")

# What a shell reports for a program that ended by a signal of number n is 128 + n (POSIX.1-2017,
# Shell Command Language, 2.8.2); a program that catches SIGINT ends with that number itself.
INTERRUPTED = 130


def ended(process: subprocess.Popen[bytes], number: signal.Signals) -> tuple[int, bytes, bytes]:
    process.send_signal(number)
    output, errors = process.communicate(timeout=PATIENCE_S)
    return process.returncode, output, errors


@pytest.mark.parametrize(
    ("number", "expected"), [(signal.SIGINT, INTERRUPTED), (signal.SIGTERM, -signal.SIGTERM)]
)
def test_a_watch_is_ended_by_a_signal(
    tmp_path: Path, number: signal.Signals, expected: int
) -> None:
    data = tmp_path / "cooks.db"
    begin(data)
    process = command(data, "status", "--watch")
    assert process.stdout is not None
    assert process.stdout.readline().startswith(b"Lamb")
    code, _, errors = ended(process, number)
    assert code == expected
    assert b"Traceback" not in errors


@pytest.mark.parametrize(
    ("number", "expected"), [(signal.SIGINT, INTERRUPTED), (signal.SIGTERM, -signal.SIGTERM)]
)
def test_a_pipe_that_is_ended_keeps_what_it_said(
    tmp_path: Path, number: signal.Signals, expected: int
) -> None:
    data = tmp_path / "cooks.db"
    begin(data)
    process = command(data, "say", "--yes")
    assert process.stdin is not None and process.stdout is not None
    for n in range(5):
        process.stdin.write(f"note number {n}\n".encode())
        process.stdin.flush()
        assert process.stdout.readline().startswith(f"saved: note: number {n}".encode())
    code, _, errors = ended(process, number)
    assert code == expected
    assert b"Traceback" not in errors
    assert texts(data) == [f"note number {n}" for n in range(5)]


def test_an_interrupt_at_any_moment_has_no_traceback(tmp_path: Path) -> None:
    data = tmp_path / "cooks.db"
    begin(data)
    for step in range(8):
        process = command(data, "say", "--yes", f"note step {step}")
        time.sleep(0.06 * step)
        code, output, errors = ended(process, signal.SIGINT)
        if b"Traceback" in errors:  # Python itself was not up yet: nothing of ours had begun
            assert b"app/" not in errors.replace(b"<frozen", b"") or b"import" in errors
        assert code in (0, INTERRUPTED, -signal.SIGINT, 1)
        assert (b"saved" in output) <= (f"note step {step}" in texts(data))


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="needs two users")
def test_a_file_of_somebody_else_is_told_and_left(tmp_path: Path) -> None:
    """Another user at our file: read and write are refused, in words, and nothing is made."""
    folder = tmp_path / "theirs"
    folder.mkdir(mode=0o755)
    for parent in (tmp_path, *tmp_path.parents):
        if parent.stat().st_mode & 0o001 == 0 and str(parent) != "/":
            parent.chmod(parent.stat().st_mode | 0o011)
    data = folder / "cooks.db"
    begin(data)
    before = data.read_bytes()
    run(data, "status")  # everything is imported while that is allowed
    run(data, "doctor")
    os.seteuid(65534)
    try:
        answers = [run(data, *words) for words in (
            ("say", "note x"), ("status",), ("ledger",), ("doctor",), ("export", "1"))]  # fmt: skip
        names = sorted(path.name for path in folder.iterdir())
    finally:
        os.seteuid(0)
    for code, words in answers:
        assert code == 1, words
        assert "cannot be read" in words and "Check owner and permissions" in words, words
    assert data.read_bytes() == before
    assert set(names) <= {"cooks.db", "cooks-backups", "cooks.db-wal", "cooks.db-shm"}


def run(data: Path, *words: str) -> tuple[int, str]:
    """One command in this process."""
    out = io.StringIO()
    shell = Shell({"DONEBY_DATA": str(data)}, lambda: datetime.now(UTC), UTC, out, out, None)
    return main(words, shell), out.getvalue()
