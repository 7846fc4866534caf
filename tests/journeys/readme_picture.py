"""Makes the picture in the README: ``python -m tests.journeys.readme_picture``.

The Tend screen on an invented sample with a real forecast, drawn cell by cell. Blocks and dots
become shapes and not letters, so the picture looks the same whatever fonts a reader has, and it
fetches nothing.
"""

from __future__ import annotations

import asyncio
import os
import sys
import tempfile
from collections.abc import Iterable, Iterator
from html import escape
from pathlib import Path

from rich.color import Color
from rich.segment import Segment
from rich.style import Style

from app.screens.forecaster import core_forecast
from tests.journeys.acting import settle
from tests.journeys.stage import Stage

PICTURE = Path(__file__).parent / "readme" / "tend.svg"
SAMPLE, MINUTE, TYPED, SIZE = "duck-autumn-afternoon", 129.5, "147 58", (112, 34)

CELL_W, CELL_H, BASELINE, FONT_SIZE, STROKE = 10.0, 21.0, 15.5, 16.4, 1.6
FONTS = "ui-monospace, Menlo, Consolas, 'DejaVu Sans Mono', 'Liberation Mono', monospace"
PAPER, INK = "#000000", "#ffffff"

FULL_BLOCK, UPPER_HALF, LEFT_HALF, RIGHT_HALF = "█", "▀", "▌", "▐"
BRAILLE, DOTS = 0x2800, ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
"""Dot of each bit of a braille letter as (column, row)."""


def _hex(color: Color | None, otherwise: str) -> str:
    return otherwise if color is None or color.is_default else color.get_truecolor().hex


def _colours(style: Style | None) -> tuple[str, str]:
    """Ink and paper of a style."""
    style = style or Style()
    ink, paper = _hex(style.color, INK), _hex(style.bgcolor, PAPER)
    return (paper, ink) if style.reverse else (ink, paper)


def _rect(x: float, y: float, width: float, height: float, fill: str) -> str:
    return f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}" fill="{fill}"/>'


def _block(letter: str, x: float, y: float) -> tuple[float, float, float, float] | None:
    """Place and size of a block letter; None for other letters."""
    half_w, half_h, code = CELL_W / 2, CELL_H / 2, ord(letter)
    if 0x2581 <= code <= 0x2588:  # lower blocks, an eighth to the whole
        height = CELL_H * (code - 0x2580) / 8
        return x, y + CELL_H - height, CELL_W, height
    return {
        UPPER_HALF: (x, y, CELL_W, half_h),
        LEFT_HALF: (x, y, half_w, CELL_H),
        RIGHT_HALF: (x + half_w, y, half_w, CELL_H),
    }.get(letter)


def _line(letter: str, x: float, y: float) -> tuple[float, float, float, float] | None:
    """Place and size of a ruled line's letter; None for other letters."""
    middle_x, middle_y = x + (CELL_W - STROKE) / 2, y + (CELL_H - STROKE) / 2
    return {
        "│": (middle_x, y, STROKE, CELL_H),
        "╵": (middle_x, y, STROKE, CELL_H / 2),
        "─": (x, middle_y, CELL_W, STROKE),
    }.get(letter)


def _dots(letter: str, x: float, y: float, ink: str) -> Iterator[str]:
    for bit, (column, row) in enumerate(DOTS):
        if (ord(letter) - BRAILLE) >> bit & 1:
            cx, cy = x + CELL_W * (0.25 + 0.5 * column), y + CELL_H * (0.125 + 0.25 * row)
            yield f'<circle cx="{cx:g}" cy="{cy:g}" r="1.5" fill="{ink}"/>'


def _words(text: str, x: float, y: float, ink: str, *, bold: bool) -> str:
    weight = ' font-weight="bold"' if bold else ""
    width = CELL_W * len(text)
    return (
        f'<text x="{x:g}" y="{y + BASELINE:g}" textLength="{width:g}" '
        f'lengthAdjust="spacingAndGlyphs" fill="{ink}"{weight}>{escape(text, quote=False)}</text>'
    )


def _run(segment: Segment, x: float, y: float) -> Iterator[str]:
    """The shapes of one run of letters in one style."""
    ink, paper = _colours(segment.style)
    bold = bool(segment.style and segment.style.bold)
    yield _rect(x, y, CELL_W * len(segment.text), CELL_H, paper)
    word, word_x = "", x
    for place, letter in enumerate((*segment.text, None)):
        here = x + CELL_W * place
        shape = None if letter is None else _block(letter, here, y) or _line(letter, here, y)
        dots = letter is not None and BRAILLE <= ord(letter) < BRAILLE + 256
        if letter is not None and letter != " " and shape is None and not dots:
            word_x = word_x if word else here
            word += letter
            continue
        if word:
            yield _words(word, word_x, y, ink, bold=bold)
            word = ""
        if shape is not None:
            yield _rect(*shape, ink)
        elif dots and letter is not None:
            yield from _dots(letter, here, y, ink)


def drawing(rows: Iterable[Iterable[Segment]], size: tuple[int, int]) -> str:
    """The SVG text of a screen of `size` columns and rows."""
    width, height = CELL_W * size[0], CELL_H * size[1]
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'font-family="{FONTS}" font-size="{FONT_SIZE:g}" shape-rendering="crispEdges">',
        "<title>The Tend screen of doneby on an invented cook</title>",
    ]
    for row, segments in enumerate(rows):
        x = 0.0
        for segment in segments:
            out += _run(segment, x, CELL_H * row)
            x += CELL_W * segment.cell_length
    return "\n".join([*out, "</svg>", ""])


async def screen_drawing(sample: str, minute: float, typed: str, size: tuple[int, int]) -> str:
    """The drawing of Tend at that minute of a sample, with a line half typed."""
    with tempfile.TemporaryDirectory() as place:
        stage = Stage(Path(place) / "picture.db", forecast=core_forecast)
        stage.play(sample, minute)
        app = stage.app()
        async with app.run_test(size=size) as pilot:
            await settle(pilot)
            await pilot.press(*typed)
            await settle(pilot)
            text = drawing(app.screen._compositor.render_strips(), size)
        stage.close()
    return text


def main() -> int:
    """Write the picture."""
    os.environ.pop("NO_COLOR", None)
    PICTURE.parent.mkdir(exist_ok=True)
    PICTURE.write_text(asyncio.run(screen_drawing(SAMPLE, MINUTE, TYPED, SIZE)), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
