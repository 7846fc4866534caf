"""Where the file lies and who may read it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from storage.backup import backup_folder
from storage.files import FILE_NAME, default_path
from storage.store import open_store
from tests.storage.samples import GOOSE, NOW, typed

posix_only = pytest.mark.skipif(os.name != "posix", reason="POSIX permissions")


def mode(path: Path) -> int:
    """Permission bits."""
    return path.stat().st_mode & 0o777


def test_without_override_it_is_in_the_users_data_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    # XDG Base Directory Specification 0.8: user data goes to $XDG_DATA_HOME
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    for env in ({}, {"DONEBY_DATA": ""}, {"DONEBY_DATA": "  "}):
        path = default_path(env)
        assert path.name == FILE_NAME
        assert path.parent.name == "doneby"
    if sys.platform == "linux":
        assert default_path({}).parent.parent == tmp_path


def test_the_override_may_name_a_file_or_a_folder(tmp_path: Path) -> None:
    plain = tmp_path / "plain"
    plain.write_bytes(b"")
    for value, expected in {
        f"{tmp_path}": tmp_path / FILE_NAME,
        f"{tmp_path}/": tmp_path / FILE_NAME,
        f"{tmp_path}/new": tmp_path / "new" / FILE_NAME,
        f"{tmp_path}/v1.2/": tmp_path / "v1.2" / FILE_NAME,
        f"{tmp_path}/mine.db": tmp_path / "mine.db",
        f"{plain}": plain,
    }.items():
        assert default_path({"DONEBY_DATA": value}) == expected
    assert default_path({"DONEBY_DATA": "~/x.db"}) == Path.home() / "x.db"
    assert default_path({"DONEBY_DATA": "x.db"}) == Path.cwd() / "x.db"


@posix_only
@pytest.mark.parametrize("umask", [0o000, 0o022, 0o077])
def test_everything_is_for_the_owner_alone(tmp_path: Path, umask: int) -> None:
    path = tmp_path / "a" / "b" / "cooks.sqlite3"
    before = os.umask(umask)
    try:
        open_store(path, now=NOW).close()
        store = open_store(path, now=NOW)
        store.add_line(store.create_cook(GOOSE), **typed(1, thigh=5.0))
        found = {file.name: mode(file) for file in path.parent.rglob("*") if file.is_file()}
        folders = [mode(path.parent), mode(backup_folder(path))]
        store.close()
    finally:
        os.umask(before)
    assert set(found) == {
        "cooks.sqlite3", "cooks.sqlite3-wal", "cooks.sqlite3-shm", "cooks-2026-10-17.sqlite3"
    }  # fmt: skip
    assert set(found.values()) == {0o600}
    assert folders == [0o700, 0o700]


@posix_only
def test_a_folder_that_was_there_keeps_its_mode_and_a_file_loses_that_of_others(
    tmp_path: Path,
) -> None:
    tmp_path.chmod(0o755)
    path = tmp_path / "cooks.sqlite3"
    open_store(path, now=NOW).close()
    path.chmod(0o664)
    open_store(path, now=NOW).close()
    assert (mode(tmp_path), mode(path)) == (0o755, 0o600)


@posix_only
def test_links_are_followed_even_to_what_is_not_there_yet(tmp_path: Path) -> None:
    link = tmp_path / "cooks.sqlite3"
    target = tmp_path / "elsewhere" / "mine.sqlite3"
    target.parent.mkdir()
    link.symlink_to(target)
    store = open_store(link, now=NOW)
    store.create_cook(GOOSE)
    store.close()
    assert link.is_symlink()
    assert mode(target) == 0o600


@pytest.mark.parametrize("name", ["a b?c#d%41.sqlite3", "ü'\";--.sqlite3", ":memory:", "file:x"])
def test_odd_names_are_just_names(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    first = open_store(path, now=NOW)
    first.create_cook(GOOSE)
    first.close()
    second = open_store(path, now=NOW)
    assert len(second.cooks()) == 1
    second.close()
    assert path.is_file()
    assert len(list(backup_folder(path).iterdir())) == 1


def test_opening_costs_neither_alembic_nor_numbers(path: Path) -> None:
    open_store(path, now=NOW).close()
    code = (
        "import sys, pathlib, datetime\n"
        "from storage.store import open_store\n"
        "now = datetime.datetime(2026, 10, 17, tzinfo=datetime.UTC)\n"
        "open_store(pathlib.Path(sys.argv[1]), now=now).close()\n"
        "heavy = {'alembic', 'mako', 'urllib.request', 'numpy', 'textual'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
