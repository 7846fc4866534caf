"""What is fuzzed: each target takes bytes and raises `Finding` if a promise is broken.

The promises: no traceback, no hang over a second, a message that can be printed, nothing half
saved, and what is accepted is what the data file takes and gives back.
"""

from __future__ import annotations

import atexit
import copy
import io
import json
import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

from app.cli.main import main
from app.cli.shell import Shell
from app.csv_readings.cells import DateOrder
from app.csv_readings.columns import find_columns
from app.csv_readings.log import BadTable, How, read_log
from app.csv_readings.sheet import parse_sheet
from app.csv_readings.words import counts, understood
from app.desk import Accepted, Desk, Refused
from app.display import Display
from core.units import MassUnit, TemperatureUnit
from storage.documents import dump_document, parse_document
from storage.errors import DocumentError
from storage.limits import check_event, check_plan, check_probes, check_reading, check_time
from tests.fuzz.scenes import SCENES
from tests.fuzz.shelf import Shelf

HANG_S = 1.0
"""Nothing may keep the processor for longer than this [s]."""

JOINERS = "\u200c\u200d"
"""Some scripts need them inside words, and they move nothing."""

LONG_ENOUGH = 800
"""A message longer than this is no longer read [characters]; the help card is not a message."""


class Finding(AssertionError):
    """A promise that did not hold."""


def check(holds: bool, words: str) -> None:
    """Raise Finding unless the promise holds."""
    if not holds:
        raise Finding(words)


@contextmanager
def in_time() -> Iterator[None]:
    """Raise Finding if what is inside keeps the processor for too long."""
    begun = time.process_time()
    yield
    used = time.process_time() - begun
    check(used < HANG_S, f"took {used:.2f} s")


def text_of(data: bytes) -> str:
    """Any bytes as the text that a terminal would hand over, undecodable ones included."""
    return data.decode("utf-8", "surrogateescape")


def line(data: bytes) -> None:
    """A typed line, from its preview to what the data file would be told."""
    scene = SCENES[data[0] % len(SCENES)] if data else SCENES[0]
    text = text_of(data[1:])
    shelf = Shelf(scene.saved)
    desk = Desk(shelf, scene.clock, zone=scene.zone)  # type: ignore[arg-type]
    with in_time():
        seen = desk.preview(text)
        outcome = desk.accept(text, confirmed=True)
    check(shown_whole(seen.reads_as) and shown_whole(seen.error or ""), "an unprintable preview")
    if isinstance(outcome, Refused):
        check(shelf.written == [], "refused, and yet something was written")
        check(outcome.reason.strip() != "", "refused without a reason")
        check(shown_whole(outcome.reason), f"unprintable: {outcome.reason!r}")
        check(len(outcome.reason) < LONG_ENOUGH, f"a message of {len(outcome.reason)} characters")
        check(bool(seen.error) or not text.strip(), "the preview liked what was refused")
        return
    check(isinstance(outcome, Accepted), "a confirmed line was asked about")
    check(seen.error is None, f"saved although the preview said: {seen.error}")
    check(shown_whole(outcome.message), f"unprintable: {outcome.message!r}")
    if outcome.action == "help":
        check(shelf.written == [], "help wrote something")
    else:
        check(0 < len(shelf.written) <= 2, f"one line wrote {shelf.written}")


def shown_whole(text: str) -> bool:
    """Whether a text of one or more lines holds nothing that acts on a terminal."""
    return all(c == "\n" or c in JOINERS or c.isprintable() for c in text)


def document(data: bytes) -> None:
    """A cook document: refused with its place, or taken and given back the same."""
    text = text_of(data)
    with in_time():
        try:
            read = parse_document(text, "fuzz.json")
        except DocumentError as error:
            message = str(error)
            check(message.startswith("fuzz.json"), f"names no file: {message!r}")
            check(message.isprintable(), f"unprintable: {message!r}")
            check(len(message) < LONG_ENOUGH, f"a message of {len(message)} characters")
            return
        check_plan(read.plan)
        check_probes(read.probes)
        for reading in read.readings:
            check_reading(reading, tuple(probe.name for probe in read.probes))
        for event in read.events:
            check_event(event)
        dumped = dump_document(read)
        check(parse_document(dumped, "again") == read, "reads back as something else")
        check(dump_document(parse_document(dumped, "again")) == dumped, "another text each time")


