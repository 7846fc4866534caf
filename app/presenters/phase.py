"""Where a cook stands: on the fire, resting, held, served. Each phase has its own answers."""

from __future__ import annotations

from enum import StrEnum

from app.presenters.moment import Moment
from core.cook import EventKind

CARVE_S = 10 * 60.0
"""So long after its rest the meat is to be carved; from then on it is held [s]."""


class Phase(StrEnum):
    """What the answers are about."""

    COOKING = "cooking"
    RESTING = "resting"
    HELD = "held"
    SERVED = "served"
    ENDED = "ended"
    """Ended without being served."""


def phase_of(moment: Moment) -> Phase:
    """The phase of a cook at its moment."""
    if moment.saved.ended_at is not None:
        served = moment.saved.cook.first_event(EventKind.SERVED) is not None
        return Phase.SERVED if served else Phase.ENDED
    if moment.pulled_s is None:
        return Phase.COOKING
    carve_s = moment.pulled_s + moment.rest_s
    return Phase.RESTING if moment.now_s < carve_s + CARVE_S else Phase.HELD
