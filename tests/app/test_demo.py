"""The replay: what is typed when, and its clock."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from app.demo import SPEEDS, Demo, Pace, due, new_cook, schedule, start_pace
from app.desk import Accepted, Desk
from app.samples import USUAL_SAMPLE, sample_files, samples_named
from core.cook import Event, EventKind, Plan, Probe
from core.units import TemperatureUnit
from storage.documents import CookDocument, read_document
from storage.store import open_store
from tests.app.fakes import START

SAMPLES = sample_files()


def test_there_are_samples_with_the_usual_one() -> None:
    assert len(SAMPLES) >= 5
    assert USUAL_SAMPLE in SAMPLES
    assert samples_named("duck") == (USUAL_SAMPLE,)
    assert samples_named("no such") == ()


@pytest.mark.parametrize("name", SAMPLES)
def test_typing_a_sample_gives_the_sample(name: str, tmp_path: Path) -> None:
    """Every line of the replay goes through the desk and says what the document says."""
    document = read_document(SAMPLES[name])
    store = open_store(tmp_path / "demo.sqlite3", now=document.started_at)
    try:
        cook_id = store.create_cook(new_cook(document))
        now = [document.started_at]
        zone = document.started_at.tzinfo
        assert zone is not None
        desk = Desk(store, lambda: now[0], zone=zone, cook_id=cook_id)
        for line in schedule(document):
            now[0] = document.started_at + timedelta(seconds=line.elapsed_s)
            assert isinstance(desk.accept(line.text, confirmed=True), Accepted), line
        cook = store.cook(cook_id).cook
    finally:
        store.close()
    assert [r.elapsed_s for r in cook.readings] == [r.elapsed_s for r in document.readings]
    for typed, told in zip(cook.readings, document.readings, strict=True):
        assert typed.pit_c == pytest.approx(told.pit_c)
        assert dict(typed.meat_c) == pytest.approx(dict(told.meat_c))
    assert [e.kind for e in cook.events] == [e.kind for e in document.events]
    for typed_event, told_event in zip(cook.events, document.events, strict=True):
        if told_event.kind is not EventKind.SPOT_CHECK:
            assert typed_event.note == told_event.note


@pytest.mark.parametrize("note", ["\x1b[2J", "@14:20 late", "; ;", "305 128", "x" * 900, "note"])
def test_words_that_no_line_can_carry_do_not_stop_a_replay(note: str) -> None:
    document = CookDocument(
        "invented", START, TemperatureUnit.CELSIUS, Plan("duck", 2.0, 150.0),
        (Probe("breast", 74.0),), (),
        (Event(60.0, EventKind.TURNED, note), Event(70.0, EventKind.NOTE, note)),
    )  # fmt: skip
    first, second = schedule(document)
    assert first.text.startswith("turn")
    assert second.text.startswith("note")


def test_lines_fall_due_once() -> None:
    lines = schedule(read_document(SAMPLES[USUAL_SAMPLE]))
    edges = [-1e9, 0.0, 100.0, 3000.0, 3000.0, 1e9]
    found = [line for since, until in pairwise(edges) for line in due(lines, since, until)]
    assert found == list(lines)


def test_the_replay_clock() -> None:
    demo = Demo(read_document(SAMPLES[USUAL_SAMPLE]), 120.0)
    pace = start_pace(demo, 50.0)
    assert pace.now(50.0) == demo.document.started_at - timedelta(minutes=1)
    assert pace.now(51.0) - pace.now(50.0) == timedelta(minutes=2)
    faster = pace.at_speed(51.0, 1e9)
    assert faster.speed == SPEEDS[1]
    assert faster.now(51.0) == pace.now(51.0)
    stopped = faster.at_speed(52.0, 0.0)
    assert stopped.now(99.0) == stopped.now(52.0)
    assert Pace(0.0, START, 1.0).now(60.0) == START + timedelta(minutes=1)
