"""Outcome and mixes through the cook document, there and back."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cook import EventKind
from core.units import TemperatureUnit
from storage.document_notes import Extras, with_notes, without_notes
from storage.documents import CookDocument, dump_document, parse_document
from storage.store import Store
from storage.values import Mix, Outcome
from tests.storage.samples import GOOSE, START, at, happened, typed
from tests.storage.test_documents import DUCK, changed

OUTCOME = Outcome(4, 3, None, 5, 'crisp; "so" good\nü', "lower pit", "cherry")
MIX = Mix(0, "Plain brine", "brine", ("water 3 L", 'salt, "fine"'), 2.3, START)
NOTE = (
    'Outcome: tender 4, juicy 3, smoke 5, wood "cherry", '
    r'words "crisp; \"so\" good\nü", change "lower pit"'
)
EMPTY = CookDocument("", START, TemperatureUnit.CELSIUS, GOOSE.plan)

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
grades = st.none() | st.integers(1, 5)
outcomes = st.builds(Outcome, grades, grades, grades, grades, texts, texts, texts).filter(
    lambda outcome: outcome != Outcome()
)
names = st.text(min_size=1, max_size=12).filter(
    lambda name: name.isprintable() and name == name.strip()
)
mixes = st.builds(
    Mix,
    st.just(0),
    names,
    st.sampled_from(["brine", "rub", "glaze"]),
    st.lists(texts, max_size=4).map(tuple),
    st.none() | st.floats(0.02, 60),
    st.just(START),
)


def test_the_notes_can_be_read_by_a_person() -> None:
    document = with_notes(EMPTY, Extras(OUTCOME, (MIX,)))
    assert [event.note for event in document.events] == [
        r'Mix: brine "Plain brine", meat 2.3 kg, "water 3 L", "salt, \"fine\""',
        NOTE,
    ]


@settings(max_examples=200, deadline=None)
@given(st.none() | outcomes, st.lists(mixes, max_size=3, unique_by=lambda mix: mix.name))
def test_anything_comes_back_from_the_notes(outcome: Outcome | None, kept: list[Mix]) -> None:
    extras = Extras(outcome, tuple(kept))
    text = dump_document(with_notes(EMPTY, extras))
    document, found = without_notes(parse_document(text, "x"))
    assert found == extras
    assert document.events == ()


@pytest.mark.parametrize(
    "note",
    [
        "Outcome: ", "Outcome: tender 6", "Outcome: tender 4,", "Outcome: tender 4, tender 5",
        "Outcome: juicy 3, tender 4", "outcome: tender 4", "Outcome: tender 4 and more",
        'Outcome: wood ""', 'Outcome: wood "a" ', 'Outcome: wood "\\u0061"', "Outcome: wood cherry",
        'Mix: soup "x"', 'Mix: rub ""', 'Mix: rub "x", meat 99 kg', 'Mix: rub "x" "salt"',
        'Mix: rub "x", meat 2.30 kg', 'Mix: rub "x\\q"', "Mix: ", 'Mix: rub "x", salt',
    ],
)  # fmt: skip
def test_a_note_that_only_looks_like_it_stays_a_note(note: str) -> None:
    text = changed(("events", 1), {"minute": 9, "kind": "note", "note": note})
    document = parse_document(text, "x")
    assert without_notes(document) == (document, Extras(None, ()))


def test_only_notes_are_read_so() -> None:
    text = changed(("events", 1), {"minute": 9, "kind": "vents", "note": NOTE})
    document = parse_document(text, "x")
    assert without_notes(document) == (document, Extras(None, ()))


def test_a_cook_goes_to_another_file_with_outcome_and_mixes(store: Store, cook_id: int) -> None:
    store.add_line(cook_id, **typed(1, thigh=5.0))
    store.add_line(cook_id, **happened(90, EventKind.PULLED))
    store.end_cook(cook_id, at(200))
    store.outcomes.save(cook_id, OUTCOME)
    store.mixes.keep(cook_id, MIX.name, MIX.kind, MIX.lines, MIX.meat_kg, at(3))
    text = dump_document(store.export_document(cook_id))
    assert json.loads(text)["events"][-1] == {"minute": 90, "kind": "note", "note": NOTE}

    copy = store.import_document(parse_document(text, "goose.json"), again=True)
    assert store.outcomes.of(copy) == OUTCOME
    (mix,) = store.mixes.of_cook(copy)
    assert replace(mix, id=0, saved_at=START) == MIX
    assert [line.text for line in store.cook(copy).lines] == ["155 5", "pulled"]
    assert store.cook(copy).ended_at == at(90)
    assert dump_document(store.export_document(copy)) == text
    assert store.imported_as(parse_document(text, "goose.json")) == cook_id

    store.outcomes.save(copy, Outcome(tender=1))
    again = json.loads(dump_document(store.export_document(copy)))
    assert again["events"][-1]["note"] == "Outcome: tender 1"
    assert len(again["events"]) == 3


def test_an_outcome_is_imported_or_nothing_is(store: Store) -> None:
    rows = [*DUCK["events"], {"minute": 95, "kind": "note", "note": NOTE}]
    text = changed(("events",), rows)
    cook_id = store.import_document(parse_document(text, "x"))
    assert store.outcomes.of(cook_id) == OUTCOME
    assert json.loads(dump_document(store.export_document(cook_id))) == json.loads(text)
