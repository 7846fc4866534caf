"""The shipped JSON Schema against the strict reader, judged by the jsonschema library.

Source of the dialect: JSON Schema, draft 2020-12 (json-schema.org), as jsonschema implements it.
"""

from __future__ import annotations

import json
import math
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from app.samples import sample_files
from core.catalogue import CUTS
from core.cook import EventKind, Shape
from storage import limits
from storage.documents import FORMAT, parse_document
from storage.errors import DocumentError
from tests.storage.generate import documents
from tests.storage.test_documents import BAD, DUCK, JSON_VALUES, LEAST, PLACES, changed

SCHEMA: dict[str, Any] = json.loads(
    files("storage").joinpath("cook_document.schema.json").read_text(encoding="utf-8")
)
VALIDATOR = Draft202012Validator(SCHEMA)

BEYOND = {
    "readings[0].thigh": "a reading names probes of the cook",
    "probes[1].name": "each name once",
    "plan.pit_low": "two values compared",
    "plan.serve_at": "two times compared",
    "readings[0].pit": "a key given twice",
}
"""Places in `BAD` where only the reader can see what is wrong, and why a schema cannot."""


def fits(text: str) -> bool:
    """Whether the schema takes a document; what is no JSON does not come that far."""
    return VALIDATOR.is_valid(json.loads(text))


def is_read(text: str) -> bool:
    """Whether the reader takes it."""
    try:
        parse_document(text, "x")
    except DocumentError:
        return False
    return True


def finite(value: object) -> bool:
    """Whether a value is JSON all through: NaN and the infinities are not."""
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, dict):
        return all(finite(item) for item in value.values())
    return not isinstance(value, list) or all(finite(item) for item in value)


def test_the_schema_keeps_to_its_own_standard() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == Draft202012Validator.META_SCHEMA["$id"]


def test_the_schema_has_the_bounds_and_words_of_the_reader() -> None:
    defs = SCHEMA["$defs"]

    def bounds(place: dict[str, Any]) -> tuple[float, float]:
        return place["minimum"], place["maximum"]

    assert SCHEMA["properties"]["format"]["const"] == FORMAT
    assert bounds(defs["celsius"]) == limits.TEMP_C
    assert bounds(defs["fahrenheit"]) == tuple(t * 1.8 + 32 for t in limits.TEMP_C)
    assert bounds(defs["minute"]) == tuple(s / 60 for s in limits.ELAPSED_S)
    assert bounds(defs["plan"]["properties"]["mass_kg"]) == limits.MASS_KG
    assert bounds(defs["plan"]["properties"]["rest_min"]) == tuple(s / 60 for s in limits.REST_S)
    assert bounds(defs["centimetres"]) == tuple(100 * m for m in limits.THICKNESS_M)
    assert defs["name"]["maxLength"] == limits.NAME_LENGTH
    assert defs["plan"]["properties"]["cut"]["enum"] == list(CUTS)
    assert defs["event"]["properties"]["kind"]["enum"] == [str(kind) for kind in EventKind]
    assert defs["shape"]["enum"] == [str(shape) for shape in Shape]


@pytest.mark.parametrize("path", sample_files().values(), ids=sample_files().keys())
def test_every_sample_fits(path: Path) -> None:
    errors = list(VALIDATOR.iter_errors(json.loads(path.read_text(encoding="utf-8"))))
    assert errors == []


@pytest.mark.parametrize("document", [DUCK, LEAST], ids=["whole", "least"])
def test_a_good_document_fits(document: dict[str, Any]) -> None:
    assert fits(json.dumps(document))


def test_a_piece_of_no_cut_fits_with_its_shape_and_thickness_alone() -> None:
    plan = {**DUCK["plan"], "cut": "other", "shape": "slab", "thickness_cm": 3.7}
    for missing, expected in ((None, True), ("shape", False), ("thickness_cm", False)):
        text = changed(("plan",), {k: v for k, v in plan.items() if k != missing})
        assert fits(text) == is_read(text) == expected


def json_alone(text: str) -> bool:
    """Whether a text is JSON, without the numbers that are none."""
    try:
        return finite(json.loads(text))
    except (ValueError, RecursionError):
        return False


REFUSED = [bad for bad in BAD if json_alone(bad[0])]


@pytest.mark.parametrize(
    ("text", "json_path", "words"), REFUSED, ids=[f"{b[1]}:{b[2]}" for b in REFUSED]
)
def test_what_the_reader_refuses_does_not_fit(text: str, json_path: str, words: str) -> None:
    beyond = json_path in BEYOND and words in (
        "these keys: minute, pit, breast", "'breast' a second time", "at most pit_high",
        "100 h after", "twice",
    )  # fmt: skip
    impossible_day = "2026-02-29" in text
    assert fits(text) == (beyond or impossible_day)


@settings(max_examples=150, deadline=None)
@given(documents())
def test_any_good_document_fits_unless_it_compares_badly(document: dict[str, Any]) -> None:
    text = json.dumps(document)
    assert fits(text)


@settings(max_examples=500, deadline=None)
@given(st.sampled_from(PLACES), JSON_VALUES.filter(finite))
def test_reader_and_schema_agree_on_any_value_anywhere(
    place: tuple[str | int, ...], value: object
) -> None:
    text = changed(place, value)
    if place == ("format",) and value == 1.0:
        return  # written 1.0, which no schema can tell from 1
    if is_read(text):
        assert fits(text)
    elif fits(text):
        assert place in (("plan", "pit_low"), ("plan", "pit_high"), ("probes", 0, "name"),
                         ("readings", 0), ("probes",), ("probes", 0)), place  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=45))
def test_reader_and_schema_agree_on_names(name: str) -> None:
    text = changed(("probes",), [{"name": name, "target": 74}], LEAST)
    if is_read(text):
        assert fits(text)
    elif fits(text):
        assert not name.isprintable(), "only what cannot be printed may slip through"


@settings(max_examples=300, deadline=None)
@given(
    st.from_regex(
        r"\A(1970|1971|2026|2199|2200)-[01][0-9]-[0-3][0-9][T ][0-2][0-9]:[0-6][0-9](:[0-6][0-9]"
        r"(\.[0-9]{1,7})?)?(Z|z|[+-][0-2][0-9]:[0-6][0-9])\n?\Z"
    )
)
def test_reader_and_schema_agree_on_times(time: str) -> None:
    text = changed(("started_at",), time, LEAST)
    if is_read(text):
        assert fits(text)
    elif fits(text):
        assert time[8:10] in ("29", "30", "31"), "only a day that its month lacks slips through"
