"""The view models of the four answers: finished text and one mark, ready to be painted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Mark(StrEnum):
    """How urgent one answer is. Screens give each a glyph and a colour, never colour alone."""

    FINE = "fine"
    SOON = "soon"
    NOW = "now"
    LATE = "late"
    STALE = "stale"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class AnswerView:
    """One answer.

    Attributes
    ----------
    key : str
        ``done``, ``glaze``, ``fire`` or ``look``.
    label : str
        A word or two: ``done``, ``glaze``, ``wrap``, ``carve``, ``fire``, ``next look``.
    clock : str
        The headline: a clock time (``17:42``, past midnight ``Sun 02:10``: the time is the last
        word), for the fire the pit's temperature, ``--:--`` when there is none.
    to_go : str
        ``in 1 h 25 min``, ``now``, ``probably passed``; may be empty.
    range : str
        ``17:10 to 18:20 in 8 of 10 cooks like this``; may be empty.
    detail : str
        One more thing to know; may be empty.
    mark : Mark
    """

    key: str
    label: str
    clock: str
    to_go: str
    range: str
    detail: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class AnswersView:
    """All that is said about one cook at one moment.

    ``glaze`` is None when the plan has neither a glaze nor a wrap left. ``cautions`` stand all
    through the cook. ``story`` is zero or more sentences: readings that are not believed, what
    holds the finish back, why an answer is old.
    """

    done: AnswerView
    glaze: AnswerView | None
    fire: AnswerView
    look: AnswerView
    cautions: tuple[str, ...]
    story: str
