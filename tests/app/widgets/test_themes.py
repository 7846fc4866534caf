"""Contrast of every colour that carries meaning, computed as WCAG 2.2 defines it.

Source: W3C, Web Content Accessibility Guidelines 2.2, "relative luminance" and "contrast ratio";
success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (graphics, 3:1).
"""

from __future__ import annotations

import pytest
from textual.color import Color
from textual.theme import Theme

from app.themes import CALLING, SERIES, THEMES, variable_defaults, without_colour

TEXT = 4.5
GRAPHIC = 3.0
INKS = (
    "ink",
    "ink-quiet",
    "line-target",
    "line-glaze",
    "line-wrap",
    *(f"mark-{mark}" for mark in ("fine", "soon", "now", "late", "stale", "unknown")),
    *(f"series-{name}" for name in SERIES),
)


def luminance(color: Color) -> float:
    """Relative luminance of an sRGB colour."""

    def linear(part: int) -> float:
        share = part / 255.0
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(part) for part in color.rgb)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours."""
    light, dark = sorted((luminance(Color.parse(c)) for c in (one, other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_ratio_is_the_one_of_the_guideline() -> None:
    # Black on white is 21:1 in the guideline; #767676 on white is its usual 4.5:1 example.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("name", INKS)
def test_words_can_be_read_on_every_ground(theme: Theme, name: str) -> None:
    for ground in (theme.background, theme.surface, theme.variables["panel"]):
        assert ground is not None
        assert contrast(theme.variables[name], ground) >= TEXT, (name, ground)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("name", SERIES)
def test_lines_stand_out_from_every_band(theme: Theme, name: str) -> None:
    lines = [theme.variables[f"series-{name}"]]
    lines += [theme.variables[line] for line in ("line-target", "line-glaze", "line-wrap")]
    for band in ("band-80", "band-50"):
        ground = theme.variables[f"{band}-{name}"]
        assert all(contrast(line, ground) >= GRAPHIC for line in lines), band


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_cursor_selection_and_what_lies_on_a_rule_can_be_read(theme: Theme) -> None:
    """Text on grounds that are not plain (1.4.3), and what shows where one is (1.4.11)."""
    ours, ground = theme.variables, theme.background
    assert ground is not None
    assert contrast(ours["input-cursor-foreground"], ours["input-cursor-background"]) >= TEXT
    assert contrast(ours["input-cursor-background"], ours["panel"]) >= GRAPHIC
    assert contrast(ours["block-cursor-foreground"], ours["block-cursor-background"]) >= TEXT
    # buttons in the log, the field that is filled in
    assert contrast(ours["ink"], ours["ink-rule"]) >= TEXT
    # a line that is asked about, once more
    assert contrast(ground, ours["mark-soon"]) >= TEXT
    name, share = ours["input-selection-background"].split(" ")
    tint = Color.parse(ours["panel"]).blend(Color.parse(name), float(share.rstrip("%")) / 100.0)
    assert contrast(ours["ink"], tint.hex) >= TEXT
    assert contrast(ours["scrollbar"], ground) >= GRAPHIC


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_a_rule_is_seen_and_stays_behind(theme: Theme) -> None:
    """Rules and the grid are ornament and carry nothing: no ratio of the guideline binds them."""
    assert theme.background is not None
    assert 1.5 <= contrast(theme.variables["ink-rule"], theme.background) < GRAPHIC


def test_every_theme_sets_every_variable_of_ours() -> None:
    for theme in THEMES:
        assert set(variable_defaults()) <= set(theme.variables)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_without_colour_what_calls_is_as_strong_as_plain_words(theme: Theme) -> None:
    plain = without_colour(theme)
    assert theme.background is not None
    strongest = contrast(plain.variables["ink"], theme.background)
    for name in CALLING:
        assert contrast(plain.variables[name], theme.background) == pytest.approx(strongest)
    assert plain.name == theme.name, "the choice of a palette stays"
    assert any(theme.variables[name] != plain.variables[name] for name in CALLING)
