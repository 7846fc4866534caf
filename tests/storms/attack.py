"""What the kill storms share: processes of the program, and what must hold after each kill."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from storage.backup import verify
from storage.store import open_store
from tests.journeys.stage import lamb
from tests.storage.test_schema import content

ROOT = Path(__file__).resolve().parents[2]
CODE = "import sys; from app.cli.main import main; sys.exit(main())"
PATIENCE_S = 60.0


@dataclass(slots=True)
class Tally:
    """How a storm went.

    Attributes
    ----------
    kills : int
        Processes that a SIGKILL ended; those that were done before it are in `late`.
    late : int
    acknowledged : int
        Lines (or other pieces of work) that were said to be saved.
    unsaid : int
        Pieces that were saved although the process did not come to say so.
    """

    kills: int = 0
    late: int = 0
    acknowledged: int = 0
    unsaid: int = 0
    notes: list[str] = field(default_factory=list)

    def killed(self, returncode: int) -> None:
        """Count the end of a process."""
        if returncode == -signal.SIGKILL:
            self.kills += 1
        else:
            assert returncode == 0, f"ended with {returncode} instead of by the kill"
            self.late += 1

    def __str__(self) -> str:
        """One row of the report."""
        words = f"{self.kills} kills, {self.late} came too late, {self.acknowledged} acknowledged"
        return "; ".join([f"{words}, {self.unsaid} saved unsaid", *self.notes])


def command(data: Path, *words: str) -> subprocess.Popen[bytes]:
    """The program with a text command, its streams in our hands."""
    environment = {**os.environ, "DONEBY_DATA": str(data), "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(
        [sys.executable, "-c", CODE, *words], env=environment, stdin=subprocess.PIPE,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=data.parent,
    )  # fmt: skip


def code(data: Path, text: str, *words: str) -> subprocess.Popen[bytes]:
    """Python code of ours with the data file as its first argument."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(
        [sys.executable, "-c", text, str(data), *words], env=environment,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT,
    )  # fmt: skip


def begin(data: Path) -> int:
    """A data file with an invented leg of lamb that went on just now."""
    now = datetime.now(UTC)
    store = open_store(data, now=now)
    cook_id = store.create_cook(lamb(now))
    store.close()
    return cook_id


def texts(data: Path, cook_id: int = 1) -> list[str]:
    """What was typed, in the order in which it was accepted; the file must be sound."""
    assert verify(data) == (), "the file does not hold together after a kill"
    store = open_store(data, now=datetime.now(UTC))
    lines = sorted(store.cook(cook_id).lines, key=lambda line: line.id)
    store.close()
    assert all(line.live for line in lines)
    return [line.text for line in lines]


def check_lines(
    found: list[str], before: list[str], fresh: list[str], said: list[str], tally: Tally
) -> None:
    """Every acknowledged line is there, none twice, in the order typed, none out of thin air."""
    assert found[: len(before)] == before, "a line that was there before is gone"
    new = found[len(before) :]
    assert new == fresh[: len(new)], "a line is missing in between, twice, or out of order"
    missing = set(said) - set(new)
    assert not missing, f"acknowledged and lost: {sorted(missing)}"
    tally.acknowledged += len(set(said))
    tally.unsaid += len(set(new) - set(said))


def state(data: Path) -> list[str]:
    """All that is in a sound file, as SQL, without what can be computed again at any time."""
    assert verify(data) == ()
    return [row for row in content(data) if not row.startswith('INSERT INTO "derived"')]
