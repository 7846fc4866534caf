"""What the cook document has no key for, as notes that a person can read and an import reads back.

Outcome and mixes of a cook go out as `note` events::

    Outcome: tender 4, juicy 3, wood "cherry", words "crisp skin", change "a lower pit"
    Mix: brine "Plain brine", meat 2.3 kg, "water 3 L", "salt 150 g"

Texts stand in quotes as in JSON, so that nothing in them can be taken for something else. A note
that keeps to the form only nearly is a note like any other.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from core.cook import Event, EventKind
from storage.documents import CookDocument
from storage.errors import InvalidEntry
from storage.limits import MIX_KINDS, check_mix, check_outcome
from storage.values import Mix, Outcome

_GRADES = ("tender", "juicy", "skin", "smoke")
_TEXTS = ("wood", "words", "change")
_OUTCOME, _MIX = "Outcome: ", "Mix: "
_TEXT = r'"(?:[^"\\]|\\.)*"'
_OUTCOME_ITEM = re.compile(rf"({'|'.join(_GRADES)}) ([1-5])|({'|'.join(_TEXTS)}) ({_TEXT})", re.S)
_MIX_HEAD = re.compile(
    rf"({'|'.join(MIX_KINDS)}) ({_TEXT})(?:, meat (\d+(?:\.\d+)?(?:e-?\d+)?) kg)?", re.S
)
_MIX_LINE = re.compile(rf", ({_TEXT})", re.S)


@dataclass(frozen=True, slots=True)
class Extras:
    """What stands beside a cook; the ids of the mixes mean nothing."""

    outcome: Outcome | None
    mixes: tuple[Mix, ...]


def with_notes(document: CookDocument, extras: Extras) -> CookDocument:
    """The document with its extras as notes at the time of the last thing that it tells."""
    said = [_mix_text(mix) for mix in extras.mixes]
    said += [] if extras.outcome is None else [_outcome_text(extras.outcome)]
    times = [
        0.0,
        *(r.elapsed_s for r in document.readings),
        *(e.elapsed_s for e in document.events),
    ]
    notes = tuple(Event(max(times), EventKind.NOTE, text) for text in said)
    return replace(document, events=(*document.events, *notes))


def without_notes(document: CookDocument) -> tuple[CookDocument, Extras]:
    """The document without such notes, and what they say; the last outcome counts."""
    kept: list[Event] = []
    outcome: Outcome | None = None
    mixes: dict[str, Mix] = {}
    for event in document.events:
        note = event.note if event.kind is EventKind.NOTE else ""
        found, mix = _outcome_of(note), _mix_of(note, document.started_at)
        if found is not None:
            outcome = found
        elif mix is not None:
            mixes[mix.name] = mix
        else:
            kept.append(event)
    return replace(document, events=tuple(kept)), Extras(outcome, tuple(mixes.values()))


def _outcome_text(outcome: Outcome) -> str:
    grades = ((field, getattr(outcome, field)) for field in _GRADES)
    texts = ((field, getattr(outcome, field)) for field in _TEXTS)
    items = [f"{field} {grade}" for field, grade in grades if grade is not None]
    items += [f"{field} {_quoted(text)}" for field, text in texts if text]
    return _OUTCOME + ", ".join(items)


def _outcome_of(note: str) -> Outcome | None:
    if not note.startswith(_OUTCOME):
        return None
    # Whatever the pattern finds, in whatever order: the outcome counts only if it would go out
    # as just this note.
    values: dict[str, Any] = {}
    for match in _OUTCOME_ITEM.finditer(note, len(_OUTCOME)):
        grade, digit, field, text = match.groups()
        values[grade or field] = int(digit) if grade else _unquoted(text)
    outcome = Outcome(**values)
    same = outcome != Outcome() and _outcome_text(outcome) == note
    return outcome if same and _good(lambda: check_outcome(outcome)) else None


def _mix_text(mix: Mix) -> str:
    meat = [] if mix.meat_kg is None else [f"meat {mix.meat_kg!r} kg"]
    items = [f"{mix.kind} {_quoted(mix.name)}", *meat, *map(_quoted, mix.lines)]
    return _MIX + ", ".join(items)


def _mix_of(note: str, at: datetime) -> Mix | None:
    head = _MIX_HEAD.match(note, len(_MIX)) if note.startswith(_MIX) else None
    if head is None:
        return None
    lines = _MIX_LINE.findall(note, head.end())
    mix = Mix(
        id=0,
        name=_unquoted(head[2]),
        kind=head[1],
        lines=tuple(_unquoted(line) for line in lines),
        meat_kg=None if head[3] is None else float(head[3]),
        saved_at=at,
    )
    good = _good(lambda: check_mix(mix.name, mix.kind, mix.lines, mix.meat_kg))
    return mix if good and _mix_text(mix) == note else None


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _unquoted(text: str) -> str:
    """A text in quotes; what no text can be comes back as nothing, and then fits nothing."""
    try:
        value = json.loads(text)
    except ValueError:
        return ""
    return value if isinstance(value, str) else ""


def _good(check: Callable[[], None]) -> bool:
    try:
        check()
    except InvalidEntry:
        return False
    return True
