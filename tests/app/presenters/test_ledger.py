"""The Ledger's list in words: cells, order, search, and what is kept beside a cook."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from app.display import Display
from app.ledger import Kept, LedgerEntry, decode, encode
from app.presenters.ledger import (
    Column,
    Rows,
    about,
    cell,
    cut_short,
    early_late,
    haystack,
    headings,
    hours,
    matches,
    ordered,
    score,
)
from core.units import MassUnit, TemperatureUnit
from storage.values import CookSummary, Outcome

START = datetime(2026, 3, 14, 20, 20, tzinfo=UTC)
DISPLAY = Display(TemperatureUnit.FAHRENHEIT, MassUnit.POUND, UTC)
SUMMARY = CookSummary(
    16, "Lamb in the wind", START, "leg_of_lamb", 2.5, 154.0, 18, START + timedelta(hours=4),
    False, "s1",
)  # fmt: skip
KEPT = Kept(
    took_s=12420.0, planned_s=10200.0, expected_s=9840.0, half_miss_s=-480.0, pit_c=131.0,
    in_band=0.1, fire_s=2640.0, stall_s=-150.0, piece_s=1260.0, words="strong wind / oak",
)  # fmt: skip
ENTRY = LedgerEntry(SUMMARY, Outcome(4, 5, None, 3, "Guests waited."), KEPT)


def _cells(entry: LedgerEntry) -> dict[Column, str]:
    return {column: cell(entry, column, DISPLAY) for column in Column}


def test_cells_by_hand() -> None:
    cells = _cells(ENTRY)
    assert cells[Column.DATE] == "14 Mar 26"
    assert cells[Column.CUT] == "leg of lamb"
    assert cells[Column.WEIGHT] == "5.5 lb"
    assert cells[Column.PIT] == "268 °F", "the pit that was kept, not the planned one"
    # 12420 s is 3 h 27 min; 10200 s is 2 h 50 min; 37 min between them
    assert (cells[Column.PLAN], cells[Column.TOOK]) == ("2:50", "3:27")
    assert cells[Column.LATE] == "37 late"
    assert cells[Column.HALF] == "8 early"
    assert cells[Column.OUTCOME] == "4.0", "the mean of 4, 5 and 3"
    assert cells[Column.HELD] == "fire 44 min later; the piece 21 min later"


def test_without_a_meal_the_forecast_at_meat_on_is_the_plan() -> None:
    entry = replace(ENTRY, kept=replace(KEPT, planned_s=None))
    assert cell(entry, Column.PLAN, DISPLAY) == "~2:44"
    assert cell(entry, Column.LATE, DISPLAY) == "43 late"
    assert "43 min later than forecast at meat-on" in about(entry, DISPLAY)


def test_what_is_not_known_says_so() -> None:
    waiting = _cells(replace(ENTRY, kept=None, outcome=None))
    assert waiting[Column.PIT] == waiting[Column.HALF] == "..."
    assert waiting[Column.OUTCOME] == "-"
    hand = _cells(LedgerEntry(replace(SUMMARY, ended_at=None)))
    assert (hand[Column.LATE], hand[Column.PIT]) == ("in hand", "-")
    bare = _cells(replace(ENTRY, kept=Kept()))
    assert {bare[c] for c in (Column.PIT, Column.PLAN, Column.TOOK, Column.LATE)} == {"-"}
    failed = replace(ENTRY, kept=Kept(failed="no probe"))
    assert "no figures, because no probe" in about(failed, DISPLAY)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (None, "-"), (0.0, "right"), (149.0, "right"), (150.0, "2 late"), (-720.0, "12 early"),
        (5940.0, "99 late"), (6000.0, "2h late"), (-14400.0, "4h early"),
    ],
)  # fmt: skip
def test_early_and_late(seconds: float | None, words: str) -> None:
    assert early_late(seconds) == words
    assert len(words) <= 8, "as wide as its column"


def test_hours() -> None:
    assert (hours(None), hours(0.0), hours(59 * 60.0), hours(36059.0)) == (
        "-", "0:00", "0:59", "10:01",
    )  # fmt: skip


def test_one_sentence_says_how_late_and_why() -> None:
    words = about(ENTRY, DISPLAY)
    assert "3 h 27 min on the heat, 37 min later than planned." in words
    assert "Fire 44 min later, the piece 21 min later, against a usual leg of lamb" in words
    assert "stall" not in words, "two and a half minutes are not worth a word"


def test_search_looks_at_title_month_notes_and_outcome_and_wants_every_word() -> None:
    hay = haystack(ENTRY, DISPLAY)
    for query in ("wind", "MARCH lamb", "guests", "oak strong", "2026-03-14", "", "#16"):
        assert matches(hay, query), query
    assert not matches(hay, "wind duck")


def test_order_by_each_column_with_the_unknown_last_in_either_order() -> None:
    early = replace(
        ENTRY, summary=replace(SUMMARY, id=3, started_at=START - timedelta(days=9), mass_kg=9.0),
        kept=replace(KEPT, took_s=9000.0), outcome=None,
    )  # fmt: skip
    unknown = replace(ENTRY, summary=replace(SUMMARY, id=9, title="A"), kept=None)
    found = [early, ENTRY, unknown]

    def numbers(column: Column, *, turned: bool = False) -> list[int]:
        return [e.summary.id for e in ordered(found, column, turned=turned)]

    assert numbers(Column.LATE) == [16, 3, 9], "the latest first"
    assert numbers(Column.LATE, turned=True) == [3, 16, 9]
    assert numbers(Column.TOOK) == [3, 16, 9]
    assert numbers(Column.WEIGHT)[-1] == 3
    assert numbers(Column.OUTCOME)[-1] == 3
    assert numbers(Column.TITLE)[0] == 9
    assert numbers(Column.DATE)[-1] == 3
    for column in Column:
        assert sorted(numbers(column)) == [3, 9, 16]


@pytest.mark.parametrize("width", [77, 97, 117, 157, 197, 400])
def test_a_row_fits_its_table_exactly_or_leaves_room(width: int) -> None:
    heads = headings(width)
    rows = Rows([ENTRY], heads, DISPLAY)
    line = " ".join(rows[0].cells)
    assert len(line) <= width
    assert [h.column for h in heads][:10] == list(Column)[:10]
    assert len(rows) == 1 and rows[0:1] == [rows[0]]


@pytest.mark.parametrize("width", [45, 57, 69, 76])
def test_a_narrow_table_leaves_whole_columns_out(width: int) -> None:
    heads = headings(width)
    rows = Rows([ENTRY], heads, DISPLAY)
    assert len(" ".join(rows[0].cells)) <= width
    kept = [h.column for h in heads]
    assert kept == [column for column in list(Column)[:10] if column in kept], "in their order"
    assert {Column.NUMBER, Column.DATE, Column.TOOK, Column.LATE} <= set(kept)
    assert len(kept) < 10


def test_only_looked_at_rows_are_worded() -> None:
    rows = Rows([ENTRY] * 2000, headings(77), DISPLAY)
    for index in range(20):
        rows[index]
    assert len(rows._worded) == 20


def test_cells_are_cut_by_what_a_terminal_needs() -> None:
    assert cut_short("abc", 5) == "abc  "
    assert cut_short("abcdef", 5) == "abcd…"
    assert cut_short("烤鴨烤鴨", 5) == "烤鴨…", "two cells each"


def test_what_is_kept_comes_back_and_a_strange_text_does_not() -> None:
    assert decode(encode(KEPT)) == KEPT
    assert decode(encode(Kept())) == Kept()
    assert decode(encode(Kept(fire_s=0.0))) == Kept(fire_s=0.0)
    assert decode('{"took_s": 1.0, "of_a_later_version": 2}') == Kept(took_s=1.0)
    for strange in ("", "[]", "nonsense", "3", "null"):
        assert decode(strange) is None


def test_score_is_the_mean_of_what_was_given() -> None:
    assert score(None) is None
    assert score(Outcome(words="good")) is None
    assert score(Outcome(5, 4, None, None)) == 4.5
