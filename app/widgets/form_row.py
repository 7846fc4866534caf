"""One row of a form: its name, the field, and what it is for or what is wrong with it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets import Static


class FormRow(Horizontal):
    """Paints its hint, or an error in its place."""

    DEFAULT_CSS = """
    FormRow {
        height: 1;
        & > .form-label { width: 11; color: $ink; text-style: bold; }
        & > .form-field { width: 20; }
        & > .form-hint { width: 1fr; height: 1; padding: 0 0 0 2; color: $ink-quiet; }
        &.-bad > .form-hint { color: $mark-late; text-style: bold; }
        & Input { height: 1; border: none; padding: 0 1; background: $panel; color: $ink; }
        & Input:focus { background: $panel; border: none; text-style: bold; }
        & .form-field:focus { background: $ink-rule; }
    }
    """

    hint: reactive[str] = reactive("")
    error: reactive[str] = reactive("")

    def __init__(self, label: str, field: Widget, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._label, self._field = label, field
        field.add_class("form-field")

    @property
    def complaint(self) -> str:
        """What is wrong with the field, in full and with its name; empty if nothing is."""
        return f"{self._label}: {self.error}." if self.error else ""

    def compose(self) -> ComposeResult:
        yield Static(self._label, classes="form-label", markup=False)
        yield self._field
        yield Static("", classes="form-hint", markup=False)

    def on_mount(self) -> None:
        self._show()

    def watch_hint(self) -> None:
        self._show()

    def watch_error(self) -> None:
        self._show()

    def _show(self) -> None:
        if self.is_mounted:
            words = f"! {self.error}" if self.error else self.hint
            self.query_one(".form-hint", Static).update(words)
            self.set_class(bool(self.error), "-bad")
