"""What a mistyped number may have been meant to be."""

from __future__ import annotations

from collections.abc import Callable

from app.display import Display, other_unit, plain_number
from core.units import from_celsius, to_celsius


def suggestion(temp_c: float, low_c: float, high_c: float, display: Display) -> str:
    """``; did you mean 132?`` if just one slip of a kind leads into the range, else nothing.

    Parameters
    ----------
    temp_c : float
        What was typed [°C].
    low_c, high_c : float
        What was to be expected [°C].
    display : Display
    """
    text = display.number(temp_c)
    low, high = (from_celsius(bound, display.unit) for bound in (low_c, high_c))
    if text.isdigit():
        for slip in (_swapped, _too_many, _too_few):
            found = sorted({t for t in slip(text) if low <= float(t) <= high and t != text})
            if len(found) == 1:
                return f"; did you mean {found[0]}?"
    other = other_unit(display.unit)
    as_other_c = to_celsius(from_celsius(temp_c, display.unit), other)
    if low_c <= as_other_c <= high_c:
        number = plain_number(from_celsius(temp_c, display.unit), 1)
        return f"; did you mean {number}{other.value.lower()}?"
    return ""


_Slip = Callable[[str], list[str]]


def _swapped(text: str) -> list[str]:
    """Two neighbours changed places: 213 for 123."""
    places = range(len(text) - 1)
    return [text[:i] + text[i + 1] + text[i] + text[i + 2 :] for i in places]


def _too_many(text: str) -> list[str]:
    """One key too many: 1332 for 132."""
    return [text[:i] + text[i + 1 :] for i in range(len(text)) if len(text) > 1]


def _too_few(text: str) -> list[str]:
    """One key too few: 32 for 132."""
    digits = "0123456789"
    found = [text[:i] + digit + text[i:] for i in range(len(text) + 1) for digit in digits]
    return [number for number in found if not number.startswith("0")]
