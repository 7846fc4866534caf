"""Text that would act on a terminal or on markup: shown inert wherever it comes out again."""

from __future__ import annotations

import json
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.app.cli.runs import Terminal as User
from tests.journeys.test_terminal import Terminal, start

HOSTILE = {
    "clear": "\x1b[2J\x1b[3J",
    "title": "\x1b]0;pwned\x07",
    "clipboard": "\x1b]52;c;cHduZWQ=\x07",
    "answer": "\x1b[6n\x1b[>c",
    "eight bit": "\x9b31m\x9d0;pwned\x9c",
    "backspace": "safe\x08\x08\x08\x08\r\x7f",
    "bell and form feed": "\x07\x0b\x0c",
    "bidi": "\u202eevil\u202c \u2066x\u2069 \u200f",
    "line ends": "one\ntwo\r\nthree\u2028four\x85five",
    "zero": "a\x00b",
    "tags": "\U000e0041\U000e0042\ufeff\u00ad",
}
ACTS = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1a\x1c-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\u200f\u2028]"
)
"""What must not reach a terminal; ESC, line ends and tabs are looked at apart."""
MARKUP = "[red]no[/red] [@click=app.quit]x[/] [/b] [link=x]"
QUIET = (
    "import sys; from pathlib import Path; from app.tui import run; "
    "sys.exit(run(Path(sys.argv[1]), quiet=True))"
)
"""The screens without a bell, so that any bell is one of the text."""
CSI = re.compile(rb"\x1b(\[[0-9;?<=>$]*[a-zA-Z~]|\][^\x07\x1b]*(\x07|\x1b\\)|[()][A-Z0-9]|[=>])")
"""Sequences that a program for terminals sends; ours are of these forms."""


def document(title: str, note: str, started: str, *, served: bool) -> str:
    """An invented cook that carries those texts."""
    events = [{"minute": 5, "kind": "note", "note": note},
              {"minute": 6, "kind": "spot_check", "note": note}]  # fmt: skip
    if served:
        events.append({"minute": 150, "kind": "served", "note": note})
    return json.dumps({
        "format": 1, "title": title, "started_at": started, "unit": "C",
        "plan": {"cut": "duck", "mass_kg": 2.3, "pit": 150},
        "probes": [{"name": "breast", "start": 5, "target": 74}],
        "readings": [{"minute": 10 * n, "pit": 150, "breast": 5 + 5 * n} for n in range(8)],
        "events": events,
    })  # fmt: skip


@pytest.fixture
def user(tmp_path: Path) -> User:
    return User(tmp_path / "cooks.sqlite3")


def bring_in(user: User, title: str, note: str, name: str = "x.json", *, served: bool) -> None:
    path = user.data.with_name(name)
    started = "2026-05-09T11:00:00+02:00" if not served else "2026-05-08T11:00:00+02:00"
    path.write_text(document(title, note, started, served=served), encoding="utf-8")
    user.ok("import", str(path))


def test_text_commands_show_it_inert(user: User) -> None:
    text = " ".join(HOSTILE.values())
    bring_in(user, f"a {text} b", f"c {text} d", served=True)
    bring_in(user, f"e {text} f", f"g {text} h", "y.json", served=False)
    user.run("say", "--yes", "150 60")
    for words in (("status",), ("status", "--json"), ("ledger",), ("ledger", "--json"),
                  ("hindcast", "1", "--at", "30"), ("hindcast", "1", "--at", "30", "--json"),
                  ("doctor",), ("say", "undo"), ("say", "end"), ("say", "reopen")):  # fmt: skip
        result = user.run(*words)
        assert result.code == 0, (words, result.err)
        assert not ACTS.search(result.out + result.err), (words, result.out)
        assert "\x1b" not in result.out + result.err, words


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_typed_line_with_it_is_refused(user: User, kind: str) -> None:
    user.ok("start", "duck", "--weight", "2.3kg")
    result = user.run("say", f"note {HOSTILE[kind].strip()}!")
    assert result.code == 2 and "Nothing was saved" in result.err
    assert not ACTS.search(result.err) and "\x1b" not in result.err


def test_a_note_of_a_megabyte_is_kept_whole_and_shown_in_part(user: User) -> None:
    note = "wind and rain " * 75_000
    bring_in(user, "x" * 100_000, note, served=False)
    begun = time.process_time()
    assert len(user.ok("status").out) < 20_000
    assert len(user.ok("ledger").out) < 200_000
    assert time.process_time() - begun < 5.0
    exported = json.loads(user.ok("export", "1").out)
    assert [event["note"] for event in exported["events"]] == [note, note]
    result = user.run("say", f"note {note}")
    assert result.code == 2 and len(result.err) < 400


@pytest.fixture
def terminals() -> Iterator[list[Terminal]]:
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


def shown(terminal: Terminal) -> str:
    """What was written between the sequences that the program itself sends."""
    return CSI.sub(b"", terminal.output).decode("utf-8", "surrogateescape")


KEYS = {"F2": "\x1bOQ", "F3": "\x1bOR", "F5": "\x1b[15~", "F6": "\x1b[17~", "F7": "\x1b[18~",
        "Enter": "\r", "Esc": "\x1b", "Down": "\x1b[B", "F1": "\x1bOP"}  # fmt: skip


@pytest.mark.skipif(os.name != "posix", reason="a pseudo-terminal")
@pytest.mark.parametrize("kind", ["all of them", "markup", "a megabyte"])
def test_the_screens_show_it_inert(user: User, terminals: list[Terminal], kind: str) -> None:
    text = {"all of them": " ".join(HOSTILE.values()), "markup": MARKUP,
            "a megabyte": "wind " * 200_000}[kind]  # fmt: skip
    bring_in(user, f"first {text}", f"note {text}", served=True)
    bring_in(user, f"second {text}", f"note {text}", "y.json", served=False)
    terminal = start(user.data, QUIET)
    terminals.append(terminal)
    terminal.wait_for(b"NEXT LOOK")
    terminal.read(0.5)
    for key in ("F2", "Down", "Esc", "F5", "F5", "F6", "Esc", "F7", "F1", "Esc", "F3", "Down",
                "Enter", "Down", "Esc", "Esc"):  # fmt: skip
        terminal.write(KEYS[key])
        terminal.read(0.15)
    assert terminal.process.poll() is None, shown(terminal)[-800:]
    terminal.write("\x11")
    assert terminal.finish() == 0, shown(terminal)[-800:]
    words = shown(terminal)
    assert not ACTS.search(words), ACTS.findall(words)
    assert "\x1b" not in words, repr(words[words.index("\x1b") :][:80])
    assert "pwned\x07" not in terminal.output.decode("utf-8", "replace")
    if kind == "markup":
        assert "[red]no[/red]" in words, "markup is text"
