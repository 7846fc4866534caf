"""Draws a chart's view with matplotlib: the same lines, bands and words as on the screen.

Nothing is told by colour alone: each line has its own marks and its name, so that a page printed
in black reads the same.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from app.presenters.axes import clock_ticks, y_ticks
from app.presenters.chart import Band, ChartView, Level, Moment, Trace
from app.themes import NOON

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_IN, HEIGHT_IN = 7.3, 3.6
MARKS = {"pit": "s", "meat-1": "o", "meat-2": "^", "meat-3": "D", "meat-4": "v"}
DASHES = {"target": (6, 2), "glaze": (2, 2), "wrap": (5, 2, 1, 2)}
SMALL_PT, TEXT_PT = 7.0, 8.0
NEAR = 0.02
"""Words closer than this share of the chart's width stand in one list."""

TIGHT = 0.06
"""Levels closer than this share of the height carry their words side by side."""

SLOT = 0.19
"""Room for the words of one level, as a share of the width."""

LANE = 0.24
"""Height of the lane for events, as a share of the height of the lines."""


@contextmanager
def our_style() -> Iterator[None]:
    """matplotlib as our pages want it: user text is no formula, a missing letter no warning."""
    import warnings

    import matplotlib

    style: Any = {
        "text.parse_math": False,
        "svg.fonttype": "path",
        "svg.hashsalt": "doneby",
        "pdf.fonttype": 42,
        "font.family": ["DejaVu Sans"],
        "font.size": TEXT_PT,
        "path.simplify": False,
    }
    with warnings.catch_warnings(), matplotlib.rc_context(style):
        # A letter that the font lacks is drawn as a box.
        warnings.filterwarnings("ignore", message=".*Glyph.*missing.*")
        warnings.filterwarnings("ignore", message=".*does not support.*natively.*")
        yield


def ink(name: str) -> str:
    """A colour of the light palette, whose contrast is tested."""
    return str(NOON.variables[name])


def draw(view: ChartView, axes: Axes) -> None:
    """Draw one view; call within `our_style`."""
    axes.set_xlim(view.x_low, view.x_high)
    # Above the lines a lane for the words of what happened.
    axes.set_ylim(view.y_low, view.y_high + LANE * (view.y_high - view.y_low))
    for band in view.bands:
        _band(band, axes, stepped=view.clock_y)
    _levels(view, axes)
    for trace in view.traces:
        _trace(trace, axes, stepped=view.clock_y)
    for x, words in _grouped(view.upright, view):
        _upright(x, words, view, axes)
    _events(view, axes)
    ticks = clock_ticks(view, 76)
    axes.set_xticks([x for x, _ in ticks], [label for _, label in ticks])
    heights = y_ticks(view, 7)
    axes.set_yticks([y for y, _ in heights], [label for _, label in heights])
    axes.tick_params(colors=ink("ink-quiet"), labelsize=SMALL_PT + 0.5, length=3)
    axes.grid(axis="y", color=ink("ink-rule"), linewidth=0.4, alpha=0.6)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(ink("ink-rule"))
    handles, labels = axes.get_legend_handles_labels()
    if handles:
        axes.legend(
            handles, labels, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=6, frameon=False,
            fontsize=TEXT_PT, handlelength=2.2, borderaxespad=0.1,
        )  # fmt: skip


def _band(band: Band, axes: Axes, *, stepped: bool) -> None:
    low, quarter, middle, three, high = band.quantiles
    colour = ink(f"series-{band.ink}")
    how: dict[str, Any] = {"step": "post"} if stepped else {}
    label = f"{band.name}: 8 of 10"
    axes.fill_between(band.x, low, high, color=colour, alpha=0.16, linewidth=0, label=label, **how)
    axes.fill_between(band.x, quarter, three, color=colour, alpha=0.22, linewidth=0, **how)
    if not stepped:
        axes.plot(band.x, middle, color=colour, linewidth=1.0, dashes=(4, 2))


