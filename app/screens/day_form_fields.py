"""The fields of the Dayline's form and the keys that go from one to the next."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, VerticalScroll
from textual.screen import Screen
from textual.widgets import Input, Select, Static

from app.presenters.day_form import DayText
from app.presenters.start import cut_choices
from app.widgets.choice import Choice
from app.widgets.form_row import FormRow
from app.widgets.key_footer import KeyFooter
from core.cook import Shape
from core.day_values import Brine
from core.thaw import MeatState
from core.units import MassUnit, TemperatureUnit

LABELS = {
    "pit": "Pit",
    "probes": "Probes",
    "target": "Done at",
    "glaze": "Glaze at",
    "wrap": "Wrap at",
    "rest": "Rest",
    "people": "People",
    "chance": "Chance",
    "others": "Also",
}
HEADING = "Plan the day: it is counted back from the meal. F10 keeps it, F4 starts a cook at once."


class DayFormFields(Screen[None]):
    """A form without a meaning yet; a subclass reads it.

    Parameters
    ----------
    text : DayText
        What the form begins with.
    """

    CSS_PATH = "day_form.tcss"
    AUTO_FOCUS = "#cut"
    VERTICAL_BREAKPOINTS = [(0, "-low"), (30, "-high")]  # noqa: RUF012

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f10,ctrl+s", "keep", "keep the day", id="dayform.keep", priority=True),
        Binding("enter", "next_field", "next field", show=False, priority=True),
        Binding("down", "step(1)", "next field", show=False, priority=True),
        Binding("up", "step(-1)", "field before", show=False, priority=True),
        Binding("tab", "app.focus_next", "next field", show=False, priority=True),
        Binding("shift+tab", "app.focus_previous", "field before", show=False, priority=True),
        Binding("escape", "back", "back", id="dayform.back"),
    ]

    def __init__(self, text: DayText) -> None:
        super().__init__()
        self.text = text

    def compose(self) -> ComposeResult:
        yield Static(HEADING, id="heading", markup=False)
        with VerticalScroll(id="form", can_focus=False):
            yield FormRow("Cut", self._cut_field(), id="row-cut")
            with Container(id="other"):
                shapes = tuple(shape.value for shape in Shape)
                shape = Choice(shapes, self.text.piece.shape.value, id="shape")
                yield FormRow("Shape", shape, id="row-shape")
                yield self._row("thickness", "Thickness")
            yield FormRow("Units", self._units_field(), id="row-units")
            yield self._row("weight", "Weight")
            yield self._row("meal", "Meal at")
            states = tuple(state.value for state in MeatState)
            yield FormRow("State", Choice(states, self.text.state.value, id="state"),
                          id="row-state")  # fmt: skip
            brines = tuple(brine.value for brine in Brine)
            yield FormRow("Brine", Choice(brines, self.text.brine.value, id="brine"),
                          id="row-brine")  # fmt: skip
            for field, label in LABELS.items():
                yield self._row(field, label)
        yield Static("", id="outlook", markup=False)
        yield KeyFooter()

    def _cut_field(self) -> Select[str]:
        cut = self.text.piece.cut
        return Select(cut_choices(), value=cut, allow_blank=False, compact=True, id="cut")

    def _units_field(self) -> Horizontal:
        degrees = tuple(f"°{unit.value}" for unit in TemperatureUnit)
        masses = tuple(unit.value for unit in MassUnit)
        return Horizontal(
            Choice(degrees, f"°{self.text.piece.unit.value}", id="unit"),
            Choice(masses, self.text.piece.mass_unit.value, id="mass-unit"),
            id="units",
        )

    def _row(self, field: str, label: str) -> FormRow:
        box = Input(self.text.field(field), id=field, compact=True, select_on_focus=True)
        box.cursor_blink = False
        return FormRow(label, box, id=f"row-{field}")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter goes on from a field; a list of choices keeps it for itself."""
        if action in ("next_field", "step"):
            return isinstance(self.focused, Input | Choice)
        if action == "back":
            return len(self.app.screen_stack) > 2
        return True

    def action_next_field(self) -> None:
        """Enter goes on; on the last field it keeps the day."""
        if self.focused is not None and self.focused.id == "others":
            self.action_keep()
        else:
            self.focus_next()

    def action_step(self, step: int) -> None:
        """To the field below or above."""
        if step > 0:
            self.focus_next()
        else:
            self.focus_previous()

    def action_keep(self) -> None:
        """Keep what the form says."""
        raise NotImplementedError

    def action_back(self) -> None:
        """Leave the form for what was there before."""
        self.dismiss()
