"""A disk that gives out at any commit of a line: done and said so, or refused and nothing done."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from app.desk import Accepted, Desk, Refused
from storage.errors import DiskFull
from storage.store import open_store
from tests.journeys.stage import lamb

START = datetime(2026, 5, 9, 17, 0, tzinfo=UTC)
NOW = START + timedelta(hours=3)
BEFORE = ("302 42 -150m", "300 60 -120m", "lid -100m", "305 90 -60m", "drop #2")
SERVED = (*BEFORE, "303 140 -20m", "serve -10m")
LINES = {
    "a reading": (BEFORE, "304 120"),
    "events": (BEFORE, "306 121 lid; turn half"),
    "a correction": (BEFORE, "fix #1 303 43"),
    "a line that ends the cook": (BEFORE, "serve"),
    "a correction that ends it": (BEFORE, "fix #3 serve"),
    "dropping": (BEFORE, "drop #1"),
    "bringing back": (BEFORE, "restore #2"),
    "undoing a drop": (BEFORE, "undo"),
    "undoing": (BEFORE[:-1], "undo"),
    "undoing what ended it": (SERVED, "undo"),
    "dropping what ended it": (SERVED, "drop #6"),
    "the plan": (BEFORE, "plan meal 16:30"),
    "meat-on": (BEFORE, "plan on 11:45"),
    "a target": (BEFORE, "plan target leg 150"),
    "the end": (BEFORE, "end"),
    "taking it up again": (SERVED, "reopen"),
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, ...], Path]:
    """Data files with those lines in them."""
    found = {}
    for lines in (BEFORE, BEFORE[:-1], SERVED):
        path = tmp_path_factory.mktemp("made") / "cooks.db"
        store = open_store(path, now=NOW)
        cook_id = store.create_cook(lamb(START))
        desk = Desk(store, lambda: NOW, zone=UTC, cook_id=cook_id)
        for line in lines:
            outcome = desk.accept(line, confirmed=True)
            assert isinstance(outcome, Accepted), outcome
        store.close()
        found[lines] = path
    return found


def content(path: Path) -> list[str]:
    """All that counts in a file: not what `undo` would do next."""
    with closing(sqlite3.connect(path)) as connection:
        return [row for row in connection.iterdump() if not row.startswith('INSERT INTO "setting"')]


@pytest.mark.parametrize("what", LINES)
def test_a_line_is_done_whole_or_not_at_all(
    made: dict[tuple[str, ...], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    lines, text = LINES[what]
    commit = Session.commit
    finished = None
    for failing in range(1, 6):
        path = tmp_path / f"{failing}.db"
        shutil.copyfile(made[lines], path)
        before = content(path)
        store = open_store(path, now=NOW)
        desk = Desk(store, lambda: NOW, zone=UTC, cook_id=1)
        seen: list[int] = []

        def fails(session: Session, wanted: int = failing, seen: list[int] = seen) -> None:
            seen.append(1)
            if len(seen) == wanted:
                raise DiskFull(Path("cooks.db"))
            commit(session)

        monkeypatch.setattr(Session, "commit", fails)
        outcome = desk.accept(text, confirmed=True)
        monkeypatch.undo()
        store.close()
        if isinstance(outcome, Refused):
            assert "no space left" in outcome.reason and outcome.failed
            assert content(path) == before, f"refused at commit {failing}, and yet changed"
        else:
            assert isinstance(outcome, Accepted)
            after = content(path)
            assert after != before
            finished = finished or after
            assert after == finished, f"half done at commit {failing}"
        if len(seen) < failing:
            return
    raise AssertionError("a line of more than five commits")


def test_undo_takes_back_the_line_that_was_shown(
    made: dict[tuple[str, ...], Path], tmp_path: Path
) -> None:
    """Another terminal adds a line between the look at the log and the write."""
    path = tmp_path / "cooks.db"
    shutil.copyfile(made[BEFORE[:-1]], path)
    store, other = open_store(path, now=NOW), open_store(path, now=NOW)
    desk = Desk(store, lambda: NOW, zone=UTC, cook_id=1)
    shown = max((line for line in store.cook(1).lines if line.live), key=lambda line: line.id)
    undo = store.undo

    def slow(*arguments: object, **options: object) -> object:
        newer = Desk(other, lambda: NOW, zone=UTC, cook_id=1).accept("note newer", confirmed=True)
        assert isinstance(newer, Accepted)
        return undo(*arguments, **options)  # type: ignore[arg-type]

    store.undo = slow  # type: ignore[method-assign,assignment]
    outcome = desk.accept("undo", confirmed=True)
    assert isinstance(outcome, Accepted) and outcome.line is not None
    assert outcome.line.id == shown.id
    texts = [line.text for line in store.cook(1).lines if line.live]
    store.close()
    other.close()
    assert "note newer" in texts and shown.text not in texts