def _trace(trace: Trace, axes: Axes, *, stepped: bool) -> None:
    colour, mark = ink(f"series-{trace.ink}"), MARKS[trace.ink]
    axes.plot(
        trace.x, trace.y, color=colour, linewidth=1.3, marker=mark, markersize=3.2,
        markerfacecolor="white" if trace.ink == "pit" else colour, markeredgewidth=0.8,
        label=trace.name, drawstyle="steps-post" if stepped else "default",
    )  # fmt: skip
    if trace.slip_x.size:
        axes.plot(
            trace.slip_x, trace.slip_y, color=colour, linestyle="none", marker="x", markersize=5,
            label=f"{trace.name}, not believed",
        )  # fmt: skip


def _levels(view: ChartView, axes: Axes) -> None:
    """The temperatures that are waited for; words that would lie over others move to the right."""
    tight = TIGHT * (view.y_high - view.y_low)
    slot, last = 0, float("inf")
    for level in sorted(view.levels, key=lambda level: -level.y):
        slot = slot + 1 if last - level.y < tight else 0
        last = level.y
        _level(level, axes, 0.006 + slot * SLOT)


def _level(level: Level, axes: Axes, x: float) -> None:
    colour = ink(f"line-{level.ink}")
    dashes = DASHES.get(level.ink, (3, 2))
    axes.axhline(level.y, color=colour, linewidth=0.9, dashes=dashes, zorder=1.4)
    axes.annotate(
        level.label, (x, level.y), xycoords=axes.get_yaxis_transform(), xytext=(0, 2),
        textcoords="offset points", fontsize=SMALL_PT, color=colour, zorder=1.6,
        bbox={"facecolor": "white", "alpha": 0.75, "edgecolor": "none", "pad": 0.4},
    )  # fmt: skip


def _grouped(moments: tuple[Moment, ...], view: ChartView) -> list[tuple[float, str]]:
    """Places and words of moments inside the chart; those that nearly touch share one place."""
    near = NEAR * (view.x_high - view.x_low)
    groups: list[tuple[float, list[str]]] = []
    for moment in sorted(moments, key=lambda moment: moment.x):
        if not view.x_low <= moment.x <= view.x_high:
            continue
        if groups and moment.x - groups[-1][0] < near:
            if moment.word not in groups[-1][1]:
                groups[-1][1].append(moment.word)
        else:
            groups.append((moment.x, [moment.word]))
    return [(x, ", ".join(words)) for x, words in groups]


def _upright(x: float, words: str, view: ChartView, axes: Axes) -> None:
    axes.axvline(x, color=ink("ink-quiet"), linewidth=0.8, dashes=(1, 2))
    axes.annotate(
        words, (x, view.y_low), xytext=(-2, 3), textcoords="offset points",
        rotation=90, ha="right", va="bottom", fontsize=SMALL_PT, color=ink("ink-quiet"),
    )  # fmt: skip


def _events(view: ChartView, axes: Axes) -> None:
    """What happened, as ticks hanging from the top with their words."""
    for x, words in _grouped(view.events, view):
        axes.plot(
            [x, x], [0.97, 1.0], transform=axes.get_xaxis_transform(), color=ink("ink-quiet"),
            linewidth=0.9,
        )  # fmt: skip
        axes.annotate(
            words, (x, 0.96), xycoords=axes.get_xaxis_transform(), rotation=90,
            ha="center", va="top", fontsize=SMALL_PT, color=ink("ink-quiet"),
        )  # fmt: skip


def svg_of(view: ChartView, label: str) -> str:
    """A chart as an SVG element to stand in a page; it needs no font and fetches nothing.

    `label` says in words what is drawn; it must be escaped already.
    """
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    with our_style():
        figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN))
        FigureCanvasSVG(figure)
        axes = figure.add_axes((0.07, 0.08, 0.92, 0.83))
        draw(view, axes)
        out = io.StringIO()
        nothing = dict.fromkeys(("Creator", "Date", "Format", "Type"))
        figure.savefig(out, format="svg", metadata=nothing)
    text = re.sub(r"<!--.*?-->", "", out.getvalue(), flags=re.DOTALL)
    text = re.sub(r"<metadata>.*?</metadata>", "", text, flags=re.DOTALL)
    element = text[text.index("<svg ") :]
    return element.replace("<svg ", f'<svg role="img" aria-label="{label}" ', 1)
