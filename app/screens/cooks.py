"""Past cooks: a list to reopen or to look back at one."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import Screen
from textual.widgets import DataTable, Footer, Static

from app.display import Display
from app.presenters.cooks import HEADINGS, present_cooks
from app.screens.kit import Kit
from core.units import MassUnit, TemperatureUnit


class CooksScreen(Screen[None]):
    """All cooks of the file, newest first."""

    CSS_PATH = "cooks.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "open", show=True, id="cooks.open"),
        Binding("escape,f3", "dismiss", "back", key_display="Esc", id="cooks.back"),
    ]

    class Chosen(Message):
        """A cook is to be shown."""

        def __init__(self, cook_id: int) -> None:
            super().__init__()
            self.cook_id = cook_id

    def __init__(self, kit: Kit, unit: TemperatureUnit, mass_unit: MassUnit) -> None:
        super().__init__()
        self.kit, self._unit, self._mass_unit = kit, unit, mass_unit

    def compose(self) -> ComposeResult:
        yield Static("Past cooks, newest first", id="heading", markup=False)
        table: DataTable[Text] = DataTable(cursor_type="row", cell_padding=1)
        for heading in HEADINGS:
            table.add_column(heading)
        yield table
        yield Static("", id="say", markup=False)
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        table = self.query_one(DataTable)
        display = Display(self._unit, self._mass_unit, self.kit.zone)
        rows = present_cooks(self.kit.store.cooks(), self.kit.clock(), display, self.app.size.width)
        for row in rows:
            # cells are Text: a plain string would be read as markup
            table.add_row(*(Text(cell) for cell in row.cells), key=str(row.cook_id))
        words = "No cook is in the file yet." if not rows else f"{len(rows)} in all"
        self.query_one("#say", Static).update(words)
        table.focus()

    @on(DataTable.RowSelected)
    def chosen(self, event: DataTable.RowSelected) -> None:
        """Show that cook."""
        if event.row_key.value is not None:
            self.post_message(self.Chosen(int(event.row_key.value)))
