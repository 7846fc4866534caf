"""Cook documents: the JSON form in which cooks are exchanged.

Reading is strict (see :mod:`storage.document_checks`). Writing is stable: the same cook always
gives the same text, and the numbers are those that were typed, not their neighbours.
"""

from __future__ import annotations

import hashlib
import json
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from core.cook import Event, EventKind, Plan, Probe, Reading
from core.units import TemperatureUnit, from_celsius, to_celsius
from storage.errors import DocumentError
from storage.times import iso_text

FORMAT = 1
_INVENTED = re.compile(r"\binvented\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class CookDocument:
    """One cook as a document holds it, in core's units.

    Attributes
    ----------
    title : str
    started_at : datetime
        Meat-on, aware, with the offset it was given in.
    unit : TemperatureUnit
        Of the temperatures in the text; the values here are °C.
    plan, probes
        ``plan.serve_s`` goes with `serve_at`.
    readings, events : tuple
        In time order.
    serve_at : datetime or None
        The meal, with the offset it was given in.
    source : str
        The text it was read from, empty if it was made otherwise. Not compared.
    """

    title: str
    started_at: datetime
    unit: TemperatureUnit
    plan: Plan
    probes: tuple[Probe, ...] = ()
    readings: tuple[Reading, ...] = ()
    events: tuple[Event, ...] = ()
    serve_at: datetime | None = None
    source: str = field(default="", compare=False, repr=False)

    @property
    def invented(self) -> bool:
        """Whether the title, or the start of a note, says that this is an invented sample."""
        return _INVENTED.search(self.title) is not None or any(
            _INVENTED.match(event.note) for event in self.events if event.kind is EventKind.NOTE
        )


def read_document(path: Path) -> CookDocument:
    """The document in the file at `path`; raises DocumentError, also for what is no text."""
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        found = f"a byte that is not UTF-8 at {error.start}"
        raise DocumentError(str(path), "", found, "JSON text in UTF-8") from error
    except OSError as error:
        found = error.strerror or str(error)
        raise DocumentError(str(path), "", found, "a file that can be read") from error
    return parse_document(text, str(path))


def parse_document(text: str, name: str) -> CookDocument:
    """The document in `text`.

    Parameters
    ----------
    text : str
        JSON.
    name : str
        What errors call it, a file name mostly.

    Raises
    ------
    DocumentError
        Names the file, the JSON path, what was found and what is allowed.
    """
    from storage.document_checks import read_text

    try:
        return read_text(text, name)
    except RecursionError as error:
        raise DocumentError(name, "", "lists within lists without end", "JSON") from error


def dump_document(document: CookDocument) -> str:
    """The document as readable JSON text, one row to a line.

    A document that was read and still says the same goes out as it was written, so that not even
    the last digit of a number, a null or the order of the rows changes. Any other one is written
    from its values, rows in time order.
    """
    return _lay_out(_as_written(document) or _as_valued(document))


def fingerprint(document: CookDocument) -> str:
    """A mark that documents with equal values share, however they were written."""
    return hashlib.sha256(_lay_out(_as_valued(document)).encode()).hexdigest()


def number_text(temp_c: float, unit: TemperatureUnit) -> str:
    """A temperature [°C] as it was typed in `unit`."""
    return json.dumps(_temp(temp_c, unit))


def _as_written(document: CookDocument) -> dict[str, Any] | None:
    """The object that the document was read from, None if its values are others by now."""
    if not document.source or parse_document(document.source, "") != document:
        return None
    written: dict[str, Any] = json.loads(document.source.removeprefix("\ufeff"))
    return written


def _as_valued(document: CookDocument) -> dict[str, Any]:
    title = {"title": document.title} if document.title else {}
    return {
        "format": FORMAT,
        **title,
        "started_at": iso_text(document.started_at),
        "unit": str(document.unit),
        "plan": _plan(document),
        "probes": [_probe(probe, document.unit) for probe in document.probes],
        "readings": [_reading(reading, document.unit) for reading in document.readings],
        "events": [_event(event) for event in document.events],
    }


def _lay_out(values: dict[str, Any]) -> str:
    entries = (f"  {json.dumps(key)}: {_member(value)}" for key, value in values.items())
    return "{\n" + ",\n".join(entries) + "\n}\n"


def _member(value: object) -> str:
    if not isinstance(value, list) or not value:
        return json.dumps(value, ensure_ascii=False)
    rows = ",\n".join(f"    {json.dumps(row, ensure_ascii=False)}" for row in value)
    return f"[\n{rows}\n  ]"


def _plan(document: CookDocument) -> dict[str, Any]:
    plan, unit = document.plan, document.unit
    serve_at, rest_s, thickness_m = document.serve_at, plan.rest_s, plan.thickness_m
    values = {
        "cut": plan.cut,
        "mass_kg": _plain(plan.mass_kg),
        "pit": _temp(plan.pit_c, unit),
        "pit_low": None if plan.pit_low_c is None else _temp(plan.pit_low_c, unit),
        "pit_high": None if plan.pit_high_c is None else _temp(plan.pit_high_c, unit),
        "serve_at": None if serve_at is None else iso_text(serve_at),
        "rest_min": None if rest_s is None else minutes(rest_s),
        "shape": None if plan.shape is None else str(plan.shape),
        "thickness_cm": None
        if thickness_m is None
        else _inverse(thickness_m, lambda cm: cm / 100.0, thickness_m * 100.0),
    }
    return {key: value for key, value in values.items() if value is not None}


def _probe(probe: Probe, unit: TemperatureUnit) -> dict[str, Any]:
    temps = {
        "start": probe.start_c,
        "target": probe.target_c,
        "glaze": probe.glaze_c,
        "wrap": probe.wrap_c,
    }
    shown = {key: None if temp is None else _temp(temp, unit) for key, temp in temps.items()}
    return {"name": probe.name, **shown}


def _reading(reading: Reading, unit: TemperatureUnit) -> dict[str, Any]:
    pit = {} if reading.pit_c is None else {"pit": _temp(reading.pit_c, unit)}
    meat = {name: _temp(temp_c, unit) for name, temp_c in reading.meat_c}
    return {"minute": minutes(reading.elapsed_s), **pit, **meat}


def _event(event: Event) -> dict[str, Any]:
    note = {"note": event.note} if event.note else {}
    return {"minute": minutes(event.elapsed_s), "kind": str(event.kind), **note}


def minutes(elapsed_s: float) -> float:
    """Minutes that give `elapsed_s` when read back: 21.5 stays 21.5."""
    return _inverse(elapsed_s, lambda minute: minute * 60.0, elapsed_s / 60.0)


def _temp(temp_c: float, unit: TemperatureUnit) -> float:
    """Temperature in `unit` that gives `temp_c` when read back."""
    return _inverse(temp_c, lambda temp: to_celsius(temp, unit), from_celsius(temp_c, unit))


def _inverse(wanted: float, forward: Callable[[float], float], guess: float) -> float:
    """The shortest decimal number that `forward` leads to `wanted`.

    A conversion there and back misses the typed number by a rounding error (127.99999999999999
    for 128). The number somebody typed is the shortest one that converts to the same value. A
    temperature typed in the other unit may have none; then the nearest short one will do, and
    last a long one. Of °F numbers with more than 15 digits the last digit can be lost.
    """
    near = 4.0 * math.ulp(max(abs(wanted), 64.0))
    for most, apart in ((6, 0.0), (6, near), (15, 0.0)):
        for digits in range(most + 1):
            candidate = round(guess, digits)
            if abs(forward(candidate) - wanted) <= apart:
                return _plain(candidate)
    return _plain(guess)


def _plain(number: float) -> float:
    """Whole numbers without a decimal point."""
    return int(number) if number == int(number) else number
