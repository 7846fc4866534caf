"""The log file: private from its first byte on, put aside when it is large, never in the way."""

from __future__ import annotations

import logging
import os
from pathlib import Path

import pytest

from app.logs import LARGEST, log_path, log_to, stop_log


def test_every_file_is_private_and_their_number_is_bounded(tmp_path: Path) -> None:
    path = log_path(tmp_path / "cooks.db")
    assert path.name == "cooks.log"
    before = os.umask(0)
    handler = log_to(path)
    try:
        for number in range(30):
            logging.getLogger("storage.x").warning("%d %s", number, "x" * (LARGEST // 10))
    finally:
        stop_log(handler)
        os.umask(before)
    files = {file.name: file.stat() for file in tmp_path.iterdir()}
    assert set(files) == {"cooks.log", "cooks.log.1"}
    for state in files.values():
        assert state.st_mode & 0o777 == 0o600
        assert state.st_size <= LARGEST


def test_odd_text_is_written_in_printable_form(tmp_path: Path) -> None:
    handler = log_to(tmp_path / "x.log")
    logging.getLogger("app.x").error("undecodable \udcff")
    stop_log(handler)
    assert "undecodable \\udcff" in (tmp_path / "x.log").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["missing/x.log", "folder"])
def test_a_log_that_cannot_be_written_is_no_failure(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "folder").mkdir()
    handler = log_to(tmp_path / name)
    logging.getLogger("core.x").error("nobody hears this")
    stop_log(handler)
    assert capsys.readouterr() == ("", "")
