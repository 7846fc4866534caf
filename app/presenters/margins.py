"""What stands around the plot: temperatures, names of the lines, events and the clock."""

from __future__ import annotations

import numpy as np

from app.presenters.axes import clock_ticks
from app.presenters.canvas import Canvas, Run
from app.presenters.chart import ChartView, Moment

EVENT_POINTER = "╵"
AXIS_TICK = "╵"


def y_labels(canvas: Canvas, ticks: tuple[tuple[float, str], ...], left: int) -> list[Run]:
    labels = [""] * canvas.height
    for tick, label in ticks:
        row = int(canvas.rows_of(np.array([tick]), 1)[0])
        labels[min(max(row, 0), canvas.height - 1)] = label
    return [Run(label.rjust(left - 1) + " ", "axis", "plot") for label in labels]


def end_names(view: ChartView) -> list[str]:
    return [trace.name for trace in view.traces] + [band.name for band in view.bands]


def end_labels(canvas: Canvas, right: int) -> list[Run]:
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


def event_row(canvas: Canvas, left: int, right: int) -> tuple[Run, ...]:
    """Pointers under the plot, with the word where there is room for it."""
    # a word may run out under the names of the lines: there is nothing else in that corner
    cells: list[tuple[str, str]] = [(" ", "event")] * (canvas.width + right)
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
        _write_word(cells, column, moment, either=moment in canvas.view.upright)
    runs = [Run(letter, ink, "plot") for letter, ink in cells]
    return Run(" " * left, "axis", "plot"), *_merge(runs)


def _write_word(cells: list[tuple[str, str]], column: int, moment: Moment, *, either: bool) -> None:
    """The word right of its pointer; left of it at the edge; not at all without room.

    One that may stand on `either` side goes left too where something else is in its way.
    """
    length = len(moment.word)
    after, before = column + 1, column - length
    for start, margin_left, margin_right in ((after, 0, 1), (before, 1, 0)):
        if start < 0 or start + length > len(cells):
            continue
        gap = cells[max(start - margin_left, 0) : start + length + margin_right]
        if all(letter == " " for letter, _ in gap):
            cells[start : start + length] = [(letter, moment.ink) for letter in moment.word]
            return
        if start == after and not either:
            return


def clock_row(canvas: Canvas, left: int, right: int) -> tuple[Run, ...]:
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
