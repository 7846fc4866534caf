"""The fire, the levers and the finish as text and as objects: from the lid to the leftovers."""

from __future__ import annotations

from tests.app.cli.runs import Terminal


def test_status_tells_of_the_fire_and_the_tables(cooking: Terminal) -> None:
    cooking.ok("say", "coals 12 briquettes")
    cooking.after(5).ok("say", "lid")
    text = cooking.after(5).ok("status").out
    fire = next(line for line in text.splitlines() if line.startswith("The fire so far."))
    for words in ("Inside the band: 40 min of 40 min (100 %)", "Fuel: 13:55 12 briquettes",
                  "Lid: opened once", "If nothing is done: "):  # fmt: skip
        assert words in fire
    tables = next(line for line in text.splitlines() if line.startswith("Published tables."))
    assert "Published minimum: 165 °F for all poultry" in tables
    assert "7-log time not begun" in tables
    assert "50 to 130 °F: " in tables
    told = cooking.ok("status", "--json").object
    assert told["phase"] == "cooking"
    assert told["fire_log"]["fuel"][0]["amount"] == 12.0
    assert told["fire_log"]["lid_openings"] == 1
    assert told["tables"][0]["minimum"] == 165.0
    assert told["spots"] is None


def test_levers_as_a_table_and_as_an_object(cooking: Terminal) -> None:
    rows = cooking.after(5).ok("levers").out.splitlines()
    assert rows[0] == "  LEVERS  for the 17:30 meal, 15 min rest before it"
    first = [row.split("  ")[1].strip() for row in rows if row[2:3].isalpha()]
    for words in ("as it is", "wrap in foil now", "eat at 17:50"):
        assert words in first
    told = cooking.ok("levers", "--json").object
    chances = {lever["what"]: lever["chance"] for lever in told["levers"]}
    assert chances["eat_later"] >= chances["as_it_is"]
    assert told["unit"] == "F"
    assert all(0.0 <= chance <= 1.0 for chance in chances.values())


def test_levers_say_why_there_are_none(terminal: Terminal, cooking: Terminal) -> None:
    cooking.ok("say", "plan meal none")
    refused = cooking.run("levers")
    assert refused.code == 2
    assert "no meal time is planned" in refused.err
    cooking.ok("say", "--yes", "pull")
    assert "off the fire" in cooking.run("levers").err
    cooking.ok("say", "end")
    assert "no cook is in hand" in cooking.run("levers").err


def test_the_finish_from_spots_to_leftovers(cooking: Terminal) -> None:
    cooking.after(120).ok("say", "--yes", "305 166")
    assert "Check several spots (innermost thigh" in cooking.after(1).ok("status").out
    saved = cooking.ok("say", "spot thigh 168 breast 163").out
    assert "thigh 168 °F, breast 163 °F" in saved
    assert "(lowest breast 163 °F, spread 5 °F)" in saved
    done = cooking.ok("status").out.splitlines()[1]
    assert done.startswith("Done (soon): 15:56, not yet: breast 2 °F below target.")
    assert "Lowest breast 163 °F, spread 5 °F, checked 15:56." in done
    cooking.after(20).ok("say", "--yes", "spot thigh 172, breast 167, wing 175")
    assert "lowest of 3 spots at target" in cooking.ok("status").out
    found = cooking.ok("status", "--json").object["spots"]
    assert (found["lowest"], found["spread"], found["missing"]) == (167.0, 8.0, 0)

    cooking.ok("say", "pull")
    text = cooking.after(2).ok("status").out
    assert "Carve: 16:31, in 13 min" in text
    assert "Meat: " in text
    assert cooking.ok("status", "--json").object["phase"] == "resting"
    cooking.after(40)
    text = cooking.ok("status").out
    assert "Serve: 17:30, meal in 32 min" in text
    assert cooking.ok("status", "--json").object["phase"] == "held"

    cooking.after(30).ok("say", "serve")
    text = cooking.after(30).ok("status").out
    assert text.startswith("No cook is in hand.")
    assert "Leftovers: 19:28, in 1 h 30 min." in text
    assert "by 18:28 where it is warmer than 90 °F" in text.replace("By", "by")
    left = cooking.ok("status", "--json").object
    assert left["cook"] is None
    assert left["leftovers"]["by"].endswith("T19:28:00+02:00")
    cooking.ok("say", "away")
    assert "Put away 17:58" in cooking.ok("status").out


def test_an_early_pull_can_be_asked_for_from_the_start(terminal: Terminal) -> None:
    terminal.ok("start", "leg_of_lamb", "--weight", "5lb", "--pit", "300f", "--pull", "early")
    terminal.after(20).ok("say", "300 60")
    text = terminal.ok("status").out
    assert text.splitlines()[1].startswith("Pull: ")
    assert "the rest carries it to" in text
    assert "Pulled early: leave the probe in" in text
    terminal.ok("say", "plan pull target")
    assert terminal.ok("status").out.splitlines()[1].startswith("Done: ")
