"""The parts of the start form: its heading and its fields, as they begin."""

from __future__ import annotations

from textual.containers import Horizontal
from textual.widgets import Input, Select

from app.presenters.start import StartText, cut_choices
from app.widgets.choice import Choice
from app.widgets.form_row import FormRow
from core.units import MassUnit, TemperatureUnit

LABELS = {
    "title": "Name",
    "weight": "Weight",
    "pit": "Pit",
    "probes": "Probes",
    "target": "Done at",
    "glaze": "Glaze at",
    "wrap": "Wrap at",
    "meat": "Meat is at",
    "on_at": "Meat on",
    "meal": "Meal at",
    "rest": "Rest",
}
"""The typed fields in their order, and what stands before each."""


def heading(*, welcome: bool) -> str:
    """The words at the top; `welcome` where there is no cook in the file yet."""
    if welcome:
        return (
            "doneby says what time the meat will be done by. Say what you cook, then type "
            "readings as you take them. F9 shows an invented sample, F12 plans a day."
        )
    return "A new cook. Enter goes to the next field, F10 starts."


def cut_field(text: StartText) -> Select[str]:
    """The list of cuts."""
    return Select(cut_choices(), value=text.cut, allow_blank=False, compact=True, id="cut")


def units_field(text: StartText) -> Horizontal:
    """Degrees and weights."""
    degrees = tuple(f"°{unit.value}" for unit in TemperatureUnit)
    masses = tuple(unit.value for unit in MassUnit)
    return Horizontal(
        Choice(degrees, f"°{text.unit.value}", id="unit"),
        Choice(masses, text.mass_unit.value, id="mass-unit"),
        id="units",
    )


def typed_row(text: StartText, field: str, label: str) -> FormRow:
    """One typed field with its name."""
    box = Input(getattr(text, field), id=field, compact=True, select_on_focus=True)
    box.cursor_blink = False
    return FormRow(label, box, id=f"row-{field}")
