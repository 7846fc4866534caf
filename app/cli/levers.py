"""``doneby levers``: what would change the chance of being ready by the meal, as one table."""

from __future__ import annotations

import argparse
import json
from typing import Any

from app.cli.shell import OK, CommandError, Shell
from app.display import Display
from app.learned import Learning
from app.presenters.lever_page import present_levers, why_none
from app.presenters.moment import Moment
from app.presenters.pages import page_text
from app.presenters.status_more import iso, value
from core.levers import Lever, Levers, levers
from core.units import delta_from_celsius
from storage.limits import ELAPSED_S

NO_COOK = "no cook is in hand; 'doneby start' starts one"


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Print the table for the cook in hand."""
    now = shell.clock()
    with shell.store() as store:
        saved = store.cook_in_hand()
        if saved is None:
            raise CommandError(NO_COOK)
        prior = Learning(store).for_cook(saved).prior
    moment = Moment(saved, None, now, Display(saved.unit, saved.mass_unit, shell.zone))
    missing = why_none(moment)
    if missing:
        raise CommandError(f"no levers: {missing}")
    found = levers(saved.cook, min(moment.now_s, ELAPSED_S[1]), prior=prior)
    if options.json:
        shell.say(json.dumps(_object(moment, found), indent=1))
    else:
        shell.say(page_text(present_levers(moment, found)))
    return OK


def _object(moment: Moment, found: Levers | None) -> dict[str, Any]:
    every = () if found is None else found.levers
    return {
        "now": iso(moment.now, moment.display),
        "unit": moment.display.unit.value,
        "levers": [_lever(moment, lever) for lever in every],
    }


def _lever(moment: Moment, lever: Lever) -> dict[str, Any]:
    show = moment.display

    def at(elapsed_s: float | None) -> str | None:
        return None if elapsed_s is None else iso(moment.at(elapsed_s), show)

    below = lever.pull_below_k
    return {
        "what": lever.key.value,
        "chance": round(lever.chance, 4),
        "ready_p10": at(lever.ready_low_s),
        "ready_p50": at(lever.ready_s),
        "ready_p90": at(lever.ready_high_s),
        "meal": at(lever.serve_s),
        "pit": value(lever.pit_c, show),
        "attainable": lever.attainable,
        "pull_below": None if below is None else round(delta_from_celsius(below, show.unit), 2),
        "cautions": list(lever.cautions),
    }
