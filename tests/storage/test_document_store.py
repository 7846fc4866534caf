"""Documents into the data file and out again."""

from __future__ import annotations

import errno
import json
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from core.cook import EventKind, Reading
from core.units import MassUnit
from storage import document_store
from storage.documents import CookDocument, dump_document, parse_document
from storage.errors import DiskFull, InvalidEntry
from storage.store import Store, open_store
from tests.storage.generate import documents
from tests.storage.samples import GOOSE, NOW, at, happened, typed
from tests.storage.test_documents import DUCK, changed


@pytest.fixture
def duck() -> CookDocument:
    """The sample document."""
    return parse_document(json.dumps(DUCK), "duck.json")


@pytest.fixture(scope="module")
def shared() -> Iterator[Store]:
    """One store for all examples of a property: opening one for each would be slow."""
    folder = Path(tempfile.mkdtemp())
    opened = open_store(folder / "cooks.sqlite3", now=NOW)
    yield opened
    opened.close()
    shutil.rmtree(folder)


@settings(max_examples=100, deadline=None)
@given(raw=documents())
def test_export_equals_import(shared: Store, raw: dict[str, Any]) -> None:
    document = parse_document(json.dumps(raw), "any.json")
    exported = shared.export_document(shared.import_document(document, again=True))
    assert exported == document
    assert json.loads(dump_document(exported)) == raw
    assert parse_document(dump_document(exported), "again.json") == document


@settings(max_examples=100, deadline=None)
@given(raw=documents())
def test_writing_from_values_loses_no_more_than_the_last_digit(raw: dict[str, Any]) -> None:
    document = parse_document(json.dumps(raw), "any.json")
    again = parse_document(dump_document(replace(document, source="")), "again.json")
    assert (again.title, again.started_at) == (document.title, document.started_at)
    assert [e.kind for e in again.events] == [e.kind for e in document.events]
    assert [e.note for e in again.events] == [e.note for e in document.events]
    assert numbers(again) == pytest.approx(numbers(document), rel=1e-14, abs=1e-13)


def numbers(document: CookDocument) -> list[float]:
    """All numbers of a document in a fixed order, what is missing as -999."""
    plan = document.plan
    found: list[float | None] = [
        plan.mass_kg,
        plan.pit_c,
        plan.pit_low_c,
        plan.rest_s,
        plan.serve_s,
    ]
    for probe in document.probes:
        found += [probe.target_c, probe.start_c, probe.glaze_c, probe.wrap_c]
    for reading in document.readings:
        found += [reading.elapsed_s, reading.pit_c, *(reading.of(p.name) for p in document.probes)]
    found += [event.elapsed_s for event in document.events]
    return [-999.0 if number is None else number for number in found]


def test_a_changed_cook_is_exported_as_it_is_now(store: Store, duck: CookDocument) -> None:
    cook_id = store.import_document(duck)
    store.change_title(cook_id, "Duck, dry this time")
    store.add_line(cook_id, text="x", typed_at=at(1), at=at(1), readings=(Reading(2400.0, 151.0),))
    written = json.loads(dump_document(store.export_document(cook_id)))
    assert written == {
        **DUCK,
        "title": "Duck, dry this time",
        "readings": [*DUCK["readings"], {"minute": 40, "pit": 151}],
    }
    store.undo(cook_id)
    store.change_title(cook_id, duck.title)
    assert json.loads(dump_document(store.export_document(cook_id))) == DUCK


def test_an_imported_cook_is_a_cook_like_any_other(store: Store, duck: CookDocument) -> None:
    saved = store.cook(store.import_document(duck))
    assert saved.title == duck.title
    assert saved.invented
    assert saved.mass_unit is MassUnit.KILOGRAM
    assert (saved.cook.plan, saved.cook.probes) == (duck.plan, duck.probes)
    assert (saved.cook.readings, saved.cook.events) == (duck.readings, duck.events)
    assert [line.text for line in saved.lines] == ["148 4.4", "- 9.4", "lid open", "wrapped x"]
    assert all(line.typed_at == line.at for line in saved.lines)
    assert [line.at for line in saved.lines] == sorted(line.at for line in saved.lines)


def test_the_same_document_is_recognised(store: Store, duck: CookDocument) -> None:
    assert store.imported_as(duck) is None
    cook_id = store.import_document(duck)
    shuffled = json.dumps(dict(reversed(DUCK.items())), indent=3)
    again = parse_document(shuffled, "copy of duck.json")
    assert store.imported_as(again) == cook_id
    assert store.import_document(again) == cook_id
    assert len(store.cooks()) == 1
    other = parse_document(changed(("readings", 1, "breast"), 9.5), "x")
    assert store.imported_as(other) is None


