"""``doneby brine``: strength at once, a list of one's own, copies that stay with the cook."""

from __future__ import annotations

import pytest

from storage.store import open_store
from tests.app.cli.runs import Terminal

BRINE = ("brine", "240 g salt", "2 tbsp brown sugar", "4 l water", "--mass-unit", "kg")


def test_strength_place_and_time(terminal: Terminal) -> None:
    out = terminal.ok(*BRINE, "--weight", "2kg", "--cut", "whole_chicken").out
    assert "strength: 5.7 % salt by weight" in out
    assert "within the usual 4.8 to 6 %" in out
    assert "appliance manual" in out
    assert "Never use a brine again" in out


def test_a_mix_is_kept_used_scaled_and_deleted(terminal: Terminal) -> None:
    terminal.ok(*BRINE, "--weight", "2kg", "--save", "Garden brine")
    assert "Garden brine  brine  for 4.4 lb" in terminal.ok("brine", "--list").out
    twice = terminal.ok("brine", "--use", "garden BRINE", "--weight", "4kg").out
    assert "  480 g salt" in twice and "  8 l water" in twice and "5.7 % salt" in twice
    more = terminal.ok("brine", "--use", "garden brine", "3 bay leaves", "--save", "Bay brine").out
    assert "  3 bay leaves" in more and "  240 g salt" in more
    assert "deleted" in terminal.ok("brine", "--delete", "garden brine").out
    assert "Garden" not in terminal.ok("brine", "--list").out
    refused = terminal.run("brine", "--use", "garden brine")
    assert refused.code == 2 and "'Bay brine'" in refused.err


def test_a_copy_stays_with_the_cook(cooking: Terminal) -> None:
    cooking.ok(*BRINE, "--weight", "2kg", "--save", "Duck brine", "--keep")
    cooking.ok("brine", "--delete", "duck brine")
    assert "With the cook 'An invented duck':\nDuck brine" in cooking.ok("brine", "--list").out
    store = open_store(cooking.data, now=cooking.now)
    (kept,) = store.mixes.of_cook(1)
    store.close()
    assert (kept.name, kept.kind, kept.lines[0]) == ("Duck brine", "brine", "240 g salt")
    assert kept.meat_kg == 2.0


def test_json(terminal: Terminal) -> None:
    found = terminal.ok(*BRINE, "--json", "--save", "x").object
    assert found["kind"] == "brine"
    assert found["lines"][0] == "240 g salt"
    assert {fact["label"] for fact in found["facts"]} >= {"strength", "which is", "sugar"}


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("brine",), "no ingredients"),
        (("brine", "240 salt"), "without a unit"),
        (("brine", "1,000 g salt", "4 l water"), "not 1,000"),
        (("brine", "60 g salt", "1 l water", "--scale", "3kg"), "--weight"),
        (("brine", "60 g salt", "1 l water", "--keep"), "no cook is in hand"),
        (("brine", "60 g salt", "1 l water", "--cut", "unicorn"), "not known"),
        (("brine", "60 g salt", "1 l water", "--weight", "heavy"), "a weight is"),
        (("brine", "--use", "nothing"), "no mix is called"),
        (("brine", "--delete", "nothing"), "no mix is called"),
    ],
)
def test_what_cannot_be_done_is_refused(
    terminal: Terminal, arguments: tuple[str, ...], words: str
) -> None:
    result = terminal.run(*arguments)
    assert result.code == 2
    assert words in result.err
