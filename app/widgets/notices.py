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
        """Rows that the notices take at this width."""
        # always as many, so that nothing moves when a notice comes or goes
        return self.most_rows

    def render(self) -> Text:
        return Text("\n").join(self._rows(self.content_size.width))

    def _rows(self, width: int) -> list[Text]:
        rows: list[Text] = []
        for notice in self.view:
            style = self.get_component_rich_style(f"notices--{notice.mark.value}", partial=True)
            glyph = "i" if notice.mark in (Mark.FINE, Mark.UNKNOWN) else GLYPHS[notice.mark]
            text = Text(f"{glyph} {notice.text}", style)
            wrapped = list(text.wrap(self.app.console, max(width, 10)))
            room = self.most_rows - len(rows)
            if len(wrapped) > room:
                # a notice that would be cut in the middle waits, unless it is the first one
                if rows:
                    continue
                wrapped = wrapped[:room]
            rows.extend(wrapped)
        return rows
