"""Brines, rubs and glazes: the personal list, and the copies that stay with the cooks.

A cook keeps a copy of its own, so that the list can go on changing and the cook still says what
was on the meat that day.
"""

from __future__ import annotations

import json
from datetime import datetime

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from storage.errors import NoSuchMix
from storage.limits import check_mix, check_time
from storage.loading import cook_row, possible_id
from storage.rows import MixRow
from storage.times import from_us, to_us
from storage.unit_of_work import DataFile
from storage.values import Mix


class Mixes:
    """The mixes. Every method is one unit of work."""

    def __init__(self, file: DataFile) -> None:
        self._file = file

    def all(self) -> tuple[Mix, ...]:
        """The personal list, by name."""
        with self._file.read() as session:
            return load_mixes(session, MixRow.cook_id.is_(None))

    def save(
        self,
        name: str,
        kind: str,
        lines: tuple[str, ...],
        meat_kg: float | None,
        at: datetime,
    ) -> int:
        """Put a mix on the personal list and return its id; one of the same name is replaced.

        Raises
        ------
        InvalidEntry
        """
        return self._write(None, Mix(0, name, kind, tuple(lines), meat_kg, at))

    def delete(self, mix_id: int) -> None:
        """Take a mix off the list, or a copy from its cook; raises NoSuchMix."""
        with self._file.write() as session:
            row = session.get(MixRow, mix_id) if possible_id(mix_id) else None
            if row is None:
                raise NoSuchMix(mix_id)
            session.delete(row)
            session.commit()

    def of_cook(self, cook_id: int) -> tuple[Mix, ...]:
        """What one cook kept, by name; raises NoSuchCook."""
        with self._file.read() as session:
            cook_row(session, cook_id)
            return load_mixes(session, MixRow.cook_id == cook_id)

    def keep(
        self,
        cook_id: int,
        name: str,
        kind: str,
        lines: tuple[str, ...],
        meat_kg: float | None,
        at: datetime,
    ) -> int:
        """Keep a copy of a mix with a cook and return its id; the same name is replaced.

        Raises
        ------
        NoSuchCook, InvalidEntry
        """
        return self._write(cook_id, Mix(0, name, kind, tuple(lines), meat_kg, at))

    def _write(self, cook_id: int | None, mix: Mix) -> int:
        check_mix(mix.name, mix.kind, mix.lines, mix.meat_kg)
        check_time("time", mix.saved_at)
        with self._file.write() as session:
            if cook_id is not None:
                cook_row(session, cook_id)
            found = session.scalar(
                select(MixRow.id).where(MixRow.name == mix.name, _place(cook_id))
            )
            row = session.merge(mix_row(cook_id, mix, found))
            session.commit()
            return row.id


def _place(cook_id: int | None) -> ColumnElement[bool]:
    return MixRow.cook_id.is_(None) if cook_id is None else MixRow.cook_id == cook_id


def mix_row(cook_id: int | None, mix: Mix, mix_id: int | None = None) -> MixRow:
    """The row of a mix; without an id it is a new one."""
    return MixRow(
        id=mix_id,
        cook_id=cook_id,
        name=mix.name,
        kind=mix.kind,
        lines=json.dumps(mix.lines, ensure_ascii=False),
        meat_kg=mix.meat_kg,
        saved_us=to_us(mix.saved_at),
    )


def load_mixes(session: Session, chosen: ColumnElement[bool]) -> tuple[Mix, ...]:
    """The mixes that `chosen` picks, by name."""
    rows = session.scalars(
        select(MixRow).where(chosen).order_by(func.lower(MixRow.name), MixRow.id)
    )
    return tuple(
        Mix(
            id=row.id,
            name=row.name,
            kind=row.kind,
            lines=tuple(json.loads(row.lines)),
            meat_kg=row.meat_kg,
            saved_at=from_us(row.saved_us),
        )
        for row in rows
    )
