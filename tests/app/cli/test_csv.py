"""``doneby import FILE.csv`` and ``doneby export ID --csv FILE``."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from core.cook import Event, EventKind, Reading
from storage.store import open_store
from tests.app.cli.runs import DUCK, Result, Terminal

LOG = """time;Grill;Probe 1;note
13:05;148,5;4,4;
13:20;150;6,2;wind got up
14:05;;30;
14:05;;;
15:30;151;75,5;
"""
NEW = ("--cut", "duck", "--weight", "2.3kg", "--pit", "150", "--target", "74", "--unit", "C",
       "--mass-unit", "kg", "--on", "2026-05-09T13:05", "--title", "Duck (invented)")  # fmt: skip


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A log as a thermometer might write it."""
    path = tmp_path / "log.csv"
    path.write_text(LOG, encoding="utf-8")
    return path


def data_of(terminal: Terminal) -> list[str]:
    """All that is in the data file."""
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(terminal.data)) as connection:
        return list(connection.iterdump())


def test_a_table_makes_a_new_cook(terminal: Terminal, log: Path) -> None:
    terminal.after(60 * 24)
    out = terminal.ok("import", str(log), *NEW).out
    assert "imported as cook 1: Duck (invented) (4 readings, 1 note)" in out
    assert "  probe1: column 3, 'Probe 1', in °C where no unit stands" in out
    assert "left out: 1 row with nothing read" in out
    store = open_store(terminal.data, now=terminal.now)
    saved = store.cook(1)
    store.close()
    assert saved.cook.readings == (
        Reading(0.0, 148.5, (("probe1", 4.4),)), Reading(900.0, 150.0, (("probe1", 6.2),)),
        Reading(3600.0, None, (("probe1", 30.0),)), Reading(8700.0, 151.0, (("probe1", 75.5),)),
    )  # fmt: skip
    assert saved.cook.events == (Event(900.0, EventKind.NOTE, "wind got up"),)
    assert (saved.cook.plan.mass_kg, saved.cook.plan.pit_c) == (2.3, 150.0)
    assert saved.invented
    assert saved.ended_at is not None


def test_an_old_log_that_stops_early_is_not_the_cook_in_hand(terminal: Terminal, log: Path) -> None:
    log.write_text(LOG.replace("75,5", "60"), encoding="utf-8")
    terminal.after(180).ok("import", str(log), *NEW)
    assert "An invented" not in terminal.ok("status").out
    assert terminal.ok("status", "--json").object["cook"]["title"] == "Duck (invented)"
    terminal.after(60 * 24).ok("import", str(log), *NEW, "--again")
    assert terminal.ok("ledger", "--json").object["cooks"][0]["ended_at"] is not None


def test_a_dry_run_tells_the_same_and_saves_nothing(terminal: Terminal, log: Path) -> None:
    terminal.ok("ledger")
    before = data_of(terminal)
    dry = terminal.ok("import", str(log), *NEW, "--dry-run").out.splitlines()
    assert data_of(terminal) == before
    wet = terminal.ok("import", str(log), *NEW).out.splitlines()
    assert dry[:-1] == wet[:-1]
    assert dry[-1] == "would be imported as a new cook: Duck (invented) (4 readings, 1 note)"


def test_the_same_table_is_known_again(terminal: Terminal, log: Path) -> None:
    terminal.ok("import", str(log), *NEW)
    assert "there already as cook 1" in terminal.ok("import", str(log), *NEW).out
    other = [*NEW[:-1], "Another name"]
    assert "there already as cook 1" in terminal.ok("import", str(log), *other).out
    mapped = terminal.ok("import", str(log), *other, "--map", "breast=Probe 1").out
    assert "there already as cook 1" in mapped
    assert "imported as cook 2" in terminal.ok("import", str(log), *other, "--again").out


def test_a_table_goes_into_a_cook_that_is_there_and_again_adds_nothing(
    cooking: Terminal, tmp_path: Path
) -> None:
    path = tmp_path / "rest.csv"
    path.write_text("minute,pit,probe\n10,300,41\n20,301.5,50\n30,,60.25\n", encoding="utf-8")
    first = cooking.ok("import", str(path), "--into", "1").out
    assert "added to cook 1: An invented duck (2 of 3 rows, 1 there already)" in first
    assert "(0 of 3 rows, 3 there already)" in cooking.ok("import", str(path), "--into", "1").out
    shown = cooking.ok("export", "1").object["readings"]
    assert [row["minute"] for row in shown] == [10, 20, 30, 50]
    assert shown[1] == {"minute": 20, "pit": 301.5, "breast": 50}
    assert cooking.ok("say", "undo").code == 0
    assert len(cooking.ok("export", "1").object["readings"]) == 3


