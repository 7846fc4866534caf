"""The text command: five invented meals, in the process with a clock of ours."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from app.day_pieces import read_day_meal
from app.line.values import Refusal
from tests.app.cli.runs import ZONE, Terminal


def _clock(lines: list[str], words: str) -> str:
    (line,) = [line for line in lines if line[5:].strip().startswith(words)]
    return line[:5]


def test_glazed_ham_for_twelve_at_one(terminal: Terminal) -> None:
    out = terminal.ok("dayline", "ham", "--weight", "11lb", "--unit", "F", "--mass-unit", "lb",
                      "--meal", "sun 13:00", "--people", "12").out  # fmt: skip
    lines = out.splitlines()
    assert lines[0].startswith("ham 11 lb for 12, to eat Sun 2026-05-10 13:00")
    assert _clock(lines, "eat") == "13:00"
    assert _clock(lines, "light") < _clock(lines, "meat on") < _clock(lines, "glaze, at 120 °F")
    assert _clock(lines, "pull at") < _clock(lines, "carve") < "13:00"


def test_shoulder_for_the_evening_goes_on_the_evening_before(terminal: Terminal) -> None:
    out = terminal.ok("dayline", "pork_shoulder", "--meal", "sun 12:00", "--wrap", "71",
                      "--unit", "C").out  # fmt: skip
    saturday, sunday = (f"\n{day}\n" for day in ("Sat 2026-05-09", "Sun 2026-05-10"))
    assert out.index(saturday) < out.index("  meat on\n") < out.index(sunday)


def test_frozen_duck_is_told_about_cold_water(terminal: Terminal) -> None:
    terminal.now = terminal.now.replace(hour=8)
    out = terminal.ok("dayline", "duck", "--meal", "18:00", "--state", "frozen").out
    assert "should have been thawing in the refrigerator since" in out
    assert "thaw in cold water" in out


def test_lamb_and_chicken_on_one_fire(terminal: Terminal) -> None:
    result = terminal.ok("dayline", "leg_of_lamb", "--meal", "mon 13:00", "--people", "8",
                         "--unit", "C", "--with", "whole_chicken 1.8kg frozen wet",
                         "--json").object  # fmt: skip
    assert [p["name"] for p in result["pieces"]] == ["leg of lamb", "whole chicken"]
    keys = [(s["piece"], s["key"]) for s in result["steps"]]
    assert ("whole chicken", "thaw") in keys
    assert ("whole chicken", "brine_in") in keys
    assert keys.count(("", "light")) == 1
    on = {p["name"]: datetime.fromisoformat(p["meat_on"]) for p in result["pieces"]}
    assert max(on.values()) < datetime.fromisoformat(result["serve_at"])


def test_salmon_side_this_evening(terminal: Terminal) -> None:
    out = terminal.ok("dayline", "salmon_side", "--meal", "19:30", "--unit", "C").out
    assert "pull at fillet 63 °C" in out
    assert "carbon monoxide" in out


def test_a_lower_target_leaves_the_usual_glaze_behind(terminal: Terminal) -> None:
    salmon = ("dayline", "salmon_side", "--meal", "19:30", "--unit", "F")
    assert "glaze, at 125 °F" in terminal.ok(*salmon).out
    low = terminal.ok(*salmon, "--target", "125").out
    assert "glaze" not in low
    assert "below the published minimum, 145 °F" in low
    lamb = ("dayline", "leg_of_lamb", "--meal", "19:30", "--unit", "F")
    assert (
        "salmon side: glaze" not in terminal.ok(*lamb, "--with", "salmon_side 2lb target=125").out
    )
    refused = terminal.run(*salmon, "--target", "125", "--glaze", "125")
    assert refused.code == 2
    assert "--glaze: must be below the temperature at which it is done" in refused.err


def test_once_served_and_put_away_nothing_is_left_of_the_day(terminal: Terminal) -> None:
    terminal.ok(*LAMB, "--save")
    terminal.now = terminal.now.replace(day=10, hour=9)
    terminal.ok("dayline", "--begin")
    terminal.after(150).ok("say", "150 64; pull")
    terminal.after(5).ok("say", "serve")
    shown = terminal.ok("dayline").out
    assert "leftovers" in terminal.ok("dayline", "--next").out
    assert "[done] eat" in shown
    for passed in ("carve", "rest", "hold at"):
        assert f"  {passed}" not in shown, passed
    terminal.after(20).ok("say", "away")
    assert "[done] leftovers" in terminal.ok("dayline").out


def test_bad_words_are_refused_with_what_is_allowed(terminal: Terminal) -> None:
    for more, said in (
        (("--with", "whole_chicken bananas"), "found 'bananas'"),
        (("--with", "cow 3kg"), "begins with a cut"),
        (("--with", "duck frozen"), "a weight is needed"),
        (("--people", "none"), "allowed is 1 to 10000"),
        (("--chance", "100"), "allowed is 5 to 99"),
        (("--weight", "heavy"), "a weight is"),
    ):
        result = terminal.run("dayline", "ham", "--meal", "18:00", *more)
        assert result.code == 2, more
        assert said in result.err
    assert terminal.run("dayline", "ham").code == 2
    for never in ("9999-12-31T23:00", "0001-01-01T00:00+14:00", "2028-05-09T13:00"):
        assert terminal.run("dayline", "ham", "--meal", never).code == 2, never
    assert terminal.run("dayline", "unicorn", "--meal", "18:00").code == 2


def test_nothing_is_kept(terminal: Terminal) -> None:
    terminal.ok("dayline", "ham", "--meal", "sun 13:00")
    assert "No cook" in terminal.ok("status").out


def test_meals_by_weekday_and_date() -> None:
    now = datetime(2026, 5, 9, 14, 0, tzinfo=ZONE)  # a Saturday
    assert read_day_meal("sat 18:00", now, ZONE).day == 9
    assert read_day_meal("Saturday 1pm", now, ZONE) == datetime(2026, 5, 16, 13, tzinfo=ZONE)
    assert read_day_meal("mon 12:30", now, ZONE) == datetime(2026, 5, 11, 12, 30, tzinfo=ZONE)
    assert read_day_meal("2026-05-20T13:00", now, ZONE) == datetime(2026, 5, 20, 13, tzinfo=ZONE)
    for wrong in ("sat", "someday 3pm", "sun 27:00"):
        with pytest.raises(Refusal):
            read_day_meal(wrong, now, ZONE)


def test_a_meal_after_the_night_the_clocks_change(terminal: Terminal) -> None:
    """The night of 25 October 2026 has an hour twice in Berlin: real time decides."""
    berlin = ZoneInfo("Europe/Berlin")
    terminal.now = datetime(2026, 10, 24, 12, 0, tzinfo=berlin)
    result = terminal.ok("dayline", "ham", "--meal", "sun 13:00", "--json").object
    serve, on = (datetime.fromisoformat(t) for t in
                 (result["serve_at"], result["pieces"][0]["meat_on"]))  # fmt: skip
    assert serve.utcoffset() == timedelta(hours=1)
    terminal.now = datetime(2026, 10, 17, 12, 0, tzinfo=berlin)
    plain = terminal.ok("dayline", "ham", "--meal", "sun 13:00", "--json").object
    serve_plain, on_plain = (datetime.fromisoformat(t) for t in
                             (plain["serve_at"], plain["pieces"][0]["meat_on"]))  # fmt: skip
    assert serve - on == serve_plain - on_plain


LAMB = ("dayline", "leg_of_lamb", "--weight", "2.5kg", "--unit", "C", "--mass-unit", "kg",
        "--meal", "sun 13:00", "--people", "6")  # fmt: skip


def test_a_day_is_kept_shown_ticked_moved_and_closed(terminal: Terminal) -> None:
    assert "Kept as day 1" in terminal.ok(*LAMB, "--save").out
    shown = terminal.after(30).ok("dayline").out.splitlines()
    light = _clock(shown, "light the fire")
    terminal.now = terminal.now.replace(day=10, hour=int(light[:2]), minute=int(light[3:]))
    late = terminal.after(75).ok("dayline", "--tick", "fire").out
    assert "[done] light the fire" in late
    assert "! It should go on at" in late, "an hour and a quarter late"
    back = terminal.ok("dayline", "--tick", f"fire@{light}").out
    assert f"{light}  [done] light the fire" in back
    moved = terminal.ok("dayline", "--untick", "light", "--move", "meal", "14:00").out
    assert "14:00  [moved] eat" in moved
    assert "to eat Sun 2026-05-10 14:00" in moved
    again = terminal.ok("dayline", "--back", "meal", "--json").object
    assert again["serve_at"].startswith("2026-05-10T13:00")
    assert "closed day 1" in terminal.ok("dayline", "--close").out
    assert terminal.run("dayline").code == 2
    assert "closed" in terminal.ok("dayline", "--list").out
    assert "light the fire" in terminal.ok("dayline", "--reopen", "1").out
    assert "--close it first" in terminal.run("dayline", "--reopen", "1").err


def test_a_second_day_is_kept_only_in_the_place_of_the_first(terminal: Terminal) -> None:
    terminal.ok(*LAMB, "--save")
    refused = terminal.run(*LAMB, "--save")
    assert refused.code == 2 and "--replace" in refused.err
    assert "Kept as day 2" in terminal.ok(*LAMB, "--save", "--replace").out


def test_the_cook_is_begun_from_the_day_with_what_was_ticked(terminal: Terminal) -> None:
    terminal.ok(*LAMB, "--with", "whole_chicken 1.8kg pit=165", "--save")
    terminal.now = terminal.now.replace(day=10, hour=8)
    terminal.ok("dayline", "--tick", "fire@7:20", "--tick", "on lamb@7:58")
    out = terminal.ok("dayline", "--begin").out
    assert "started cook 1: leg of lamb" in out
    document = terminal.ok("export", "1").object
    assert document["started_at"].startswith("2026-05-10T07:58")
    assert document["plan"]["serve_at"].startswith("2026-05-10T13:00")
    assert document["plan"]["pit"] == 157.5, "the one fire's"
    assert [(e["minute"], e["kind"], e["note"]) for e in document["events"]] == [
        (-38, "note", "fire lit")
    ]
    terminal.after(20).ok("say", "155 9")
    shown = terminal.ok("dayline").out
    assert "[done] leg of lamb: meat on" in shown
    assert "leg of lamb is cook 1" in shown
    assert "started cook 2: whole chicken" in terminal.after(5).ok("dayline", "--begin").out
    told = terminal.ok("status").out
    assert told.startswith("whole chicken")
    assert "Also in hand: cook 1, leg of lamb, Sun 10 May. 'doneby status --cook 1' tells" in told
    assert "saved" in terminal.ok("ledger", "say", "1", "155 12").out
    lamb = terminal.ok("status", "--cook", "1", "--json").object
    assert lamb["also_in_hand"] == [{"cook": 2, "title": "whole chicken, Sun 10 May"}]
    refused = terminal.run("status", "--cook", "7")
    assert (refused.code, refused.out) == (2, "")
    assert "--cook 7; in hand: 1, 2" in refused.err
    assert terminal.run("dayline", "--begin").code == 2


def test_a_calendar_file(terminal: Terminal) -> None:
    terminal.ok(*LAMB, "--save")
    path = terminal.data.with_name("day.ics")
    assert str(path) in terminal.ok("dayline", "--ics", str(path)).out
    first = path.read_bytes()
    assert first.startswith(b"BEGIN:VCALENDAR\r\n")
    terminal.ok("dayline", "--ics", str(path))
    assert path.read_bytes() == first
    nowhere = terminal.run("dayline", "--ics", str(path / "no.ics"))
    assert nowhere.code == 1 and "could not be written" in nowhere.err


def test_what_comes_next_in_a_few_lines(terminal: Terminal) -> None:
    terminal.ok(*LAMB, "--save")
    lines = terminal.ok("dayline", "--next").out.splitlines()
    assert lines[0].startswith("meat on Sun ") and "wanted 9 in 10" in lines[0]
    assert lines[1].startswith("Next: Sun 2026-05-10 ") and "rub it" in lines[1]
    assert len(lines) == 2
    printed = terminal.ok("dayline", "--ics", "-").out
    assert printed.startswith("BEGIN:VCALENDAR\r\n")


def test_what_does_not_go_together_is_refused(terminal: Terminal) -> None:
    assert "no day is planned" in terminal.run("dayline").err
    assert "leave the cut out" in terminal.run(*LAMB, "--tick", "fire").err
    terminal.ok(*LAMB, "--save")
    for more in (("--tick", "unicorn"), ("--move", "fire", "soon"), ("--move", "carve", "12:00")):
        result = terminal.run("dayline", "--tick", "rub", *more)
        assert result.code == 2, more
    assert "[done]" not in terminal.ok("dayline").out, "nothing of a bad call is kept"
