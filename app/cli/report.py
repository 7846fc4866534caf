"""``doneby report``: one cook as a page to send or to print."""

from __future__ import annotations

import argparse
from importlib.util import find_spec
from pathlib import Path

from app.cli.documents import cook_number, write_bytes_whole
from app.cli.shell import FAILED, OK, CommandError, Shell
from app.display import Display
from storage.errors import shown

KINDS = (".html", ".pdf", ".png")
MISSING = (
    "the charts of a report need matplotlib, which is not installed here; "
    "pip install 'doneby[report]' (or pip install matplotlib) brings it. Nothing was written"
)


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Write the report; the ending of the file's name says what it becomes."""
    cook_id = cook_number(options.cook)
    path = Path(options.output)
    kind = path.suffix.lower()
    if kind not in KINDS:
        raise CommandError(
            f"-o {shown(options.output)}; a name ending in {', '.join(KINDS)} is allowed"
        )
    if find_spec("matplotlib") is None:
        raise CommandError(MISSING, FAILED)
    from app.report.content import report_of

    with shell.store() as store:
        saved = store.cook(cook_id)
        display = Display(saved.unit, saved.mass_unit, shell.zone)
        report = report_of(store, cook_id, shell.clock(), display)
    if kind == ".html":
        from app.report.page_html import html_page

        data = html_page(report).encode()
    else:
        from app.report.sheets import WRITERS

        data = WRITERS[kind](report)
    try:
        write_bytes_whole(path, data)
    except OSError as error:
        reason = error.strerror or str(error)
        raise CommandError(f"{path} could not be written: {reason}", FAILED) from error
    shell.say(f"the report of cook {cook_id} is in {path}")
    return OK
