"""The glyph of each mark: a level that rises with urgency, so it reads without any colour."""

from __future__ import annotations

from app.presenters.views import Mark

GLYPHS = {
    Mark.FINE: "▁",
    Mark.SOON: "▄",
    Mark.NOW: "█",
    Mark.LATE: "!",
    Mark.STALE: "~",
    Mark.UNKNOWN: "?",
}
"""One cell each in every terminal; the mark's own word always stands beside it."""
