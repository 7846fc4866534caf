"""The report as sheets of paper: a PDF with numbered pages, or one tall picture."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from app.display import one_line
from app.presenters.chart import ChartView
from app.presenters.review import Section
from app.report.content import Report
from app.report.drawing import HEIGHT_IN, draw, ink, our_style
from app.report.measure import column_widths, wrapped

if TYPE_CHECKING:
    from matplotlib.figure import Figure

PAGE_IN = (8.27, 11.0)
"""As wide as A4 and as high as US letter: fits on either."""

MARGIN_IN = 0.48
INNER_IN = PAGE_IN[0] - 2.0 * MARGIN_IN
LEADING = 1.35
PT_PER_IN = 72.0
NAME_IN = 1.1
DPI = 130
PICTURE_ROWS = 150
PDF_ROWS = 3000
"""So many rows of the log at the most; all of them are in the HTML page and in the CSV."""


@dataclass(frozen=True, slots=True)
class Text:
    """Words at one place of a block [inches from its left and top]."""

    x: float
    y: float
    words: str
    size: float = 8.5
    ink: str = "ink"
    bold: bool = False
    right: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """What stays together on a page.

    Attributes
    ----------
    height : float
        In inches.
    texts : tuple of Text
    chart : ChartView or None
        Drawn over the whole block.
    rule : bool
        A line under it.
    keep : bool
        Not the last thing on a page.
    head : Block or None
        Stands above it once more where it is the first thing on a page.
    """

    height: float
    texts: tuple[Text, ...] = ()
    chart: ChartView | None = None
    rule: bool = False
    keep: bool = False
    head: Block | None = None


@dataclass(slots=True)
class _Page:
    blocks: list[tuple[float, Block]] = field(default_factory=list)
    used: float = 0.0

    def add(self, block: Block) -> None:
        self.blocks.append((self.used, block))
        self.used += block.height


def pdf_bytes(report: Report) -> bytes:
    """The report as a PDF."""
    from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages

    out = io.BytesIO()
    with our_style():
        pages = _pages(list(_blocks(report, PDF_ROWS)), PAGE_IN[1] - 2.0 * MARGIN_IN - 0.2)
        about = {"Title": one_line(report.title), "Creator": "doneby", "CreationDate": None}
        with PdfPages(out, metadata=about) as book:
            for number, page in enumerate(pages, 1):
                foot = f"{report.made}   {number} of {len(pages)}"
                figure = _figure(page, PAGE_IN[1], foot)
                FigureCanvasPdf(figure)
                book.savefig(figure)
    return out.getvalue()


def png_bytes(report: Report) -> bytes:
    """The report as one picture."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    out = io.BytesIO()
    with our_style():
        (page,) = _pages(list(_blocks(report, PICTURE_ROWS)), float("inf"))
        figure = _figure(page, page.used + 2.0 * MARGIN_IN + 0.2, report.made)
        FigureCanvasAgg(figure)
        figure.savefig(out, format="png", dpi=DPI, metadata={"Title": one_line(report.title)})
    return out.getvalue()


def _pages(blocks: list[Block], room: float) -> list[_Page]:
    """The blocks page by page; a heading goes with what stands under it."""
    pages = [_Page()]
    for place, block in enumerate(blocks):
        needed, following = block.height, place
        while blocks[following].keep and following + 1 < len(blocks):
            following += 1
            needed += blocks[following].height
        if pages[-1].blocks and pages[-1].used + needed > room:
            pages.append(_Page())
            if block.head is not None:
                pages[-1].add(block.head)
        pages[-1].add(block)
    return pages


