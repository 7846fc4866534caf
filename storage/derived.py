"""Texts kept under a key: what was computed from a cook, and choices that go with the cooks."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import select

from storage.limits import check_label, check_text
from storage.loading import cook_row
from storage.rows import DerivedRow, SettingRow
from storage.unit_of_work import DataFile


class Derived:
    """What was computed from the cooks, kept beside them. Every method is one unit of work.

    It holds as long as the cook's stamp is the one it was computed under; a program that finds
    another stamp computes anew. A kind names what was computed and its version, like
    ``evidence:1``.
    """

    def __init__(self, file: DataFile) -> None:
        self._file = file

    def all(self, kind: str) -> Mapping[int, tuple[str, str]]:
        """Stamp and payload of all cooks that have this kind, by cook id."""
        with self._file.read() as session:
            rows = session.execute(
                select(DerivedRow.cook_id, DerivedRow.stamp, DerivedRow.payload)
                .where(DerivedRow.kind == kind)
                .order_by(DerivedRow.cook_id)
            )
            return {cook_id: (stamp, payload) for cook_id, stamp, payload in rows}

    def put(self, cook_id: int, kind: str, stamp: str, payload: str) -> None:
        """Keep what was computed in the place of what was there.

        Parameters
        ----------
        cook_id : int
        kind : str
        stamp : str
            The cook's stamp when it was read for this.
        payload : str
            JSON text.

        Raises
        ------
        NoSuchCook, InvalidEntry
        """
        check_label("kind", kind)
        check_text("stamp", stamp)
        check_text("payload", payload)
        with self._file.write() as session:
            cook_row(session, cook_id)
            session.merge(DerivedRow(cook_id=cook_id, kind=kind, stamp=stamp, payload=payload))
            session.commit()


class Settings:
    """Choices of the user that go with the cooks. Every method is one unit of work."""

    def __init__(self, file: DataFile) -> None:
        self._file = file

    def get(self, key: str) -> str | None:
        """The value of a setting, None if it was never chosen."""
        with self._file.read() as session:
            row = session.get(SettingRow, key)
            return None if row is None else row.value

    def set(self, key: str, value: str | None) -> None:
        """Choose a value, or with None go back to the usual one; raises InvalidEntry."""
        check_label("setting", key)
        if value is not None:
            check_text(key, value)
        with self._file.write() as session:
            row = session.get(SettingRow, key)
            if value is not None:
                session.merge(SettingRow(key=key, value=value))
            elif row is not None:
                session.delete(row)
            session.commit()
