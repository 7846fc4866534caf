"""The two palettes of the screens: ``dusk`` (dark) and ``noon`` (light).

Every colour that carries meaning is a theme variable of our own (``series-pit``, ``mark-late``
...), set once for each theme. Band tints are mixed from the series colour and the background, so
that a band can never drift away from its line. `tests/app/widgets/test_themes.py` computes the
WCAG 2 contrast of each of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from textual.color import Color
from textual.theme import Theme

BAND_80_SHARE = 0.17
"""Share of the series colour in the tint of the 80 % band."""

BAND_50_SHARE = 0.34
"""Share of the series colour in the tint of the 50 % band."""

SERIES = ("pit", "meat-1", "meat-2", "meat-3", "meat-4")
"""Names of the series colours; a fifth probe starts again at ``meat-1``."""

_DUSK = {
    "background": "#171a1c",
    "surface": "#1f2326",
    "panel": "#292e32",
    "ink": "#ebe7dd",
    "ink-quiet": "#a9aeab",
    "ink-rule": "#474d51",
    "ink-edge": "#757c80",
    "series-pit": "#eba566",
    "series-meat-1": "#84c6ee",
    "series-meat-2": "#e0a3d8",
    "series-meat-3": "#97d6a8",
    "series-meat-4": "#e3da86",
    "line-target": "#f2efe8",
    "line-glaze": "#d3b98f",
    "line-wrap": "#b9b5ac",
    "mark-fine": "#97d6a8",
    "mark-soon": "#e9d36d",
    "mark-now": "#ffb871",
    "mark-late": "#ff9a8f",
    "mark-stale": "#b3b7b5",
    "mark-unknown": "#a9aeab",
}

_NOON = {
    "background": "#f7f4ec",
    "surface": "#eeeae0",
    "panel": "#e3ded2",
    "ink": "#22282b",
    "ink-quiet": "#565d5f",
    "ink-rule": "#b9b5aa",
    "ink-edge": "#868379",
    "series-pit": "#9a4c06",
    "series-meat-1": "#0a5789",
    "series-meat-2": "#87297a",
    "series-meat-3": "#17632f",
    "series-meat-4": "#665700",
    "line-target": "#2c3235",
    "line-glaze": "#7a5210",
    "line-wrap": "#5b5850",
    "mark-fine": "#17632f",
    "mark-soon": "#6b5500",
    "mark-now": "#8f3f00",
    "mark-late": "#a3201a",
    "mark-stale": "#565d5f",
    "mark-unknown": "#565d5f",
}


def _with_bands(palette: Mapping[str, str]) -> dict[str, str]:
    """The palette and the band tints mixed from its series colours."""
    ground = Color.parse(palette["background"])
    full = dict(palette)
    for name in SERIES:
        line = Color.parse(palette[f"series-{name}"])
        full[f"band-80-{name}"] = ground.blend(line, BAND_80_SHARE).hex
        full[f"band-50-{name}"] = ground.blend(line, BAND_50_SHARE).hex
    return full


def _theme(name: str, palette: Mapping[str, str], *, dark: bool) -> Theme:
    own = _with_bands(palette)
    ground, quiet = palette["background"], palette["ink-quiet"]
    own |= {
        "block-cursor-background": palette["ink"],
        "block-cursor-foreground": ground,
        "block-cursor-text-style": "none",
        "border": palette["ink-rule"],
        "border-blurred": palette["ink-rule"],
        "footer-background": palette["surface"],
        "footer-foreground": quiet,
        "footer-key-foreground": palette["ink"],
        "footer-description-foreground": quiet,
        "footer-description-background": palette["surface"],
        "footer-item-background": palette["surface"],
        "footer-key-background": palette["surface"],
        "input-cursor-background": palette["ink"],
        "input-cursor-foreground": ground,
        "input-selection-background": palette["series-meat-1"] + " 35%",
        "scrollbar": palette["ink-edge"],
        "scrollbar-background": ground,
        "scrollbar-corner-color": ground,
        "scrollbar-hover": quiet,
        "scrollbar-active": quiet,
        "scrollbar-background-hover": ground,
        "scrollbar-background-active": ground,
    }
    return Theme(
        name=name,
        primary=palette["series-meat-1"],
        secondary=palette["series-pit"],
        accent=palette["mark-now"],
        warning=palette["mark-soon"],
        error=palette["mark-late"],
        success=palette["mark-fine"],
        foreground=palette["ink"],
        background=ground,
        surface=palette["surface"],
        panel=palette["panel"],
        dark=dark,
        variables=own,
    )


DUSK = _theme("dusk", _DUSK, dark=True)
NOON = _theme("noon", _NOON, dark=False)
THEMES = (DUSK, NOON)


CALLING = ("mark-soon", "mark-now", "mark-late")
"""Marks that call for the cook."""


def without_colour(theme: Theme) -> Theme:
    """The palette for a terminal that shows no colours.

    Each colour becomes a grey there, and the strong colours of what calls become darker ones than
    the words around them; so they are as strong as plain words, and the glyph and the bold letters
    tell them apart.
    """
    ink = theme.variables["ink"]
    strong = dict.fromkeys(CALLING, ink)
    return replace(theme, variables=theme.variables | strong, accent=ink, warning=ink, error=ink)


def variable_defaults() -> dict[str, str]:
    """Our variables with the values of ``dusk``, for a theme that sets none of them."""
    return _with_bands(_DUSK)
