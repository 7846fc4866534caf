"""The screens of doneby: wiring, keys that work everywhere, and a clean end."""

from __future__ import annotations

import asyncio
import logging
import os
import tempfile
from collections.abc import Callable, Iterable
from datetime import datetime, tzinfo
from functools import partial
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.screen import Screen

from app.commands import COMMANDS
from app.day_app import DAY_SCREENS, DayApp
from app.demo import Demo
from app.display import span
from app.hangup import GONE, driver_class, end_on_signals, terminal_is_gone
from app.lately import leftovers_are_out
from app.learned import Learning
from app.leaving import LooseExecutor, leave
from app.localtime import SYSTEM_ZONE, system_clock
from app.logs import log_path, log_to, stop_log
from app.presenters.alerts import AlertKind
from app.presenters.start import FIRST_CUT, usual
from app.presenters.tend import Notice
from app.presenters.views import Mark
from app.samples import USUAL_SAMPLE, sample_files
from app.screen_state import ScreenState, load_state, save_state
from app.screens.compare import CompareScreen
from app.screens.cook_screen import CookScreen
from app.screens.day_help import DayHelpScreen
from app.screens.forecaster import ForecastFunction, core_forecast
from app.screens.help import HelpScreen
from app.screens.kit import Kit
from app.screens.ledger import LedgerScreen
from app.screens.ledger_help import LedgerHelpScreen
from app.screens.mix import MixScreen
from app.screens.outcome import OutcomeScreen
from app.screens.past_cook import PastCookScreen
from app.screens.replay import Replay, ReplayScreen, open_replay
from app.screens.review import ReviewScreen
from app.screens.start import StartScreen
from app.screens.tend import TendScreen
from app.screens.writer import Writer
from app.settings import usual_units
from app.themes import DUSK, NOON, THEMES, variable_defaults, without_colour
from storage.documents import read_document
from storage.store import open_store

log = logging.getLogger(__name__)

Clock = Callable[[], datetime]

AWAY_S = 120.0
"""Away for longer than this is worth a line [s]."""

SEEN_EVERY_S = 60.0
"""How often the screens note that they are alive [s]."""

TERMINAL_EVERY_S = 2.0
"""How often the screens make sure that there is a terminal [s]."""


LEDGER_SCREENS = (LedgerScreen, ReviewScreen, CompareScreen, PastCookScreen, OutcomeScreen)
"""Behind these lies the Ledger already."""


