"""Changes of the plan from the entry line."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from app.desk import Action, AskOnce
from core.units import f_to_c
from storage.store import Store, open_store
from tests.app.test_desk import GOOSE, START, Table


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = open_store(tmp_path / "cooks.sqlite3", now=START)
    yield opened
    opened.close()


@pytest.fixture
def table(store: Store) -> Table:
    store.create_cook(GOOSE)
    opened = Table(store)
    opened.after(60).accept("305 80 75", confirmed=True)
    return opened


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("plan meal 18:30", "meal 18:30, was meal 18:05"),
        ("plan meal none", "no meal time, was meal 18:05"),
        ("plan pit 320", "pit 320 °F, was pit 311 °F"),
        ("plan pit 150c", "pit 302 °F, was pit 311 °F"),
        ("plan band 295 330", "band 295 to 330 °F, was no band"),
        ("plan rest 30", "rest 30 min, was rest 20 min"),
        ("plan weight 11 lb", "weight 11 lb, was weight 9.9 lb"),
        ("plan target 170", "breast and thigh target 170 °F, was breast target 165.2 °F, "
                            "thigh target 174.2 °F"),
        ("plan target thigh 180", "thigh target 180 °F, was thigh target 174.2 °F"),
        ("plan glaze breast 150", "breast glaze 150 °F, was breast glaze 143.6 °F"),
        ("plan glaze breast none", "breast glaze none, was breast glaze 143.6 °F"),
        ("plan wrap thigh 160", "thigh wrap 160 °F, was thigh wrap none"),
        ("plan on 12:55", "meat on 12:55, was meat on 13:05"),
    ],
)  # fmt: skip
def test_a_change_is_told_saved_and_taken_back(table: Table, text: str, words: str) -> None:
    before = table.desk.saved()
    assert table.desk.preview(text).reads_as == f"plan: {words}"
    accepted = table.accept(text)
    assert accepted.action is Action.PLANNED
    assert accepted.message == f"changed the plan: {words}"
    after = table.desk.saved()
    assert after != before
    assert "says that already" in table.refuse(text)
    table.accept("undo")
    assert table.desk.saved() == before


def test_what_is_changed_is_in_the_plan(table: Table) -> None:
    table.accept("plan band 300 330")
    table.accept("plan pit 320")
    table.accept("plan target thigh 180")
    table.accept("plan meal 19:05")
    saved = table.desk.saved()
    assert saved is not None
    plan, thigh = saved.cook.plan, saved.cook.probe("thigh")
    assert plan.pit_c == pytest.approx(f_to_c(320.0))
    assert plan.pit_low_c == pytest.approx(f_to_c(309.0))
    assert plan.serve_s == 6 * 3600.0
    assert thigh.target_c == pytest.approx(f_to_c(180.0))


def test_meat_on_moves_and_clock_times_stay(table: Table) -> None:
    table.accept("plan on 12:45")
    saved = table.desk.saved()
    assert saved is not None
    assert saved.started_at == START - timedelta(minutes=20)
    assert saved.cook.readings[0].elapsed_s == 80 * 60.0
    assert saved.lines[0].at == START + timedelta(minutes=60)
    assert saved.cook.plan.serve_s == 5 * 3600.0 + 1200.0


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("plan", "nothing after plan"),
        ("plan dinner 18:30", "'dinner' after plan"),
        ("plan pit", "pit: found"),
        ("plan pit hot", "'hot'"),
        ("plan meal", "found ''"),
        ("plan meal yesterday", "'yesterday'"),
        ("plan target none", "'none'"),
        ("plan target nose 160", "'nose'"),
        ("plan glaze 170", "not below the target"),
        ("plan band 300", "'300'"),
        ("plan band 100 200", "does not hold"),
        ("plan rest long", "'long'"),
        ("plan weight 9 stone", "'9 stone'"),
        ("plan weight 70kg", "'70kg'"),
        ("plan on 2026-10-01T10:00", "'2026-10-01T10:00'"),
    ],
)
def test_refusals(table: Table, text: str, found: str) -> None:
    reason = table.refuse(text)
    assert found in reason
    assert reason.endswith("Nothing was saved.")


def test_a_target_below_the_published_minimum_is_asked_about(table: Table) -> None:
    """165 °F for all poultry: FSIS Safe Minimum Internal Temperature Chart, 2025-04-14."""
    outcome = table.desk.accept("plan target 155")
    assert isinstance(outcome, AskOnce)
    assert "below the published minimum of 165 °F" in outcome.odd[0]
    assert table.desk.preview("plan target 166").odd == ()


def test_a_pit_below_the_target_is_asked_about(table: Table) -> None:
    outcome = table.desk.accept("plan pit 160")
    assert isinstance(outcome, AskOnce)
    assert "never reached" in outcome.odd[0]


def test_a_pit_or_core_of_the_other_unit_is_asked_about(table: Table) -> None:
    for text, words in (("plan pit 110", "no usual pit"), ("plan target 240", "no usual core")):
        outcome = table.desk.accept(text)
        assert isinstance(outcome, AskOnce), outcome
        assert any(words in odd for odd in outcome.odd)
