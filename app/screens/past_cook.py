"""A past cook on the screen its lines were typed on: to read them, and to correct them."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from app.screens.tend import Mode, TendScreen


class PastCookScreen(TendScreen):
    """The live screen over a look back: Esc returns there.

    A corrected line stays beside what it was, as in a cook under way; ``undo`` takes a correction
    back, and ``reopen`` takes the whole cook up again.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "back", id="past.leave"),
    ]

    def ask_forecast(self) -> None:
        """None is needed: the look back has what the model says, and old lines are not odd."""

    def on_mount(self) -> None:
        # the base classes' handlers run as well
        self.action_mode(Mode.PICK.value)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Leaving is always offered."""
        return True if action == "leave" else super().check_action(action, parameters)

    def action_leave(self) -> None:
        """Back from a mode; from the screen itself to the look back."""
        if self.mode is Mode.WRITE and not self.has_class("-patio"):
            self.dismiss()
            return
        super().action_leave()
