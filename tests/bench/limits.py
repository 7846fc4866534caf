"""A cook at the limits: three days, 5,000 readings, 8 probes, 1,000 events.

``python -m tests.bench.limits`` prints figures, no pass or fail; ``--part forecast`` and so on runs
one part. Goals: a forecast within twice its usual time, a key echoed within 100 ms, memory flat.
"""

from __future__ import annotations

import argparse
import asyncio
import gc
import resource
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

from app.desk import Desk
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.forecast import forecast
from core.units import MassUnit, TemperatureUnit
from storage.documents import CookDocument
from storage.store import open_store
from tests.journeys.acting import settle, tend
from tests.journeys.stage import Stage, plain_forecast
from tests.journeys.test_terminal import PROGRAM, start

HOUR = 3600.0
KINDS = (EventKind.LID_OPEN, EventKind.FUEL_ADDED, EventKind.SPRITZED, EventKind.NOTE)


def limit_cook(
    hours: float = 72.0, readings: int = 5000, probes: int = 8, events: int = 1000
) -> Cook:
    """A shoulder that climbs slowly to 80 °C, read at even times, with every probe in it."""
    dice = Random(72)
    names = [f"probe {number + 1}" for number in range(probes)]
    step_s = hours * HOUR / readings
    rows = tuple(
        Reading(
            round(n * step_s, 1), 110.0 + dice.gauss(0.0, 2.0),
            tuple((name, 5.0 + 75.0 * (n / readings) ** 0.7 + i) for i, name in enumerate(names)),
        )
        for n in range(readings)
    )  # fmt: skip
    happened = tuple(
        Event(round((n + 0.5) * hours * HOUR / events, 1), KINDS[n % len(KINDS)], f"no. {n}")
        for n in range(events)
    )
    plan = Plan("pork_shoulder", 6.0, 110.0, serve_s=(hours + 6.0) * HOUR)
    return Cook(plan, tuple(Probe(name, 95.0, 5.0) for name in names), rows, happened)


CASES = {
    "usual: 12 h, 60 readings, 1 probe, 20 events": (12.0, 60, 1, 20),
    "12 h, 5,000 readings": (12.0, 5000, 1, 20),
    "72 h, 60 readings": (72.0, 60, 1, 20),
    "1,000 events": (12.0, 60, 1, 1000),
    "8 probes": (12.0, 60, 8, 20),
    "72 h, 5,000 readings, 1,000 events, 1 probe": (72.0, 5000, 1, 1000),
    "all limits at once, 8 probes": (72.0, 5000, 8, 1000),
}


def timed(job: Callable[[], object], rounds: int = 5) -> tuple[float, float]:
    """Median and longest processor time of a job [s], after one round to warm up.

    Processor time, so that what else the machine does is not counted; waiting for the disk is not
    counted either.
    """
    job()
    times = []
    for _ in range(rounds):
        begun = time.process_time()
        job()
        times.append(time.process_time() - begun)
    return statistics.median(times), max(times)


def forecasts() -> None:
    """The forecast alone, one limit at a time and all of them together."""
    usual = None
    for name, (hours, readings, probes, events) in CASES.items():
        cook = limit_cook(hours, readings, probes, events)
        middle_s, most_s = timed(lambda c=cook, h=hours: forecast(c, h * HOUR))  # type: ignore[misc]
        usual = usual or middle_s
        each = f", {middle_s / usual / probes:.1f} for each probe" if probes > 1 else ""
        print(f"  {name}: {middle_s * 1000:.0f} ms (most {most_s * 1000:.0f}), "
              f"{middle_s / usual:.1f} times the usual{each}")  # fmt: skip


def put(path: Path, cook: Cook, started_at: datetime) -> int:
    """The cook in a data file, still in hand."""
    store = open_store(path, now=datetime.now(UTC))
    document = CookDocument(
        "At the limits (invented)", started_at, TemperatureUnit.CELSIUS, cook.plan, cook.probes,
        cook.readings, cook.events,
    )  # fmt: skip
    cook_id = store.import_document(document)
    store.change_units(cook_id, TemperatureUnit.CELSIUS, MassUnit.KILOGRAM)
    store.close()
    return cook_id


