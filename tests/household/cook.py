"""Cooks the household's year in the bench's simulator: ``python -m tests.household.cook FILE``.

The simulator knows nothing of the program's model. The forty cooks take about a minute; they are
kept in the folder of the bench and are simulated anew only when the year or the simulator changes.
"""

from __future__ import annotations

import hashlib
import pickle
import sys
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from core.catalogue import cut_named
from core.cook import Cook, Event, EventKind, Probe
from core.cook import Plan as CookPlan
from core.forecast import forecast
from core.units import TemperatureUnit, f_to_c, lb_to_kg
from storage.documents import CookDocument
from storage.store import Store, open_store
from storage.values import Outcome
from tests.bench.truth.cooks import _cache_folder, _code_mark
from tests.bench.truth.cuts import KINDS
from tests.bench.truth.fire import wander
from tests.bench.truth.person import Acts, Person
from tests.bench.truth.run import Run
from tests.bench.truth.scenario import Plan, draw_theta
from tests.household.year import YEAR, Day

ZONE = ZoneInfo("America/Chicago")
FIRST_SEED = 70_000
COALS = "10 briquettes"


@dataclass
class Householder(Person):
    """The same habits all year, but for what the day brings."""

    day: Day = YEAR[0]

    def __post_init__(self) -> None:
        super().__post_init__()
        self.base_gap_s = float(np.clip(self.expected_s / 13.0, 420.0, 2400.0))
        self.lid_habit, self.logs_lid = self.day.lids, True
        if self.day.lids:
            self.base_gap_s *= 0.6
        self.dial, self.impatient, self.late_turn_up = False, False, False
        self.pit_seldom, self.pit_gap_s = 0.05, (0.0, 0.0)
        self.does_wrap, self.rash_wrap, self.paper = True, False, False
        self.tolerance_c = 10.0 if self.day.tends else 200.0

    def _tend_meat(self, t: float, shown: float, acts: Acts) -> None:
        super()._tend_meat(t, shown, acts)
        if self.day.lids:
            acts.lid_share = float(self.rng.uniform(0.15, 0.3))


def _plan(day: Day) -> Plan:
    return Plan(
        day.cut, lb_to_kg(day.lb), f_to_c(day.pit_f), f_to_c(day.target_f),
        None if day.glaze_f is None else f_to_c(day.glaze_f),
        None if day.wrap_f is None else f_to_c(day.wrap_f), True, True, None, None,
    )  # fmt: skip


def _theta(seed: int, plan: Plan, day: Day) -> dict[str, np.ndarray]:
    """What is hidden: drawn, then one cooker's gauge for the whole year, then the day's own."""
    theta = draw_theta(np.random.default_rng([seed, 2]), plan)
    pit_c = plan.pit_c
    same = {
        "steady": 0.0, "gauge_offset_c": 3.0, "setpoint_c": pit_c - 2.0, "start_pit_c": pit_c - 4.0,
        "fire_sd_c": 4.5, "decay_c_per_h": 5.0, "first_burn_s": 5400.0, "start_c": 5.0,
        "start_core_c": 5.0,
    }  # fmt: skip
    for name, value in day.fire.items():
        same[name] = same[name] + value if name.endswith("pit_c") or name == "setpoint_c" else value
    same |= day.meat
    return theta | {name: np.array([value]) for name, value in same.items()}


def _alike(number: int) -> int:
    """The day whose piece of meat this one is like: its own, if it has no twin."""
    twin = YEAR[number].twin
    return number if not twin else [day.date for day in YEAR].index(twin)


def _simulate(days: tuple[Day, ...]) -> list[Cook]:
    """Cook these days; each depends on its own seed alone, not on the others."""
    plans, thetas, noises, people = [], [], [], []
    for day in days:
        number = YEAR.index(day)
        seed, plan = FIRST_SEED + number, _plan(day)
        thetas.append(_theta(FIRST_SEED + _alike(number), plan, day))
        memory = float(thetas[-1]["fire_memory_s"][0])
        noises.append(wander(np.random.default_rng([seed, 3]), memory))
        people.append(Householder(plan, np.random.default_rng([seed, 4]), False, day=day))
        plans.append(plan)
    joint = {name: np.concatenate([theta[name] for theta in thetas]) for name in thetas[0]}
    Run(plans, joint, np.stack(noises), list(people)).go()
    cooks = []
    for plan, day, person in zip(plans, days, people, strict=True):
        start = round(float(thetas[len(cooks)]["start_c"][0]) * 1.8 + 32.0)
        probe = Probe(
            KINDS[plan.cut].probe, plan.target_c, f_to_c(start), plan.glaze_c, plan.wrap_c
        )
        values = CookPlan(plan.cut, plan.mass_kg, plan.pit_c, plan.pit_c - 12.0, plan.pit_c + 12.0)
        cooks.append(Cook(values, (probe,), tuple(person.readings), _told(day, person.events)))
    return cooks


