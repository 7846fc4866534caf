"""How long frozen meat takes to thaw, as published, and how long it keeps then.

Source: USDA FSIS turkey thawing guidance as reprinted, and the USDA chart for a turkey breast: in a
refrigerator at or below 40 °F a day for each 4 to 5 lb, in cold water changed every 30 minutes half
an hour for each pound. Meat of other kinds takes the same two rules, which are given there for any
weight. What a source does not say is marked ``COMMON``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from core.errors import InvalidValue
from core.units import kg_to_lb

USDA = "USDA FSIS turkey thawing guidance, as reprinted"
USDA_BREAST = "USDA thawing chart, as reprinted"
COMMON = "common practice, no source"
HOUR_S, DAY_S = 3600.0, 86400.0

HOLD_LOW_S, HOLD_HIGH_S = DAY_S, 2.0 * DAY_S
"""A turkey thawed in the refrigerator keeps there for one to two days more (USDA) [s]."""

FROM_FROZEN_FACTOR = 1.5
"""A turkey roasted from frozen takes at least half as long again (USDA)."""

PARTLY_LOW, PARTLY_HIGH = 0.25, 0.75
"""Share of the thawing time that partly thawed meat still needs (COMMON)."""

WATER_CHANGE_S = 1800.0
SMALLEST_S = 0.5 * DAY_S
"""Shortest stay in a refrigerator that is planned for (COMMON) [s]."""


class MeatState(StrEnum):
    """How the meat is when the plan is made."""

    FROZEN = "frozen"
    PARTLY = "partly"
    THAWED = "thawed"


class ThawMethod(StrEnum):
    """The two ways that keep the surface cold."""

    REFRIGERATOR = "refrigerator"
    COLD_WATER = "cold_water"


@dataclass(frozen=True, slots=True)
class ThawTime:
    """Range of the time one piece needs [s], and where it is from.

    ``cook_at_once`` holds for cold water: the piece is cooked as soon as it is thawed.
    """

    method: ThawMethod
    low_s: float
    high_s: float
    source: str
    cook_at_once: bool


_WHOLE_DAYS = ((4.0, 12.0, 1.0, 3.0), (12.0, 16.0, 3.0, 4.0), (16.0, 20.0, 4.0, 5.0),
               (20.0, 24.0, 5.0, 6.0))  # fmt: skip
_WHOLE_HOURS = ((4.0, 12.0, 2.0, 6.0), (12.0, 16.0, 6.0, 8.0), (16.0, 20.0, 8.0, 10.0),
                (20.0, 24.0, 10.0, 12.0))  # fmt: skip
_BREAST_DAYS = ((4.0, 6.0, 1.0, 1.5), (6.0, 8.0, 1.5, 2.0))
"""Rows as printed: weight from and to [lb], time from and to."""


def thaw_time(
    mass_kg: float,
    method: ThawMethod,
    state: MeatState = MeatState.FROZEN,
    cut: str = "",
) -> ThawTime:
    """Range of the thawing time of one piece.

    The published rule by weight gives the range, kept inside the published row for that weight.

    Parameters
    ----------
    mass_kg : float
    method : ThawMethod
    state : MeatState
        Partly thawed meat takes a quarter to three quarters of the time; thawed meat none.
    cut : str
        A key of the catalogue; ``turkey_breast`` has rows of its own.

    Raises
    ------
    InvalidValue
        The mass is not positive.
    """
    if not mass_kg > 0.0:
        raise InvalidValue("mass_kg", mass_kg, "more than 0 kg")
    mass_lb = kg_to_lb(mass_kg)
    if method is ThawMethod.COLD_WATER:
        low, high = _in_row(_WHOLE_HOURS, mass_lb, 0.5 * mass_lb, 0.5 * mass_lb)
        low, high, source = low * HOUR_S, high * HOUR_S, USDA
    else:
        rows, source = (
            (_BREAST_DAYS, USDA_BREAST)
            if cut == "turkey_breast" and 4.0 <= mass_lb <= 8.0
            else (_WHOLE_DAYS, USDA)
        )
        low, high = _in_row(rows, mass_lb, mass_lb / 5.0, mass_lb / 4.0)
        low, high = low * DAY_S, max(high * DAY_S, SMALLEST_S)
    cold_water = method is ThawMethod.COLD_WATER
    if state is MeatState.THAWED:
        low, high = 0.0, 0.0
    elif state is MeatState.PARTLY:
        low, high, source = low * PARTLY_LOW, high * PARTLY_HIGH, f"{source}; share: {COMMON}"
    return ThawTime(method, low, high, source, cold_water)


def _in_row(
    rows: tuple[tuple[float, float, float, float], ...], mass_lb: float, low: float, high: float
) -> tuple[float, float]:
    """The rule's range, kept inside the first row that holds the weight, if one does."""
    for light, heavy, least, most in rows:
        if light <= mass_lb <= heavy:
            return min(max(low, least), most), max(min(high, most), least)
    return low, high
