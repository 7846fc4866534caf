"""The card of the Ledger: its keys, the keys of what it opens, and what its columns mean."""

from __future__ import annotations

from rich.style import Style
from rich.text import Text

from app.screens.help import HelpScreen

LEFT_WIDTH = 14
CARD = (
    (
        "The list",
        (
            ("Enter", "looks back at the picked cook; one in hand opens live"),
            ("/", "searches titles, months and notes"),
            ("F", "one cut after another, then all again"),
            ("S   R", "sorts by the next column; turns the order round"),
            ("Space   C", "picks up to four cooks; sets them side by side"),
            ("Del   U   B", "into the bin; takes back; shows what is in the bin"),
            ("l   L", "what own cooks taught; learning off, or on again"),
        ),
    ),
    (
        "One cook, or several side by side",
        (
            ("Tab   1 2 3", "next page; the page of that number"),
            ("left, right", "read the chart; with Shift in larger steps"),
            ("O", "how it turned out: scores and words"),
            ("L", "corrects its lines; the original stays beside each"),
            ("A", "side by side: aligned at meat-on, or at a core temperature"),
        ),
    ),
    (
        "The columns",
        (
            ("pit", "the pit that was kept"),
            ("plan   took", "hours and minutes on the heat, as planned and as it was"),
            ("late", "minutes against the plan"),
            ("at half", "how far off the forecast was when half the time was over"),
            ("1-5", "mean of the scores that you gave"),
        ),
    ),
)
KEYS = "F3 ledger  F4 new cook  F8 dark, light  F12 day  Ctrl+P commands  Ctrl+Q quit"


class LedgerHelpScreen(HelpScreen):
    """One card, over the Ledger and what it opens."""

    CSS_PATH = "help.tcss"

    def card_text(self, *, headings: bool) -> Text:
        return ledger_card(headings=headings)

    def keys_text(self) -> str:
        return KEYS


def ledger_card(*, headings: bool) -> Text:
    """The card as text; without headings an empty line stands between its parts."""
    text = Text()
    for part, (heading, rows) in enumerate(CARD):
        if headings:
            text.append(f"{heading}\n", Style(bold=True))
        elif part:
            text.append("\n")
        for typed, means in rows:
            text.append(f"  {typed:<{LEFT_WIDTH}}", Style(bold=True))
            text.append(f"{means}\n")
    text.rstrip()
    return text