def _told(day: Day, events: list[Event]) -> tuple[Event, ...]:
    """The events with the household's words, and what it noted beside them."""
    notes = {EventKind.FUEL_ADDED: COALS, EventKind.WRAPPED: "foil"}
    if day.glaze is not None:
        notes[EventKind.GLAZED] = day.glaze[0]
    told = [
        replace(
            event,
            # after the reading that led to it, which is noted to the minute
            elapsed_s=60.0 * (event.elapsed_s // 60.0 + 1.0),
            note=event.note or notes.get(event.kind, ""),
        )
        for event in events
    ]
    if day.wood:
        told.append(Event(240.0, EventKind.WOOD_ADDED, f"{day.wood}, one fist-sized chunk"))
    if day.note:
        told.append(Event(1500.0, EventKind.NOTE, day.note))
    return tuple(told)


def _cooks() -> list[Cook]:
    """The forty, simulated once."""
    folder = _cache_folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    own = Path(__file__).read_bytes() + repr(YEAR).encode()
    path = folder / f"household-{_code_mark()}-{hashlib.sha256(own).hexdigest()[:16]}.pickle"
    if path.exists():
        found: list[Cook] = pickle.loads(path.read_bytes())  # noqa: S301 - our own file
        return found
    cooks = _simulate(YEAR)
    path.write_bytes(pickle.dumps(cooks))
    return cooks


def _document(day: Day, cook: Cook) -> CookDocument:
    """The cook with its times: the meal was promised for what the plan alone foretold."""
    serve = datetime.fromisoformat(f"{day.date}T{day.meal}").replace(tzinfo=ZONE)
    rest_s = cut_named(day.cut).rest_s
    foretold = forecast(replace(cook, readings=(), events=()), 0.0, explain=False).finish
    late_s = foretold.quantile_s(0.6) or 6 * 3600.0
    on_s = round((late_s + rest_s) / 300.0) * 300.0
    started = serve - timedelta(seconds=on_s)
    pulled = cook.first_event(EventKind.PULLED)
    last_s = max(cook.readings[-1].elapsed_s, pulled.elapsed_s if pulled else 0.0)
    served_s = (pulled.elapsed_s if pulled else last_s) + rest_s
    events = (*cook.events, Event(max(served_s, last_s), EventKind.SERVED))
    plan = replace(cook.plan, serve_s=on_s, rest_s=rest_s)
    return CookDocument(
        title=f"{day.title} (invented)", started_at=started, unit=TemperatureUnit.FAHRENHEIT,
        plan=plan, probes=cook.probes, readings=_to_the_minute(cook), events=events,
        serve_at=serve,
    )  # fmt: skip


def _to_the_minute(cook: Cook) -> tuple:  # type: ignore[type-arg]
    """Readings at whole minutes, one a minute: nobody reads a thermometer to the second."""
    found = {round(r.elapsed_s / 60.0): r for r in reversed(cook.readings)}
    return tuple(replace(r, elapsed_s=60.0 * minute) for minute, r in sorted(found.items()))


def fill(store: Store, dates: tuple[str, ...] = ()) -> list[int]:
    """Put the year into a data file, or only some days; gives back the numbers of its cooks."""
    days = tuple(day for day in YEAR if day.date in dates) or YEAR
    numbers = []
    for day, cook in zip(days, _simulate(days) if dates else _cooks(), strict=True):
        document = _document(day, cook)
        number = store.import_document(document)
        tender, juicy, skin, smoke = day.scores
        outcome = Outcome(tender, juicy, skin, smoke, day.words, day.change, day.wood)
        store.outcomes.save(number, outcome)
        if day.glaze is not None:
            name, lines = day.glaze
            store.mixes.keep(number, name, "glaze", lines, cook.plan.mass_kg, document.started_at)
        numbers.append(number)
    return numbers


def main(arguments: list[str]) -> int:
    """Make the data file that is named."""
    path = Path(arguments[0]).resolve()
    store = open_store(path, now=datetime.now(ZONE))
    numbers = fill(store)
    store.close()
    print(f"{len(numbers)} invented cooks in {path}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
