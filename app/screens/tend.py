"""Tend, the live screen: four answers, the chart, the log and one line to type into."""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.events import Resize
from textual.widgets import Static

from app.desk import Accepted, AskOnce, Outcome, Refused
from app.line.vocabulary import CARD_WORDS
from app.presenters.chart import Window
from app.presenters.tend import LineState, Notice, SaveState, present_patio
from app.presenters.views import Mark
from app.screens.cook_screen import CookScreen
from app.screens.words import WORDS, word_means
from app.widgets.answers import Answers
from app.widgets.chart import FanChart
from app.widgets.entry_box import EntryBox
from app.widgets.key_footer import KeyFooter
from app.widgets.log_lines import LogLines
from app.widgets.notices import Notices
from app.widgets.patio import Patio
from app.widgets.preview import Tone
from app.widgets.sheet import Sheet
from app.widgets.top import TopLine

HINT = "the numbers off the thermometers: pit, then each probe. F1 shows all words"
OVER = "the cook is over. away: leftovers are put away; reopen: it is taken up again"
STACK_WIDTH, STACK_HEIGHT = 110, 32
LOW_HEIGHT = 21
CHART_ROWS, OTHER_ROWS = 6, 7
"""Least rows of a chart; rows of the top line, the log, the entry with a word, and the footer."""


class Mode(Enum):
    """What the arrow keys do."""

    WRITE = "write"
    PICK = "lines"
    READ = "chart"


