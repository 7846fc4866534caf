"""The start form: a minute to begin a cook, with the usual values of the cut filled in."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.message import Message
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Input, Select, Static

from app.display import Display
from app.presenters.start import (
    StartText,
    hints,
    present_outlook,
    with_cut,
    with_typed,
    with_units,
)
from app.presenters.start_reading import read_start
from app.presenters.words import sentence
from app.screens.forecaster import Forecaster, ForecastFailed, ForecastReady
from app.screens.kit import Kit
from app.screens.learned_note import LearnedNote, ask_learned
from app.screens.start_fields import LABELS, cut_field, heading, typed_row, units_field
from app.screens.writer import WriteDone, WriteFailed
from app.widgets.choice import Choice
from app.widgets.form_row import FormRow
from app.widgets.key_footer import KeyFooter
from core.cook import Cook, Shape
from core.units import MassUnit, TemperatureUnit
from storage.values import NewCook

SETTLE_S = 0.3
"""Pause in typing before the first forecast is made anew [s]."""


class StartScreen(Screen[None]):
    """Asks what is cooked; the first forecast shows as soon as it can be made.

    Parameters
    ----------
    kit : Kit
    text : StartText
        What the form begins with.
    welcome : bool
        There is no cook in the file yet.
    """

    CSS_PATH = "start.tcss"
    AUTO_FOCUS = "#cut"
    VERTICAL_BREAKPOINTS = [(0, "-low"), (30, "-high")]  # noqa: RUF012

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f10,ctrl+s", "begin", "start the cook", id="start.begin", priority=True),
        Binding("enter", "step(1, True)", "next field", show=False, priority=True),
        # at once, so that letters typed right after them land in the next field
        Binding("down", "step(1)", "next field", show=False, priority=True),
        Binding("up", "step(-1)", "field before", show=False, priority=True),
        Binding("tab", "app.focus_next", "next field", show=False, priority=True),
        Binding("shift+tab", "app.focus_previous", "field before", show=False, priority=True),
        Binding("escape", "back", "back", id="start.back"),
    ]

    class Begun(Message):
        """The cook is in the file."""

        def __init__(self, cook_id: int) -> None:
            super().__init__()
            self.cook_id = cook_id

    def __init__(self, kit: Kit, text: StartText, *, welcome: bool = False) -> None:
        super().__init__()
        self.kit, self.text, self.welcome = kit, text, welcome
        self.forecaster = Forecaster(self, kit.forecast_of_new(self._new))
        self._asked: NewCook | None = None
        self._first = self._note = ""
        self._timer: Timer | None = None
        self._filling = False

    def compose(self) -> ComposeResult:
        yield Static(heading(welcome=self.welcome), id="heading", markup=False)
        with VerticalScroll(id="form", can_focus=False):
            yield FormRow("Cut", cut_field(self.text), id="row-cut")
            with Container(id="other"):
                shapes = tuple(shape.value for shape in Shape)
                yield FormRow(
                    "Shape", Choice(shapes, self.text.shape.value, id="shape"), id="row-shape"
                )
                yield typed_row(self.text, "thickness", "Thickness")
            yield FormRow("Units", units_field(self.text), id="row-units")
            for field, label in LABELS.items():
                yield typed_row(self.text, field, label)
        yield Static("", id="outlook", markup=False)
        yield KeyFooter()

    def on_mount(self) -> None:
        self.query_one("#row-units", FormRow).hint = "left and right keys change them"
        self._show()

    @on(Input.Changed)
    def typed(self, event: Input.Changed) -> None:
        """A field changed by hand."""
        if not self._filling and event.input.id:
            self.text = with_typed(self.text, event.input.id, event.value)
            self._show()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter goes on from a field; a list of choices keeps it for itself."""
        if action == "step":
            return isinstance(self.focused, Input | Choice)
        if action == "back":
            return len(self.app.screen_stack) > 2
        return True

    @on(Select.Changed, "#cut")
    def cut_changed(self, event: Select.Changed) -> None:
        """Fill in what is usual for the cut."""
        if isinstance(event.value, str) and event.value != self.text.cut:
            self._fill(with_cut(self.text, event.value))

    @on(Choice.Changed)
    def choice_changed(self, event: Choice.Changed) -> None:
        """Another unit or shape."""
        if event.choice.id == "shape":
            self.text = replace(self.text, shape=Shape(event.value))
            self._show()
            return
        unit = TemperatureUnit(self.query_one("#unit", Choice).value.strip("°"))
        mass_unit = MassUnit(self.query_one("#mass-unit", Choice).value)
        self._fill(with_units(self.text, unit, mass_unit))

    def _fill(self, text: StartText) -> None:
        """Put values into the fields without taking them for typing."""
        self.text = text
        with self.prevent(Input.Changed):
            for box in self.query(Input):
                if box.id:
                    box.value = getattr(text, box.id)
        self._show()

    def _show(self) -> None:
        """Hints and messages of all fields, and the first forecast when it can be made."""
        reading = read_start(self.text, self.kit.clock(), self.kit.zone)
        words = hints(self.text)
        for row in self.query(FormRow):
            field = (row.id or "").removeprefix("row-")
            row.hint = words.get(field, row.hint)
            row.error = reading.errors.get(field, "")
        self.query_one("#other").display = self.text.cut == "other"
        if reading.new is None:
            # the rows have room for a line at most: the first complaint stands here in full
            first = next((c for row in self.query(FormRow) if (c := row.complaint)), "")
            waits = "The first forecast shows when every field can be read."
            self._say(f"{first} {waits}".lstrip(), stale=True)
            return
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(SETTLE_S, self._ask)

    def _ask(self) -> None:
        new = read_start(self.text, self.kit.clock(), self.kit.zone).new
        if new is None:
            return
        self._asked = new
        self._first = self._note = ""
        self._say("Working out the first forecast ...", stale=True)
        self.forecaster.ask(Cook(new.plan, new.probes), 0.0)
        if self.kit.learning is not None:
            ask_learned(self, self.kit.learning, new)

    def _new(self) -> NewCook:
        """The cook that the last forecast was asked for."""
        assert self._asked is not None  # noqa: S101  asked for before the forecast is
        return self._asked

    @on(LearnedNote)
    def learned(self, event: LearnedNote) -> None:
        """Say beside the first forecast what own cooks have to do with it."""
        if event.new is self._asked:
            self._note = sentence(event.words)
            if self._first:
                self._say(f"{self._first} {self._note}")

    @on(ForecastReady)
    @on(ForecastFailed)
    def forecast_done(self, event: ForecastReady | ForecastFailed) -> None:
        """Show what the prior says."""
        if not self.forecaster.is_newest(event.revision) or self._asked is None:
            return
        if isinstance(event, ForecastFailed):
            self._say(f"No forecast: {event.reason}. The cook can be started all the same.")
            return
        display = Display(self._asked.unit, self._asked.mass_unit, self.kit.zone)
        self._first = present_outlook(self._asked, event.forecast, self.kit.clock(), display)
        self._say(f"{self._first} {self._note}".rstrip())

    def _say(self, words: str, *, stale: bool = False) -> None:
        outlook = self.query_one("#outlook", Static)
        outlook.update(words)
        outlook.set_class(stale, "-stale")

    def action_step(self, step: int, starts: bool = False) -> None:
        """To the field below or above; Enter on the last one starts the cook."""
        if starts and self.focused is not None and self.focused.id == "rest":
            self.action_begin()
        elif step > 0:
            self.focus_next()
        else:
            self.focus_previous()

    def action_begin(self) -> None:
        """Start the cook, when the keys typed before this one have arrived."""
        (self.focused or self).call_later(self._begin)

    def _begin(self) -> None:
        """Put the cook into the file."""
        for box in self.query(Input):
            if box.id:
                self.text = with_typed(self.text, box.id, box.value)
        reading = read_start(self.text, self.kit.clock(), self.kit.zone)
        if reading.new is None:
            field = next(iter(reading.errors))
            self.query_one(f"#{field}").focus()
            return
        new = reading.new
        self.kit.writer.submit(self, "start", lambda: self.kit.store.create_cook(new))

    @on(WriteDone)
    @on(WriteFailed)
    def written(self, event: WriteDone | WriteFailed) -> None:
        """The cook is committed: open it. If not, say why; the form stays as it is."""
        if isinstance(event, WriteFailed):
            self._say(f"Not saved: {event.reason}")
        elif isinstance(event.result, int):
            self.post_message(self.Begun(event.result))

    def action_back(self) -> None:
        """Leave the form for what was there before."""
        self.dismiss()
