"""Five invented meals, whole: kept as text, and read as a careful cook would read them.

The words must be the same; a clock time or a span may differ by a quarter of an hour from the kept
text, since another build of the numerical libraries may round a forecast the other way.
``DONEBY_GOLDEN=write`` writes the texts anew; look at the difference before you commit it.
"""

from __future__ import annotations

import os
import re
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.app.cli.runs import Terminal

GOLDEN = Path(__file__).parent / "golden"
BERLIN = ZoneInfo("Europe/Berlin")
THURSDAY = datetime(2026, 5, 7, 9, 0, tzinfo=BERLIN)
SATURDAY = datetime(2026, 5, 9, 9, 0, tzinfo=BERLIN)
AMERICAN = ("--unit", "F", "--mass-unit", "lb")
METRIC = ("--unit", "C", "--mass-unit", "kg")
MEALS = {
    "ham": (THURSDAY, ("ham", "--weight", "11lb", "--meal", "sun 13:00", "--people", "12",
                       *AMERICAN)),
    "shoulder": (THURSDAY, ("pork_shoulder", "--weight", "3.6kg", "--meal", "sat 12:00",
                            "--brine", "dry", "--wrap", "71", "--people", "9", *METRIC)),
    "frozen-duck": (SATURDAY, ("duck", "--weight", "2.3kg", "--meal", "18:00", "--state", "frozen",
                               "--people", "4", *METRIC)),
    "lamb-and-chicken": (THURSDAY, ("leg_of_lamb", "--weight", "2.4kg", "--meal", "sat 13:00",
                                    "--people", "8", "--with", "whole_chicken 1.8kg wet pit=175",
                                    *METRIC)),
    "salmon": (SATURDAY, ("salmon_side", "--weight", "2.5lb", "--meal", "19:30", "--brine", "wet",
                          "--people", "5", *AMERICAN)),
}  # fmt: skip
_CLOCK = re.compile(r"\b(\d\d):(\d\d)\b")
_SPAN = re.compile(r"(?:(\d+) h)?(?: ?(\d+) min)?")
_SPANS = re.compile(r"\b\d+ h \d+ min\b|\b\d+ h\b|\b\d+ min\b")
_DAYS = re.compile(r"\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) (?=\d\d:\d\d)")
NEAR_MIN = 15


def _text(terminal: Terminal, name: str) -> str:
    terminal.now, arguments = MEALS[name]
    return terminal.ok("dayline", *arguments).out


def _masked(text: str) -> str:
    return _CLOCK.sub("00:00", _SPANS.sub("1 h", _DAYS.sub("", text)))


def _minutes(span: str) -> int:
    match = _SPAN.fullmatch(span)
    assert match is not None
    return 60 * int(match[1] or 0) + int(match[2] or 0)


def _clocks(text: str) -> list[int]:
    return [60 * int(hour) + int(minute) for hour, minute in _CLOCK.findall(text)]


def _spans(text: str) -> list[int]:
    return [_minutes(span) for span in _SPANS.findall(text)]


@pytest.mark.parametrize("name", MEALS)
def test_the_text_is_the_kept_one(terminal: Terminal, name: str) -> None:
    found, path = _text(terminal, name), GOLDEN / f"dayline-{name}.txt"
    if os.environ.get("DONEBY_GOLDEN") == "write":
        GOLDEN.mkdir(exist_ok=True)
        path.write_text(found, encoding="utf-8")
    kept = path.read_text(encoding="utf-8")
    assert _masked(found) == _masked(kept)
    for now, before in zip(_clocks(found), _clocks(kept), strict=True):
        away = abs(now - before)
        assert min(away, 1440 - away) <= NEAR_MIN, found
    for now, before in zip(_spans(found), _spans(kept), strict=True):
        assert abs(now - before) <= NEAR_MIN, found


@pytest.mark.parametrize("name", MEALS)
def test_every_step_says_where_its_number_is_from(terminal: Terminal, name: str) -> None:
    terminal.now, arguments = MEALS[name]
    day = terminal.ok("dayline", *arguments, "--json").object
    for step in day["steps"]:
        assert re.search(r"prior forecast|USDA|manual|common practice, no source", step["source"])
    times = [datetime.fromisoformat(step["at"]) for step in day["steps"]]
    assert times == sorted(times)
    assert min(times) >= terminal.now


