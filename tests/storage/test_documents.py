"""Cook documents: what is read, what is refused and where, and the way there and back."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.catalogue import CUTS
from core.cook import Event, EventKind, Reading, Shape
from core.units import TemperatureUnit, f_to_c
from storage.documents import (
    dump_document,
    number_text,
    parse_document,
    read_document,
)
from storage.errors import DocumentError

DUCK: dict[str, Any] = {
    "format": 1,
    "title": "Duck in the rain (invented)",
    "started_at": "2026-10-03T12:15:00-05:00",
    "unit": "C",
    "plan": {
        "cut": "duck",
        "mass_kg": 2.3,
        "pit": 150,
        "pit_low": 140,
        "pit_high": 165,
        "serve_at": "2026-10-03T16:30:00-05:00",
        "rest_min": 15,
    },
    "probes": [{"name": "breast", "start": 4.4, "target": 74, "glaze": 62, "wrap": None}],
    "readings": [{"minute": 0, "pit": 148, "breast": 4.4}, {"minute": 21.5, "breast": 9.4}],
    "events": [{"minute": 62, "kind": "lid_open"}, {"minute": 95, "kind": "wrapped", "note": "x"}],
}

LEAST: dict[str, Any] = {
    "format": 1,
    "started_at": "2026-10-03T12:15:00Z",
    "unit": "F",
    "plan": {"cut": "duck", "mass_kg": 2.3, "pit": 300},
}


def changed(steps: tuple[str | int, ...], value: object, base: dict[str, Any] = DUCK) -> str:
    """The sample document as text, with one place changed (`...` takes it out)."""
    document = json.loads(json.dumps(base))
    place = document
    for step in steps[:-1]:
        place = place[step]
    if value is ...:
        del place[steps[-1]]
    else:
        place[steps[-1]] = value
    return json.dumps(document)


def test_a_whole_document_is_read_into_core_values() -> None:
    document = parse_document(json.dumps(DUCK), "duck.json")
    assert document.started_at.isoformat() == DUCK["started_at"]
    assert document.plan.serve_s == 4.25 * 3600
    assert document.plan.rest_s == 900.0
    assert document.probes[0].glaze_c == 62.0
    assert document.readings == (
        Reading(0.0, 148.0, (("breast", 4.4),)),
        Reading(1290.0, None, (("breast", 9.4),)),
    )
    assert document.events[1] == Event(5700.0, EventKind.WRAPPED, "x")
    assert document.invented


def test_the_least_document_is_read() -> None:
    document = parse_document(json.dumps(LEAST), "least.json")
    assert (document.title, document.probes, document.readings, document.events) == ("", (), (), ())
    assert document.plan.pit_c == f_to_c(300)
    assert not document.invented


@pytest.mark.parametrize("key", ["title", "probes", "readings", "events"])
def test_null_is_the_same_as_missing(key: str) -> None:
    assert parse_document(changed((key,), None, LEAST), "x") == parse_document(
        json.dumps(LEAST), "x"
    )


def test_readings_may_come_unsorted_and_equal_minutes_keep_their_order() -> None:
    rows = [{"minute": 9, "pit": 1}, {"minute": 5, "pit": 2}, {"minute": 9, "pit": 3}]
    document = parse_document(changed(("readings",), rows), "x")
    assert [reading.pit_c for reading in document.readings] == [2.0, 1.0, 3.0]


def test_other_has_a_shape_and_a_thickness() -> None:
    plan = {**DUCK["plan"], "cut": "other", "shape": "slab", "thickness_cm": 3.7}
    document = parse_document(changed(("plan",), plan), "x")
    assert document.plan.shape is Shape.SLAB
    assert document.plan.thickness_m == pytest.approx(0.037)
    values = replace(document, source="")
    assert json.loads(dump_document(values))["plan"]["thickness_cm"] == 3.7


def test_every_kind_of_event_and_every_cut_is_allowed() -> None:
    for kind in EventKind:
        parse_document(changed(("events", 0, "kind"), kind), "x")
    for cut in set(CUTS) - {"other"}:
        parse_document(changed(("plan", "cut"), cut), "x")


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    file = tmp_path / "duck.json"
    file.write_text("\ufeff" + json.dumps(DUCK), encoding="utf-8")
    assert read_document(file) == parse_document(json.dumps(DUCK), "x")


NAN, READ = float("nan"), ("readings", 0)
BAD: list[tuple[str, str, str]] = [
    # text, JSON path, words of the message
    (changed(("flavour",), 1), "flavour", "unknown key 'flavour'"),
    (changed(("plan", "color"), 1), "plan.color", "unknown key"),
    (changed(("plan", "a b"), 1), "plan['a b']", "unknown key"),
    (changed(("probes", 0, "goal"), 1), "probes[0].goal", "these keys: name, start, target"),
    (changed((*READ, "thigh"), 1), "readings[0].thigh", "these keys: minute, pit, breast"),
    (changed(("events", 1, "at"), 1), "events[1].at", "these keys: minute, kind, note"),
    (changed(("format",), ...), "format", "found nothing; allowed is 1"),
    (changed(("format",), 2), "format", "found 2; allowed is 1"),
    (changed(("format",), True), "format", "found true"),
    (changed(("format",), "1"), "format", "found '1'"),
    (changed(("title",), 5), "title", "found 5"),
    (changed(("title",), "\ud800"), "title", "text in Unicode"),
    (changed(("unit",), "K"), "unit", "one of C, F"),
    (changed(("unit",), ...), "unit", "found nothing"),
    (changed(("unit",), ["C"]), "unit", "one of C, F"),
    (changed(("started_at",), ...), "started_at", "found nothing"),
    (changed(("started_at",), "2026-10-03T12:15:00"), "started_at", "with its offset"),
    (changed(("started_at",), "2026-10-03"), "started_at", "with its offset"),
    (changed(("started_at",), "2026-02-29T12:15:00Z"), "started_at", "with its offset"),
    (changed(("started_at",), "2026-10-03T12:60:00Z"), "started_at", "with its offset"),
    (changed(("started_at",), "2026-10-03T12:15:00+24:00"), "started_at", "with its offset"),
    (changed(("started_at",), "2026-10-03T12:15:00+05:99"), "started_at", "with its offset"),
    (changed(("started_at",), "٢٠٢٦-10-03T12:15:00Z"), "started_at", "with its offset"),
    (changed(("started_at",), "0001-01-01T00:00:00+14:00"), "started_at", "a year after 1970"),
    (changed(("started_at",), 1791000000), "started_at", "with its offset"),
    (changed(("plan",), ...), "plan", "found nothing; allowed is an object"),
    (changed(("plan",), []), "plan", "an object"),
    (changed(("plan", "cut"), ...), "plan.cut", "one of pork_shoulder"),
    (changed(("plan", "cut"), "dodo"), "plan.cut", "found 'dodo'"),
    (changed(("plan", "cut"), {}), "plan.cut", "one of pork_shoulder"),
    (changed(("plan", "cut"), "other"), "plan.shape", "found nothing"),
    (changed(("plan", "shape"), "ball"), "plan.shape", "only the cut 'other'"),
    (changed(("plan", "thickness_cm"), 5), "plan.thickness_cm", "only the cut 'other'"),
    (changed(("plan", "mass_kg"), ...), "plan.mass_kg", "a number from 0.02 to 60 kg"),
    (changed(("plan", "mass_kg"), 0), "plan.mass_kg", "0.02 to 60 kg"),
    (changed(("plan", "mass_kg"), -2.3), "plan.mass_kg", "0.02 to 60 kg"),
    (changed(("plan", "mass_kg"), 2300), "plan.mass_kg", "0.02 to 60 kg"),
    (changed(("plan", "mass_kg"), "2.3"), "plan.mass_kg", "found '2.3'"),
    (changed(("plan", "pit"), None), "plan.pit", "found nothing; allowed is a number"),
    (changed(("plan", "pit"), True), "plan.pit", "found true"),
    (changed(("plan", "pit"), 1e308), "plan.pit", "-40 to 600 °C"),
    (changed(("plan", "pit_low"), 170), "plan.pit_low", "at most pit_high"),
    (changed(("plan", "pit_high"), 601), "plan.pit_high", "-40 to 600 °C"),
    (changed(("plan", "rest_min"), -1), "plan.rest_min", "0 to 2880 minutes"),
    (changed(("plan", "serve_at"), "16:30"), "plan.serve_at", "with its offset"),
    (changed(("plan", "serve_at"), "2027-10-03T16:30:00Z"), "plan.serve_at", "100 h after"),
    (changed(("probes",), {}), "probes", "a list of probes"),
    (changed(("probes", 0), "breast"), "probes[0]", "an object: a probe"),
    (changed(("probes", 0, "name"), ...), "probes[0].name", "found nothing"),
    (changed(("probes", 0, "name"), ""), "probes[0].name", "1 to 40 printable"),
    (changed(("probes", 0, "name"), " x"), "probes[0].name", "no space at the ends"),
    (changed(("probes", 0, "name"), "x\u202ey"), "probes[0].name", r"found 'x\u202ey'"),
    (changed(("probes", 0, "name"), "pit"), "probes[0].name", "not 'minute' or 'pit'"),
    (changed(("probes", 0, "name"), "minute"), "probes[0].name", "not 'minute' or 'pit'"),
    (changed(("probes", 0, "name"), 7), "probes[0].name", "found 7"),
    (changed(("probes",), DUCK["probes"] * 2), "probes[1].name", "'breast' a second time"),
    (changed(("probes", 0, "target"), ...), "probes[0].target", "found nothing"),
    (changed(("probes", 0, "wrap"), "72"), "probes[0].wrap", "found '72'"),
    (changed(("readings",), {"minute": 1}), "readings", "a list of readings"),
    (changed((*READ, "minute"), ...), "readings[0].minute", "found nothing"),
    (changed((*READ, "minute"), "0"), "readings[0].minute", "found '0'"),
    (changed((*READ, "minute"), 6001), "readings[0].minute", "-4320 to 6000 minutes"),
    (changed((*READ, "minute"), -4321), "readings[0].minute", "-4320 to 6000 minutes"),
    (changed((*READ, "breast"), False), "readings[0].breast", "found false"),
    (changed((*READ, "breast"), [4.4]), "readings[0].breast", "-40 to 600 °C"),
    (changed(("readings", 1, "breast"), -41), "readings[1].breast", "-40 to 600 °C"),
    (changed((*READ, "breast"), 1113, {**DUCK, "unit": "F"}), "readings[0].breast", "1112 °F"),
    (changed((*READ, "pit"), 10**400), "readings[0].pit", "-40 to 600 °C"),
    (changed(("events", 0, "kind"), ...), "events[0].kind", "one of lid_open"),
    (changed(("events", 0, "kind"), "LID_OPEN"), "events[0].kind", "one of lid_open"),
    (changed(("events", 0, "minute"), None), "events[0].minute", "found nothing"),
    (changed(("events", 0, "note"), 3), "events[0].note", "found 3"),
    (changed(("events", 0), None), "events[0]", "found nothing; allowed is an object"),
    (changed((*READ, "pit"), NAN), "readings[0].pit", "found NaN; allowed is a number"),
    (changed((*READ, "pit"), float("-inf")), "readings[0].pit", "found -Infinity"),
    (changed(("title",), NAN), "title", "found NaN"),
    (changed(("format",), NAN), "format", "found NaN; allowed is 1"),
    (changed(("events", 0, "note"), NAN), "events[0].note", "found NaN"),
    (changed(("thing",), NAN), "thing", "unknown key"),
    ("{", "line 1 column 2", "allowed is JSON"),
    ("", "line 1 column 1", "allowed is JSON"),
    ("[]", "", "an object: a cook document"),
    ("null", "", "an object: a cook document"),
    ("[" * 100_000, "", "lists within lists"),
    ("1" * 5000, "", "allowed is JSON"),
    ('{"format": 1, "format": 1}', "format", "a key given twice"),
    (json.dumps(DUCK).replace('"pit": 148', '"pit": 148, "pit": 150'), "readings[0].pit", "twice"),
]


@pytest.mark.parametrize(("text", "json_path", "words"), BAD, ids=[f"{b[1]}:{b[2]}" for b in BAD])
def test_a_bad_document_is_refused_with_file_path_found_and_allowed(
    text: str, json_path: str, words: str
) -> None:
    with pytest.raises(DocumentError) as caught:
        parse_document(text, "sunday.json")
    error = caught.value
    assert (error.file, error.json_path) == ("sunday.json", json_path)
    message = str(error)
    assert message.startswith("sunday.json: ")
    assert words in message
    assert message.isprintable()
    assert len(message) < 700


@pytest.mark.parametrize("depth", [400, *range(900, 1000, 7), 5000])
def test_deep_nesting_is_refused(depth: int) -> None:
    with pytest.raises(DocumentError):
        parse_document(
            json.dumps(LEAST)[:-1] + ', "title": ' + "[" * depth + "]" * depth + "}", "x"
        )


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=5,
)
PLACES: list[tuple[str | int, ...]] = [
    *((key,) for key in DUCK),
    *(("plan", key) for key in (*DUCK["plan"], "shape", "thickness_cm")),
    *(("probes", 0, key) for key in DUCK["probes"][0]),
    *(("readings", 0, key) for key in DUCK["readings"][0]),
    *(("events", 1, key) for key in DUCK["events"][1]),
    ("probes", 0), ("readings", 0), ("events", 0), ("thing",),
]  # fmt: skip


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(PLACES), JSON_VALUES)
def test_any_value_anywhere_is_read_or_refused(place: tuple[str | int, ...], value: object) -> None:
    text = changed(place, value)
    try:
        document = parse_document(text, "any.json")
    except DocumentError as error:
        assert str(error).isprintable()
        assert str(error).startswith("any.json")
    else:
        assert parse_document(dump_document(document), "again.json") == document


@given(st.text(max_size=40))
def test_any_text_is_refused_without_a_traceback(text: str) -> None:
    with pytest.raises(DocumentError):
        parse_document(text, "any.json")


def test_a_file_that_is_no_text_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "x.json"
    with pytest.raises(DocumentError, match="No such file"):
        read_document(file)
    file.write_bytes(b'{"title": "\xff"}')
    with pytest.raises(DocumentError, match="not UTF-8 at 11"):
        read_document(file)
    with pytest.raises(DocumentError, match="directory"):
        read_document(tmp_path)


def test_a_dumped_document_holds_the_same_values() -> None:
    document = parse_document(json.dumps(DUCK), "x")
    assert json.loads(dump_document(document)) == DUCK
    assert json.loads(dump_document(replace(document, source=""))) == DUCK


def test_dumped_text_is_one_row_a_line_and_keeps_letters() -> None:
    document = parse_document(changed(("title",), "Gänse"), "x")
    text = dump_document(document)
    assert '  "title": "Gänse",' in text.splitlines()
    assert '    {"minute": 21.5, "breast": 9.4}' in text.splitlines()
    assert text.endswith("}\n")


@pytest.mark.parametrize("zone", ["Z", "+00:00", "-05:00", "+05:45", "-03:30", "+14:00"])
def test_offsets_go_out_as_they_came_in(zone: str) -> None:
    started_at = f"2026-10-03T12:15:00{zone}"
    document = parse_document(changed(("started_at",), started_at), "x")
    for written in (document, replace(document, source="")):
        assert json.loads(dump_document(written))["started_at"] == started_at


@given(
    st.decimals(-40, 1112, places=3).map(float),
    st.integers(-40, 1112),
    st.decimals(-4320, 6000, places=4).map(float),
)
def test_typed_numbers_go_out_as_they_came_in(temp: float, whole: int, minute: float) -> None:
    rows = [{"minute": minute, "pit": whole, "breast": temp}]
    text = changed(("readings",), rows, {**DUCK, "unit": "F"})
    values = replace(parse_document(text, "x"), source="")
    (row,) = json.loads(dump_document(values))["readings"]
    assert row == rows[0]
    assert isinstance(row["pit"], int)


def test_a_temperature_typed_in_the_other_unit_stays_short() -> None:
    celsius = [step / 2 for step in range(-60, 400)]
    texts = [number_text(temp, TemperatureUnit.FAHRENHEIT) for temp in celsius]
    assert max(map(len, texts)) <= 5
    assert [float(text) for text in texts] == pytest.approx([c * 1.8 + 32 for c in celsius])
