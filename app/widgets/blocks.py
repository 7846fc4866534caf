"""Large letters drawn from blocks, readable from across a patio.

Each letter is a small bitmap, five dots high. A dot becomes 2k x k full cells, which is about
square on a terminal; at `HALF` one cell holds two dots above each other.
"""

from __future__ import annotations

HALF = 0
"""Scale at which a dot is one cell wide and half a cell high."""

GLYPH_HEIGHT = 5

_SHAPES = """
0 ### #.# #.# #.# ###
1 .#. ##. .#. .#. ###
2 ### ..# ### #.. ###
3 ### ..# .## ..# ###
4 #.# #.# ### ..# ..#
5 ### #.. ### ..# ###
6 ### #.. ### #.# ###
7 ### ..# ..# .#. .#.
8 ### #.# ### #.# ###
9 ### #.# ### ..# ###
: . # . # .
. . . . . #
- ... ... ### ... ...
+ ... .#. ### .#. ...
/ ..# ..# .#. #.. #..
? ### ..# .## ... .#.
! # # # . #
° ## ## .. .. ..
A .#. #.# ### #.# #.#
B ##. #.# ##. #.# ##.
C ### #.. #.. #.. ###
D ##. #.# #.# #.# ##.
E ### #.. ##. #.. ###
F ### #.. ##. #.. #..
G #### #... #.## #..# ####
H #.# #.# ### #.# #.#
I # # # # #
J ..# ..# ..# #.# ###
K #..# #.#. ##.. #.#. #..#
L #.. #.. #.. #.. ###
M #...# ##.## #.#.# #...# #...#
N #..# ##.# #.## #..# #..#
O ### #.# #.# #.# ###
P ### #.# ### #.. #..
Q ### #.# #.# ### ..#
R ##. #.# ##. #.# #.#
S ### #.. ### ..# ###
T ### .#. .#. .#. .#.
U #.# #.# #.# #.# ###
V #.# #.# #.# #.# .#.
W #...# #...# #.#.# ##.## #...#
X #.# #.# .#. #.# #.#
Y #.# #.# .#. .#. .#.
Z ### ..# .#. #.. ###
"""

FONT: dict[str, tuple[str, ...]] = {" ": ("..",) * GLYPH_HEIGHT} | {
    line.split()[0]: tuple(line.split()[1:]) for line in _SHAPES.strip().splitlines()
}


def _bitmap(text: str) -> list[str]:
    """The rows of dots of a whole word, letters one dot apart; unknown letters become ``?``."""
    shapes = [FONT.get(letter, FONT["?"]) for letter in text.upper()]
    return [".".join(shape[row] for shape in shapes) for row in range(GLYPH_HEIGHT)]


def size_of(text: str, scale: int) -> tuple[int, int]:
    """Cells across and down that `text` takes at `scale`."""
    dots = len(_bitmap(text)[0]) if text else 0
    if scale == HALF:
        return dots, (GLYPH_HEIGHT + 1) // 2
    return 2 * scale * dots, scale * GLYPH_HEIGHT


def largest_scale(text: str, width: int, height: int) -> int | None:
    """The greatest scale at which `text` fits the box; None if not even `HALF` does."""
    fitting = None
    scale = HALF
    while True:
        across, down = size_of(text, scale)
        if across > width or down > height or not across:
            return fitting
        fitting = scale
        scale += 1


def block_rows(text: str, scale: int) -> tuple[str, ...]:
    """Rows of full and half blocks that spell `text`."""
    bitmap = _bitmap(text)
    if scale == HALF:
        padded = [*bitmap, "." * len(bitmap[0])]
        halves = {("#", "#"): "█", ("#", "."): "▀", (".", "#"): "▄", (".", "."): " "}
        return tuple(
            "".join(halves[pair] for pair in zip(upper, lower, strict=True))
            for upper, lower in zip(padded[::2], padded[1::2], strict=True)
        )
    rows = []
    for line in bitmap:
        cells = "".join(("█" if dot == "#" else " ") * (2 * scale) for dot in line)
        rows.extend([cells] * scale)
    return tuple(rows)
