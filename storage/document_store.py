"""Cook documents into and out of the data file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.cook import Event, EventKind, Reading
from core.units import MassUnit, TemperatureUnit
from storage.document_notes import Extras, with_notes, without_notes
from storage.documents import CookDocument, fingerprint, number_text
from storage.limits import (
    check_event,
    check_plan,
    check_probes,
    check_reading,
    check_text,
    check_time,
)
from storage.loading import changed_row, cook_row, load_cook
from storage.mixes import load_mixes, mix_row
from storage.outcomes import outcome_of, outcome_row
from storage.rows import CookRow, MixRow, OutcomeRow
from storage.saving import NewLine, write_lines, write_plan, write_probes
from storage.times import from_us, in_zone, to_us, zone_text
from storage.unit_of_work import DataFile

_ENDS = (EventKind.SERVED, EventKind.PULLED)


class DocumentShelf:
    """Import and export. Every method is one unit of work."""

    def __init__(self, file: DataFile) -> None:
        self._file = file

    def imported_as(self, document: CookDocument) -> int | None:
        """Id of the cook that holds just this document already, None if none does."""
        with self._file.read() as session:
            return _same_cook(session, document)

    def import_document(
        self, document: CookDocument, *, again: bool = False, over: bool = False
    ) -> int:
        """Save a document as a cook, all of it or nothing, and return the cook's id.

        A document that is there already is not saved twice: the id of the cook that holds it is
        returned (`imported_as` tells beforehand), unless `again` asks for another copy.

        A cook that was pulled or served, or whose probes all read their target, comes in as
        ended; another one as still cooking, unless it is `over`: then it ended with its last row.
        """
        (cook_id,) = self.import_documents((document,), again=again, over=over)
        return cook_id

    def import_documents(
        self, documents: Sequence[CookDocument], *, again: bool = False, over: bool = False
    ) -> tuple[int, ...]:
        """Save several documents in one unit of work, all of them or none; see `import_document`.

        Returns
        -------
        tuple of int
            The ids of their cooks, in the order of the documents.
        """
        read = [(document, *without_notes(document)) for document in documents]
        checked = [(document, plain, _checked(plain), extras) for document, plain, extras in read]
        with self._file.write() as session:
            ids = tuple(
                (None if again else _same_cook(session, document))
                or _new_cook(session, document, plain, lines, extras, over=over)
                for document, plain, lines, extras in checked
            )
            session.commit()
        return ids

    def add_rows(
        self,
        cook_id: int,
        readings: tuple[Reading, ...],
        notes: tuple[Event, ...],
        *,
        typed_at: datetime,
    ) -> tuple[int, int]:
        """Save the rows of a table as lines of a cook, all of them or nothing.

        What the cook's live lines say already, to the second, is not saved again.

        Returns
        -------
        tuple of int
            How many rows were saved, and how many were there already.

        Raises
        ------
        NoSuchCook, InvalidEntry
        """
        with self._file.write() as session:
            changed_row(session, cook_id)
            document = _document(session, cook_id)
            present = {_reading_mark(row) for row in document.readings}
            said = {_event_mark(row) for row in document.events}
            saved = replace(
                document,
                readings=tuple(row for row in readings if _reading_mark(row) not in present),
                events=tuple(row for row in notes if _event_mark(row) not in said),
            )
            lines = [replace(line, typed_at=typed_at) for line in _lines(saved)]
            if lines:  # else the cook keeps its stamp
                write_lines(session, cook_id, lines)
                session.commit()
        return len(lines), len(readings) + len(notes) - len(lines)

    def export_document(self, cook_id: int) -> CookDocument:
        """A cook as a document: its live lines, not those deleted or replaced.

        Outcome and mixes go along as notes (:mod:`storage.document_notes`).
        """
        with self._file.read() as session:
            return _document(session, cook_id)


def _new_cook(
    session: Session,
    document: CookDocument,
    plain: CookDocument,
    lines: list[NewLine],
    extras: Extras,
    *,
    over: bool,
) -> int:
    """The rows of a document that was checked; returns the id of its cook."""
    ended_s = _ended_s(plain)
    row = _cook_row(document, _last_s(plain) if over and ended_s is None else ended_s)
    session.add(row)
    session.flush()
    write_probes(session, row.id, document.probes)
    session.flush()
    write_lines(session, row.id, lines)
    _write_extras(session, row.id, extras)
    return row.id


def _same_cook(session: Session, document: CookDocument) -> int | None:
    """The first cook outside the bin that came from this document or now equals it."""
    mark = fingerprint(document)
    rows = session.execute(
        select(CookRow.id, CookRow.fingerprint)
        .where(
            CookRow.binned_us.is_(None),
            (CookRow.fingerprint == mark) | (CookRow.started_us == to_us(document.started_at)),
        )
        .order_by(CookRow.id)
    ).all()
    for cook_id, found in rows:
        if found == mark or fingerprint(_document(session, cook_id)) == mark:
            return cook_id
    return None


def _document(session: Session, cook_id: int) -> CookDocument:
    saved = load_cook(session, cook_id)
    row = cook_row(session, cook_id)
    zone = row.serve_zone or row.started_zone
    document = CookDocument(
        title=saved.title,
        started_at=saved.started_at,
        unit=saved.unit,
        plan=saved.cook.plan,
        probes=saved.cook.probes,
        readings=saved.cook.readings,
        events=saved.cook.events,
        serve_at=None if row.serve_us is None else in_zone(row.serve_us, zone),
        source=row.source or "",
    )
    outcome = session.get(OutcomeRow, cook_id)
    mixes = load_mixes(session, MixRow.cook_id == cook_id)
    return with_notes(document, Extras(None if outcome is None else outcome_of(outcome), mixes))


def _write_extras(session: Session, cook_id: int, extras: Extras) -> None:
    """Outcome and mixes of a new cook."""
    if extras.outcome is not None:
        session.add(outcome_row(cook_id, extras.outcome))
    session.add_all(mix_row(cook_id, mix) for mix in extras.mixes)


def _checked(document: CookDocument) -> list[NewLine]:
    """The document's lines, once all of it was found fit to be stored."""
    check_text("title", document.title)
    check_time("start", document.started_at)
    check_plan(document.plan)
    check_probes(document.probes)
    names = tuple(probe.name for probe in document.probes)
    for reading in document.readings:
        check_reading(reading, names)
    for event in document.events:
        check_event(event)
    return _lines(document)


