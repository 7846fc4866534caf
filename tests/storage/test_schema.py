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
from storage.values import Mix, Outcome, SavedDay, SavedStep
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
            assert ("AUTOINCREMENT" in (sql or "")) == (table in ("cook", "line", "mix", "day"))
    assert found_schema(path) == HEAD


@pytest.mark.parametrize("schema", ["0001", "0002"])
def test_the_cooks_of_an_older_file_open_with_all_their_values(tmp_path: Path, schema: str) -> None:
    store = open_store(saved_file(tmp_path, schema), now=NOW)
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


def test_a_file_of_schema_1_has_nothing_beside_its_cooks(tmp_path: Path) -> None:
    path = saved_file(tmp_path, "0001")
    before = content(path)
    store = open_store(path, now=NOW)
    assert [summary.stamp for summary in store.cooks()] == ["0", "0"]
    assert (store.outcomes.all(), store.mixes.all(), store.days.all()) == ({}, (), ())
    assert (store.derived.all("evidence:0"), store.settings.get("learning")) == ({}, None)
    store.outcomes.save(2, Outcome(tender=4))
    assert store.outcomes.of(2) == Outcome(tender=4)
    store.close()
    assert verify(path) == ()
    copies = sorted(backup_folder(path).iterdir())
    assert [copy.name.split("-")[1] for copy in copies] == ["2026", "before"]
    assert content(copies[1]) == before


def test_what_a_file_of_schema_2_keeps_beside_its_cooks(tmp_path: Path) -> None:
    store = open_store(saved_file(tmp_path, "0002"), now=NOW)
    words = "crisp; a little dry at the wing, 'for once'"
    assert store.outcomes.all() == {
        2: Outcome(4, 3, None, 5, words, "lower pit, ü", "cherry"),
    }
    assert [summary.stamp for summary in store.cooks()] == ["0", "1"]
    plain = ("water 4 L", "salt 200 g", "sugar 50 g")
    assert store.mixes.all() == (
        Mix(2, "Pepper rub", "rub", ("black pepper 2 tbsp", "salt 1 tbsp"), None, at(-800)),
        Mix(1, "Plain brine", "brine", plain, 4.6, at(-900)),
    )
    assert store.mixes.of_cook(2) == (
        Mix(3, "Plain brine", "brine", ("water 3 L", "salt 150 g"), 2.3, at(-700)),
    )
    day = store.days.in_hand()
    steps = (
        SavedStep("brine", at(-1000), at(-990)),
        SavedStep("light", None, at(-60.5)),
        SavedStep("thaw", at(-1500), None),
    )
    wish = '{"cut": "goose"}'
    assert day == SavedDay(1, "Goose Sunday (invented)", wish, steps, (1,), at(-2000), None)
    assert store.days.get(2) == SavedDay(2, "", "{}", (), (), at(-9000), at(-8000))
    store.unbin_cook(3)
    assert store.days.get(1).cook_ids == (1, 3)
    assert store.derived.all("evidence:0") == {2: ("1", '{"x": [1.5]}')}
    assert store.settings.get("learning") == "off"
    store.close()


def test_rebuilding_a_table_keeps_the_rows_that_point_to_it(tmp_path: Path) -> None:
    path = saved_file(tmp_path, HEAD)
    with closing(sqlite3.connect(path)) as connection:
        tables = (
            "line", "reading", "temp", "event", "probe", "cook",
            "outcome", "mix", "day", "day_step", "day_cook", "derived", "setting",
        )  # fmt: skip
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


@pytest.mark.parametrize("schema", ["0001", "0002"])
@pytest.mark.parametrize("body", FAILURES.values(), ids=FAILURES.keys())
def test_a_failure_in_the_middle_leaves_the_file_as_it_was(
    tmp_path: Path, body: str, schema: str
) -> None:
    path = saved_file(tmp_path, schema)
    before = content(path)
    with pytest.raises(MigrationFailed, match="left as it is") as caught:
        upgrade(path, steps(tmp_path, body))
    assert content(path) == before
    assert found_schema(path) == schema
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


@pytest.mark.parametrize("schema", ["0001", "0002"])
def test_a_kill_in_the_middle_leaves_the_file_as_it_was(tmp_path: Path, schema: str) -> None:
    path = saved_file(tmp_path, schema)
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
