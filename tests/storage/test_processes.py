"""Several processes on one file, and processes that are killed."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from storage.backup import verify
from storage.store import Store, open_store
from tests.storage.samples import GOOSE, NOW, typed

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL")

WRITER = """
import sys
from pathlib import Path
from storage.store import open_store
from tests.storage.samples import NOW, typed

cook_id, first, count = map(int, sys.argv[2:])
store = open_store(Path(sys.argv[1]), now=NOW)
for minute in range(first, first + count):
    store.add_line(cook_id, **typed(minute, thigh=20.0))
    print(minute, flush=True)
store.close()
"""

KILLED_AT = """
import os, sys
from pathlib import Path
from sqlalchemy import event
from sqlalchemy.orm import Session
from storage.store import open_store
from tests.storage.samples import NOW, typed

store = open_store(Path(sys.argv[1]), now=NOW)
store.add_line(int(sys.argv[2]), **typed(1, thigh=20.0))
event.listen(Session, sys.argv[3], lambda *_: os.kill(os.getpid(), 9))
store.correct_line(1, **typed(1, thigh=21.0))
print("went on")
"""

OPENER = """
import sys
from pathlib import Path
from storage.store import open_store
from tests.storage.samples import GOOSE, NOW

store = open_store(Path(sys.argv[1]), now=NOW)
store.create_cook(GOOSE)
store.close()
"""


def start(code: str, *arguments: object) -> subprocess.Popen[str]:
    """A Python process running `code`."""
    command = [sys.executable, "-c", code, *map(str, arguments)]
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=Path.cwd()
    )


def minutes_of(store: Store, cook_id: int) -> list[int]:
    """The minutes that the live lines of a cook speak of."""
    return [round(r.elapsed_s / 60) for r in store.cook(cook_id).cook.readings]


def test_kill_between_and_during_lines_loses_and_doubles_nothing(path: Path) -> None:
    store = open_store(path, now=NOW)
    cook_id = store.create_cook(GOOSE)
    store.close()
    dice, acknowledged, first = random.Random(17), [], 0
    for _ in range(5):
        process = start(WRITER, path, cook_id, first, 10_000)
        assert process.stdout is not None
        assert process.stdout.readline() == f"{first}\n"
        time.sleep(dice.uniform(0.0, 0.06))
        process.kill()
        rest, errors = process.communicate()
        assert (process.returncode, errors) == (-signal.SIGKILL, "")
        said = [first, *(int(line) for line in rest.splitlines() if line)]
        acknowledged += said
        assert verify(path) == ()
        store = open_store(path, now=NOW)
        found = minutes_of(store, cook_id)
        store.close()
        # One more may have been committed than the killed process came to say.
        assert found in (acknowledged, [*acknowledged, acknowledged[-1] + 1])
        acknowledged = found
        first = found[-1] + 1
    assert len(acknowledged) > 5


@pytest.mark.parametrize(
    ("moment", "expected"),
    [("before_commit", [20.0]), ("after_flush", [20.0]), ("after_commit", [21.0])],
)
def test_a_line_is_there_from_its_commit_on(path: Path, moment: str, expected: list[float]) -> None:
    store = open_store(path, now=NOW)
    cook_id = store.create_cook(GOOSE)
    store.close()
    process = start(KILLED_AT, path, cook_id, moment)
    output, errors = process.communicate(timeout=60)
    assert (process.returncode, output, errors) == (-signal.SIGKILL, "", "")
    assert verify(path) == ()
    store = open_store(path, now=NOW)
    assert [r.of("thigh") for r in store.cook(cook_id).cook.readings] == expected
    assert len(store.cook(cook_id).lines) == len(expected) + (expected == [21.0])
    store.close()


def test_three_processes_and_this_one_write_one_cook(store: Store, cook_id: int) -> None:
    seen = store.change_token()
    writers = [start(WRITER, store.path, cook_id, 1000 * n, 60) for n in range(1, 4)]
    own = [store.add_line(cook_id, **typed(minute, thigh=20.0)).at for minute in range(60)]
    for writer in writers:
        output, errors = writer.communicate(timeout=120)
        assert (writer.returncode, errors) == (0, "")
        assert len(output.splitlines()) == 60
    assert store.change_token() != seen
    saved = store.cook(cook_id)
    assert len(own) == 60
    assert len(saved.lines) == len({line.id for line in saved.lines}) == 240
    expected = [1000 * n + step for n in range(4) for step in range(60)]
    assert minutes_of(store, cook_id) == expected


def test_the_line_of_another_process_is_noticed(store: Store, cook_id: int) -> None:
    seen = store.change_token()
    process = start(WRITER, store.path, cook_id, 5, 1)
    assert process.stdout is not None
    assert process.stdout.readline() == "5\n"
    assert store.change_token() != seen
    assert minutes_of(store, cook_id) == [5]
    process.communicate(timeout=60)


def test_many_processes_may_open_a_file_that_is_not_there_yet(path: Path) -> None:
    openers = [start(OPENER, path) for _ in range(4)]
    for opener in openers:
        _, errors = opener.communicate(timeout=120)
        assert (opener.returncode, errors) == (0, "")
    store = open_store(path, now=NOW)
    assert len(store.cooks()) == 4
    store.close()
    assert verify(path) == ()
