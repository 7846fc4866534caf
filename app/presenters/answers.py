"""The four answers in words, the same for the screens and for ``doneby status``."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from app.display import Display
from app.presenters.cautions import present_cautions
from app.presenters.finish import present_done
from app.presenters.fire import present_fire
from app.presenters.look import present_look
from app.presenters.moment import Moment
from app.presenters.step import present_glaze
from app.presenters.story import present_story
from app.presenters.views import AnswersView, AnswerView, Mark
from storage.values import SavedCook

if TYPE_CHECKING:
    from core.answers import Forecast
    from core.fire_leaving import Leaving

__all__ = ["AnswerView", "AnswersView", "Mark", "present_answers", "present_moment"]


def present_answers(
    saved: SavedCook,
    forecast: Forecast | None,
    now: datetime,
    display: Display,
    *,
    stale_reason: str | None = None,
    leaving: Leaving | None = None,
) -> AnswersView:
    """Word the four answers.

    Parameters
    ----------
    saved : SavedCook
    forecast : Forecast or None
        The newest forecast there is; None before the first.
    now : datetime
        Aware. May be later than the forecast: what has passed meanwhile is said so.
    display : Display
    leaving : Leaving or None
        When the fire leaves its band if nothing is done.
    stale_reason : str or None
        Why the forecast is not of now (`the forecast failed: ...`); marks every answer as stale.

    Returns
    -------
    AnswersView
    """
    moment = Moment(saved, forecast, now, display, leaving)
    return present_moment(moment, stale_reason=stale_reason)


def present_moment(moment: Moment, *, stale_reason: str | None = None) -> AnswersView:
    """The four answers of a cook at one moment."""
    glaze = present_glaze(moment)
    mark = _stale if stale_reason is not None else _as_is
    return AnswersView(
        done=mark(present_done(moment)),
        glaze=None if glaze is None else mark(glaze),
        fire=mark(present_fire(moment)),
        look=mark(present_look(moment)),
        cautions=present_cautions(moment),
        story=present_story(moment, stale_reason),
    )


def _as_is(view: AnswerView) -> AnswerView:
    return view


def _stale(view: AnswerView) -> AnswerView:
    """Marked as old, unless nothing is known or it is a plain fact."""
    return view if view.mark is Mark.UNKNOWN else replace(view, mark=Mark.STALE)
