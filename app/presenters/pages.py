"""A page beside the answers: rows in columns with notes, laid out for any width.

The screens paint a page and the text commands print the same one.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from app.presenters.views import Mark
from app.presenters.words import sentence

GAP = 2
LEAST_LAST = 24
"""A last column narrower than this goes on lines of its own."""


class PageName(StrEnum):
    """The pages, in the order in which the key turns them."""

    FIRE = "fire"
    LEVERS = "levers"
    TABLES = "tables"


@dataclass(frozen=True, slots=True)
class PageRow:
    """Cells of one row. One with a single cell is a heading; a mark makes it stand out."""

    cells: tuple[str, ...]
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class PageView:
    """One page: what it is about, its rows, and the notes that stand under them."""

    title: str
    about: str
    rows: tuple[PageRow, ...]
    notes: tuple[str, ...] = ()


class PageTone(StrEnum):
    """How a line of a page is painted."""

    TITLE = "title"
    HEAD = "head"
    TEXT = "text"
    QUIET = "quiet"


@dataclass(frozen=True, slots=True)
class PageLine:
    """One line of a page. A mark is painted before it and colours it."""

    text: str
    tone: PageTone
    mark: Mark | None = None
    first: bool = True
    """Whether the mark's glyph stands before it: not before what is broken over."""


def lay_out(view: PageView, width: int) -> tuple[PageLine, ...]:
    """The page in lines of at most `width` letters, without the two of the mark."""
    width = max(width, 20)
    title = f"{view.title.upper()}  {view.about}" if view.about else view.title.upper()
    lines = [PageLine(part, PageTone.TITLE) for part in _wrap(title, width)]
    widths = _column_widths(view.rows)
    for row in view.rows:
        if len(row.cells) == 1:
            heads = _wrap(row.cells[0], width)
            lines += [PageLine(part, PageTone.HEAD, row.mark) for part in heads]
            continue
        for index, part in enumerate(_row_lines(row, widths, width)):
            lines.append(PageLine(part, PageTone.TEXT, row.mark, index == 0))
    for note in view.notes:
        lines += [PageLine(part, PageTone.QUIET) for part in _wrap(note, width)]
    return tuple(lines)


def _column_widths(rows: Iterable[PageRow]) -> list[int]:
    """Widths of all columns but the last."""
    widths: list[int] = []
    for row in rows:
        for index, cell in enumerate(row.cells[:-1]):
            if index == len(widths):
                widths.append(0)
            widths[index] = max(widths[index], len(cell))
    return widths


def _row_lines(row: PageRow, widths: list[int], width: int) -> list[str]:
    head = "".join(
        cell.ljust(wide + GAP) for cell, wide in zip(row.cells[:-1], widths, strict=False)
    )
    last = row.cells[-1]
    if len(head) + min(len(last), LEAST_LAST) <= width:
        parts = _wrap(last, width - len(head)) or [""]
        indent = " " * len(head)
        return [(head if index == 0 else indent) + part for index, part in enumerate(parts)]
    indent = " " * GAP
    return [head.rstrip()[:width], *(indent + part for part in _wrap(last, width - GAP))]


def _wrap(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, max(width, 10), break_long_words=True, break_on_hyphens=False)


def page_text(view: PageView, width: int = 78) -> str:
    """The page as plain text with its columns; a row's mark is said in words."""
    lines = []
    for line in lay_out(view, width - 2):
        urgent = line.mark in (Mark.SOON, Mark.NOW, Mark.LATE) and line.first
        lines.append(f"{'!' if urgent else ' '} {line.text}".rstrip())
    return "\n".join(lines)


def page_sentences(view: PageView) -> list[str]:
    """The rows as sentences for a screen reader: ``In the band: 1 h 20 min of 2 h.``"""
    said, head = [], ""
    for row in view.rows:
        if len(row.cells) == 1:
            head = f"{row.cells[0]}, "
            continue
        label, *others = (cell for cell in row.cells if cell)
        words = f"{head}{label}: {', '.join(others)}" if others else f"{head}{label}"
        said.append(sentence(words))
    return said
