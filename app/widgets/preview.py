"""The line under the entry: how it will be read, what is odd about it, why it cannot be read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rich.text import Text
from textual.geometry import Size
from textual.reactive import reactive
from textual.widget import Widget


class Tone(StrEnum):
    """What sort of words these are."""

    HINT = "hint"
    READS = "reads"
    ODD = "odd"
    WRONG = "wrong"
    DONE = "done"


GLYPHS = {Tone.HINT: " ", Tone.READS: "=", Tone.ODD: "?", Tone.WRONG: "!", Tone.DONE: "+"}


@dataclass(frozen=True, slots=True)
class Echo:
    """Words under the entry."""

    tone: Tone
    text: str


class PreviewLine(Widget):
    """Paints an :class:`Echo` in one or two rows; the glyph says its tone without colour."""

    COMPONENT_CLASSES = {f"preview--{tone.value}" for tone in Tone}  # noqa: RUF012

    DEFAULT_CSS = """
    PreviewLine {
        height: auto;
        min-height: 1;
        max-height: 3;
        padding: 0 1;
        & > .preview--hint { color: $ink-quiet; }
        & > .preview--reads { color: $ink; }
        & > .preview--odd { color: $mark-soon; text-style: bold; }
        & > .preview--wrong { color: $mark-late; text-style: bold; }
        & > .preview--done { color: $mark-fine; }
    }
    """

    echo: reactive[Echo] = reactive(Echo(Tone.HINT, ""), layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Rows that the words take at this width."""
        return max(len(self._rows(width)), 1)

    def render(self) -> Text:
        return Text("\n").join(self._rows(self.content_size.width))

    def _rows(self, width: int) -> list[Text]:
        style = self.get_component_rich_style(f"preview--{self.echo.tone.value}", partial=True)
        text = Text(f"{GLYPHS[self.echo.tone]} {self.echo.text}", style)
        return list(text.wrap(self.app.console, max(width, 10)))[:3]
