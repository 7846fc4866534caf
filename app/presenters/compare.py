"""Cooks side by side: what differed, and how many minutes each difference made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from app.display import Display, one_line, span
from app.presenters.ledger import LONG_MONTHS, hours
from app.presenters.review import SMALL_S, counted
from core.catalogue import cut_named
from core.cook import Cook, EventKind
from storage.values import SavedCook

if TYPE_CHECKING:
    from core.compare import Difference, Effect, Fitted

ROWS = (
    ("cut and weight", "cut and weight"),
    ("start", "start"),
    ("target", "target"),
    ("pit", "pit"),
    ("lids", "lid openings"),
    ("wrap", "wrap"),
    ("glaze and spritz", "glaze, spritz"),
    ("stall", "stall"),
    ("build", "build, probe"),
)
"""Key of `core.compare.Input` and its name in the table."""

FUEL, WOOD = "fuel", "wood"
IN_THE_PIT, NOT_KNOWN = "in the pit", "not modelled"


@dataclass(frozen=True, slots=True)
class Compared:
    """One cook of the comparison.

    ``difference`` is against the first cook; None for that one itself, or where `reason` says why
    there is none.
    """

    letter: str
    saved: SavedCook
    fitted: Fitted | None = None
    difference: Difference | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells under headings."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def legend(cooks: Sequence[Compared], display: Display) -> list[str]:
    """One line for each cook: its letter, what it was, and when."""
    lines = []
    for one in cooks:
        start = display.local(one.saved.started_at)
        day = f"{start.day} {LONG_MONTHS[start.month - 1]} {start.year}"
        finish = "" if one.fitted is None else f", done after {hours(one.fitted.finish_s)}"
        lines.append(f"{one.letter}  #{one.saved.id} {one_line(one.saved.title)}, {day}{finish}")
    return lines


def sentences(cooks: Sequence[Compared]) -> list[str]:
    """For each other cook: how much later than the first, and what explains most of it."""
    return [_sentence(one, cooks[0].letter) for one in cooks[1:]]


def _sentence(one: Compared, first: str) -> str:
    found = one.difference
    if found is None:
        reason = one.reason or "the model has no answer"
        return f"{one.letter} cannot be set against {first}: {reason}."
    words = f"{one.letter} was done {_later(found.real_s)} {first}."
    big = [e for e in found.effects if abs(e.mean_s) >= 2 * SMALL_S and sure(e)][:3]
    if big:
        words += " By the model: " + ", ".join(_effect_words(effect) for effect in big) + "."
    if abs(found.unexplained_s) >= 2 * SMALL_S:
        words += f" {span(found.unexplained_s)} {_side(found.unexplained_s)} are not explained."
    return words


def _later(seconds: float) -> str:
    if abs(seconds) < SMALL_S:
        return "as soon as"
    return f"{span(seconds)} {_side(seconds)} than"


def _side(seconds: float) -> str:
    return "later" if seconds > 0 else "sooner"


def _effect_words(effect: Effect) -> str:
    least = "at least " if effect.bound else ""
    return f"{dict(ROWS)[effect.input.value]} {least}{span(effect.mean_s)} {_side(effect.mean_s)}"


def sure(effect: Effect) -> bool:
    """Whether the readings of both cooks say on which side of nothing it is."""
    return effect.low_s > 0.0 or effect.high_s < 0.0


def differences(cooks: Sequence[Compared], display: Display) -> Table:
    """What each cook had, row by row."""
    facts = [facts_of(one, display) for one in cooks]
    names = ("cut and weight", "start", "target", "pit", "lid openings", "wrap", "glaze, spritz")
    rows = [(name, *(fact[name] for fact in facts)) for name in (*names, FUEL, WOOD)]
    return Table("What each had", ("", *(one.letter for one in cooks)), tuple(rows))


def facts_of(one: Compared, display: Display) -> Mapping[str, str]:
    """The inputs of one cook in words, by row name."""
    from core.pit_statistics import heat_end_s, pit_statistics

    cook = one.saved.cook
    known = cook.known_at(heat_end_s(cook))
    pit = pit_statistics(cook)
    probe = one.fitted.probe if one.fitted else (cook.probes[0] if cook.probes else None)
    start = None if one.fitted is None else one.fitted.start.temp_c
    return {
        "cut and weight": f"{cut_named(cook.plan.cut).name} {display.mass(cook.plan.mass_kg)}",
        "start": "-" if start is None else display.temp(start),
        "target": "-" if probe is None else display.temp(probe.target_c),
        "pit": "-" if pit.mean_c is None else display.temp(pit.mean_c),
        "lid openings": str(pit.openings),
        "wrap": _wraps(known),
        "glaze, spritz": _wets(known),
        FUEL: _notes(known, EventKind.FUEL_ADDED),
        WOOD: _notes(known, EventKind.WOOD_ADDED),
    }


def _wraps(cook: Cook) -> str:
    found = [e for e in cook.events if e.kind is EventKind.WRAPPED]
    if not found:
        return "none"
    return ", ".join(f"{one_line(e.note) or 'wrapped'} at {hours(e.elapsed_s)}" for e in found)


def _wets(cook: Cook) -> str:
    parts = [f"glazed {hours(e.elapsed_s)}" for e in cook.events if e.kind is EventKind.GLAZED]
    sprays = sum(e.kind is EventKind.SPRITZED for e in cook.events)
    if sprays:
        parts.append(f"{sprays} sprays" if sprays > 1 else "1 spray")
    return ", ".join(parts) or "none"


def _notes(cook: Cook, kind: EventKind) -> str:
    notes = [event.note or "added" for event in cook.events if event.kind is kind]
    return counted(notes) if notes else "none logged"


def minutes(cooks: Sequence[Compared]) -> Table:
    """How many minutes later than the first each difference made the others."""
    others = [one for one in cooks[1:] if one.difference is not None]
    rows = [(name, *(_effect_cell(one, key) for one in others)) for key, name in ROWS] + [
        (FUEL, *(IN_THE_PIT for _ in others)),
        (WOOD, *(NOT_KNOWN for _ in others)),
    ]
    sums = (
        ("several together", "together_s"), ("not explained", "unexplained_s"),
        ("really later", "real_s"),
    )  # fmt: skip
    rows += [
        (name, *(_signed(getattr(one.difference, field)) for one in others)) for name, field in sums
    ]
    heading = f"Minutes later than {cooks[0].letter}, by the model, one input swapped at a time"
    return Table(heading, ("", *(one.letter for one in others)), tuple(rows))


def _effect_cell(one: Compared, key: str) -> str:
    found = one.difference
    effect = next((e for e in found.effects if e.input.value == key), None) if found else None
    if effect is None:
        return "-"
    if effect.low_s == effect.high_s == 0.0:
        return "same"
    least = ">" if effect.bound and effect.mean_s > 0 else "<" if effect.bound else ""
    low, high = round(effect.low_s / 60.0), round(effect.high_s / 60.0)
    cell = f"{least}{_signed(effect.mean_s)}"
    return cell if low == high else f"{cell} ({low} to {high})"


def _signed(seconds: float) -> str:
    whole = round(seconds / 60.0)
    return f"{whole:+d}" if whole else "0"


def table_text(table: Table, width: int) -> list[str]:
    """The table as lines no wider than `width`; long cells are folded under themselves."""
    count = len(table.columns)
    first = max(len(row[0]) for row in table.rows) + 1
    each = max((width - first) // max(count - 1, 1), 8)
    lines = [table.heading]
    for row in (table.columns, *table.rows):
        folded = [_folded(row[0], first)] + [_folded(cell, each - 1) for cell in row[1:]]
        for place in range(max(len(cell) for cell in folded)):
            parts = [cell[place] if place < len(cell) else "" for cell in folded]
            line = parts[0].ljust(first) + " ".join(p.ljust(each - 1) for p in parts[1:])
            lines.append(line.rstrip())
    return lines


def _folded(text: str, width: int) -> list[str]:
    import textwrap

    return textwrap.wrap(text, width) or [""]
