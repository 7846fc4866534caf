"""The log as the typed line speaks of it: line numbers, and which line is meant."""

from __future__ import annotations

from datetime import datetime, timedelta

from app.line.values import LineRef
from storage.values import SavedCook, SavedLine

NEAR = timedelta(minutes=5)
"""A line named by its time may be so far from it."""


def line_numbers(saved: SavedCook) -> dict[int, int]:
    """Number in the log of every line, by its id.

    Numbers count the lines in the order they were first typed, from 1. A correction has the
    number of the line that it corrects, so ``#12`` stays ``#12``.
    """
    by_id = {line.id: line for line in saved.lines}
    numbers: dict[int, int] = {}
    count = 0
    for line in sorted(saved.lines, key=lambda line: line.id):
        original = by_id.get(line.replaces_id) if line.replaces_id is not None else None
        if original is None:
            count += 1
            numbers[line.id] = count
        else:
            numbers[line.id] = numbers[original.id]
    return numbers


def live_line(saved: SavedCook, ref: LineRef | None) -> SavedLine | None:
    """The live line that is meant; without `ref` the last typed one that carries readings."""
    numbers = line_numbers(saved)
    live = sorted((line for line in saved.lines if line.live), key=lambda line: numbers[line.id])
    if ref is None:
        return next((line for line in reversed(live) if line.readings), None)
    if ref.number is not None:
        return next((line for line in live if numbers[line.id] == ref.number), None)
    return _nearest(live, ref.at)


def dropped_line(saved: SavedCook, ref: LineRef) -> SavedLine | None:
    """The newest deleted line that is meant, if no live one has its number."""
    numbers = line_numbers(saved)
    gone = sorted((line for line in saved.lines if line.deleted), key=lambda line: line.id)
    if ref.number is None:
        return _nearest(gone, ref.at)
    if any(line.live and numbers[line.id] == ref.number for line in saved.lines):
        return None
    return next((line for line in reversed(gone) if numbers[line.id] == ref.number), None)


def _nearest(lines: list[SavedLine], at: datetime | None) -> SavedLine | None:
    """The line nearest to a time that was typed to the minute; the newest of equals."""
    if at is None:
        return None
    near = [line for line in lines if abs(line.at - at) <= NEAR]

    def distance(line: SavedLine) -> float:
        # Anything inside the minute that was typed is a hit.
        return max(0.0, abs((line.at - at).total_seconds() - 29.5) - 30.0)

    return min(reversed(near), key=distance, default=None)
