"""One unit of work: a short session that is committed on purpose or leaves nothing behind."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from storage.engine import open_engine, our_errors, writing


class DataFile:
    """An open data file that hands out units of work, to any thread.

    Parameters
    ----------
    path : Path
        A file whose schema is up to date.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._engine = open_engine(path)
        self._writing = writing(self._engine)

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
        with our_errors(self.path), Session(engine, expire_on_commit=False) as session:
            session.connection()  # begins now, so that one state is seen throughout
            yield session

    def close(self) -> None:
        """Close all connections; the write-ahead log is folded into the file."""
        self._engine.dispose()
