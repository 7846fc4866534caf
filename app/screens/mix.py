"""Brines, rubs and glazes: typed line by line, weighed up at once, kept on a list or a cook."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import Screen
from textual.widgets import Input, Select, Static, TextArea

from app.day_wish import DayMix
from app.display import Display
from app.line.fields import read_mass_kg
from app.line.values import Refusal
from app.mix_lines import MixText, read_mix
from app.presenters.mix import KINDS, STANDING, guessed_kind, mix_text, present_mix
from app.screens.kit import Kit
from app.screens.writer import WriteDone, WriteFailed
from app.widgets.choice import Choice
from app.widgets.form_row import FormRow
from app.widgets.key_footer import KeyFooter
from core.cook import Plan
from core.errors import InvalidValue
from storage.values import Mix

AUTO = "auto"
HEADING = "Brine, rub or glaze: one ingredient a line, such as 120 g salt or ½ cup brown sugar."
HINTS = {
    "name": "what to call it on your list",
    "meat": "the meat it is for, such as 3 kg or 7 lb",
    "scale": "for this weight; Enter changes the lines",
}


def _input(name: str, value: str) -> Input:
    box = Input(value, id=name, compact=True, select_on_focus=True)
    box.cursor_blink = False
    return box


def _named(mixes: tuple[Mix, ...], name: str) -> Mix | None:
    """The mix of the list that is called so, in capitals or not."""
    return next((mix for mix in mixes if mix.name.casefold() == name.casefold()), None)


@dataclass(frozen=True, slots=True)
class Keeper:
    """What a copy of a mix is kept with: ``the cook`` or ``the day``."""

    name: str
    keep: Callable[[DayMix], object]
    kept: Callable[[], tuple[DayMix, ...]]


class MixScreen(Screen[None]):
    """One mix at a time.

    Parameters
    ----------
    kit : Kit
    display : Display
    plan : Plan or None
        The piece that soaks, for the time.
    keeper : Keeper or None
        What a copy can be kept with: a cook, or a day that is planned.
    """

    CSS_PATH = "mix.tcss"
    AUTO_FOCUS = "#lines"
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-high")]  # noqa: RUF012

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f10,ctrl+s", "keep", "keep on the list", id="mix.keep", priority=True),
        Binding("f5", "keep_copy", "keep with it", id="mix.copy", priority=True),
        Binding("f2", "forget", "off the list", id="mix.forget", priority=True),
        Binding("escape", "dismiss", "back", id="mix.back"),
    ]

    def __init__(
        self, kit: Kit, display: Display, plan: Plan | None = None, keeper: Keeper | None = None
    ) -> None:
        super().__init__()
        self.kit, self.units, self.plan, self.keeper = kit, display, plan, keeper
        self._mixes: tuple[Mix, ...] = ()

    def compose(self) -> ComposeResult:
        keeps = "" if self.keeper is None else f" F5 keeps a copy with {self.keeper.name}."
        yield Static(f"{HEADING}{keeps}", id="heading", markup=False)
        with Vertical(id="fields"):
            listed: Select[DayMix] = Select([], prompt="none", compact=True, id="listed")
            yield FormRow("List", listed, id="row-listed")
            yield FormRow("Name", _input("name", ""), id="row-name")
            yield FormRow("Kind", Choice((AUTO, *KINDS), AUTO, id="kind"), id="row-kind")
            meat = "" if self.plan is None else self.units.mass(self.plan.mass_kg)
            yield FormRow("Meat", _input("meat", meat), id="row-meat")
            yield FormRow("Scale to", _input("scale", ""), id="row-scale")
        area = TextArea("", id="lines", compact=True, show_line_numbers=True)
        area.cursor_blink = False
        yield area
        with VerticalScroll(id="result"):
            yield Static("", id="result-text", markup=False)
        yield Static(STANDING, id="standing", markup=False)
        yield Static("", id="say", markup=False)
        yield KeyFooter()

    def on_mount(self) -> None:
        for field, words in HINTS.items():
            self.query_one(f"#row-{field}", FormRow).hint = words
        self.query_one("#row-listed", FormRow).hint = "one of your own, to begin with"
        self._load_list()
        self._show()

    def _load_list(self) -> None:
        self._mixes = self.kit.store.mixes.all()
        own = [DayMix(mix.name, mix.kind, mix.lines, mix.meat_kg) for mix in self._mixes]
        options = [(mix.name, mix) for mix in own]
        if self.keeper is not None:
            with_it = f"with {self.keeper.name}"
            options += [(f"{mix.name}, {with_it}", mix) for mix in self.keeper.kept()]
        listed = self.query_one("#listed", Select)
        with self.prevent(Select.Changed):
            listed.set_options(options)

    @property
    def name_typed(self) -> str:
        """What the mix is called."""
        return " ".join(self.query_one("#name", Input).value.split())

    @property
    def mix(self) -> MixText:
        """The lines as they are read now."""
        return read_mix(self.query_one(TextArea).text.splitlines())

    def _mass(self, field: str) -> float | None:
        """A weight of meat; None if it is not said or cannot be read."""
        text = self.query_one(f"#{field}", Input).value
        row = self.query_one(f"#row-{field}", FormRow)
        row.error = ""
        if not text.strip():
            return None
        try:
            return read_mass_kg(text, self.units.mass_unit)
        except Refusal as refusal:
            row.error = refusal.error.allowed
            return None

    def kind_of(self, mix: MixText) -> str:
        """What it is, as picked or by what is in it."""
        picked = self.query_one("#kind", Choice).value
        return guessed_kind(mix) if picked == AUTO else picked

    @on(TextArea.Changed)
    @on(Input.Changed, "#meat")
    @on(Choice.Changed)
    def _show(self) -> None:
        """Weigh up what is typed."""
        mix = self.mix
        view = present_mix(mix, self.units, kind=self.kind_of(mix), meat_kg=self._mass("meat"),
                           plan=self.plan)  # fmt: skip
        typed = mix.lines or mix.errors
        words = mix_text(view, ingredients=False) if typed else "Nothing typed yet."
        self.query_one("#result-text", Static).update(words)
        self.refresh_bindings()

    @on(Select.Changed, "#listed")
    def chosen(self, event: Select.Changed) -> None:
        """Begin with one of the list."""
        mix = event.value
        if not isinstance(mix, DayMix):
            return
        self.query_one("#name", Input).value = mix.name
        kind = self.query_one("#kind", Choice)
        kind.picked = kind.options.index(mix.kind)
        meat = "" if mix.meat_kg is None else self.units.mass(mix.meat_kg)
        self.query_one("#meat", Input).value = meat
        self.query_one(TextArea).text = "\n".join(mix.lines)

    @on(Input.Submitted, "#scale")
    def scale(self) -> None:
        """The same mix for another weight of meat."""
        wanted, meat_kg, mix = self._mass("scale"), self._mass("meat"), self.mix
        if wanted is None or mix.errors:
            return
        if meat_kg is None:
            self.query_one("#row-scale", FormRow).error = "say first what weight it is for now"
            return
        try:
            scaled = mix.scaled(wanted / meat_kg)
        except InvalidValue as error:
            self.query_one("#row-scale", FormRow).error = str(error)
            return
        self.query_one(TextArea).text = "\n".join(scaled.texts)
        self.query_one("#meat", Input).value = self.units.mass(wanted)
        self.query_one("#scale", Input).value = ""

    # keeping

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        if action == "keep_copy":
            return self.keeper is not None
        if action == "forget" and self.is_mounted:
            return _named(self._mixes, self.name_typed) is not None
        return True

    def _complete(self) -> MixText | None:
        """The mix if it can be kept; else says what is missing."""
        mix = self.mix
        if mix.errors or not mix.lines:
            self._say("not kept: " + (mix.errors[0][1] if mix.errors else "no ingredients yet"))
            return None
        return mix

    def action_keep(self) -> None:
        """On the personal list."""
        mix, name = self._complete(), self.name_typed
        if mix is None:
            return
        if not name:
            self._say("not kept: it needs a name")
            self.query_one("#name", Input).focus()
            return
        kind, meat_kg, now = self.kind_of(mix), self._mass("meat"), self.kit.clock()
        job = lambda: self.kit.store.mixes.save(name, kind, mix.texts, meat_kg, now)  # noqa: E731
        self.kit.writer.submit(self, f"kept on the list as '{name}'", job)

    def action_keep_copy(self) -> None:
        """A copy that stays with the cook, or with the day until its cook is begun."""
        mix, keeper = self._complete(), self.keeper
        if mix is None or keeper is None:
            return
        kind = self.kind_of(mix)
        copy = DayMix(self.name_typed or kind, kind, mix.texts, self._mass("meat"))
        self.kit.writer.submit(
            self, f"kept with {keeper.name} as '{copy.name}'", lambda: keeper.keep(copy)
        )

    def action_forget(self) -> None:
        """Off the list; what is typed stays."""
        mix = _named(self._mixes, self.name_typed)
        if mix is not None:
            job = lambda: self.kit.store.mixes.delete(mix.id)  # noqa: E731
            self.kit.writer.submit(self, f"'{mix.name}' is off the list", job)

    @on(WriteDone)
    def written(self, event: WriteDone) -> None:
        """The file has it."""
        self._load_list()
        self._say(event.kind)
        self.refresh_bindings()

    @on(WriteFailed)
    def not_written(self, event: WriteFailed) -> None:
        """Nothing is in the file."""
        self._say(f"not kept: {event.reason}")

    def _say(self, words: str) -> None:
        self.query_one("#say", Static).update(words)
