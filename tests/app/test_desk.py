"""The desk on a real data file: what is saved, asked, refused, corrected and taken back."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.desk import Accepted, Action, AskOnce, Desk, Refused
from app.line.log import line_numbers
from core.cook import EventKind, Plan, Probe
from core.units import MassUnit, TemperatureUnit, f_to_c
from storage.store import Store, open_store
from storage.values import NewCook
from tests.app.fakes import fan, forecast
from tests.app.line.test_properties import LINES

CHICAGO = ZoneInfo("America/Chicago")
START = datetime(2026, 10, 10, 13, 5, tzinfo=CHICAGO)
GOOSE = NewCook(
    "An invented goose",
    START,
    TemperatureUnit.FAHRENHEIT,
    MassUnit.POUND,
    Plan("goose", 4.5, 155.0, serve_s=5 * 3600.0),
    (Probe("breast", 74.0, f_to_c(40.0), 62.0), Probe("thigh", 79.0)),
)


class Table:
    """A desk with a clock that the test turns."""

    def __init__(self, store: Store) -> None:
        self.store, self.now = store, START
        self.desk = Desk(store, lambda: self.now, zone=CHICAGO)

    def after(self, minutes: float) -> Table:
        self.now += timedelta(minutes=minutes)
        return self

    def accept(self, text: str, *, confirmed: bool = False) -> Accepted:
        outcome = self.desk.accept(text, confirmed=confirmed)
        assert isinstance(outcome, Accepted), outcome
        return outcome

    def refuse(self, text: str) -> str:
        outcome = self.desk.accept(text)
        assert isinstance(outcome, Refused), outcome
        return outcome.reason


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = open_store(tmp_path / "cooks.sqlite3", now=START)
    yield opened
    opened.close()


@pytest.fixture
def table(store: Store) -> Table:
    store.create_cook(GOOSE)
    return Table(store)


def temps_f(table: Table) -> list[tuple[float | None, dict[str, float]]]:
    saved = table.desk.saved()
    assert saved is not None
    return [
        (
            None if r.pit_c is None else round(r.pit_c * 1.8 + 32.0, 3),
            {name: round(temp_c * 1.8 + 32.0, 3) for name, temp_c in r.meat_c},
        )
        for r in saved.cook.readings
    ]


def test_without_a_cook_nothing_is_saved(store: Store) -> None:
    table = Table(store)
    assert "start one first" in table.refuse("305 128")
    assert "start one first" in table.refuse("bananas")
    assert table.desk.preview("305 128").error is not None
    assert table.desk.preview("").error is None
    assert "no cook in hand" in table.refuse("undo")
    assert "no cook that has ended" in table.refuse("reopen")
    assert table.accept("?").action is Action.HELP


def test_a_line_is_previewed_and_saved_with_the_same_words(table: Table) -> None:
    preview = table.after(20).desk.preview("305 45 44")
    assert preview.reads_as == "pit 305 °F, breast 45 °F, thigh 44 °F, now"
    assert (preview.odd, preview.error) == ((), None)
    accepted = table.accept("305 45 44")
    assert accepted.message == "saved: pit 305 °F, breast 45 °F, thigh 44 °F, at 13:25"
    assert temps_f(table) == [(305.0, {"breast": 45.0, "thigh": 44.0})]
    saved = table.desk.saved()
    assert saved is not None
    assert saved.lines[0].text == "305 45 44"
    assert saved.cook.readings[0].elapsed_s == 1200.0


def test_when_enter_was_pressed_counts_not_when_it_was_saved(table: Table) -> None:
    typed = START + timedelta(minutes=7, microseconds=999_999)
    table.after(30)
    accepted = table.desk.accept("305", typed_at=typed)
    assert isinstance(accepted, Accepted)
    assert accepted.line is not None
    assert accepted.line.at == START + timedelta(minutes=7)


def test_an_odd_line_is_asked_about_once(table: Table) -> None:
    table.accept("300 40 40")
    table.after(20)
    outcome = table.desk.accept("305 240 44")
    assert isinstance(outcome, AskOnce)
    assert "breast" in outcome.odd[0]
    assert table.desk.preview("305 240 44").odd == outcome.odd
    assert len(temps_f(table)) == 1
    table.accept("305 240 44 ")
    assert len(temps_f(table)) == 2


def test_another_line_in_between_forgets_the_question(table: Table) -> None:
    table.accept("300 40 40")
    table.after(20)
    assert isinstance(table.desk.accept("305 240"), AskOnce)
    assert isinstance(table.desk.accept("305 230"), AskOnce)
    assert isinstance(table.desk.accept("305 240"), AskOnce)
    table.accept("305 45")
    assert isinstance(table.desk.accept("305 240"), AskOnce)
    table.accept("305 240", confirmed=True)


def test_the_same_line_twice_within_a_minute_is_asked_about(table: Table) -> None:
    table.accept("300 40 40")
    table.after(0.2)
    outcome = table.desk.accept("300 40 40")
    assert isinstance(outcome, AskOnce)
    assert outcome.odd == ("the same line was saved 12 s ago",)
    table.after(2).accept("300 40 40")


def test_a_clock_that_was_set_back_is_asked_about(table: Table) -> None:
    table.after(60).accept("300 50 50")
    outcome = table.after(-30).desk.accept("300 45 45")
    assert isinstance(outcome, AskOnce)
    assert any("clock set back" in odd for odd in outcome.odd)
    preview = table.after(30).desk.preview("302 45 45 @13:35")
    assert "before the line of 14:05" in preview.reads_as
    assert not any("clock" in odd for odd in preview.odd)


def test_the_forecast_tells_what_is_expected(table: Table) -> None:
    table.accept("300 40 40")
    table.after(60)
    table.desk.watch(forecast(fans=[fan("breast", 30.0, 34.0)]))
    assert "expected" in table.desk.preview("300 60").odd[0]
    assert table.desk.preview("300 88").odd == ()


def test_a_correction_keeps_what_it_does_not_name(table: Table) -> None:
    table.accept("300 40 40")
    table.after(30).accept("305 47 54 lid")
    assert table.desk.preview("fix - - 45").reads_as == (
        "corrects #2 of 13:35: thigh 45 °F, was 54 °F"
    )
    table.accept("fix - - 45")
    assert temps_f(table)[-1] == (305.0, {"breast": 47.0, "thigh": 45.0})
    saved = table.desk.saved()
    assert saved is not None
    assert saved.cook.events[0].kind is EventKind.LID_OPEN
    assert saved.lines[-1].at == START + timedelta(minutes=30)
    assert "says that already" in table.refuse("fix thigh 45")


def test_corrections_by_number_and_by_time(table: Table) -> None:
    table.accept("300 40 40")
    table.after(20.5).accept("305 42 41")
    table.after(20).accept("305 46 45")
    table.accept("fix #1 310")
    table.accept("fix @13:25 - 43")
    table.accept("fix #3 @13:40")
    assert temps_f(table) == [
        (310.0, {"breast": 40.0, "thigh": 40.0}),
        (305.0, {"breast": 43.0, "thigh": 41.0}),
        (305.0, {"breast": 46.0, "thigh": 45.0}),
    ]
    saved = table.desk.saved()
    assert saved is not None
    assert saved.cook.readings[-1].elapsed_s == 35 * 60.0
    live = [line for line in saved.lines if line.live]
    assert sorted(line_numbers(saved)[line.id] for line in live) == [1, 2, 3]
    assert "lines in the log are #1 to #3" in table.refuse("fix #9 305")
    assert "no such line" in table.refuse("fix @13:15 305")


def test_a_corrected_line_can_be_corrected_again_and_undone(table: Table) -> None:
    table.accept("300 40 40")
    table.accept("fix 301")
    table.accept("fix 302")
    assert temps_f(table)[0][0] == 302.0
    table.accept("undo")
    assert temps_f(table)[0][0] == 301.0
    table.accept("undo")
    assert temps_f(table)[0][0] == 300.0
    assert "nothing was" not in table.accept("undo").message
    assert temps_f(table) == []
    assert "log is empty" in table.refuse("undo")


def test_drop_restore_and_undo_of_a_drop(table: Table) -> None:
    table.accept("300 40 40")
    table.after(20).accept("305 42 41")
    assert table.accept("drop #1").message.endswith("'restore #1' brings it back")
    assert len(temps_f(table)) == 1
    table.accept("undo")
    assert len(temps_f(table)) == 2
    table.accept("drop 2")
    table.accept("restore #2")
    assert len(temps_f(table)) == 2
    assert "no such dropped line" in table.refuse("restore #2")
    table.accept("drop #1")
    table.accept("306 43 42")
    table.accept("undo")
    assert temps_f(table) == [(305.0, {"breast": 42.0, "thigh": 41.0})]


def test_undo_of_a_drop_and_of_a_plan_outlive_the_program(table: Table, store: Store) -> None:
    table.accept("300 40 40")
    table.after(5).accept("302 43 42")
    table.accept("drop #1")
    table.desk = Desk(store, lambda: table.now, zone=CHICAGO)
    assert table.desk.preview("undo").reads_as.startswith("brings back #1")
    assert table.accept("undo").action is Action.RESTORED
    assert len(temps_f(table)) == 2
    table.accept("plan meal 19:30")
    table.desk = Desk(store, lambda: table.now, zone=CHICAGO)
    assert table.accept("undo").message == "changed the plan: meal 18:05, was meal 19:30"
    saved = table.desk.saved()
    assert saved is not None
    assert saved.cook.plan == GOOSE.plan
    assert table.accept("undo").message.startswith("took back #2"), "and then the lines again"


def test_another_terminal_s_line_is_what_undo_takes_back(table: Table, store: Store) -> None:
    table.accept("300 40 40")
    table.accept("drop #1")
    there = Desk(store, lambda: table.now, zone=CHICAGO)
    assert isinstance(there.accept("lid"), Accepted)
    assert "lid open" in table.accept("undo").message


def test_an_early_pull_is_asked_for_kept_and_taken_back(table: Table, store: Store) -> None:
    message = table.accept("plan pull early").message
    assert message == (
        "changed the plan: pull early, the rest carries it to the target, was pull at the target"
    )
    assert table.desk.known()[1]
    assert "says that already" in table.refuse("plan pull early")
    assert "plan pull early, or plan pull target" in table.refuse("plan pull soon")
    assert Desk(store, lambda: table.now, zone=CHICAGO).known()[1], "it is in the file"
    table.accept("undo")
    assert not table.desk.known()[1]


def test_pull_and_serve(table: Table) -> None:
    table.after(200).accept("300 166 175", confirmed=True)
    assert "rest" in table.accept("pull").message
    table.after(20)
    served = table.accept("serve")
    assert served.action is Action.ENDED
    assert table.desk.saved() is None
    assert "start one first" in table.refuse("305")
    assert table.accept("undo").action is Action.UNDONE
    saved = table.desk.saved()
    assert saved is not None
    assert saved.ended_at is None
    assert [event.kind for event in saved.cook.events] == [EventKind.PULLED]


def test_leftovers_are_put_away_in_the_cook_that_was_served(table: Table) -> None:
    assert table.accept("away").action is Action.LOGGED, "a cook in hand takes it too"
    table.accept("undo")
    table.after(200).accept("pull", confirmed=True)
    assert "type: away" in table.after(20).accept("serve").message
    assert table.after(30).accept("away").action is Action.LOGGED
    assert table.desk.saved() is None, "it stays over"
    over = table.store.cook(1)
    assert over.cook.events[-1].note == "leftovers away"
    assert table.accept("undo").message.startswith("took back #4")
    assert table.store.cook(1).ended_at is not None
    assert table.accept("undo").message.startswith("took back #3"), "then the serving itself"
    assert table.store.cook(1).ended_at is None


def test_end_and_reopen(table: Table) -> None:
    table.accept("300 40 40")
    assert "still in hand" in table.refuse("reopen")
    assert table.accept("end").action is Action.ENDED
    assert table.accept("undo").action is Action.REOPENED
    assert len(temps_f(table)) == 1
    table.accept("end")
    table.after(60 * 24)
    assert "no cook in hand" in table.refuse("undo")
    assert table.accept("reopen").action is Action.REOPENED
    assert table.desk.saved() is not None


def test_a_forgotten_cook_is_asked_about(table: Table) -> None:
    table.accept("300 40 40")
    outcome = table.after(60 * 26).desk.accept("300 42")
    assert isinstance(outcome, AskOnce)
    assert "26 h old" in outcome.odd[0]
    assert "meat-on was" in table.after(60 * 24 * 6).refuse("300 42")


def test_a_line_from_another_terminal_is_seen_at_once(table: Table) -> None:
    table.accept("300 40 40")
    other = open_store(table.store.path, now=START)
    try:
        there = Desk(other, lambda: table.now, zone=CHICAGO)
        assert isinstance(there.accept("lid"), Accepted)
    finally:
        other.close()
    assert "lid open" in table.desk.preview("undo").reads_as


def test_a_desk_may_write_to_one_named_cook(table: Table, store: Store) -> None:
    first = table.desk.saved()
    assert first is not None
    store.end_cook(first.id, START)
    table.desk = Desk(store, lambda: table.now, zone=CHICAGO, cook_id=first.id)
    table.accept("note the skin was right")
    assert store.cook(first.id).cook.events[0].note == "the skin was right"


def test_midnight_and_the_repeated_hour_stay_in_order(store: Store) -> None:
    evening = datetime(2026, 10, 31, 22, 0, tzinfo=CHICAGO)
    new = NewCook(
        "An invented night", evening, GOOSE.unit, GOOSE.mass_unit, GOOSE.plan, GOOSE.probes
    )
    cook_id = store.create_cook(new)
    now = [evening]
    desk = Desk(store, lambda: now[0], zone=CHICAGO)
    # 02:00 comes back as 01:00 that night (tz database, US rules of 2007).
    for hours, text in ((1.0, "300 50"), (3.5, "300 70"), (4.5, "300 80"), (5.5, "300 90")):
        now[0] = (evening.astimezone(ZoneInfo("UTC")) + timedelta(hours=hours)).astimezone(CHICAGO)
        assert isinstance(desk.accept(text), Accepted), text
    readings = store.cook(cook_id).cook.readings
    assert [r.elapsed_s / 3600.0 for r in readings] == [1.0, 3.5, 4.5, 5.5]
    accepted = desk.accept("302 88 @1:45am")
    assert isinstance(accepted, Accepted)
    assert "came twice" in accepted.message
    assert accepted.line is not None
    assert accepted.line.readings[0].elapsed_s / 3600.0 == 4.75


def test_several_threads_may_type(table: Table) -> None:
    def type_lines(name: str) -> None:
        for number in range(8):
            table.accept(f"note {name} {number}", confirmed=True)
            table.desk.preview("305 128")

    threads = [threading.Thread(target=type_lines, args=(name,)) for name in ("a", "b", "c")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    saved = table.desk.saved()
    assert saved is not None
    assert sorted(e.note for e in saved.cook.events) == sorted(
        f"{name} {number}" for name in "abc" for number in range(8)
    )


@pytest.fixture(scope="module")
def shared_store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    opened = open_store(tmp_path_factory.mktemp("desk") / "cooks.sqlite3", now=START)
    yield opened
    opened.close()


@given(lines=st.lists(LINES, max_size=4))
@settings(max_examples=60, deadline=None)
def test_any_text_has_an_outcome_that_the_preview_foretold(
    shared_store: Store, lines: list[str]
) -> None:
    cook_id = shared_store.create_cook(GOOSE)
    now = START + timedelta(minutes=90)
    desk = Desk(shared_store, lambda: now, zone=CHICAGO, cook_id=cook_id)
    asked = ""
    for text in lines:
        preview = desk.preview(text)
        outcome = desk.accept(text)
        if preview.error is not None or not text.strip():
            assert isinstance(outcome, Refused)
        elif preview.odd and text.strip() != asked:
            assert isinstance(outcome, AskOnce)
            assert outcome.reads_as == preview.reads_as
            asked = text.strip()
        else:
            assert isinstance(outcome, Accepted)
            asked = ""
