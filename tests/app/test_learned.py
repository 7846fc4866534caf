"""What finished cooks teach the next one: which count, what is kept, and what it says."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from app import learned as learned_module
from app.display import Display
from app.learned import KIND, MOST_COOKS, Learned, Learning, Typical, typical
from app.presenters.learning import (
    PLURALS,
    learned_words,
    next_words,
    plural,
    source_words,
    typical_words,
)
from core.catalogue import CUTS
from core.cook import Cook, Plan, Probe
from core.errors import ForecastCancelled
from core.learning import Evidence, evidence_of, learned_prior
from core.prior import book_prior
from core.units import MassUnit, TemperatureUnit
from storage.errors import DiskFull
from storage.store import Store, open_store
from storage.values import NewCook
from tests.core.cooks import made_cook

START = datetime(2026, 4, 4, 12, 0, tzinfo=UTC)
PLAN = Plan("duck", 2.3, 160.0)
DISPLAY = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, UTC)
SLOW = (1.0, -0.5, 0.0, 0.0, -0.8, 0.0, 0.0)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An open store on a new file."""
    opened = open_store(tmp_path / "cooks.sqlite3", now=START)
    yield opened
    opened.close()


def cooked(
    store: Store,
    day: int,
    *,
    invented: bool = False,
    ended: bool = True,
    plan: Plan = PLAN,
    departures: tuple[float, ...] = SLOW,
    readings: int | None = None,
) -> int:
    """An own slow cook of that day, in the file."""
    made = made_cook(plan, 74.0, departures=departures, seed=day + 1)
    start = START + timedelta(days=day)
    new = NewCook(
        f"duck {day}", start, TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, plan,
        made.cook.probes, invented,
    )  # fmt: skip
    cook_id = store.create_cook(new)
    store.add_line(
        cook_id, text="all", typed_at=start, at=start, readings=made.cook.readings[:readings]
    )
    if ended:
        store.end_cook(cook_id, start + timedelta(hours=8))
    return cook_id


def later(day: float) -> datetime:
    return START + timedelta(days=day)


def test_without_past_cooks_it_is_the_book(store: Store) -> None:
    found = Learning(store).of("duck", later(0))
    assert (found.cook_ids, found.prior, found.on) == ((), None, True)


def test_the_prior_is_that_of_core_from_the_cooks_of_the_cut(store: Store) -> None:
    ids = [cooked(store, day) for day in (0, 7)]
    cooked(store, 8, plan=Plan("goose", 4.5, 160.0))
    found = Learning(store).of("duck", later(20))
    assert found.cook_ids == (ids[1], ids[0])
    book = book_prior("duck")
    told = [evidence_of(store.cook(cook_id).cook, book) for cook_id in found.cook_ids]
    expected = learned_prior(book, [evidence for evidence in told if evidence is not None])
    assert found.prior is not None
    np.testing.assert_allclose(found.prior.mean, expected.mean, rtol=1e-12)
    np.testing.assert_allclose(found.prior.root, expected.root, rtol=1e-9, atol=1e-12)


def test_only_cooks_that_had_ended_by_then_teach_and_never_the_cook_itself(store: Store) -> None:
    ids = [cooked(store, day) for day in (0, 7, 14)]
    cooked(store, 15, ended=False)
    learning = Learning(store)
    for place, cook_id in enumerate(ids):
        assert learning.for_cook(store.cook(cook_id)).cook_ids == tuple(reversed(ids[:place]))
    # Begun while the last one was still on the fire.
    assert learning.of("duck", later(14) + timedelta(hours=1)).cook_ids == (ids[1], ids[0])
    assert learning.of("duck", later(30)).cook_ids == tuple(reversed(ids))
    # Its end was typed before its start: it must not teach itself all the same.
    store.end_cook(ids[2], later(14) - timedelta(hours=1))
    assert learning.for_cook(store.cook(ids[2])).cook_ids == (ids[1], ids[0])


def test_samples_do_not_teach_own_cooks_nor_the_other_way_round(store: Store) -> None:
    own, sample = cooked(store, 0), cooked(store, 1, invented=True)
    learning = Learning(store)
    assert learning.of("duck", later(9)).cook_ids == (own,)
    assert learning.of("duck", later(9), invented=True).cook_ids == (sample,)


def test_a_cook_in_the_bin_teaches_nothing(store: Store) -> None:
    cook_id = cooked(store, 0)
    learning = Learning(store)
    assert learning.of("duck", later(9)).cook_ids == (cook_id,)
    store.bin_cook(cook_id, later(8))
    assert learning.of("duck", later(9)).cook_ids == ()


def test_pieces_of_no_cut_teach_nothing(store: Store) -> None:
    from core.cook import Shape

    cooked(store, 0, plan=Plan("other", 2.0, 160.0, shape=Shape.BALL, thickness_m=0.12))
    assert Learning(store).of("other", later(9)).prior is None


