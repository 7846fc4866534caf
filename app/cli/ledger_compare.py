"""``doneby ledger compare 3 7 9``: which difference made how many minutes, as text."""

from __future__ import annotations

import argparse
import json

from app.cli.documents import cook_number
from app.cli.shell import OK, CommandError, Shell
from app.compare import FEWEST, MOST, compare_cooks
from app.display import Display
from app.presenters.compare import (
    Compared,
    differences,
    legend,
    minutes,
    sentences,
    table_text,
)
from app.settings import usual_units

WIDTH = 100


def tell_compared(numbers: list[str], options: argparse.Namespace, shell: Shell) -> int:
    """Two to four past cooks, each against the first."""
    ids = list(dict.fromkeys(cook_number(text) for text in numbers))
    if not FEWEST <= len(ids) <= MOST:
        raise CommandError(
            f"found {len(ids)} different cooks; allowed are {FEWEST} to {MOST}: "
            "doneby ledger compare 3 7 9"
        )
    with shell.store() as store:
        saved = [store.cook(cook_id) for cook_id in ids]
        display = Display(*usual_units(store, shell.env), shell.zone)
    cooks = compare_cooks(saved)
    if options.json:
        shell.say(json.dumps(compared_object(cooks), indent=1))
        return OK
    for line in (*legend(cooks, display), "", *sentences(cooks), ""):
        shell.say(line)
    if any(one.difference is not None for one in cooks):
        for line in table_text(minutes(cooks), WIDTH):
            shell.say(line)
        shell.say("")
    for line in table_text(differences(cooks, display), WIDTH):
        shell.say(line)
    shell.say("\nIn brackets: 8 of 10, given what the readings leave open.")
    return OK


def compared_object(cooks: tuple[Compared, ...]) -> dict[str, object]:
    """The comparison for a script; seconds, later than the first is positive."""
    return {
        "first": cooks[0].saved.id,
        "others": [
            {
                "id": one.saved.id,
                "reason": one.reason or None,
                "real_s": None if one.difference is None else one.difference.real_s,
                "together_s": None if one.difference is None else one.difference.together_s,
                "unexplained_s": None if one.difference is None else one.difference.unexplained_s,
                "effects": []
                if one.difference is None
                else [
                    {
                        "input": e.input.value, "mean_s": e.mean_s, "low_s": e.low_s,
                        "high_s": e.high_s, "bound": e.bound,
                    }
                    for e in one.difference.effects
                ],
            }
            for one in cooks[1:]
        ],
    }  # fmt: skip
