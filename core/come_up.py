"""How long the core spent on its way up, against the published limit.

Source: FSIS-GD-2021-14 (Revised Appendix A), options for come-up time: product between 50 and
130 °F for no more than six hours. Written for plants; shown to a cook as a figure, not a verdict.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from core.units import f_to_c

LOW_C, HIGH_C = f_to_c(50.0), f_to_c(130.0)
LIMIT_S = 6.0 * 3600.0
SOURCE = "FSIS-GD-2021-14, Revised Appendix A, come-up time"


@dataclass(frozen=True, slots=True)
class ComeUp:
    """Time of one core between 50 and 130 °F.

    Attributes
    ----------
    entered_s : float or None
        When it rose past 50 °F [s from meat-on]; None if it has not.
    entered_seen : bool
        False if the first reading lay above already, so that the time may be longer.
    left_s : float or None
        When it rose past 130 °F; None while it is between.
    elapsed_s : float
        Time between, up to `now` while it lasts [s].
    limit_s : float
    source : str
    """

    entered_s: float | None
    entered_seen: bool
    left_s: float | None
    elapsed_s: float
    limit_s: float = LIMIT_S
    source: str = SOURCE

    @property
    def over(self) -> bool:
        """Whether the published time has been passed."""
        return self.elapsed_s > self.limit_s


def come_up(readings: Sequence[tuple[float, float]], now_s: float) -> ComeUp:
    """Come-up time from readings (elapsed_s, temp_c) in time order, as known at `now_s`.

    Readings above 50 °F from the start count from meat-on, or from the first of them if that was
    earlier. Once past 130 °F the come-up is over, whatever follows.
    """
    known = [(t, c) for t, c in readings if t <= now_s]
    entered = _first_above(known, LOW_C)
    if entered is None:
        return ComeUp(None, True, None, 0.0)
    seen = known[0][1] < LOW_C
    if not seen:
        entered = min(0.0, known[0][0])
    left = _first_above(known, HIGH_C)
    until = now_s if left is None else left
    return ComeUp(entered, seen, left, max(until - entered, 0.0))


def _first_above(readings: Sequence[tuple[float, float]], temp_c: float) -> float | None:
    """Time at which the line through the readings first reaches a temperature."""
    if readings and readings[0][1] >= temp_c:
        return readings[0][0]
    for (start, first), (end, last) in pairwise(readings):
        if first < temp_c <= last:
            return start + (temp_c - first) / (last - first) * (end - start)
    return None
