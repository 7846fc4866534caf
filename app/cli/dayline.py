"""``doneby dayline``: the day counted back from the meal; kept, ticked, moved, and begun.

With a cut it lays out a new day, without one it shows the day in hand.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import dataclass
from pathlib import Path

from app.cli.documents import write_whole
from app.cli.shell import FAILED, OK, CommandError, Shell
from app.cli.start import new_cook
from app.cli.table import table_lines
from app.day_book import (
    OpenDay,
    Planner,
    begin_piece,
    learned_forecast,
    next_piece,
    open_day,
    save_day,
)
from app.day_lessons import day_lessons
from app.day_pieces import BRINES, STATES, numbered, read_chance, read_day_meal, read_people
from app.day_pieces import read_piece as piece_of_words
from app.day_wish import KeptWish
from app.day_words import Ticked, read_day_line
from app.display import Display
from app.learned import Learning
from app.presenters.day_list import conflict_lines, detail_words, next_step, present_day
from app.presenters.dayline import (
    DaylineView,
    dayline_object,
    dayline_text,
    present_dayline,
)
from app.settings import usual_units
from core.catalogue import cut_named
from core.day_values import Dayline, DayWish, Piece
from core.thaw import ThawMethod
from core.units import MassUnit, TemperatureUnit
from storage.store import Store

NO_DAY = "no day is planned; 'doneby dayline CUT --meal TIME --save' plans one and keeps it"
CHANGES = ("tick", "untick", "move", "back", "begin", "close")


@dataclass(frozen=True, slots=True)
class _Shown:
    """A day as it is shown: the saved one, or one that is not kept."""

    day: Dayline
    display: Display
    opened: OpenDay | None


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Lay out a day, or show and change the one in hand."""
    with shell.store() as store:
        if options.list:
            return _list(store, shell)
        if options.reopen is not None:
            _reopen(options.reopen, store, shell)
        learning = Learning(store)
        planner = Planner(learned_forecast(learning, shell.clock))
        if options.cut is None:
            shown = _change(options, shell, store, planner)
        else:
            shown = _new(options, shell, store, planner)
        if shown is not None:
            _tell(shown, options, shell)
            if not options.json and options.ics is None:
                for words in day_lessons(learning, shown.day.wish.pieces, shell.clock()):
                    shell.say(words)
    return OK


def _new(options: argparse.Namespace, shell: Shell, store: Store, planner: Planner) -> _Shown:
    """A new day from the options, kept if that is asked for."""
    asked = [f"--{name}" for name in CHANGES if getattr(options, name)]
    if asked:
        raise CommandError(f"{asked[0]} is for the day in hand; leave the cut out")
    if options.meal is None:
        raise CommandError("--meal is needed: 18:30, sat 13:00 or 2026-05-09T13:00")
    unit, mass_unit = usual_units(store, shell.env)
    unit = TemperatureUnit(options.unit) if options.unit else unit
    mass_unit = MassUnit(options.mass_unit) if options.mass_unit else mass_unit
    now = shell.clock()
    wish = DayWish(
        pieces=_pieces(options, shell, unit, mass_unit),
        serve_at=read_day_meal(options.meal, now, shell.zone).astimezone(shell.zone),
        now=now,
        people=read_people(options.people or ""),
        chance=read_chance(options.chance),
    )
    day = planner.plan_wish(wish)
    opened = None
    if options.save:
        _make_room(store, options, shell)
        day_id = save_day(store, KeptWish(wish, unit, mass_unit), now)
        opened = open_day(store, store.days.get(day_id), now, shell.zone)
    return _Shown(day, Display(unit, mass_unit, shell.zone), opened)


def _make_room(store: Store, options: argparse.Namespace, shell: Shell) -> None:
    """Close the day in hand if that was asked for; refuse if it was not."""
    old = store.days.in_hand()
    if old is None:
        return
    if not options.replace:
        raise CommandError(
            f"the day '{old.title}' is in hand and nothing was kept; --replace closes it first, "
            "or 'doneby dayline --close' does"
        )
    store.days.close(old.id, shell.clock())


def _pieces(
    options: argparse.Namespace, shell: Shell, unit: TemperatureUnit, mass_unit: MassUnit
) -> tuple[Piece, ...]:
    now = shell.clock().replace(microsecond=0)
    others = (
        piece_of_words(text, unit, mass_unit, now, shell.zone, options.pit)
        for text in options.others or ()
    )
    return numbered((_piece(options, shell, unit, mass_unit), *others))


def _piece(
    options: argparse.Namespace, shell: Shell, unit: TemperatureUnit, mass_unit: MassUnit
) -> Piece:
    # the meal is the whole day's, so the piece is read without it
    form = argparse.Namespace(**vars(options))
    form.meal, form.at, form.title, form.band, form.meat = None, "now", None, None, None
    new = new_cook(form, shell, unit, mass_unit)
    return Piece(
        name=cut_named(new.plan.cut).name,
        plan=new.plan,
        probes=new.probes,
        state=STATES[options.state],
        brine=BRINES[options.brine],
        thaw=ThawMethod(options.thaw) if options.thaw else None,
    )


