"""What the finished cooks of one data file teach: a prior for the next cook of the same cut.

Each finished cook is looked through once (:func:`core.learning.evidence_of`); what it says is kept
beside the cook under its stamp, and computed anew when the cook, or the book's prior, has changed.
A cook learns only from cooks that had ended when its own meat went on, so a look back at an old
cook knows no more than was known then, and never the cook itself.

Samples teach samples and own cooks own cooks. The cut `other` teaches nothing: its pieces have only
the name in common.
"""

from __future__ import annotations

import hashlib
import json
import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from core.cook import Cook, Milestone
from core.errors import CoreError, ForecastCancelled
from storage.errors import StorageError
from storage.values import CookSummary, SavedCook

if TYPE_CHECKING:
    from core.answers import Forecast
    from core.learning import Evidence
    from core.prior import Prior
    from storage.store import Store

log = logging.getLogger(__name__)

KIND = "evidence:1"
"""Counts up when :func:`core.learning.evidence_of` would say something else of an old cook."""

SETTING, OFF = "learning", "off"
MOST_COOKS = 20
"""So many of the newest cooks of a cut teach: cookers and habits change."""

NO_LESSONS = ("other",)


def _never() -> bool:
    return False


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """What a household's cooks of one cut taught by one time.

    Attributes
    ----------
    cut : str
    cook_ids : tuple of int
        The cooks it was learned from, newest first; none if nothing was.
    prior : Prior or None
        For `forecast(..., prior=)`; None is the book's.
    on : bool
        Whether learning is switched on; the prior is None while it is off.
    """

    cut: str
    cook_ids: tuple[int, ...] = ()
    prior: Prior | None = None
    on: bool = True


@dataclass(frozen=True, slots=True)
class Typical:
    """How long a cook takes, from its plan alone, in seconds from meat-on.

    Attributes
    ----------
    low_s, middle_s, high_s : float
        10, 50 and 90 % quantiles until the last probe is at its target.
    book_s : float
        The median without what was learned.
    cooks : int
        How many own cooks it was learned from.
    """

    low_s: float
    middle_s: float
    high_s: float
    book_s: float
    cooks: int

    @property
    def later_share(self) -> float:
        """How much later than by the book: -0.09 is 9 % sooner."""
        return self.middle_s / self.book_s - 1.0


class Learning:
    """Looks through finished cooks and keeps what they say in the data file.

    Any thread may call. What cannot be kept (no space, a closed file) is computed again next time:
    a forecast never fails because of it.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._last: tuple[tuple[object, ...], Learned] | None = None

    @property
    def on(self) -> bool:
        """Whether own cooks sharpen the forecast."""
        return self._store.settings.get(SETTING) != OFF

    def switch(self, on: bool) -> None:
        """Switch learning on or off; kept in the data file."""
        self._store.settings.set(SETTING, None if on else OFF)

    def for_cook(self, saved: SavedCook, *, cancelled: Callable[[], bool] = _never) -> Learned:
        """What was known when this cook's meat went on."""
        return self.of(
            saved.cook.plan.cut,
            saved.started_at,
            invented=saved.invented,
            without=saved.id,
            cancelled=cancelled,
        )

    def of(
        self,
        cut: str,
        before: datetime,
        *,
        invented: bool = False,
        without: int | None = None,
        cancelled: Callable[[], bool] = _never,
    ) -> Learned:
        """What the cooks of `cut` that had ended `before` a time teach.

        Parameters
        ----------
        cut : str
        before : datetime
            Aware.
        invented : bool
            Learn from samples instead of own cooks.
        without : int, optional
            A cook that does not teach in any case.
        cancelled : callable
            Polled while cooks are looked through.

        Raises
        ------
        ForecastCancelled
        StorageError
            The data file cannot be read.
        """
        asked = (self._store.change_token(), cut, before, invented, without)
        last = self._last
        if last is not None and last[0] == asked:
            return last[1]
        if not self.on:
            return Learned(cut, on=False)
        cooks = [
            cook
            for cook in self._store.cooks()
            if _teaches(cook, cut, before) and cook.invented == invented and cook.id != without
        ]
        found = self._learn(cut, cooks[:MOST_COOKS], cancelled)
        # With the token from before: what was kept meanwhile only makes the next call ask again.
        self._last = (asked, found)
        return found

    def _learn(self, cut: str, cooks: list[CookSummary], cancelled: Callable[[], bool]) -> Learned:
        from core.learning import MISFIT_MAX_C, learned_prior
        from core.prior import book_prior

        book = book_prior(cut)
        kept = self._store.derived.all(KIND) if cooks else {}
        told = {}
        for cook in cooks:
            evidence = self._evidence(cook, book, kept, cancelled)
            if evidence is not None and evidence.misfit_c <= MISFIT_MAX_C:
                told[cook.id] = evidence
        if not told:
            return Learned(cut)
        return Learned(cut, tuple(told), learned_prior(book, told.values()))

    def _evidence(
        self,
        cook: CookSummary,
        book: Prior,
        kept: Mapping[int, tuple[str, str]],
        cancelled: Callable[[], bool],
    ) -> Evidence | None:
        mark = _mark(book)
        stamp, payload = kept.get(cook.id, ("", ""))
        values = _read(payload, book) if stamp == cook.stamp else None
        if values is None or values["book"] != mark:
            values = {"book": mark, **_look_through(self._store.cook(cook.id), book, cancelled)}
            self._keep(cook, values)
        return _evidence_of(cook.cut, values)

    def _keep(self, cook: CookSummary, values: dict[str, Any]) -> None:
        try:
            self._store.derived.put(cook.id, KIND, cook.stamp, json.dumps(values))
        except StorageError as error:
            log.warning("what cook %d teaches was not kept: %s", cook.id, error)


