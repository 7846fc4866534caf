"""The Dayline's form: what is wished for, with the day that it gives as soon as it can be read."""

from __future__ import annotations

import logging
from dataclasses import replace
from functools import partial

from textual import on
from textual.message import Message
from textual.timer import Timer
from textual.widgets import Input, Select, Static

from app.day_book import OpenDay, Planner, change_day, save_day
from app.day_wish import KeptWish
from app.display import Display
from app.presenters.day_form import (
    DayText,
    day_hints,
    for_cut,
    in_units,
    present_first_plan,
    read_day_form,
    typed_into,
)
from app.screens.day_form_fields import DayFormFields
from app.screens.day_screen import day_forecast
from app.screens.kit import Kit
from app.screens.writer import WriteDone, WriteFailed
from app.widgets.choice import Choice
from app.widgets.form_row import FormRow
from core.cook import Shape
from core.day_values import Brine, Dayline
from core.errors import CoreError
from core.thaw import MeatState
from core.units import MassUnit, TemperatureUnit

log = logging.getLogger(__name__)

SETTLE_S = 0.3
"""Pause in typing before the day is laid out anew [s]."""


class FirstPlan(Message):
    """The day of a form is laid out; `failed` says why it could not be."""

    def __init__(self, revision: int, day: Dayline | None, failed: str = "") -> None:
        super().__init__()
        self.revision, self.day, self.failed = revision, day, failed


class DayFormScreen(DayFormFields):
    """Asks what is wished for, and keeps it.

    Parameters
    ----------
    kit : Kit
    text : DayText
        What the form begins with.
    opened : OpenDay or None
        The saved day that is changed; None for a new one.
    """

    class Kept(Message):
        """The day is in the file."""

        def __init__(self, day_id: int) -> None:
            super().__init__()
            self.day_id = day_id

    def __init__(self, kit: Kit, text: DayText, opened: OpenDay | None = None) -> None:
        super().__init__(text)
        self.kit, self.opened = kit, opened
        self._planner = Planner(day_forecast(kit))
        self._timer: Timer | None = None
        self._revision = 0

    def on_mount(self) -> None:
        self.query_one("#row-units", FormRow).hint = "left and right keys change them"
        self._show()

    @on(Input.Changed)
    def typed(self, event: Input.Changed) -> None:
        """A field changed by hand."""
        if event.input.id:
            self.text = typed_into(self.text, event.input.id, event.value)
            self._show()

    @on(Select.Changed, "#cut")
    def cut_changed(self, event: Select.Changed) -> None:
        """Fill in what is usual for the cut."""
        if isinstance(event.value, str) and event.value != self.text.piece.cut:
            self._fill(for_cut(self.text, event.value))

    @on(Choice.Changed)
    def choice_changed(self, event: Choice.Changed) -> None:
        """Another unit, shape, state or brine."""
        if event.choice.id == "state":
            self.text = replace(self.text, state=MeatState(event.value))
        elif event.choice.id == "brine":
            self.text = replace(self.text, brine=Brine(event.value))
        elif event.choice.id == "shape":
            piece = replace(self.text.piece, shape=Shape(event.value))
            self.text = replace(self.text, piece=piece)
        else:
            unit = TemperatureUnit(self.query_one("#unit", Choice).value.strip("°"))
            mass_unit = MassUnit(self.query_one("#mass-unit", Choice).value)
            self._fill(in_units(self.text, unit, mass_unit))
            return
        self._show()

    def _fill(self, text: DayText) -> None:
        """Put values into the fields without taking them for typing."""
        self.text = text
        with self.prevent(Input.Changed):
            for box in self.query(Input):
                if box.id:
                    box.value = text.field(box.id)
        self._show()

    def _read(self) -> tuple[KeptWish | None, dict[str, str]]:
        reading = read_day_form(self.text, self.kit.clock(), self.kit.zone)
        return reading.kept, reading.errors

    def _show(self) -> None:
        """Hints and messages of all fields, and the day when it can be laid out."""
        kept, errors = self._read()
        words = day_hints(self.text)
        for row in self.query(FormRow):
            field = (row.id or "").removeprefix("row-")
            row.hint = words.get(field, row.hint)
            row.error = errors.get(field, "")
        self.query_one("#other").display = self.text.piece.cut == "other"
        if kept is None:
            # the rows have room for a line at most: the first complaint stands here in full
            first = next((c for row in self.query(FormRow) if (c := row.complaint)), "")
            self._say(f"{first} The day shows when every field can be read.".lstrip(), stale=True)
            return
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(SETTLE_S, self._ask)

    def _ask(self) -> None:
        kept, _ = self._read()
        if kept is None:
            return
        self._revision += 1
        self._say("Laying out the day ...", stale=True)
        self.run_worker(partial(self._plan, self._revision, kept), group="plan", thread=True,
                        exclusive=True, exit_on_error=False)  # fmt: skip

    def _plan(self, revision: int, kept: KeptWish) -> None:
        try:
            day = self._planner.plan_wish(kept.wish)
        except CoreError as error:
            self.post_message(FirstPlan(revision, None, str(error)))
        except Exception as error:
            log.exception("the day of the form was not laid out")
            self.post_message(FirstPlan(revision, None, f"{type(error).__name__}: {error}"))
        else:
            self.post_message(FirstPlan(revision, day))

    @on(FirstPlan)
    def planned(self, event: FirstPlan) -> None:
        """Show the newest plan."""
        if event.revision != self._revision:
            return
        if event.day is None:
            self._say(f"Not laid out: {event.failed}. The day can be kept all the same.")
            return
        piece = self.text.piece
        display = Display(piece.unit, piece.mass_unit, self.kit.zone)
        self._say(present_first_plan(event.day, display))

    def _say(self, words: str, *, stale: bool = False) -> None:
        outlook = self.query_one("#outlook", Static)
        outlook.update(words)
        outlook.set_class(stale, "-stale")

    def action_keep(self) -> None:
        """Keep the day, when the keys typed before this one have arrived."""
        (self.focused or self).call_later(self._keep)

    def _keep(self) -> None:
        for box in self.query(Input):
            if box.id:
                self.text = typed_into(self.text, box.id, box.value)
        kept, errors = self._read()
        if kept is None:
            self._show()
            self.query_one(f"#{next(iter(errors))}").focus()
            return
        store, opened, now = self.kit.store, self.opened, self.kit.clock()

        def job() -> int:
            if opened is None:
                return save_day(store, kept, now)
            change_day(store, opened, kept)
            return opened.saved.id

        self.kit.writer.submit(self, "day", job)

    @on(WriteDone)
    def written(self, event: WriteDone) -> None:
        """The day is committed: open it."""
        if isinstance(event.result, int):
            self.post_message(self.Kept(event.result))

    @on(WriteFailed)
    def not_written(self, event: WriteFailed) -> None:
        """Say why; the form stays as it is."""
        self._say(f"Not saved: {event.reason}")
