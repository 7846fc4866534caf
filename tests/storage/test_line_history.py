"""Any sequence of line actions, compared with a model kept in plain dictionaries."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from storage.errors import LineNotLive
from storage.store import open_store
from tests.storage.samples import GOOSE, NOW, typed


class LineHistory(RuleBasedStateMachine):
    """What counts is what the model says counts, and every line ever typed is kept."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.store = open_store(self.folder / "cooks.sqlite3", now=NOW)
        self.cook_id = self.store.create_cook(GOOSE)
        self.value: dict[int, float] = {}
        self.original: dict[int, int] = {}
        self.live: set[int] = set()
        self.undone: set[int] = set()

    def teardown(self) -> None:
        self.store.close()
        shutil.rmtree(self.folder)

    @rule(value=st.integers(0, 90))
    def add(self, value: int) -> None:
        line = self.store.add_line(self.cook_id, **typed(len(self.value), thigh=float(value)))
        self.value[line.id] = float(value)
        self.live.add(line.id)

    @precondition(lambda self: self.value)
    @rule(data=st.data(), value=st.integers(0, 90))
    def correct(self, data: st.DataObject, value: int) -> None:
        line_id = data.draw(st.sampled_from(sorted(self.value)))
        arguments = typed(len(self.value), thigh=float(value))
        if line_id not in self.live:
            try:
                self.store.correct_line(line_id, **arguments)
            except LineNotLive:
                return
            raise AssertionError("a line that does not count was corrected")
        line = self.store.correct_line(line_id, **arguments)
        self.value[line.id], self.original[line.id] = float(value), line_id
        self.live = self.live - {line_id} | {line.id}

    @precondition(lambda self: self.live)
    @rule(data=st.data())
    def delete_and_restore(self, data: st.DataObject) -> None:
        line_id = data.draw(st.sampled_from(sorted(self.live)))
        self.store.delete_line(line_id)
        assert line_id not in self.counted()
        self.store.restore_line(line_id)

    @precondition(lambda self: self.live)
    @rule(data=st.data())
    def delete(self, data: st.DataObject) -> None:
        line_id = data.draw(st.sampled_from(sorted(self.live)))
        self.store.delete_line(line_id)
        self.live.discard(line_id)

    @rule()
    def undo(self) -> None:
        taken = self.store.undo(self.cook_id)
        if not self.live:
            assert taken is None
            return
        assert taken is not None
        assert taken.id == max(self.live)
        self.live.discard(taken.id)
        if taken.id in self.original:
            self.live.add(self.original[taken.id])

    def counted(self) -> dict[int, float | None]:
        """The lines that count, with what they read."""
        lines = self.store.cook(self.cook_id).lines
        return {line.id: line.readings[0].of("thigh") for line in lines if line.live}

    @invariant()
    def the_file_agrees(self) -> None:
        saved = self.store.cook(self.cook_id)
        assert {line.id: line.readings[0].of("thigh") for line in saved.lines} == self.value
        assert self.counted() == {line_id: self.value[line_id] for line_id in self.live}
        assert sorted(r.of("thigh") or 0.0 for r in saved.cook.readings) == sorted(
            self.value[line_id] for line_id in self.live
        )


TestLineHistory = LineHistory.TestCase
TestLineHistory.settings = settings(
    max_examples=12,
    stateful_step_count=15,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
