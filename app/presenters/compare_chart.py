"""Several cooks on one chart, aligned at meat-on or where the core passed a temperature."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from app.display import Display
from app.presenters.chart import ChartView, FloatArray, Level, Moment, Trace, meat_ink
from app.presenters.compare import Compared
from core.cook import Cook, Probe
from core.units import from_celsius

AT_MEAT_ON = None
DASHES_OF = ("", "second", "third", "fourth")
"""Patterns of the cooks' lines, in order: without colour the letters alone would not do."""

ALIGN_F, ALIGN_C = (100.0, 140.0), (40.0, 60.0)
"""Core temperatures to align at, round in either unit."""


def alignments(display: Display) -> tuple[float | None, ...]:
    """Where cooks can be aligned [°C]: meat-on first, then round temperatures of the core."""
    from core.units import TemperatureUnit, f_to_c

    if display.unit is TemperatureUnit.FAHRENHEIT:
        return (AT_MEAT_ON, *(f_to_c(temp) for temp in ALIGN_F))
    return (AT_MEAT_ON, *ALIGN_C)


def align_words(at_c: float | None, display: Display) -> str:
    """``aligned at meat-on`` or ``aligned where the core passed 140 °F``."""
    if at_c is None:
        return "aligned at meat-on"
    return f"aligned where the core passed {display.temp(at_c)}"


def main_probe(one: Compared) -> Probe | None:
    """The probe that decided the cook, else its first."""
    if one.fitted is not None:
        return one.saved.cook.probe(one.fitted.probe.name)
    return one.saved.cook.probes[0] if one.saved.cook.probes else None


def passed_s(cook: Cook, probe: Probe, at_c: float) -> float | None:
    """When the believed readings of a probe first passed a temperature [s from meat-on]."""
    from core.outlook import first_passage
    from core.sightings import sightings

    seen = sightings(cook, probe.name)
    if not seen.times_s.size or float(seen.temps_c.max()) < at_c:
        return None
    return float(first_passage(seen.times_s, seen.temps_c[:, None], at_c)[0])


def present_overlay(
    cooks: Sequence[Compared], at_c: float | None, display: Display
) -> ChartView | None:
    """One chart of all cooks; None if none of them has a reading to show.

    A cook that never passed the temperature it should be aligned at is left out.
    """
    traces: list[Trace] = []
    ends: list[Moment] = []
    levels: dict[float, Level] = {}
    for index, one in enumerate(cooks):
        probe = main_probe(one)
        zero_s = 0.0 if at_c is None or probe is None else passed_s(one.saved.cook, probe, at_c)
        if probe is None or zero_s is None:
            continue
        ink = meat_ink(index)
        traces += _traces(one, probe, zero_s, (ink, DASHES_OF[index]), display)
        if one.fitted is not None:
            ends.append(Moment(one.fitted.finish_s - zero_s, f"{one.letter} done", ink))
        target = round(probe.target_c, 1)
        temp = display.temp(probe.target_c)
        levels[target] = Level(
            f"target {temp}", "target", from_celsius(probe.target_c, display.unit), temp
        )
    if not traces:
        return None
    x = np.concatenate([trace.x for trace in traces])
    y = np.concatenate([trace.y for trace in traces] + [[level.y] for level in levels.values()])
    low, high = float(y.min()), float(y.max())
    margin = 0.04 * max(high - low, 10.0)
    start, end = float(x.min()), float(x.max())
    return ChartView(
        origin=cooks[0].saved.started_at, zone=display.zone, unit_sign=display.degree,
        x_low=start, x_high=end + 0.03 * max(end - start, 600.0),
        y_low=low - margin, y_high=high + margin, now_x=max(start, 0.0),
        traces=tuple(traces), levels=tuple(levels.values()), events=tuple(ends), elapsed_x=True,
    )  # fmt: skip


def _traces(
    one: Compared, probe: Probe, zero_s: float, look: tuple[str, str], display: Display
) -> list[Trace]:
    """The meat, then the pit in the same ink: the letter at the end says whose they are."""
    from core.pit_statistics import heat_end_s

    cook = one.saved.cook
    end_s = heat_end_s(cook)
    shown = [r for r in cook.readings if r.elapsed_s <= end_s]
    meat = [(r.elapsed_s, temp) for r in shown if (temp := r.of(probe.name)) is not None]
    pit = [(r.elapsed_s, r.pit_c) for r in shown if r.pit_c is not None]
    names = ((one.letter, meat), (f"{one.letter} pit", pit))
    return [_trace(name, look, pairs, zero_s, display) for name, pairs in names if pairs]


def _trace(
    name: str,
    look: tuple[str, str],
    pairs: list[tuple[float, float]],
    zero_s: float,
    display: Display,
) -> Trace:
    x: FloatArray = np.array([at for at, _ in pairs]) - zero_s
    y: FloatArray = np.array([from_celsius(temp, display.unit) for _, temp in pairs])
    none: FloatArray = np.empty(0)
    ink, dash = look
    return Trace(name, ink, x, y, none, none, dash)
