"""The fan chart: paints a :class:`ChartView` and reads out the time under its cursor."""

from __future__ import annotations

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from app.presenters.chart import ChartView, read_out
from app.presenters.raster import MIN_HEIGHT, Picture, rasterise
from app.themes import SERIES

_INKS = (
    "grid",
    "axis",
    "target",
    "glaze",
    "wrap",
    "event",
    "now",
    "cursor",
    "shade",
    *SERIES,
    *(f"{name}-{share}" for name in SERIES for share in (80, 50)),
)


class FanChart(Widget):
    """Readings, outlook and levels over the clock.

    The picture is rebuilt on new data, a new size or a new theme; every paint in between comes
    from cached strips.
    """

    COMPONENT_CLASSES = {f"chart--{ink}" for ink in _INKS}  # noqa: RUF012

    DEFAULT_CSS = """
    FanChart {
        height: 1fr;
        & > .chart--grid { color: $ink-rule; }
        & > .chart--axis { color: $ink-quiet; }
        & > .chart--shade { color: $ink-quiet; }
        & > .chart--event { color: $ink; }
        & > .chart--now { color: $ink; }
        & > .chart--cursor { color: $mark-now; }
        & > .chart--target { color: $line-target; }
        & > .chart--glaze { color: $line-glaze; }
        & > .chart--wrap { color: $line-wrap; }
        & > .chart--pit { color: $series-pit; }
        & > .chart--meat-1 { color: $series-meat-1; }
        & > .chart--meat-2 { color: $series-meat-2; }
        & > .chart--meat-3 { color: $series-meat-3; }
        & > .chart--meat-4 { color: $series-meat-4; }
        & > .chart--pit-80 { color: $band-80-pit; }
        & > .chart--pit-50 { color: $band-50-pit; }
        & > .chart--meat-1-80 { color: $band-80-meat-1; }
        & > .chart--meat-1-50 { color: $band-50-meat-1; }
        & > .chart--meat-2-80 { color: $band-80-meat-2; }
        & > .chart--meat-2-50 { color: $band-50-meat-2; }
        & > .chart--meat-3-80 { color: $band-80-meat-3; }
        & > .chart--meat-3-50 { color: $band-50-meat-3; }
        & > .chart--meat-4-80 { color: $band-80-meat-4; }
        & > .chart--meat-4-50 { color: $band-50-meat-4; }
    }
    """

    view: reactive[ChartView | None] = reactive(None, always_update=True)
    cursor_x: reactive[float | None] = reactive(None)
    """Time under the cursor, seconds from meat-on; None hides it."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._picture: Picture | None = None
        self._strips: list[Strip] = []
        self._colours: dict[str, Color | None] = {}

    def watch_view(self) -> None:
        self._forget()

    def watch_cursor_x(self) -> None:
        self._forget()

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._colours = {}
        self._forget()

    def on_resize(self) -> None:
        self._forget()

    def _forget(self) -> None:
        self._picture, self._strips = None, []
        self.refresh()

    def render_line(self, y: int) -> Strip:
        if not self._strips:
            self._build(self.size)
        if y >= len(self._strips):
            return Strip.blank(self.size.width, self.rich_style)
        return self._strips[y]

    def _build(self, size: Size) -> None:
        ground = self.rich_style
        if self.view is None or not size.area:
            self._strips = [Strip.blank(size.width, ground)] * max(size.height, 1)
            return
        # the row of the read-out is taken off the plot, so that it covers no line and no name
        read = int(self.cursor_x is not None and size.height > MIN_HEIGHT)
        picture = rasterise(
            self.view,
            size.width,
            size.height - read,
            shade=self.app.no_color,
            cursor_x=self.cursor_x,
        )
        if not self._colours:
            self._colours = {
                ink: self.get_component_rich_style(f"chart--{ink}").color for ink in _INKS
            }
        colours = self._colours | {"plot-ground": ground.bgcolor}
        styles: dict[tuple[str, str], Style] = {}
        strips = []
        for row in picture.rows:
            segments = []
            for run in row:
                key = (run.ink, run.ground)
                if key not in styles:
                    # the bare background is an ink too: the lower edge of a band is drawn with it
                    inks = ["plot-ground" if name == "plot" else name for name in key]
                    styles[key] = Style(color=colours[inks[0]], bgcolor=colours[inks[1]])
                segments.append(Segment(run.text, styles[key]))
            strips.append(Strip(segments, size.width))
        if self.cursor_x is not None:
            words = f" {read_out(self.view, self.cursor_x)}".ljust(size.width)[: size.width]
            style = Style(color=colours["cursor"], bgcolor=ground.bgcolor, bold=True)
            strips[: 1 - read] = [Strip([Segment(words, style)], size.width)]
        self._picture, self._strips = picture, strips

    def step_cursor(self, columns: int) -> None:
        """Move the cursor by screen columns; the first step puts it on now."""
        if self.view is None or self._picture is None:
            return
        if self.cursor_x is None:
            self.cursor_x = min(max(self.view.now_x, self.view.x_low), self.view.x_high)
            return
        moved = self.cursor_x + columns * self._picture.column_s
        self.cursor_x = min(max(moved, self.view.x_low), self.view.x_high)

    def on_mouse_move(self, event: events.MouseMove) -> None:
        if self._picture is not None:
            self.cursor_x = self._picture.time_at(event.x)

    def on_leave(self) -> None:
        self.cursor_x = None
