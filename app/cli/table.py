"""Rows of text in aligned columns."""

from __future__ import annotations

from collections.abc import Sequence


def table_lines(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """The rows as lines; every column as wide as its widest cell."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
