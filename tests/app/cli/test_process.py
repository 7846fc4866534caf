"""The program as a process: exit codes, pipes, odd terminals, and what it imports."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.app.cli.runs import CODE, DUCK, ROOT, Terminal, process


@pytest.fixture
def data(tmp_path: Path) -> Path:
    path = tmp_path / "cooks.sqlite3"
    assert process(path, "start", "duck", "--unit", "F").returncode == 0
    return path


def test_exit_codes_and_streams(data: Path) -> None:
    good = process(data, "say", "note hello")
    assert (good.returncode, good.stderr) == (0, b"")
    assert good.stdout.startswith(b"saved: note: hello")
    bad = process(data, "say", "bananas")
    assert (bad.returncode, bad.stdout) == (2, b"")
    assert b"Nothing was saved" in bad.stderr
    unknown = process(data, "frob")
    assert (unknown.returncode, unknown.stdout) == (2, b"")
    assert b"Traceback" not in unknown.stderr
    assert process(data).returncode == 2


def test_a_file_that_is_no_data_file_is_a_failure(tmp_path: Path) -> None:
    path = tmp_path / "cooks.sqlite3"
    path.write_text("a shopping list")
    for command in (("status",), ("say", "305"), ("ledger",)):
        result = process(path, *command)
        assert result.returncode == 1
        assert result.stderr.startswith(b"doneby: ")
        assert b"Traceback" not in result.stderr
    assert path.read_text() == "a shopping list"


def test_lines_through_a_pipe(data: Path) -> None:
    result = process(data, "say", input=b"note one\nnote two\n")
    assert result.returncode == 0
    assert result.stdout.count(b"saved:") == 2
    odd = process(data, "say", input=b"\xff\xfe\n\x00\n")
    assert odd.returncode == 2
    assert b"Traceback" not in odd.stderr


def test_undecodable_arguments_are_refused(data: Path) -> None:
    result = process(data, "say", b"note \xff\xfe")  # type: ignore[arg-type]
    assert result.returncode == 2
    assert b"control character" in result.stderr


@pytest.mark.parametrize(
    "env",
    [
        {"NO_COLOR": "1"},
        {"TERM": "dumb"},
        {"PYTHONIOENCODING": "ascii"},
        {"LC_ALL": "C", "LANG": "C"},
    ],
)
def test_odd_terminals(data: Path, env: dict[str, str]) -> None:
    result = process(data, "say", "300 40", "--yes", env=env)
    assert result.returncode == 0
    assert b"\x1b" not in result.stdout
    assert b"300" in result.stdout


def test_a_reader_that_leaves_early_is_no_error(data: Path) -> None:
    environment = {**os.environ, "DONEBY_DATA": str(data), "PYTHONPATH": str(ROOT)}
    reader, writer = os.pipe()
    os.close(reader)
    result = subprocess.run(
        [sys.executable, "-c", CODE, "hindcast", str(DUCK), "--at", "0", "--json"],
        env=environment, stdout=writer, stderr=subprocess.PIPE, timeout=60, check=False,
    )  # fmt: skip
    os.close(writer)
    assert (result.returncode, result.stderr) == (0, b"")


def test_a_line_is_saved_even_if_nobody_hears_of_it(data: Path) -> None:
    command = f'exec "{sys.executable}" -c "{CODE}" say note kept >&- 2>&-'
    environment = {**os.environ, "DONEBY_DATA": str(data), "PYTHONPATH": str(ROOT)}
    result = subprocess.run(["sh", "-c", command], env=environment, timeout=60, check=False)
    assert result.returncode == 0
    assert "kept" in Terminal(data).ok("export", "1").out


def test_saying_a_line_loads_nothing_heavy(data: Path) -> None:
    """A line typed in a terminal is saved in a moment: no arrays, no fit, no screens."""
    code = (
        "import sys; from app.cli.main import main; main(['say', 'note quick']); "
        "print([m for m in ('numpy', 'scipy', 'textual', 'rich', 'alembic') if m in sys.modules])"
    )
    environment = {**os.environ, "DONEBY_DATA": str(data), "PYTHONPATH": str(ROOT)}
    result = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True,
        timeout=60, check=True,
    )  # fmt: skip
    assert result.stdout.splitlines()[-1] == "[]"
