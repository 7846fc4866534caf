"""What the fan chart is given, and the glyphs that become of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.display import Display
from app.presenters.axes import clock_ticks, nice_ticks
from app.presenters.canvas import BRAILLE
from app.presenters.chart import (
    Band,
    ChartView,
    Level,
    Moment,
    Trace,
    Window,
    present_chart,
    read_out,
)
from app.presenters.raster import MIN_HEIGHT, MIN_WIDTH, Picture, rasterise
from core.answers import Suspect
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.units import MassUnit, TemperatureUnit
from storage.values import SavedCook
from tests.journeys.stage import plain_forecast

CHICAGO = ZoneInfo("America/Chicago")
FAHRENHEIT = Display(TemperatureUnit.FAHRENHEIT, MassUnit.POUND, CHICAGO)
CELSIUS = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, CHICAGO)
EMPTY = np.zeros(0)


def saved(start: datetime, readings: int = 6, probes: int = 1) -> SavedCook:
    names = ("breast", "thigh")[:probes]
    cook = Cook(
        Plan("duck", 2.3, 150.0, serve_s=5 * 3600.0),
        tuple(Probe(name, 74.0, glaze_c=62.0) for name in names),
        tuple(
            Reading(
                1200.0 * i, 150.0 + i, tuple((n, 5.0 + 6.0 * i + k) for k, n in enumerate(names))
            )
            for i in range(readings)
        ),
        (Event(3000.0, EventKind.LID_OPEN), Event(5400.0, EventKind.WRAPPED)),
    )
    return SavedCook(
        1, "Duck", start, TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, cook, (), None, False
    )


def text(picture: Picture) -> list[str]:
    return ["".join(run.text for run in row) for row in picture.rows]


def view_of(
    *,
    traces: tuple[Trace, ...] = (),
    bands: tuple[Band, ...] = (),
    levels: tuple[Level, ...] = (),
    events: tuple[Moment, ...] = (),
    hours: float = 4.0,
    y: tuple[float, float] = (0.0, 100.0),
    start: datetime = datetime(2026, 5, 9, 12, 0, tzinfo=CHICAGO),
) -> ChartView:
    return ChartView(
        start, CHICAGO, "°C", 0.0, hours * 3600.0, y[0], y[1], 3600.0, traces, bands, levels,
        events, (Moment(3600.0, "now", "now"),),
    )  # fmt: skip


# the view


def test_temperatures_are_in_the_units_of_the_person() -> None:
    start = datetime(2026, 5, 9, 12, 0, tzinfo=CHICAGO)
    one = saved(start)
    now = start + timedelta(hours=2)
    celsius = present_chart(one, None, now, CELSIUS)
    fahrenheit = present_chart(one, None, now, FAHRENHEIT)
    assert celsius.traces[0].y[0] == pytest.approx(150.0)
    assert fahrenheit.traces[0].y[0] == pytest.approx(302.0)
    assert [level.label for level in fahrenheit.levels] == ["target 165 °F", "glaze 144 °F"]
    assert fahrenheit.levels[0].y == pytest.approx(165.2)


def test_the_outlook_begins_at_the_last_reading_of_each_series() -> None:
    start = datetime(2026, 5, 9, 12, 0, tzinfo=CHICAGO)
    one = saved(start)
    now = start + timedelta(minutes=110)
    view = present_chart(one, plain_forecast(one.cook, 6600.0), now, CELSIUS)
    for band in view.bands:
        assert band.x[0] == pytest.approx(6000.0)
        assert (np.diff(band.quantiles, axis=0) >= 0.0).all()


def test_a_reading_that_is_not_believed_is_shown_but_not_joined() -> None:
    start = datetime(2026, 5, 9, 12, 0, tzinfo=CHICAGO)
    one = saved(start)
    forecast = plain_forecast(one.cook, 6600.0)
    slip = Suspect(2400.0, "breast", 17.0, 22.0)
    doubted = type(forecast)(
        forecast.now_s, forecast.arrivals, forecast.fans, forecast.fire, None, suspects=(slip,)
    )
    trace = present_chart(one, doubted, start + timedelta(hours=2), CELSIUS).traces[1]
    assert trace.slip_x.tolist() == [2400.0]
    assert 2400.0 not in trace.x


@pytest.mark.parametrize("window", list(Window))
def test_each_window_shows_now(window: Window) -> None:
    start = datetime(2026, 5, 9, 12, 0, tzinfo=CHICAGO)
    one = saved(start)
    now = start + timedelta(hours=3)
    view = present_chart(one, plain_forecast(one.cook, 10800.0), now, CELSIUS, window=window)
    assert view.x_low < view.now_x < view.x_high


def test_windows_take_turns() -> None:
    seen = [Window.ALL]
    while (following := seen[-1].following) is not Window.ALL:
        seen.append(following)
    assert set(seen) == set(Window)


def test_a_chart_without_a_single_reading_has_a_window() -> None:
    start = datetime(2026, 5, 9, 12, 0, tzinfo=CHICAGO)
    view = present_chart(saved(start, readings=0), None, start, CELSIUS)
    assert view.x_high > view.x_low and view.y_high > view.y_low
    assert len(text(rasterise(view, 80, 12))) == 12


def test_the_read_out_says_clock_reading_and_expectation() -> None:
    start = datetime(2026, 5, 9, 12, 0, tzinfo=CHICAGO)
    one = saved(start)
    view = present_chart(one, plain_forecast(one.cook, 6600.0), start + timedelta(hours=2), CELSIUS)
    assert read_out(view, 1200.0) == "12:20   pit 151 °C   breast 11 °C"
    assert "expected" in read_out(view, 9000.0)


# glyphs


@given(
    width=st.integers(1, 220),
    height=st.integers(1, 60),
    readings=st.integers(0, 8),
    shade=st.booleans(),
)
def test_rows_fill_any_size_exactly(width: int, height: int, readings: int, shade: bool) -> None:
    start = datetime(2026, 5, 9, 22, 0, tzinfo=CHICAGO)
    one = saved(start, readings=readings, probes=2)
    forecast = plain_forecast(one.cook, 6600.0)
    view = present_chart(one, forecast, start + timedelta(minutes=110), CELSIUS)
    rows = text(rasterise(view, width, height, shade=shade, cursor_x=7000.0))
    assert len(rows) == height
    assert all(len(row) == width for row in rows)


def test_too_small_a_box_says_what_it_needs() -> None:
    rows = text(rasterise(view_of(), MIN_WIDTH - 1, MIN_HEIGHT))
    assert rows[0].strip() == f"The chart needs {MIN_WIDTH} x {MIN_HEIGHT}."


def dots(picture: Picture) -> np.ndarray:
    """Dots of the plot area as truth values."""
    rows = []
    for line in text(picture)[:-2]:
        cells = [
            ord(c) - BRAILLE if BRAILLE <= ord(c) < BRAILLE + 256 else 0
            for c in line[picture.left : picture.left + picture.width]
        ]
        for weights in ((1, 8), (2, 16), (4, 32), (64, 128)):
            rows.append([bool(cell & weight) for cell in cells for weight in weights])
    return np.array(rows)


def test_a_spike_between_pixel_columns_is_not_lost() -> None:
    # 5,000 readings on 100 columns: one of them is high
    x = np.linspace(0.0, 4 * 3600.0, 5000)
    y = np.full(5000, 20.0)
    y[2517] = 90.0
    plain = rasterise(view_of(traces=(Trace("pit", "pit", x, y, EMPTY, EMPTY),)), 60, 20)
    rows_with_dots = dots(plain).any(axis=1)
    height = rows_with_dots.size
    assert rows_with_dots[: round(height * 0.2)].any()


def test_a_line_leaves_no_gap_between_its_columns() -> None:
    x = np.array([0.0, 7200.0, 14400.0])
    y = np.array([5.0, 95.0, 40.0])
    picture = rasterise(
        view_of(traces=(Trace("breast", "meat-1", x, y, EMPTY, EMPTY),), y=(0.0, 100.0)), 80, 24
    )
    # only the trace lies left of the upright now line and on its own ink
    inked = np.zeros(dots(picture).shape[1], dtype=bool)
    inked |= dots(picture).any(axis=0)
    assert inked[:-1].all()


def test_more_readings_do_not_change_what_is_drawn_of_a_straight_line() -> None:
    def picture(count: int) -> list[str]:
        x = np.linspace(0.0, 14400.0, count)
        trace = Trace("pit", "pit", x, 10.0 + x / 180.0, EMPTY, EMPTY)
        return text(rasterise(view_of(traces=(trace,)), 100, 20))

    assert picture(1000) == picture(50_000)


def test_the_band_is_tinted_and_shaded_without_colour() -> None:
    x = np.array([3600.0, 14400.0])
    quantiles = np.array([[30, 30], [40, 40], [50, 50], [60, 60], [70, 70]], dtype=float)
    band = Band("breast", "meat-1", x, quantiles)
    view = view_of(bands=(band,))
    tinted = rasterise(view, 80, 22)
    grounds = {run.ground for row in tinted.rows for run in row}
    assert {"meat-1-80", "meat-1-50"} <= grounds
    shaded = "".join(text(rasterise(view, 80, 22, shade=True)))
    assert "░" in shaded and "▒" in shaded
    assert "░" not in "".join(text(tinted))


def covered_eighths(picture: Picture, tint: str) -> int:
    """Eighths of a cell that a tint covers in the first column where it shows, all rows."""
    columns: dict[int, int] = {}
    for row in picture.rows[:-2]:
        at = 0
        for run in row:
            for letter in run.text:
                block = "▁▂▃▄▅▆▇".find(letter) + 1
                if run.ink == tint and block:
                    columns[at] = columns.get(at, 0) + block
                elif run.ground == tint:
                    columns[at] = columns.get(at, 0) + 8 - block
                at += 1
    return sorted(columns.values())[len(columns) // 2]


@pytest.mark.parametrize("middle", [40.0, 43.0, 46.0, 54.0, 57.0])
def test_a_thin_band_on_a_low_chart_keeps_its_thickness(middle: float) -> None:
    # 8 cells for 100 degrees: a band of 5 is 3.2 eighths of a cell, drawn as 3 or 4; no median
    x = np.array([0.0, 4 * 3600.0])
    offsets = np.array([-2.5, -2.4, 300.0, 2.4, 2.5])[:, None]
    band = Band("pit", "pit", x, middle + offsets * np.ones(2))
    picture = rasterise(view_of(bands=(band,)), 60, 10)
    assert covered_eighths(picture, "pit-80") in (3, 4)


def test_an_upright_line_does_not_stretch_the_edge_of_a_band() -> None:
    # 10 cells for 100 degrees: 58 to 78 fills six eighths of row 2, all of row 3 and two of row 4
    x = np.array([0.0, 4 * 3600.0])
    levels = np.array([58.0, 58.0, 68.0, 78.0, 78.0])[:, None]
    picture = rasterise(view_of(bands=(Band("pit", "pit", x, levels * np.ones(2)),)), 60, 12)
    grounds = []
    for row in picture.rows[:-2]:
        letters = [(letter, run.ground) for run in row for letter in run.text]
        at = picture.left + int(picture.width / 4)
        assert letters[at][0] == "│" or "⠀" < letters[at][0] <= "⣿"
        grounds.append(letters[at][1])
    assert grounds[1:5] == ["plot", "pit-80", "pit-80", "plot"]


def test_lines_are_named_at_their_ends_and_levels_on_their_line() -> None:
    x = np.array([0.0, 7200.0])
    traces = (
        Trace("pit", "pit", x, np.array([90.0, 92.0]), EMPTY, EMPTY),
        Trace("breast", "meat-1", x, np.array([10.0, 91.0]), EMPTY, EMPTY),
    )
    levels = (Level("target 74 °C", "target", 74.0), Level("glaze 73 °C", "glaze", 73.0))
    rows = text(rasterise(view_of(traces=traces, levels=levels), 80, 14))
    ends = [row[-7:].strip() for row in rows[:-2]]
    # two lines that end together still have a row each
    assert ends.count("pit") == 1 and ends.count("breast") == 1
    named = next(row for row in rows if "target" in row)
    assert "target 74 °C" in named and "glaze 73 °C" in named


def test_events_that_crowd_keep_their_pointer() -> None:
    events = tuple(Moment(60.0 * minute, "coals") for minute in (100, 104, 200))
    strip = text(rasterise(view_of(events=events), 80, 14))[-2]
    assert strip.count("╵") == 4
    assert strip.count("╵coals") == 2 and "╵now" in strip and "╵ ╵" not in strip


@pytest.mark.parametrize("shade", [False, True])
def test_now_at_the_right_edge_and_a_meal_just_before_it_are_both_named(shade: bool) -> None:
    view = view_of(hours=4.0, traces=(Trace("breast", "meat-1", *[EMPTY] * 4),))
    late = replace(
        view, upright=(Moment(3.88 * 3600.0, "now", "now"), Moment(3.75 * 3600.0, "meal", "meal"))
    )
    strip = text(rasterise(late, 80, 14, shade=shade))[-2]
    assert "meal╵" in strip
    assert "╵now" in strip
    assert len(strip) == 80


def test_a_time_is_found_under_a_column() -> None:
    picture = rasterise(view_of(), 80, 14)
    assert picture.time_at(picture.left) == pytest.approx(0.5 * picture.column_s)
    assert picture.time_at(-5) == picture.time_at(picture.left)
    assert picture.time_at(500) < 4 * 3600.0


# axes


@given(low=st.floats(-50, 400), span=st.floats(1.0, 500.0), count=st.integers(2, 12))
def test_temperature_ticks_are_round_inside_and_few(low: float, span: float, count: int) -> None:
    ticks = nice_ticks(low, low + span, count)
    assert 1 <= len(ticks) <= count + 1
    assert all(low - 0.51 <= tick <= low + span + 0.51 for tick in ticks)


def labels(start: datetime, hours: float, width: int = 80) -> list[str]:
    view = view_of(hours=hours, start=start)
    return [label for _, label in clock_ticks(view, width)]


def test_midnight_carries_the_day_that_begins() -> None:
    found = labels(datetime(2026, 5, 9, 21, 7, tzinfo=CHICAGO), 6.0)
    assert found == ["22:00", "23:00", "Sun", "01:00", "02:00", "03:00"]


def test_clock_labels_stay_round_when_the_clock_goes_forward() -> None:
    # 2026-03-08: 02:00 becomes 03:00 in Chicago (IANA time zone database)
    found = labels(datetime(2026, 3, 8, 0, 10, tzinfo=CHICAGO), 6.0)
    assert found == ["01:00", "03:00", "04:00", "05:00", "06:00", "07:00"]


def test_clock_labels_repeat_the_hour_when_the_clock_goes_back() -> None:
    # 2026-11-01: 02:00 becomes 01:00 in Chicago (IANA time zone database)
    found = labels(datetime(2026, 11, 1, 0, 10, tzinfo=CHICAGO), 6.0)
    assert found.count("01:00") == 2


def test_a_zone_off_by_quarters_of_an_hour_has_round_labels() -> None:
    kathmandu = ZoneInfo("Asia/Kathmandu")  # UTC+05:45
    start = datetime(2026, 5, 9, 12, 0, tzinfo=UTC)
    view = ChartView(start, kathmandu, "°C", 0.0, 7200.0, 0.0, 100.0, 0.0)
    assert all(label.endswith(("00", "15", "30", "45")) for _, label in clock_ticks(view, 80))


def test_a_cook_that_was_never_ended_has_dates_at_its_midnights() -> None:
    start = datetime(2026, 2, 27, 21, 0, tzinfo=CHICAGO)
    assert labels(start, 72.0, width=40) == ["28 Feb", "1 Mar", "2 Mar"]
    assert labels(start, 24.0 * 5, width=40) == ["28 Feb", "1 Mar", "2 Mar", "3 Mar", "4 Mar"]
    # across the clock change of 2026-03-08 every label stands at midnight
    view = view_of(hours=24.0 * 200, start=start)
    ticks = clock_ticks(view, 80)
    assert 3 <= len(ticks) <= 12
    assert all((view.local(x).hour, view.local(x).minute) == (0, 0) for x, _ in ticks)
    assert [label for _, label in ticks] == [
        f"{view.local(x).day} {view.local(x):%b}" for x, _ in ticks
    ]


def test_a_cook_that_is_over_expects_nothing() -> None:
    cook = saved(datetime(2026, 5, 9, 12, 0, tzinfo=UTC))
    now = cook.started_at + timedelta(hours=2)
    made = plain_forecast(cook.cook, 7200.0)
    assert present_chart(cook, made, now, CELSIUS).bands
    over = present_chart(replace(cook, ended_at=now), made, now, CELSIUS)
    assert not over.bands
    assert over.upright[0].word == "end"


def test_two_targets_on_one_row_are_both_named() -> None:
    levels = (
        Level("breast target 74 °C", "target", 74.0, "breast 74 °C"),
        Level("thigh target 75 °C", "target", 75.0, "thigh 75 °C"),
    )
    rows = text(rasterise(view_of(levels=levels), 80, 12))
    assert any("breast target 74 °C, thigh 75 °C" in row for row in rows)