def _change(
    options: argparse.Namespace, shell: Shell, store: Store, planner: Planner
) -> _Shown | None:
    """Show the day in hand, after what was asked for was done to it."""
    saved = store.days.in_hand()
    if saved is None:
        raise CommandError(NO_DAY)
    now, zone = shell.clock(), shell.zone
    opened = open_day(store, saved, now, zone)
    day = planner.plan(opened)
    lines = [f"done {each.replace('@', ' ')}" for each in options.tick or ()]
    lines += [f"undone {each}" for each in options.untick or ()]
    lines += [f"move {step} {to}" for step, to in options.move or ()]
    lines += [f"back {each}" for each in options.back or ()]
    # all are read before any is kept: one that cannot be read keeps all of them out
    for change in [read_day_line(line, day, None, now, zone) for line in lines]:
        if isinstance(change, Ticked):
            store.days.tick(saved.id, change.step.id, change.at)
        else:
            store.days.move(saved.id, change.step.id, change.to)
    if options.close:
        store.days.close(saved.id, now)
        shell.say(f"closed day {saved.id}: {saved.title}")
        return None
    if lines:
        opened = open_day(store, store.days.get(saved.id), now, zone)
        day = planner.plan(opened)
    if options.begin:
        _begin(store, opened, day, shell)
        return None
    return _Shown(day, opened.display(zone), opened)


def _begin(store: Store, opened: OpenDay, day: Dayline, shell: Shell) -> None:
    """Begin the cook of the piece that goes on next."""
    piece = next_piece(day, opened)
    if piece is None:
        raise CommandError("every piece of this day is on already; see 'doneby status'")
    cook_id = begin_piece(store, opened, day, piece, shell.clock(), shell.zone)
    saved = store.cook(cook_id)
    shell.say(f"started cook {cook_id}: {saved.title}")
    names = " ".join(probe.name for probe in saved.cook.probes)
    shell.say(f"Type readings as: doneby say PIT {names.upper()}. 'doneby status' tells the rest.")


def _reopen(typed: str, store: Store, shell: Shell) -> None:
    """Take a closed day up again, if none is in hand; it is shown then."""
    digits = typed.removeprefix("#")
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 9):
        raise CommandError(f"--reopen {typed!r}; a day's number is allowed, see --list")
    old = store.days.in_hand()
    if old is not None:
        raise CommandError(f"the day '{old.title}' is in hand; --close it first")
    store.days.close(int(digits), None)


def _list(store: Store, shell: Shell) -> int:
    """All days, the newest first."""
    days = store.days.all()
    if not days:
        shell.say("No day is planned yet.")
        return OK
    rows = [
        (str(day.id), day.title, "in hand" if day.closed_at is None else "closed",
         ", ".join(f"cook {cook_id}" for cook_id in day.cook_ids))
        for day in days
    ]  # fmt: skip
    for row in table_lines(rows):
        shell.say(row)
    return OK


def _tell(shown: _Shown, options: argparse.Namespace, shell: Shell) -> None:
    """The day as text, as JSON, or into a calendar file."""
    view = present_dayline(shown.day, shown.display)
    if options.ics is not None:
        _write_calendar(shown, options.ics, shell)
        return
    if options.json:
        found = dayline_object(shown.day, view, shown.display)
        shell.say(json.dumps(found, indent=1))
        return
    if options.next:
        for line in _next_lines(shown, view):
            shell.say(line)
        return
    shell.say(dayline_text(view))
    if shown.opened is not None:
        saved_day = shown.opened.saved
        shell.say(f"\nKept as day {saved_day.id}: {saved_day.title}.")
        for name, saved in shown.opened.cooks.items():
            shell.say(f"{name} is cook {saved.id}: {saved.title}")


def _next_lines(shown: _Shown, view: DaylineView) -> list[str]:
    """What is in the way, the chance, and the step that waits."""
    whole = present_day(shown.day, shown.display, shown.day.wish.now)
    lines = [*conflict_lines(view, 10_000, 10_000), *whole.summary]
    index = next_step(shown.day)
    if index is None:
        return [*lines, "Nothing more is to be done."]
    step = view.steps[index]
    day = "" if step.day == whole.today else f"{step.day} "
    return [*lines, f"Next: {day}{detail_words(step)}"]


def _write_calendar(shown: _Shown, name: str, shell: Shell) -> None:
    # the calendar library is loaded by those alone who want a calendar
    from app.day_calendar import calendar_bytes, day_name

    view = present_dayline(shown.day, shown.display)
    saved = None if shown.opened is None else shown.opened.saved
    place = day_name(shown.day, None if saved is None else saved.id,
                     None if saved is None else saved.created_at)  # fmt: skip
    text = calendar_bytes(shown.day, view, place).decode("utf-8")
    if name == "-":
        # not through `say`: a calendar is data, with line ends of its own
        if shell.out is not None:
            shell.out.write(text)
        return
    path = Path(name)
    try:
        write_whole(path, text)
    except OSError as error:
        reason = error.strerror or str(error)
        raise CommandError(f"{path} could not be written: {reason}", FAILED) from error
    shell.say(f"{len(view.steps)} steps are in {path}")
