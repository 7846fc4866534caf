"""What the fan chart shows, in display units: lines, bands, levels, events and the time window.

The presenter decides what is drawn and how it is worded; :mod:`app.presenters.raster` turns the
view into rows of glyphs and the widget only paints those.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from enum import Enum

import numpy as np
import numpy.typing as npt

from app.display import Display
from core.answers import LEVELS, Fan, Forecast
from core.cook import Cook, EventKind, Milestone, Probe, Reading
from core.units import from_celsius
from storage.values import SavedCook

FloatArray = npt.NDArray[np.float64]

MEAT_INKS = ("meat-1", "meat-2", "meat-3", "meat-4")
PIT_INK = "pit"

HALF_HOUR_S = 1800.0
RECENT_S = 7200.0
"""Length of the `RECENT` window before now [s]."""

BAND_LEVELS = (0.10, 0.25, 0.50, 0.75, 0.90)
"""The 80 % band, the 50 % band and the median."""

EVENT_WORDS = {
    EventKind.LID_OPEN: "lid",
    EventKind.GLAZED: "glaze",
    EventKind.WRAPPED: "wrap",
    EventKind.UNWRAPPED: "unwrap",
    EventKind.SPRITZED: "spritz",
    EventKind.TURNED: "turn",
    EventKind.FUEL_ADDED: "fuel",
    EventKind.WOOD_ADDED: "wood",
    EventKind.VENTS: "vents",
    EventKind.PROBE_MOVED: "probe",
    EventKind.SPOT_CHECK: "spot",
    EventKind.PULLED: "pull",
    EventKind.SERVED: "served",
    EventKind.NOTE: "note",
}


class Window(Enum):
    """Which stretch of the cook the chart shows."""

    ALL = "whole cook"
    RECENT = "last two hours"
    FINISH = "now to the finish"

    @property
    def following(self) -> Window:
        """The window that comes after this one when the cook presses the zoom key."""
        order = list(Window)
        return order[(order.index(self) + 1) % len(order)]


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """The typed readings of the pit or of one probe, joined by a line.

    ``slip_x`` and ``slip_y`` are readings that the forecast does not believe; they are shown, but
    the line does not run through them. ``dash`` names a pattern, for lines that only a colour
    would tell apart.
    """

    name: str
    ink: str
    x: FloatArray
    y: FloatArray
    slip_x: FloatArray
    slip_y: FloatArray
    dash: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """The outlook of one series: rows of ``quantiles`` are the levels of ``BAND_LEVELS``."""

    name: str
    ink: str
    x: FloatArray
    quantiles: FloatArray


@dataclass(frozen=True, slots=True)
class Level:
    """A temperature that is waited for, drawn across the chart and named on its line.

    ``short`` is the name when one of the same kind stands before it on the same row.
    """

    label: str
    ink: str
    y: float
    short: str = ""


@dataclass(frozen=True, slots=True)
class Moment:
    """Something at one time: an event, now, or the meal."""

    x: float
    word: str
    ink: str = "event"


@dataclass(frozen=True, slots=True, eq=False)
class ChartView:
    """All that one chart shows. Times are seconds from meat-on, temperatures display units.

    With ``clock_y`` the upright axis holds times too: a clock beside the clock, for how a finish
    moved. With ``elapsed_x`` the time axis counts hours from its zero and names no clock: cooks of
    several days on one chart.
    """

    origin: datetime
    zone: tzinfo
    unit_sign: str
    x_low: float
    x_high: float
    y_low: float
    y_high: float
    now_x: float
    traces: tuple[Trace, ...] = ()
    bands: tuple[Band, ...] = ()
    levels: tuple[Level, ...] = ()
    events: tuple[Moment, ...] = ()
    upright: tuple[Moment, ...] = ()
    window: Window = Window.ALL
    stale: bool = False
    clock_y: bool = False
    elapsed_x: bool = False

    def local(self, x: float) -> datetime:
        """Wall clock at `x` seconds from meat-on."""
        # by way of UTC: within one zone Python would add to the wall clock
        return (self.origin.astimezone(UTC) + timedelta(seconds=x)).astimezone(self.zone)


def meat_ink(index: int) -> str:
    """Colour name of the probe with that index."""
    return MEAT_INKS[index % len(MEAT_INKS)]


def present_chart(
    saved: SavedCook,
    forecast: Forecast | None,
    now: datetime,
    display: Display,
    *,
    window: Window = Window.ALL,
    stale: bool = False,
) -> ChartView:
    """The chart of one cook as it stands at `now`."""
    cook = saved.cook
    now_x = (now - saved.started_at).total_seconds()
    x_low, x_high = _time_window(cook, forecast, now_x, window)
    traces = _traces(cook, forecast, display)
    # what was expected of a cook that is over is of no more use
    bands = _bands(cook, forecast if saved.ended_at is None else None, display, traces, now_x)
    levels = tuple(_levels(cook, display))
    y_low, y_high = _temp_window(traces, bands, levels, x_low, x_high)
    return ChartView(
        origin=saved.started_at,
        zone=display.zone,
        unit_sign=f"°{display.unit.value}",
        x_low=x_low,
        x_high=x_high,
        y_low=y_low,
        y_high=y_high,
        now_x=now_x,
        traces=traces,
        bands=bands,
        levels=levels,
        events=tuple(Moment(e.elapsed_s, EVENT_WORDS[e.kind]) for e in cook.events),
        upright=tuple(_upright(saved, now_x)),
        window=window,
        stale=stale,
    )


def _upright(saved: SavedCook, now_x: float) -> Iterable[Moment]:
    yield Moment(now_x, "now" if saved.ended_at is None else "end", "now")
    serve_s = saved.cook.plan.serve_s
    if serve_s is not None:
        yield Moment(serve_s, "meal", "now")


def _series(
    readings: tuple[Reading, ...], names: tuple[str, ...]
) -> dict[str | None, tuple[FloatArray, FloatArray]]:
    """Times and temperatures [°C] of the pit (key None) and of each probe, in one pass."""
    pit = [(r.elapsed_s, r.pit_c) for r in readings if r.pit_c is not None]
    found: dict[str | None, list[tuple[float, float]]] = {None: pit}
    meat: dict[str, list[tuple[float, float]]] = {name: [] for name in names}
    for reading in readings:
        for name, temp_c in reading.meat_c:
            # a probe may have left the plan after it was read
            if name in meat:
                meat[name].append((reading.elapsed_s, temp_c))
    pairs = {key: np.array(rows, dtype=np.float64) for key, rows in (found | meat).items()}
    return {
        key: (rows[:, 0], rows[:, 1]) if rows.size else (rows, rows) for key, rows in pairs.items()
    }


def _traces(cook: Cook, forecast: Forecast | None, display: Display) -> tuple[Trace, ...]:
    names = tuple(probe.name for probe in cook.probes)
    series = _series(cook.readings, names)
    slips = {(s.probe, s.elapsed_s) for s in forecast.suspects} if forecast else set()
    inks: list[tuple[str | None, str, str]] = [(None, "pit", PIT_INK)]
    inks += [(name, name, meat_ink(index)) for index, name in enumerate(names)]
    traces = []
    for key, name, ink in inks:
        x, temp_c = series[key]
        if not x.size:
            continue
        y = _in_unit(temp_c, display)
        slip = np.zeros(x.size, dtype=bool)
        if slips:
            slip = np.array([(name, at) in slips for at in x.tolist()])
        traces.append(Trace(name, ink, x[~slip], y[~slip], x[slip], y[slip]))
    return tuple(traces)


def _in_unit(temp_c: FloatArray, display: Display) -> FloatArray:
    """`from_celsius` for a whole array."""
    zero = from_celsius(0.0, display.unit)
    return zero + temp_c * (from_celsius(1.0, display.unit) - zero)


def _bands(
    cook: Cook,
    forecast: Forecast | None,
    display: Display,
    traces: tuple[Trace, ...],
    now_x: float,
) -> tuple[Band, ...]:
    if forecast is None:
        return ()
    rows = [LEVELS.index(level) for level in BAND_LEVELS]
    inks = {"pit": PIT_INK} | {p.name: meat_ink(i) for i, p in enumerate(cook.probes)}
    last = {trace.name: float(trace.x[-1]) for trace in traces if trace.x.size}
    bands = []
    for fan in forecast.fans:
        if fan.name not in inks:
            continue
        x, temp_c = _from_time(fan, min(last.get(fan.name, 0.0), now_x), rows)
        if x.size > 1:
            bands.append(Band(fan.name, inks[fan.name], x, _in_unit(temp_c, display)))
    # the pit first: where bands cross, the meat's is the one that matters
    return tuple(sorted(bands, key=lambda band: band.name != "pit"))


def _from_time(fan: Fan, start_s: float, rows: list[int]) -> tuple[FloatArray, FloatArray]:
    """The fan from `start_s` on, with a point at `start_s` itself."""
    temp_c = fan.temp_c[rows]
    ahead = fan.elapsed_s > start_s
    if not ahead.any() or fan.elapsed_s[0] > start_s:
        return fan.elapsed_s[ahead], temp_c[:, ahead]
    first = np.array([[np.interp(start_s, fan.elapsed_s, row)] for row in temp_c])
    x = np.concatenate(([start_s], fan.elapsed_s[ahead]))
    return x, np.concatenate((first, temp_c[:, ahead]), axis=1)


def _levels(cook: Cook, display: Display) -> Iterable[Level]:
    wanted = (Milestone.TARGET, Milestone.GLAZE, Milestone.WRAP)
    for milestone in wanted:
        by_temp: dict[float, list[Probe]] = {}
        for probe in cook.probes:
            threshold = probe.threshold_c(milestone)
            if threshold is not None:
                by_temp.setdefault(threshold, []).append(probe)
        for threshold, probes in by_temp.items():
            everyone = len(probes) == len(cook.probes)
            who = "" if everyone else " ".join(probe.name for probe in probes) + " "
            temp = display.temp(threshold)
            label, short = f"{who}{milestone.value} {temp}", f"{who}{temp}"
            y = from_celsius(threshold, display.unit)
            yield Level(label, milestone.value, y, short)


def _time_window(
    cook: Cook, forecast: Forecast | None, now_x: float, window: Window
) -> tuple[float, float]:
    # readings are in time order
    first = cook.readings[0].elapsed_s if cook.readings else 0.0
    seen = cook.readings[-1].elapsed_s if cook.readings else 0.0
    start = min(first, 0.0, now_x)
    if window is Window.RECENT:
        return now_x - RECENT_S, now_x + RECENT_S / 4.0
    end = _last_arrival(forecast)
    if cook.plan.serve_s is not None:
        end = max(end, cook.plan.serve_s)
    if end <= 0.0:
        end = max(now_x, seen) + max(0.6 * now_x, HALF_HOUR_S)
    end = max(end, now_x, seen, start + HALF_HOUR_S)
    if window is Window.FINISH:
        start = max(start, now_x - HALF_HOUR_S)
    margin = 0.03 * (end - start)
    return start, end + margin


def _last_arrival(forecast: Forecast | None) -> float:
    """Latest 90 % arrival at a target [s], never more than twice the median; 0 if unknown."""
    if forecast is None:
        return 0.0
    ends = []
    for arrival in forecast.arrivals:
        if arrival.milestone is not Milestone.TARGET:
            continue
        middle, late = arrival.quantile_s(0.5), arrival.quantile_s(0.9)
        if middle is not None:
            ends.append(min(late if late is not None else 1.5 * middle, 2.0 * middle))
    return max(ends, default=0.0)


def _temp_window(
    traces: tuple[Trace, ...],
    bands: tuple[Band, ...],
    levels: tuple[Level, ...],
    x_low: float,
    x_high: float,
) -> tuple[float, float]:
    """The temperatures that fit what is in the time window, and every level."""
    found: list[FloatArray] = [np.array([level.y for level in levels])]
    for trace in traces:
        inside = (trace.x >= x_low) & (trace.x <= x_high)
        found.append(trace.y[inside])
        found.append(np.interp([x_low, x_high], trace.x, trace.y) if trace.x.size else trace.y)
    for band in bands:
        inside = (band.x >= x_low) & (band.x <= x_high)
        found.append(band.quantiles[:, inside].ravel())
    every = np.concatenate(found)
    every = every[np.isfinite(every)]
    if not every.size:
        return 0.0, 100.0
    low, high = float(every.min()), float(every.max())
    margin = 0.04 * max(high - low, 10.0)
    return low - margin, high + margin


def read_out(view: ChartView, x: float) -> str:
    """Words for one time on the chart: clock, what was read, what is expected."""

    def shown(value: float) -> str:
        return f"{view.local(value):%H:%M}" if view.clock_y else f"{value:.0f} {view.unit_sign}"

    def bare(value: float) -> str:
        return shown(value).removesuffix(f" {view.unit_sign}")

    parts = [elapsed_text(x) if view.elapsed_x else f"{view.local(x):%H:%M}"]
    for trace in view.traces:
        if trace.x.size and trace.x[0] <= x <= trace.x[-1]:
            parts.append(f"{trace.name} {shown(float(np.interp(x, trace.x, trace.y)))}")
    for band in view.bands:
        if band.x[0] < x <= band.x[-1]:
            low, middle, high = (
                float(np.interp(x, band.x, band.quantiles[row])) for row in (0, 2, 4)
            )
            parts.append(f"{band.name} {shown(middle)}, expected {bare(low)} to {bare(high)}")
    return "   ".join(parts)


def elapsed_text(x: float) -> str:
    """Hours and minutes from the zero of the chart: ``1:05``, ``-0:30``."""
    minutes = round(abs(x) / 60.0)
    return f"{'-' if x < 0 and minutes else ''}{minutes // 60}:{minutes % 60:02d}"
