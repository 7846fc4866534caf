"""From every schema that was ever used to the newest, or not at all."""

from __future__ import annotations

import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import NullPool

import storage.migrations
from core.cook import Event, EventKind, Reading
from storage.backup import backup_folder, copy_before_migration, verify
from storage.engine import open_engine
from storage.errors import MigrationFailed, NewerSchema
from storage.rows import Row
from storage.schema import APPLICATION_ID, HEAD, SCRIPTS, bring_up_to_date, found_schema
from storage.store import open_store
from tests.storage.samples import GOOSE, NOW, at, typed
from tests.storage.test_documents import DUCK

SAVED = Path(__file__).parent / "schemas"

REBUILD = """
    with op.batch_alter_table("line") as batch:
        batch.add_column(sa.Column("mood", sa.String(), nullable=True))
        batch.alter_column("text", new_column_name="words")
"""


def saved_file(folder: Path, schema: str) -> Path:
    """A file of that schema, as a program of its time wrote it."""
    path = folder / "cooks.sqlite3"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript((SAVED / f"schema_{schema}.sql").read_text(encoding="utf-8"))
    return path


def steps(folder: Path, body: str) -> str:
    """A place with all steps there are and one more, which does `body`."""
    place = folder / "steps"
    shutil.copytree(Path(storage.migrations.__file__).parent, place)
    (place / "versions" / "schema_9999.py").write_text(
        "import sqlalchemy as sa\nfrom alembic import op\n"
        f'revision, down_revision = "9999", "{HEAD}"\n'
        f"def upgrade():\n    {body.strip()}\n"
    )
    return str(place)


def content(path: Path) -> list[str]:
    """All that is in a file, as SQL."""
    with closing(sqlite3.connect(path)) as connection:
        return list(connection.iterdump())


def columns(path: Path, table: str) -> list[str]:
    """Names of a table's columns."""
    with closing(sqlite3.connect(path)) as connection:
        return [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]


def upgrade(path: Path, scripts: str) -> None:
    """To the schema of the additional step."""
    bring_up_to_date(path, lambda: copy_before_migration(path, NOW), head="9999", scripts=scripts)


def test_the_steps_lead_to_the_schema_that_the_program_knows() -> None:
    config = Config()
    config.set_main_option("script_location", SCRIPTS)
    revisions = [step.revision for step in ScriptDirectory.from_config(config).walk_revisions()]
    assert revisions[0] == HEAD
    assert revisions == sorted(revisions, reverse=True), "schemas are compared as text"
    assert {file.stem for file in SAVED.glob("*.sql")} == {f"schema_{r}" for r in revisions}


def test_the_steps_lead_to_the_tables_that_the_rows_describe(path: Path) -> None:
    open_store(path, now=NOW).close()
    engine = open_engine(path, poolclass=NullPool)
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Row.metadata) == []
    engine.dispose()
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)
        for table, sql in connection.execute("SELECT name, sql FROM sqlite_master"):
            assert ("AUTOINCREMENT" in (sql or "")) == (table in ("cook", "line"))
    assert found_schema(path) == HEAD


def test_a_file_of_schema_1_opens_with_all_its_values(tmp_path: Path) -> None:
    store = open_store(saved_file(tmp_path, "0001"), now=NOW)
    assert [summary.id for summary in store.cooks()] == [1, 2]
    goose, duck = store.cook(1), store.cook(2)
    assert (goose.title, goose.started_at) == (GOOSE.title, GOOSE.started_at)
    assert (goose.cook.plan, goose.cook.probes) == (GOOSE.plan, GOOSE.probes)
    assert goose.cook.readings == (
        Reading(1290.0, 152.25, (("thigh", 9.4), ("breast", 11.0))),
        Reading(2400.0, 155.0, (("thigh", 19.0),)),
    )
    assert goose.cook.events == (Event(2460.0, EventKind.LID_OPEN, "'quoted', ü"),)
    assert [(line.id, line.live, line.replaces_id) for line in goose.lines] == [
        (1, True, None), (2, False, None), (3, True, 2), (4, True, None), (5, False, None),
    ]  # fmt: skip
    assert goose.lines[1].text == "155.0 thigh 91.0"
    assert (goose.lines[0].typed_at, goose.lines[0].at) == (at(22), at(21.5))
    assert duck.started_at.isoformat() == DUCK["started_at"]
    assert (duck.ended_at, duck.invented) == (at(500), True)
    assert len(store.export_document(2).readings) == 2
    assert store.add_line(1, **typed(60, thigh=30.0)).id == 10
    store.unbin_cook(3)
    assert len(store.cooks()) == 3
    store.close()


