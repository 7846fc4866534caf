"""What is odd about a line: values that no meat or fire shows, given what is known.

Quick enough for every key press: a few comparisons, no fit. The forecast's fan is used when there
is one. Odd lines are asked about once and then believed: the cook has seen the thermometer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from app.display import Display, span
from app.line.odd_spots import about_pull, about_spots
from app.line.slips import suggestion
from app.line.values import TypedEvent
from core.catalogue import body_of
from core.cook import Cook, EventKind
from core.errors import CoreError

if TYPE_CHECKING:
    from core.answers import Forecast

DIFFUSIVITY_M2_PER_S = 1.3e-7
HEAT_CAPACITY_J_PER_M3_K = 3.7e6
HIGHEST_H_W_PER_M2_K = 30.0
"""Meat near 40 °C, and the most that air and glow give a surface; common figures, rounded up."""
HASTE = 1.5
"""Allowance for a thinner piece and a probe nearer to the surface than planned."""
GAUGE_C = 4.0
"""Two honest readings a minute apart may differ by so much [K]."""
FALL_C = 3.0
"""A wet surface can cool the core a little; more than this is a moved probe or a slip [K]."""
PIT_JUMP_C = 45.0
PIT_NEAR_C = 25.0
"""A far jump, and how near to the usual a suggestion must lead back [K]."""
PIT_MEMORY_S = 3600.0
FAN_SLACK_C, FAN_SLACK_SHARE = 2.0, 0.25
"""One honest reading in ten lies outside the fan; asked about is what lies well outside [K]."""
WARMEST_START_C = 27.0
"""Meat goes on at room temperature at the most, if its start is not known [°C]."""
FIRE_LEAD_S = 2 * 3600.0
"""The pit is watched for so long before meat-on."""
SHORT_OF_TARGET_C = 3.0
"""Meat is often pulled a little early: carryover does the rest [K]."""
HOTTEST_MEAT_C = 115.0
_STIRS = frozenset({EventKind.LID_OPEN, EventKind.FUEL_ADDED, EventKind.VENTS})


@dataclass(frozen=True, slots=True)
class Candidate:
    """A line that is about to be saved, in core's terms."""

    elapsed_s: float
    pit_c: float | None
    meat_c: tuple[tuple[str, float], ...]
    events: tuple[TypedEvent, ...] = ()


