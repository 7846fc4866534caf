"""Large letters: their size, their scales, and that every letter has a shape."""

from __future__ import annotations

import string

import pytest

from app.widgets.blocks import FONT, GLYPH_HEIGHT, HALF, block_rows, largest_scale, size_of


def test_every_letter_and_figure_has_a_shape_of_equal_rows() -> None:
    for letter in string.ascii_uppercase + string.digits + ":. -+/?!°":
        rows = FONT[letter]
        assert len(rows) == GLYPH_HEIGHT
        assert len({len(row) for row in rows}) == 1, letter


def test_no_two_letters_look_the_same() -> None:
    letters = string.ascii_uppercase + string.digits
    same_on_purpose = {"O", "0", "5", "S"}
    shapes = [FONT[letter] for letter in letters if letter not in same_on_purpose]
    assert len(set(shapes)) == len(shapes)


@pytest.mark.parametrize("scale", [HALF, 1, 2, 3])
def test_rows_have_the_promised_size(scale: int) -> None:
    rows = block_rows("17:42", scale)
    assert (len(rows[0]), len(rows)) == size_of("17:42", scale)
    assert len({len(row) for row in rows}) == 1


def test_the_largest_scale_fits_and_the_next_does_not() -> None:
    for width, height in ((80, 18), (120, 30), (200, 44)):
        scale = largest_scale("17:42", width, height)
        assert scale is not None
        across, down = size_of("17:42", scale)
        assert across <= width and down <= height
        across, down = size_of("17:42", scale + 1)
        assert across > width or down > height


def test_a_box_too_small_for_any_scale_gives_none() -> None:
    assert largest_scale("17:42", 10, 10) is None


def test_half_scale_draws_the_same_dots() -> None:
    halves = block_rows("8", HALF)
    dots = {"█": "##", "▀": "#.", "▄": ".#", " ": ".."}
    rows = ["".join(dots[cell][part] for cell in row) for row in halves for part in (0, 1)]
    assert tuple(rows[:GLYPH_HEIGHT]) == FONT["8"]
