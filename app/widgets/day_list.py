"""The steps of a day: one row each under their day, with the pick that keys act on."""

from __future__ import annotations

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from app.presenters.day_list import DayRow, RowKind

STATE_WIDTH = 5
SIDE_FROM = 96
"""From this width on the range, or the reason, stands beside a step."""

MORE_FROM = 150
"""From this width on both do."""

SIDE_AT, SIDE_FAR_AT = 62, 76


class DayList(ScrollView, can_focus=False):
    """Paints :class:`DayRow` rows; the mouse picks one."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "day--heading",
        "day--now",
        "day--clock",
        "day--words",
        "day--done",
        "day--state",
        "day--due",
        "day--side",
        "day--picked",
    }

    DEFAULT_CSS = """
    DayList {
        padding: 0 1;
        scrollbar-size-vertical: 1;
        & > .day--heading { color: $ink-quiet; text-style: bold; }
        & > .day--now { color: $ink-quiet; }
        & > .day--clock { color: $ink; }
        & > .day--words { color: $ink; }
        & > .day--done { color: $ink-quiet; }
        & > .day--state { color: $mark-fine; }
        & > .day--due { color: $mark-now; text-style: bold; }
        & > .day--side { color: $ink-quiet; }
        & > .day--picked { background: $panel; text-style: bold; }
    }
    """

    rows: reactive[tuple[DayRow, ...]] = reactive(())
    picked: reactive[int | None] = reactive(None)
    """Number of the picked step in its day."""

    class Picked(Message):
        """The mouse picked a step; `again` if it was picked before."""

        def __init__(self, step: int, *, again: bool) -> None:
            super().__init__()
            self.step, self.again = step, again

    def step(self, count: int) -> None:
        """Move the pick so many steps."""
        steps = [row.step for row in self.rows if row.step is not None]
        if not steps:
            return
        place = steps.index(self.picked) if self.picked in steps else 0
        self.picked = steps[min(max(place + count, 0), len(steps) - 1)]

    def watch_rows(self, rows: tuple[DayRow, ...]) -> None:
        self.virtual_size = Size(0, len(rows))
        self._show()

    def watch_picked(self) -> None:
        self._show()

    def on_resize(self) -> None:
        self._show()

    def _picked_row(self) -> int | None:
        return next((i for i, row in enumerate(self.rows)
                     if row.step is not None and row.step == self.picked), None)  # fmt: skip

    def _show(self) -> None:
        """Keep the pick in view, with a row above it and one below."""
        height = max(self.scrollable_content_region.height, 1)
        row = self._picked_row()
        top = round(self.scroll_y)
        if row is not None:
            room = 1 if height > 4 else 0
            if row - room < top:
                top = row - room
            elif row + room >= top + height:
                top = row + room - height + 1
        top = min(max(top, 0), max(len(self.rows) - height, 0))
        self.scroll_to(y=top, animate=False, immediate=True)
        self.refresh()

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"day--{name}", partial=True)

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        index = y + round(self.scroll_y)
        base = self.rich_style
        if index >= len(self.rows):
            return Strip.blank(width, base)
        row = self.rows[index]
        if row.kind is RowKind.DAY:
            segments = [Segment(row.words, base + self._style("heading"))]
        elif row.kind is RowKind.NOW:
            rule = f"{row.clock} {row.words} " + "─" * max(width - len(row.clock) - 5, 0)
            segments = [Segment(rule, base + self._style("now"))]
        else:
            if row.step == self.picked:
                base = base + self._style("picked")
            segments = self._step_segments(row, width, base)
        strip = Strip(segments)
        if strip.cell_length > width > 1 and row.kind is RowKind.STEP:
            strip = Strip([*strip.crop(0, width - 1), Segment("…", base)])
        return strip.adjust_cell_length(width, base)

    def _step_segments(self, row: DayRow, width: int, base: Style) -> list[Segment]:
        done = row.state == "done"
        due = row.state in ("due", "next")
        segments = [
            Segment(f"{row.clock} ", base + self._style("done" if done else "clock")),
            Segment(f"{row.state:<{STATE_WIDTH}} ", base + self._style("due" if due else "state")),
            Segment(row.words, base + self._style("done" if done else "words")),
        ]
        side = row.side
        if width >= MORE_FROM and row.more:
            side = f"{row.side}; {row.more}"
        if width >= SIDE_FROM and side:
            used = sum(cell_len(segment.text) for segment in segments)
            gap = max((SIDE_FAR_AT if width >= MORE_FROM else SIDE_AT) - used, 2)
            room = width - used - gap
            if cell_len(side) > room:
                side = f"{side[: max(room - 1, 0)]}…"
            segments.append(Segment(" " * gap + side, base + self._style("side")))
        return segments

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        index = offset.y + round(self.scroll_y)
        if 0 <= index < len(self.rows) and (step := self.rows[index].step) is not None:
            self.post_message(self.Picked(step, again=step == self.picked))
