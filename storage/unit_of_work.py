"""One unit of work: a short session that is committed on purpose or leaves nothing behind."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Engine, text
from sqlalchemy.orm import Session

from storage.engine import open_engine, our_errors, writing
from storage.errors import FileReplaced, FileTrouble, NewerSchema
from storage.schema import HEAD

_SCHEMA = text("SELECT version_num FROM alembic_version")


class DataFile:
    """An open data file that hands out units of work, to any thread.

    Parameters
    ----------
    path : Path
        A file whose schema is up to date.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        with our_errors(path):
            self._identity = _identity(path)
        self._engine = open_engine(path)
        self._writing = writing(self._engine)
        self._closed = self._replaced = False
        self._at_work = 0
        self._idle = threading.Condition()

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session that sees one state of the file; nothing it changes is kept."""
        with self._session(self._engine) as session:
            yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A session that holds the write lock from its start.

        What it did is on disk only after ``session.commit()``; leaving without it, by an error
        or otherwise, rolls all of it back.
        """
        with self._session(self._writing) as session:
            yield session

    @contextmanager
    def _session(self, engine: Engine) -> Iterator[Session]:
        self._enter()
        try:
            with our_errors(self.path), Session(engine, expire_on_commit=False) as session:
                self._check_schema(session)  # begins: a writer holds the lock from here on
                yield session
        finally:
            self._leave()

    def _check_schema(self, session: Session) -> None:
        """Refuse to go on when a newer program has changed the tables under this one."""
        found = session.execute(_SCHEMA).scalar()
        if found != HEAD:
            raise NewerSchema(self.path, str(found), HEAD)

    def _enter(self) -> None:
        with self._idle:
            if self._closed:
                raise FileTrouble(self.path, "the data file is closed")
            self._replaced = self._replaced or _identity(self.path) != self._identity
            if self._replaced:
                # SQLite would go on writing to files that have no name any more. Putting the
                # file back does not mend that: its log may be another one by now.
                raise FileReplaced(self.path)
            self._at_work += 1

    def _leave(self) -> None:
        with self._idle:
            self._at_work -= 1
            self._idle.notify_all()

    def close(self) -> None:
        """Let the units of work at hand finish, then close all connections.

        The last process to close the file folds the write-ahead log into it.
        """
        with self._idle:
            self._closed = True
            self._idle.wait_for(lambda: self._at_work == 0)
        self._engine.dispose()


def _identity(path: Path) -> tuple[int, int] | None:
    """What tells this file from any other on this system, None if there is none."""
    try:
        state = path.stat()
    except FileNotFoundError:
        return None
    return state.st_dev, state.st_ino
