"""A stage for each journey."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journeys.stage import Stage


@pytest.fixture
def stage(tmp_path: Path) -> Iterator[Stage]:
    """A fresh data file and a clock that stands at noon."""
    stage = Stage(tmp_path / "doneby.db")
    yield stage
    stage.close()
