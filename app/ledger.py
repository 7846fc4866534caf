"""The Ledger as screens and commands know it: each cook with its outcome and its kept figures.

The figures of a cook take the model some tenths of a second. They are worked out once, kept beside
the cook under its stamp, and worked out anew when the stamp has changed; reading them needs no
numpy, so a list of thousands opens at once.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, fields
from typing import TYPE_CHECKING

from storage.values import CookSummary, Outcome, SavedCook

if TYPE_CHECKING:
    from app.learned import Learning
    from core.review import Figures
    from storage.store import Store

KIND = "figures:1"
"""Name and version of the kept figures: another version is worked out anew."""

WORDS_MAX = 600
"""Letters of the log that are kept with the figures for the search."""


@dataclass(frozen=True, slots=True)
class Kept:
    """The figures of one cook that a list shows; None for what is not known.

    Seconds from meat-on and °C. ``fire_s``, ``stall_s`` and ``piece_s`` are what held the finish
    back. ``failed`` says why there are no figures.
    """

    took_s: float | None = None
    planned_s: float | None = None
    expected_s: float | None = None
    half_miss_s: float | None = None
    pit_c: float | None = None
    in_band: float | None = None
    fire_s: float | None = None
    stall_s: float | None = None
    piece_s: float | None = None
    words: str = ""
    failed: str = ""

    @property
    def late_s(self) -> float | None:
        """Off the heat so much later than planned [s]; against the forecast without a meal."""
        plan_s = self.planned_s if self.planned_s is not None else self.expected_s
        return None if self.took_s is None or plan_s is None else self.took_s - plan_s


_KNOWN = frozenset(field.name for field in fields(Kept))


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """One cook of the list; `kept` is None until its figures are worked out."""

    summary: CookSummary
    outcome: Outcome | None = None
    kept: Kept | None = None

    @property
    def over(self) -> bool:
        """Whether it has ended: a cook in hand has no figures."""
        return self.summary.ended_at is not None


def entries(store: Store, *, binned: bool = False) -> tuple[LedgerEntry, ...]:
    """All cooks, newest first, with what is kept of them; or those in the bin."""
    outcomes, found = store.outcomes.all(), store.derived.all(KIND)
    return tuple(
        LedgerEntry(summary, outcomes.get(summary.id), _valid(summary, found))
        for summary in store.cooks(binned=binned)
    )


def _valid(summary: CookSummary, found: Mapping[int, tuple[str, str]]) -> Kept | None:
    """The kept figures of a cook if they are of its present stamp."""
    stamp, payload = found.get(summary.id, ("", ""))
    return decode(payload) if payload and stamp == summary.stamp else None


def encode(kept: Kept) -> str:
    """The figures as JSON text."""
    return json.dumps(
        {name: value for name, value in asdict(kept).items() if value not in (None, "")}
    )


def decode(payload: str) -> Kept | None:
    """The figures in a JSON text; None if it is none of ours."""
    try:
        found = json.loads(payload)
        return Kept(**{name: value for name, value in found.items() if name in _KNOWN})
    except (ValueError, TypeError, AttributeError):
        return None


def kept_of(figures: Figures, saved: SavedCook) -> Kept:
    """What a list shows of a cook's figures."""
    held = figures.holdback
    return Kept(
        took_s=figures.took_s,
        planned_s=figures.planned_s,
        expected_s=None if figures.expected is None else figures.expected.middle_s,
        half_miss_s=figures.half_miss_s,
        pit_c=figures.pit.mean_c,
        in_band=figures.pit.in_band,
        fire_s=None if held is None else held.fire_s,
        stall_s=None if held is None else held.evaporation_s,
        piece_s=None if held is None else held.size_s,
        words=_words(saved),
    )


def _words(saved: SavedCook) -> str:
    """What was written down during the cook, for the search."""
    notes = dict.fromkeys(event.note for event in saved.cook.events if event.note)
    return " / ".join(notes)[:WORDS_MAX]


def work_out(
    saved: SavedCook,
    cancelled: Callable[[], bool] = lambda: False,
    *,
    learning: Learning | None = None,
) -> Kept:
    """The figures of a cook that is over, from the model.

    Parameters
    ----------
    saved : SavedCook
    cancelled : callable
    learning : Learning, optional
        What own earlier cooks taught by then; the book alone if not given.

    Raises
    ------
    ForecastCancelled
    """
    from core.errors import CoreError, ForecastCancelled
    from core.review import figures

    try:
        prior = None if learning is None else learning.for_cook(saved, cancelled=cancelled).prior
        return kept_of(figures(saved.cook, prior=prior, cancelled=cancelled), saved)
    except ForecastCancelled:
        raise
    except CoreError as error:
        return Kept(words=_words(saved), failed=str(error))
