"""The entry with the line under it: reads along, asks once about odd lines, gives lines back."""

from __future__ import annotations

from collections.abc import Callable, Collection

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.widgets import Input, Static

from app.desk import Preview
from app.widgets.entry import Entry
from app.widgets.preview import Echo, PreviewLine, Tone

ASK = "Enter again saves it as it is; change it if it is a slip."


def odd_words(preview: Preview) -> str:
    """How an odd line would be read, and what is odd about it."""
    odd = "; ".join(preview.odd)
    return f"{preview.reads_as}. Odd: {odd}" + ("" if odd.endswith(("?", ".")) else ".")


class EntryBox(Vertical):
    """One line to type into. Posts `LineEntered` or `WordEntered`; saves nothing itself.

    Parameters
    ----------
    read : callable
        How a text would be read now; quick enough for every key.
    word_means : callable
        What a text does on the screen instead of being logged; empty if it is to be logged.
    known : collection of str
        Words that are completed while they are typed.
    hint : str
        Shown while nothing is typed.
    """

    DEFAULT_CSS = """
    EntryBox {
        height: auto;
        & > Horizontal { height: 1; padding: 0 1; }
        & #prompt { width: auto; color: $ink-quiet; padding: 0 1 0 0; }
        & #entry { width: 1fr; }
    }
    """

    class LineEntered(Message):
        """A line to save; it can be read, and what was odd about it was confirmed."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    class WordEntered(Message):
        """A word that opens something."""

        def __init__(self, word: str) -> None:
            super().__init__()
            self.word = word

    class Typing(Message):
        """The text was changed by hand."""

    def __init__(
        self,
        read: Callable[[str], Preview],
        *,
        word_means: Callable[[str], str] = lambda _: "",
        known: Collection[str] = (),
        hint: str = "",
    ) -> None:
        super().__init__()
        self._known = known
        self._read, self._word_means, self._hint = read, word_means, hint
        self._hinting = True
        self._asked: str | None = None
        self._pasted: list[str] = []
        self._kept: Echo | None = None

    def compose(self) -> ComposeResult:
        with Horizontal():
            yield Static("say", id="prompt", markup=False)
            yield Entry(self.enter, id="entry", known=self._known)
        yield PreviewLine(id="preview")

    def on_mount(self) -> None:
        self._say_hint()

    @property
    def hint(self) -> str:
        """Shown while nothing is typed."""
        return self._hint

    @hint.setter
    def hint(self, words: str) -> None:
        self._hint = words
        if self._hinting:
            self._say_hint()

    def _say_hint(self) -> None:
        count = len(self._pasted)
        self.say(Tone.HINT, f"{count} more pasted lines" if count else self._hint)
        self._hinting = True

    @property
    def entry(self) -> Entry:
        """The input itself."""
        return self.query_one(Entry)

    def say(self, tone: Tone, text: str) -> None:
        """Words under the entry."""
        self._hinting = False
        self.query_one(PreviewLine).echo = Echo(tone, text)

    def take(self, text: str, tone: Tone | None = None, words: str = "") -> None:
        """Put a text into the entry, with words under it that stay until it is changed."""
        self._kept = None if tone is None else Echo(tone, words)
        if text == self.entry.value:
            self._show_reading(text)
        else:
            self.entry.take(text)

    def reread(self) -> None:
        """Say again how the text in the entry would be read."""
        self._show_reading(self.entry.value)

    def give_back(self, text: str, reason: str) -> bool:
        """Return a line that was not saved; False if something else is being typed."""
        self.entry.remember(text)
        if self.entry.value:
            return False
        self.take(text, Tone.WRONG, reason)
        return True

    @on(Input.Changed)
    def _read_along(self, event: Input.Changed) -> None:
        event.stop()
        # the message may be late: what stands in the entry now decides
        if self.entry.value != self._asked:
            self._asked = None
        self._show_reading(event.value)
        self.post_message(self.Typing())

    def _show_reading(self, text: str) -> None:
        self.entry.set_class(self._asked is not None, "-asking")
        if self._kept is not None:
            self.say(self._kept.tone, self._kept.text)
            self._kept = None
            return
        if not text.strip():
            self._say_hint()
            return
        preview = self._read(text)
        if preview.error is not None and self._word_means(text):
            self.say(Tone.READS, self._word_means(text))
        elif preview.error is not None:
            self.say(Tone.HINT, preview.error)
        elif preview.odd:
            self.say(Tone.ODD, odd_words(preview))
        else:
            self.say(Tone.READS, preview.reads_as)

    @property
    def asking(self) -> bool:
        """Whether an odd line waits to be confirmed."""
        return self._asked is not None

    def clear(self) -> None:
        """Empty the entry, keeping the words under it."""
        if self.entry.value:
            self._kept = self.query_one(PreviewLine).echo
            self.entry.value = ""

    def enter(self, typed: str) -> None:
        """Enter was pressed on this text."""
        text = typed.strip()
        if not text:
            return
        preview = self._read(text)
        if preview.error is not None:
            if self._word_means(text):
                self._accept(text, self.WordEntered(text.lower()))
            else:
                self.say(Tone.WRONG, preview.error)
            return
        if preview.odd and self._asked != typed:
            self._asked = typed
            self.entry.add_class("-asking")
            self.say(Tone.ODD, f"{odd_words(preview)} {ASK}")
            return
        self._accept(text, self.LineEntered(text))

    def _accept(self, text: str, message: Message) -> None:
        self.entry.remember(text)
        self._asked = None
        self._kept = Echo(Tone.HINT, "")
        self.entry.value = ""
        self.post_message(message)
        self._next_pasted()

    @on(Entry.LinesPasted)
    def _paste(self, event: Entry.LinesPasted) -> None:
        event.stop()
        self._pasted.extend(event.lines)
        if not self.entry.value:
            self._next_pasted()

    def _next_pasted(self) -> None:
        """Put the next pasted line into the entry: each is read and accepted by hand."""
        if self._pasted:
            self._kept = None
            self.entry.take(self._pasted.pop(0))
