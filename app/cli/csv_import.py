"""``doneby import FILE.csv``: readings from a table, into a new cook or one that is there."""

from __future__ import annotations

import argparse
from datetime import datetime, timedelta
from pathlib import Path

from app.cli.documents import cook_number
from app.cli.shell import BAD_INPUT, OK, CommandError, Shell
from app.cli.start import new_cook
from app.csv_readings.cells import DateOrder
from app.csv_readings.columns import find_columns, read_mapping
from app.csv_readings.log import TOLD_ERRORS, BadTable, CsvLog, How, read_log
from app.csv_readings.sheet import read_sheet
from app.csv_readings.words import counts, understood
from app.display import Display
from app.line.fields import read_span_s, read_start
from app.localtime import with_offset
from app.settings import usual_units
from core.cook import Reading
from core.units import MassUnit, TemperatureUnit
from storage.documents import CookDocument
from storage.store import Store

SUFFIXES = (".csv", ".tsv", ".txt")
CSV_ALONE = ("map", "into", "cut", "on", "every", "dates", "missing")
"""Options that only a table has."""

STALE = timedelta(hours=6)
"""A log whose last row is older than this is of a cook that is over."""

NEEDS_PLAN = (
    "a table holds no plan: --into ID adds its readings to a cook, or --cut, --weight and --pit "
    "make a new one"
)


def is_table(options: argparse.Namespace) -> bool:
    """Whether the import is of a table rather than of cook documents."""
    if any(getattr(options, name) for name in CSV_ALONE):
        return True
    return any(_named_as_table(Path(name)) for name in options.files)


def _named_as_table(path: Path) -> bool:
    """By the ending of its name; a text file may also hold a cook document."""
    if path.suffix.lower() not in SUFFIXES:
        return False
    try:
        with path.open("rb") as file:
            start = file.read(64)
    except OSError:
        return True  # the reader of tables says what is wrong with it
    return not start.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"{")


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Import one table, or tell what would be imported."""
    if len(options.files) > 1:
        raise CommandError("one table at a time; nothing was imported")
    if options.into is None and options.cut is None:
        raise CommandError(f"{NEEDS_PLAN}; nothing was imported")
    if options.into is not None and options.cut is not None:
        raise CommandError("--into or --cut, not both; nothing was imported")
    with shell.store() as store:
        try:
            into = options.into is not None
            return _into(options, store, shell) if into else _as_new(options, store, shell)
        except BadTable as table:
            for error in table.errors[:TOLD_ERRORS]:
                shell.complain(f"{error}; nothing was imported")
            more = len(table.errors) - TOLD_ERRORS
            if more > 0:
                shell.complain(f"and {more} more like these")
            return BAD_INPUT


def _into(options: argparse.Namespace, store: Store, shell: Shell) -> int:
    saved = store.cook(cook_number(options.into))
    probes = tuple(probe.name for probe in saved.cook.probes)
    unit = TemperatureUnit(options.unit) if options.unit else saved.unit
    how = _how(options, shell, saved.started_at, unit)
    log = _log(options, probes, how)
    display = Display(saved.unit, saved.mass_unit, shell.zone)
    for line in understood(log, how, display):
        shell.say(line)
    what = f"cook {saved.id}: {saved.title}"
    if options.dry_run:
        shell.say(f"would be added to {what} ({counts(log)})")
        return OK
    fresh, there = store.add_rows(saved.id, log.readings, log.notes, typed_at=shell.clock())
    known = f", {there} there already" if there else ""
    shell.say(f"added to {what} ({fresh} of {fresh + there} rows{known})")
    return OK


def _as_new(options: argparse.Namespace, store: Store, shell: Shell) -> int:
    unit = TemperatureUnit(options.unit) if options.unit else None
    start = None if options.on is None else read_start(options.on, shell.clock(), shell.zone)
    how = _how(options, shell, start, unit)
    log = _log(options, None, how)
    usual, usual_mass = usual_units(store, shell.env)
    named = [column.unit for column in log.columns if column.unit is not None]
    shown_in = unit or (named[0] if named else usual)
    mass_unit = MassUnit(options.mass_unit) if options.mass_unit else usual_mass
    document = _document(options, shell, log, shown_in, mass_unit)
    for line in understood(log, how, Display(shown_in, mass_unit, shell.zone)):
        shell.say(line)
    there = None if options.again else _there(store, document)
    what = f"{document.title} ({counts(log)})"
    if there is not None:
        shell.say(f"there already as cook {there}: {what}")
    elif options.dry_run:
        shell.say(f"would be imported as a new cook: {what}")
    else:
        last_s = max([r.elapsed_s for r in log.readings] + [e.elapsed_s for e in log.notes])
        over = shell.clock() - (document.started_at + timedelta(seconds=last_s)) > STALE
        cook_id = store.import_document(document, again=options.again, over=over)
        shell.say(f"imported as cook {cook_id}: {what}")
    return OK


def _there(store: Store, document: CookDocument) -> int | None:
    """Cook that has these readings already, under whatever plan and title."""
    found = store.imported_as(document)
    if found is not None:
        return found
    for cook in store.cooks():
        apart = abs(cook.started_at - document.started_at)
        if cook.readings == len(document.readings) and apart < timedelta(minutes=1):
            readings = store.cook(cook.id).cook.readings
            if all(
                _numbers(a) == _numbers(b) for a, b in zip(readings, document.readings, strict=True)
            ):
                return cook.id
    return None


def _numbers(reading: Reading) -> tuple[float | None, ...]:
    """What a reading shows, whatever the probes are called."""
    return (reading.pit_c, *(temp_c for _, temp_c in reading.meat_c))


def _how(
    options: argparse.Namespace, shell: Shell, start: datetime | None, unit: TemperatureUnit | None
) -> How:
    return How(
        zone=shell.zone,
        start=start,
        unit=unit,
        order=None if options.dates is None else DateOrder(options.dates),
        missing=frozenset(options.missing or ()),
        every_s=0.0 if options.every is None else read_span_s(options.every),
    )


def _log(options: argparse.Namespace, probes: tuple[str, ...] | None, how: How) -> CsvLog:
    sheet = read_sheet(Path(options.files[0]))
    columns = find_columns(sheet, read_mapping(options.map or []), probes)
    return read_log(sheet, columns, how)


def _document(
    options: argparse.Namespace,
    shell: Shell,
    log: CsvLog,
    unit: TemperatureUnit,
    mass_unit: MassUnit,
) -> CookDocument:
    """The new cook that the options and the table make."""
    if not log.probes:
        raise CommandError("no column is a probe: --map NAME=COLUMN; nothing was imported")
    start = with_offset(log.start, shell.zone)
    described = argparse.Namespace(
        **{
            **dict.fromkeys(("glaze", "wrap", "band", "meat", "meal", "rest", "shape")),
            **dict.fromkeys(("thickness", "title", "pit", "weight", "target")),
            **{name: value for name, value in vars(options).items() if value is not None},
            "at": start.isoformat(),
            "probe": list(log.probes),
        }
    )
    new = new_cook(described, shell, unit, mass_unit)
    return CookDocument(
        title=new.title,
        started_at=new.started_at,
        unit=unit,
        plan=new.plan,
        probes=new.probes,
        readings=log.readings,
        events=log.notes,
    )
