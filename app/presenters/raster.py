"""Turns a :class:`ChartView` into rows of glyphs: braille lines over tinted bands.

Each series is reduced to the span it covers in every pixel column, so the cost follows the width
of the chart and not the number of readings. A cell has one ink: layers are painted in a fixed
order (grid, levels, forecast, pit, meat, labels) and the last one to touch a cell colours it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from app.presenters.axes import y_ticks
from app.presenters.canvas import BLANK, Canvas, Run
from app.presenters.chart import Band, ChartView, Level, Trace
from app.presenters.margins import clock_row, end_labels, end_names, event_row, y_labels

IntArray = npt.NDArray[np.int64]

MIN_WIDTH, MIN_HEIGHT = 30, 6
LOWER_EIGHTHS = np.array([BLANK, *range(0x2581, 0x2589)])
SHADES = {80: ord("░"), 50: ord("▒")}
NOW_RULE = ord("│")

DASHES = {
    "target": (6, 2), "glaze": (3, 2), "wrap": (1, 2), "median": (3, 3),
    "second": (8, 4), "third": (2, 2), "fourth": (1, 3),
}  # fmt: skip
"""Dots on and off of each dashed line."""


@dataclass(frozen=True, slots=True)
class Picture:
    """The chart as rows of runs, with what is needed to find a time under a column."""

    rows: tuple[tuple[Run, ...], ...]
    left: int
    width: int
    x_low: float
    x_high: float

    def time_at(self, column: int) -> float:
        """Seconds from meat-on at the middle of a screen column (edges held)."""
        share = (min(max(column - self.left, 0), self.width - 1) + 0.5) / self.width
        return self.x_low + share * (self.x_high - self.x_low)

    @property
    def column_s(self) -> float:
        """Length of time that one column stands for [s]."""
        return (self.x_high - self.x_low) / self.width


def rasterise(
    view: ChartView,
    width: int,
    height: int,
    *,
    shade: bool = False,
    cursor_x: float | None = None,
) -> Picture:
    """Rows of glyphs of exactly `width` x `height` cells.

    Parameters
    ----------
    shade : bool
        Fill the bands with shade glyphs too, for a terminal without colour.
    cursor_x : float, optional
        Time of the read-out cursor [s].
    """
    if width < MIN_WIDTH or height < MIN_HEIGHT:
        return _too_small(view, width, height)
    ticks = y_ticks(view, max(2, (height - 2) // 3))
    left = max((len(label) for _, label in ticks), default=0) + 1
    right = min(max((len(name) for name in end_names(view)), default=0) + 1, 13)
    canvas = Canvas(view, width - left - right, height - 2)
    _paint(canvas, tuple(tick for tick, _ in ticks), shade=shade, cursor_x=cursor_x)
    gutters = y_labels(canvas, ticks, left), end_labels(canvas, right)
    rows = [(gutters[0][row], *_runs(canvas, row), gutters[1][row]) for row in range(canvas.height)]
    rows.append(event_row(canvas, left, right))
    rows.append(clock_row(canvas, left, right))
    return Picture(tuple(rows), left, canvas.width, view.x_low, view.x_high)


def _too_small(view: ChartView, width: int, height: int) -> Picture:
    words = f"The chart needs {MIN_WIDTH} x {MIN_HEIGHT}."
    rows = [(Run(words[:width].ljust(width), "axis", "plot"),)]
    rows += [(Run(" " * width, "plot", "plot"),)] * (height - 1)
    return Picture(tuple(rows[:height]), 0, max(width, 1), view.x_low, view.x_high)


def _paint(
    canvas: Canvas, ticks: tuple[float, ...], *, shade: bool, cursor_x: float | None
) -> None:
    view = canvas.view
    for band in view.bands:
        _fill(canvas, band, shade=shade)
    _grid(canvas, ticks)
    for level in view.levels:
        _dashed(canvas, level)
    for band in view.bands:
        middle = _span_dots(canvas, band.x, band.quantiles[2])
        if not shade:
            canvas.whole_cells(middle, f"{band.ink}-{_shares(band)[-1][0]}")
        canvas.stamp(_dash(middle, "median"), band.ink)
    for trace in view.traces:
        dots = _trace_dots(canvas, trace)
        canvas.stamp(_dash(dots, trace.dash) if trace.dash else dots, trace.ink)
    for moment in view.upright:
        _rule(canvas, canvas.column_of(moment.x), moment.ink)
    if cursor_x is not None:
        _rule(canvas, canvas.column_of(cursor_x), "cursor")
    for trace in view.traces:
        _slips(canvas, trace)
    taken: dict[int, tuple[int, str]] = {}
    for level in view.levels:
        _name_level(canvas, level, taken)
    canvas.finish()


def _span_dots(
    canvas: Canvas, x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]
) -> npt.NDArray[np.bool_]:
    """Dots of a joined line: in each pixel column all that lies between its least and greatest."""
    tall, wide = 4 * canvas.height, 2 * canvas.width
    none = np.zeros((tall, wide), dtype=bool)
    if not x.size:
        return none
    left, right = canvas.edges[:-1], canvas.edges[1:]
    shown = (right > x[0]) & (left <= x[-1])
    ends = np.clip(canvas.edges, x[0], x[-1])
    at_ends = np.interp(ends, x, y)
    low = np.minimum(at_ends[:-1], at_ends[1:])
    high = np.maximum(at_ends[:-1], at_ends[1:])
    column = np.searchsorted(canvas.edges, x, side="right") - 1
    inside = (column >= 0) & (column < wide)
    np.minimum.at(low, column[inside], y[inside])
    np.maximum.at(high, column[inside], y[inside])
    top = np.floor(canvas.rows_of(high, 4)).astype(np.int64)
    bottom = np.floor(canvas.rows_of(low, 4)).astype(np.int64)
    shown &= (bottom >= 0) & (top < tall)
    rows = np.arange(tall)[:, None]
    dots: npt.NDArray[np.bool_] = shown & (rows >= top) & (rows <= bottom)
    return dots


def _trace_dots(canvas: Canvas, trace: Trace) -> npt.NDArray[np.bool_]:
    """The line through the readings, a little thicker at each reading where there is room."""
    dots = _span_dots(canvas, trace.x, trace.y)
    if trace.x.size > canvas.width // 3:
        return dots
    tall, wide = dots.shape
    row = np.floor(canvas.rows_of(trace.y, 4)).astype(np.int64)
    column = np.searchsorted(canvas.edges, trace.x, side="right") - 1
    for right, down in ((0, 0), (1, 0), (0, 1), (1, 1)):
        at_row, at_column = row + down, column + right
        ok = (at_row >= 0) & (at_row < tall) & (at_column >= 0) & (at_column < wide)
        dots[at_row[ok], at_column[ok]] = True
    return dots


def _dash(dots: npt.NDArray[np.bool_], kind: str) -> npt.NDArray[np.bool_]:
    on, off = DASHES[kind]
    return dots & (np.arange(dots.shape[1]) % (on + off) < on)


def _dashed(canvas: Canvas, level: Level) -> None:
    row = int(canvas.rows_of(np.array([level.y]), 4)[0])
    dots = np.zeros((4 * canvas.height, 2 * canvas.width), dtype=bool)
    if 0 <= row < dots.shape[0]:
        dots[row] = True
        canvas.stamp(_dash(dots, level.ink), level.ink)


def _grid(canvas: Canvas, ticks: tuple[float, ...]) -> None:
    """Sparse dots at the labelled temperatures, but none inside a band."""
    dots = np.zeros((4 * canvas.height, 2 * canvas.width), dtype=bool)
    rows = canvas.rows_of(np.array(ticks), 4).astype(np.int64)
    dots[np.clip(rows, 0, dots.shape[0] - 1), ::4] = True
    free = np.repeat(np.repeat(canvas.grounds == 0, 4, axis=0), 2, axis=1)
    edge = np.repeat(np.repeat(canvas.glyphs == BLANK, 4, axis=0), 2, axis=1)
    canvas.stamp(dots & free & edge, "grid")


def _shares(band: Band) -> tuple[tuple[int, int, int], ...]:
    """What is tinted, with its rows of quantiles: the fire's outlook is one plain band.

    The meat's is the one to read.
    """
    return ((80, 0, 4),) if band.name == "pit" else ((80, 0, 4), (50, 1, 3))


def _fill(canvas: Canvas, band: Band, *, shade: bool) -> None:
    """Tint the cells between the band's quantiles, with eighth blocks along its edges."""
    middle = 0.5 * (canvas.edges[:-1:2] + canvas.edges[2::2])
    shown = (middle >= band.x[0]) & (middle <= band.x[-1])
    for share, low_row, high_row in _shares(band):
        high = np.interp(middle, band.x, band.quantiles[high_row])
        low = np.interp(middle, band.x, band.quantiles[low_row])
        top = np.rint(canvas.rows_of(high, 8)).astype(np.int64)
        bottom = np.rint(canvas.rows_of(low, 8)).astype(np.int64)
        name = f"{band.ink}-{share}"
        if shade:
            _shade_between(canvas, shown, top, bottom, share)
        else:
            _tint_between(canvas, shown, top, bottom, canvas.code(name))