def values(data: bytes) -> None:
    """A good document with some of its values replaced, doubled or dropped, as the bytes say."""
    root = json.loads(_TEMPLATE)
    steps = iter(data)
    for choice in steps:
        places = list(_places(root))
        if not places:
            break
        holder, key = places[(choice * 256 + next(steps, 0)) % len(places)]
        kind = next(steps, 0)
        if kind % 8 == 7 and isinstance(holder, list):
            holder.append(copy.deepcopy(holder[key]))
        elif kind % 8 == 6:
            del holder[key]
        elif kind % 8 == 5 and isinstance(holder, dict):
            holder[ODD_KEYS[next(steps, 0) % len(ODD_KEYS)]] = copy.deepcopy(
                ODD_VALUES[kind % len(ODD_VALUES)]
            )
        else:
            holder[key] = copy.deepcopy(ODD_VALUES[next(steps, 0) % len(ODD_VALUES)])
    document(json.dumps(root, ensure_ascii=False).encode("utf-8", "surrogatepass"))


def _places(node: Any) -> Iterator[tuple[Any, Any]]:
    """Every place of a JSON value that can be written to."""
    keys = list(node) if isinstance(node, dict) else range(len(node))
    for key in keys:
        yield node, key
        if isinstance(node[key], (dict, list)):
            yield from _places(node[key])


ODD_VALUES: tuple[Any, ...] = (
    None, 0, -0.0, 1, 5, 12.5, 60, 62, 74, 150, 359.99, 1e-300, 1e308, float("inf"), float("nan"),
    -40, -41, 600, 601, 10**400, True, False, "", "C", "F", "pit", "breast", "minute", "lid_open",
    "served", "note", "x" * 3000, "\x1b[2J", "\u202egnol", "[/red]", "\x00", "\ufeff", "a\nb", " ",
    "2026-11-01T01:30:00-05:00", "2028-02-29T12:00:00Z", "2027-02-29T12:00:00Z",
    "0001-01-01T00:00Z", "9999-12-31T23:59:59-23:59", "other", "goose", "slab", [], {}, [[]],
    [None], {"minute": 1}, {"minute": 0, "kind": "glazed"},
    {"name": "leg", "target": 60}, [{"minute": 5, "pit": 150}],
)  # fmt: skip
ODD_KEYS = ("shape", "thickness_cm", "rest_min", "serve_at", "glaze", "wrap", "pit_low", "pit_high",
            "note", "pit", "title", "probes", "events", "extra", "\x1b", "\u202e", "")  # fmt: skip
_TEMPLATE = json.dumps({
    "format": 1, "title": "Invented goose", "started_at": "2026-05-09T13:05:00-05:00", "unit": "C",
    "plan": {"cut": "goose", "mass_kg": 4.6, "pit": 160, "pit_low": 150, "pit_high": 175,
             "serve_at": "2026-05-09T18:30:00-05:00", "rest_min": 20},
    "probes": [{"name": "breast", "start": 4.4, "target": 74, "glaze": 62, "wrap": None},
               {"name": "thigh", "target": 80}],
    "readings": [{"minute": 0, "pit": 148, "breast": 4.4}, {"minute": 21.5, "thigh": 9.4}],
    "events": [{"minute": 62, "kind": "lid_open"}, {"minute": 95, "kind": "note", "note": "wind"}],
})  # fmt: skip


_HOWS = tuple(
    How(zone=zone, start=start, unit=unit, order=order, every_s=every_s)
    for zone in (UTC, SCENES[0].zone)
    for start in (None, datetime(2026, 10, 31, 22, 0, tzinfo=UTC))
    for unit in (None, *TemperatureUnit)
    for order in (None, *DateOrder)
    for every_s in (0.0, 300.0)
)
_PROBES = (None, (), ("breast",), ("breast", "left thigh"))