def _cook_row(document: CookDocument, ended_s: float | None) -> CookRow:
    celsius = document.unit is TemperatureUnit.CELSIUS
    row = CookRow(
        title=document.title,
        started_us=to_us(document.started_at),
        started_zone=zone_text(document.started_at),
        unit=str(document.unit),
        mass_unit=str(MassUnit.KILOGRAM if celsius else MassUnit.POUND),
        serve_zone=None if document.serve_at is None else zone_text(document.serve_at),
        ended_us=None if ended_s is None else _instant_us(document, ended_s),
        invented=document.invented,
        fingerprint=fingerprint(document),
        source=document.source or None,
    )
    write_plan(row, document.plan)
    return row


def _instant_us(document: CookDocument, elapsed_s: float) -> int:
    return to_us(document.started_at) + round(elapsed_s * 1e6)


def _reading_mark(reading: Reading) -> tuple[object, ...]:
    """What makes two readings the same: the second, and all numbers."""
    meat = sorted((name, round(temp_c, 3)) for name, temp_c in reading.meat_c)
    pit_c = None if reading.pit_c is None else round(reading.pit_c, 3)
    return round(reading.elapsed_s), pit_c, tuple(meat)


def _event_mark(event: Event) -> tuple[object, ...]:
    return round(event.elapsed_s), event.kind, event.note


def _last_s(document: CookDocument) -> float:
    """Time from meat-on of the last thing that a document tells [s]."""
    times = [r.elapsed_s for r in document.readings] + [e.elapsed_s for e in document.events]
    return max(times, default=0.0)


def _ended_s(document: CookDocument) -> float | None:
    """When the cook was over, in seconds from meat-on; None if it was not."""
    ends = [e.elapsed_s for e in document.events if e.kind in _ENDS]
    if ends:
        return max(ends)
    last = {name: temp_c for r in document.readings for name, temp_c in r.meat_c}
    done = [last.get(p.name, p.target_c - 1.0) >= p.target_c for p in document.probes]
    return document.readings[-1].elapsed_s if done and all(done) else None


def _lines(document: CookDocument) -> list[NewLine]:
    """One line for each reading and event, worded as it might have been typed."""
    lines = []
    names = [probe.name for probe in document.probes]
    for reading in document.readings:
        at = from_us(_instant_us(document, reading.elapsed_s))
        lines.append(NewLine(_reading_text(document, reading, names), at, at, (reading,), ()))
    for event in document.events:
        at = from_us(_instant_us(document, event.elapsed_s))
        lines.append(NewLine(_event_text(event), at, at, (), (event,)))
    return sorted(lines, key=lambda line: line.at)


def _reading_text(document: CookDocument, reading: Reading, names: list[str]) -> str:
    values = [reading.pit_c, *(reading.of(name) for name in names)]
    texts = ["-" if value is None else number_text(value, document.unit) for value in values]
    while texts and texts[-1] == "-":
        texts.pop()
    return " ".join(texts)


def _event_text(event: Event) -> str:
    word = event.kind.removesuffix("_added").replace("_", " ")
    return f"{word} {event.note}".strip()
