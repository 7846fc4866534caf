"""How cooks turned out: what is said at the table, kept beside the cook."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import select

from storage.limits import check_outcome
from storage.loading import changed_row, cook_row
from storage.rows import CookRow, OutcomeRow
from storage.unit_of_work import DataFile
from storage.values import Outcome


class Outcomes:
    """The outcomes of the cooks. Every method is one unit of work."""

    def __init__(self, file: DataFile) -> None:
        self._file = file

    def of(self, cook_id: int) -> Outcome | None:
        """The outcome of a cook, None if nothing was said; raises NoSuchCook."""
        with self._file.read() as session:
            cook_row(session, cook_id)
            row = session.get(OutcomeRow, cook_id)
            return None if row is None else outcome_of(row)

    def all(self) -> Mapping[int, Outcome]:
        """The outcomes of all cooks outside the bin of which something was said, by cook id."""
        with self._file.read() as session:
            rows = session.scalars(
                select(OutcomeRow)
                .join(CookRow, CookRow.id == OutcomeRow.cook_id)
                .where(CookRow.binned_us.is_(None))
            )
            return {row.cook_id: outcome_of(row) for row in rows}

    def save(self, cook_id: int, outcome: Outcome) -> None:
        """Put an outcome in the place of the cook's; an empty one takes it away.

        Raises
        ------
        NoSuchCook, InvalidEntry
        """
        check_outcome(outcome)
        with self._file.write() as session:
            changed_row(session, cook_id)
            row = session.get(OutcomeRow, cook_id)
            if outcome == Outcome():
                if row is not None:
                    session.delete(row)
            else:
                session.merge(outcome_row(cook_id, outcome))
            session.commit()


def outcome_of(row: OutcomeRow) -> Outcome:
    """The outcome in a row."""
    return Outcome(row.tender, row.juicy, row.skin, row.smoke, row.words, row.change, row.wood)


def outcome_row(cook_id: int, outcome: Outcome) -> OutcomeRow:
    """The row of an outcome."""
    return OutcomeRow(
        cook_id=cook_id,
        tender=outcome.tender,
        juicy=outcome.juicy,
        skin=outcome.skin,
        smoke=outcome.smoke,
        words=outcome.words,
        change=outcome.change,
        wood=outcome.wood,
    )
