"""The notice area: alerts, the story of the forecast and the standing cautions."""

from __future__ import annotations

from rich.text import Text
from textual.geometry import Size
from textual.reactive import reactive
from textual.widget import Widget

from app.presenters.tend import Notice
from app.presenters.views import Mark
from app.widgets.marks import GLYPHS


class Notices(Widget):
    """Paints notices, most urgent first, in at most `most_rows` rows."""

    COMPONENT_CLASSES = {f"notices--{mark.value}" for mark in Mark}  # noqa: RUF012

    DEFAULT_CSS = """
    Notices {
        height: auto;
        padding: 0 1;
        & > .notices--fine { color: $ink; }
        & > .notices--soon { color: $mark-soon; text-style: bold; }
        & > .notices--now { color: $mark-now; text-style: bold; }
        & > .notices--late { color: $mark-late; text-style: bold; }
        & > .notices--stale { color: $mark-stale; text-style: italic; }
        & > .notices--unknown { color: $ink-quiet; }
    }
    """

    view: reactive[tuple[Notice, ...]] = reactive((), layout=True)
    most_rows: reactive[int] = reactive(4, layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Always as many rows, so that nothing moves when a notice comes or goes."""
        staying = sum(len(self._wrapped(n, width)) for n in self.view if n.stays)
        return self.most_rows + staying

    def render(self) -> Text:
        return Text("\n").join(self._rows(self.content_size.width))

    def _wrapped(self, notice: Notice, width: int) -> list[Text]:
        style = self.get_component_rich_style(f"notices--{notice.mark.value}", partial=True)
        glyph = "i" if notice.mark in (Mark.FINE, Mark.UNKNOWN) else GLYPHS[notice.mark]
        rows = list(Text(notice.text, style).wrap(self.app.console, max(width - 2, 8)))
        # what is wrapped stands under the words, so that every mark begins a notice
        return [
            Text(f"{'  ' if index else glyph + ' '}", style).append_text(row)
            for index, row in enumerate(rows)
        ]

    def _rows(self, width: int) -> list[Text]:
        rows: list[Text] = []
        room = self.most_rows
        for notice in self.view:
            wrapped = self._wrapped(notice, width)
            if not notice.stays:
                if len(wrapped) > room:
                    # one that would be cut waits, unless there is nothing above it
                    if room < self.most_rows:
                        continue
                    wrapped = wrapped[:room]
                    wrapped[-1].append(" …")
                    wrapped[-1].truncate(width, overflow="ellipsis")
                room -= len(wrapped)
            rows.extend(wrapped)
        return rows