def test_one_bad_cell_keeps_the_whole_table_out(terminal: Terminal, log: Path) -> None:
    terminal.ok("ledger")
    before = data_of(terminal)
    log.write_text(LOG.replace("6,2", "six").replace("75,5", "1075"), encoding="utf-8")
    result = terminal.run("import", str(log), *NEW)
    assert (result.code, result.out) == (2, "")
    first, second = result.err.splitlines()
    assert f"{log}: row 3, column 'Probe 1': found 'six'; allowed is a temperature" in first
    assert first.endswith("nothing was imported")
    assert "row 6, column 'Probe 1': found '1075'; allowed is -40 to 600 °C" in second
    assert data_of(terminal) == before


def test_many_errors_are_told_as_a_few_and_a_count(terminal: Terminal, log: Path) -> None:
    log.write_text("minute,pit,probe\n" + "1,x,5\n" * 40, encoding="utf-8")
    lines = terminal.run("import", str(log), *NEW).err.splitlines()
    assert len(lines) == 6
    assert lines[-1] == "doneby: and 35 more like these"


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ((), "--into ID adds its readings to a cook, or --cut, --weight and --pit"),
        (("--into", "1", "--cut", "duck"), "not both"),
        (("--into", "7"), "no cook 7"),
        (("--into", "x"), "a cook's number"),
        (("--cut", "dodo", *NEW[2:]), "not known"),
        ((*NEW, "--map", "pit"), "WHAT=COLUMN"),
        ((*NEW, "--every", "often"), "a length of time"),
        ((*NEW[:10], "--mass-unit", "kg"), "--on with meat-on"),
        ((*NEW[:8], *NEW[10:]), "--unit C or --unit F"),
        ((*NEW, "--weight", "0"), "0.02 to 60 kg"),
    ],
)
def test_what_cannot_be_meant_is_refused(
    terminal: Terminal, log: Path, options: tuple[str, ...], words: str
) -> None:
    result = terminal.run("import", str(log), *options)
    assert result.code == 2
    assert words in result.err
    assert terminal.ok("ledger", "--json").object["cooks"] == []


def test_two_tables_at_once_are_refused(terminal: Terminal, log: Path) -> None:
    assert "one table at a time" in terminal.run("import", str(log), str(log), *NEW).err


def table(result: Result) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(result.out)))


def test_readings_go_out_as_they_were_typed(cooking: Terminal) -> None:
    cooking.after(5).ok("say", "lid")
    cooking.after(5).ok("say", "- 80.5")
    cooking.after(5).ok("say", "note =1+1, really")
    rows = table(cooking.ok("export", "1", "--csv", "-"))
    assert list(rows[0]) == ["time", "minute", "pit (°F)", "breast (°F)", "note", "happened"]
    assert [list(row.values()) for row in rows] == [
        ["2026-05-09 13:15:00+02:00", "10", "300", "41", "", ""],
        ["2026-05-09 13:55:00+02:00", "50", "305", "72", "", ""],
        ["2026-05-09 14:00:00+02:00", "55", "", "", "", "lid open"],
        ["2026-05-09 14:05:00+02:00", "60", "", "80.5", "", ""],
        ["2026-05-09 14:10:00+02:00", "65", "", "", "'=1+1, really", ""],
    ]


def test_an_exported_table_comes_back_as_the_same_readings(
    terminal: Terminal, tmp_path: Path
) -> None:
    terminal.ok("import", str(DUCK))
    path = tmp_path / "duck.csv"
    assert f"cook 1 is in {path}" in terminal.ok("export", "1", "--csv", str(path)).out
    assert path.read_bytes().startswith("\ufefftime,minute".encode())
    before = terminal.ok("export", "1").out
    again = terminal.ok("import", str(path), "--into", "1").out
    assert "(0 of " in again
    assert terminal.ok("export", "1").out == before
    new = ("--cut", "duck", "--weight", "2.3kg", "--pit", "150", "--target", "74", "--unit", "C")
    terminal.ok("import", str(path), *new, "--again")
    first, second = (terminal.ok("export", number).object for number in ("1", "2"))
    assert second["readings"] == sorted(first["readings"], key=lambda row: row["minute"])


def test_two_targets_of_one_export_are_refused(cooking: Terminal, tmp_path: Path) -> None:
    result = cooking.run("export", "1", "--csv", "-", "-o", str(tmp_path / "x"))
    assert (result.code, "not both" in result.err) == (2, True)
    assert list(tmp_path.glob("x")) == []


def test_a_cook_document_in_a_text_file_is_no_table(terminal: Terminal, tmp_path: Path) -> None:
    path = tmp_path / "duck.txt"
    path.write_bytes(b"\xef\xbb\xbf\n" + DUCK.read_bytes())
    assert "imported as cook 1" in terminal.ok("import", str(path)).out
    missing = terminal.run("import", str(tmp_path / "none.csv"), "--into", "1")
    assert (missing.code, "No such file" in missing.err) == (2, True)