@dataclass(frozen=True, slots=True)
class Known:
    """What a line is compared with: the cook without that line, and the newest forecast."""

    cook: Cook
    forecast: Forecast | None
    display: Display
    # filled at the first question: a line asks about each probe several times, at every key
    _trails: dict[str, list[tuple[float, float]]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def believed(self, name: str) -> list[tuple[float, float]]:
        """Readings of a probe or the pit that the forecast does not doubt: (seconds, °C)."""
        if not self._trails:
            self._trails.update(_trails_of(self.cook, self.forecast))
        return self._trails.get(name, [])


def oddities(line: Candidate, known: Known) -> tuple[str, ...]:
    """What is odd about a line, in words; empty if nothing is."""
    found = [*_about_time(line, known), *_about_the_end(line, known)]
    if line.events:
        found += about_spots(line, known, dict(_last_meats(line, known)) | dict(line.meat_c))
    swapped = _swapped(line, known)
    if swapped:
        return (*found, swapped)
    found += _about_pit(line, known)
    for name, temp_c in line.meat_c:
        words = _about_meat(name, temp_c, line, known)
        if words:
            found.append(words)
    return tuple(found)


def _about_time(line: Candidate, known: Known) -> tuple[str, ...]:
    has_reading = line.pit_c is not None or line.meat_c
    if line.meat_c and line.elapsed_s < -60.0:
        return (f"a meat reading {span(line.elapsed_s)} before meat-on",)
    if has_reading and line.elapsed_s < -FIRE_LEAD_S:
        return (f"a reading {span(line.elapsed_s)} before meat-on",)
    for event in known.cook.events:
        if event.kind is EventKind.SERVED and has_reading and line.elapsed_s > event.elapsed_s:
            return ("the meat was served before that",)
    return ()


def _about_the_end(line: Candidate, known: Known) -> list[str]:
    """Off the fire twice, or before it is done."""
    kinds = {event.kind for event in line.events}
    if not kinds & {EventKind.PULLED, EventKind.SERVED}:
        return []
    if known.cook.first_event(EventKind.PULLED) is not None:
        return ["it was pulled before"] if EventKind.PULLED in kinds else []
    last = {**dict(_last_meats(line, known)), **dict(line.meat_c)}
    show = known.display
    short = [
        f"{probe.name} was last {show.reading(last[probe.name])}, "
        f"its target is {show.reading(probe.target_c)}"
        for probe in known.cook.probes
        if probe.name in last and last[probe.name] < probe.target_c - SHORT_OF_TARGET_C
    ]
    return [*short, *about_pull(line, known, SHORT_OF_TARGET_C)]


def _swapped(line: Candidate, known: Known) -> str:
    """Whether the pit's number and the first probe's look exchanged."""
    if line.pit_c is None or not line.meat_c or line.pit_c >= line.meat_c[0][1]:
        return ""
    name, temp_c = line.meat_c[0]
    usual_c = _usual_pit_c(line, known)
    low_c, high_c = _window(name, line, known)
    if abs(temp_c - usual_c) <= PIT_JUMP_C and low_c <= line.pit_c <= high_c:
        show = known.display
        numbers = f"{show.number(temp_c)} {show.number(line.pit_c)}"
        return f"pit and {name} look swapped; did you mean {numbers}?"
    return ""


def _trails_of(cook: Cook, forecast: Forecast | None) -> dict[str, list[tuple[float, float]]]:
    """What each thermometer showed, by its name, in one pass over the readings."""
    doubted = set()
    if forecast is not None:
        doubted = {(s.probe, s.elapsed_s) for s in forecast.suspects}
    trails: dict[str, list[tuple[float, float]]] = {"pit": []}
    for reading in cook.readings:
        at = reading.elapsed_s
        if reading.pit_c is not None and ("pit", at) not in doubted:
            trails["pit"].append((at, reading.pit_c))
        for name, temp_c in reading.meat_c:
            if (name, at) not in doubted:
                trails.setdefault(name, []).append((at, temp_c))
    return trails


def _usual_pit_c(line: Candidate, known: Known) -> float:
    """The last pit reading within the hour, else the plan's."""
    before = [
        temp_c for at, temp_c in known.believed("pit") if 0.0 <= line.elapsed_s - at <= PIT_MEMORY_S
    ]
    return before[-1] if before else known.cook.plan.pit_c


def _about_pit(line: Candidate, known: Known) -> list[str]:
    pit_c, show = line.pit_c, known.display
    if pit_c is None or _off_the_fire(line, known):
        return []
    meats = list(line.meat_c) or _last_meats(line, known)
    colder = [(n, temp_c) for n, temp_c in meats if pit_c + 1.0 < temp_c <= HOTTEST_MEAT_C]
    usual_c = _usual_pit_c(line, known)
    low_c, high_c = usual_c - PIT_JUMP_C, usual_c + PIT_JUMP_C
    hint = suggestion(pit_c, usual_c - PIT_NEAR_C, usual_c + PIT_NEAR_C, show)
    if colder:
        name, temp_c = colder[0]
        pit = f"the pit at {show.reading(pit_c)}"
        return [f"{pit} is colder than {name} at {show.reading(temp_c)}{hint}"]
    if low_c <= pit_c <= high_c or _stirred(line, known):
        return []
    known_pit = any(r.pit_c is not None for r in known.cook.readings)
    was = "it was" if known_pit else "planned is"
    return [f"pit {show.reading(pit_c)} is far off: {was} {show.reading(usual_c)}{hint}"]


def _last_meats(line: Candidate, known: Known) -> list[tuple[str, float]]:
    found = []
    for probe in known.cook.probes:
        before = [temp_c for at, temp_c in known.believed(probe.name) if at <= line.elapsed_s]
        if before:
            found.append((probe.name, before[-1]))
    return found


def _stirred(line: Candidate, known: Known) -> bool:
    """Whether lid, fuel or vents explain a far jump of the pit."""
    if any(event.kind in _STIRS for event in line.events):
        return True
    return any(
        event.kind in _STIRS and 0.0 <= line.elapsed_s - event.elapsed_s <= PIT_MEMORY_S
        for event in known.cook.events
    )


def _off_the_fire(line: Candidate, known: Known) -> bool:
    pulled = known.cook.first_event(EventKind.PULLED)
    now = any(event.kind is EventKind.PULLED for event in line.events)
    return now or (pulled is not None and line.elapsed_s >= pulled.elapsed_s)


def _about_meat(name: str, temp_c: float, line: Candidate, known: Known) -> str:
    if _off_the_fire(line, known) or line.elapsed_s < 0.0:
        return ""
    show = known.display
    low_c, high_c = _window(name, line, known)
    if temp_c > HOTTEST_MEAT_C:
        hint = suggestion(temp_c, low_c, high_c, show)
        return f"{name} at {show.reading(temp_c)}: meat does not get that hot{hint}"
    if low_c <= temp_c <= high_c:
        return ""
    hint = suggestion(temp_c, low_c, high_c, show)
    before = _before(name, line, known)
    since = "" if before is None else f" in {span(line.elapsed_s - before[0])}"
    moved = "" if hint else "; was the probe moved?"
    if before is not None and temp_c < before[1] - FALL_C:
        fall = show.delta(before[1] - temp_c)
        return f"{name} fell {fall}{since}{hint or moved}"
    if before is not None and temp_c > before[1] + _most_rise_c(before, line, known):
        rise = show.delta(temp_c - before[1])
        return f"{name} rose {rise}{since}, faster than meat does{hint}"
    return (
        f"{name} {show.reading(temp_c)} is not what is expected, {show.temps(low_c, high_c)}{hint}"
    )


def _window(name: str, line: Candidate, known: Known) -> tuple[float, float]:
    """Range that a reading of a probe can be expected in [°C]."""
    fan = None if known.forecast is None else known.forecast.fan(name)
    before = _before(name, line, known)
    if _moved_since(before, line, known):
        return -40.0, HOTTEST_MEAT_C
    if before is None:
        low_c, high_c = -40.0, WARMEST_START_C + _most_rise_c((0.0, WARMEST_START_C), line, known)
    else:
        low_c, high_c = before[1] - FALL_C, before[1] + _most_rise_c(before, line, known)
    if fan is not None and before is not None:
        temps = fan.at(line.elapsed_s)
        slack_c = FAN_SLACK_C + FAN_SLACK_SHARE * (temps[-1] - temps[0])
        low_c = max(low_c, temps[0] - slack_c)
        high_c = min(high_c, temps[-1] + slack_c)
    after = _after(name, line, known)
    if after is not None:
        high_c = min(high_c, after[1] + FALL_C)
    return low_c, max(high_c, low_c)


def _before(name: str, line: Candidate, known: Known) -> tuple[float, float] | None:
    """The last believed reading of a probe before the line; its start if that is known."""
    readings = known.believed(name)
    before = [found for found in readings if found[0] <= line.elapsed_s]
    if before:
        return before[-1]
    start_c = known.cook.probe(name).start_c
    return None if start_c is None or line.elapsed_s < 0.0 else (0.0, start_c)


def _after(name: str, line: Candidate, known: Known) -> tuple[float, float] | None:
    readings = known.believed(name)
    return next((found for found in readings if found[0] > line.elapsed_s), None)


def _moved_since(before: tuple[float, float] | None, line: Candidate, known: Known) -> bool:
    if any(event.kind is EventKind.PROBE_MOVED for event in line.events):
        return True
    since = 0.0 if before is None else before[0]
    return any(
        event.kind is EventKind.PROBE_MOVED and since <= event.elapsed_s <= line.elapsed_s
        for event in known.cook.events
    )


def _most_rise_c(before: tuple[float, float], line: Candidate, known: Known) -> float:
    """The most that the core can have risen since a reading [K].

    A lumped body behind the series of the surface's and half the meat's resistance, hurried by
    `HASTE`: it is never slower than the piece itself.
    """
    at, temp_c = before
    try:
        body = body_of(known.cook.plan)
    except CoreError:
        return HOTTEST_MEAT_C
    half_m, exponent = body.half_thickness_m, body.shape_exponent
    inside_s = half_m**2 / (DIFFUSIVITY_M2_PER_S * (2.47 + 3.31 * exponent))
    outside_s = half_m * HEAT_CAPACITY_J_PER_M3_K / (HIGHEST_H_W_PER_M2_K * (exponent + 1.0))
    pits = [t for _, t in known.believed("pit")[-3:]]
    hot_c = max(known.cook.plan.pit_c, *pits, line.pit_c or 0.0, 0.0)
    share = 1.0 - math.exp(-HASTE * max(line.elapsed_s - at, 0.0) / (inside_s + outside_s))
    return max(hot_c - temp_c, 0.0) * share + GAUGE_C
