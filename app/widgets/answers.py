"""The four answers: they take the most room the screen can give and stay in one order."""

from __future__ import annotations

from collections.abc import Iterable

from rich.style import Style
from rich.text import Text
from textual.geometry import Size
from textual.reactive import reactive
from textual.widget import Widget

from app.presenters.views import AnswersView, AnswerView, Mark
from app.widgets.blocks import HALF, block_rows, size_of
from app.widgets.marks import GLYPHS

LABEL_WIDTH = 10
CLOCK_WIDTH = 9
WORD_WIDTH = 8


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
        & > .answers--now { color: $mark-now; text-style: bold reverse; }
        & > .answers--late { color: $mark-late; text-style: bold reverse; }
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
        if not self.stacked:
            return [row for answer in answers for row in self._line(answer, width)]
        for scale in (2, 1, HALF, None):
            rows = list(self._stack(answers, width, scale))
            if len(rows) <= height:
                return rows
        return [row for answer in answers for row in self._line(answer, width)]

    @staticmethod
    def _in_order(view: AnswersView) -> tuple[AnswerView | None, ...]:
        return view.done, view.glaze, view.fire, view.look

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"answers--{name}", partial=True)

    def _mark(self, answer: AnswerView) -> Text:
        style = self._style(answer.mark.value)
        return Text(f" {GLYPHS[answer.mark]} {answer.mark.value} ", style)

    def _line(self, answer: AnswerView, width: int) -> Iterable[Text]:
        """One answer in a row; what does not fit goes to a second one."""
        head = Text(no_wrap=True)
        head.append_text(self._mark(answer))
        head.append(" " * max(11 - head.cell_len, 1))
        head.append(answer.label.upper().ljust(LABEL_WIDTH), self._style("label"))
        head.append(answer.clock.ljust(CLOCK_WIDTH) + " ", self._style("clock"))
        indent = head.cell_len
        rest = [answer.to_go, answer.range, answer.detail]
        line, extra = _fit([part for part in rest if part], width - indent)
        head.append(line, self._style("text"))
        yield head
        if extra and not self.brief:
            for part in _wrapped(extra, width - indent):
                yield Text(" " * indent + part, self._style("quiet"), no_wrap=True)

    def _stack(self, answers: list[AnswerView], width: int, scale: int | None) -> Iterable[Text]:
        """Label and mark, the clock in large figures, then the words, for each answer."""
        for index, answer in enumerate(answers):
            if index:
                yield Text()
            head = Text(answer.label.upper() + "  ", self._style("label"))
            head.append_text(self._mark(answer))
            yield head
            yield from self._clock(answer, width, scale)
            for part, name in (
                (answer.to_go, "text"),
                (answer.range, "text"),
                (answer.detail, "quiet"),
            ):
                if part:
                    for row in _wrapped(part, width):
                        yield Text(row, self._style(name))

    def _clock(self, answer: AnswerView, width: int, scale: int | None) -> Iterable[Text]:
        style = self._style("clock" if answer.mark in _CALM else answer.mark.value)
        style = style + Style(reverse=False)
        day, _, clock = answer.clock.rpartition(" ") if ":" in answer.clock else ("", "", "")
        shown = clock or answer.clock
        if scale is None or size_of(shown, scale)[0] > width:
            yield Text(answer.clock, style)
            return
        for index, row in enumerate(block_rows(shown, scale)):
            text = Text(row, style)
            if index == 0 and day:
                text.append(f"  {day}", self._style("label"))
            yield text


_CALM = (Mark.FINE, Mark.SOON, Mark.UNKNOWN)


def _fit(parts: list[str], width: int) -> tuple[str, str]:
    """As many whole parts as fit one line, and the others."""
    line = ""
    for index, part in enumerate(parts):
        longer = f"{line}   {part}" if line else part
        if len(longer) > width:
            return (line, "   ".join(parts[index:])) if line else (part[:width], part[width:])
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
