"""The text commands, run in the process."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from app.line.card import card_text
from app.logs import log_path
from app.presenters.hindcast import hindcast_object
from storage.documents import read_document
from tests.app.cli.runs import DUCK, SAMPLES, Terminal
from tests.app.fakes import arrival, forecast

LEVELS = ["p05", "p10", "p25", "p50", "p75", "p90", "p95"]


def test_status_without_a_cook_says_what_to_do(terminal: Terminal) -> None:
    assert "No cook is in hand" in terminal.ok("status").out
    assert terminal.ok("status", "--json").object == {"cook": None}
    assert "No cook yet" in terminal.ok("ledger").out
    result = terminal.run("say", "305")
    assert result.code == 2
    assert "start one first" in result.err


def test_start_tells_what_it_took(terminal: Terminal) -> None:
    out = terminal.ok(
        "start", "pork shoulder", "--weight", "8lb", "--pit", "250", "--probe", "money",
        "--probe", "horn", "--target", "203", "--target", "horn=200", "--wrap", "165",
        "--meal", "2026-05-10T13:00", "--at", "-20m", "--band", "235-265", "--rest", "1h",
    ).out  # fmt: skip
    assert "pork shoulder 8 lb; pit 250 °F; meat on 12:45" in out
    assert "money to 203 °F, wrap at 165 °F" in out
    assert "horn to 200 °F, wrap at 165 °F" in out
    assert "carbon monoxide" in out
    status = terminal.ok("status", "--json").object
    assert status["cook"]["serve_at"] == "2026-05-10T13:00:00+02:00"
    assert status["cook"]["started_at"] == "2026-05-09T12:45:00+02:00"


def test_start_fills_in_the_usual_and_none_clears_it(terminal: Terminal) -> None:
    assert "glaze at" in terminal.ok("start", "duck").out
    out = terminal.ok("start", "duck", "--glaze", "none", "--replace").out
    assert "ended" in out
    assert "glaze" not in out
    assert "duck: duck" in terminal.ok("start", "list").out


def test_a_target_below_the_minimum_is_said_at_once(terminal: Terminal) -> None:
    out = terminal.ok("start", "duck", "--target", "150", "--glaze", "none").out
    assert "Below the published minimum" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("ostrich",), "not known"),
        (("duck", "--weight", "x"), "--weight"),
        (("duck", "--pit", "1e999"), "--pit"),
        (("duck", "--target", "breast=x"), "--target breast"),
        (("duck", "--target", "=165"), "--target"),
        (("duck", "--target", "nose=165"), "no probe is called nose"),
        (("duck", "--target", "none"), "--target"),
        (("duck", "--glaze", "breast=170"), "glaze must be below"),
        (("duck", "--band", "300"), "--band"),
        (("duck", "--band", "400-450"), "--band"),
        (("duck", "--meal", "never"), "--meal"),
        (("duck", "--at", "25:99"), "--at"),
        (("duck", "--probe", "pit"), "--probe"),
        (("duck", "--probe", "lid"), "--probe"),
        (("other",), "--thickness"),
        (("duck", "--unit", "K"), "--unit"),
        ((), "CUT"),
    ],
)
def test_start_refuses_in_words(
    terminal: Terminal, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], words: str
) -> None:
    result = terminal.run("start", *arguments)
    assert result.code == 2
    assert words in result.err + capsys.readouterr().err
    assert "No cook yet" in terminal.ok("ledger").out


def test_a_second_cook_needs_a_word(cooking: Terminal) -> None:
    result = cooking.run("start", "duck")
    assert result.code == 2
    assert "--replace" in result.err


def test_say_reads_words_with_a_minus(cooking: Terminal) -> None:
    out = cooking.after(15).ok("say", "-5m", "306", "80").out
    assert out == "saved: pit 306 °F, breast 80 °F, at 14:05\n"
    assert "breast 82 °F" in cooking.ok("say", "-", "82").out
    assert "at 14:09" in cooking.ok("say", "lid", "-1m").out
    assert "note: he said --maybe" in cooking.ok("say", "--", "note he said --maybe").out


def test_say_refuses_an_odd_line_until_yes(cooking: Terminal) -> None:
    result = cooking.after(15).run("say", "80", "305")
    assert result.code == 2
    assert "look swapped; did you mean 305 80?" in result.err
    assert "--yes" in result.err
    assert cooking.ok("say", "--yes", "80 305").out.startswith("saved:")
    assert "took back" in cooking.ok("say", "undo").out


def test_say_takes_a_pipe_and_stops_at_the_first_bad_line(cooking: Terminal) -> None:
    out = cooking.after(15).ok("say", stdin="305 80\n\n  \nlid\n").out
    assert out.count("saved:") == 2
    result = cooking.run("say", stdin="note one\nbananas\nnote two\n")
    assert result.code == 2
    assert "line 2: found 'bananas'" in result.err
    assert "1 lines before it were saved" in result.err
    assert "two" not in cooking.ok("export", "1").out
    assert cooking.run("say", stdin="\n").code == 2
    assert "say what?" in cooking.run("say").err


def test_the_card_by_help_and_by_say(cooking: Terminal) -> None:
    assert cooking.ok("help", "line").out.strip() == card_text()
    assert cooking.ok("say", "?").out.strip() == card_text()


def test_status_is_sentences(cooking: Terminal) -> None:
    lines = cooking.after(5).ok("status").out.splitlines()
    assert lines[0].startswith("An invented duck: 5 lb, pit 310 °F, meat on since 13:05, 55 min")
    heads = [line.split(":")[0].split(" (")[0] for line in lines[1:5]]
    assert heads == ["Done", "Glaze", "Fire", "Next look"]
    assert "in 8 of 10 cooks like this" in lines[1]
    assert lines[5] == "Last line: 13:55, 5 min ago, pit 305 °F, breast 72 °F."
    assert any("carbon monoxide" in line for line in lines)


def test_status_as_one_object(cooking: Terminal) -> None:
    found = cooking.after(5).ok("status", "--json").object
    assert found["unit"] == "F"
    assert found["last_reading"]["probes"] == {"breast": 72.0}
    assert found["answers"]["done"]["mark"] in {"fine", "late", "soon"}
    milestones = {(a["probe"], a["milestone"]) for a in found["arrivals"]}
    assert {("breast", "glaze"), ("breast", "target")} <= milestones
    assert 0.0 <= found["chance_by_meal"] <= 1.0
    for each in found["arrivals"]:
        times = [each[level] for level in LEVELS if each[level] is not None]
        assert times == sorted(times)


def test_a_failed_forecast_does_not_hide_the_log(
    cooking: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    from app.cli import status
    from core.errors import ForecastFailed

    def fail(*_: object, **__: object) -> None:
        raise ForecastFailed("no member fits")

    monkeypatch.setattr(status, "forecast", fail)
    result = cooking.run("status")
    assert result.code == 1
    assert "pit 305 °F, breast 72 °F" in result.out
    assert "no member fits" in result.err


def test_a_bug_is_logged_and_said_in_one_line(
    cooking: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    from app.cli import ledger

    def fail(*_: object) -> None:
        raise ZeroDivisionError("\x1b[31mboom")

    monkeypatch.setattr(ledger, "usual_units", fail)
    result = cooking.run("ledger")
    assert result.code == 1
    assert "ZeroDivisionError" in result.err
    assert "\x1b" not in result.err
    log = log_path(cooking.data)
    assert "Traceback" in log.read_text()
    assert log.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_export_gives_back_what_was_imported(terminal: Terminal, path: Path) -> None:
    assert "imported as cook 1" in terminal.ok("import", str(path)).out
    assert terminal.ok("export", "1").out == path.read_text(encoding="utf-8")


def test_import_is_all_or_nothing_and_once(terminal: Terminal, tmp_path: Path) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text('{"format": 2}')
    result = terminal.run("import", str(DUCK), str(bad), str(tmp_path / "none.json"))
    assert result.code == 2
    assert "bad.json" in result.err
    assert "none.json" in result.err
    assert "1 good files were not imported" in result.err
    assert "No cook yet" in terminal.ok("ledger").out
    assert "would be imported" in terminal.ok("import", "--dry-run", str(DUCK)).out
    assert "No cook yet" in terminal.ok("ledger").out
    terminal.ok("import", str(DUCK))
    assert "there already as cook 1" in terminal.ok("import", str(DUCK)).out
    assert "imported as cook 2" in terminal.ok("import", "--again", str(DUCK)).out
    assert len(terminal.ok("ledger", "--json").object["cooks"]) == 2


def test_export_to_a_file(cooking: Terminal, tmp_path: Path) -> None:
    target = tmp_path / "duck.json"
    assert "cook 1 is in" in cooking.ok("export", "#1", "-o", str(target)).out
    document = read_document(target)
    assert document.title == "An invented duck"
    assert len(document.readings) == 2
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []
    result = cooking.run("export", "1", "-o", str(tmp_path / "no" / "where.json"))
    assert result.code == 1
    assert "could not be written" in result.err
    for number in ("99", "x", "1.5", "-1", "9" * 30):
        assert cooking.run("export", number).code == 2, number


# hindcast


def test_hindcast_object_is_as_documented(terminal: Terminal) -> None:
    document = json.loads(DUCK.read_text())
    found = terminal.ok("hindcast", str(DUCK), "--json").object
    assert set(found) == {"cook", "made"}
    assert found["cook"] == document["title"]
    entries = found["made"]
    keys = {"at_minute", "probe", "milestone", *LEVELS, "probability_never"}
    assert all(set(entry) == keys for entry in entries)
    minutes = [row["minute"] for row in document["readings"]]
    assert {entry["at_minute"] for entry in entries} <= set(minutes)
    assert {entry["milestone"] for entry in entries} == {"glaze", "target", "rested"}
    assert {entry["probe"] for entry in entries} == {"breast"}
    first = [e for e in entries if e["at_minute"] == 0]
    assert {e["milestone"] for e in first} == {"glaze", "target", "rested"}
    for entry in entries:
        values = [entry[level] for level in LEVELS]
        known = [value for value in values if value is not None]
        assert known == sorted(known)
        assert values[: len(known)] == known, "null only where it is never reached"
        assert 0.0 <= entry["probability_never"] <= 1.0


def test_hindcast_leaves_out_what_is_reached(terminal: Terminal) -> None:
    made = terminal.ok("hindcast", str(DUCK), "--json", "--at", "190", "--at", "100,5").object[
        "made"
    ]
    assert [e["milestone"] for e in made if e["at_minute"] == 190] == ["rested"]
    assert {e["milestone"] for e in made if e["at_minute"] == 100.5} == {
        "glaze",
        "target",
        "rested",
    }


def test_hindcast_knows_nothing_of_later(terminal: Terminal, tmp_path: Path) -> None:
    document = json.loads(DUCK.read_text())
    cut = [row for row in document["readings"] if row["minute"] <= 102.5]
    events = [row for row in document["events"] if row["minute"] <= 102.5]
    short = tmp_path / "short.json"
    short.write_text(json.dumps(document | {"readings": cut, "events": events}))
    whole = terminal.ok("hindcast", str(DUCK), "--json", "--at", "102.5").object
    part = terminal.ok("hindcast", str(short), "--json", "--at", "102.5").object
    assert whole == part


def test_hindcast_by_number_and_as_a_table(cooking: Terminal) -> None:
    made = cooking.ok("hindcast", "1", "--json").object["made"]
    assert {entry["at_minute"] for entry in made} == {10.0, 50.0}
    lines = cooking.ok("hindcast", "1").out.splitlines()
    assert lines[2].split() == ["made", "at", "minute", "breast", "glaze", "breast", "target"]
    assert lines[3].startswith("13:15    10")
    for arguments in (("99",), ("none.json",), (str(DUCK), "--at", "x"), ("1", "--at", "1e9")):
        result = cooking.run("hindcast", *arguments)
        assert result.code == 2, arguments
        assert result.err.startswith("doneby: ")


def test_a_quantile_that_is_never_reached_is_null() -> None:
    made = hindcast_object("x", (forecast(arrival(never=0.5), now=60),))["made"]
    assert made[0]["p90"] is None
    assert made[0]["p05"] is not None
    assert made[0]["probability_never"] == 0.5


# demo, help and what is not there


def test_demo_lists_the_samples(terminal: Terminal) -> None:
    lines = terminal.ok("demo", "--list").out.splitlines()
    assert len(lines) >= 5
    assert all("invented" in line for line in lines)
    for arguments in (("ostrich",), ("e",), ("--speed", "0"), ("--speed", "nan"), ("duck",), ()):
        result = terminal.run("demo", *arguments)
        assert result.code == 2, arguments
    assert not terminal.data.exists()


def test_the_screens_need_a_terminal(terminal: Terminal) -> None:
    result = terminal.run()
    assert result.code == 2
    assert "need a terminal" in result.err


def test_version_and_help(terminal: Terminal, capsys: pytest.CaptureFixture[str]) -> None:
    assert terminal.ok("--version").out.startswith("doneby ")
    assert terminal.run("--help").code == 0
    assert terminal.run("help").code == 0
    assert terminal.run("help", "say").code == 0
    text = capsys.readouterr().out
    for command in (
        "demo",
        "dayline",
        "start",
        "say",
        "status",
        "hindcast",
        "import",
        "export",
        "report",
        "schema",
        "ledger",
        "doctor",
    ):
        assert command in text
    assert terminal.run("help", "nothing").code == 2


def test_text_from_a_document_is_shown_inert(terminal: Terminal, tmp_path: Path) -> None:
    document = json.loads(DUCK.read_text())
    document["title"] = "evil \x1b[2J \u202e title [red]"
    path = tmp_path / "evil.json"
    path.write_text(json.dumps(document))
    for result in (
        terminal.ok("import", str(path)),
        terminal.ok("ledger"),
        terminal.ok("ledger", "--json"),
        terminal.ok("hindcast", str(path), "--at", "10"),
        terminal.ok("hindcast", str(path), "--at", "10", "--json"),
    ):
        assert "\x1b" not in result.out
        assert "\u202e" not in result.out


WORDS = st.sampled_from(
    ["say", "status", "hindcast", "export", "import", "start", "ledger", "help", "demo", "duck",
     "--json", "--at", "--yes", "--", "-o", "-1", "1", "305 128", "--speed", "--unit", "C", "-10m",
     "undo", "--target", "x=1", "none", "line"]
)  # fmt: skip


@given(st.lists(st.one_of(WORDS, st.text(max_size=8)), max_size=5))
@settings(max_examples=80, deadline=None)
def test_no_arguments_make_a_traceback(
    tmp_path_factory: pytest.TempPathFactory, arguments: list[str]
) -> None:
    assume(not any(word.startswith(("-o", "--o")) for word in arguments))
    folder = tmp_path_factory.getbasetemp() / "fuzz"
    result = Terminal(folder / "cooks.sqlite3").run(*arguments)
    assert result.code in (0, 1, 2), arguments
    assert "something went wrong" not in result.err, (arguments, result.err)
