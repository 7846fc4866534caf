"""What is odd about checks of spots: temperatures far from the probes, and a pull against them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from app.display import one_line
from core.cook import Event, EventKind
from core.spots import finding, last_check, spots_of

if TYPE_CHECKING:
    from app.line.odd import Candidate, Known

FAR_C = 35.0
"""So far from every probe no spot of the same meat is likely to be [K]."""
FRESH_S = 45 * 60.0
"""A check this old says nothing about the meat that is pulled now [s]."""


def about_spots(line: Candidate, known: Known, probes_c: Mapping[str, float]) -> list[str]:
    """Spots that lie far from what the probes last showed: most likely the other unit, or a slip.

    Parameters
    ----------
    line : Candidate
    known : Known
    probes_c : mapping of str to float
        The last believed reading of each probe [°C].
    """
    notes = (e.note for e in line.events if e.kind is EventKind.SPOT_CHECK)
    spots = [s for note in notes for s in spots_of(Event(0.0, EventKind.SPOT_CHECK, note))]
    if not probes_c:
        return []
    low, high = min(probes_c.values()), max(probes_c.values())
    show = known.display
    probes = show.temps(low, high)
    return [
        f"{one_line(spot.place)} {show.reading(spot.temp_c)} is far from the {probes} of the probes"
        for spot in spots
        if not low - FAR_C <= spot.temp_c <= high + FAR_C
    ]


def about_pull(line: Candidate, known: Known, short_c: float) -> list[str]:
    """Pulled although the last check found a spot well below its target."""
    check = last_check(known.cook, line.elapsed_s)
    if check is None or line.elapsed_s - check.elapsed_s > FRESH_S:
        return []
    show = known.display
    return [
        f"{one_line(spot.place)} was {show.reading(spot.temp_c)} when checked, "
        f"{show.delta(below_k)} below its target"
        for spot, below_k in finding(check, known.cook.probes).short
        if below_k > short_c
    ]