class TendScreen(CookScreen):
    """The live screen of one cook."""

    CSS_PATH = "tend.tcss"
    AUTO_FOCUS = "#entry"
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012
        (0, "-thin"),
        (60, "-narrow"),
        (STACK_WIDTH, "-wide"),
        (160, "-broad"),
    ]
    VERTICAL_BREAKPOINTS = [  # noqa: RUF012
        (0, "-tiny"),
        (16, "-low"),
        (LOW_HEIGHT, "-mid"),
        (STACK_HEIGHT, "-high"),
        (45, "-tall"),
    ]

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "mode('lines')", "lines", id="tend.lines", tooltip="Correct, delete"),
        Binding("f5", "patio", "patio", id="tend.patio", tooltip="Large letters"),
        Binding("f9", "page", "more", id="tend.page", tooltip="Fire, levers, published tables"),
        Binding("f10", "snooze", "later", id="tend.snooze", tooltip="Alerts again in 10 min"),
        # 80 columns have no room for their names; the help card has them
        Binding("f6", "mode('chart')", "read", show=False, id="tend.read"),
        Binding("f7", "zoom", "zoom", show=False, id="tend.zoom"),
        Binding("f4", "app.new", "new", show=False),
        Binding("f8", "app.palette", "light", show=False),
        Binding("enter", "fix", "correct", priority=True, id="tend.fix"),
        Binding("delete", "drop", "delete", priority=True, id="tend.drop"),
        Binding("up", "move(0, -1)", "up", priority=True, show=False),
        Binding("down", "move(0, 1)", "down", priority=True, show=False),
        Binding("pageup", "move(0, -8)", "up", priority=True, show=False),
        Binding("pagedown", "move(0, 8)", "down", priority=True, show=False),
        Binding("left", "move(-1, 0)", "earlier", priority=True),
        Binding("right", "move(1, 0)", "later", priority=True),
        Binding("shift+left", "move(-10, 0)", "earlier", priority=True, show=False),
        Binding("shift+right", "move(10, 0)", "later", priority=True, show=False),
        Binding("escape", "leave", "back", id="tend.leave"),
    ]

    mode = Mode.WRITE
    _called = False
    window = Window.ALL

    def compose(self) -> ComposeResult:
        yield TopLine(id="top")
        with Container(id="body"):
            yield Answers(id="answers")
            with Container(id="pictures"):
                yield FanChart(id="chart")
                yield LogLines(id="log")
                yield Sheet(id="page")
        yield Patio(id="patio")
        yield Static("", id="too-small", markup=False)
        yield Notices(id="notices")
        names = ("pit", *(probe.name for probe in self.live.saved.cook.probes))
        yield EntryBox(
            self.reader.preview,
            word_means=word_means,
            known=(*names, *CARD_WORDS, *WORDS),
            hint=HINT,
        )
        yield KeyFooter()

    def on_resize(self, event: Resize) -> None:
        width, height = event.size
        stack = width >= STACK_WIDTH and height >= STACK_HEIGHT
        self.set_class(stack, "-stack")
        answers = self.query_one(Answers)
        answers.stacked = stack
        self._make_room()
        self.query_one(Notices).most_rows = 4 if stack else 2
        self.query_one("#too-small", Static).update(
            f"Tend needs 60 x 16, this is {width} x {height}. You can still type a line."
        )

    def show(self) -> None:
        """Paint everything from the snapshot, the forecast and the clock."""
        now = self.kit.clock()
        answers = self.live.answers(now, running=self.forecaster.running)
        self.take_alerts(answers)
        self.query_one(TopLine).view = self.live.top(now)
        self.query_one(Answers).view = answers
        self.query_one(Patio).view = present_patio(answers)
        self.query_one(Notices).view = self.live.notices(
            answers, (*self.standing, *self.alerts), now
        )
        if self.pages.name is None or self.has_class("-stack"):
            self.query_one(FanChart).view = self.live.chart(now, self.window)
        self.query_one(Sheet).view = self.pages.view(now)
        over = self.live.saved.ended_at is not None
        self.query_one(EntryBox).hint = OVER if over else self.live.expected(now) or HINT
        self._make_room()
        log = self.query_one(LogLines)
        log.empty_words = "Nothing logged yet. Type the first reading below."
        log.lines = self.live.lines(now)
        if self._called != bool(self.alerts):
            # the footer names what puts alerts off only while there are any
            self._called = bool(self.alerts)
            self.refresh_bindings()

    def _make_room(self) -> None:
        """On a screen without room for both, a page leaves the answers one line each.

        Where the answers leave no room for a chart that can be read, the log has it.
        """
        stack, open_ = self.has_class("-stack"), self.pages.name is not None
        self.set_class(open_, "-page")
        answers, size = self.query_one(Answers), self.size
        answers.brief = size.height < LOW_HEIGHT or (open_ and not stack)
        taken = answers.get_content_height(size, size, max(size.width - 2, 1))
        notices = self.query_one(Notices)
        taken += notices.get_content_height(size, size, max(size.width - 2, 1)) + OTHER_ROWS
        self.set_class(not stack and size.height - taken < CHART_ROWS, "-words")

    # lines

    @on(EntryBox.LineEntered)
    def line_entered(self, event: EntryBox.LineEntered) -> None:
        """Send an accepted line to the writer and show it on its way."""
        self.save_line(event.text)
        self.query_one(TopLine).saved = SaveState.SAVING
        self.query_one(LogLines).lines = self.live.lines(self.kit.clock())
        self._turn_to(Mode.WRITE)

    def say_outcome(self, text: str, outcome: Outcome) -> None:
        """Say what became of a line that reached the desk."""
        if isinstance(outcome, Accepted):
            self.alerts = ()
            top = self.query_one(TopLine)
            top.saved_at = self.live.display.clock(self.kit.clock())
            top.saved = SaveState.SAVED
            self.query_one(EntryBox).say(Tone.DONE, outcome.message)
        elif isinstance(outcome, Refused):
            self.not_saved(text, outcome.reason)
        elif isinstance(outcome, AskOnce):
            self.not_saved(text, f"{outcome.reads_as}. Odd: {'; '.join(outcome.odd)}")

    def not_saved(self, text: str, reason: str) -> None:
        """Give back a line that is not in the file."""
        if not text:
            self.alert(Notice(reason, Mark.LATE))
            return
        self.query_one(TopLine).saved = SaveState.NOT_SAVED
        if not self.query_one(EntryBox).give_back(text, f"Not saved: {reason}"):
            words = f"Not saved: {text} ({reason}). The up key brings the line back."
            self.alert(Notice(words, Mark.LATE))

    @on(EntryBox.Typing)
    def typing(self) -> None:
        """A key typed into the entry ends picking and reading."""
        if self.mode is not Mode.WRITE and self.query_one(EntryBox).entry.value:
            self._turn_to(Mode.WRITE)

    # modes of the arrow keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        if action in ("fix", "drop"):
            return self.mode is Mode.PICK
        if action == "move":
            across, far = bool(parameters[0]), abs(int(str(parameters[1]))) > 1
            if far and self.pages.name is not None:
                return True
            return self.mode is (Mode.READ if across else Mode.PICK)
        if action == "mode":
            covered = self.has_class("-patio") or self.pages.name is not None
            free = self.mode is Mode.WRITE and not covered
            return free or Mode(parameters[0]) is self.mode
        if action in ("zoom", "patio"):
            covered = self.has_class("-patio") or self.pages.name is not None
            return self.mode is not Mode.PICK and not (action == "zoom" and covered)
        if action == "snooze" and not parameters:
            return self.mode is Mode.WRITE and any(notice.kind for notice in self.alerts)
        if action == "page" and not parameters:
            return self.mode is Mode.WRITE
        if action == "leave":
            covered = self.has_class("-patio") or self.pages.name is not None
            return self.mode is not Mode.WRITE or covered or bool(self.alerts)
        return True

    def _turn_to(self, mode: Mode) -> None:
        self.mode = mode
        if mode is not Mode.PICK:
            self.query_one(LogLines).picked = None
        if mode is not Mode.READ:
            self.query_one(FanChart).cursor_x = None
        self.query_one(TopLine).mode = "" if mode is Mode.WRITE else mode.value
        self.refresh_bindings()

    def action_mode(self, name: str) -> None:
        """Let the arrow keys pick lines or read the chart; the same key again ends it."""
        wanted = Mode(name)
        if self.mode is wanted:
            self._turn_to(Mode.WRITE)
            return
        self._turn_to(wanted)
        self.action_move(0, 0)

    def action_move(self, across: int, down: int) -> None:
        """Move the pick or the chart's cursor."""
        if self.pages.name is not None:
            self.query_one(Sheet).scroll_relative(y=down, animate=False)
        elif self.mode is Mode.PICK:
            self.query_one(LogLines).step(down)
        elif self.mode is Mode.READ:
            self.query_one(FanChart).step_cursor(across)

    def action_leave(self) -> None:
        """Back to the entry; on the entry itself, alerts count as seen."""
        page, patio = self.pages.name, self.has_class("-patio")
        if page is not None and not patio:
            self.action_page(page.value)
        elif self.mode is Mode.WRITE and not patio:
            self.alerts = ()
            self.show()
        self.remove_class("-patio")
        self._turn_to(Mode.WRITE)

    def action_fix(self) -> None:
        """Load the picked line into the entry for correction."""
        line = self.query_one(LogLines).picked_line
        if line is None or line.line_id is None or line.state is not LineState.LIVE:
            return
        text = self.live.correction(line.line_id)
        self._turn_to(Mode.WRITE)
        self.query_one(EntryBox).take(text)

    def action_drop(self) -> None:
        """Delete the picked line, or bring it back."""
        line = self.query_one(LogLines).picked_line
        if line is None or line.number is None:
            return
        word = "restore" if line.state is LineState.DELETED else "drop"
        self.save_line(f"{word} #{line.number}")

    @on(LogLines.Asked)
    def log_asked(self, event: LogLines.Asked) -> None:
        """The mouse did in the log what the keys do."""
        if self.mode is not Mode.PICK:
            self._turn_to(Mode.PICK)
        self.query_one(LogLines).picked = event.index
        if event.what == "fix":
            self.action_fix()
        elif event.what == "drop":
            self.action_drop()

    # the chart

    def action_zoom(self) -> None:
        """The next time window of the chart."""
        self.window = self.window.following
        self.show()

    def action_page(self, name: str = "") -> None:
        """The next page beside the answers, or one by name; the open one closes."""
        self.remove_class("-patio")
        self.pages.turn(name)
        self._turn_to(Mode.WRITE)
        self._make_room()
        self.show()

    def action_patio(self) -> None:
        """Large letters, or back."""
        self.toggle_class("-patio")
        self._turn_to(Mode.WRITE)