def _tint_between(
    canvas: Canvas, shown: npt.NDArray[np.bool_], top: IntArray, bottom: IntArray, tint: int
) -> None:
    first = 8 * np.arange(canvas.height)[:, None]
    above = np.clip(top - first, 0, 8)
    below = np.clip(first + 8 - bottom, 0, 8)
    # a band thinner than an eighth still shows its cell
    touched = shown & (above + below < 8)
    full = touched & (above == 0) & (below == 0)
    upper = touched & (above > 0) & (below == 0)
    lower = touched & (below > 0) & (above == 0)
    outside = canvas.grounds.copy()
    # a band thinner than its cell keeps its thickness and moves to the nearer edge of the cell
    thin = touched & ~(full | upper | lower)
    rises = thin & (above < below)
    upper, lower = upper | (thin & ~rises), lower | rises
    shift = np.where(thin & ~rises, below, np.where(rises, above, 0))
    above, below = above + np.where(rises, 0, shift), below + np.where(rises, shift, 0)
    canvas.glyphs[full] = BLANK
    canvas.grounds[full] = tint
    canvas.behind[full] = tint
    canvas.behind[(upper & (above <= 4)) | (lower & (below <= 4))] = tint
    canvas.glyphs[upper] = LOWER_EIGHTHS[8 - above[upper]]
    canvas.inks[upper] = tint
    # the lower edge is painted the other way round: the outside rises from below
    canvas.glyphs[lower] = LOWER_EIGHTHS[below[lower]]
    canvas.inks[lower] = outside[lower]
    canvas.grounds[lower] = tint


