"""Strict reading of cook documents: every value is checked where it stands.

An error names the file, the JSON path, what was found and what is allowed. Unknown keys and keys
given twice are errors: a misspelt key would else be lost without a word.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NoReturn, TypeVar

from core.catalogue import CUTS
from core.cook import Event, EventKind, Plan, Probe, Reading, Shape
from core.units import TemperatureUnit, from_celsius, to_celsius
from storage import limits
from storage.documents import FORMAT, CookDocument
from storage.errors import DocumentError, shown
from storage.times import zone_from_text

_T = TypeVar("_T")
_JSON_WORDS = {
    "None": "nothing", "True": "true", "False": "false",
    "nan": "NaN", "inf": "Infinity", "-inf": "-Infinity",
}  # fmt: skip
"""How JSON spells what Python spells otherwise."""
_PLAIN_KEY = re.compile(r"\w+")
_TIME = re.compile(
    r"(\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(?::\d{2}(?:\.\d{1,6})?)?)(Z|[+-](?:[01]\d|2[0-3]):[0-5]\d)",
    re.ASCII,
)
_TIME_RULE = "a time with its offset, like 2026-05-09T13:05:00-05:00 or 2026-05-09T18:05:00Z"


class _Object(dict[str, Any]):
    """A JSON object that remembers which keys it was given twice."""

    def __init__(self, pairs: list[tuple[str, Any]]) -> None:
        super().__init__(pairs)
        counts = Counter(key for key, _ in pairs) if len(pairs) > len(self) else {}
        self.twice = [key for key, count in counts.items() if count > 1]


@dataclass(frozen=True, slots=True)
class Node:
    """One value of the document and where it stands."""

    file: str
    path: str
    value: Any

    def fail(self, allowed: str, found: str | None = None) -> NoReturn:
        """Raise DocumentError for this place."""
        if found is None:
            found = _JSON_WORDS.get(repr(self.value)) or shown(self.value)
        raise DocumentError(self.file, self.path, found, allowed)

    def child(self, key: str | int) -> Node:
        """The member of an object (None if it is missing) or the entry of a list."""
        if isinstance(key, int):
            return Node(self.file, f"{self.path}[{key}]", self.value[key])
        step = key if _PLAIN_KEY.fullmatch(key) else f"[{shown(key)}]"
        path = f"{self.path}.{step}" if self.path and step is key else f"{self.path}{step}"
        return Node(self.file, path, self.value.get(key))

    def object(self, allowed: Collection[str], what: str) -> Node:
        """This node if it is an object with no keys but these, each once."""
        if not isinstance(self.value, _Object):
            self.fail(f"an object: {what}")
        if self.value.twice:
            self.child(self.value.twice[0]).fail("each key once", "a key given twice")
        for key in self.value:
            if key not in allowed:
                keys = ", ".join(allowed)
                self.child(key).fail(f"these keys: {keys}", f"unknown key {shown(key)}")
        return self

    def items(self, what: str) -> list[Node]:
        """The entries of a list; none if it is missing or null."""
        if self.value is None:
            return []
        if not isinstance(self.value, list):
            self.fail(f"a list of {what}")
        return [self.child(index) for index in range(len(self.value))]

    def text(self) -> str:
        """A text; empty if it is missing or null."""
        if self.value is None:
            return ""
        if not isinstance(self.value, str) or not limits.good_text(self.value):
            self.fail(limits.TEXT_RULE)
        return self.value

    def number(self, low: float, high: float, unit: str) -> float:
        """A finite number inside the bounds."""
        rule = f"a number from {low:g} to {high:g} {unit}"
        if isinstance(self.value, bool) or not isinstance(self.value, (int, float)):
            self.fail(rule)
        if not low <= self.value <= high:
            self.fail(rule)
        return float(self.value)

    def choice(self, allowed: Iterable[str]) -> str:
        """One of these words."""
        words = list(allowed)
        if not isinstance(self.value, str) or self.value not in words:
            self.fail(f"one of {', '.join(words)}")
        return self.value

    def time(self) -> datetime:
        """An aware time, with the offset as given."""
        match = _TIME.fullmatch(self.value) if isinstance(self.value, str) else None
        if match is None:
            self.fail(_TIME_RULE)
        try:
            at = datetime.fromisoformat(match[1]).replace(tzinfo=zone_from_text(match[2]))
        except ValueError:
            self.fail(_TIME_RULE)
        if not limits.YEARS[0] < at.year < limits.YEARS[1]:
            self.fail(f"a year after {limits.YEARS[0]} and before {limits.YEARS[1]}")
        return at

    def maybe(self, read: Callable[[Node], _T]) -> _T | None:
        """What `read` makes of it, None if it is missing or null."""
        return None if self.value is None else read(self)


def read_text(text: str, name: str) -> CookDocument:
    """The document in `text`; see :func:`storage.documents.parse_document`."""
    root = Node(name, "", _json(text, name)).object(
        ("format", "title", "started_at", "unit", "plan", "probes", "readings", "events"),
        "a cook document",
    )
    version = root.child("format")
    if type(version.value) is not int or version.value != FORMAT:
        version.fail(f"{FORMAT}")
    unit = TemperatureUnit(root.child("unit").choice(tuple(TemperatureUnit)))
    started_at = root.child("started_at").time()
    plan, serve_at = _plan(root.child("plan"), unit, started_at)
    probes = _probes(root.child("probes"), unit)
    readings = [_reading(node, unit, probes) for node in root.child("readings").items("readings")]
    events = [_event(node) for node in root.child("events").items("events")]
    return CookDocument(
        title=root.child("title").text(),
        started_at=started_at,
        unit=unit,
        plan=plan,
        probes=probes,
        readings=tuple(sorted(readings, key=lambda reading: reading.elapsed_s)),
        events=tuple(sorted(events, key=lambda event: event.elapsed_s)),
        serve_at=serve_at,
        source=text,
    )


def _json(text: str, name: str) -> Any:
    try:
        # NaN and Infinity are no JSON, but they are let through here: no place of a document
        # takes them, and there the error can say where they stand.
        return json.loads(text.removeprefix("\ufeff"), object_pairs_hook=_Object)
    except json.JSONDecodeError as error:
        where = f"line {error.lineno} column {error.colno}"
        raise DocumentError(name, where, error.msg, "JSON") from error
    except ValueError as error:
        raise DocumentError(name, "", str(error), "JSON") from error


def _temp(node: Node, unit: TemperatureUnit) -> float:
    """A temperature in °C."""
    low, high = (from_celsius(temp_c, unit) for temp_c in limits.TEMP_C)
    return to_celsius(node.number(low, high, f"°{unit}"), unit)


def _elapsed_s(node: Node) -> float:
    low, high = limits.ELAPSED_S
    return node.number(low / 60, high / 60, "minutes from meat-on") * 60.0


_PLAN_KEYS = (
    "cut", "mass_kg", "pit", "pit_low", "pit_high", "serve_at", "rest_min", "shape", "thickness_cm",
)  # fmt: skip


def _plan(node: Node, unit: TemperatureUnit, started_at: datetime) -> tuple[Plan, datetime | None]:
    node.object(_PLAN_KEYS, "the plan")
    cut = node.child("cut").choice(CUTS)
    low_cm, high_cm = (100.0 * bound for bound in limits.THICKNESS_M)
    low_min, high_min = (bound / 60.0 for bound in limits.REST_S)
    serve_at = node.child("serve_at").maybe(Node.time)
    plan = Plan(
        cut=cut,
        mass_kg=node.child("mass_kg").number(*limits.MASS_KG, "kg"),
        pit_c=_temp(node.child("pit"), unit),
        pit_low_c=node.child("pit_low").maybe(lambda n: _temp(n, unit)),
        pit_high_c=node.child("pit_high").maybe(lambda n: _temp(n, unit)),
        serve_s=None if serve_at is None else (serve_at - started_at).total_seconds(),
        rest_s=node.child("rest_min").maybe(
            lambda n: n.number(low_min, high_min, "minutes") * 60.0
        ),
        shape=node.child("shape").maybe(lambda n: Shape(n.choice(tuple(Shape)))),
        thickness_m=node.child("thickness_cm").maybe(
            lambda n: n.number(low_cm, high_cm, "cm") / 100.0
        ),
    )
    _check_together(node, plan)
    return plan, serve_at


def _check_together(node: Node, plan: Plan) -> None:
    """What no value of the plan shows alone."""
    if plan.serve_s is not None and not limits.within(plan.serve_s, limits.ELAPSED_S):
        node.child("serve_at").fail("a meal within 72 h before and 100 h after started_at")
    low_c, high_c = plan.pit_low_c, plan.pit_high_c
    if low_c is not None and high_c is not None and low_c > high_c:
        node.child("pit_low").fail("at most pit_high")
    for key in ("shape", "thickness_cm"):
        member = node.child(key)
        if plan.cut == "other" and member.value is None:
            member.fail("shape and thickness_cm, for the cut 'other'")
        if plan.cut != "other" and member.value is not None:
            member.fail("nothing: only the cut 'other' has it")


def _probes(node: Node, unit: TemperatureUnit) -> tuple[Probe, ...]:
    probes: list[Probe] = []
    for item in node.items("probes"):
        item.object(("name", "start", "target", "glaze", "wrap"), "a probe")
        name = item.child("name")
        if not isinstance(name.value, str) or not limits.good_name(name.value):
            name.fail(limits.NAME_RULE)
        if any(probe.name == name.value for probe in probes):
            name.fail(limits.NAME_RULE, f"{shown(name.value)} a second time")
        target_c = _temp(item.child("target"), unit)
        start_c, glaze_c, wrap_c = (
            item.child(key).maybe(lambda n: _temp(n, unit)) for key in ("start", "glaze", "wrap")
        )
        probes.append(Probe(name.value, target_c, start_c, glaze_c, wrap_c))
    return tuple(probes)


def _reading(node: Node, unit: TemperatureUnit, probes: tuple[Probe, ...]) -> Reading:
    names = [probe.name for probe in probes]
    node.object(("minute", "pit", *names), "a reading with minute, pit and probes of the cook")
    meat = [(name, node.child(name).maybe(lambda n: _temp(n, unit))) for name in names]
    return Reading(
        elapsed_s=_elapsed_s(node.child("minute")),
        pit_c=node.child("pit").maybe(lambda n: _temp(n, unit)),
        meat_c=tuple((name, temp_c) for name, temp_c in meat if temp_c is not None),
    )


def _event(node: Node) -> Event:
    node.object(("minute", "kind", "note"), "an event")
    kind = EventKind(node.child("kind").choice(tuple(EventKind)))
    return Event(_elapsed_s(node.child("minute")), kind, node.child("note").text())