def _teaches(cook: CookSummary, cut: str, before: datetime) -> bool:
    over = cook.ended_at is not None and cook.ended_at <= before and cook.started_at < before
    return over and cook.cut == cut and cut not in NO_LESSONS and cook.readings > 0


def _look_through(saved: SavedCook, book: Prior, cancelled: Callable[[], bool]) -> dict[str, Any]:
    """What one cook says, as JSON values."""
    from core.learning import evidence_of

    try:
        found = evidence_of(saved.cook, book, cancelled=cancelled) if saved.cook.probes else None
    except ForecastCancelled:
        raise
    except CoreError as error:
        return {"nothing": str(error)}
    if found is None:
        return {"nothing": "too few readings"}
    return {
        "mean": found.mean.tolist(),
        "covariance": found.covariance.tolist(),
        "misfit_c": found.misfit_c,
    }


def _evidence_of(cut: str, values: dict[str, Any]) -> Evidence | None:
    import numpy as np

    from core.learning import Evidence

    if "mean" not in values:
        return None
    mean, covariance = np.array(values["mean"]), np.array(values["covariance"])
    return Evidence(cut, mean, covariance, float(values["misfit_c"]))


def _read(payload: str, book: Prior) -> dict[str, Any] | None:
    """The values that were kept; None if another hand has spoilt them."""
    import numpy as np

    try:
        values = json.loads(payload)
        known = isinstance(values["book"], str) and isinstance(values.get("nothing", ""), str)
        if "nothing" not in values:
            shapes = np.shape(values["mean"]), np.shape(values["covariance"])
            sized = shapes == (book.mean.shape, book.root.shape)
            known = known and sized and np.isfinite(float(values["misfit_c"]))
    except (ValueError, TypeError, KeyError, AttributeError):
        return None
    return values if known else None


def _mark(book: Prior) -> str:
    """A mark of the book's prior: evidence holds only for the prior it was inferred with."""
    numbers = json.dumps([book.mean.tolist(), book.root.tolist()])
    return hashlib.sha256(numbers.encode()).hexdigest()[:16]


def typical(
    cook: Cook, learned: Learned, *, cancelled: Callable[[], bool] = _never
) -> Typical | None:
    """How long a cook like this takes, by its plan alone.

    Parameters
    ----------
    cook : Cook
        Plan and probes; readings and events are not looked at.
    learned : Learned
        Of the cook's cut.

    Returns
    -------
    Typical or None
        None if more than one in ten such cooks would never get there.
    """
    from core.forecast import forecast

    bare = Cook(cook.plan, cook.probes)

    def told(prior: Prior | None) -> tuple[float, float, float] | None:
        return _finish(forecast(bare, 0.0, prior=prior, explain=False, cancelled=cancelled))

    book = told(None)
    own = book if learned.prior is None else told(learned.prior)
    if book is None or own is None:
        return None
    return Typical(*own, book[1], len(learned.cook_ids))


def _finish(made: Forecast) -> tuple[float, float, float] | None:
    """10, 50 and 90 % quantiles of the last probe's target."""
    found = []
    for arrival in made.arrivals:
        if arrival.milestone is Milestone.TARGET:
            low, middle, high = (arrival.quantile_s(level) for level in (0.1, 0.5, 0.9))
            if low is None or middle is None or high is None:
                return None
            found.append((middle, low, high))
    if not found:
        return None
    middle, low, high = max(found)
    return low, middle, high


@dataclass(frozen=True, slots=True, eq=False)
class Lessons:
    """What a past cook was forecast with, and what its kind teaches by now.

    Attributes
    ----------
    then : Learned
        When its meat went on.
    now : Learned
    following : Typical or None
        Of another cook by the same plan; None if it would never get there.
    """

    then: Learned
    now: Learned
    following: Typical | None


def lessons_of(
    learning: Learning,
    saved: SavedCook,
    now: datetime,
    *,
    cancelled: Callable[[], bool] = _never,
) -> Lessons:
    """What was known at a cook's meat-on, and what is known `now`.

    Raises
    ------
    ForecastCancelled, StorageError
    """
    then = learning.for_cook(saved, cancelled=cancelled)
    plan = saved.cook.plan
    known = learning.of(plan.cut, now, invented=saved.invented, cancelled=cancelled)
    following = typical(saved.cook, known, cancelled=cancelled) if saved.cook.probes else None
    return Lessons(then, known, following)
