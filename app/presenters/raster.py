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

from app.presenters.axes import clock_ticks, nice_ticks
from app.presenters.chart import Band, ChartView, Level, Moment, Trace

IntArray = npt.NDArray[np.int64]

MIN_WIDTH, MIN_HEIGHT = 30, 6
BLANK = ord(" ")
BRAILLE = 0x2800
LOWER_EIGHTHS = np.array([BLANK, *range(0x2581, 0x2589)])
SHADES = {80: ord("░"), 50: ord("▒")}
NOW_RULE = ord("│")
EVENT_POINTER = "╵"
AXIS_TICK = "╵"

# Dot weights of a braille cell, by row and column (Unicode standard, block U+2800).
DOT_WEIGHTS = {
    (row, column): np.uint8(weight)
    for row, pair in enumerate(((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80)))
    for column, weight in enumerate(pair)
}

DASHES = {"target": (6, 2), "glaze": (3, 2), "wrap": (1, 2), "median": (3, 3)}
"""Dots on and off of each dashed line."""


@dataclass(frozen=True, slots=True)
class Run:
    """Neighbouring cells of one colour: ``ink`` on ``ground`` (colour names, see the widget)."""

    text: str
    ink: str
    ground: str


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


class _Canvas:
    """Mutable glyph, ink and ground arrays of the plot area while it is painted."""

    def __init__(self, view: ChartView, width: int, height: int) -> None:
        self.view, self.width, self.height = view, width, height
        self.dots = np.zeros((height, width), dtype=np.uint8)
        self.glyphs = np.full((height, width), BLANK, dtype=np.int64)
        self.inks = np.zeros((height, width), dtype=np.int64)
        self.grounds = np.zeros((height, width), dtype=np.int64)
        # what lies behind a line that crosses the half-filled edge of a band
        self.behind = np.zeros((height, width), dtype=np.int64)
        self.names = ["plot"]
        self.edges = np.linspace(view.x_low, view.x_high, 2 * width + 1)

    def code(self, name: str) -> int:
        """Number of a colour name in this picture."""
        if name not in self.names:
            self.names.append(name)
        return self.names.index(name)

    def rows_of(self, y: npt.NDArray[np.float64], per_cell: int) -> npt.NDArray[np.float64]:
        """Vertical position of `y` in units of 1/per_cell cell from the top."""
        view = self.view
        share = (view.y_high - y) / (view.y_high - view.y_low)
        return share * self.height * per_cell

    def column_of(self, x: float) -> int:
        """Cell column of a time; -1 outside the plot."""
        share = (x - self.view.x_low) / (self.view.x_high - self.view.x_low)
        return int(share * self.width) if 0.0 <= share < 1.0 else -1

    def stamp(self, dots: npt.NDArray[np.bool_], ink: str) -> None:
        """Add a layer of dots, colouring each cell it touches."""
        weights = np.zeros((self.height, self.width), dtype=np.uint8)
        for (row, column), weight in DOT_WEIGHTS.items():
            weights |= dots[row::4, column::2] * weight
        touched = weights > 0
        self.dots |= weights
        self.inks[touched] = self.code(ink)

    def write(self, row: int, column: int, text: str, ink: str) -> None:
        """Letters over everything else, cut at the right edge."""
        text = text[: max(self.width - column, 0)]
        for offset, letter in enumerate(text):
            self.dots[row, column + offset] = 0
            self.glyphs[row, column + offset] = ord(letter)
            self.inks[row, column + offset] = self.code(ink)

    def finish(self) -> None:
        """Turn dots into braille glyphs."""
        touched = self.dots > 0
        self.glyphs[touched] = BRAILLE + self.dots[touched].astype(np.int64)
        self.grounds[touched] = self.behind[touched]


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
    ticks = nice_ticks(view.y_low, view.y_high, max(2, (height - 2) // 3))
    left = max(len(f"{tick:.0f}") for tick in ticks) + 1
    right = min(max((len(name) for name in _end_names(view)), default=0) + 1, 13)
    canvas = _Canvas(view, width - left - right, height - 2)
    _paint(canvas, ticks, shade=shade, cursor_x=cursor_x)
    gutters = _y_labels(canvas, ticks, left), _end_labels(canvas, right)
    rows = [(gutters[0][row], *_runs(canvas, row), gutters[1][row]) for row in range(canvas.height)]
    rows.append(_event_row(canvas, left, right))
    rows.append(_clock_row(canvas, left, right))
    return Picture(tuple(rows), left, canvas.width, view.x_low, view.x_high)


def _too_small(view: ChartView, width: int, height: int) -> Picture:
    words = f"The chart needs {MIN_WIDTH} x {MIN_HEIGHT}."
    rows = [(Run(words[:width].ljust(width), "axis", "plot"),)]
    rows += [(Run(" " * width, "plot", "plot"),)] * (height - 1)
    return Picture(tuple(rows[:height]), 0, max(width, 1), view.x_low, view.x_high)


def _paint(
    canvas: _Canvas, ticks: tuple[float, ...], *, shade: bool, cursor_x: float | None
) -> None:
    view = canvas.view
    for band in view.bands:
        _fill(canvas, band, shade=shade)
    _grid(canvas, ticks)
    for level in view.levels:
        _dashed(canvas, level)
    for band in view.bands:
        middle = _span_dots(canvas, band.x, band.quantiles[2])
        canvas.stamp(_dash(middle, "median"), band.ink)
    for trace in view.traces:
        canvas.stamp(_trace_dots(canvas, trace), trace.ink)
    for moment in view.upright:
        _rule(canvas, canvas.column_of(moment.x), moment.ink)
    if cursor_x is not None:
        _rule(canvas, canvas.column_of(cursor_x), "cursor")
    for trace in view.traces:
        _slips(canvas, trace)
    taken: dict[int, int] = {}
    for level in view.levels:
        _name_level(canvas, level, taken)
    canvas.finish()


def _span_dots(
    canvas: _Canvas, x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]
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


def _trace_dots(canvas: _Canvas, trace: Trace) -> npt.NDArray[np.bool_]:
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


def _dashed(canvas: _Canvas, level: Level) -> None:
    row = int(canvas.rows_of(np.array([level.y]), 4)[0])
    dots = np.zeros((4 * canvas.height, 2 * canvas.width), dtype=bool)
    if 0 <= row < dots.shape[0]:
        dots[row] = True
        canvas.stamp(_dash(dots, level.ink), level.ink)


def _grid(canvas: _Canvas, ticks: tuple[float, ...]) -> None:
    """Sparse dots at the labelled temperatures, but none inside a band."""
    dots = np.zeros((4 * canvas.height, 2 * canvas.width), dtype=bool)
    rows = canvas.rows_of(np.array(ticks), 4).astype(np.int64)
    dots[np.clip(rows, 0, dots.shape[0] - 1), ::4] = True
    free = np.repeat(np.repeat(canvas.grounds == 0, 4, axis=0), 2, axis=1)
    edge = np.repeat(np.repeat(canvas.glyphs == BLANK, 4, axis=0), 2, axis=1)
    canvas.stamp(dots & free & edge, "grid")


def _fill(canvas: _Canvas, band: Band, *, shade: bool) -> None:
    """Tint the cells between the band's quantiles, with eighth blocks along its edges."""
    middle = 0.5 * (canvas.edges[:-1:2] + canvas.edges[2::2])
    shown = (middle >= band.x[0]) & (middle <= band.x[-1])
    # the fire's outlook is one plain band: the meat's is the one to read
    shares = ((80, 0, 4),) if band.name == "pit" else ((80, 0, 4), (50, 1, 3))
    for share, low_row, high_row in shares:
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
    canvas: _Canvas, shown: npt.NDArray[np.bool_], top: IntArray, bottom: IntArray, tint: int
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
    both = touched & ~(full | upper | lower)
    canvas.glyphs[full | both] = BLANK
    canvas.grounds[full | both] = tint
    canvas.behind[full | both] = tint
    canvas.behind[(upper & (above <= 4)) | (lower & (below <= 4))] = tint
    canvas.glyphs[upper] = LOWER_EIGHTHS[8 - above[upper]]
    canvas.inks[upper] = tint
    # the lower edge is painted the other way round: the outside rises from below
    canvas.glyphs[lower] = LOWER_EIGHTHS[below[lower]]
    canvas.inks[lower] = outside[lower]
    canvas.grounds[lower] = tint


def _shade_between(
    canvas: _Canvas, shown: npt.NDArray[np.bool_], top: IntArray, bottom: IntArray, share: int
) -> None:
    centre = 8 * np.arange(canvas.height)[:, None] + 4
    inside = shown & (centre >= top) & (centre <= bottom)
    canvas.glyphs[inside] = SHADES[share]
    canvas.inks[inside] = canvas.code("shade")


def _rule(canvas: _Canvas, column: int, ink: str) -> None:
    """An upright line that leaves the readings in front of it."""
    if column < 0:
        return
    free = canvas.dots[:, column] == 0
    canvas.glyphs[free, column] = NOW_RULE
    canvas.inks[free, column] = canvas.code(ink)


def _slips(canvas: _Canvas, trace: Trace) -> None:
    rows = canvas.rows_of(trace.slip_y, 1).astype(np.int64)
    for x, row in zip(trace.slip_x.tolist(), rows.tolist(), strict=True):
        column = canvas.column_of(x)
        if column >= 0:
            canvas.write(min(max(row, 0), canvas.height - 1), column, "x", trace.ink)


def _name_level(canvas: _Canvas, level: Level, taken: dict[int, int]) -> None:
    """The level's name on its line; behind another name if they share a row."""
    row = int(canvas.rows_of(np.array([level.y]), 1)[0])
    text = f" {level.label} "
    column = taken.get(row, 1)
    if 0 <= row < canvas.height and column + len(text) < 3 * canvas.width // 4:
        canvas.write(row, column, text, level.ink)
        taken[row] = column + len(text)


def _runs(canvas: _Canvas, row: int) -> tuple[Run, ...]:
    inks, grounds = canvas.inks[row], canvas.grounds[row]
    change = np.flatnonzero((np.diff(inks) != 0) | (np.diff(grounds) != 0)) + 1
    text = canvas.glyphs[row].astype("<u4").tobytes().decode("utf-32-le")
    cuts = [0, *change.tolist(), canvas.width]
    return tuple(
        Run(text[a:b], canvas.names[inks[a]], canvas.names[grounds[a]]) for a, b in pairwise(cuts)
    )


def _y_labels(canvas: _Canvas, ticks: tuple[float, ...], left: int) -> list[Run]:
    labels = [""] * canvas.height
    for tick in ticks:
        row = int(canvas.rows_of(np.array([tick]), 1)[0])
        labels[min(max(row, 0), canvas.height - 1)] = f"{tick:.0f}"
    return [Run(label.rjust(left - 1) + " ", "axis", "plot") for label in labels]


def _end_names(view: ChartView) -> list[str]:
    return [trace.name for trace in view.traces] + [band.name for band in view.bands]


def _end_labels(canvas: _Canvas, right: int) -> list[Run]:
    """Names beside the line ends, moved apart where two would share a row."""
    ends: dict[str, tuple[float, str]] = {}
    for trace in canvas.view.traces:
        if trace.y.size:
            ends[trace.name] = (float(trace.y[-1]), trace.ink)
    for band in canvas.view.bands:
        at_edge = float(np.interp(canvas.view.x_high, band.x, band.quantiles[2]))
        ends[band.name] = (at_edge, band.ink)
    runs = [Run(" " * right, "axis", "plot")] * canvas.height
    taken: set[int] = set()
    for name, (y, ink) in sorted(ends.items(), key=lambda item: -item[1][0]):
        wanted = int(np.clip(canvas.rows_of(np.array([y]), 1)[0], 0, canvas.height - 1))
        free = sorted(set(range(canvas.height)) - taken, key=lambda row: abs(row - wanted))
        if free:
            taken.add(free[0])
            runs[free[0]] = Run((" " + name)[:right].ljust(right), ink, "plot")
    return runs


def _event_row(canvas: _Canvas, left: int, right: int) -> tuple[Run, ...]:
    """Pointers under the plot, with the word where there is room for it."""
    width = canvas.width
    cells: list[tuple[str, str]] = [(" ", "event")] * width
    marks = sorted(
        (*canvas.view.upright, *canvas.view.events),
        key=lambda moment: (moment.ink != "now", moment.x),
    )
    placed = [(canvas.column_of(moment.x), moment) for moment in marks]
    placed = [(column, moment) for column, moment in placed if column >= 0]
    # all pointers first, so that no word hides one
    for column, moment in reversed(placed):
        cells[column] = (EVENT_POINTER, moment.ink)
    for column, moment in placed:
        _write_word(cells, column, moment)
    runs = [Run(letter, ink, "plot") for letter, ink in cells]
    return Run(" " * left, "axis", "plot"), *_merge(runs), Run(" " * right, "axis", "plot")


def _write_word(cells: list[tuple[str, str]], column: int, moment: Moment) -> None:
    """The word right of its pointer; left of it at the edge; not at all without room."""
    length = len(moment.word)
    after, before = column + 1, column - length
    for start, margin_left, margin_right in ((after, 0, 1), (before, 1, 0)):
        if start < 0 or start + length > len(cells):
            continue
        gap = cells[max(start - margin_left, 0) : start + length + margin_right]
        if all(letter == " " for letter, _ in gap):
            cells[start : start + length] = [(letter, moment.ink) for letter in moment.word]
            return
        if start == after:
            return


def _clock_row(canvas: _Canvas, left: int, right: int) -> tuple[Run, ...]:
    total = left + canvas.width + right
    letters = [" "] * total
    for x, label in clock_ticks(canvas.view, canvas.width):
        column = canvas.column_of(x)
        text = AXIS_TICK + label
        start = left + column
        if column >= 0 and start + len(text) <= total:
            letters[start : start + len(text)] = text
    letters[: len(canvas.view.unit_sign)] = canvas.view.unit_sign
    return (Run("".join(letters), "axis", "plot"),)


def _merge(runs: list[Run]) -> list[Run]:
    merged: list[Run] = []
    for run in runs:
        if merged and (merged[-1].ink, merged[-1].ground) == (run.ink, run.ground):
            merged[-1] = Run(merged[-1].text + run.text, run.ink, run.ground)
        else:
            merged.append(run)
    return merged
