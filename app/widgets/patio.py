"""The patio view: finish, next thing to do and fire in letters as large as fit."""

from __future__ import annotations

from rich.style import Style
from rich.text import Text
from textual.geometry import Size
from textual.reactive import reactive
from textual.widget import Widget

from app.presenters.tend import PatioView
from app.presenters.views import Mark
from app.widgets.blocks import HALF, block_rows, largest_scale, size_of
from app.widgets.marks import GLYPHS


class Patio(Widget):
    """Paints a :class:`PatioView` over the whole room it is given."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "patio--label",
        *(f"patio--{mark.value}" for mark in Mark),
    }

    DEFAULT_CSS = """
    Patio {
        height: 1fr;
        padding: 0 1;
        & > .patio--label { color: $ink-quiet; text-style: bold; }
        & > .patio--fine { color: $ink; }
        & > .patio--soon { color: $mark-soon; }
        & > .patio--now { color: $mark-now; }
        & > .patio--late { color: $mark-late; }
        & > .patio--stale { color: $mark-stale; }
        & > .patio--unknown { color: $mark-unknown; }
    }
    """

    view: reactive[PatioView | None] = reactive(None)

    def render(self) -> Text:
        if self.view is None:
            return Text("No forecast yet.")
        size = self.content_size
        view = self.view
        scales = _scales(view, size)
        rows = [Text().append(view.done_label.upper(), self._style("label"))]
        rows += self._large(view.done_clock, scales[0], view.done_mark, size.width)
        rows += self._large(view.next_line, scales[1], view.next_mark, size.width)
        rows += self._large(view.fire_line, scales[2], view.fire_mark, size.width)
        spare = max(size.height - len(rows), 0) // 2
        return Text("\n").join([Text()] * spare + rows)

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"patio--{name}", partial=True)

    def _large(self, words: str, scale: int | None, mark: Mark, width: int) -> list[Text]:
        """The words in large letters, with the mark beside them where there is room."""
        style = self._style(mark.value)
        label = f"{GLYPHS[mark]} {mark.value}"
        if scale is None:
            return [Text().append(f"{label}  {words.upper()}", style + Style(bold=True))]
        indent = (width - size_of(words, scale)[0]) // 2
        rows = []
        for index, row in enumerate(block_rows(words, scale)):
            beside = label if index == 0 and indent > len(label) else ""
            text = Text().append(beside.ljust(indent), self._style("label"))
            rows.append(text.append(row, style))
        return rows


def _scales(view: PatioView, size: Size) -> tuple[int | None, int | None, int | None]:
    """Scales of the three lines: the clock as large as leaves the others readable."""
    lines = (view.done_clock, view.next_line, view.fire_line)
    labels = 1
    best = [largest_scale(line, size.width, size.height) for line in lines]

    def height(scales: list[int | None]) -> int:
        rows = (
            1 if scale is None else size_of(line, scale)[1]
            for line, scale in zip(lines, scales, strict=True)
        )
        return labels + sum(rows)

    order = (1, 2, 0)
    while height(best) > size.height:
        # the smaller lines give way first, down to half blocks; then the clock
        for index in order:
            scale = best[index]
            floor = 1 if index == 0 else HALF
            if scale is not None and scale > floor:
                best[index] = scale - 1
                break
        else:
            for index in order:
                scale = best[index]
                if scale is not None:
                    best[index] = None if scale == HALF else scale - 1
                    break
            else:
                break
    return best[0], best[1], best[2]
