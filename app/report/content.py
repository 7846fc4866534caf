"""What a report says, in finished words; the pages only lay it out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from app.display import Display, one_line, plain_number
from app.learned import Learning, lessons_of
from app.presenters.cautions import present_cautions
from app.presenters.chart import ChartView, present_chart
from app.presenters.hindcast_chart import present_revisions
from app.presenters.learning import lesson_section
from app.presenters.moment import Moment
from app.presenters.review import Section, headline, review_sections, sentence_of
from app.presenters.words import event_words
from core.cook import Event, Reading
from core.errors import CoreError
from storage.values import SavedCook

if TYPE_CHECKING:
    from core.answers import Forecast
    from core.prior import Prior
    from core.review import Figures, Revision
    from storage.store import Store

INFORMS = (
    "This page informs and declares nothing about the food. The ranges hold 8 of 10 cooks like "
    "this by the model; they are no promise."
)


@dataclass(frozen=True, slots=True, eq=False)
class Report:
    """One cook, ready to be laid out.

    Attributes
    ----------
    title, about : str
        The heading and the line under it.
    story : tuple of str
        How it ran and why.
    chart : ChartView
    moved : ChartView or None
        How the projected finish moved.
    sections : tuple of Section
    heading : tuple of str
        Columns of the log.
    rows : tuple of tuple of str
        The log, oldest first.
    cautions : tuple of str
    made : str
        When the page was made.
    """

    title: str
    about: str
    story: tuple[str, ...]
    chart: ChartView
    moved: ChartView | None
    sections: tuple[Section, ...]
    heading: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    cautions: tuple[str, ...]
    made: str


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """What the model says of the cook; all of it None if it says nothing."""

    figures: Figures | None = None
    revisions: tuple[Revision, ...] = ()
    forecast: Forecast | None = None
    why_not: str = ""


def report_of(store: Store, cook_id: int, now: datetime, display: Display) -> Report:
    """The report of one cook of the data file as it stands at `now`.

    Raises
    ------
    StorageError
    """
    saved = store.cook(cook_id)
    lessons = lessons_of(Learning(store), saved, now)
    learned = lessons.then
    shown_now = now if saved.ended_at is None else min(now, saved.ended_at)
    seen = _look(saved, learned.prior, (shown_now - saved.started_at).total_seconds())
    sections: tuple[Section, ...] = ()
    moved = None
    if seen.figures is not None:
        outcome, mixes = store.outcomes.of(cook_id), store.mixes.of_cook(cook_id)
        sections = (
            *review_sections(saved, seen.figures, outcome, mixes, display),
            lesson_section(lessons, saved.cook.plan.mass_kg, display),
        )
        moved = present_revisions(
            saved, seen.revisions, seen.figures.finish_s, seen.figures.planned_s, display
        )
    story = [] if seen.figures is None else [sentence_of(saved, seen.figures)]
    story.append(seen.why_not)
    heading, rows = _log(saved, display)
    title, _, about = headline(saved, display).rpartition("   ")
    return Report(
        title=title.strip() or about,
        about=about,
        story=tuple(part for part in story if part),
        chart=present_chart(saved, seen.forecast, shown_now, display),
        moved=moved,
        sections=sections,
        heading=heading,
        rows=rows,
        cautions=(INFORMS, *present_cautions(Moment(saved, seen.forecast, shown_now, display))),
        made=f"{display.local(now):%Y-%m-%d %H:%M}, doneby, cook {saved.id}",
    )


def _look(saved: SavedCook, prior: Prior | None, now_s: float) -> _Seen:
    """Ask the model; a cook that it cannot follow is reported without it."""
    from core.forecast import forecast
    from core.pit_statistics import heat_end_s
    from core.review import figures, revisions
    from storage.limits import ELAPSED_S

    cook = saved.cook
    try:
        made = None
        if cook.probes and cook.readings:
            at_s = heat_end_s(cook) if saved.ended_at is not None else min(now_s, ELAPSED_S[1])
            made = forecast(cook, at_s, prior=prior, explain=False)
        return _Seen(figures(cook, prior=prior), revisions(cook, prior=prior), made)
    except CoreError as error:
        return _Seen(why_not=f"The model cannot look back at this cook: {one_line(str(error))}.")


def _log(saved: SavedCook, display: Display) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """The heading and the rows of all live readings and events in time order."""
    names = [probe.name for probe in saved.cook.probes]
    heading = ("clock", "min", *(f"{n} {display.degree}" for n in ("pit", *names)), "what happened")
    rows = [_reading_row(saved, names, reading, display) for reading in saved.cook.readings]
    rows += [_event_row(saved, names, event, display) for event in saved.cook.events]
    ordered = sorted(rows, key=lambda row: row[0])
    return heading, tuple(cells for _, cells in ordered)


def _times(saved: SavedCook, elapsed_s: float, display: Display) -> tuple[str, str]:
    at = saved.started_at + timedelta(seconds=elapsed_s)
    return display.clock(at, saved.started_at), plain_number(elapsed_s / 60.0, 1)


def _reading_row(
    saved: SavedCook, names: list[str], reading: Reading, display: Display
) -> tuple[float, tuple[str, ...]]:
    values = [reading.pit_c, *(reading.of(name) for name in names)]
    shown = ["" if value is None else display.number(value) for value in values]
    return reading.elapsed_s, (*_times(saved, reading.elapsed_s, display), *shown, "")


def _event_row(
    saved: SavedCook, names: list[str], event: Event, display: Display
) -> tuple[float, tuple[str, ...]]:
    empty = [""] * (len(names) + 1)
    words = one_line(event_words(event, display))
    return event.elapsed_s, (*_times(saved, event.elapsed_s, display), *empty, words)
