"""Wrapped lines stand under their first word."""

from __future__ import annotations

import pytest

from app.presenters.hanging import hung, hung_line


@pytest.mark.parametrize(
    ("line", "rows"),
    [
        ("! one fire has one pit", ["! one fire", "  has one", "  pit"]),
        ("  - all at 300 instead", ["  - all at", "    300", "    instead"]),
        ("09:30  rub it now", ["09:30  rub it", "       now"]),
        ("plain words go on", ["plain words", "go on"]),
        ("", [""]),
    ],
)
def test_rows_that_follow_stand_under_the_first_word(line: str, rows: list[str]) -> None:
    assert hung_line(line, 16 if line.startswith("09") else 11) == rows


def test_a_lead_that_leaves_no_room_is_not_kept() -> None:
    rows = hung_line("            far in it goes on and on", 16)
    assert all(len(row) <= 16 for row in rows)
    assert not rows[-1].startswith(" ")


def test_every_line_of_a_text_is_hung_and_no_word_is_lost() -> None:
    text = "! first thing to see\n\n22:30  out of the brine"
    shown = hung(text, 16)
    assert shown.split() == text.split()
    assert max(map(len, shown.splitlines())) <= 16
    assert "" in shown.splitlines()
