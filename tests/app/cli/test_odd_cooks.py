"""Cooks that are no everyday ones: without a probe, never ended, or not in order."""

from __future__ import annotations

import json
from pathlib import Path

from tests.app.cli.runs import Terminal

NO_PROBE = {
    "format": 1, "started_at": "2026-05-09T12:30:00+02:00", "unit": "F",
    "plan": {"cut": "duck", "mass_kg": 2.3, "pit": 300},
    "readings": [{"minute": 10, "pit": 280}, {"minute": 34}],
}  # fmt: skip


def test_a_cook_without_a_probe_is_a_log_of_the_fire(terminal: Terminal, tmp_path: Path) -> None:
    path = tmp_path / "fire.json"
    path.write_text(json.dumps(NO_PROBE))
    assert terminal.ok("hindcast", str(path), "--json").object == {"cook": str(path), "made": []}
    assert terminal.ok("hindcast", str(path), "--json", "--at", "15").object["made"] == []
    assert "nothing to forecast" in terminal.ok("hindcast", str(path)).out
    terminal.ok("import", str(path))
    status = terminal.ok("status")
    assert status.out.startswith("duck 5.1 lb, pit 300 °F")
    assert "Done: No probe in the meat." in status.out
    assert "forecast" not in status.out
    assert "1 min ago, nothing read." in status.out
    assert terminal.ok("status", "--json").object["answers"]["done"]["clock"] == "--:--"


def test_a_cook_that_was_never_ended_keeps_its_forecast(cooking: Terminal) -> None:
    def target(days: float) -> str:
        found = cooking.after(60 * 24 * days).ok("status", "--json").object
        assert found["answers"]["done"]["to_go"].startswith("probably passed")
        assert "not believed" not in found["story"].lower()
        (middle,) = (a["p50"] for a in found["arrivals"] if a["milestone"] == "target")
        return str(middle)

    # nothing was read since, so the arrival is the same however long it was left
    assert target(5) == target(200)


def test_status_names_the_cut_once(terminal: Terminal) -> None:
    terminal.ok("start", "duck", "--weight", "5lb", "--pit", "300f")
    first = terminal.ok("status").out.splitlines()[0]
    assert first.count("duck") == 1
    assert ": 5 lb, pit 300 °F, meat on since" in first


def test_a_note_that_ends_with_a_full_stop_is_said_without_it(cooking: Terminal) -> None:
    assert "note: wind got up, at 13:55" in cooking.ok("say", "note wind got up.").out
    assert cooking.ok("export", "1").out.count("wind got up.") == 1


def test_a_bad_file_is_named_with_its_place(terminal: Terminal, tmp_path: Path) -> None:
    path = tmp_path / "bad.json"
    path.write_text(json.dumps(NO_PROBE).replace("2.3", "NaN"))
    for command in ("hindcast", "import"):
        result = terminal.run(command, str(path))
        assert (result.code, result.out) == (2, "")
        assert f"{path}: plan.mass_kg: found NaN; allowed is a number" in result.err
        assert ("nothing was imported" in result.err) == (command == "import")