def _step(day: dict[str, object], key: str, piece: str = "") -> datetime:
    steps = day["steps"]
    assert isinstance(steps, list)
    (found,) = [s for s in steps if s["key"] == key and s["piece"] == piece]
    return datetime.fromisoformat(found["at"])


def test_the_ham_is_glazed_before_it_is_done_and_rested_before_one(terminal: Terminal) -> None:
    terminal.now, arguments = MEALS["ham"]
    day = terminal.ok("dayline", *arguments, "--json").object
    order = [_step(day, key) for key in ("light", "meat_on", "glaze", "pull", "carve", "eat")]
    assert order == sorted(order)
    assert order[-1] == datetime(2026, 5, 10, 13, 0, tzinfo=BERLIN)
    assert not day["conflicts"]


def test_the_shoulder_goes_on_the_evening_before_and_its_long_hold_is_said(
    terminal: Terminal,
) -> None:
    terminal.now, arguments = MEALS["shoulder"]
    day = terminal.ok("dayline", *arguments, "--json").object
    on = _step(day, "meat_on").astimezone(BERLIN)
    assert on.date().day == 8 and on.hour >= 18
    assert _step(day, "dry_salt") < on - timedelta(hours=12)
    assert any("unsure" in conflict["text"] for conflict in day["conflicts"])


def test_the_frozen_duck_goes_into_cold_water_and_from_there_on_the_fire(
    terminal: Terminal,
) -> None:
    """USDA: half an hour a pound in cold water; cook at once. A duck of 2.3 kg: 2 h 32 min."""
    terminal.now, arguments = MEALS["frozen-duck"]
    day = terminal.ok("dayline", *arguments, "--json").object
    ahead = _step(day, "meat_on") - _step(day, "thaw")
    assert ahead == pytest.approx(timedelta(minutes=152.1 + 10), abs=timedelta(minutes=6))
    (late,) = [c for c in day["conflicts"] if "should have been thawing" in c["text"]]
    assert late["remedies"][0].startswith("thaw in cold water")


def test_lamb_and_chicken_share_a_pit_and_a_meal(terminal: Terminal) -> None:
    terminal.now, arguments = MEALS["lamb-and-chicken"]
    day = terminal.ok("dayline", *arguments, "--json").object
    assert len({piece["pit"] for piece in day["pieces"]}) == 1
    assert 150 < day["pieces"][0]["pit"] < 175
    assert any("one pit" in conflict["text"] for conflict in day["conflicts"])
    assert _step(day, "rub", "whole chicken") >= _step(day, "brine_out", "whole chicken")


def test_the_salmon_is_a_thing_of_hours(terminal: Terminal) -> None:
    terminal.now, arguments = MEALS["salmon"]
    day = terminal.ok("dayline", *arguments, "--json").object
    assert timedelta(hours=1) < _step(day, "eat") - _step(day, "meat_on") < timedelta(hours=4)
    assert all(datetime.fromisoformat(s["at"]).astimezone(BERLIN).day == 9 for s in day["steps"])


@pytest.mark.parametrize("night", [(2026, 3, 28), (2026, 10, 24)])
def test_a_night_of_clock_change_changes_clocks_and_not_the_cook(
    terminal: Terminal, night: tuple[int, int, int]
) -> None:
    """The shoulder of the evening before, in Berlin, over the two nights of 2026."""
    ahead = []
    for days in (0, 7):
        terminal.now = datetime(*night, 12, 0, tzinfo=BERLIN) - timedelta(days=1 + days)
        day = terminal.ok("dayline", "pork_shoulder", "--weight", "3.6kg", "--meal", "sun 15:00",
                          *METRIC, "--json").object  # fmt: skip
        serve_at = datetime.fromisoformat(day["serve_at"])
        assert serve_at.astimezone(BERLIN).hour == 15
        on = _step(day, "meat_on")
        assert (on.utcoffset() == serve_at.utcoffset()) == (days == 7)
        ahead.append(serve_at - on)
    assert ahead[0] == ahead[1], "real time, whatever the clocks do"
