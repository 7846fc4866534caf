"""Every input that once found something, the seeds, and some new ones each time.

The long search is ``python -m tests.fuzz TARGET``; DEVELOPERS.md says how often it ran.
"""

from __future__ import annotations

import importlib.util
import os
import random
import subprocess
import sys
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.mutate import mutations
from tests.fuzz.seeds import CORPUS, seeds, words
from tests.fuzz.targets import TARGETS, Finding, line

LONG = {"line": 600_000, "document": 100_000, "values": 150_000, "table": 150_000,
        "options": 10_000}  # fmt: skip
QUICK = tuple(name for name in TARGETS if name != "options")
SOUP = st.lists(st.sampled_from(words()) | st.text(max_size=5), max_size=8)


@pytest.fixture(autouse=True)
def same_folder() -> Iterator[None]:
    """The target of the options works in a folder of its own; come back from there."""
    before = Path.cwd()
    yield
    os.chdir(before)


@pytest.mark.parametrize("target", TARGETS)
def test_what_is_known_breaks_no_promise(target: str) -> None:
    for data in seeds(target):
        TARGETS[target](data)


@pytest.mark.parametrize("target", QUICK)
@settings(max_examples=400, deadline=None)
@given(data=st.binary(max_size=60))
def test_any_bytes_break_no_promise(target: str, data: bytes) -> None:
    TARGETS[target](data)


@settings(max_examples=800, deadline=None)
@given(scene=st.integers(0, 255), soup=SOUP)
def test_any_words_break_no_promise(scene: int, soup: list[str]) -> None:
    line(bytes([scene]) + " ".join(soup).encode("utf-8", "surrogatepass"))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(soup=SOUP)
def test_any_options_break_no_promise(soup: list[str]) -> None:
    TARGETS["options"]("\n".join(soup).encode("utf-8", "surrogatepass"))


@pytest.mark.parametrize("target", TARGETS)
def test_known_inputs_torn_apart_break_no_promise(target: str) -> None:
    count = 30 if target == "options" else 1500
    for data in islice(mutations(random.Random(target), seeds(target), words()), count):
        TARGETS[target](data)


@pytest.mark.long
@pytest.mark.parametrize("target", TARGETS)
def test_a_long_search(target: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A million inputs in all; guided by coverage where the fuzzer is installed."""
    runs = LONG[target]
    if importlib.util.find_spec("atheris") is not None:
        command = [sys.executable, "-m", "tests.fuzz", target, "--runs", str(runs), "--findings",
                   str(tmp_path)]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr[-3000:]
        guided = "guided by coverage"
    else:
        for data in islice(mutations(random.Random(), seeds(target), words()), runs):
            TARGETS[target](data)
        guided = "without guidance"
    with capsys.disabled():
        print(f"\n{target}: {runs:,} inputs, {guided}")


def test_the_targets_can_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    """A desk that raises, and one that saves what its preview refused, are both findings."""
    from app.desk import Desk

    monkeypatch.setattr(Desk, "preview", lambda *_: (_ for _ in ()).throw(ValueError("broken")))
    with pytest.raises(ValueError, match="broken"):
        line(b"\0305")
    monkeypatch.undo()
    monkeypatch.setattr("tests.fuzz.targets.HANG_S", -1.0)
    with pytest.raises(Finding, match="took"):
        line(b"\0305")


def test_kept_inputs_belong_to_a_target() -> None:
    assert {folder.name for folder in CORPUS.iterdir()} <= set(TARGETS)
