"""The screen as rows of plain text, and its comparison with golden files.

A golden file is looked at by a person when it is made or changed:
``DONEBY_GOLDEN=write pytest tests/journeys`` writes them anew.
"""

from __future__ import annotations

import os
from pathlib import Path

from textual.app import App

GOLDEN = Path(__file__).parent / "golden"


def rows_of(app: App[None]) -> list[str]:
    """What stands on the screen, row by row, without trailing blanks."""
    return ["".join(segment.text for segment in strip).rstrip() for strip in _strips(app)]


def text_of(app: App[None]) -> str:
    """All rows in one text."""
    return "\n".join(rows_of(app))


def _strips(app: App[None]) -> list[list[object]]:
    screen = app.screen
    width, height = screen.size
    lines = screen._compositor.render_strips()
    assert len(lines) == height and all(strip.cell_length == width for strip in lines)
    return [list(strip) for strip in lines]  # type: ignore[arg-type]


def check_golden(app: App[None], name: str) -> None:
    """Compare the screen with `golden/name.txt`."""
    path = GOLDEN / f"{name}.txt"
    found = text_of(app) + "\n"
    if os.environ.get("DONEBY_GOLDEN") == "write":
        GOLDEN.mkdir(exist_ok=True)
        path.write_text(found, encoding="utf-8")
    assert found == path.read_text(encoding="utf-8"), f"{path.name} differs"
