"""``doneby status``: the four answers as plain text or as one JSON object."""

from __future__ import annotations

import argparse
import json

from app.cli.shell import FAILED, OK, Shell
from app.display import Display
from app.presenters.answers import present_answers
from app.presenters.status import status_object, status_text
from core.answers import Forecast
from core.errors import CoreError
from core.forecast import forecast
from storage.values import SavedCook

NO_COOK = "No cook is in hand. 'doneby start' starts one, 'doneby demo' shows a sample."


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Print the answers for the cook in hand; without one say so."""
    now = shell.clock()
    with shell.store() as store:
        saved = store.cook_in_hand()
    if saved is None:
        shell.say(json.dumps({"cook": None}) if options.json else NO_COOK)
        return OK
    found, reason = _forecast(saved, (now - saved.started_at).total_seconds())
    display = Display(saved.unit, saved.mass_unit, shell.zone)
    view = present_answers(saved, found, now, display, stale_reason=reason)
    if options.json:
        shell.say(json.dumps(status_object(saved, found, view, now, display), indent=1))
    else:
        shell.say(status_text(saved, view, now, display))
    if reason is not None:
        shell.complain(reason)
        return FAILED
    return OK


def _forecast(saved: SavedCook, now_s: float) -> tuple[Forecast | None, str | None]:
    """The forecast, or the reason why there is none: the log is shown in any case."""
    try:
        return forecast(saved.cook, now_s), None
    except CoreError as error:
        return None, f"no forecast: {error}"
