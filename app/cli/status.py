"""``doneby status``: the four answers as plain text or as one JSON object."""

from __future__ import annotations

import argparse
import json
from dataclasses import dataclass

from app.cli.shell import FAILED, OK, CommandError, Shell
from app.display import Display, one_line
from app.early import pulls_early
from app.lately import in_hand, served_lately
from app.learned import Learned, Learning
from app.presenters.after import present_leftovers
from app.presenters.answers import present_moment
from app.presenters.fire import fire_leaving
from app.presenters.learning import source_words
from app.presenters.moment import Moment
from app.presenters.status import answer_text, status_object, status_text
from app.presenters.status_more import leftovers_object
from app.presenters.words import sentence
from app.sanity import checked
from core.answers import Forecast
from core.errors import CoreError
from core.forecast import forecast
from storage.errors import shown
from storage.limits import ELAPSED_S
from storage.store import Store
from storage.values import CookSummary, SavedCook

LOOK_EVERY_S = 1.0
"""How often a watch looks whether anything was written [s]."""
WATCH_S = (5.0, 86_400.0)
"""Spans between two tellings that a watch allows [s]."""
NO_COOK = "No cook is in hand. 'doneby start' starts one, 'doneby demo' shows a sample."


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Print the answers for the cook in hand; without one say so."""
    told = _Told(options.cook, as_json=options.json)
    if options.watch is not None:
        return _watch(_seconds(options.watch), shell, told)
    with shell.store() as store:
        return _tell(store, shell, told)


@dataclass(frozen=True, slots=True)
class _Told:
    """Which cook is told of, None for the one begun last, and how."""

    cook_id: int | None
    as_json: bool

    def cook(self, store: Store) -> SavedCook | None:
        """The cook; raises CommandError for a number that is not in hand."""
        if self.cook_id is None:
            return store.cook_in_hand()
        ids = [cook.id for cook in in_hand(store)]
        if self.cook_id not in ids:
            there = ", ".join(str(each) for each in ids) or "none"
            raise CommandError(f"--cook {self.cook_id}; in hand: {there}")
        return store.cook(self.cook_id)


def _tell(store: Store, shell: Shell, told: _Told, *, indent: int | None = 1) -> int:
    """Print the answers for one cook once."""
    as_json = told.as_json
    saved, now = told.cook(store), shell.clock()
    if saved is None:
        _tell_none(store, shell, as_json=as_json)
        return OK
    learned = Learning(store).for_cook(saved)
    found, reason = _forecast(saved, (now - saved.started_at).total_seconds(), learned)
    display = Display(saved.unit, saved.mass_unit, shell.zone)
    leaving = None if found is None else fire_leaving(saved, found.now_s)
    moment = Moment(saved, found, now, display, leaving, pulls_early(store, saved.id))
    view = present_moment(moment, stale_reason=reason)
    others = [cook for cook in in_hand(store) if cook.id != saved.id]
    if as_json:
        found_object = status_object(moment, view)
        found_object["learned_from"] = list(learned.cook_ids)
        found_object["also_in_hand"] = [{"cook": c.id, "title": c.title} for c in others]
        shell.say(json.dumps(found_object, indent=indent))
    else:
        shell.say(status_text(moment, view))
        if source := source_words(learned):
            shell.say(sentence(source))
        for other in others:
            shell.say(_other_words(other))
    if reason is not None:
        shell.complain(reason)
        return FAILED
    return OK


def _other_words(other: CookSummary) -> str:
    """Where a second piece on the fire is told of and logged."""
    return (
        f"Also in hand: cook {other.id}, {other.title}. 'doneby status --cook {other.id}' tells of "
        f"it, 'doneby ledger say {other.id} LINE' logs to it."
    )


def _tell_none(store: Store, shell: Shell, *, as_json: bool) -> None:
    """No cook is in hand: only what is left of the one served last may still want a word."""
    now = shell.clock()
    saved = served_lately(store, now)
    view = None
    if saved is not None:
        moment = Moment(saved, None, now, Display(saved.unit, saved.mass_unit, shell.zone))
        view = present_leftovers(moment)
        if as_json:
            shell.say(json.dumps({"cook": None, "leftovers": leftovers_object(moment)}))
            return
    shell.say(json.dumps({"cook": None}) if as_json else NO_COOK)
    if saved is not None and view is not None:
        shell.say(f"{saved.title}: served. {answer_text(view)}")


def _watch(every_s: float, shell: Shell, told: _Told) -> int:
    """Tell it again when any process has written, and as time passes. Ctrl+C ends it.

    Each telling is a block of its own with an empty line before it, or one JSON object on one
    line, and leaves at once even through a pipe.
    """
    told_token: int | None = None
    told_at = shell.clock()
    with shell.store() as store:
        # Looking through earlier cooks writes, and our own writing is no news.
        if (saved := told.cook(store)) is not None:
            Learning(store).for_cook(saved)
        while True:
            # The token first: what is written in between is then told next time, not missed.
            token, now = store.change_token(), shell.clock()
            if token != told_token or abs((now - told_at).total_seconds()) >= every_s:
                if told_token is not None and not told.as_json:
                    shell.say("")
                _tell(store, shell, told, indent=None)
                if shell.out is not None:
                    shell.out.flush()
                told_token, told_at = token, now
            shell.pause(LOOK_EVERY_S)


def _seconds(text: str) -> float:
    low, high = WATCH_S
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not low <= seconds <= high:
        raise CommandError(f"--watch {shown(text)}; allowed is {low:g} to {high:g} seconds")
    return seconds


def _forecast(
    saved: SavedCook, now_s: float, learned: Learned
) -> tuple[Forecast | None, str | None]:
    """The forecast, or the reason why it failed: the log is shown in any case.

    A cook without a probe is a log of the fire: there is nothing to forecast and nothing failed.
    One that was never ended is forecast as of the last time it takes lines: the model is not made
    for months on a fire.
    """
    if not saved.cook.probes:
        return None, None
    try:
        made = forecast(saved.cook, min(now_s, ELAPSED_S[1]), prior=learned.prior)
        return checked(made), None
    except CoreError as error:
        return None, f"no forecast: {error}"
    except Exception as error:  # noqa: BLE001  a bug in the model must not hide the log
        return None, f"no forecast: {type(error).__name__}: {one_line(str(error)[:120])}"
