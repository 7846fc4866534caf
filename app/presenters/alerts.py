"""What calls for the cook: kinds by priority, called once, put off for a while, or switched off."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from enum import StrEnum

from app.display import span
from app.presenters.arrival import word_arrival
from app.presenters.finish import LIKELY, last_waiting, meal_words
from app.presenters.moment import Moment
from app.presenters.tend import Notice
from app.presenters.views import AnswersView, AnswerView, Mark

LONG_S = 60 * 60.0
"""Without any reading for so long, and no next look still ahead, the program calls [s]."""

SNOOZE_MIN = 10.0
"""How long alerts are put off when no time is given [min]."""

LEVEL = {Mark.SOON: 1, Mark.NOW: 2, Mark.LATE: 2}
"""How loudly a mark calls; one that is louder than before calls again."""


class AlertKind(StrEnum):
    """What an alert is about, the most urgent first."""

    TARGET = "target"
    GLAZE = "glaze"
    FIRE = "fire"
    MEAL = "meal"
    HOLD = "hold"
    LEFTOVERS = "leftovers"
    READING = "reading"
    LOOK = "look"


ABOUT = {
    AlertKind.TARGET: "the target is near, or the rest is over",
    AlertKind.GLAZE: "the time to glaze or wrap opens",
    AlertKind.FIRE: "the fire leaves its band",
    AlertKind.MEAL: "the meal is at risk",
    AlertKind.HOLD: "the meat off the fire is no longer hot",
    AlertKind.LEFTOVERS: "the hours for leftovers run out",
    AlertKind.READING: "nothing was read for long",
    AlertKind.LOOK: "the next look is due",
}
"""What each kind says when it calls."""


@dataclass(slots=True)
class AlertChoices:
    """The kinds that are switched off, and until when all are put off; shared by all screens."""

    off: set[AlertKind] = field(default_factory=set)
    quiet_until: datetime | None = None

    def switch(self, kind: AlertKind, *, on: bool | None = None) -> bool:
        """Switch a kind on or off, or over; whether it is on then."""
        on = kind in self.off if on is None else on
        (self.off.discard if on else self.off.add)(kind)
        return on


@dataclass(frozen=True, slots=True)
class Call:
    """One thing that calls for the cook at present."""

    kind: AlertKind
    mark: Mark
    words: str


def find_calls(moment: Moment, answers: AnswersView) -> tuple[Call, ...]:
    """All that calls at this moment, most urgent first.

    An answer of a forecast that is not of now does not call. A cook that is over calls for its
    leftovers alone.
    """
    if moment.saved.ended_at is not None:
        left = _leftovers(answers.look)
        return () if left is None else (left,)
    off_fire = moment.pulled_s is not None
    found = [
        _target(moment, answers.done),
        _of_answer(AlertKind.GLAZE, answers.glaze),
        _of_answer(AlertKind.HOLD if off_fire else AlertKind.FIRE, answers.fire),
        _meal(moment, answers.done),
        _reading(moment),
        _look(answers.look),
    ]
    calls = [call for call in found if call is not None]
    return tuple(
        sorted(calls, key=lambda call: (-LEVEL[call.mark], list(AlertKind).index(call.kind)))
    )


def _of_answer(kind: AlertKind, answer: AnswerView | None) -> Call | None:
    if answer is None or answer.mark not in LEVEL:
        return None
    last = answer.range
    if kind is AlertKind.FIRE:
        last = answer.detail
    elif kind is AlertKind.HOLD:
        last = ", ".join(part for part in (answer.range, answer.detail) if part)
    said = ", ".join(part for part in (answer.clock, answer.to_go, last) if part)
    return Call(kind, answer.mark, f"{answer.label.upper()}: {said}.")


def _target(moment: Moment, done: AnswerView) -> Call | None:
    waiting = last_waiting(moment)
    if waiting is not None and word_arrival(waiting, moment).mark is Mark.FINE:
        # marked late only for the meal, which calls by itself
        return None
    call = _of_answer(AlertKind.TARGET, done)
    risk = _meal(moment, done)
    if call is None or risk is None:
        return call
    return replace(call, words=f"{call.words} {risk.words}")


def _leftovers(look: AnswerView) -> Call | None:
    if look.label != "leftovers" or look.mark not in LEVEL:
        return None
    said = ", ".join(part for part in (look.clock, look.to_go, look.range, look.detail) if part)
    return Call(AlertKind.LEFTOVERS, look.mark, f"{look.label.upper()}: {said}.")


def _meal(moment: Moment, done: AnswerView) -> Call | None:
    waiting = last_waiting(moment)
    if waiting is None or done.mark is Mark.STALE:
        return None
    chance, words = meal_words(moment, waiting)
    if chance is None or chance >= LIKELY:
        return None
    return Call(AlertKind.MEAL, Mark.LATE, f"MEAL AT RISK: {words}.")


def _reading(moment: Moment) -> Call | None:
    """Nothing read for long while the meat is on, whatever the forecast says or fails to say."""
    cook = moment.saved.cook
    if moment.pulled_s is not None or not cook.readings:
        return None
    silent_s = moment.now_s - cook.readings[-1].elapsed_s
    look = None if moment.forecast is None else moment.forecast.next_look
    if silent_s < LONG_S or (look is not None and look.elapsed_s > moment.now_s):
        return None
    words = f"NO READING for {span(silent_s)}: read the thermometers."
    return Call(AlertKind.READING, Mark.LATE, words)


def _look(look: AnswerView) -> Call | None:
    if look.mark not in (Mark.NOW, Mark.LATE):
        return None
    said = ", ".join(part for part in (look.to_go, look.range) if part)
    return Call(AlertKind.LOOK, look.mark, f"{look.label.upper()}: {said}.")


@dataclass(slots=True)
class AlertBook:
    """Remembers what has called already, so that each calls once.

    What was quiet in between, or calls louder than before, may call again.
    """

    choices: AlertChoices = field(default_factory=AlertChoices)
    _called: dict[AlertKind, int] = field(default_factory=dict)

    def take(self, calls: tuple[Call, ...], now: datetime) -> tuple[Notice, ...]:
        """The alerts that are new, most urgent first; none during a snooze."""
        quiet_until = self.choices.quiet_until
        if quiet_until is not None:
            if now < quiet_until:
                return ()
            self.choices.quiet_until = None
        present = {
            call.kind: LEVEL[call.mark] for call in calls if call.kind not in self.choices.off
        }
        fresh = [c for c in calls if present.get(c.kind, 0) > self._called.get(c.kind, 0)]
        self._called = {
            kind: max(level, self._called.get(kind, 0)) for kind, level in present.items()
        }
        return tuple(Notice(call.words, call.mark, kind=call.kind.value) for call in fresh)

    def snooze(self, now: datetime, span_s: float) -> datetime:
        """Be quiet for a while; what still holds then calls again."""
        self._called.clear()
        self.choices.quiet_until = now + timedelta(seconds=span_s)
        return self.choices.quiet_until
