"""Cooks that are no everyday ones, looked back at and compared: words or a reason."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest

from app.compare import compare_cooks
from app.display import Display
from app.ledger import decode, encode, work_out
from app.presenters.compare import differences, legend, minutes, sentences, table_text
from app.presenters.compare_chart import present_overlay
from app.presenters.hindcast_chart import present_revisions
from app.presenters.raster import rasterise
from app.presenters.review import review_sections, section_lines, sentence_of
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading, Shape
from core.review import figures, revisions
from core.units import MassUnit, TemperatureUnit
from storage.values import SavedCook

START = datetime(2026, 3, 14, 15, 20, tzinfo=UTC)
DISPLAY = Display(TemperatureUnit.FAHRENHEIT, MassUnit.POUND, UTC)
DUCK = Plan("duck", 2.3, 155.0)
BREAST = (Probe("breast", 74.0),)


def read(minute: float, pit_c: float | None = None, breast: float | None = None) -> Reading:
    """One reading."""
    pairs = () if breast is None else (("breast", breast),)
    return Reading(60.0 * minute, pit_c, pairs)


USUAL = tuple(
    read(minute, 152.0, temp)
    for minute, temp in ((0, 5.0), (40, 25.0), (80, 50.0), (120, 65.0), (150, 74.0))
)
EARLY = Plan("duck", 2.3, 155.0, serve_s=-3600.0, rest_s=0.0)
BALL = Plan("other", 14.0, 499.0, shape=Shape.BALL, thickness_m=0.5)


def _pulled(minute: float) -> tuple[Event, ...]:
    return (Event(60.0 * minute, EventKind.PULLED),)


PAIRS = [*permutations(("usual", "frozen", "cold fire", "one reading"), 2)]

ODD = {
    "usual": Cook(DUCK, BREAST, USUAL, _pulled(155.0)),
    "nothing read": Cook(DUCK, BREAST),
    "no probe": Cook(DUCK, (), (read(0, 150), read(30, 150))),
    "one reading": Cook(DUCK, BREAST, (read(10, 150, 20.0),)),
    "pit alone": Cook(DUCK, BREAST, (read(0, 150), read(30, 160))),
    "read before meat-on": Cook(DUCK, BREAST, (read(-60, 100), read(-30, 150, 5.0), *USUAL)),
    "pulled before meat-on": Cook(DUCK, BREAST, USUAL, _pulled(-10.0)),
    "pulled at once": Cook(DUCK, BREAST, USUAL, _pulled(0.0)),
    "done at once": Cook(DUCK, (Probe("breast", 4.0),), USUAL),
    "all at one time": Cook(DUCK, BREAST, (read(0, 150, 5.0),) * 5),
    "warm from the start": Cook(DUCK, BREAST, tuple(read(10 * i, 150, 80.0 + i) for i in range(5))),
    "frozen": Cook(
        DUCK, (Probe("breast", 74.0, -18.0),),
        tuple(read(40 * i, 150, t) for i, t in enumerate((-10.0, -2.0, 0.0, 20.0, 74.0))),
    ),
    "cold fire": Cook(
        DUCK, BREAST, tuple(read(30 * i, 60.0, 5.0 + i) for i in range(10)), _pulled(300.0)
    ),
    "numbers swapped": Cook(
        DUCK, BREAST, tuple(read(30 * i, 5.0 + 10 * i, 150.0) for i in range(8))
    ),
    "meal before meat-on": Cook(EARLY, BREAST, USUAL),
    "a probe never read": Cook(DUCK, (*BREAST, Probe("wing", 80.0)), USUAL),
    "hottest": Cook(BALL, BREAST, tuple(read(10 * i, 499.0, 5.0 + 9 * i) for i in range(11))),
}  # fmt: skip


def saved_of(name: str) -> SavedCook:
    """One of them as the store gives it."""
    return SavedCook(
        1, name, START, TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, ODD[name], (),
        START + timedelta(hours=5), False,
    )  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_an_odd_cook_is_looked_back_at(name: str) -> None:
    saved = saved_of(name)
    found = figures(saved.cook)
    lines = section_lines(review_sections(saved, found, None, (), DISPLAY))
    assert lines[0] == "What held it back" and any(line.startswith("The pit") for line in lines)
    assert isinstance(sentence_of(saved, found), str)
    view = present_revisions(saved, revisions(saved.cook), found.finish_s, found.planned_s, DISPLAY)
    for size in ((30, 6), (80, 20), (200, 40)):
        if view is not None:
            rows = rasterise(view, *size, shade=True).rows
            assert all(sum(len(run.text) for run in row) == size[0] for row in rows)
    kept = work_out(saved)
    assert decode(encode(kept)) == kept


@pytest.mark.parametrize("names", PAIRS)
def test_odd_cooks_are_compared_or_say_why_not(names: tuple[str, str]) -> None:
    cooks = compare_cooks([saved_of(name) for name in names])
    (words,) = sentences(cooks)
    assert words.startswith(("B was done", "B cannot be set against A:"))
    assert "one reading" not in names or "cannot" in words
    assert len(legend(cooks, DISPLAY)) == 2
    for table in (differences(cooks, DISPLAY), minutes(cooks)):
        assert table_text(table, 76)
    for at_c in (None, 40.0):
        view = present_overlay(cooks, at_c, DISPLAY)
        assert view is None or len(rasterise(view, 80, 20).rows) == 20