def table(data: bytes) -> None:
    """A table of readings: refused with the place, or readings that the data file takes."""
    how = _HOWS[data[0] % len(_HOWS)] if data else _HOWS[0]
    probes = _PROBES[data[1] % len(_PROBES)] if len(data) > 1 else None
    with in_time():
        try:
            sheet = parse_sheet(data[2:], "fuzz.csv")
            log = read_log(sheet, find_columns(sheet, {}, probes), how)
        except DocumentError as error:
            _check_table_error(error)
            return
        except BadTable as bad:
            check(bool(bad.errors), "refused without a reason")
            for error in bad.errors:
                _check_table_error(error)
            return
        check_time("start", log.start)
        for reading in log.readings:
            check_reading(reading, log.probes)
        for event in log.notes:
            check_event(event)
        display = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, SCENES[0].zone)
        for words in (*understood(log, how, display), counts(log)):
            check(len(words) < 10 * LONG_ENOUGH, f"a line of {len(words)} characters")


def _check_table_error(error: DocumentError) -> None:
    message = str(error)
    check(message.startswith(("fuzz.csv", "--map")), f"names no file: {message!r}")
    check(len(message) < LONG_ENOUGH, f"a message of {len(message)} characters")
    check(message.isprintable(), f"unprintable: {message!r}")


@cache
def _folder() -> Path:
    """A folder of this run alone with an untouched data file and a document; work goes on there.

    The options under test name files: none may be written outside.
    """
    folder = Path(tempfile.mkdtemp(prefix="doneby-fuzz-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    work = folder / "work"
    work.mkdir()
    os.chdir(work)
    for words in (
        ("start", "goose", "--weight", "4.6kg", "--pit", "160c", "--probe", "breast",
         "--target", "74c", "--at", "-2h"),
        ("say", "--yes", "320 50 -90m"),
        ("say", "--yes", "318 75 lid -50m"),
    ):  # fmt: skip
        code, _, err = _run(work, words)
        check(code == 0, f"the cook did not begin: {err}")
    Path("cook.json").write_text(json.dumps({
        "format": 1, "title": "Invented goose", "started_at": "2026-05-09T13:05:00-05:00",
        "unit": "C", "plan": {"cut": "goose", "mass_kg": 4.6, "pit": 160},
        "probes": [{"name": "breast", "target": 74}],
    }), encoding="utf-8")  # fmt: skip
    Path("log.csv").write_text("minute,pit,breast\n130,318,140\n140,320,150\n", encoding="utf-8")
    shutil.copytree(work, folder / "untouched")
    return folder


def _fresh() -> Path:
    """The folder as it was before the first input, whatever the last one left; work goes on there.

    Each time anew: whoever runs the target may have gone elsewhere meanwhile.
    """
    folder = _folder()
    work = folder / "work"
    for item in work.iterdir():
        shutil.rmtree(item) if item.is_dir() else item.unlink()
    shutil.copytree(folder / "untouched", work, dirs_exist_ok=True)
    os.chdir(work)
    return work


def _run(work: Path, words: tuple[str, ...]) -> tuple[int, str, str]:
    """One command in the folder: its status and what it printed, argparse's words included."""
    out, err = io.StringIO(), io.StringIO()
    env = {"DONEBY_DATA": str(work / "cooks.sqlite3"), "LANG": "en_US.UTF-8"}
    scene = SCENES[0]

    def pause(_seconds: float) -> None:
        raise KeyboardInterrupt

    shell = Shell(env, scene.clock, scene.zone, out, err, io.StringIO("note piped\n"), pause)
    with redirect_stdout(out), redirect_stderr(err):
        code = main(words, shell)
    return code, out.getvalue(), err.getvalue()


def options(data: bytes) -> None:
    """Words of the command line, parted by line ends."""
    work = _fresh()
    words = tuple(text_of(data).replace("/", "_").replace("~", "_").replace("\0", "_").split("\n"))
    begun = time.process_time()
    code, out, err = _run(work, words)
    used = time.process_time() - begun
    check(code in (0, 1, 2, 130), f"ended with {code}")
    check("something went wrong" not in err and "Traceback" not in out + err, err)
    check(code == 0 or err.strip() != "", "failed without a word")
    check(shown_whole(out) and shown_whole(err), f"unprintable: {(out + err)!r}")
    # a forecast takes its time, whatever was asked; what only reads its options may not
    check(bool(SLOW & set(words)) or used < HANG_S, f"took {used:.2f} s")


SLOW = {"hindcast", "dayline", "status", "start", "report", "ledger", "levers"}
"""Commands that forecast."""

TARGETS: dict[str, Callable[[bytes], None]] = {
    "line": line, "document": document, "values": values, "table": table,
    "options": options,
}  # fmt: skip
