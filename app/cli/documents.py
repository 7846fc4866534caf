"""``doneby import`` and ``doneby export``: cook documents into and out of the data file."""

from __future__ import annotations

import argparse
import os
import tempfile
from pathlib import Path

from app.cli.shell import BAD_INPUT, FAILED, OK, CommandError, Shell
from storage.documents import CookDocument, dump_document, read_document
from storage.errors import DocumentError, shown


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Import or export."""
    if options.command == "export":
        return _export(options, shell)
    from app.cli import csv_import

    if csv_import.is_table(options):
        return csv_import.run(options, shell)
    return _import(options, shell)


def _import(options: argparse.Namespace, shell: Shell) -> int:
    """Check every file first; one bad file keeps all of them out, so a second try is clean."""
    documents: list[tuple[str, CookDocument]] = []
    bad = 0
    for name in options.files:
        try:
            documents.append((name, read_document(Path(name))))
        except DocumentError as error:
            bad += 1
            shell.complain(f"{error}; nothing was imported")
    if bad:
        if documents:
            shell.complain(f"{len(documents)} good files were not imported either; mend the others")
        return BAD_INPUT
    with shell.store() as store:
        found = [None if options.again else store.imported_as(one) for _, one in documents]
        made: tuple[int, ...] = ()
        if not options.dry_run:
            made = store.import_documents([one for _, one in documents], again=options.again)
    known = set(found)
    for place, (name, document) in enumerate(documents):
        what = f"{document.title or name} ({_counts(document)})"
        cook_id = made[place] if made else found[place]
        if cook_id is None:
            shell.say(f"{name}: would be imported: {what}")
        elif cook_id in known:
            shell.say(f"{name}: there already as cook {cook_id}: {what}")
        else:
            known.add(cook_id)  # the same document may be named twice
            shell.say(f"{name}: imported as cook {cook_id}: {what}")
    return OK


def _counts(document: CookDocument) -> str:
    return f"{len(document.readings)} readings, {len(document.events)} events"


def _export(options: argparse.Namespace, shell: Shell) -> int:
    cook_id = cook_number(options.cook)
    if options.csv is not None and options.output is not None:
        raise CommandError("--csv FILE or -o FILE, not both; nothing was written")
    with shell.store() as store:
        if options.csv is not None:
            from app.csv_readings.writing import readings_table

            # The mark at the front tells spreadsheets that the text is UTF-8.
            text = f"\ufeff{readings_table(store.cook(cook_id), shell.zone)}"
            target = None if options.csv == "-" else options.csv
        else:
            text, target = dump_document(store.export_document(cook_id)), options.output
    if target is None:
        # Not through `say`: a document is data, and JSON has its own escapes.
        if shell.out is not None:
            shell.out.write(text.removeprefix("\ufeff"))
        return OK
    path = Path(target)
    try:
        write_whole(path, text)
    except OSError as error:
        reason = error.strerror or str(error)
        raise CommandError(f"{path} could not be written: {reason}", FAILED) from error
    shell.say(f"cook {cook_id} is in {path}")
    return OK


def cook_number(text: str) -> int:
    """A cook's number as it was typed; raises CommandError."""
    digits = text.removeprefix("#")
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 9):
        raise CommandError(f"found {shown(text)}; a cook's number is allowed, see 'doneby ledger'")
    return int(digits)


def write_whole(path: Path, text: str) -> None:
    """As `write_bytes_whole`, for text in UTF-8. Line ends are written as they stand in it."""
    write_bytes_whole(path, text.encode())


def write_bytes_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all; a device is written to as it is."""
    if path.exists() and not path.is_file():
        path.write_bytes(data)
        return
    descriptor, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(data)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