def desk() -> None:
    """Loading, reading along at each key, and saving a line."""
    with tempfile.TemporaryDirectory() as folder:
        path, now = Path(folder) / "limits.db", datetime.now(UTC)
        begun = time.perf_counter()
        cook_id = put(path, limit_cook(), now - timedelta(hours=72))
        print(f"  importing it: {time.perf_counter() - begun:.1f} s, "
              f"{path.stat().st_size / 1e6:.1f} MB")  # fmt: skip
        store = open_store(path, now=now)
        counter = Desk(store, lambda: now, zone=UTC, cook_id=cook_id)
        for words, job in (
            ("loading the cook", lambda: store.cook(cook_id)),
            ("reading along at a key", lambda: counter.preview("111 83 84 85 86 87 88 89 90")),
            ("saving a line, on the disk", lambda: store.add_line(
                cook_id, text="note x", typed_at=now, at=now,
                events=(Event(72 * HOUR, EventKind.NOTE, "x"),))),
            ("saving a line through the desk", lambda: counter.accept("note y", confirmed=True)),
        ):  # fmt: skip
            middle_s, most_s = timed(job)
            print(f"  {words}: {middle_s * 1000:.1f} ms (most {most_s * 1000:.1f})")
        store.close()


def keys(count: int = 150) -> None:
    """From a key to its letter on a real terminal, while the program forecasts."""
    for name, cook, ago in (
        ("a usual cook", limit_cook(12.0, 60, 1, 20), 12.0), ("at the limits", limit_cook(), 72.0)
    ):  # fmt: skip
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "limits.db"
            put(path, cook, datetime.now(UTC) - timedelta(hours=ago))
            begun = time.perf_counter()
            terminal = start(path, PROGRAM)
            try:
                terminal.wait_for(b"NEXT LOOK")
                shown_s = time.perf_counter() - begun
                terminal.write("note ")
                times = []
                for number in range(count):
                    letter = "bcdfghjklmnpqrst"[number % 16]
                    terminal.read(0.0)
                    terminal.output = b""
                    begun = time.perf_counter()
                    terminal.write(letter)
                    while letter.encode() not in terminal.output:
                        terminal.read(0.001)
                    times.append(time.perf_counter() - begun)
                    time.sleep(0.03 + 0.005 * (number % 7))
            finally:
                terminal.close()
        times.sort()
        print(f"  {name}: median {times[len(times) // 2] * 1000:.0f} ms, 95 of 100 within "
              f"{times[int(0.95 * len(times))] * 1000:.0f} ms, most {times[-1] * 1000:.0f} ms; "
              f"first answers after {shown_s:.1f} s")  # fmt: skip


def resident_mb() -> float:
    """Memory of this process now [MB]; the most so far where the system does not tell."""
    status = Path("/proc/self/status")
    if status.exists():
        row = next(row for row in status.read_text().splitlines() if row.startswith("VmRSS"))
        return int(row.split()[1]) / 1024.0
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def memory(hours: int = 72) -> None:
    """The screens through three simulated days: every minute a beat, a reading each quarter."""

    async def cook_on(folder: Path) -> None:
        stage = Stage(folder / "memory.db")
        stage.forecast = plain_forecast
        cook_id = stage.begin()
        async with stage.app().run_test(size=(120, 40)) as pilot:
            await settle(pilot)
            for minute in range(hours * 60):
                stage.clock.pass_minutes(1)
                if minute % 15 == 0:
                    stage.say(cook_id, f"{300 + minute % 9} {40 + minute // 60}")
                tend(pilot).beat()
                await pilot.pause()
                if minute % (12 * 60) == 0:
                    await settle(pilot)
                    gc.collect()
                    print(f"  after {minute // 60} h: {resident_mb():.0f} MB, "
                          f"{len(gc.get_objects())} objects", flush=True)  # fmt: skip
        stage.close()

    with tempfile.TemporaryDirectory() as folder:
        asyncio.run(cook_on(Path(folder)))


PARTS: dict[str, Callable[[], None]] = {
    "forecast": forecasts, "desk": desk, "keys": keys, "memory": memory,
}  # fmt: skip


def main() -> None:
    """Print the figures of the parts that are asked for."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.limits", description=__doc__)
    parser.add_argument("--part", choices=PARTS, action="append")
    for name in parser.parse_args().part or PARTS:
        print(f"{name}: {PARTS[name].__doc__}", flush=True)
        PARTS[name]()


if __name__ == "__main__":
    main()
