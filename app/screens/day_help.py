"""The card of the Dayline: what can be typed about a step, and the keys."""

from __future__ import annotations

from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widgets import Static

from app.presenters.dayline import CAUTIONS
from app.widgets.key_footer import KeyFooter

LEFT_WIDTH = 26
CARD = (
    ("Enter", "the picked step is done now; again: it is not"),
    ("done 7:20", "it was done at that time; -20m: so long ago"),
    ("done fire   done on duck", "another step than the picked one"),
    ("undone fire", "takes the tick back"),
    ("21:00   sun 9:00", "moves the picked step; the rest follows"),
    ("+15   -1h", "later, earlier; right and left keys: 5 min"),
    ("meal 18:30   brine 21:00", "moves another step; moving the meal moves the day"),
    ("back", "gives a moved step back to the plan"),
    ("start", "meat on: starts the cook of the next piece"),
    ("plan   brine   all", "change what is wished for; mixes; every reason"),
    ("ics FILE", "writes the day as a calendar file for a phone"),
    ("close", "the day is over"),
)
STEPS = (
    "Steps: thaw, brine, brine out, salt, rub, fire, steady, on, wood, glaze, wrap, pull, carve, "
    "meal, leftovers. What is done or moved stands; all the rest is laid out anew around it."
)


class DayHelpScreen(Screen[None]):
    """One card, over the day."""

    CSS_PATH = "day_help.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,f1,q,enter", "dismiss", "back", key_display="Esc", id="dayhelp.back"),
    ]

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="card"):
            yield Static(day_card(), id="card-text", markup=False)
            yield Static(STEPS, id="steps", markup=False)
            yield Static("\n".join(CAUTIONS), id="cautions", markup=False)
        yield KeyFooter()


def day_card() -> Text:
    """What can be typed on the Dayline."""
    text = Text()
    for typed, means in CARD:
        text.append(f"  {typed:<{LEFT_WIDTH}}", Style(bold=True))
        text.append(f"{means}\n")
    text.rstrip()
    return text
