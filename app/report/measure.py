"""How wide words are in the font of the sheets, and where lines break."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

PT_PER_IN = 72.0
WIDEST_EM = 1.1
WIDEST_SHARE = 0.55
"""A column of numbers takes no more of the line than this."""


@lru_cache(maxsize=4096)
def width_in(words: str, size: float, bold: bool) -> float:
    """Width of a text [inches]."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    if not words.strip():
        return 0.28 * size * len(words) / PT_PER_IN
    weight = "bold" if bold else "normal"
    prop = FontProperties(family=["DejaVu Sans"], weight=weight)
    path = TextPath((0.0, 0.0), words, size=size, prop=prop, usetex=False)
    return float(path.get_extents().x1) / PT_PER_IN


def wrapped(words: str, size: float, room: float, *, bold: bool = False) -> list[str]:
    """The text in lines no wider than `room` [inches]; at least one line.

    Parameters
    ----------
    words : str
        In one line.
    size : float
        Of the letters [pt].
    room : float
    bold : bool
    """
    if len(words) * WIDEST_EM * size / PT_PER_IN <= room:
        return [words]  # short however wide its letters are
    space = 0.32 * size / PT_PER_IN
    lines, line, used = [], "", 0.0
    for word in _fitting(words.split(" "), size, room, bold):
        width = width_in(word, size, bold)
        if line and used + space + width > room:
            lines.append(line)
            line, used = word, width
        else:
            used += (space if line else 0.0) + width
            line = f"{line} {word}" if line else word
    return [*lines, line]


def _fitting(words: list[str], size: float, room: float, bold: bool) -> Iterator[str]:
    """The words, those too wide for a line cut into pieces."""
    for word in words:
        rest = word
        while len(rest) > 1 and width_in(rest, size, bold) > room:
            keep = max(1, int(len(rest) * room / width_in(rest, size, bold)))
            while keep > 1 and width_in(rest[:keep], size, bold) > room:
                keep -= 1
            yield rest[:keep]
            rest = rest[keep:]
        yield rest


def column_widths(rows: Sequence[tuple[str, ...]], size: float, room: float) -> tuple[float, ...]:
    """Widths of the columns of a table [inches]: as their cells need, the last takes the rest."""
    needed = []
    for column in list(zip(*rows, strict=True))[:-1]:
        longest = sorted(set(column), key=len)[-3:]
        widest = max(width_in(cell, size, bold=True) for cell in longest) + 0.22
        needed.append(min(widest, room / 4.0))
    over = sum(needed) / (WIDEST_SHARE * room)
    if over > 1.0:
        needed = [width / over for width in needed]
    return (*needed, room - sum(needed))
