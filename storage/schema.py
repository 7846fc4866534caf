"""Which schema a data file has, and bringing an older one up to date.

Looking is done with the bare driver: a file that is up to date, which is nearly always so, costs
neither Alembic's import nor a migration.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from storage.engine import BUSY_S, our_errors
from storage.errors import (
    DiskFull,
    FileTrouble,
    MigrationFailed,
    NewerSchema,
    NotADataFile,
    StorageError,
)

HEAD = "0002"
"""The schema this program writes: the newest step in ``storage.migrations``."""

SCRIPTS = "storage:migrations"
APPLICATION_ID = 0x646F6E65


def found_schema(path: Path) -> str | None:
    """Schema of the file at `path`, None if it is empty.

    Raises
    ------
    NotADataFile
        It is no SQLite file, or one of another program.
    """
    with our_errors(path), closing(sqlite3.connect(path, timeout=BUSY_S)) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
        if not tables:
            return None
        (mark,) = connection.execute("PRAGMA application_id").fetchone()
        if mark != APPLICATION_ID or "alembic_version" not in tables:
            raise NotADataFile(path, "a database of another program")
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        return None if row is None else str(row[0])


def bring_up_to_date(
    path: Path, copy: Callable[[], Path], *, head: str = HEAD, scripts: str = SCRIPTS
) -> None:
    """Make sure that the file at `path` has the schema `head`.

    Parameters
    ----------
    path : Path
        A file that exists; an empty one is given its tables.
    copy : callable
        Copies the file aside and returns the path of the copy. Called before any change to a
        file that holds something.
    head, scripts : str
        The schema to reach and where the steps lie.

    Raises
    ------
    NewerSchema, NotADataFile, MigrationFailed
        The file is then as it was.
    """
    found = found_schema(path)
    if found == head:
        return
    if found is not None and found > head:
        raise NewerSchema(path, found, head)
    _migrate(path, copy, head, scripts)


def _migrate(path: Path, copy: Callable[[], Path], head: str, scripts: str) -> None:
    """Run the missing steps in one transaction, behind a copy.

    Foreign keys are off: rebuilding a table drops it, and with them on the rows that point to it
    would be lost or the drop refused. They are checked before the commit instead.
    """
    from alembic import command
    from alembic.config import Config
    from alembic.runtime.migration import MigrationContext
    from sqlalchemy import NullPool

    from storage.engine import open_engine, writing

    engine = open_engine(path, foreign_keys=False, poolclass=NullPool)
    made: Path | None = None
    try:
        with our_errors(path), writing(engine).connect() as connection, connection.begin():
            # Asked again under the write lock: another process may have been first.
            current = MigrationContext.configure(connection).get_current_revision()
            if current == head:
                return
            if current is not None:
                made = copy()
            config = Config()
            config.set_main_option("script_location", scripts)
            config.attributes["connection"] = connection
            command.upgrade(config, head)
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if broken:
                raise MigrationFailed(path, f"{len(broken)} rows would lose their owner", made)
    except FileTrouble as error:
        raise MigrationFailed(path, error.found, made) from error
    except DiskFull as error:
        raise MigrationFailed(path, "no space left; free some and start again", made) from error
    except StorageError:
        raise
    except Exception as error:
        raise MigrationFailed(path, f"{type(error).__name__}: {error}", made) from error
    finally:
        engine.dispose()
