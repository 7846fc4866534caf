"""Making a salvaged file whole: every row has its owner again, and every cook can be loaded.

A line whose cook is lost is worth keeping: it gets a stand-in cook that says what it is. Its plan
is made up and cautious, and it counts as ended, so nothing is forecast from it by accident.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

from storage.engine import our_errors
from storage.errors import StorageError
from storage.loading import load_cook
from storage.unit_of_work import DataFile

STAND_IN_TARGET_C = 100.0
"""Target of a probe whose plan is lost: so high that it never calls meat done [°C]."""

_STAND_IN_PIT_C = 110.0


@dataclass(frozen=True, slots=True)
class Mended:
    """What was put in place of lost rows.

    Attributes
    ----------
    cooks, probes : int
        Stand-ins for lost ones.
    links : int
        Links to lost lines that were cut (what a line had corrected).
    left : tuple of mapping
        Rows that belong to nothing; they are not in the file.
    """

    cooks: int
    probes: int
    links: int
    left: tuple[Mapping[str, Any], ...]


def mend(path: Path) -> Mended:
    """Mend the file at `path`, which has the newest schema and foreign keys that lead nowhere."""
    left: list[Mapping[str, Any]] = []
    with our_errors(path), closing(sqlite3.connect(path)) as connection, connection:
        connection.row_factory = sqlite3.Row
        links = _cut_links(connection)
        _drop_lost(connection, "reading", "line_id", "line", left)
        _drop_lost(connection, "event", "line_id", "line", left)
        _drop_lost(connection, "temp", "reading_id", "reading", left)
        cooks = _stand_in_cooks(connection)
        probes = _stand_in_probes(connection)
        for table in ("probe", "outcome", "derived", "day_cook", "mix"):
            _drop_lost(connection, table, "cook_id", "cook", left)
        for table in ("day_step", "day_cook"):
            _drop_lost(connection, table, "day_id", "day", left)
    for cook_id in unloadable(path):
        cooks += 1
        with our_errors(path), closing(sqlite3.connect(path)) as connection, connection:
            connection.row_factory = sqlite3.Row
            _leave(connection, "cook", "id = ?", (cook_id,), left)
            _leave(connection, "probe", "cook_id = ?", (cook_id,), left)
            _stand_in_cooks(connection)
            probes += _stand_in_probes(connection)
    for cook_id in unloadable(path):
        with our_errors(path), closing(sqlite3.connect(path)) as connection, connection:
            connection.row_factory = sqlite3.Row
            _leave_cook(connection, cook_id, left)
    return Mended(cooks, probes, links, tuple(left))


def _cut_links(connection: sqlite3.Connection) -> int:
    """Forget what a line corrected, or was corrected by, where that line is lost."""
    count = 0
    for statement in (
        "UPDATE line SET replaces_id = NULL WHERE replaces_id NOT IN (SELECT id FROM line)",
        "UPDATE line SET replaced_by_id = NULL WHERE replaced_by_id NOT IN (SELECT id FROM line)",
    ):
        count += connection.execute(statement).rowcount
    return count


def _drop_lost(
    connection: sqlite3.Connection,
    table: str,
    column: str,
    owner: str,
    left: list[Mapping[str, Any]],
) -> None:
    """Leave out the rows of a table whose owner is lost."""
    _leave(connection, table, f"{column} NOT IN (SELECT id FROM {owner})", (), left)  # noqa: S608


def _leave(
    connection: sqlite3.Connection,
    table: str,
    where: str,
    values: tuple[object, ...],
    left: list[Mapping[str, Any]],
) -> None:
    """Take rows out of the file and keep them as leftovers. `table` and `where` are ours."""
    for row in connection.execute(f"SELECT * FROM {table} WHERE {where}", values):  # noqa: S608
        left.append({"table": table, **dict(row)})
    connection.execute(f"DELETE FROM {table} WHERE {where}", values)  # noqa: S608


def _leave_cook(
    connection: sqlite3.Connection, cook_id: int, left: list[Mapping[str, Any]]
) -> None:
    """Take out a cook that cannot be loaded, with all that belongs to it."""
    lines = "line_id IN (SELECT id FROM line WHERE cook_id = ?)"
    temps = f"reading_id IN (SELECT id FROM reading WHERE {lines})"  # noqa: S608
    for table, where in (
        ("temp", temps), ("reading", lines), ("event", lines), ("line", "cook_id = ?"),
        ("probe", "cook_id = ?"), ("outcome", "cook_id = ?"), ("derived", "cook_id = ?"),
        ("mix", "cook_id = ?"), ("day_cook", "cook_id = ?"), ("cook", "id = ?"),
    ):  # fmt: skip
        _leave(connection, table, where, (cook_id,), left)


def _stand_in_cooks(connection: sqlite3.Connection) -> int:
    """A cook for every line that has lost its own, with the start that its readings tell."""
    lost = connection.execute(
        "SELECT DISTINCT cook_id FROM line WHERE cook_id NOT IN (SELECT id FROM cook)"
    ).fetchall()
    for (cook_id,) in lost:
        parts = connection.execute(
            "SELECT line.at_us, part.elapsed_s, part.pit_c FROM line LEFT JOIN ("
            "SELECT line_id, elapsed_s, pit_c FROM reading "
            "UNION ALL SELECT line_id, elapsed_s, NULL FROM event) AS part "
            "ON part.line_id = line.id WHERE line.cook_id = ?",
            (cook_id,),
        ).fetchall()
        starts = [at_us - round(s * 1e6) for at_us, s, _ in parts if s is not None]
        pits = [pit_c for _, _, pit_c in parts if pit_c is not None]
        connection.execute(
            "INSERT INTO cook (id, title, started_us, started_zone, unit, mass_unit, cut, mass_kg, "
            "pit_c, shape, thickness_m, ended_us, invented) "
            "VALUES (?, ?, ?, 'Z', 'C', 'kg', 'other', 1.0, ?, 'slab', 0.05, ?, 0)",
            (
                cook_id,
                f"Salvaged cook {cook_id}: its plan is lost, these are stand-ins",
                round(median(starts)) if starts else min(at_us for at_us, _, _ in parts),
                median(pits) if pits else _STAND_IN_PIT_C,
                max(at_us for at_us, _, _ in parts),
            ),
        )
    return len(lost)


def _stand_in_probes(connection: sqlite3.Connection) -> int:
    """A probe for every reading that has lost its own."""
    lost = connection.execute(
        "SELECT DISTINCT temp.probe_id, line.cook_id FROM temp "
        "JOIN reading ON reading.id = temp.reading_id JOIN line ON line.id = reading.line_id "
        "WHERE temp.probe_id NOT IN (SELECT id FROM probe) GROUP BY temp.probe_id"
    ).fetchall()
    for probe_id, cook_id in lost:
        connection.execute(
            "INSERT INTO probe (id, cook_id, position, name, target_c) VALUES (?, ?, ?, ?, ?)",
            (probe_id, cook_id, 1000 + probe_id, f"lost {probe_id}", STAND_IN_TARGET_C),
        )
    return len(lost)


def unloadable(path: Path) -> list[int]:
    """The cooks whose values make no sense: a flipped bit has no checksum against it."""
    found = []
    with closing(sqlite3.connect(path)) as connection:
        ids = [int(row[0]) for row in connection.execute("SELECT id FROM cook")]
    file = DataFile(path)
    try:
        for cook_id in ids:
            try:
                with file.read() as session:
                    load_cook(session, cook_id)
            except StorageError:
                found.append(cook_id)
    finally:
        file.close()
    return found
