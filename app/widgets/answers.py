"""The four answers: they take the most room the screen can give and stay in one order."""

from __future__ import annotations

from collections.abc import Iterable

from rich.style import Style
from rich.text import Text
from textual.geometry import Size
from textual.reactive import reactive
from textual.widget import Widget

from app.presenters.tend import short_range
from app.presenters.views import AnswersView, AnswerView, Mark
from app.widgets.blocks import HALF, block_rows, size_of
from app.widgets.marks import GLYPHS

LABEL_WIDTH = 10
GAP = 3
LEAST_BESIDE = 14
"""Least room for words beside the large figures."""


class Answers(Widget):
    """Paints an :class:`AnswersView`: a line or two each, or a stack with large clocks."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "answers--label",
        "answers--clock",
        "answers--text",
        "answers--quiet",
        *(f"answers--{mark.value}" for mark in Mark),
    }

    DEFAULT_CSS = """
    Answers {
        height: auto;
        padding: 0 1;
        & > .answers--label { color: $ink; text-style: bold; }
        & > .answers--clock { color: $ink; text-style: bold; }
        & > .answers--text { color: $ink; }
        & > .answers--quiet { color: $ink-quiet; }
        & > .answers--fine { color: $mark-fine; text-style: bold; }
        & > .answers--soon { color: $mark-soon; text-style: bold; }
        & > .answers--now { color: $mark-now; text-style: bold; }
        & > .answers--late { color: $mark-late; text-style: bold; }
        & > .answers--stale { color: $mark-stale; text-style: italic; }
        & > .answers--unknown { color: $mark-unknown; }
    }
    """

    view: reactive[AnswersView | None] = reactive(None, layout=True)
    stacked: reactive[bool] = reactive(False, layout=True)
    """One under another with large clocks (wide screens), instead of a line or two each."""

    brief: reactive[bool] = reactive(False, layout=True)
    """Leave the second lines out of the rows (very low screens)."""

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Rows that the answers want at this width."""
        return len(self._rows(width, self._stack_height(viewport)))

    def render(self) -> Text:
        rows = self._rows(self.content_size.width, self.content_size.height)
        return Text("\n").join(rows)

    def _stack_height(self, viewport: Size) -> int:
        return max(viewport.height - 6, 1)

    def _rows(self, width: int, height: int) -> list[Text]:
        if self.view is None:
            return [Text("Reading the cook ...", self._style("quiet"))]
        answers = [a for a in self._in_order(self.view) if a is not None]
        for scale in (2, 1, HALF, None) if self.stacked else ():
            shown = [_day_and_clock(answer.clock)[1] for answer in answers]
            if any(scale is not None and size_of(text, scale)[0] > width for text in shown):
                continue
            rows = list(self._stack(answers, width, scale))
            if len(rows) <= height:
                return rows
        clock_width = max(len(answer.clock) for answer in answers) + 1
        return [row for answer in answers for row in self._line(answer, width, clock_width)]

    @staticmethod
    def _in_order(view: AnswersView) -> tuple[AnswerView | None, ...]:
        return view.done, view.glaze, view.fire, view.look

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"answers--{name}", partial=True)

    def _mark(self, answer: AnswerView) -> Text:
        style = self._style(answer.mark.value)
        return Text().append(f"{GLYPHS[answer.mark]} {answer.mark.value} ", style)

    def _line(self, answer: AnswerView, width: int, clock_width: int) -> Iterable[Text]:
        """One answer in a row; what does not fit goes to a second one."""
        head = Text(no_wrap=True)
        head.append(f"{GLYPHS[answer.mark]} ", self._style(answer.mark.value))
        head.append(answer.label.upper().ljust(LABEL_WIDTH), self._style("label"))
        head.append(answer.clock.ljust(clock_width), self._clock_style(answer))
        indent = head.cell_len
        parts = (answer.to_go, short_range(answer.range), answer.detail)
        told = [part for part in parts if part]
        line, extra = _fit(told, width - indent)
        if answer.mark.value not in line and answer.mark in _TOLD:
            told = [f"{answer.mark.value}: {told[0]}" if told else answer.mark.value, *told[1:]]
            line, extra = _fit(told, width - indent)
        head.append(line, self._style("text"))
        yield head
        if extra and not self.brief:
            for part in _wrapped(extra, width - indent):
                yield Text(" " * indent + part, self._style("quiet"), no_wrap=True)

    def _stack(self, answers: list[AnswerView], width: int, scale: int | None) -> Iterable[Text]:
        """Label and mark, the clock in large figures, the words beside and under it."""
        for index, answer in enumerate(answers):
            if index:
                yield Text()
            day, shown = _day_and_clock(answer.clock)
            head = self._mark(answer)
            head.append(f" {answer.label.upper()}", self._style("label"))
            if day and scale is not None:
                head.append(f"  {day}", self._style("label"))
            yield head
            style = self._clock_style(answer)
            figures: list[Text] = []
            beside = 0
            if not any(letter.isdigit() for letter in shown):
                # no clock: the words say why
                pass
            elif scale is None:
                yield Text(answer.clock, style)
            else:
                figures = [Text().append(row, style) for row in block_rows(shown, scale)]
                beside = width - figures[0].cell_len - GAP
            yield from self._beside(figures, self._words(answer, beside, len(figures), width))

    def _words(
        self, answer: AnswerView, beside: int, rows: int, width: int
    ) -> Iterable[tuple[Text, bool]]:
        """The words of one answer in lines; the flag says whether one stands beside figures."""
        count = 0
        for part, name in (
            (answer.to_go, "text"),
            (answer.range, "text"),
            (answer.detail, "quiet"),
        ):
            narrow = _wrapped(part, beside) if part else []
            fits = beside >= LEAST_BESIDE and count + len(narrow) <= rows
            for row in narrow if fits else _wrapped(part, width) if part else []:
                yield Text(row, self._style(name)), fits
            count = count + len(narrow) if fits else rows

    @staticmethod
    def _beside(figures: list[Text], words: Iterable[tuple[Text, bool]]) -> Iterable[Text]:
        """Figures with the words that stand beside them, then the other words."""
        under = []
        row = 0
        for text, fits in words:
            if fits:
                figures[row].append(" " * GAP).append_text(text)
                row += 1
            else:
                under.append(text)
        yield from figures
        yield from under

    def _clock_style(self, answer: AnswerView) -> Style:
        name = "clock" if answer.mark in _CALM else answer.mark.value
        return self._style(name)


_CALM = (Mark.FINE, Mark.SOON, Mark.UNKNOWN)
_TOLD = (Mark.LATE, Mark.STALE)
"""Marks that are said in words where only their glyph would stand."""


def _day_and_clock(clock: str) -> tuple[str, str]:
    """``Sun 02:10`` in two; a temperature stays whole."""
    if ":" not in clock:
        return "", clock
    day, _, time = clock.rpartition(" ")
    return day, time


def _fit(parts: list[str], width: int) -> tuple[str, str]:
    """As many whole parts as fit one line, and the others."""
    line = ""
    for index, part in enumerate(parts):
        longer = f"{line}  {part}" if line else part
        if len(longer) > width:
            return (line, "  ".join(parts[index:])) if line else (part[:width], part[width:])
        line = longer
    return line, ""


def _wrapped(text: str, width: int) -> list[str]:
    """Lines of at most `width` letters, broken between words."""
    lines: list[str] = []
    for word in text.split(" "):
        if lines and len(lines[-1]) + 1 + len(word) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
