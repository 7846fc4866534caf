"""What the readings and the log say of the fire: band, trend, lids, fuel and wood.

Between two pit readings the gauge is taken as going straight; what lies between readings further
apart than an hour and a half is not counted. All of it is arithmetic on the log; what the fire
will do next is asked of its model in :mod:`core.fire_leaving`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from core.cook import Cook, Event, EventKind
from core.fire import AMBIENT_C, LID_DIP, LID_RECOVERY_S, believed_pit
from core.fire_outlook import band_of

GAP_MAX_S = 5400.0
TREND_S = 2400.0
SETTLE_S, VENT_WINDOW_S = 600.0, 3600.0
_STIRRED = (EventKind.VENTS, EventKind.FUEL_ADDED)
Points = tuple[tuple[float, float], ...]


def pit_points(cook: Cook, now_s: float) -> Points:
    """Believed pit readings (elapsed_s, pit_c) up to now, from meat-on."""
    times, values = believed_pit(cook.known_at(now_s))
    return tuple((float(t), float(c)) for t, c in zip(times, values, strict=True) if t >= 0.0)


@dataclass(frozen=True, slots=True)
class BandTime:
    """Time in and out of the band [s], and the worst excursion.

    Attributes
    ----------
    low_c, high_c : float
        The band [°C].
    inside_s, below_s, above_s : float
    unread_s : float
        Gaps too long to say.
    worst_c, worst_s : float or None
        Reading furthest outside, and when; None if all lay inside.
    mean_c, spread_c : float or None
        Mean and standard deviation over the counted time [°C].
    """

    low_c: float
    high_c: float
    inside_s: float
    below_s: float
    above_s: float
    unread_s: float
    worst_c: float | None
    worst_s: float | None
    mean_c: float | None
    spread_c: float | None

    @property
    def share(self) -> float | None:
        """Share of the counted time inside the band; None if nothing was counted."""
        counted = self.inside_s + self.below_s + self.above_s
        return self.inside_s / counted if counted > 0.0 else None


def band_time(cook: Cook, now_s: float) -> BandTime:
    """How long the fire was inside its band."""
    low, high = band_of(cook)
    points = pit_points(cook, now_s)
    inside = below = above = unread = first = second = 0.0
    for (start, a), (end, b) in pairwise(points):
        span = end - start
        if span > GAP_MAX_S:
            unread += span
            continue
        under, over = _share_below(a, b, low), 1.0 - _share_below(a, b, high)
        below, above = below + span * under, above + span * over
        inside += span * (1.0 - under - over)
        first += span * 0.5 * (a + b)
        second += span * (a * a + a * b + b * b) / 3.0
    counted = inside + below + above
    mean = first / counted if counted > 0.0 else None
    spread = None if mean is None else max(second / counted - mean * mean, 0.0) ** 0.5
    worst = max(points, key=lambda p: max(low - p[1], p[1] - high), default=None)
    if worst is not None and low <= worst[1] <= high:
        worst = None
    return BandTime(
        low, high, inside, below, above, unread,
        None if worst is None else worst[1], None if worst is None else worst[0], mean, spread,
    )  # fmt: skip


def _share_below(a: float, b: float, level: float) -> float:
    """Share of a straight line from a to b that lies below a level."""
    low, high = min(a, b), max(a, b)
    if level <= low:
        return 0.0
    return 1.0 if level >= high else (level - low) / (high - low)


@dataclass(frozen=True, slots=True)
class Trend:
    """How the gauge moved over the last readings."""

    change_c: float
    span_s: float

    @property
    def slope_c_per_s(self) -> float:
        """Rate [°C/s]."""
        return self.change_c / self.span_s


def trend(cook: Cook, now_s: float, within_s: float = TREND_S) -> Trend | None:
    """Change over the readings of the last `within_s`, as a least-squares line; None below two."""
    points = [p for p in pit_points(cook, now_s) if p[0] >= now_s - within_s]
    if len(points) < 2 or points[-1][0] <= points[0][0]:
        return None
    return _line(points)


def _line(points: Sequence[tuple[float, float]]) -> Trend:
    t_mean = sum(t for t, _ in points) / len(points)
    c_mean = sum(c for _, c in points) / len(points)
    square = sum((t - t_mean) ** 2 for t, _ in points)
    slope = sum((t - t_mean) * (c - c_mean) for t, c in points) / square
    span = points[-1][0] - points[0][0]
    return Trend(slope * span, span)


@dataclass(frozen=True, slots=True)
class VentEffect:
    """What a change of vents was followed by [°C]; ``note`` is what was typed."""

    elapsed_s: float
    note: str
    before_c: float
    after_c: float
    after_s: float

    @property
    def change_c(self) -> float:
        """Last reading after it minus the last before it."""
        return self.after_c - self.before_c


def vent_effect(cook: Cook, now_s: float) -> VentEffect | None:
    """Effect of the last change of vents: the readings around it within an hour on each side.

    The first ten minutes after it do not count, and nothing after the next fuel or vents does.
    """
    changes = [e for e in cook.events if e.kind is EventKind.VENTS and e.elapsed_s <= now_s]
    points = pit_points(cook, now_s)
    for event in reversed(changes):
        at = event.elapsed_s
        ends = [e.elapsed_s for e in cook.events if e.elapsed_s > at and e.kind in _STIRRED]
        end = min([at + VENT_WINDOW_S, now_s, *ends])
        before = [p for p in points if at - VENT_WINDOW_S <= p[0] <= at]
        after = [p for p in points if at + SETTLE_S <= p[0] <= end]
        if before and after:
            return VentEffect(at, event.note, before[-1][1], after[-1][1], after[-1][0])
    return None


@dataclass(frozen=True, slots=True)
class LidLoss:
    """Openings of the lid and the estimated time they cost.

    Attributes
    ----------
    openings : int
    lost_s : float
        Estimate [s]: the heat of the dips, over the present drive from pit to meat.
    source : str
    """

    openings: int
    lost_s: float
    source: str = "estimate by the fire model's dip"


def lid_loss(cook: Cook, now_s: float) -> LidLoss:
    """Time lost to the open lid.

    The fire model's dip takes ``LID_DIP`` of the pit's height over the surroundings and fades with
    ``LID_RECOVERY_S``; dips that run into each other are not counted twice.
    """
    known = cook.known_at(now_s)
    at = [e.elapsed_s for e in known.events if e.kind is EventKind.LID_OPEN and e.elapsed_s >= 0.0]
    points = pit_points(cook, now_s)
    lost = 0.0
    for i, opened in enumerate(at):
        until = at[i + 1] if i + 1 < len(at) else now_s
        seconds = _dip_s(until - opened)
        pit = _nearest(points, opened, cook.plan.pit_c)
        meat = min(_nearest(_meat_points(known), opened, 30.0), pit - 20.0)
        lost += seconds * (pit - AMBIENT_C) / (pit - meat)
    return LidLoss(len(at), lost)


def _dip_s(until_s: float) -> float:
    """Dip integrated until the next one, as seconds of a pit as cold as its surroundings."""
    return LID_DIP * LID_RECOVERY_S * (1.0 - math.exp(-max(until_s, 0.0) / LID_RECOVERY_S))


def _meat_points(cook: Cook) -> Points:
    return tuple((r.elapsed_s, temp) for r in cook.readings for _, temp in r.meat_c[:1])


def _nearest(points: Points, at_s: float, otherwise: float) -> float:
    return min(points, key=lambda p: abs(p[0] - at_s), default=(at_s, otherwise))[1]


@dataclass(frozen=True, slots=True)
class Amount:
    """How much fuel or wood one line speaks of; ``unit`` is its own word, empty for none."""

    elapsed_s: float
    amount: float | None
    unit: str
    note: str


_AMOUNT = re.compile(
    r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>kg|lbs?|g|oz|%|[a-z]+)?", re.IGNORECASE
)


def amounts(events: Iterable[Event], kind: EventKind) -> tuple[Amount, ...]:
    """Fuel or wood lines with the amount that each names: ``12 briquettes``, ``1.5 kg lump``."""
    found = []
    for event in events:
        if event.kind is not kind:
            continue
        match = _AMOUNT.search(event.note)
        if match is None:
            found.append(Amount(event.elapsed_s, None, "", event.note))
            continue
        unit = (match["unit"] or "").casefold()
        unit = {"lbs": "lb"}.get(unit, unit)
        if len(unit) > 3 and not unit.endswith("s"):
            unit += "s"
        amount = float(match["number"].replace(",", "."))
        found.append(Amount(event.elapsed_s, amount, unit, event.note))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class BurnRate:
    """How fast the fire uses up what was added.

    Attributes
    ----------
    unit : str
        The cook's own unit: ``briquettes``, ``kg``.
    per_hour, low, high : float
        Mean, and lowest and highest of the single intervals.
    refuels : int
        How many refuels it rests on.
    next_s : float
        When the last refuel is used up at the mean rate [s from meat-on].
    """

    unit: str
    per_hour: float
    low: float
    high: float
    refuels: int
    next_s: float


def burn_rate(cook: Cook, now_s: float) -> BurnRate | None:
    """Burn rate from the cook's own refuels; None until two of one unit follow each other.

    Each refuel is taken to replace what burned since the one before it (lit fuel at or before
    meat-on is the first): how cooks refuel, no source.
    """
    known = cook.known_at(now_s).events
    fuel = [a for a in amounts(known, EventKind.FUEL_ADDED) if a.amount]
    if not fuel:
        return None
    same = [a for a in fuel if a.unit == fuel[-1].unit]
    pairs = [(a.elapsed_s, b.elapsed_s, b.amount) for a, b in pairwise(same)]
    rates = [
        3600.0 * amount / (end - start)
        for start, end, amount in pairs
        if amount is not None and end - start >= 60.0
    ]
    if not rates:
        return None
    total = sum(a.amount for a in same[1:] if a.amount is not None)
    mean = 3600.0 * total / (same[-1].elapsed_s - same[0].elapsed_s)
    last = same[-1].amount or 0.0
    due = same[-1].elapsed_s + 3600.0 * last / mean
    return BurnRate(same[-1].unit, mean, min(rates), max(rates), len(same), due)
