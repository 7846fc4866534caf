"""A user with an empty data file, and one with a cook in hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.cli.runs import Terminal

START = (
    "start", "duck", "--weight", "5lb", "--pit", "310", "--meal", "17:30", "--target", "165",
    "--glaze", "145", "--title", "An invented duck",
)  # fmt: skip


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """Nothing cooked yet."""
    return Terminal(tmp_path / "data" / "cooks.sqlite3")


@pytest.fixture
def cooking(terminal: Terminal) -> Terminal:
    """A duck on the fire since a quarter past one, two lines typed."""
    terminal.ok(*START)
    terminal.after(10).ok("say", "300", "41")
    terminal.after(40).ok("say", "305 72")
    return terminal
