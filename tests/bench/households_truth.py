"""Simulated households: what is theirs stays from cook to cook, the rest is drawn anew each day.

A household keeps, as shares of the variance that the truth simulator draws with: its gauge's error,
its cooker (convection, walls, damp), its fire habits, most of its ways of reading and tending, and
its butcher's way of cutting a kind of meat. The food itself, the start, the surface and where the
probe lands are each day's own. The shares are assumptions (common practice, no source). The meat
and the cooker of each cook alone are distributed as in the simulator's other cooks, because a
household only ties their draws together.

Households of TUNING may be looked at and fitted to; those of JUDGING only score.
"""

from __future__ import annotations

import hashlib
import os
import pickle
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from tests.bench.truth import SimCook, scenario
from tests.bench.truth.cooks import BATCH, _cache_folder, _code_mark, _sim_cook
from tests.bench.truth.cuts import KINDS
from tests.bench.truth.fire import wander
from tests.bench.truth.person import Person
from tests.bench.truth.run import Run
from tests.bench.truth.scenario import Plan, Theta, draw_plan

Array = npt.NDArray[np.float64]

TUNING = range(80)
JUDGING = range(1000, 1048)
CUTS = ("pork_shoulder", "whole_chicken", "beef_brisket", "leg_of_lamb")
PAST, NEXT, ELSEWHERE = 10, 4, 5
"""Cooks of the household's cut before, those that are forecast, and cooks of another cut before."""

BUTCHER = 0.5
"""Of the body's draws: a slab's thickness then differs by 8 % from butcher to butcher."""

KEPT: dict[str, tuple[float, ...]] = {
    "surface": (0.8, 0.0, 0.8, 0.8, 0.0, 0.0, 0.0, 0.0, 0.0, 0.6, 0.7, 0.8),
    "fire": (1.0, 1.0, 0.95, 0.95, 1.0, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.8, 0.3, 0.3, 0.3),
}
"""Shares kept of each draw of ``scenario._draw_surface`` and ``scenario._draw_fire``, in order."""


class Shared:
    """Stands for a random generator; each draw is part the household's and part the day's."""

    def __init__(self, seed: tuple[int, ...], day: int, kept: Iterable[float] | float) -> None:
        self._home = np.random.default_rng(seed)
        self._day = np.random.default_rng((*seed, 1 + day))
        self._kept = None if isinstance(kept, float) else iter(kept)
        self._share = kept if isinstance(kept, float) else 0.0

    def normal(self, loc: float = 0.0, scale: float = 1.0, size: int | None = None) -> Array:
        """As of numpy's generator."""
        if self._kept is not None:
            self._share = next(self._kept)
        n = 1 if size is None else size
        home, own = self._home.standard_normal(n), self._day.standard_normal(n)
        mixed = np.sqrt(self._share) * home + np.sqrt(1.0 - self._share) * own
        out: Array = loc + scale * mixed
        return out

    def random(self, size: int | None = None) -> Array:
        """As of numpy's generator."""
        out: Array = ndtr(self.normal(size=size))
        return out

    def uniform(self, low: float = 0.0, high: float = 1.0, size: int | None = None) -> Array:
        """As of numpy's generator."""
        return low + (high - low) * self.random(size)


@dataclass(frozen=True, slots=True)
class Household:
    """Usable cooks of one household, oldest first."""

    number: int
    cut: str
    past: tuple[SimCook, ...]
    following: tuple[SimCook, ...]
    elsewhere: tuple[SimCook, ...]


def draw_theta(household: int, day: int, plan: Plan, *, alone: bool = False) -> Theta:
    """The hidden truth of one cook of a household; `alone` keeps nothing, for comparison."""
    kind = KINDS[plan.cut]
    butcher = list(KINDS).index(plan.cut)

    def shared(stream: int, kept: Iterable[float] | float) -> np.random.Generator:
        drawn: object = Shared((household, stream), day, 0.0 if alone else kept)
        return drawn  # type: ignore[return-value]

    theta = scenario._draw_body(shared(100 + butcher, BUTCHER), plan, kind, 1)
    theta |= scenario._draw_food(shared(1, 0.0), kind, 1)
    theta |= scenario._draw_surface(shared(2, KEPT["surface"]), kind, 1)
    theta |= scenario._draw_start(shared(3, 0.0), kind, 1)
    theta |= scenario._draw_probe(shared(4, 0.0), theta, 1)
    theta |= scenario._draw_fire(shared(5, KEPT["fire"]), plan, 1)
    return theta


def simulate(wanted: list[tuple[int, int, str]]) -> list[SimCook]:
    """Simulate cooks, each a household, a day and a cut."""
    plans, thetas, noises, people = [], [], [], []
    for household, day, cut in wanted:
        plan = draw_plan(np.random.default_rng((household, 6, day)), cut)
        theta = draw_theta(household, day, plan)
        noise = np.random.default_rng((household, 7, day))
        noises.append(wander(noise, float(theta["fire_memory_s"][0])))
        person = Person(plan, np.random.default_rng((household, 8)), bool(theta["steady"][0]))
        person.rng = np.random.default_rng((household, 8, 1 + day))  # habits stay, days differ
        people.append(person)
        plans.append(plan)
        thetas.append(theta)
    joint = {name: np.concatenate([t[name] for t in thetas]) for name in thetas[0]}
    outcomes = Run(plans, joint, np.stack(noises), people).go()
    made = zip(wanted, plans, thetas, people, outcomes, strict=True)
    return [
        _sim_cook(1000 * household + day, plan, theta, person, outcome)
        for (household, day, _), plan, theta, person, outcome in made
    ]


def _wanted(number: int) -> list[tuple[int, int, str]]:
    """A few more than are used: some days do not get there, or are not written down."""
    cut = CUTS[number % len(CUTS)]
    other = CUTS[(number + 1) % len(CUTS)]
    days = [(number, day, cut) for day in range(PAST + NEXT + 2)]
    return days + [(number, 500 + day, other) for day in range(ELSEWHERE + 1)]


def _household(number: int, cooks: list[SimCook]) -> Household:
    own = [c for c in cooks if c.seed % 1000 < 500 and c.usable]
    other = [c for c in cooks if c.seed % 1000 >= 500 and c.usable]
    following = own[-NEXT:]
    return Household(
        number,
        CUTS[number % len(CUTS)],
        tuple(own[:-NEXT][-PAST:]),
        tuple(following),
        tuple(other[:ELSEWHERE]),
    )


def _mark() -> str:
    own = repr((CUTS, PAST, NEXT, ELSEWHERE, BUTCHER, KEPT))
    return hashlib.sha256((_code_mark() + own).encode()).hexdigest()[:16]


def households(name: str, numbers: range) -> list[Household]:
    """The households of those numbers; simulated once and then kept in the cache folder."""
    folder = _cache_folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if folder.stat().st_uid != os.getuid():
        raise PermissionError(f"{folder} belongs to someone else; set DONEBY_BENCH_CACHE")
    path = folder / f"households-{name}-{_mark()}.pickle"
    if not path.exists():
        wanted = [cook for number in numbers for cook in _wanted(number)]
        cooks = []
        for first in range(0, len(wanted), BATCH):
            cooks += simulate(wanted[first : first + BATCH])
        light = [replace(c, truth=replace(c.truth, trace=())) for c in cooks]
        found = [_household(n, [c for c in light if c.seed // 1000 == n]) for n in numbers]
        part = path.with_suffix(f".{os.getpid()}")
        part.write_bytes(pickle.dumps(found))
        part.replace(path)
    kept: list[Household] = pickle.loads(path.read_bytes())  # noqa: S301 - our own file
    return kept
