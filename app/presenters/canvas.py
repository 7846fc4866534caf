"""The plot area while it is painted: dots, glyphs and colour names, cell by cell."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.presenters.chart import ChartView

BLANK = ord(" ")
BRAILLE = 0x2800

# Dot weights of a braille cell, by row and column (Unicode standard, block U+2800).
DOT_WEIGHTS = {
    (row, column): np.uint8(weight)
    for row, pair in enumerate(((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80)))
    for column, weight in enumerate(pair)
}


@dataclass(frozen=True, slots=True)
class Run:
    """Neighbouring cells of one colour: ``ink`` on ``ground`` (colour names, see the widget)."""

    text: str
    ink: str
    ground: str


class Canvas:
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

    def whole_cells(self, dots: npt.NDArray[np.bool_], tint: str) -> None:
        """Tint every cell that a band's median runs through, whether a dash lies on it or not.

        A cell with dots has one ground. If its neighbours in the gaps of the dashes kept their
        half blocks, the edge of a thin band would look like battlements.
        """
        through = dots.reshape(self.height, 4, self.width, 2).any(axis=(1, 3))
        self.glyphs[through] = BLANK
        self.grounds[through] = self.behind[through] = self.code(tint)

    def write(self, row: int, column: int, text: str, ink: str) -> None:
        """Letters over everything else, cut at the right edge."""
        text = text[: max(self.width - column, 0)]
        for offset, letter in enumerate(text):
            self.dots[row, column + offset] = 0
            self.glyphs[row, column + offset] = ord(letter)
            self.inks[row, column + offset] = self.code(ink)
            self.grounds[row, column + offset] = self.behind[row, column + offset]

    def finish(self) -> None:
        """Turn dots into braille glyphs."""
        touched = self.dots > 0
        self.glyphs[touched] = BRAILLE + self.dots[touched].astype(np.int64)
        self.grounds[touched] = self.behind[touched]
        self._join_blanks()

    def _join_blanks(self) -> None:
        """A blank cell shows no ink: it takes that of its left neighbour, so that runs are long."""
        columns = np.arange(self.width)
        last = np.maximum.accumulate(np.where(self.glyphs == BLANK, 0, columns), axis=1)
        self.inks = np.take_along_axis(self.inks, last, axis=1)
