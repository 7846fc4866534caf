"""One past cook as its screen knows it, and what the model says of it, worked out in a thread."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen
from textual.worker import get_current_worker

from app.display import Display
from app.learned import Lessons, lessons_of
from app.presenters.chart import ChartView, present_chart
from app.presenters.hindcast_chart import present_revisions
from app.presenters.learning import lesson_section
from app.presenters.review import Section, headline, review_sections, sentence_of
from app.screens.kit import Kit
from core.errors import CoreError, ForecastCancelled
from storage.values import Mix, Outcome, SavedCook

if TYPE_CHECKING:
    from core.answers import Forecast
    from core.review import Figures, Revision

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, eq=False)
class LookBack:
    """What the model says of a past cook; `last` is the forecast as it left the heat."""

    figures: Figures
    revisions: tuple[Revision, ...]
    last: Forecast | None
    lessons: Lessons | None = None


class LookBackReady(Message):
    """The model has looked back at the cook with this stamp; or could not, and why."""

    def __init__(self, stamp: str, found: LookBack | None, reason: str = "") -> None:
        super().__init__()
        self.stamp, self.found, self.reason = stamp, found, reason


@dataclass(slots=True)
class PastCook:
    """A snapshot of the cook, what was said of it, and what the model says.

    Attributes
    ----------
    saved : SavedCook
    outcome : Outcome or None
    mixes : tuple of Mix
    kit : Kit
    found : LookBack or None
        None until the model has looked back.
    failed : str
        Why it could not.
    """

    saved: SavedCook
    outcome: Outcome | None
    mixes: tuple[Mix, ...]
    kit: Kit
    found: LookBack | None = None
    failed: str = field(default="")

    @classmethod
    def read(cls, kit: Kit, cook_id: int) -> PastCook:
        """From the file; raises StorageError."""
        store = kit.store
        saved, mixes = store.cook(cook_id), store.mixes.of_cook(cook_id)
        return cls(saved, store.outcomes.of(cook_id), mixes, kit)

    @property
    def display(self) -> Display:
        """Units of this cook in the zone of the screen."""
        return Display(self.saved.unit, self.saved.mass_unit, self.kit.zone)

    @property
    def title(self) -> str:
        """The first line."""
        return headline(self.saved, self.display)

    @property
    def sentence(self) -> str:
        """How it ran and why, or why that cannot be said."""
        if self.failed:
            return f"The model cannot look back at this cook: {self.failed}."
        if self.found is None:
            return "Looking back ..."
        return sentence_of(self.saved, self.found.figures)

    def sections(self) -> tuple[Section, ...]:
        """All that is said of it; nothing before the model has looked back."""
        if self.found is None:
            return ()
        sections = review_sections(
            self.saved, self.found.figures, self.outcome, self.mixes, self.display
        )
        if self.found.lessons is None:
            return sections
        mass_kg = self.saved.cook.plan.mass_kg
        return (*sections, lesson_section(self.found.lessons, mass_kg, self.display))

    def chart(self) -> ChartView:
        """Everything that happened."""
        last = None if self.found is None else self.found.last
        ended = self.saved.ended_at or self.kit.clock()
        return present_chart(self.saved, last, ended, self.display)

    def moved(self) -> ChartView | None:
        """How the projected finish moved; None before that is known, or with too few readings."""
        if self.found is None:
            return None
        figures = self.found.figures
        return present_revisions(
            self.saved, self.found.revisions, figures.finish_s, figures.planned_s, self.display
        )


def look_back(saved: SavedCook, kit: Kit, cancelled: Callable[[], bool]) -> LookBack:
    """Everything the model says of a past cook, on what was believed when its meat went on."""
    from core.forecast import forecast
    from core.pit_statistics import heat_end_s
    from core.review import figures, revisions

    prior = lessons = None
    if kit.learning is not None:
        lessons = lessons_of(kit.learning, saved, kit.clock(), cancelled=cancelled)
        prior = lessons.then.prior
    cook, last = saved.cook, None
    if cook.probes and cook.readings:
        end_s = heat_end_s(cook)
        last = forecast(cook, end_s, prior=prior, explain=False, cancelled=cancelled)
    return LookBack(
        figures(cook, prior=prior, cancelled=cancelled),
        revisions(cook, prior=prior, cancelled=cancelled),
        last,
        lessons,
    )


def ask_look_back(screen: Screen[None], saved: SavedCook, kit: Kit) -> None:
    """Look back in a thread; `screen` hears :class:`LookBackReady`."""
    screen.run_worker(
        partial(_work, screen, saved, kit),
        name="look back",
        group="look back",
        thread=True,
        exclusive=True,
        exit_on_error=False,
    )


def _work(screen: Screen[None], saved: SavedCook, kit: Kit) -> None:
    worker = get_current_worker()
    try:
        found = look_back(saved, kit, lambda: worker.is_cancelled)
    except ForecastCancelled:
        return
    except CoreError as error:
        screen.post_message(LookBackReady(saved.stamp, None, str(error)))
    except Exception as error:
        log.exception("looking back at cook %d", saved.id)
        reason = f"{type(error).__name__}: {error}"
        screen.post_message(LookBackReady(saved.stamp, None, reason))
    else:
        if not worker.is_cancelled:
            screen.post_message(LookBackReady(saved.stamp, found))
