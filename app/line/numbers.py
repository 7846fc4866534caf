"""Temperatures as they are typed: ``305``, ``52,5``, ``52c``, ``126 °F``."""

from __future__ import annotations

import re

from app.display import other_unit
from app.line.values import Refusal
from core.units import TemperatureUnit, from_celsius, to_celsius
from storage.errors import shown
from storage.limits import TEMP_C, within

# [0-9], not \d: that takes digits of every script.
_NUMBER = re.compile(r"([+-]?[0-9]+)(?:[.,]([0-9]+))?(?:°|º|˚|deg)?([a-z]*)")
_UNIT = re.compile(r"(?:°|º|˚|deg)?([cf]?)")
_SIGNS = {"°", "º", "˚", "deg"}
_NO_NUMBERS = {"nan", "inf", "infinity", "+inf", "-inf", "-nan", "-infinity", "+infinity", "+nan"}

PIT_C, TARGET_C = (50.0, 290.0), (40.0, 110.0)
"""Pits and targets that are taken without a word [°C]; outside, the unit is probably the other one
(common practice, no source)."""

NUMBER_RULE = "a temperature is digits 0 to 9 with at most one decimal, and C or F if it is not {}"


def number_rule(unit: TemperatureUnit) -> str:
    """What a temperature may look like."""
    return NUMBER_RULE.format(f"°{unit.value}")


def is_unit(word: str) -> bool:
    """Whether a word is a unit that stands apart from its number: ``°F``, ``C``, ``°``."""
    return bool(word) and _UNIT.fullmatch(word.lower()) is not None


def looks_numeric(word: str) -> bool:
    """Whether a word means to be a number, readable or not."""
    bare = word.lstrip("+-.,")
    return bool(bare) and (bare[0].isnumeric() or word.lower() in _NO_NUMBERS)


def read_temp_c(word: str, apart: str, unit: TemperatureUnit) -> float:
    """Temperature [°C] of a typed number.

    Parameters
    ----------
    word : str
        The number, perhaps with its unit attached.
    apart : str
        A unit that stood behind it as a word of its own, or nothing.
    unit : TemperatureUnit
        Unit of a number that names none.

    Raises
    ------
    Refusal
    """
    match = _NUMBER.fullmatch(word.lower())
    if match is None:
        raise Refusal(f"found {shown(word)}", number_rule(unit))
    whole, decimals, letters = match.groups()
    if decimals is not None and len(decimals) > 1:
        raise Refusal(
            f"found {shown(word)}, which could be one number or two",
            "put a space between two numbers; one number has at most one decimal",
        )
    if letters not in ("", "c", "f") or (letters and apart.lower() not in ("", *_SIGNS)):
        raise Refusal(f"found {shown(f'{word} {apart}'.strip())}", number_rule(unit))
    letter = letters or apart.lower()[-1:]
    if letter in ("c", "f"):
        unit = TemperatureUnit(letter.upper())
    # float() of a very long run of digits is inf, which the bounds refuse.
    temp_c = to_celsius(float(f"{whole}.{decimals or '0'}"), unit)
    if not within(temp_c, TEMP_C):
        low, high = (from_celsius(bound, unit) for bound in TEMP_C)
        raise Refusal(f"found {shown(word)}", f"allowed is {low:.0f} to {high:.0f} °{unit.value}")
    return temp_c


def named_unit(typed: str) -> bool:
    """Whether a typed temperature names its unit: ``325f``, ``165 °C``."""
    return typed.strip().lower()[-1:] in ("c", "f")


def other_unit_words(typed: str, unit: TemperatureUnit, what: str) -> str:
    """What to type if the number was meant in the other unit, or in this one all the same."""
    number, other = typed.strip().rstrip("°º˚ "), other_unit(unit)
    here, there = unit.value.lower(), other.value.lower()
    return (
        f"{number} °{unit.value} is no usual {what}; {number}{there} is °{other.value}, "
        f"{number}{here} keeps it"
    )
