"""The Ledger's list in words: columns, order, search, and one sentence for each cook."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import overload

from rich.cells import cell_len, set_cell_size

from app.display import Display, one_line, span
from app.ledger import LedgerEntry
from app.presenters.words import sentence
from core.catalogue import cut_named
from storage.values import Outcome

RIGHT_S = 150.0
"""Within so many seconds of the truth a forecast, or of the plan a finish, counts as right."""

SMALL_S = 180.0
"""What cost less than this is not named in a sentence [s]."""

NOT_YET, NOTHING = "...", "-"


LONG_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


class Column(StrEnum):
    """What the list can be sorted by; the value is the heading."""

    NUMBER = "no."
    DATE = "meat on"
    CUT = "cut"
    WEIGHT = "weight"
    PIT = "pit"
    PLAN = "plan"
    TOOK = "took"
    LATE = "against plan"
    HALF = "said at half"
    OUTCOME = "of 5"
    TITLE = "title"
    HELD = "what held it back"


WIDTHS = {
    Column.NUMBER: 3,
    Column.DATE: 9,
    Column.CUT: 14,
    Column.WEIGHT: 7,
    Column.PIT: 6,
    Column.PLAN: 5,
    Column.TOOK: 5,
    Column.LATE: 8,
    Column.HALF: 8,
    Column.OUTCOME: 3,
}
"""Cells of each column; title and what held it back share what is left."""

SHORT = {Column.LATE: "late", Column.HALF: "at half", Column.OUTCOME: "1-5"}
TITLE_FROM, HELD_FROM = 100, 160
GIVE_WAY = (Column.WEIGHT, Column.PLAN, Column.PIT, Column.OUTCOME, Column.CUT)
"""Columns that go first where there is no room for all; Enter shows what they say."""


@dataclass(frozen=True, slots=True)
class Heading:
    """One column of a table of a certain width."""

    column: Column
    text: str
    width: int


def headings(width: int) -> tuple[Heading, ...]:
    """The columns that a table of `width` cells has room for, each with a blank behind it."""
    fixed = [Heading(c, SHORT.get(c, c.value)[:w], w) for c, w in WIDTHS.items()]
    left = width - sum(heading.width + 1 for heading in fixed)
    for column in GIVE_WAY:
        # the last column needs no blank behind it
        if left < -1:
            left += WIDTHS[column] + 1
            fixed = [heading for heading in fixed if heading.column is not column]
    if width < TITLE_FROM:
        return tuple(fixed)
    if width < HELD_FROM:
        return (*fixed, Heading(Column.TITLE, Column.TITLE.value, left))
    title = min(left // 2, 40)
    rest = left - title - 1
    return (
        *fixed,
        Heading(Column.TITLE, Column.TITLE.value, title),
        Heading(Column.HELD, Column.HELD.value, rest),
    )


def hours(seconds: float | None) -> str:
    """A length as hours and minutes: ``4:05``."""
    if seconds is None:
        return NOTHING
    minutes = round(abs(seconds) / 60.0)
    return f"{minutes // 60}:{minutes % 60:02d}"


def early_late(seconds: float | None) -> str:
    """``35 late``, ``12 early`` in minutes, ``4h late`` from 100 minutes on, or ``right``."""
    if seconds is None:
        return NOTHING
    if abs(seconds) < RIGHT_S:
        return "right"
    word = "late" if seconds > 0 else "early"
    minutes = round(abs(seconds) / 60.0)
    return f"{minutes} {word}" if minutes < 100 else f"{round(minutes / 60.0)}h {word}"


def score(outcome: Outcome | None) -> float | None:
    """Mean of what was scored, 1 to 5; None without a score."""
    if outcome is None:
        return None
    scores = (outcome.tender, outcome.juicy, outcome.skin, outcome.smoke)
    given = [value for value in scores if value is not None]
    return sum(given) / len(given) if given else None


def cell(entry: LedgerEntry, column: Column, display: Display) -> str:
    """One cell in words."""
    summary = entry.summary
    match column:
        case Column.NUMBER:
            return str(summary.id)
        case Column.DATE:
            local = display.local(summary.started_at)
            return f"{local.day:2} {LONG_MONTHS[local.month - 1][:3]} {local.year % 100:02}"
        case Column.CUT:
            return cut_named(summary.cut).name
        case Column.WEIGHT:
            return display.mass(summary.mass_kg)
        case Column.TITLE:
            mark = " (invented)" if summary.invented and "invented" not in summary.title else ""
            return one_line(summary.title) + mark
        case Column.OUTCOME:
            mean = score(entry.outcome)
            return NOTHING if mean is None else f"{mean:.1f}"
        case Column.HELD:
            return "; ".join(held_words(entry))
        case _:
            return _figure(entry, column, display)


def _figure(entry: LedgerEntry, column: Column, display: Display) -> str:
    """A cell that needs the figures of a cook that is over."""
    kept = entry.kept
    if not entry.over:
        return "in hand" if column is Column.LATE else NOTHING
    if kept is None:
        return NOT_YET
    if column is Column.PIT:
        return NOTHING if kept.pit_c is None else display.temp(kept.pit_c)
    if column is Column.PLAN and kept.planned_s is None and kept.expected_s is not None:
        return f"~{hours(kept.expected_s)}"
    if column is Column.PLAN:
        return hours(kept.planned_s)
    if column is Column.TOOK:
        return hours(kept.took_s)
    return early_late(kept.late_s if column is Column.LATE else kept.half_miss_s)


def held_words(entry: LedgerEntry) -> list[str]:
    """What held the finish back or hurried it, largest first: ``fire 24 min later``."""
    kept = entry.kept
    if kept is None:
        return []
    parts = [("fire", kept.fire_s), ("stall", kept.stall_s), ("the piece", kept.piece_s)]
    known = [(name, cost) for name, cost in parts if cost is not None and abs(cost) >= SMALL_S]
    known.sort(key=lambda part: -abs(part[1]))
    return [f"{name} {span(cost)} {'later' if cost > 0 else 'sooner'}" for name, cost in known]


def about(entry: LedgerEntry, display: Display) -> str:
    """One cook in a sentence or two: what it was, how it ran against its plan, and why."""
    summary, kept = entry.summary, entry.kept
    title = cell(entry, Column.TITLE, display)
    if not entry.over:
        return f"{title}: in hand. Enter opens it."
    if kept is None:
        return f"{title}: its figures are being worked out."
    if kept.failed:
        return f"{title}: no figures, because {kept.failed}."
    words = f"{title}: {_ran(entry)}"
    held = held_words(entry)
    if held:
        name = cut_named(summary.cut).name
        words += f" {sentence(', '.join(held))[:-1]}, against a usual {name} on the planned pit."
    return words


def _ran(entry: LedgerEntry) -> str:
    kept = entry.kept
    if kept is None or kept.took_s is None:
        return "no time off the heat was logged."
    took = span(kept.took_s)
    if kept.late_s is None:
        return f"{took} on the heat."
    against = "planned" if kept.planned_s is not None else "forecast at meat-on"
    if abs(kept.late_s) < RIGHT_S:
        return f"{took} on the heat, as {against}."
    word = "later" if kept.late_s > 0 else "sooner"
    return f"{took} on the heat, {span(kept.late_s)} {word} than {against}."


# order and search


def _sort_value(entry: LedgerEntry, column: Column) -> float | str | None:
    summary, kept = entry.summary, entry.kept
    simple: dict[Column, float | str | None] = {
        Column.NUMBER: float(summary.id),
        Column.DATE: summary.started_at.timestamp(),
        Column.CUT: cut_named(summary.cut).name,
        Column.WEIGHT: summary.mass_kg,
        Column.TITLE: summary.title.casefold(),
        Column.OUTCOME: score(entry.outcome),
    }
    if column in simple:
        return simple[column]
    if kept is None:
        return None
    return {
        Column.PIT: kept.pit_c,
        Column.PLAN: kept.planned_s if kept.planned_s is not None else kept.expected_s,
        Column.TOOK: kept.took_s,
        Column.LATE: kept.late_s,
        Column.HALF: kept.half_miss_s,
        Column.HELD: kept.fire_s,
    }[column]


FALLING = frozenset({Column.DATE, Column.NUMBER, Column.LATE, Column.OUTCOME})
"""Columns that begin with their largest: the newest, the latest, the best."""


def ordered(
    found: Sequence[LedgerEntry], column: Column, *, turned: bool = False
) -> list[LedgerEntry]:
    """The entries by one column, unknown ones last; `turned` is the other way round."""
    keyed = [(_sort_value(entry, column), entry) for entry in found]
    known = [(value, entry) for value, entry in keyed if value is not None]
    known.sort(key=lambda pair: pair[0], reverse=(column in FALLING) != turned)
    unknown = [entry for value, entry in keyed if value is None]
    return [*(entry for _, entry in known), *unknown]


def haystack(entry: LedgerEntry, display: Display) -> str:
    """All that a search looks through, in one small-lettered text."""
    summary, outcome, kept = entry.summary, entry.outcome, entry.kept
    local = display.local(summary.started_at)
    parts = [
        summary.title, cut_named(summary.cut).name, f"{local:%Y-%m-%d}",
        f"{LONG_MONTHS[local.month - 1]} {local.year}", f"#{summary.id}",
    ]  # fmt: skip
    if outcome is not None:
        parts += [outcome.words, outcome.change, outcome.wood]
    if kept is not None:
        parts.append(kept.words)
    return " ".join(parts).casefold()


def matches(hay: str, query: str) -> bool:
    """Whether every word of the search is in the text."""
    return all(word in hay for word in query.casefold().split())


@dataclass(frozen=True, slots=True)
class RowView:
    """One row as it is painted: its cells, cut to their widths, and what it stands for."""

    cook_id: int
    cells: tuple[str, ...]


class Rows(Sequence[RowView]):
    """Rows that are worded when they are looked at: only those on the screen cost anything."""

    def __init__(
        self, found: Sequence[LedgerEntry], heads: tuple[Heading, ...], display: Display
    ) -> None:
        self.entries, self.heads, self._display = found, heads, display
        self._worded: dict[int, RowView] = {}

    def __len__(self) -> int:
        return len(self.entries)

    @overload
    def __getitem__(self, index: int) -> RowView: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[RowView]: ...
    def __getitem__(self, index: int | slice) -> RowView | Sequence[RowView]:
        if isinstance(index, slice):
            return [self[i] for i in range(*index.indices(len(self)))]
        if index not in self._worded:
            entry = self.entries[index]
            cells = (cut_short(cell(entry, h.column, self._display), h.width) for h in self.heads)
            self._worded[index] = RowView(entry.summary.id, tuple(cells))
        return self._worded[index]


def cut_short(text: str, width: int) -> str:
    """The text in exactly so many cells of a terminal."""
    if cell_len(text) <= width:
        return set_cell_size(text, width)
    return set_cell_size(f"{set_cell_size(text, width - 1).rstrip()}…", width)