def test_rebuilding_a_table_keeps_the_rows_that_point_to_it(tmp_path: Path) -> None:
    path = saved_file(tmp_path, HEAD)
    with closing(sqlite3.connect(path)) as connection:
        tables = ("line", "reading", "temp", "event", "probe", "cook")
        counts = {t: connection.execute(f"SELECT count(*) FROM {t}").fetchone() for t in tables}  # noqa: S608
    before = content(path)
    upgrade(path, steps(tmp_path, REBUILD))
    assert columns(path, "line")[-1] == "mood"
    with closing(sqlite3.connect(path)) as connection:
        for table, count in counts.items():
            assert connection.execute(f"SELECT count(*) FROM {table}").fetchone() == count  # noqa: S608
    assert verify(path) == ()
    (copy,) = backup_folder(path).iterdir()
    assert copy.name == "cooks-before-update-20261017T130000000000Z.sqlite3"
    assert content(copy) == before


def test_a_file_at_head_is_neither_copied_nor_changed(tmp_path: Path) -> None:
    path = saved_file(tmp_path, HEAD)
    before = path.read_bytes()
    bring_up_to_date(path, lambda: pytest.fail("copied"))
    assert path.read_bytes() == before


FAILURES = {
    "an error after a rebuild": REBUILD + '    raise RuntimeError("half way")\n',
    "bad SQL after a rebuild": REBUILD + '    op.drop_table("nowhere")\n',
    "lost rows": '    op.execute("DELETE FROM cook WHERE id = 1")\n',
}


@pytest.mark.parametrize("body", FAILURES.values(), ids=FAILURES.keys())
def test_a_failure_in_the_middle_leaves_the_file_as_it_was(tmp_path: Path, body: str) -> None:
    path = saved_file(tmp_path, HEAD)
    before = content(path)
    with pytest.raises(MigrationFailed, match="left as it is") as caught:
        upgrade(path, steps(tmp_path, body))
    assert content(path) == before
    assert found_schema(path) == HEAD
    assert caught.value.copy is not None
    assert str(caught.value.copy) in str(caught.value)
    assert content(caught.value.copy) == before
    store = open_store(path, now=NOW)
    assert len(store.cooks()) == 2
    store.close()


def test_without_a_copy_there_is_no_migration(tmp_path: Path) -> None:
    path = saved_file(tmp_path, HEAD)
    before = content(path)

    def no_copy() -> Path:
        raise OSError(28, "No space left on device")

    with pytest.raises(Exception, match="no space left"):
        bring_up_to_date(path, no_copy, head="9999", scripts=steps(tmp_path, REBUILD))
    assert content(path) == before


def test_a_kill_in_the_middle_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    path = saved_file(tmp_path, HEAD)
    before = content(path)
    scripts = steps(tmp_path, REBUILD + "    import os; os.kill(os.getpid(), 9)\n")
    code = (
        "import sys\nfrom pathlib import Path\nfrom storage.schema import bring_up_to_date\n"
        "path = Path(sys.argv[1])\n"
        "bring_up_to_date(path, lambda: path, head='9999', scripts=sys.argv[2])\n"
    )
    done = subprocess.run([sys.executable, "-c", code, str(path), scripts])
    assert done.returncode == -signal.SIGKILL
    assert content(path) == before
    assert verify(path) == ()
    shutil.rmtree(scripts)
    upgrade(path, steps(tmp_path, REBUILD))
    assert found_schema(path) == "9999"


def test_a_program_that_runs_on_notices_that_a_newer_one_changed_the_tables(
    tmp_path: Path,
) -> None:
    path = saved_file(tmp_path, HEAD)
    store = open_store(path, now=NOW)
    assert len(store.cooks()) == 2
    upgrade(path, steps(tmp_path, '    op.create_table("later", sa.Column("x", sa.Integer()))'))
    before = content(path)
    with pytest.raises(NewerSchema):
        store.add_line(1, **typed(60, thigh=30.0))
    with pytest.raises(NewerSchema):
        store.cooks()
    store.close()
    assert content(path) == before


def test_a_file_that_is_newer_by_now_is_refused(tmp_path: Path) -> None:
    path = saved_file(tmp_path, HEAD)
    upgrade(path, steps(tmp_path, REBUILD))
    before = content(path)
    with pytest.raises(NewerSchema, match="Use the newer doneby"):
        open_store(path, now=NOW)
    assert content(path) == before
