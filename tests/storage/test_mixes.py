"""Brines, rubs and glazes: the list and the copies with the cooks."""

from __future__ import annotations

import pytest

from storage.errors import InvalidEntry, NoSuchCook, NoSuchMix
from storage.store import Store
from storage.values import Mix
from tests.storage.samples import GOOSE, at

LINES = ("water 4 L", "salt 200 g", "bay leaf, 2", "", 'the "good" \\ honey\tü')


def test_a_mix_comes_back_as_it_was_given(store: Store) -> None:
    brine = store.mixes.save("Plain brine", "brine", LINES, 4.6, at(0))
    rub = store.mixes.save("apple rub", "rub", (), None, at(1))
    assert store.mixes.all() == (
        Mix(rub, "apple rub", "rub", (), None, at(1)),
        Mix(brine, "Plain brine", "brine", LINES, 4.6, at(0)),
    )


def test_the_same_name_replaces(store: Store) -> None:
    first = store.mixes.save("House", "rub", LINES, None, at(0))
    assert store.mixes.save("House", "glaze", ("honey",), 2.0, at(5)) == first
    assert store.mixes.all() == (Mix(first, "House", "glaze", ("honey",), 2.0, at(5)),)


def test_a_cook_keeps_its_copy_whatever_happens_to_the_list(store: Store, cook_id: int) -> None:
    other = store.create_cook(GOOSE)
    listed = store.mixes.save("House", "rub", LINES, None, at(0))
    kept = store.mixes.keep(cook_id, "House", "rub", LINES, None, at(1))
    elsewhere = store.mixes.keep(other, "House", "rub", ("salt",), 1.0, at(2))
    assert len({listed, kept, elsewhere}) == 3
    store.mixes.save("House", "glaze", ("honey",), None, at(3))
    store.mixes.delete(listed)
    assert store.mixes.all() == ()
    assert store.mixes.of_cook(cook_id) == (Mix(kept, "House", "rub", LINES, None, at(1)),)
    assert store.mixes.keep(cook_id, "House", "rub", ("pepper",), None, at(4)) == kept
    assert store.mixes.of_cook(cook_id)[0].lines == ("pepper",)
    assert store.mixes.of_cook(other) == (Mix(elsewhere, "House", "rub", ("salt",), 1.0, at(2)),)
    store.mixes.delete(kept)
    assert store.mixes.of_cook(cook_id) == ()


def test_what_is_not_there_is_said_to_be_missing(store: Store) -> None:
    for mix_id in (0, 7, 2**70):
        with pytest.raises(NoSuchMix, match="no mix"):
            store.mixes.delete(mix_id)
    for act in (
        lambda: store.mixes.of_cook(7),
        lambda: store.mixes.keep(7, "House", "rub", (), None, at(0)),
    ):
        with pytest.raises(NoSuchCook, match="no cook 7"):
            act()


@pytest.mark.parametrize(
    ("name", "kind", "lines", "meat_kg"),
    [
        ("", "rub", (), None),
        (" House", "rub", (), None),
        ("a\nb", "rub", (), None),
        ("x" * 81, "rub", (), None),
        ("House", "soup", (), None),
        ("House", "rub", ("\ud83d",), None),
        ("House", "rub", ("salt",) * 201, None),
        ("House", "rub", (), 0.0),
        ("House", "rub", (), float("nan")),
    ],
)
def test_a_mix_that_cannot_be_stored_leaves_nothing_behind(
    store: Store, cook_id: int, name: str, kind: str, lines: tuple[str, ...], meat_kg: float | None
) -> None:
    for act in (
        lambda: store.mixes.save(name, kind, lines, meat_kg, at(0)),
        lambda: store.mixes.keep(cook_id, name, kind, lines, meat_kg, at(0)),
    ):
        with pytest.raises(InvalidEntry, match="allowed is"):
            act()
    assert (store.mixes.all(), store.mixes.of_cook(cook_id)) == ((), ())
