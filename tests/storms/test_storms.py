"""The storms, short in every run and long on demand: ``pytest -m long -s tests/storms``."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

from tests.storms.kills import STORMS

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL")


@pytest.mark.parametrize("name", STORMS)
def test_a_short_storm(tmp_path: Path, name: str) -> None:
    storm, short, _ = STORMS[name]
    tally = storm(tmp_path, short, random.Random(name))
    assert tally.kills + tally.late + tally.acknowledged > 0


@pytest.mark.long
@pytest.mark.parametrize("name", STORMS)
def test_a_long_storm(tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    storm, _, long = STORMS[name]
    tally = storm(tmp_path, long, random.Random(f"long {name}"))
    with capsys.disabled():
        print(f"\n{name}: {tally}")