def test_each_cook_is_looked_through_once_until_it_changes(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked: list[int] = []

    def counted(cook: Cook, *args: object, **kwargs: object) -> Evidence | None:
        looked.append(len(cook.readings))
        return evidence_of(cook, *args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr("core.learning.evidence_of", counted)
    first, second = cooked(store, 0), cooked(store, 7)
    before = Learning(store).of("duck", later(20))
    assert len(looked) == 2
    again = Learning(store).of("duck", later(20))  # another run of the program
    assert len(looked) == 2
    assert before.prior is not None and again.prior is not None
    np.testing.assert_array_equal(before.prior.mean, again.prior.mean)
    line = store.cook(first).lines[0]
    store.correct_line(
        line.id, text="mended", typed_at=later(9), at=line.at, readings=line.readings[:-1]
    )
    assert Learning(store).of("duck", later(20)).cook_ids == (second, first)
    assert len(looked) == 3
    # A refitted book makes what was kept useless.
    other = replace(book_prior("duck"), mean=book_prior("duck").mean + 0.01)
    monkeypatch.setattr("core.prior.book_prior", lambda cut: other)
    Learning(store).of("duck", later(20))
    assert len(looked) == 5


@pytest.mark.parametrize(
    "spoilt", ["", "[]", "{", '{"book": 3}', '{"book": "x", "mean": [1]}', '{"mean": "a"}']
)
def test_spoilt_notes_are_made_anew(store: Store, spoilt: str) -> None:
    cook_id = cooked(store, 0)
    good = Learning(store).of("duck", later(9))
    stamp, payload = store.derived.all(KIND)[cook_id]
    store.derived.put(cook_id, KIND, stamp, spoilt)
    found = Learning(store).of("duck", later(9))
    assert found.cook_ids == good.cook_ids
    assert store.derived.all(KIND)[cook_id] == (stamp, payload)


def test_a_cook_with_too_few_readings_is_noted_as_such(store: Store) -> None:
    cook_id = cooked(store, 0, readings=2)
    assert Learning(store).of("duck", later(9)).cook_ids == ()
    _, payload = store.derived.all(KIND)[cook_id]
    assert json.loads(payload)["nothing"] == "too few readings"


def test_only_the_newest_cooks_count(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(learned_module, "MOST_COOKS", 2)
    ids = [cooked(store, day) for day in (0, 7, 14)]
    assert Learning(store).of("duck", later(30)).cook_ids == (ids[2], ids[1])
    assert MOST_COOKS >= 10


def test_learning_can_be_switched_off_for_good(store: Store) -> None:
    cooked(store, 0)
    learning = Learning(store)
    assert learning.of("duck", later(9)).prior is not None
    learning.switch(False)
    off = Learning(store).of("duck", later(9))
    assert (off.on, off.prior, off.cook_ids) == (False, None, ())
    assert learning.of("duck", later(9)).on is False
    learning.switch(True)
    assert learning.of("duck", later(9)).prior is not None


def test_a_full_disk_does_not_keep_the_forecast_from_learning(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    cook_id = cooked(store, 0)

    def full(*_: object) -> None:
        raise DiskFull(store.path)

    monkeypatch.setattr(store.derived, "put", full)
    assert Learning(store).of("duck", later(9)).cook_ids == (cook_id,)
    assert store.derived.all(KIND) == {}


def test_a_cancelled_look_keeps_what_is_done(store: Store) -> None:
    cooked(store, 0)
    newest = cooked(store, 7)
    kept = store.derived.all
    with pytest.raises(ForecastCancelled):
        Learning(store).of("duck", later(20), cancelled=lambda: bool(kept(KIND)))
    assert list(kept(KIND)) == [newest]


def test_typical_time_follows_the_prior(store: Store) -> None:
    for day in range(5):
        cooked(store, day)
    found = Learning(store).of("duck", later(9))
    cook = Cook(PLAN, (Probe("breast", 74.0),))
    book, own = typical(cook, Learned("duck")), typical(cook, found)
    assert book is not None and own is not None
    assert book.later_share == 0.0
    assert own.book_s == book.middle_s
    assert own.low_s < own.middle_s < own.high_s
    assert own.cooks == 5
    # The household's ducks are thicker than the book's and its pit reads too high: slower.
    assert own.later_share > 0.05
    assert own.high_s - own.low_s < book.high_s - book.low_s


def test_a_cook_that_never_gets_there_has_no_typical_time() -> None:
    assert (
        typical(Cook(replace(PLAN, pit_c=60.0), (Probe("breast", 74.0),)), Learned("duck")) is None
    )


LEARNED = Learned("duck", (4, 3, 2, 1, 9), book_prior("duck"))


def told(share: float) -> Typical:
    return Typical(9900.0, 11400.0, 13200.0, 11400.0 / (1.0 + share), 5)


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (-0.09, "your ducks finish 9 % sooner than the book (learned from 5 cooks)"),
        (0.123, "your ducks finish 12 % later than the book (learned from 5 cooks)"),
        (0.012, "your ducks finish about when the book says (learned from 5 cooks)"),
    ],
)
def test_what_was_learned_in_words(share: float, words: str) -> None:
    assert learned_words(LEARNED, told(share)) == words
    assert next_words(LEARNED, told(share)) == f"{words}; used from the next cook on"


def test_words_of_few_none_and_off() -> None:
    one = replace(LEARNED, cook_ids=(1,))
    assert learned_words(one, told(0.1)).endswith("(learned from 1 cook)")
    assert source_words(one) == "forecast sharpened by 1 earlier cook of yours"
    assert source_words(LEARNED) == "forecast sharpened by 5 earlier cooks of yours"
    nothing = Learned("duck")
    assert (learned_words(nothing, told(0.0)), source_words(nothing)) == ("", "")
    off = Learned("duck", on=False)
    assert (
        next_words(off, None) == learned_words(off, None) == ("learning from your own cooks is off")
    )


def test_typical_time_in_words() -> None:
    assert typical_words(told(0.1), 2.3, DISPLAY) == (
        "the next one of 2.3 kg: about 3 h 10 min on the fire; "
        "8 of 10 take 2 h 45 min to 3 h 40 min"
    )


def test_every_cut_has_a_plural() -> None:
    assert set(PLURALS) == set(CUTS)
    assert plural("goose") == "geese"
