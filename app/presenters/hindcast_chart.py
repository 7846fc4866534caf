"""How the projected finish moved, reading by reading, against the real one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import TYPE_CHECKING

import numpy as np

from app.display import Display
from app.presenters.chart import EVENT_WORDS, Band, ChartView, Level, Moment, Trace
from core.cook import EventKind

if TYPE_CHECKING:
    from core.review import Revision
    from storage.values import SavedCook

INK = "meat-1"
NAME = "finish"
FARTHEST = 0.8
"""A quantile is drawn no further from the real finish than this share of the cook."""

_QUIET = frozenset({EventKind.NOTE, EventKind.SPOT_CHECK, EventKind.SERVED})


def present_revisions(
    saved: SavedCook,
    revisions: tuple[Revision, ...],
    finish_s: float | None,
    planned_s: float | None,
    display: Display,
) -> ChartView | None:
    """The chart of the moving finish; None without two forecasts to join.

    Parameters
    ----------
    saved : SavedCook
    revisions : tuple of Revision
    finish_s : float or None
        The real finish [s from meat-on].
    planned_s : float or None
        When the meat was to leave the heat.
    display : Display
    """
    if len(revisions) < 2:
        return None
    at, quantiles = _arrays(revisions)
    middle = finish_s if finish_s is not None else float(np.nanmedian(quantiles[2]))
    reach = FARTHEST * max(middle, 3600.0)
    quantiles = np.clip(np.nan_to_num(quantiles, nan=np.inf), middle - reach, middle + reach)
    levels = tuple(_levels(saved, finish_s, planned_s, display))
    end = max(float(at[-1]), finish_s or 0.0)
    y_low, y_high = _window(quantiles, levels)
    return ChartView(
        origin=saved.started_at, zone=display.zone, unit_sign="",
        x_low=0.0, x_high=end * 1.03, y_low=y_low, y_high=y_high, now_x=end,
        traces=(Trace(NAME, INK, at, quantiles[2], np.empty(0), np.empty(0)),),
        bands=(Band(NAME, INK, at, quantiles),),
        levels=levels,
        events=tuple(_events(saved)),
        upright=() if finish_s is None else (Moment(finish_s, "done", "now"),),
        clock_y=True,
    )  # fmt: skip


def _events(saved: SavedCook) -> Iterable[Moment]:
    """What may have moved the forecast."""
    for event in saved.cook.events:
        if event.kind not in _QUIET:
            yield Moment(event.elapsed_s, EVENT_WORDS[event.kind])


def _window(quantiles: np.ndarray, levels: tuple[Level, ...]) -> tuple[float, float]:
    """The times that fit everything, with a margin."""
    every = [float(quantiles.min()), float(quantiles.max()), *(level.y for level in levels)]
    margin = 0.05 * max(max(every) - min(every), 1200.0)
    return min(every) - margin, max(every) + margin


def _arrays(
    revisions: tuple[Revision, ...],
) -> tuple[np.ndarray, np.ndarray]:
    """Times, and quantiles with a row for each level; nan where it is never."""
    at = np.array([one.at_s for one in revisions])
    rows = [[np.nan if q is None else q for q in one.quantiles_s] for one in revisions]
    return at, np.array(rows, dtype=np.float64).T


def _levels(
    saved: SavedCook, finish_s: float | None, planned_s: float | None, display: Display
) -> list[Level]:
    def clock(elapsed_s: float) -> str:
        return display.clock(saved.started_at + timedelta(seconds=elapsed_s))

    found = []
    if finish_s is not None:
        found.append(Level(f"done {clock(finish_s)}", "target", finish_s))
    if planned_s is not None:
        found.append(Level(f"planned off {clock(planned_s)}", "glaze", planned_s))
    return found
