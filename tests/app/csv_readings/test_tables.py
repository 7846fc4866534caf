"""Tables of readings: which form they have, what each column holds, what each cell says."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.csv_readings.cells import DateOrder
from app.csv_readings.columns import bare_heading, find_columns, read_mapping
from app.csv_readings.log import BadTable, CsvLog, How, read_log
from app.csv_readings.sheet import Sheet, parse_sheet, read_sheet
from app.csv_readings.writing import plain_cell, typed_cell
from core.cook import Reading
from core.units import TemperatureUnit, f_to_c
from storage.errors import DocumentError

ZONE = ZoneInfo("Europe/Berlin")
START = datetime(2026, 5, 9, 13, 5, tzinfo=ZONE)
CELSIUS, FAHRENHEIT = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT
CLOCKED = How(ZONE, START, CELSIUS)


def sheet_of(text: str, codec: str = "utf-8") -> Sheet:
    return parse_sheet(text.encode(codec), "log.csv")


def log_of(
    text: str, how: How = CLOCKED, *maps: str, probes: tuple[str, ...] | None = None
) -> CsvLog:
    sheet = sheet_of(text)
    return read_log(sheet, find_columns(sheet, read_mapping(list(maps)), probes), how)


def refused(text: str, how: How = CLOCKED, *maps: str) -> str:
    """The messages about a bad table."""
    with pytest.raises((BadTable, DocumentError)) as caught:
        log_of(text, how, *maps)
    return str(caught.value)


def minutes_of(log: CsvLog) -> list[float]:
    return [reading.elapsed_s / 60.0 for reading in log.readings]


WANTED = (
    Reading(0.0, 148.5, (("probe", 4.4),)),
    Reading(900.0, 150.0, (("probe", 6.25),)),
)


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize(
    "text",
    [
        "time,pit °C,probe °C\n13:05,148.5,4.4\n13:20,150,6.25\n",
        "time;pit °C;probe °C\n13:05;148,5;4,4\n13:20;150;6,25\n",
        "time\tpit °C\tprobe °C\n13:05\t148,5\t4.4\n13:20\t150,0\t6,25\n",
        'time,pit °C,probe °C\n13:05,"148,5","4,4"\n13:20,150,"6,25"\n',
        "sep=;\ntime;pit °C;probe °C\n13:05;148,5;4,4\n13:20;150;6,25\n",
        "A device of mine\nserial; 4711;\n\ntime;pit °C;probe °C\n13:05;148,5;4,4\n13:20;150;6,25",
        "time|pit °C|probe °C\n13:05|148.5 °C|4.4\n13:20| 150 |6.25\n",
    ],
)
def test_every_common_form_of_table_says_the_same(text: str, codec: str, ends: str) -> None:
    if text.startswith("A device"):
        text = text.replace("serial; 4711;", "serial 4711")
    sheet = parse_sheet(text.replace("\n", ends).encode(codec), "log.csv")
    log = read_log(sheet, find_columns(sheet, {}, None), CLOCKED)
    assert log.readings == WANTED


def test_a_table_without_heading_is_mapped_by_number() -> None:
    log = log_of("13:05;148,5;4,4\n13:20;150;6,25\n", CLOCKED, "time=#1,pit=#2,probe=#3")
    assert log.readings == WANTED


@pytest.mark.parametrize(
    ("times", "expected"),
    [
        (["13:05", "13:20", "1:40 pm"], [0, 15, 35]),
        (["1:05 PM", "11:50 p.m.", "12:10 AM"], [0, 645, 665]),
        (["13:05:00", "13:05:30", "13:06:15.5"], [0, 0.5, 1 + 15.5 / 60]),
        (["12:50", "13:05", "13:20"], [-15, 0, 15]),
        (["2026-05-09 13:05", "2026-05-09T13:20:00+02:00", "2026-05-09T11:40Z"], [0, 15, 35]),
        (["09.05.2026 13:05", "9.5.26 13:20", "10.05.2026 00:05"], [0, 15, 660]),
        (["2026/5/9 13:05", "2026/05/09 13:20", "2026-05-09 1:40 pm"], [0, 15, 35]),
    ],
)
def test_clock_times_as_people_and_devices_write_them(
    times: list[str], expected: list[float]
) -> None:
    rows = "".join(f"{time};150\n" for time in times)
    assert minutes_of(log_of(f"time;pit\n{rows}")) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("heading", "cells", "expected"),
    [
        ("minute", ["0", "21,5", "-3"], [-3, 0, 21.5]),
        ("elapsed (s)", ["0", "90", "3600"], [0, 1.5, 60]),
        ("Hours", ["0", "0.5", "1,25"], [0, 30, 75]),
        ("Elapsed", ["0:00", "0:15", "25:30:30"], [0, 15, 1530.5]),
        ("time since start [min]", ["0", "5", "10"], [0, 5, 10]),
    ],
)
def test_elapsed_times(heading: str, cells: list[str], expected: list[float]) -> None:
    rows = "".join(f"{cell};150\n" for cell in cells)
    assert minutes_of(log_of(f"{heading};pit\n{rows}")) == pytest.approx(expected)


def test_a_date_may_have_a_column_of_its_own() -> None:
    text = "Date;Time;pit\n9.5.2026;23:50;150\n10.5.2026;0:10;151\n"
    log = log_of(text, How(ZONE, None, CELSIUS))
    assert log.start == datetime(2026, 5, 9, 23, 50, tzinfo=ZONE)
    assert minutes_of(log) == [0, 20]


def test_slashes_need_an_order_unless_the_dates_give_it_away() -> None:
    text = "time;pit\n5/9/2026 13:05;150\n5/9/2026 13:20;151\n"
    no_start = How(ZONE, None, CELSIUS)
    assert "--dates dmy or --dates mdy" in refused(text, no_start)
    mdy = log_of(text, How(ZONE, None, CELSIUS, DateOrder.MDY))
    assert mdy.start == START
    dmy = log_of(text, How(ZONE, None, CELSIUS, DateOrder.DMY))
    assert dmy.start.month == 9
    given = log_of("time;pit\n5/9/2026 23:50;150\n5/13/2026 0:00;150\n", no_start)
    assert given.start.month == 5


def test_both_passes_of_a_repeated_hour_run_forward() -> None:
    """25 October 2026, 3:00 summer time becomes 2:00 in Berlin (tz database)."""
    rows = "".join(f"2026-10-25 {t};150\n" for t in ("01:45", "02:30", "02:45", "02:15", "03:05"))
    log = log_of(f"time;pit\n{rows}", How(ZONE, None, CELSIUS))
    assert minutes_of(log) == [0, 45, 60, 90, 140]
    clocks = "".join(f"{t};150\n" for t in ("01:45", "02:30", "02:45", "02:15", "03:05"))
    start = datetime(2026, 10, 25, 1, 45, tzinfo=ZONE)
    assert minutes_of(log_of(f"time;pit\n{clocks}", How(ZONE, start, CELSIUS))) == [
        0, 45, 60, 90, 140,
    ]  # fmt: skip


def test_a_skipped_hour_is_refused() -> None:
    """29 March 2026, 2:00 became 3:00 in Berlin (tz database)."""
    text = "time;pit\n2026-03-29 02:30;150\n"
    assert "skipped by a clock change" in refused(text, How(ZONE, None, CELSIUS))


def test_a_log_over_midnight_and_a_day() -> None:
    times = ["22:00", "23:59", "0:01", "11:00", "23:00", "1:00"]
    start = datetime(2026, 5, 9, 22, 0, tzinfo=UTC)
    log = log_of("time;pit\n" + "".join(f"{t};150\n" for t in times), How(UTC, start, CELSIUS))
    assert minutes_of(log) == [0, 119, 121, 780, 1500, 1620]


@pytest.mark.parametrize(
    ("heading", "bare", "unit"),
    [
        ("Pit (°F)", "Pit", FAHRENHEIT), ("pit_°c", "pit", CELSIUS),
        ("Grill [F]", "Grill", FAHRENHEIT),
        ("Meat, deg C", "Meat", CELSIUS), ("Probe 1 Fahrenheit", "Probe 1", FAHRENHEIT),
        ("probe °C", "probe", CELSIUS), ("Beef", "Beef", None), ("Probe C", "Probe C", None),
        ("half", "half", None), ("(f)", "", FAHRENHEIT),
    ],
)  # fmt: skip
def test_units_of_headings(heading: str, bare: str, unit: TemperatureUnit | None) -> None:
    assert bare_heading(heading) == (bare, unit)


def test_units_of_cells_headings_and_options_in_this_order() -> None:
    text = "minute;pit (°F);probe\n0;300;41 °F\n15;150 C;5\n"
    log = log_of(text, How(ZONE, START, CELSIUS))
    assert log.readings == (
        Reading(0.0, f_to_c(300), (("probe", f_to_c(41)),)),
        Reading(900.0, 150.0, (("probe", 5.0),)),
    )
    assert "--unit C or --unit F" in refused(text, How(ZONE, START, None))


def test_headings_make_the_probes_of_a_new_cook() -> None:
    text = "minute;Grill (°C);Probe 1 (°C);Probe 2 (°C);Breast (°C);Fan;Pit min\n0;1;2;3;4;5;6\n"
    log = log_of(text)
    assert log.probes == ("probe1", "probe2", "breast")
    assert log.readings[0].meat_c == (("probe1", 2.0), ("probe2", 3.0), ("breast", 4.0))


def test_the_probes_of_a_cook_that_is_there() -> None:
    text = "minute;pit;THIGH;core;breast\n0;150;7;8;9\n"
    assert log_of(text, probes=("breast", "thigh")).readings[0].meat_c == (
        ("thigh", 7.0), ("breast", 9.0),
    )  # fmt: skip
    assert log_of(text, probes=("wing",)).readings[0].meat_c == (("wing", 8.0),)
    mapped = log_of(text, CLOCKED, "probe=breast", probes=("wing",))
    assert mapped.readings[0].meat_c == (("wing", 9.0),)


@pytest.mark.parametrize(
    ("maps", "words"),
    [
        (["pit"], "WHAT=COLUMN"),
        (["pit="], "WHAT=COLUMN"),
        (["pit=Grill", "pit=#2"], "each WHAT once"),
        (["pit=Girll"], "one of 'minute', 'Grill', 'A, B', 'Grill2', or #1 to #4"),
        (["pit=#5"], "one of"),
        (["pit=Grill,leg=Grill"], "each column once"),
        (["minute=minute,time=#1"], "each column once"),
        (["a\tb=Grill"], "WHAT=COLUMN"),
    ],
)
def test_a_mapping_that_cannot_be_meant_is_refused(maps: list[str], words: str) -> None:
    assert words in refused('minute;Grill;"A, B";Grill2\n0;1;2;3\n', CLOCKED, *maps)


def test_a_heading_with_a_comma_can_be_mapped() -> None:
    log = log_of('minute;Grill;"A, B"\n0;1;2\n', CLOCKED, "leg=A, B")
    assert log.readings == (Reading(0.0, 1.0, (("leg", 2.0),)),)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("minute;pit\n0;abc\n", "log.csv: row 2, column 'pit': found 'abc'; allowed is a temp"),
        ("minute;pit\n0;1\nx;2\n", "row 3, column 'minute': found 'x'; allowed is a number"),
        ("minute;pit\n0;1\n\n\n5;1e3\n", "row 5, column 'pit': found '1e3'"),
        ("minute;pit\n0;999\n", "found '999'; allowed is -40 to 600 °C; --missing"),
        ("minute;pit\n0;1,250\n", "thousands or a decimal comma"),
        ("minute;pit\n9999;150\n", "72 h before to 100 h after meat-on"),
        ("minute;pit\n;150\n", "row 2, column 'minute': found ''"),
        ("time;pit\n25:10;150\n", "a time like 14:20"),
        ("time;pit\n13:60;150\n", "a time like 14:20"),
        ("time;pit\n0 pm;150\n", "a time like 14:20"),
        ("time;pit\n31.2.2026 13:05;150\n", "a date like"),
        ("time;pit\n15;150\n", "--map minute=COLUMN"),
        ("time;fan\n13:05;3\n", "found no column of temperatures"),
        ("when was it;pit\n13:05;3\n0;1;2\n", "row 3: found 3 cells, the last '2'"),
        ("what;pit\n13:05;3\n", "found no column of times; allowed is --map time=COLUMN"),
        ("minute;pit\n0;\n5;-\n", "found no readings"),
        ("minute;pit\n", "found no readings"),
        ("", "nothing in it"),
        ("\n \n", "nothing in it"),
        ("minute;pit;grill\n0;1;2\n", "'pit' and 'grill', both pit"),
        ("minute;pit\n0;\x1b[31m\n", r"found '\x1b[31m'"),
    ],
)
def test_a_bad_table_is_refused_with_row_column_found_and_allowed(text: str, words: str) -> None:
    message = refused(text)
    assert words in message
    assert message.isprintable()


def test_clock_times_need_a_day() -> None:
    text = "time;pit\n13:05;150\n"
    assert "--on 2026-05-09T13:05" in refused(text, How(ZONE, None, CELSIUS))
    assert "--on 2026-05-09T13:05" in refused(
        text.replace("time", "minute").replace("13:05", "0"), How(ZONE, None, CELSIUS)
    )


def test_all_errors_are_told_not_the_first_alone() -> None:
    with pytest.raises(BadTable) as caught:
        log_of("minute;pit;probe\n0;a;b\n5;150;c\nd;150;5\n")
    assert len(caught.value.errors) == 4


def test_cells_that_say_nothing_rows_that_say_nothing_and_rows_said_twice() -> None:
    text = "minute;pit;probe\n0;150;n/a\n0;150;--\n5;;\n10;NaN;7\n15;32767;8\n"
    log = log_of(text, How(ZONE, START, CELSIUS, missing=frozenset({"32767"})))
    assert log.readings == (
        Reading(0.0, 150.0), Reading(600.0, None, (("probe", 7.0),)),
        Reading(900.0, None, (("probe", 8.0),)),
    )  # fmt: skip
    assert (log.empty, log.doubled) == (1, 1)


def test_a_log_of_every_second_can_be_thinned() -> None:
    rows = "".join(f"{second};150\n" for second in range(3601))
    log = log_of(f"seconds;pit\n{rows}", How(ZONE, START, CELSIUS, every_s=600.0))
    assert minutes_of(log) == [0, 10, 20, 30, 40, 50, 60]
    assert log.thinned == 3594


def test_readings_come_in_time_order_and_notes_are_taken() -> None:
    text = "minute;pit;note\n30;150;\n0;148;wind, and rain\n10;;nothing read\n"
    log = log_of(text.replace("wind, and rain", '"wind, and rain"'))
    assert minutes_of(log) == [0, 30]
    assert [(note.elapsed_s, note.note) for note in log.notes] == [
        (0.0, "wind, and rain"), (600.0, "nothing read"),
    ]  # fmt: skip


def test_meat_on_comes_from_the_first_row_when_times_are_told_twice() -> None:
    log = log_of("time,minute,pit\n2026-05-09 13:20,15,150\n", How(ZONE, None, CELSIUS))
    assert log.start == START
    assert minutes_of(log) == [15]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\0\1\2\3;\0", "bytes that are no text"),
        (b"\xff\xfea", "bytes that are no text"),
        (b"minute;pit\n" + b"0;1\n" * 50_001, "up to 50000 rows"),
        (b'minute;pit\n0;"' + b"x" * 140_000 + b'"\n', "field larger"),
    ],
)
def test_what_is_no_table_is_refused(data: bytes, words: str) -> None:
    with pytest.raises(DocumentError, match=words):
        parse_sheet(data, "log.csv")


def test_what_is_no_file_is_refused(tmp_path: Path) -> None:
    for path, words in ((tmp_path / "x.csv", "No such file"), (tmp_path, "directory")):
        with pytest.raises(DocumentError, match=words):
            read_sheet(path)


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        sheet = parse_sheet(data, "log.csv")
        read_log(sheet, find_columns(sheet, {}, None), CLOCKED)
    except DocumentError as error:
        assert str(error).isprintable()
    except BadTable as table:
        assert all(str(error).isprintable() for error in table.errors)


CELLS = st.sampled_from(
    ["", "150", "150,5", "13:05", "5/9/2026", "2026-05-09T13:05", "1e9", "-", "°", "12 pm", "0:0"]
) | st.text(max_size=8)


@given(
    st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=5),
    st.sampled_from(",;\t"),
)
def test_any_cells_are_read_or_refused(rows: list[list[str]], separator: str) -> None:
    body = "\n".join(separator.join(row) for row in [["time", "pit", "probe"], *rows])
    try:
        log = log_of(body)
    except (BadTable, DocumentError):
        return
    assert all(-40 <= (r.pit_c if r.pit_c is not None else 0) <= 600 for r in log.readings)


@given(st.text(max_size=12))
def test_texts_survive_the_guard_against_formulas(text: str) -> None:
    guarded = plain_cell(text)
    assert guarded[:1] not in ("=", "+", "-", "@")
    if text[:1] != "'":
        assert typed_cell(guarded) == text
