"""``doneby ledger``: the list, one cook, several side by side, and what can be done with them."""

from __future__ import annotations

import pytest

from tests.app.cli.runs import SAMPLES, Terminal

NAMES = ("duck-autumn-afternoon", "leg-of-lamb-spring", "salmon-side-evening")


@pytest.fixture
def ledger(terminal: Terminal) -> Terminal:
    """Three finished cooks; their numbers are 1, 2 and 3."""
    terminal.ok("import", *(str(SAMPLES / f"{name}.json") for name in NAMES))
    return terminal


def _numbers(out: str) -> list[str]:
    return [line.split()[0] for line in out.splitlines()[1:] if line[:1].isdigit()]


def test_the_list_shows_plan_and_truth(ledger: Terminal) -> None:
    out = ledger.ok("ledger").out
    heads = out.splitlines()[0]
    for word in ("meat on", "cut", "pit", "plan", "took", "against plan", "said at half", "of 5"):
        assert word in heads
    assert _numbers(out) == ["1", "3", "2"], "newest first"
    duck = next(line for line in out.splitlines() if "duck" in line)
    # the sample: meal 3 h 35 min after meat-on, 15 min of rest; pulled at minute 193
    assert " 3:20 " in duck and " 3:13 " in duck and " 7 early" in duck


def test_filter_search_and_order(ledger: Terminal) -> None:
    assert _numbers(ledger.ok("ledger", "--cut", "duck").out) == ["1"]
    assert _numbers(ledger.ok("ledger", "--cut", "leg of lamb").out) == ["2"]
    assert _numbers(ledger.ok("ledger", "--search", "quince OCTOBER").out) == ["1"]
    assert _numbers(ledger.ok("ledger", "--sort", "took").out) == ["3", "2", "1"]
    assert _numbers(ledger.ok("ledger", "--sort", "took", "--turn").out) == ["1", "2", "3"]
    assert "None of 3 cooks matches" in ledger.ok("ledger", "--search", "zebra").out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--sort", "taste"), "allowed are date"),
        (("--cut", "zebra"), "allowed are pork_shoulder"),
        (("zebra",), "allowed is a cook's number"),
        (("compare", "1"), "found 1 different cooks; allowed are 2 to 4"),
        (("compare", "1", "1"), "found 1 different cooks"),
        (("compare", "1", "9"), "9"),
        (("compare", "1", "x"), "x"),
        (("99",), "99"),
        (("outcome", "1", "--tender", "6"), "allowed are 1 (poor) to 5"),
        (("outcome", "1", "2"), "allowed is nothing"),
        (("say", "1"), "found no line"),
        (("bin", "99"), "99"),
    ],
)
def test_bad_words_say_what_is_allowed(
    ledger: Terminal, arguments: tuple[str, ...], words: str
) -> None:
    result = ledger.run("ledger", *arguments)
    assert result.code == 2
    assert words in result.err


def test_figures_are_worked_out_once(ledger: Terminal, monkeypatch: pytest.MonkeyPatch) -> None:
    from app.cli import ledger as module

    first = ledger.ok("ledger").out

    def fail(*_: object, **__: object) -> None:
        raise AssertionError("worked out again")

    monkeypatch.setattr(module, "work_out", fail)
    assert ledger.ok("ledger").out == first


def test_many_missing_figures_are_left_until_they_are_asked_for(
    ledger: Terminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    from app.cli import ledger as module

    monkeypatch.setattr(module, "WORKED_OUT_MOST", 1)
    out = ledger.ok("ledger").out
    assert "2 cooks have no figures yet; --all works them out." in out
    assert "no figures" not in ledger.ok("ledger", "--all").out


def test_a_corrected_line_is_worked_out_anew(ledger: Terminal) -> None:
    before = ledger.ok("ledger", "--json").object["cooks"][0]["figures"]
    assert "corrected #5" in ledger.ok("ledger", "say", "1", "fix #5 100 -").out
    after = ledger.ok("ledger", "--json").object["cooks"][0]["figures"]
    assert before["pit_c"] > after["pit_c"] + 1.0


def test_one_cook_tells_why(ledger: Terminal) -> None:
    out = ledger.ok("ledger", "1").out
    for words in (
        "A duck on an autumn afternoon (invented)", "Off the heat 7 min sooner than the plan.",
        "What held it back", "The pit", "in its band", "min per kg in an oven at 177 °C to 74 °C",
        "foodsafety.gov", "How the forecast moved", "made at",
    ):  # fmt: skip
        assert words in out, words
    figures = ledger.ok("ledger", "#1", "--json").object["figures"]
    assert figures["took_s"] == pytest.approx(193 * 60.0, abs=60.0)
    assert figures["pit"]["openings"] >= 1


def test_a_cook_in_hand_is_not_looked_back_at(cooking: Terminal) -> None:
    result = cooking.run("ledger", "1")
    assert result.code == 2 and "doneby status" in result.err
    assert "in hand" in cooking.ok("ledger").out
    assert cooking.run("ledger", "bin", "1").code == 2


def test_cooks_side_by_side(ledger: Terminal) -> None:
    out = ledger.ok("ledger", "compare", "1", "2", "3").out
    for words in (
        "A  #1 A duck", "B  #2", "C  #3", "B was done", "C was done", "not explained",
        "really later", "What each had", "duck 5.1 lb", "In brackets: 8 of 10",
    ):  # fmt: skip
        assert words in out, words
    found = ledger.ok("ledger", "compare", "1", "2", "--json").object
    (other,) = found["others"]
    parts = sum(effect["mean_s"] for effect in other["effects"])
    total = parts + other["together_s"] + other["unexplained_s"]
    assert total == pytest.approx(other["real_s"], abs=1e-6)


def test_scores_and_words_are_kept_and_changed_one_by_one(ledger: Terminal) -> None:
    assert "nothing was said" in ledger.ok("ledger", "outcome", "1").out
    out = ledger.ok(
        "ledger", "outcome", "1", "--tender", "4", "--skin", "5", "--words", "Crackled.",
        "--change", "less smoke", "--wood", "apple",
    ).out  # fmt: skip
    assert "saved:" in out and "tender 4, skin or bark 5" in out and "less smoke" in out
    assert "tender 2, skin or bark 5" in ledger.ok("ledger", "outcome", "1", "--tender", "2").out
    assert "of 5          skin or bark 5" in (
        ledger.ok("ledger", "outcome", "1", "--tender", "none").out
    )
    assert " 5.0 " in next(x for x in ledger.ok("ledger").out.splitlines() if "duck" in x)
    assert _numbers(ledger.ok("ledger", "--search", "crackled").out) == ["1"]


def test_the_bin_and_back(ledger: Terminal) -> None:
    assert "takes it back" in ledger.ok("ledger", "bin", "1").out
    assert _numbers(ledger.ok("ledger").out) == ["3", "2"]
    assert _numbers(ledger.ok("ledger", "--bin").out) == ["1"]
    assert "back in the list" in ledger.ok("ledger", "unbin", "1").out
    assert "The bin is empty." in ledger.ok("ledger", "--bin").out
    assert _numbers(ledger.ok("ledger").out) == ["1", "3", "2"]