class DonebyApp(DayApp):
    """All screens over one data file.

    Parameters
    ----------
    kit : Kit
    state : ScreenState
        What the last run left.
    data : Path or None
        The data file, beside which the state is kept; None keeps none.
    demo : Demo or None
        Replay this sample instead of opening the cook in hand.
    watch_terminal : bool
        End when the terminal goes away.
    """

    TITLE = "doneby"
    ENABLE_COMMAND_PALETTE = True
    # the palette's picture of a lens is two cells wide on some terminals and a box on others
    CSS = "CommandPalette SearchIcon { display: none; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "help", "help", id="app.help"),
        Binding("f3", "ledger", "ledger", id="app.ledger"),
        Binding("f4", "new", "new", id="app.new"),
        Binding("f8", "palette", "light", id="app.palette"),
        Binding("f9", "sample", "sample", id="app.sample", show=False),
        Binding("f12,ctrl+t", "dayline", "day", key_display="F12", id="app.dayline"),
        Binding("ctrl+q", "quit", "quit", id="app.quit", priority=True),
    ]

    def __init__(
        self,
        kit: Kit,
        *,
        state: ScreenState | None = None,
        data: Path | None = None,
        demo: Demo | None = None,
        watch_terminal: bool = False,
    ) -> None:
        super().__init__(driver_class=driver_class())
        self.watch_terminal = watch_terminal
        self.loop: asyncio.AbstractEventLoop | None = None
        self.executor: LooseExecutor | None = None
        self.kit, self.data, self.demo = kit, data, demo
        self._replays: list[Replay] = []
        self.state = state or ScreenState()
        for kind in AlertKind:
            if kind.value in self.state.alerts_off:
                kit.alerts.switch(kind, on=False)
        kit.alerts.quiet_until = self.state.snoozed_until(kit.clock())
        for theme in THEMES:
            self.register_theme(without_colour(theme) if self.no_color else theme)
        names = {theme.name for theme in THEMES}
        self.theme = self.state.theme if self.state.theme in names else DUSK.name

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variable_defaults()

    def get_key_display(self, binding: Binding) -> str:
        """Keys as they are printed on a keyboard."""
        shown = super().get_key_display(binding)
        return shown.upper() if shown[:1] in ("f", "^") else shown.capitalize()

    def on_mount(self) -> None:
        self.loop = asyncio.get_running_loop()
        if self.executor is not None:
            self.loop.set_default_executor(self.executor)
        if self.watch_terminal:
            self.set_interval(TERMINAL_EVERY_S, self._check_terminal)
        if self.demo is not None:
            self.push_screen(self._replay_screen(self.demo))
            return
        self._open_cook_in_hand()
        self._note_seen()
        self.set_interval(SEEN_EVERY_S, self._note_seen)

    # what is open

    def _open_cook_in_hand(self) -> None:
        saved = self.kit.store.cook_in_hand()
        left = None if saved is not None else leftovers_are_out(self.kit.store, self.kit.clock())
        if left is not None:
            self.push_screen(TendScreen(self.kit, left))
            return
        if saved is None:
            empty = not self.kit.store.cooks() and not self.kit.store.days.all()
            self.push_screen(self._start_screen(welcome=True) if empty else self.day_screen())
            return
        notices = [*self.also_on(saved.id)]
        if self.kit.store.notice:
            notices.append(Notice(self.kit.store.notice, Mark.SOON))
        now = self.kit.clock()
        away_s = self.state.away_s(now)
        if away_s is not None and away_s >= AWAY_S and saved.lines:
            gone = span(min(away_s, (now - saved.started_at).total_seconds()))
            words = f"Back after {gone} away, with every line. Read the thermometers."
            notices.append(Notice(words, Mark.NOW, stays=True))
        self.push_screen(TendScreen(self.kit, saved, notices=tuple(notices)))

    def _start_screen(self, *, welcome: bool = False) -> StartScreen:
        unit, mass_unit = usual_units(self.kit.store, os.environ)
        return StartScreen(self.kit, usual(FIRST_CUT, unit, mass_unit), welcome=welcome)

    def show_cook(self, cook_id: int) -> None:
        """Put one cook on the screen in the place of whatever is there."""
        saved = self.kit.store.cook(cook_id)
        while len(self.screen_stack) > 1:
            self.pop_screen()
        self.push_screen(TendScreen(self.kit, saved, notices=self.also_on(cook_id)))

    @on(StartScreen.Begun)
    def cook_begun(self, event: StartScreen.Begun) -> None:
        """A cook was begun."""
        self.show_cook(event.cook_id)

    @on(LedgerScreen.Chosen)
    def cook_chosen(self, event: LedgerScreen.Chosen) -> None:
        """A cook was picked from the Ledger: live on its screen, or looked back at."""
        if event.live:
            self.show_cook(event.cook_id)
        else:
            self.push_screen(ReviewScreen(self.kit, event.cook_id))

    @on(LedgerScreen.Compare)
    def cooks_compared(self, event: LedgerScreen.Compare) -> None:
        """Cooks were picked to be set side by side."""
        units = usual_units(self.kit.store, os.environ)
        self.push_screen(CompareScreen(self.kit, event.cook_ids, *units))

    def _replay_screen(self, demo: Demo) -> ReplayScreen:
        """A replay on a data file of its own, gone when the program ends."""
        replay = open_replay(demo, self.kit)
        self._replays.append(replay)
        return ReplayScreen(replay.kit, replay.saved, demo, replay.clock)

    def close_replays(self) -> None:
        """Remove the data files of the replays; nothing writes to them any more."""
        for replay in self._replays:
            replay.close()

    # keys that work everywhere

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A demo has no cooks of its own; a list or a card is not opened twice."""
        if action == "ledger" and isinstance(self.screen, StartScreen):
            # with no cook in hand the program begins here, and the last one is not lost
            return not self.screen.welcome
        if action in ("ledger", "new", "sample"):
            closed: tuple[type, ...] = (HelpScreen, StartScreen, ReplayScreen, *LEDGER_SCREENS)
            if action == "sample":
                closed = (HelpScreen, ReplayScreen)
            return self.demo is None and not isinstance(self.screen, closed)
        if action == "dayline":
            busy = (HelpScreen, DayHelpScreen, ReplayScreen, MixScreen, *DAY_SCREENS)
            return self.demo is None and not isinstance(self.screen, busy)
        if action == "help":
            return not isinstance(self.screen, HelpScreen)
        return True

    def action_help(self) -> None:
        """The card."""
        if isinstance(self.screen, LEDGER_SCREENS) and not isinstance(self.screen, CookScreen):
            self.push_screen(LedgerHelpScreen())
            return
        cautions: tuple[str, ...] = ()
        if isinstance(self.screen, CookScreen):
            cautions = self.screen.live.answers(self.screen.kit.clock()).cautions
        self.push_screen(HelpScreen(cautions))

    def action_ledger(self) -> None:
        """The list of past cooks."""
        self.push_screen(LedgerScreen(self.kit))

    def action_new(self) -> None:
        """The start form."""
        self.push_screen(self._start_screen())

    def action_sample(self) -> None:
        """An invented cook, replayed."""
        path = sample_files().get(USUAL_SAMPLE)
        if path is None:
            self.notify("The samples are not installed.", markup=False)
            return
        self.push_screen(self._replay_screen(Demo(read_document(path))))

    def action_palette(self, name: str = "") -> None:
        """One of our palettes, or the other one; it is kept for the next time."""
        other = NOON.name if self.theme == DUSK.name else DUSK.name
        self.theme = name or other
        self._note_seen()

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Every action by name, for the command palette."""
        for title, words, action in COMMANDS:
            name, _, _ = action.partition("(")
            owner: App[None] | Screen[object] = screen
            if action.startswith("app."):
                owner, name = self, name.removeprefix("app.")
            if not hasattr(owner, f"action_{name}"):
                continue
            yield SystemCommand(title, words, partial(self.run_command, action))

    async def run_command(self, action: str) -> None:
        """Run a command on the screen that is shown."""
        await self.screen.run_action(action)

    # ending

    def _check_terminal(self) -> None:
        """A terminal that is gone will not come back."""
        if terminal_is_gone():
            self.exit(return_code=GONE)

    @on(CookScreen.ChoicesChanged)
    def _note_seen(self) -> None:
        """Remember the palette and the alerts, and that the screens are alive."""
        off = tuple(sorted(self.kit.alerts.off))
        quiet = self.kit.alerts.quiet_until
        until = "" if quiet is None else quiet.isoformat()
        self.state = ScreenState(self.theme, self.kit.clock().isoformat(), off, until)
        if self.data is not None and self.demo is None:
            try:
                save_state(self.data, self.state)
            except OSError as error:
                log.warning("the state of the screens was not saved: %s", error)

    def _fatal_error(self) -> None:
        """End with one plain line; what went wrong is in the log file."""
        error = self._exception
        log.error("the screens failed", exc_info=error)
        where = "" if self.data is None else f" Details are in {log_path(self.data)}."
        words = f"doneby stopped: {type(error).__name__}: {error}. Every saved line is in the file."
        self._exit_renderables.append(Text(f"{words}{where}"))
        self._close_messages_no_wait()


