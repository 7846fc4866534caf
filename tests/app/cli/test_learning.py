"""Text commands on a data file whose earlier cooks teach."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from app.learned import KIND
from core.units import MassUnit, TemperatureUnit
from storage.store import open_store
from storage.values import NewCook
from tests.app.cli.runs import DUCK, ZONE, Terminal
from tests.app.test_learned import PLAN, SLOW
from tests.core.cooks import made_cook


def slow_ducks(data: Path, count: int) -> None:
    """Own ducks that took long, one a week from New Year on."""
    with_zone = datetime(2026, 1, 3, 12, 0, tzinfo=ZONE)
    store = open_store(data, now=with_zone)
    for week in range(count):
        made = made_cook(PLAN, 74.0, departures=SLOW, seed=week + 1)
        start = with_zone.replace(month=1 + week // 4, day=3 + 7 * (week % 4))
        units = TemperatureUnit.FAHRENHEIT, MassUnit.POUND
        new = NewCook(f"duck {week}", start, *units, PLAN, made.cook.probes)
        cook_id = store.create_cook(new)
        store.add_line(cook_id, text="", typed_at=start, at=start, readings=made.cook.readings)
        store.end_cook(cook_id, start.replace(hour=20))
    store.close()


@pytest.fixture
def household(terminal: Terminal) -> Terminal:
    """Four slow ducks behind, one on the fire."""
    slow_ducks(terminal.data, 4)
    terminal.ok("start", "duck", "--weight", "5lb", "--pit", "310", "--target", "165")
    return terminal


def done_at(terminal: Terminal) -> str:
    (arrival,) = (
        a for a in terminal.ok("status", "--json").object["arrivals"] if a["milestone"] == "target"
    )
    return str(arrival["p50"])


def test_status_uses_what_was_learned_and_says_so(household: Terminal) -> None:
    assert "Forecast sharpened by 4 earlier cooks of yours." in household.ok("status").out
    assert household.ok("status", "--json").object["learned_from"] == [4, 3, 2, 1]
    learned = done_at(household)
    store = open_store(household.data, now=household.now)
    assert len(store.derived.all(KIND)) == 4
    store.settings.set("learning", "off")
    store.close()
    assert "sharpened" not in household.ok("status").out
    assert done_at(household) < learned


def test_hindcast_learns_only_from_the_cooks_before(household: Terminal) -> None:
    def median(*arguments: str) -> float:
        made = household.ok("hindcast", *arguments, "--json", "--at", "0").object["made"]
        return float(next(m["p50"] for m in made if m["milestone"] == "target"))

    assert median("1") == median("1", "--book")
    assert median("4") > median("4", "--book")
    assert "With what 3 cooks of yours before it taught" in household.ok("hindcast", "4").out
    assert "With what 1 cook of yours" in household.ok("hindcast", "2").out
    assert "of yours" not in household.ok("hindcast", "4", "--book").out
    assert "of yours" not in household.ok("hindcast", str(DUCK)).out


def told(terminal: Terminal, *setting: str) -> str:
    """What ``doneby ledger learning`` prints."""
    return terminal.ok("ledger", "learning", *setting).out


def test_what_was_learned_is_told_by_cut(household: Terminal) -> None:
    first, second = told(household).splitlines()
    assert first == "Learning from your own cooks is on."
    assert second.startswith("Your ducks finish ")
    assert "% later than the book (learned from 4 cooks); used from the next cook on." in second
    assert "The next one of 5.1 lb: about 3 h" in second


def test_learning_is_switched_off_and_on(household: Terminal) -> None:
    before = done_at(household)
    assert "is off: forecasts go by the book." in told(household, "off")
    assert "is off" in told(household)
    assert done_at(household) < before
    assert "is on." in told(household, "on")
    assert done_at(household) == before
    wrong = household.run("ledger", "learning", "of")
    assert wrong.code == 2
    assert "found 'of'; allowed are on and off" in wrong.err


def test_a_new_household_is_told_what_learning_takes(terminal: Terminal) -> None:
    assert "Nothing was learned yet" in told(terminal)


def test_the_dayline_counts_on_what_was_learned_and_says_so(household: Terminal) -> None:
    day = ("dayline", "duck", "--weight", "5lb", "--pit", "310", "--target", "165", "--meal",
           "23:00")  # fmt: skip
    learned = household.ok(*day).out
    assert "Your ducks finish" in learned
    assert "(learned from 4 cooks)." in learned
    assert "hams" not in household.ok(*day, "--with", "ham 8lb").out
    told(household, "off")
    book = household.ok(*day).out
    assert "learned from" not in book

    def meat_on(out: str) -> str:
        return next(line for line in out.splitlines() if "meat on" in line)

    assert meat_on(learned)[:5] < meat_on(book)[:5]