def test_it_is_recognised_after_the_cook_was_changed(store: Store, duck: CookDocument) -> None:
    cook_id = store.import_document(duck)
    store.undo(cook_id)
    assert store.import_document(duck) == cook_id


def test_it_can_be_imported_again_on_purpose(store: Store, duck: CookDocument) -> None:
    first = store.import_document(duck)
    second = store.import_document(duck, again=True)
    assert second != first
    assert store.export_document(second) == store.export_document(first) == duck


def test_a_cook_in_the_bin_does_not_stand_in_the_way(store: Store, duck: CookDocument) -> None:
    first = store.import_document(duck)
    store.bin_cook(first, at(0))
    assert store.imported_as(duck) is None
    assert store.import_document(duck) != first


def test_the_export_of_a_typed_cook_is_recognised(store: Store, cook_id: int) -> None:
    store.add_line(cook_id, **typed(21.5, 152.5, thigh=9.4))
    store.add_line(cook_id, **happened(30, EventKind.LID_OPEN))
    exported = store.export_document(cook_id)
    assert store.import_document(parse_document(dump_document(exported), "x")) == cook_id


def test_export_holds_what_counts(store: Store, cook_id: int) -> None:
    wrong = store.add_line(cook_id, **typed(21.5, thigh=94.0))
    store.correct_line(wrong.id, **typed(21.5, 150.0, thigh=9.4))
    store.delete_line(store.add_line(cook_id, **typed(22, thigh=9.5)).id)
    document = store.export_document(cook_id)
    assert document.readings == (Reading(1290.0, 150.0, (("thigh", 9.4),)),)
    assert json.loads(dump_document(document))["plan"]["serve_at"] == "2026-10-17T16:40:00+02:00"


def test_a_document_made_in_the_program_is_checked_too(store: Store, duck: CookDocument) -> None:
    bad = Reading(0.0, float("nan"))
    with pytest.raises(InvalidEntry):
        store.import_document(replace(duck, readings=(*duck.readings, bad)))
    assert store.cooks() == ()


ENDINGS = {
    "nothing says so": ({}, None),
    "pulled": ({"events": [{"minute": 200, "kind": "pulled"}]}, 200),
    "served": ({"events": [{"minute": 200, "kind": "pulled"}, {"minute": 230, "kind": "served"}]},
               230),
    "at target": ({"readings": [{"minute": 190, "breast": 74}]}, 190),
    "at target, then not": (
        {"readings": [{"minute": 190, "breast": 74}, {"minute": 191, "breast": 70}]}, None),
    "one of two": ({"probes": [*DUCK["probes"], {"name": "leg", "target": 80}],
                    "readings": [{"minute": 190, "breast": 75, "leg": 70}]}, None),
    "no probe": ({"probes": [], "readings": [{"minute": 1, "pit": 150}]}, None),
}  # fmt: skip


@pytest.mark.parametrize(("part", "minute"), ENDINGS.values(), ids=ENDINGS.keys())
def test_a_finished_cook_comes_in_as_ended(
    store: Store, part: dict[str, Any], minute: float | None
) -> None:
    document = parse_document(json.dumps({**DUCK, **part}), "x")
    saved = store.cook(store.import_document(document))
    start = document.started_at
    found = None if saved.ended_at is None else (saved.ended_at - start).total_seconds() / 60
    assert found == minute


def test_a_long_document_is_all_there(store: Store) -> None:
    rows = [{"minute": m / 2, "pit": 120 + m % 7, "breast": m / 100} for m in range(5000)]
    document = parse_document(changed(("readings",), rows), "x")
    assert store.export_document(store.import_document(document)) == document


def test_the_goose_of_the_other_tests_is_a_good_document(store: Store) -> None:
    document = store.export_document(store.create_cook(GOOSE))
    assert parse_document(dump_document(document), "x") == document


def test_several_documents_come_in_together_or_not_at_all(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    ducks = [parse_document(json.dumps({**DUCK, "title": f"Duck {n}"}), "x") for n in range(4)]
    write, calls = document_store.write_lines, []

    def fails_late(*arguments: Any, **options: Any) -> Any:
        calls.append(1)
        if len(calls) == 3:
            raise OSError(errno.ENOSPC, "No space left on device")
        return write(*arguments, **options)

    monkeypatch.setattr(document_store, "write_lines", fails_late)
    with pytest.raises(DiskFull):
        store.import_documents(ducks)
    assert store.cooks() == ()
    monkeypatch.undo()
    assert store.import_documents([*ducks, ducks[1]]) == (1, 2, 3, 4, 2)
    assert store.import_documents(ducks) == (1, 2, 3, 4)
    assert len(store.cooks()) == 4
