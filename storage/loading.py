"""From rows to values: plain column tuples are read, so that long cooks load fast."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from core.catalogue import CUTS
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading, Shape
from core.units import MassUnit, TemperatureUnit
from storage.errors import InvalidEntry, NoSuchCook, UnreadableCook
from storage.limits import MASS_KG, TEMP_C, check_plan, check_probes, within
from storage.rows import CookRow, EventRow, LineRow, ProbeRow, ReadingRow, TempRow
from storage.times import from_us, in_zone, optional_from_us, seconds_between
from storage.values import CookSummary, SavedCook, SavedLine


def cook_row(session: Session, cook_id: int) -> CookRow:
    """The row of a cook; raises NoSuchCook."""
    row = session.get(CookRow, cook_id) if possible_id(cook_id) else None
    if row is None:
        raise NoSuchCook(cook_id)
    return row


def changed_row(session: Session, cook_id: int) -> CookRow:
    """The row of a cook that is about to change, under a new stamp; raises NoSuchCook."""
    row = cook_row(session, cook_id)
    row.changes += 1
    return row


def possible_id(number: int) -> bool:
    """Whether SQLite could hold that id; the driver fails on larger numbers."""
    return 0 < number < 2**63


def probe_rows(session: Session, cook_id: int) -> list[ProbeRow]:
    """The probes of a cook in their order."""
    chosen = select(ProbeRow).where(ProbeRow.cook_id == cook_id)
    return list(session.scalars(chosen.order_by(ProbeRow.position, ProbeRow.id)))


def load_cook(session: Session, cook_id: int) -> SavedCook:
    """A whole cook; raises NoSuchCook, and UnreadableCook if its values make no sense.

    All values were checked when they were saved. A disk that changed one since then must not make
    the program fail somewhere else, with a forecast of nonsense or none.
    """
    row = cook_row(session, cook_id)
    with _sense(cook_id):
        saved = _loaded(session, row)
        # the times may be beyond the bounds of a new cook: meat-on can be mended later
        check_plan(replace(saved.cook.plan, serve_s=None))
        check_probes(saved.cook.probes)
        for reading in saved.cook.readings:
            temps = (reading.pit_c, *(temp_c for _, temp_c in reading.meat_c))
            if not all(temp_c is None or within(temp_c, TEMP_C) for temp_c in temps):
                raise ValueError
        times = [reading.elapsed_s for reading in saved.cook.readings]
        times += [event.elapsed_s for event in saved.cook.events]
        if not math.isfinite(sum(times) + (saved.cook.plan.serve_s or 0.0)):
            raise ValueError
    return saved


@contextmanager
def _sense(cook_id: int) -> Iterator[None]:
    """Turn what values without sense lead to into UnreadableCook."""
    try:
        yield
    except (InvalidEntry, ValueError, TypeError, ArithmeticError, LookupError) as error:
        raise UnreadableCook(cook_id) from error


def _loaded(session: Session, row: CookRow) -> SavedCook:
    cook_id = row.id
    lines = load_lines(session, LineRow.cook_id == cook_id)
    live = [line for line in lines if line.live]
    return SavedCook(
        id=row.id,
        title=row.title,
        started_at=in_zone(row.started_us, row.started_zone),
        unit=TemperatureUnit(row.unit),
        mass_unit=MassUnit(row.mass_unit),
        cook=Cook(
            plan=plan_of(row),
            probes=tuple(probe_of(probe) for probe in probe_rows(session, cook_id)),
            readings=tuple(reading for line in live for reading in line.readings),
            events=tuple(event for line in live for event in line.events),
        ),
        lines=lines,
        ended_at=optional_from_us(row.ended_us),
        invented=row.invented,
        stamp=str(row.changes),
    )


def plan_of(row: CookRow) -> Plan:
    """The plan in a cook's row."""
    serve = None if row.serve_us is None else seconds_between(row.serve_us, row.started_us)
    return Plan(
        cut=row.cut,
        mass_kg=row.mass_kg,
        pit_c=row.pit_c,
        pit_low_c=row.pit_low_c,
        pit_high_c=row.pit_high_c,
        serve_s=serve,
        rest_s=row.rest_s,
        shape=None if row.shape is None else Shape(row.shape),
        thickness_m=row.thickness_m,
    )


def probe_of(row: ProbeRow) -> Probe:
    """The probe in a row."""
    return Probe(row.name, row.target_c, row.start_c, row.glaze_c, row.wrap_c)


