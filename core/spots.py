"""Checks of several spots with another thermometer: the lowest counts.

The log keeps a check as one text, ``thigh 75.56 °C, breast 72.78 °C``; :func:`spot_text` writes
that form and :func:`spots_of` reads it, and older or freer texts too (``64 °C at the thick end``).
Checks typed within a quarter of an hour belong together; a spot that was measured twice counts
with its last value.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from core.cook import Cook, Event, EventKind, Probe
from core.units import TemperatureUnit, to_celsius

TOGETHER_S = 900.0
UNNAMED = "spot"
ENOUGH = 3
"""Spots of one check. Whole poultry: innermost thigh and wing, thickest breast (FSIS, Turkey
Basics); as many for other meat is common practice, no source."""

_TOUCH_C = 0.05  # 165 °F is 73.89 °C: a target of 73.9 is met by it

_NUMBER = re.compile(r"(?P<number>[-+]?\d+(?:[.,]\d+)?)\s*°?\s*(?P<unit>[CF])\b", re.IGNORECASE)
_PART = re.compile(r"[,;](?!\d)")
_JOINTS = ("and", "to", "from", "is", "the", "at")


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
        return f"lowest of {self.counted} at target" if self.at_target(target_c) else None

    @property
    def counted(self) -> str:
        """``3 spots``."""
        count = len(self.spots)
        return f"{count} {'spot' if count == 1 else 'spots'}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One round of spots against the targets of the plan.

    Attributes
    ----------
    check : SpotCheck
    short : tuple of (Spot, float)
        The spots below their target and by how much [K], the furthest first.
    missing : int
        How many spots are still wanted.
    """

    check: SpotCheck
    short: tuple[tuple[Spot, float], ...]
    missing: int

    @property
    def done(self) -> bool:
        """Whether enough spots were measured and each is at its target."""
        return not self.short and self.missing == 0


def finding(check: SpotCheck, probes: Iterable[Probe]) -> Finding:
    """Compare a round with the plan: a place named like a probe with its target, else the highest.

    Without probes there is no target and nothing is short.
    """
    targets = {probe.name.casefold(): probe.target_c for probe in probes}
    highest = max(targets.values(), default=None)
    short = []
    for spot in check.spots:
        target_c = _target_of(spot.place, targets, highest)
        if target_c is not None and spot.temp_c < target_c - _TOUCH_C:
            short.append((spot, target_c - spot.temp_c))
    short.sort(key=lambda pair: -pair[1])
    return Finding(check, tuple(short), max(ENOUGH - len(check.spots), 0))


def _target_of(place: str, targets: dict[str, float], otherwise: float | None) -> float | None:
    named = [name for name in targets if name in place]
    return targets[max(named, key=len)] if named else otherwise


def spot_text(spots: Iterable[tuple[str, float]]) -> str:
    """The text that the log keeps of places and temperatures [°C]."""
    return ", ".join(f"{place} {_plain(temp_c)} °C" for place, temp_c in spots)


def _plain(temp_c: float) -> str:
    # two decimals, so that whole °F come back as they were typed
    text = f"{temp_c:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def is_spot_text(note: str) -> bool:
    """Whether a text is nothing but the form of :func:`spot_text`."""
    spots = spots_of(Event(0.0, EventKind.SPOT_CHECK, note))
    return bool(spots) and spot_text((s.place, s.temp_c) for s in spots) == note


def spots_of(event: Event) -> tuple[Spot, ...]:
    """The spots that one event's text names; none if it holds no temperature."""
    found: list[Spot] = []
    for part in _PART.split(event.note):
        matches = list(_NUMBER.finditer(part))
        start = 0
        for match in matches:
            place = _place(part[start : match.start()])
            if not place and len(matches) == 1:
                # `64 °C at the thick end`
                place = _place(part[match.end() :])
            value = float(match["number"].replace(",", "."))
            temp_c = to_celsius(value, TemperatureUnit(match["unit"].upper()))
            found.append(Spot(place or UNNAMED, temp_c, event.elapsed_s))
            start = match.end()
    return tuple(found)


def _place(text: str) -> str:
    words = text.strip(" ,;:.").casefold().split()
    while words and words[0] in _JOINTS:
        del words[0]
    return " ".join(words)


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
            # one line may name the same place for several pieces
            old_same = (
                old.place == spot.place and old.elapsed_s < spot.elapsed_s for old in round_
            )
            round_ = [old for old, same in zip(round_, old_same, strict=True) if not same]
        round_.append(spot)
    return SpotCheck(tuple(round_))
