"""Checks of several spots with another thermometer: the lowest counts.

The typed line keeps a spot check as text with its unit spelled out (``thigh 165 °F, breast
71 °C``); here it becomes values again. Checks typed within a quarter of an hour belong together; a
spot that was measured twice counts with its last value.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from core.cook import Cook, Event, EventKind
from core.units import TemperatureUnit, to_celsius

TOGETHER_S = 900.0
UNNAMED = "spot"
_TOUCH_C = 0.05  # 165 °F is 73.89 °C: a target of 73.9 is met by it

_SPOT = re.compile(
    r"(?P<place>[^\d]*?)\s*(?P<number>[-+]?\d+(?:[.,]\d+)?)\s*°?\s*(?P<unit>[CF])\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Spot:
    """One place that was measured [°C]."""

    place: str
    temp_c: float
    elapsed_s: float


@dataclass(frozen=True, slots=True)
class SpotCheck:
    """The spots of one round, at least one, in the order in which they were measured."""

    spots: tuple[Spot, ...]

    @property
    def lowest(self) -> Spot:
        """The spot that counts."""
        return min(self.spots, key=lambda spot: spot.temp_c)

    @property
    def spread_c(self) -> float:
        """Highest minus lowest [K]."""
        temps = [spot.temp_c for spot in self.spots]
        return max(temps) - min(temps)

    @property
    def elapsed_s(self) -> float:
        """When the last of them was measured."""
        return max(spot.elapsed_s for spot in self.spots)

    def at_target(self, target_c: float) -> bool:
        """Whether the lowest spot has reached the target."""
        return self.lowest.temp_c >= target_c - _TOUCH_C

    def words(self, target_c: float) -> str | None:
        """The one sentence that is said of a finish; None below the target.

        How many spots stands in it, so that one spot is not taken for a check of all.
        """
        if not self.at_target(target_c):
            return None
        count = len(self.spots)
        return f"lowest of {count} {'spot' if count == 1 else 'spots'} at target"


def spots_of(event: Event) -> tuple[Spot, ...]:
    """The spots that one event's text names; none if it holds no temperature."""
    found = []
    for match in _SPOT.finditer(event.note):
        value = float(match["number"].replace(",", "."))
        temp_c = to_celsius(value, TemperatureUnit(match["unit"].upper()))
        place = match["place"].strip(" ,;:.").casefold()
        found.append(Spot(place or UNNAMED, temp_c, event.elapsed_s))
    return tuple(found)


def last_check(cook: Cook, now_s: float) -> SpotCheck | None:
    """The latest round of spots known at `now_s`; None if there was none.

    Unnamed spots are each a spot of its own; a named one is replaced by its later measurement.
    """
    events = [e for e in cook.events if e.kind is EventKind.SPOT_CHECK and e.elapsed_s <= now_s]
    spots = [spot for event in events for spot in spots_of(event)]
    if not spots:
        return None
    newest = spots[-1].elapsed_s
    round_: list[Spot] = []
    for spot in spots:
        if newest - spot.elapsed_s > TOGETHER_S:
            continue
        if spot.place != UNNAMED:
            round_ = [old for old in round_ if old.place != spot.place]
        round_.append(spot)
    return SpotCheck(tuple(round_))
