"""The readings of a cook as a table for a spreadsheet, which can be imported again."""

from __future__ import annotations

import csv
import io
import json
from datetime import timedelta, tzinfo

from core.cook import Event, EventKind, Reading
from storage.documents import minutes, number_text
from storage.values import SavedCook

ACTING = "=+-@\t\r"
"""First letters by which a spreadsheet takes a cell for a formula."""


def readings_table(saved: SavedCook, zone: tzinfo) -> str:
    """One row for each reading and each thing that happened, in time order.

    Numbers are those that were typed, in the cook's unit, with a decimal point; cells are separated
    by commas. Notes have a column that an import takes, all else that happened one that it leaves.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    names = [probe.name for probe in saved.cook.probes]
    heads = [f"{name} (°{saved.unit.value})" for name in ("pit", *names)]
    writer.writerow(["time", "minute", *map(plain_cell, heads), "note", "happened"])
    rows: list[Reading | Event] = [*saved.cook.readings, *saved.cook.events]
    for row in sorted(rows, key=lambda row: row.elapsed_s):
        at = (saved.started_at + timedelta(seconds=row.elapsed_s)).astimezone(zone)
        times = [at.isoformat(sep=" ", timespec="seconds"), json.dumps(minutes(row.elapsed_s))]
        cells = _reading_cells(saved, names, row) if isinstance(row, Reading) else [""] * len(heads)
        told = ["", ""] if isinstance(row, Reading) else _event_cells(row)
        writer.writerow([*times, *cells, *told])
    return out.getvalue()


def _reading_cells(saved: SavedCook, names: list[str], reading: Reading) -> list[str]:
    values = [reading.pit_c, *(reading.of(name) for name in names)]
    return ["" if value is None else number_text(value, saved.unit) for value in values]


def _event_cells(event: Event) -> list[str]:
    if event.kind is EventKind.NOTE:
        return [plain_cell(event.note), ""]
    what = event.kind.replace("_", " ")
    return ["", f"{what}: {event.note}" if event.note else what]


def plain_cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] and text[0] in ACTING else text


def typed_cell(cell: str) -> str:
    """A text as it was before `plain_cell`."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] and cell[1] in ACTING else cell
