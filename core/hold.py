"""Meat off the fire: how long its core stays hot, and by when what is left must be cold.

The published limits, in short: hot food is held at 140 °F or above; what is left is refrigerated
within two hours, within one where it is warmer than 90 °F. Source: USDA FSIS, Leftovers and Food
Safety, and Danger Zone (40 to 140 °F), as read in reprints. Between two readings the core is taken
as going straight.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from core.cook import Cook, EventKind
from core.units import f_to_c

if TYPE_CHECKING:
    from core.answers import Fan

HOT_C = f_to_c(140.0)
LEFTOVERS_S, LEFTOVERS_WARM_S = 7200.0, 3600.0
WARM_DAY_C = f_to_c(90.0)
SOURCE = "USDA FSIS"
AWAY_NOTE = "leftovers away"
"""The note that says that what was left is in the refrigerator."""

_TOUCH_C = 0.05
_LOW, _MIDDLE, _HIGH = 1, 3, 5  # rows of a fan: 10, 50 and 90 %


@dataclass(frozen=True, slots=True)
class Hold:
    """One probe's core since the pull, against 140 °F.

    Attributes
    ----------
    probe : str
    last_c, last_s : float or None
        Last reading after the pull and when [s from meat-on]; None without one.
    above_s : float
        Time read at or above it since the pull, up to the last reading [s].
    fell_s : float or None
        When the readings fell below it; None while they have not.
    now_c : float or None
        Expected now [°C]; None without a forecast.
    below_low_s, below_s, below_high_s : float or None
        10, 50 and 90 % times at which it is expected to fall below; None for not in the hours
        ahead, or once it has fallen.
    """

    probe: str
    last_c: float | None
    last_s: float | None
    above_s: float
    fell_s: float | None
    now_c: float | None
    below_low_s: float | None
    below_s: float | None
    below_high_s: float | None


def hold_of(cook: Cook, probe: str, now_s: float, fan: Fan | None = None) -> Hold | None:
    """How one probe's core holds its heat; None before the pull.

    Parameters
    ----------
    cook : Cook
    probe : str
    now_s : float
        Seconds from meat-on.
    fan : Fan, optional
        The forecast of that probe, for what is ahead.
    """
    known = cook.known_at(now_s)
    pulled = known.first_event(EventKind.PULLED)
    if pulled is None:
        return None
    pairs = ((r.elapsed_s, r.of(probe)) for r in known.readings)
    readings = [(t, c) for t, c in pairs if c is not None]
    above, fell = _read_above(readings, pulled.elapsed_s)
    after = [(t, c) for t, c in readings if t >= pulled.elapsed_s]
    last_s, last_c = after[-1] if after else (None, None)
    ahead = (None, None, None) if fan is None or fell is not None else _falls(fan, now_s)
    now_c = None if fan is None else fan.at(now_s)[_MIDDLE]
    return Hold(probe, last_c, last_s, above, fell, now_c, *ahead)


def _read_above(readings: list[tuple[float, float]], pulled_s: float) -> tuple[float, float | None]:
    """Seconds at or above 140 °F since the pull, and when the readings last fell below."""
    seconds, fell = 0.0, None
    for (start, first), (end, last) in pairwise(readings):
        if end <= pulled_s or end <= start:
            continue
        begin = max(start, pulled_s)
        at_begin = first + (last - first) * (begin - start) / (end - start)
        high, low = at_begin >= HOT_C - _TOUCH_C, last >= HOT_C - _TOUCH_C
        share = 1.0 if high else 0.0
        if high != low:
            cross = (HOT_C - at_begin) / (last - at_begin)
            share = min(max(cross if high else 1.0 - cross, 0.0), 1.0)
        seconds += share * (end - begin)
        if low:
            fell = None
        elif high:
            fell = begin + share * (end - begin)
        elif fell is None:
            fell = begin
    return seconds, fell


def _falls(fan: Fan, now_s: float) -> tuple[float | None, float | None, float | None]:
    """When the quantiles of what is ahead fall below; the coldest first."""
    return tuple(_first_below(fan, row, now_s) for row in (_LOW, _MIDDLE, _HIGH))  # type: ignore[return-value]


def _first_below(fan: Fan, row: int, now_s: float) -> float | None:
    """First time from now on at which one quantile is below, None if it never is.

    A core that has not come up to it yet is not falling.
    """
    pairs = zip(fan.elapsed_s.tolist(), fan.temp_c[row].tolist(), strict=True)
    path: list[tuple[float, float]] = [(now_s, fan.at(now_s)[row])]
    path += [pair for pair in pairs if pair[0] > now_s]
    top = max(range(len(path)), key=lambda i: path[i][1])
    at = next((i for i in range(top, len(path)) if path[i][1] < HOT_C), None)
    if at is None:
        return None
    (end, cold) = path[at]
    if at == top:
        return end
    (start, hot) = path[at - 1]
    return start + (hot - HOT_C) / (hot - cold) * (end - start)


@dataclass(frozen=True, slots=True)
class Leftovers:
    """By when what is left must be in the refrigerator [s from meat-on].

    Attributes
    ----------
    since_s : float
        The time that the hours count from.
    by_s, warm_by_s : float
        Two hours later; one hour later, for where it is warmer than 90 °F.
    away_s : float or None
        When it was put away, if that was said.
    """

    since_s: float
    by_s: float
    warm_by_s: float
    away_s: float | None


def leftovers_of(cook: Cook) -> Leftovers | None:
    """The hours count from the serving, or from when the core was read below 140 °F if sooner.

    None until it is served.
    """
    served = cook.first_event(EventKind.SERVED)
    if served is None:
        return None
    found = (hold_of(cook, probe.name, served.elapsed_s) for probe in cook.probes)
    fell = [hold.fell_s for hold in found if hold is not None and hold.fell_s is not None]
    since = min([served.elapsed_s, *fell])
    notes = (e for e in cook.events if e.kind is EventKind.NOTE and e.note == AWAY_NOTE)
    away = next((e.elapsed_s for e in notes if e.elapsed_s >= served.elapsed_s), None)
    return Leftovers(since, since + LEFTOVERS_S, since + LEFTOVERS_WARM_S, away)
