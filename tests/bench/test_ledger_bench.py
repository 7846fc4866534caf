"""How quick the Ledger is with 2,000 cooks. Figures, no pass or fail.

Goals for reading the figures: first rows under 300 ms from the key, a letter of the search or
another order under 100 ms. As a plain test it runs with a few cooks only.
"""

from __future__ import annotations

import asyncio
import time
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from app.ledger import KIND, Kept, encode, entries
from app.presenters.ledger import Column, Rows, haystack, headings, matches, ordered
from app.samples import sample_files
from app.screens.ledger import LedgerScreen
from app.widgets.ledger_table import LedgerTable
from storage.documents import read_document
from storage.store import Store, open_store
from tests.journeys.acting import settle
from tests.journeys.stage import NOON, Stage

MANY, FEW = 2000, 24
KEPT = Kept(
    took_s=12000.0, planned_s=12600.0, expected_s=11000.0, half_miss_s=-500.0, pit_c=150.0,
    in_band=0.8, fire_s=900.0, stall_s=-300.0, piece_s=60.0, words="10 briquettes / apple",
)  # fmt: skip


def filled(store: Store, count: int) -> None:
    """So many finished cooks with their figures, a day apart."""
    documents = [read_document(path) for path in sample_files().values()]
    made = []
    for number in range(count):
        document = documents[number % len(documents)]
        # another title is another cook, and the start keeps them apart
        start = document.started_at - timedelta(days=number)
        serve = document.serve_at and document.serve_at - timedelta(days=number)
        made.append(
            replace(document, title=f"{document.title} {number}", started_at=start, serve_at=serve)
        )
    for document in made:
        store.import_document(document)
    for summary in store.cooks():
        store.derived.put(summary.id, KIND, summary.stamp, encode(KEPT))


@pytest.fixture(scope="module")
def many(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data file with many cooks; with few where nothing is measured."""
    count = MANY if request.config.getoption("benchmark_enable") else FEW
    path = tmp_path_factory.mktemp("many") / "cooks.sqlite3"
    store = open_store(path, now=NOON)
    filled(store, count)
    store.close()
    return path


def test_reading_the_list(benchmark: BenchmarkFixture, many: Path) -> None:
    store = open_store(many, now=NOON)
    found = benchmark(entries, store)
    store.close()
    assert all(entry.kept == KEPT for entry in found)


def test_search_and_order(benchmark: BenchmarkFixture, many: Path) -> None:
    store = open_store(many, now=NOON)
    found = entries(store)
    store.close()
    from tests.app.presenters.test_ledger import DISPLAY

    hay = {entry.summary.id: haystack(entry, DISPLAY) for entry in found}

    def search() -> int:
        left = [entry for entry in found if matches(hay[entry.summary.id], "duck apple")]
        rows = Rows(ordered(left, Column.LATE), headings(197), DISPLAY)
        return len([rows[i] for i in range(min(len(rows), 46))])

    assert benchmark(search) > 0


@pytest.mark.parametrize("size", [(80, 24), (200, 50)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_from_the_key_to_the_first_rows(
    benchmark: BenchmarkFixture, many: Path, size: tuple[int, int]
) -> None:
    """Opens the screen, waits until the rows are painted, moves, searches."""
    spent: dict[str, list[float]] = {"first rows": [], "one letter": [], "one step": []}

    async def once() -> None:
        stage = Stage(many)
        async with stage.app().run_test(size=size) as pilot:
            await settle(pilot)
            begun = time.perf_counter()
            screen = LedgerScreen(stage.kit)
            await pilot.app.push_screen(screen)
            await pilot.pause()
            spent["first rows"].append(time.perf_counter() - begun)
            assert len(screen.query_one(LedgerTable).rows or ()) >= FEW
            for name, key in (("one letter", "slash"), ("one letter", "d"), ("one step", "down")):
                begun = time.perf_counter()
                await pilot.press(key)
                if key != "slash":
                    spent[name].append(time.perf_counter() - begun)
        stage.close()

    benchmark.pedantic(lambda: asyncio.run(once()), rounds=3 if benchmark.enabled else 1)
    benchmark.extra_info.update(
        {f"{name}, s": round(min(values), 3) for name, values in spent.items()}
    )
