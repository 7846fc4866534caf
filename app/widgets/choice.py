"""A small choice in one row: all options are seen, the arrow keys or the mouse pick one."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget


class Choice(Widget, can_focus=True):
    """Two to five short options beside each other. Posts `Changed`."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "Earlier option", show=False),
        Binding("right,space", "step(1)", "Next option", show=False),
    ]

    COMPONENT_CLASSES = {"choice--picked", "choice--other"}  # noqa: RUF012

    DEFAULT_CSS = """
    Choice {
        height: 1;
        width: auto;
        & > .choice--picked { color: $ink; text-style: bold underline; }
        & > .choice--other { color: $ink-quiet; }
        &:focus { background: $panel; }
    }
    """

    picked: reactive[int] = reactive(0)

    class Changed(Message):
        """Another option was picked."""

        def __init__(self, choice: Choice, value: str) -> None:
            super().__init__()
            self.choice, self.value = choice, value

        @property
        def control(self) -> Choice:
            """The choice that changed."""
            return self.choice

    def __init__(self, options: tuple[str, ...], picked: str, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.options = options
        self.set_reactive(Choice.picked, options.index(picked))

    @property
    def value(self) -> str:
        """The option that is picked."""
        return self.options[self.picked]

    def render(self) -> Text:
        text = Text(no_wrap=True)
        for index, option in enumerate(self.options):
            name = "picked" if index == self.picked else "other"
            # brackets carry the choice where there is no colour
            words = f"[{option}]" if index == self.picked else f" {option} "
            text.append(words, self.get_component_rich_style(f"choice--{name}", partial=True))
        return text

    def get_content_width(self, container: object, viewport: object) -> int:
        """All options beside each other."""
        return sum(len(option) + 2 for option in self.options)

    def watch_picked(self) -> None:
        self.post_message(self.Changed(self, self.value))

    def action_step(self, step: int) -> None:
        """The option beside this one, round and round."""
        self.picked = (self.picked + step) % len(self.options)

    def on_click(self, event: events.Click) -> None:
        left = 0
        for index, option in enumerate(self.options):
            if left <= event.x < left + len(option) + 2:
                self.picked = index
            left += len(option) + 2
