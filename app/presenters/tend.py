"""The words around the answers on the Tend screen: its top line, the log and the notices."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from app.display import Display, one_line, span
from app.line.log import line_numbers
from app.line.spell import spell_line
from app.line.values import LineContext, LogLine, TypedEvent
from app.presenters.cautions import ROUNDING_C, minimum_words
from app.presenters.views import AnswersView, Mark
from app.presenters.words import EIGHT_IN_TEN, line_words
from core.answers import LEVELS, Forecast
from core.catalogue import cut_named
from storage.values import SavedCook, SavedLine

BELOW_MINIMUM = "Below the published minimum"
"""How a caution about the plan itself begins; it stays on the screen all the time."""

LATE_TYPED_S = 120.0
"""A line typed this long after the time it speaks of says so [s]."""


class SaveState(StrEnum):
    """What the top line says about the newest line."""

    NONE = ""
    SAVING = "saving"
    SAVED = "saved"
    NOT_SAVED = "NOT SAVED"


@dataclass(frozen=True, slots=True)
class TopView:
    """The top line: what is cooked, how long it is on, and the clock."""

    title: str
    about: str
    clock: str


class LineState(StrEnum):
    """Whether a line of the log counts."""

    LIVE = "live"
    DELETED = "deleted"
    WAITING = "saving"


@dataclass(frozen=True, slots=True)
class LineView:
    """One row of the log.

    `line_id` and `number` are None while the line is on its way to the file; the number is the
    one that the typed line calls it by.
    """

    line_id: int | None
    number: int | None
    clock: str
    words: str
    note: str
    state: LineState


def present_top(saved: SavedCook, now: datetime, display: Display) -> TopView:
    """The top line at `now`."""
    cut = cut_named(saved.cook.plan.cut)
    elapsed_s = (now - saved.started_at).total_seconds()
    on = display.clock(saved.started_at, now)
    off = elapsed_s < 0 or saved.ended_at is not None
    since = f"on at {on}" if off else f"on since {on}, {span(elapsed_s)}"
    mass = display.mass(saved.cook.plan.mass_kg)
    named = cut.name in saved.title.lower()
    about = [mass if named else f"{cut.name} {mass}", since]
    if saved.invented:
        about.append("invented sample")
    return TopView(one_line(saved.title), ", ".join(about), display.clock(now))


def present_lines(saved: SavedCook, now: datetime, display: Display) -> tuple[LineView, ...]:
    """The log, oldest first. A corrected line is shown once, with what it said before."""
    by_id = {line.id: line for line in saved.lines}
    numbers = line_numbers(saved)
    return tuple(
        _line_view(line, numbers[line.id], by_id, now, display)
        for line in saved.lines
        if line.replaced_by_id is None
    )


def _line_view(
    line: SavedLine,
    number: int,
    by_id: dict[int, SavedLine],
    now: datetime,
    display: Display,
) -> LineView:
    words = line_words(line.readings, line.events, display) or one_line(line.text) or "nothing read"
    notes = []
    if line.replaces_id in by_id:
        before = by_id[line.replaces_id]
        was = line_words(before.readings, before.events, display) or one_line(before.text)
        notes.append(f"corrected, was {was}")
    elif (line.typed_at - line.at).total_seconds() >= LATE_TYPED_S:
        notes.append(f"typed {display.clock(line.typed_at, now)}")
    state = LineState.DELETED if line.deleted else LineState.LIVE
    return LineView(line.id, number, display.clock(line.at, now), words, "; ".join(notes), state)


def waiting_line(text: str, now: datetime, display: Display) -> LineView:
    """A line that was accepted and is not in the file yet."""
    return LineView(None, None, display.clock(now), text, "", LineState.WAITING)


def correction_text(saved: SavedCook, line_id: int, display: Display) -> str:
    """What to put into the entry to correct a line: the typed word and what the line said."""
    line = next(line for line in saved.lines if line.id == line_id)
    probes = tuple(probe.name for probe in saved.cook.probes)
    context = LineContext(probes, saved.unit, line.typed_at, saved.started_at, display.zone)
    reading = line.readings[0] if line.readings else None
    body = LogLine(
        at=None,
        pit_c=None if reading is None else reading.pit_c,
        meat_c=() if reading is None else reading.meat_c,
        events=tuple(TypedEvent(event.kind, event.note) for event in line.events),
    )
    return f"fix #{line_numbers(saved)[line_id]} {spell_line(body, context)}"


def expected_words(
    saved: SavedCook, forecast: Forecast | None, now: datetime, display: Display
) -> str:
    """``expected now: pit 296 to 306 °F, breast 127 to 134 °F``; empty before a forecast."""
    if forecast is None or saved.ended_at is not None:
        return ""
    now_s = (now - saved.started_at).total_seconds()
    low, high = LEVELS.index(0.10), LEVELS.index(0.90)
    parts = []
    for name in ("pit", *(probe.name for probe in saved.cook.probes)):
        fan = forecast.fan(name)
        if fan is not None:
            temps = fan.at(now_s)
            parts.append(f"{name} {display.temps(temps[low], temps[high])}")
    return f"expected now: {', '.join(parts)}" if parts else ""


def short_range(text: str) -> str:
    """A range for a narrow screen: ``17:10 to 18:20, 8 in 10``."""
    return text.replace(f" {EIGHT_IN_TEN}", ", 8 in 10")


@dataclass(frozen=True, slots=True)
class Notice:
    """One message in the notice area; the mark gives it its glyph.

    One that `stays` is shown whatever else there is to say.
    """

    text: str
    mark: Mark
    stays: bool = False
    kind: str = ""


def present_notices(
    saved: SavedCook,
    answers: AnswersView,
    now: datetime,
    display: Display,
    alerts: tuple[Notice, ...] = (),
) -> tuple[Notice, ...]:
    """What the notice area says, most urgent first.

    A target below the published minimum keeps its caution as long as it stands, in a short form
    (the help card has the whole). The general cautions take turns by the minute.
    """
    notices = [*below_minimum(saved, display), *alerts]
    if answers.story:
        mark = Mark.STALE if answers.done.mark is Mark.STALE else Mark.FINE
        notices.append(Notice(answers.story, mark))
    general = [text for text in answers.cautions if not text.startswith(BELOW_MINIMUM)]
    if general:
        turn = int(now.timestamp() // 60) % len(general)
        notices.append(Notice(general[turn], Mark.UNKNOWN))
    return tuple(notices)


def below_minimum(saved: SavedCook, display: Display) -> tuple[Notice, ...]:
    """A short caution for each probe whose target is below the published minimum."""
    minimum = cut_named(saved.cook.plan.cut).minimum
    words = minimum_words(minimum, display)
    return tuple(
        Notice(
            f"{BELOW_MINIMUM}: {probe.name} target {display.reading(probe.target_c)}, "
            f"published {words} (FSIS).",
            Mark.LATE,
            stays=True,
        )
        for probe in saved.cook.probes
        if probe.target_c < minimum.temp_c - ROUNDING_C
    )


@dataclass(frozen=True, slots=True)
class PatioView:
    """Three short lines for large letters."""

    done_label: str
    done_clock: str
    done_mark: Mark
    next_line: str
    next_mark: Mark
    fire_line: str
    fire_mark: Mark


FIRE_LABELS = {"meat": "meat", "coals": "coals"}
"""What stands in the fire's place once the meat is off it."""


def present_patio(answers: AnswersView) -> PatioView:
    """The finish, the next thing to do and the fire, in as few letters as possible."""
    soonest = answers.look
    label = "away" if soonest.label == "leftovers" else "look"
    if answers.glaze is not None and answers.glaze.mark in (Mark.NOW, Mark.LATE):
        soonest, label = answers.glaze, answers.glaze.label
    return PatioView(
        done_label=answers.done.label,
        done_clock=_last_word(answers.done.clock),
        done_mark=answers.done.mark,
        next_line=f"{label} {_last_word(soonest.clock)}",
        next_mark=soonest.mark,
        fire_line=f"{FIRE_LABELS.get(answers.fire.label, 'pit')} {answers.fire.clock}".strip("- "),
        fire_mark=answers.fire.mark,
    )


def _last_word(clock: str) -> str:
    return clock.rsplit(" ", 1)[-1]
