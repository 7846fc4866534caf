"""What calls for the cook: once when it comes up, then a line until it is answered."""

from __future__ import annotations

from dataclasses import dataclass, field

from app.presenters.tend import Notice
from app.presenters.views import AnswersView, AnswerView, Mark

CALLING = (Mark.NOW, Mark.LATE)


@dataclass(slots=True)
class AlertBook:
    """Remembers which answers have called already, so that each calls once.

    An answer that was fine in between may call again.
    """

    _calling: set[str] = field(default_factory=set)

    def take(self, answers: AnswersView) -> tuple[Notice, ...]:
        """The alerts that are new with these answers, most urgent first."""
        fresh = []
        for answer in (answers.done, answers.glaze, answers.fire, answers.look):
            if answer is None or answer.mark is Mark.STALE:
                continue
            if answer.mark not in CALLING:
                self._calling.discard(answer.key)
            elif answer.key not in self._calling:
                self._calling.add(answer.key)
                fresh.append(Notice(_words(answer), answer.mark))
        return tuple(sorted(fresh, key=lambda notice: notice.mark is not Mark.LATE))


def _words(answer: AnswerView) -> str:
    said = [answer.clock, answer.to_go, answer.range]
    if answer.key == "look":
        said = [answer.to_go, answer.range]
    return f"{answer.label.upper()}: " + ", ".join(part for part in said if part) + "."