def _shade_between(
    canvas: Canvas, shown: npt.NDArray[np.bool_], top: IntArray, bottom: IntArray, share: int
) -> None:
    centre = 8 * np.arange(canvas.height)[:, None] + 4
    inside = shown & (centre >= top) & (centre <= bottom)
    canvas.glyphs[inside] = SHADES[share]
    canvas.inks[inside] = canvas.code("shade")


def _rule(canvas: Canvas, column: int, ink: str) -> None:
    """An upright line that leaves the readings in front of it."""
    if column < 0:
        return
    free = canvas.dots[:, column] == 0
    canvas.glyphs[free, column] = NOW_RULE
    canvas.inks[free, column] = canvas.code(ink)
    # the half block of a band's edge is gone from the cell: the nearer of its two grounds stays
    canvas.grounds[free, column] = canvas.behind[free, column]


def _slips(canvas: Canvas, trace: Trace) -> None:
    rows = canvas.rows_of(trace.slip_y, 1).astype(np.int64)
    for x, row in zip(trace.slip_x.tolist(), rows.tolist(), strict=True):
        column = canvas.column_of(x)
        if column >= 0:
            canvas.write(min(max(row, 0), canvas.height - 1), column, "x", trace.ink)


def _name_level(canvas: Canvas, level: Level, taken: dict[int, tuple[int, str]]) -> None:
    """The level's name on its line; behind another name if they share a row."""
    row = int(canvas.rows_of(np.array([level.y]), 1)[0])
    column, ink = taken.get(row, (1, ""))
    text = f" {level.label} "
    if ink == level.ink and level.short:
        column, text = column - 1, f", {level.short} "
    if 0 <= row < canvas.height and column + len(text) < 3 * canvas.width // 4:
        canvas.write(row, column, text, level.ink)
        taken[row] = (column + len(text), level.ink)


def _runs(canvas: Canvas, row: int) -> tuple[Run, ...]:
    inks, grounds = canvas.inks[row], canvas.grounds[row]
    change = np.flatnonzero((np.diff(inks) != 0) | (np.diff(grounds) != 0)) + 1
    text = canvas.glyphs[row].astype("<u4").tobytes().decode("utf-32-le")
    cuts = [0, *change.tolist(), canvas.width]
    return tuple(
        Run(text[a:b], canvas.names[inks[a]], canvas.names[grounds[a]]) for a, b in pairwise(cuts)
    )
