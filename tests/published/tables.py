"""Load the published tables of ``data/`` with the mark that says how far each row is to be trusted.

Only rows marked ``verified`` or ``computed`` come back unless a test asks for more, so that a
recalled number cannot become a bar by accident.
"""

from __future__ import annotations

import csv
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

DATA = Path(__file__).parent / "data"


class Mark(StrEnum):
    """How a number was come by."""

    VERIFIED = "verified"
    COMPUTED = "computed"
    MEMORY = "memory"


CHECKED = (Mark.VERIFIED, Mark.COMPUTED)
"""Marks that may decide a test."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its cells as printed, and its mark."""

    mark: Mark
    cells: dict[str, str]

    def text(self, column: str) -> str:
        """The cell as printed."""
        return self.cells[column]

    def number(self, column: str) -> float:
        """The cell as a number; ValueError if it is none."""
        return float(self.cells[column])

    def maybe(self, column: str) -> float | None:
        """The cell as a number, None if it is empty."""
        cell = self.cells[column]
        return float(cell) if cell else None


def load(
    name: str, marks: Collection[Mark] = CHECKED, mark_column: str = "provenance"
) -> list[Row]:
    """Rows of ``data/<name>.csv`` whose mark is one of `marks`."""
    with (DATA / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        rows = [Row(Mark(cells[mark_column]), cells) for cells in csv.DictReader(file)]
    return [row for row in rows if row.mark in marks]
