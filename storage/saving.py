"""From values to rows: what one line or one plan writes. Values are checked before this."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import exists, insert, select, update
from sqlalchemy.orm import Session

from core.cook import Event, Plan, Probe, Reading
from storage.errors import ProbeInUse
from storage.limits import check_event, check_probes, check_reading, check_text, check_time
from storage.loading import probe_rows
from storage.rows import CookRow, EventRow, LineRow, ProbeRow, ReadingRow, TempRow
from storage.times import to_us


@dataclass(frozen=True, slots=True)
class NewLine:
    """What an accepted line brings."""

    text: str
    typed_at: datetime
    at: datetime
    readings: tuple[Reading, ...]
    events: tuple[Event, ...]


def write_plan(row: CookRow, plan: Plan) -> None:
    """Put a plan into a cook's row; the meal becomes an instant that meat-on does not move."""
    row.cut, row.mass_kg, row.pit_c = plan.cut, plan.mass_kg, plan.pit_c
    row.pit_low_c, row.pit_high_c = plan.pit_low_c, plan.pit_high_c
    serve_s = plan.serve_s
    row.serve_us = None if serve_s is None else row.started_us + round(serve_s * 1e6)
    row.rest_s, row.thickness_m = plan.rest_s, plan.thickness_m
    row.shape = None if plan.shape is None else str(plan.shape)


def write_probes(session: Session, cook_id: int, probes: tuple[Probe, ...]) -> None:
    """Make these the probes of a cook; raises ProbeInUse if one with readings is missing."""
    check_probes(probes)
    present = {row.name: row for row in probe_rows(session, cook_id)}
    for name, row in present.items():
        if name not in {probe.name for probe in probes}:
            if session.scalar(select(exists().where(TempRow.probe_id == row.id))):
                raise ProbeInUse(name)
            session.delete(row)
    for position, probe in enumerate(probes):
        row = present.get(probe.name) or ProbeRow(cook_id=cook_id, name=probe.name)
        row.position, row.target_c = position, probe.target_c
        row.start_c, row.glaze_c, row.wrap_c = probe.start_c, probe.glaze_c, probe.wrap_c
        session.add(row)


def write_lines(
    session: Session, cook_id: int, lines: Iterable[NewLine], replaces_id: int | None = None
) -> list[int]:
    """Write lines with all they bring; returns their ids."""
    probes = {row.name: row.id for row in probe_rows(session, cook_id)}
    lines = tuple(lines)
    for line in lines:
        check_line(line, tuple(probes))
    ids = _insert(
        session,
        LineRow,
        [
            {
                "cook_id": cook_id,
                "text": line.text,
                "typed_us": to_us(line.typed_at),
                "at_us": to_us(line.at),
                "deleted": False,
                "replaces_id": replaces_id,
            }
            for line in lines
        ],
    )
    _write_contents(session, list(zip(ids, lines, strict=True)), probes)
    return ids


def check_line(line: NewLine, probes: tuple[str, ...]) -> None:
    """Raise InvalidEntry unless a line of a cook with these probes can be stored."""
    check_text("line", line.text)
    check_time("time typed", line.typed_at)
    check_time("time", line.at)
    for reading in line.readings:
        check_reading(reading, probes)
    for event in line.events:
        check_event(event)


def _write_contents(
    session: Session, lines: list[tuple[int, NewLine]], probes: dict[str, int]
) -> None:
    """Write what the lines say."""
    readings = [(line_id, reading) for line_id, line in lines for reading in line.readings]
    ids = _insert(
        session,
        ReadingRow,
        [
            {"line_id": line_id, "elapsed_s": reading.elapsed_s, "pit_c": reading.pit_c}
            for line_id, reading in readings
        ],
    )
    temps = [
        {"reading_id": reading_id, "probe_id": probes[name], "temp_c": temp_c}
        for reading_id, (_, reading) in zip(ids, readings, strict=True)
        for name, temp_c in reading.meat_c
    ]
    if temps:
        session.execute(insert(TempRow), temps)
    events = [
        {"line_id": line_id, "elapsed_s": e.elapsed_s, "kind": str(e.kind), "note": e.note}
        for line_id, line in lines
        for e in line.events
    ]
    if events:
        session.execute(insert(EventRow), events)


def _insert(
    session: Session, table: type[LineRow] | type[ReadingRow], rows: list[dict[str, Any]]
) -> list[int]:
    """Insert many rows in few statements; returns their ids in the order of the rows."""
    if not rows:  # SQLAlchemy would insert one row of defaults
        return []
    returning = insert(table).returning(table.id, sort_by_parameter_order=True)
    return list(session.scalars(returning, rows))


def shift_times(session: Session, cook_id: int, by_s: float) -> None:
    """Move the times from meat-on of all that a cook's lines say."""
    lines = select(LineRow.id).where(LineRow.cook_id == cook_id)
    for table in (ReadingRow, EventRow):
        session.execute(
            update(table)
            .where(table.line_id.in_(lines))
            .values(elapsed_s=table.elapsed_s + by_s)
            .execution_options(synchronize_session=False)
        )
