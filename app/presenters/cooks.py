"""The list of past cooks in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from app.display import Display, one_line, span
from core.catalogue import cut_named
from storage.values import CookSummary

HEADINGS = ("Meat on", "Cook", "Weight", "Pit", "Logged", "State")
NARROW_TITLE = 24


@dataclass(frozen=True, slots=True)
class CookRow:
    """One row, in the order of `HEADINGS`."""

    cook_id: int
    cells: tuple[str, ...]


def present_cooks(
    cooks: tuple[CookSummary, ...], now: datetime, display: Display, width: int
) -> tuple[CookRow, ...]:
    """All cooks, newest first, in one person's units, for a table of that width."""
    title_width = NARROW_TITLE + max(width - 80, 0)
    return tuple(_row(cook, now, display, title_width) for cook in cooks)


def _row(cook: CookSummary, now: datetime, display: Display, title_width: int) -> CookRow:
    local = display.local(cook.started_at)
    if cook.ended_at is not None:
        state = span((cook.ended_at - cook.started_at).total_seconds())
    elif cook.started_at > now:
        state = "not on yet"
    else:
        state = f"on, {span((now - cook.started_at).total_seconds())}"
    name = cut_named(cook.cut).name
    title = one_line(cook.title)
    title = title if name in title.lower() else f"{title}, {name}".lstrip(", ")
    if cook.invented and "invented" not in title:
        title += " (invented)"
    if len(title) > title_width:
        title = f"{title[: title_width - 1]}…"
    cells = (
        f"{local:%Y-%m-%d}",
        title,
        display.mass(cook.mass_kg),
        display.temp(cook.pit_c),
        str(cook.readings),
        state,
    )
    return CookRow(cook.id, cells)