@dataclass(slots=True)
class _Contents:
    """What belongs to the lines, gathered by line id."""

    readings: dict[int, list[Reading]] = field(default_factory=lambda: defaultdict(list))
    events: dict[int, list[Event]] = field(default_factory=lambda: defaultdict(list))


def load_lines(session: Session, chosen: ColumnElement[bool]) -> tuple[SavedLine, ...]:
    """The lines that `chosen` picks, in order of the time they speak of, then id."""
    contents = _contents(session, chosen)
    rows = session.execute(
        select(
            LineRow.id,
            LineRow.cook_id,
            LineRow.text,
            LineRow.typed_us,
            LineRow.at_us,
            LineRow.deleted,
            LineRow.replaces_id,
            LineRow.replaced_by_id,
        )
        .where(chosen)
        .order_by(LineRow.at_us, LineRow.id)
    )
    return tuple(
        SavedLine(
            id=line_id,
            cook_id=cook_id,
            text=text,
            typed_at=from_us(typed_us),
            at=from_us(at_us),
            readings=tuple(contents.readings.get(line_id, ())),
            events=tuple(contents.events.get(line_id, ())),
            deleted=deleted,
            replaces_id=replaces_id,
            replaced_by_id=replaced_by_id,
        )
        for line_id, cook_id, text, typed_us, at_us, deleted, replaces_id, replaced_by_id in rows
    )


def _contents(session: Session, chosen: ColumnElement[bool]) -> _Contents:
    temps: dict[int, list[tuple[str, float]]] = defaultdict(list)
    for reading_id, name, temp_c in session.execute(
        select(TempRow.reading_id, ProbeRow.name, TempRow.temp_c)
        .join(ProbeRow, ProbeRow.id == TempRow.probe_id)
        .join(ReadingRow, ReadingRow.id == TempRow.reading_id)
        .join(LineRow, LineRow.id == ReadingRow.line_id)
        .where(chosen)
        .order_by(ProbeRow.position, ProbeRow.id)
    ):
        temps[reading_id].append((name, temp_c))
    contents = _Contents()
    for reading_id, line_id, elapsed_s, pit_c in session.execute(
        select(ReadingRow.id, ReadingRow.line_id, ReadingRow.elapsed_s, ReadingRow.pit_c)
        .join(LineRow, LineRow.id == ReadingRow.line_id)
        .where(chosen)
        .order_by(ReadingRow.id)
    ):
        reading = Reading(elapsed_s, pit_c, tuple(temps.get(reading_id, ())))
        contents.readings[line_id].append(reading)
    for line_id, elapsed_s, kind, note in session.execute(
        select(EventRow.line_id, EventRow.elapsed_s, EventRow.kind, EventRow.note)
        .join(LineRow, LineRow.id == EventRow.line_id)
        .where(chosen)
        .order_by(EventRow.id)
    ):
        contents.events[line_id].append(Event(elapsed_s, EventKind(kind), note))
    return contents


def load_summaries(session: Session, *, binned: bool) -> tuple[CookSummary, ...]:
    """All cooks in the bin or all outside it, newest first."""
    counts = (
        select(LineRow.cook_id, func.count().label("readings"))
        .join(ReadingRow, ReadingRow.line_id == LineRow.id)
        .where(LineRow.deleted.is_(False), LineRow.replaced_by_id.is_(None))
        .group_by(LineRow.cook_id)
        .subquery()
    )
    rows = session.execute(
        select(
            CookRow.id,
            CookRow.title,
            CookRow.started_us,
            CookRow.started_zone,
            CookRow.cut,
            CookRow.mass_kg,
            CookRow.pit_c,
            func.coalesce(counts.c.readings, 0),
            CookRow.ended_us,
            CookRow.invented,
            CookRow.changes,
        )
        .outerjoin(counts, counts.c.cook_id == CookRow.id)
        .where(CookRow.binned_us.is_not(None) if binned else CookRow.binned_us.is_(None))
        .order_by(CookRow.started_us.desc(), CookRow.id.desc())
    )
    return tuple(_summary(row) for row in rows)


def _summary(row: Any) -> CookSummary:
    cook_id, title, us, zone, cut, kg, pit, count, ended, sample, changes = row
    with _sense(cook_id):
        if cut not in CUTS or not within(kg, MASS_KG) or not within(pit, TEMP_C):
            raise ValueError
        return CookSummary(
            id=cook_id,
            title=title,
            started_at=in_zone(us, zone),
            cut=cut,
            mass_kg=kg,
            pit_c=pit,
            readings=count,
            ended_at=optional_from_us(ended),
            invented=sample,
            stamp=str(changes),
        )
