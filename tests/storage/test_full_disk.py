"""A real small disk that fills up, and a real folder that may not be written.

Both need a name space of our own, where the system grants one.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

FULL = """
import sys
from pathlib import Path
from storage.backup import verify
from storage.errors import DiskFull, FileError
from storage.store import open_store
from tests.storage.samples import GOOSE, NOW, typed

folder = Path(sys.argv[1])
filler = folder / "filler"
store = open_store(folder / "cooks.sqlite3", now=NOW)
cook_id = store.create_cook(GOOSE)
filler.write_bytes(bytes(int(sys.argv[2])))
said = 0
try:
    while True:
        store.add_line(cook_id, **typed(said, thigh=20.0))
        said += 1
except DiskFull as error:
    message = str(error)
assert "no space left" in message, message
assert len(store.cook(cook_id).lines) == said, "a line that was said to be saved is missing"
try:
    open_store(folder / "other" / "cooks.sqlite3", now=NOW).close()
    raise AssertionError("a second file found space")
except FileError as error:
    assert "no space left" in str(error), error
filler.unlink()
store.add_line(cook_id, **typed(said, thigh=20.0))
store.close()
assert verify(folder / "cooks.sqlite3") == ()
store = open_store(folder / "cooks.sqlite3", now=NOW)
assert len(store.cook(cook_id).lines) == said + 1
store.close()
print("lines", said)
"""

READ_ONLY = """
import sys
from pathlib import Path
from storage.errors import NotWritable
from storage.store import open_store
from tests.storage.samples import NOW

for name in ("cooks.sqlite3", "new.sqlite3", "new/new.sqlite3"):
    try:
        open_store(Path(sys.argv[1]) / name, now=NOW).close()
        raise AssertionError(name)
    except NotWritable as error:
        assert "Check owner and permissions" in str(error)
print("refused")
"""

MAKE = """
import sys
from pathlib import Path
from storage.store import open_store
from tests.storage.samples import NOW

open_store(Path(sys.argv[1]) / "cooks.sqlite3", now=NOW).close()
"""


PROGRAM = """
import io, sys
from datetime import timedelta
from pathlib import Path
from app.cli.main import main
from app.cli.shell import Shell
from tests.storage.samples import NOW

folder, turn = Path(sys.argv[1]), [0]

def run(*words):
    turn[0] += 1
    out = io.StringIO()
    clock = lambda: NOW + timedelta(minutes=turn[0])
    code = main(words, Shell({"DONEBY_DATA": str(folder / "cooks.db")}, clock, out=out, err=out))
    assert "something went wrong" not in out.getvalue(), out.getvalue()
    return code, out.getvalue()

assert run("start", "goose", "--weight", "4kg", "--probe", "breast")[0] == 0
filler = folder / "filler"
filler.write_bytes(bytes(int(sys.argv[2])))
said = 0
while True:
    code, words = run("say", "--yes", f"note number {said} " + "x" * 300)
    if code:
        break
    said += 1
assert code == 1 and "no space left" in words and "Free some space" in words, (code, words)
for command in (("doctor",), ("export", "1", "-o", str(folder / "out.json"))):
    code, words = run(*command)
    assert code in (0, 1) and words.strip(), (code, words)
    assert code == 0 or "o space left" in words, words
assert run("status")[0] == 0, "what is there can be read"
filler.unlink()
assert run("say", "--yes", "note after all")[0] == 0
code, words = run("doctor")
assert code == 0 and f"{said + 1} line" in words, words
print("said", said)
"""

MIGRATION = """
import shutil, sqlite3, sys
from pathlib import Path
from contextlib import closing
from storage.backup import verify
from storage.errors import FileError
from storage.schema import found_schema
from storage.store import open_store
from tests.storage.samples import NOW
from tests.storage.test_schema import content, saved_file

folder = Path(sys.argv[1])
path = saved_file(folder, "0001")
before = content(path)
filler = folder / "filler"
free = shutil.disk_usage(folder).free
filler.write_bytes(bytes(free - int(sys.argv[2])))
try:
    open_store(path, now=NOW).close()
    raise AssertionError("it found space")
except FileError as error:
    assert "no space left" in str(error) or "left as it was" in str(error), error
filler.unlink()  # even to look at it takes a little space
assert found_schema(path) == "0001" and content(path) == before and verify(path) == ()
store = open_store(path, now=NOW)
assert len(store.cooks()) == 2
store.close()
print("kept")
"""


def inside(folder: Path, *commands: str) -> subprocess.CompletedProcess[str]:
    """Run shell commands in a mount name space of their own."""
    script = "set -e; " + "; ".join(commands)
    return subprocess.run(
        ["unshare", "--user", "--map-root-user", "--mount", "sh", "-c", script, "sh",
         str(folder), sys.executable],
        capture_output=True, text=True, timeout=120,
    )  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder to mount on, if this system lets us."""
    if shutil.which("unshare") is None:
        pytest.skip("no unshare here")
    if inside(tmp_path, 'mount -t tmpfs none "$1"').returncode != 0:
        pytest.skip("no name space to mount in")
    return tmp_path


@pytest.mark.parametrize("filler", [60_000, 120_000])
def test_a_disk_that_fills_up_loses_no_line_that_was_said_to_be_saved(
    folder: Path, filler: int
) -> None:
    done = inside(
        folder,
        'mount -t tmpfs -o size=512k none "$1"',
        f'"$2" -c \'{FULL}\' "$1" {filler}',
    )
    assert (done.returncode, done.stderr) == (0, ""), done.stderr[-1500:]
    assert done.stdout.startswith("lines ")


def test_a_disk_that_may_not_be_written_is_told(folder: Path) -> None:
    done = inside(
        folder,
        'mount -t tmpfs none "$1"',
        f'"$2" -c \'{MAKE}\' "$1"',
        'mount -o remount,ro "$1"',
        f'"$2" -c \'{READ_ONLY}\' "$1"',
    )
    assert (done.returncode, done.stderr, done.stdout) == (0, "", "refused\n")


@pytest.mark.parametrize("filler", [1_000_000, 1_200_000])
def test_the_program_on_a_full_disk(folder: Path, filler: int) -> None:
    done = inside(
        folder,
        'mount -t tmpfs -o size=1500k none "$1"',
        f'"$2" -c \'{PROGRAM}\' "$1" {filler}',
    )
    assert (done.returncode, done.stderr) == (0, ""), done.stderr[-1500:]
    assert done.stdout.startswith("said ")


@pytest.mark.parametrize("left", [0, 8192, 60_000, 120_000, 180_000])
def test_a_migration_without_space_leaves_the_old_file(folder: Path, left: int) -> None:
    done = inside(
        folder,
        'mount -t tmpfs -o size=640k none "$1"',
        f'"$2" -c \'{MIGRATION}\' "$1" {left}',
    )
    assert (done.returncode, done.stdout) == (0, "kept\n"), done.stderr[-1500:]
