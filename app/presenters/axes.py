"""Where the axes of the chart carry a label: round temperatures and round clock times."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, time

from app.presenters.chart import ChartView, elapsed_text

CLOCK_STEPS_MIN = (5, 10, 15, 30, 60, 120, 180, 240, 360, 720)
"""Steps of the clock axis; each divides a day, so that labels fall on round times."""

DAY_STEPS = (1, 2, 7, 14, 28, 91)
"""Steps in days, for a cook that was never ended."""

COLUMNS_PER_TICK = 8
QUARTER_HOUR_S = 900
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def nice_ticks(low: float, high: float, count: int) -> tuple[float, ...]:
    """Round numbers between `low` and `high`, about `count` of them and at least one."""
    power = 10.0 ** (math.floor(math.log10(high - low)) - 1)
    for step in (factor * power for factor in (1, 2, 5, 10, 20, 50, 100)):
        first, last = math.ceil(low / step), math.floor(high / step)
        if 1 <= last - first + 1 <= count + 1:
            return tuple(step * index for index in range(first, last + 1))
    return (round((low + high) / 2.0),)


def y_ticks(view: ChartView, count: int) -> tuple[tuple[float, str], ...]:
    """Places and labels of the upright axis, about `count` of them."""
    if not view.clock_y:
        return tuple((tick, f"{tick:.0f}") for tick in nice_ticks(view.y_low, view.y_high, count))
    wanted = (view.y_high - view.y_low) / 60.0 / max(count, 1)
    step = next((step for step in CLOCK_STEPS_MIN if step >= wanted), CLOCK_STEPS_MIN[-1])
    return tuple(
        (y, f"{view.local(y):%H:%M}") for y in _round_times(view, view.y_low, view.y_high, step)
    )


def _elapsed_ticks(view: ChartView, width: int) -> tuple[tuple[float, str], ...]:
    """Round lengths of time from the chart's zero."""
    wanted = (view.x_high - view.x_low) / 60.0 / max(width / COLUMNS_PER_TICK, 1.0)
    step = next((step for step in CLOCK_STEPS_MIN if step >= wanted), CLOCK_STEPS_MIN[-1])
    first, last = math.ceil(view.x_low / 60.0 / step), math.floor(view.x_high / 60.0 / step)
    return tuple(
        (60.0 * step * place, elapsed_text(60.0 * step * place)) for place in range(first, last + 1)
    )


def clock_ticks(view: ChartView, width: int) -> tuple[tuple[float, str], ...]:
    """Times [s from meat-on] and labels of the clock axis.

    The wall clock decides, not the elapsed time: labels stay round through a daylight-saving
    night, and midnight carries the name of the day that begins.
    """
    if view.elapsed_x:
        return _elapsed_ticks(view, width)
    span_min = (view.x_high - view.x_low) / 60.0
    wanted = span_min / max(width / COLUMNS_PER_TICK, 1.0)
    if wanted > CLOCK_STEPS_MIN[-1]:
        return _day_ticks(view, wanted / (24 * 60))
    step = next(step for step in CLOCK_STEPS_MIN if step >= wanted)
    ticks = []
    for x in _round_times(view, view.x_low, view.x_high, step):
        local = view.local(x)
        midnight = local.hour == 0 and local.minute == 0
        ticks.append((x, DAYS[local.weekday()] if midnight else f"{local:%H:%M}"))
    return tuple(ticks)


def _round_times(view: ChartView, low: float, high: float, step_min: int) -> list[float]:
    """Times [s from meat-on] between two at which the local clock shows a multiple of a step."""
    # zones shift by quarters of an hour at the finest, so stepping in UTC by a divisor of one
    # quarter meets every round local time
    stride_s = min(step_min * 60, QUARTER_HOUR_S)
    origin = view.origin.timestamp()
    first, last = math.ceil((origin + low) / stride_s) * stride_s, origin + high
    found = []
    for stamp in range(int(first), int(last) + 1, stride_s):
        local = datetime.fromtimestamp(stamp, UTC).astimezone(view.zone)
        if (60 * local.hour + local.minute) % step_min == 0:
            found.append(stamp - origin)
    return found


def _day_ticks(view: ChartView, wanted: float) -> tuple[tuple[float, str], ...]:
    """Midnights about `wanted` days apart, with their date."""
    step = next((step for step in DAY_STEPS if step >= wanted), math.ceil(wanted))
    first, last = view.local(view.x_low).toordinal() + 1, view.local(view.x_high).toordinal()
    ticks = []
    for day in range(first + -first % step, last + 1, step):
        midnight = datetime.combine(date.fromordinal(day), time(), view.zone)
        x = midnight.timestamp() - view.origin.timestamp()
        ticks.append((x, f"{midnight.day} {MONTHS[midnight.month - 1]}"))
    return tuple(ticks)
