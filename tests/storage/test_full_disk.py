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
    assert (done.returncode, done.stderr) == (0, "")
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