def _figure(page: _Page, height: float, foot: str) -> Figure:
    """One page drawn."""
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D

    figure = Figure(figsize=(PAGE_IN[0], height), facecolor="white")

    def place(x: float, y: float) -> tuple[float, float]:
        return (MARGIN_IN + x) / PAGE_IN[0], 1.0 - (MARGIN_IN + y) / height

    for top, block in page.blocks:
        for text in block.texts:
            figure.text(
                *place(text.x, top + text.y), text.words, fontsize=text.size, color=ink(text.ink),
                fontweight="bold" if text.bold else "normal", va="top",
                ha="right" if text.right else "left",
            )  # fmt: skip
        if block.chart is not None:
            left, low = place(0.5, top + block.height - 0.3)
            axes = figure.add_axes(
                (left, low, (INNER_IN - 0.6) / PAGE_IN[0], (block.height - 0.75) / height)
            )
            draw(block.chart, axes)
        if block.rule:
            (left, low), (right, _) = (place(x, top + block.height - 0.04) for x in (0, INNER_IN))
            figure.add_artist(Line2D([left, right], [low, low], color=ink("ink-rule"), lw=0.6))
    figure.text(
        MARGIN_IN / PAGE_IN[0], 0.6 * MARGIN_IN / height, foot, fontsize=7, color=ink("ink-quiet")
    )
    return figure


def _blocks(report: Report, rows_max: int) -> Iterator[Block]:
    yield from _paragraph(report.title, 15.0, bold=True)
    yield from _paragraph(report.about, 9.0, colour="ink-quiet", after=0.08)
    for part in report.story:
        yield from _paragraph(part, 10.0, after=0.06)
    yield Block(HEIGHT_IN, chart=report.chart)
    for section in report.sections:
        yield from _section(section)
        if section.heading == "The forecast" and report.moved is not None:
            yield Block(2.9, chart=report.moved)
    yield from _log(report, rows_max)
    yield _heading("Cautions")
    for caution in report.cautions:
        yield from _paragraph(caution, 8.5, after=0.04)


def _heading(words: str) -> Block:
    return Block(0.36, (Text(0.0, 0.14, words, 10.0, bold=True),), rule=True, keep=True)


def _line_in(size: float) -> float:
    return size * LEADING / PT_PER_IN


def _paragraph(
    words: str, size: float, *, bold: bool = False, colour: str = "ink", after: float = 0.03
) -> Iterator[Block]:
    lines = wrapped(one_line(words), size, INNER_IN, bold=bold)
    step = _line_in(size)
    for number, line in enumerate(lines):
        last = number == len(lines) - 1
        yield Block(step + (after if last else 0.0), (Text(0.0, 0.0, line, size, colour, bold),))


def _section(section: Section) -> Iterator[Block]:
    yield _heading(section.heading)
    step = _line_in(8.5)
    for name, words in section.rows:
        left = NAME_IN if name else 0.0
        lines = wrapped(one_line(words), 8.5, INNER_IN - left)
        texts = [Text(left, step * n, line) for n, line in enumerate(lines)]
        if name:
            texts.insert(0, Text(0.0, 0.0, name, 8.5, "ink-quiet"))
        yield Block(step * len(lines) + 0.015, tuple(texts))


def _log(report: Report, rows_max: int) -> Iterator[Block]:
    yield _heading("The log")
    if not report.rows:
        yield from _paragraph("Nothing was logged.", 8.5)
        return
    rows = report.rows[:rows_max]
    widths = column_widths((report.heading, *rows), 8.0, INNER_IN)
    head = _row(report.heading, widths, bold=True)
    yield head
    for row in rows:
        yield replace(_row(row, widths), head=head)
    left = len(report.rows) - len(rows)
    if left:
        yield from _paragraph(f"And {left} more rows: a page in HTML has all of them.", 8.5)


def _row(cells: tuple[str, ...], widths: tuple[float, ...], *, bold: bool = False) -> Block:
    """Numbers stand to the right in their column, clock and words to the left."""
    step, texts, left, most = _line_in(8.0), [], 0.0, 1
    for place, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        if not cell:
            left += width
            continue
        side_left = place in (0, len(cells) - 1)
        lines = wrapped(one_line(cell), 8.0, width - 0.12, bold=bold)
        most = max(most, len(lines))
        gap = 0.12 if place and side_left else 0.0  # between numbers and words
        x = left + gap if side_left else left + width - 0.1
        texts += [
            Text(x, step * n, line, 8.0, "ink", bold, right=not side_left)
            for n, line in enumerate(lines)
        ]
        left += width
    return Block(step * most + (0.03 if bold else 0.0), tuple(texts), rule=bold, keep=bold)


WRITERS: dict[str, Callable[[Report], bytes]] = {".pdf": pdf_bytes, ".png": png_bytes}
"""By the ending of the file's name."""