def run(
    path: Path,
    clock: Clock = system_clock,
    demo: Demo | None = None,
    *,
    zone: tzinfo = SYSTEM_ZONE,
    forecast: ForecastFunction = core_forecast,
    quiet: bool = False,
) -> int:
    """Open the screens on a data file and return the exit code.

    Parameters
    ----------
    path : Path
        The data file; made if there is none.
    clock : callable
        The present as an aware datetime.
    demo : Demo or None
        Replay this sample on a data file of its own; `path` is not touched then.
    quiet : bool
        Never ring the bell.

    Raises
    ------
    StorageError
        The data file cannot be opened.
    """
    workers = LooseExecutor()
    with tempfile.TemporaryDirectory(prefix="doneby-") as folder:
        data = path if demo is None else Path(folder) / "demo.db"
        code = _run(data, clock, demo, zone, forecast, workers, quiet=quiet)
    leave(workers, code)
    return code


def _run(
    path: Path,
    clock: Clock,
    demo: Demo | None,
    zone: tzinfo,
    forecast: ForecastFunction,
    workers: LooseExecutor,
    *,
    quiet: bool,
) -> int:
    store = open_store(path, now=clock())
    handler = log_to(log_path(path))
    writer = Writer()
    learning = Learning(store) if demo is None and forecast is core_forecast else None
    kit = Kit(store, writer, clock, zone, forecast, rings=not quiet, learning=learning)
    app = DonebyApp(kit, state=load_state(path), data=path, demo=demo, watch_terminal=True)
    app.executor = workers
    restore_signals = end_on_signals(lambda code: app.exit(return_code=code), lambda: app.loop)
    try:
        app.run()
    finally:
        restore_signals()
        writer.close()
        app.close_replays()
        store.close()
        stop_log(handler)
    return app.return_code or 0
