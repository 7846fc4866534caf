"""The tree as a whole: what no file may say, what no room may load, and that samples load."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from core.cook import Cook
from core.forecast import forecast
from storage.documents import parse_document

ROOT = Path(__file__).resolve().parent.parent
PLACES = ("README.md", "DEVELOPERS.md", "pyproject.toml", ".gitignore", ".ci", "app", "core",
          "storage", "tests", "sample_sessions")  # fmt: skip
TEXT = {"", ".py", ".md", ".toml", ".tcss", ".mako", ".json", ".csv", ".sql", ".txt", ".svg"}

# Spelled in two parts, or this file would find itself.
FORBIDDEN = tuple(
    re.compile(first + second, re.IGNORECASE)
    for first, second in (
        (r"(?<![\w.])/", r"work/"),
        (r"(?<![\w.])/", r"root/"),
        (r"(?<![\w.])/", r"tmp/"),
        (r"/home/", r"\w"),
        (r"\bpy", r"pi\.org"),
        (r"\bpython", r"hosted\."),
        (r"\bnpm", r"js\."),
        (r"\bcdn", r"js\."),
        (r"\bseed ", r"document"),
        (r"\bissues? #", r"?\d"),
    )
)
DASH, EMOJI = "\u2014", re.compile("[\U0001f000-\U0001faff\u2705\u274c\u2b50]")


def text_files() -> Iterator[Path]:
    """Every text file that belongs to the program."""
    for place in PLACES:
        path = ROOT / place
        found = sorted(path.rglob("*")) if path.is_dir() else [path]
        yield from (
            file
            for file in found
            if file.is_file() and file.suffix in TEXT and "__pycache__" not in file.parts
        )


def found_in(text: str) -> list[str]:
    """What `text` must not say."""
    return [match.group() for pattern in FORBIDDEN if (match := pattern.search(text))]


def test_the_search_finds_what_it_is_for() -> None:
    for line in (
        "see /" + "work/main/x",
        "'/" + "tmp/x.db'",
        "from py" + "pi.org",
        "issue " + "12",
    ):
        assert found_in(line), line
    assert not found_in("a/work/b, sample/tmp.db, the work of 12 people, an issue with 3 parts")


def test_no_file_speaks_of_the_machine_it_was_made_on() -> None:
    assert {str(file.relative_to(ROOT)): said for file in text_files()
            if (said := found_in(file.read_text(encoding="utf-8")))} == {}  # fmt: skip


def test_texts_keep_to_plain_signs() -> None:
    odd = []
    for file in text_files():
        if file.suffix in (".py", ".md", ".json", ".tcss"):
            text = file.read_text(encoding="utf-8")
            if DASH in text or EMOJI.search(text):
                odd.append(str(file.relative_to(ROOT)))
    assert odd == []


def test_every_sample_loads_says_that_it_is_invented_and_forecasts() -> None:
    samples = sorted((ROOT / "sample_sessions").glob("*.json"))
    assert len(samples) >= 5
    for file in samples:
        document = parse_document(file.read_text(encoding="utf-8"), file.name)
        assert "invented" in document.title, file.name
        cook = Cook(document.plan, document.probes, document.readings, document.events)
        made = forecast(cook, 1800.0, explain=False)
        assert made.finish.quantile_s(0.5) is not None, file.name


@pytest.mark.parametrize(
    ("module", "unwanted"),
    [
        ("core.forecast", "textual rich sqlalchemy alembic sqlite3 platformdirs scipy matplotlib"),
        ("storage.store", "textual rich numpy scipy alembic matplotlib"),
        ("app.cli.main", "textual rich numpy scipy sqlalchemy alembic matplotlib"),
        ("app.presenters.status", "textual rich sqlalchemy alembic scipy matplotlib"),
        ("app.tui", "scipy alembic matplotlib"),
    ],
)
def test_no_room_loads_what_it_has_no_business_with(module: str, unwanted: str) -> None:
    code = f"import sys, {module}; print(*[m for m in {unwanted.split()} if m in sys.modules])"
    result = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60,
        check=True,
    )  # fmt: skip
    assert result.stdout.strip() == ""
