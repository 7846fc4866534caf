"""A store on a real file, with one invented cook in it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from storage.store import Store, open_store
from tests.storage.samples import GOOSE, NOW


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the data file is going to be."""
    return tmp_path / "data" / "cooks.sqlite3"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    """An open store on a new file."""
    opened = open_store(path, now=NOW)
    yield opened
    opened.close()


@pytest.fixture
def cook_id(store: Store) -> int:
    """A goose on the fire."""
    return store.create_cook(GOOSE)
