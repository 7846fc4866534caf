"""Speed of the whole table of levers on a long cook: half a second is wanted."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from core.cook import Plan
from core.levers import levers
from tests.core.cooks import made_cook


def test_table_of_a_long_cook(benchmark: Any) -> None:
    made = made_cook(Plan("pork_shoulder", 3.5, 120.0, serve_s=15 * 3600.0), 92.0)
    cook = replace(made.cook, plan=replace(made.cook.plan, serve_s=made.finish_s + 3600.0))
    table = benchmark.pedantic(levers, args=(cook, 0.6 * made.finish_s), rounds=3, warmup_rounds=1)
    assert len(table.levers) >= 5
