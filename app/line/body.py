"""Reads the body of a line: numbers, names, events and one time, in the order they stand."""

from __future__ import annotations

from app.line.names import Names
from app.line.numbers import is_unit, looks_numeric, read_temp_c
from app.line.tokens import Token, unknown
from app.line.values import LineContext, LogLine, Refusal, TypedEvent
from app.line.vocabulary import KIND_OF, TEXT_IS_WORDS, away_at, phrase_at
from app.line.when import TIME_RULE, When, is_clock, is_time, read_when
from core.cook import EventKind
from core.hold import AWAY_NOTE
from core.spots import UNNAMED, is_spot_text, spot_text
from storage.errors import shown

LID_SHUT = {"closed", "shut", "on", "down", "close"}
HALVES = ("am", "pm")


class BodyReader:
    """One pass over the words of a line. Use once: ``BodyReader(...).read()``."""

    def __init__(self, text: str, tokens: tuple[Token, ...], ctx: LineContext) -> None:
        self._text, self._tokens, self._ctx = text, tokens, ctx
        self._names = Names(ctx.probes)
        self._i = 0
        self._temps: dict[str, float] = {}
        self._positional: int | None = 0
        self._events: list[TypedEvent] = []
        self._when: When | None = None

    def read(self) -> LogLine:
        """The line; raises Refusal."""
        while self._i < len(self._tokens):
            self._step()
        when = self._when
        meat = tuple((n, self._temps[n]) for n in self._ctx.probes if n in self._temps)
        line = LogLine(
            None if when is None else when.at,
            self._temps.get("pit"),
            meat,
            tuple(self._events),
            () if when is None else when.told,
        )
        if line.pit_c is None and not meat and not self._events:
            raise Refusal("found nothing to log", "a line has a number or an event word")
        return line

    def _word(self, ahead: int = 0) -> str:
        place = self._i + ahead
        return self._tokens[place].word if place < len(self._tokens) else ""

    def _words_ahead(self) -> list[str]:
        return [token.word.rstrip(":") for token in self._tokens[self._i : self._i + 8]]

    def _step(self) -> None:
        token = self._tokens[self._i]
        if token.word in (";", "at") and (token.word == ";" or self._word(1)[:1].isdigit()):
            self._separator(token)
        elif is_time(token.word):
            self._time(token.word)
        elif token.word == "-":
            self._skip()
        elif (named := self._names.match(self._tokens[self._i :])) is not None:
            self._named(*named)
        elif looks_numeric(token.word):
            self._number()
        elif (event := phrase_at(self._words_ahead())) is not None:
            self._event(*event)
        elif count := away_at(self._words_ahead()):
            self._i += count
            self._events.append(TypedEvent(EventKind.NOTE, AWAY_NOTE))
        else:
            raise unknown(token.raw, self._ctx.probes)

    def _separator(self, token: Token) -> None:
        if token.word == ";":
            self._i += 1
            return
        self._i += 1
        self._time(f"@{self._word()}")

    def _time(self, word: str) -> None:
        if self._when is not None:
            raise _second_time(word)
        # `2:20 pm` with a space.
        half = self._word(1) if word.startswith("@") and self._word(1) in HALVES else ""
        self._when = read_when(word + half, self._ctx)
        self._i += 2 if half else 1

    def _take_temp_c(self) -> float:
        token = self._tokens[self._i]
        if ":" in token.word and looks_numeric(token.word):
            raise Refusal(f"found {shown(token.raw)}", TIME_RULE)
        apart = self._word(1)
        if not is_unit(apart) or self._names.match(self._tokens[self._i + 1 :]) is not None:
            apart = ""
        temp_c = read_temp_c(token.word, apart, self._ctx.unit)
        self._i += 2 if apart else 1
        return temp_c

    def _place(self) -> str:
        """Name of the next number without one."""
        names = ("pit", *self._ctx.probes)
        if self._positional is None:
            raise Refusal(
                f"found {shown(self._tokens[self._i].raw)} behind a named reading",
                "after a name, name the others too",
            )
        if self._positional >= len(names):
            allowed = f"allowed is one each for {', '.join(names)}"
            raise Refusal(f"found {self._positional + 1} numbers", allowed)
        return names[self._positional]

    def _number(self) -> None:
        name = self._place()
        self._positional = (self._positional or 0) + 1
        self._set(name, self._take_temp_c())

    def _skip(self) -> None:
        self._place()
        self._positional = (self._positional or 0) + 1
        self._i += 1

    def _named(self, name: str, count: int) -> None:
        self._i += count
        if self._i >= len(self._tokens) or not looks_numeric(self._word()):
            ended = self._i >= len(self._tokens)
            found = "nothing" if ended else shown(self._tokens[self._i].raw)
            raise Refusal(f"found {found} after {name}", f"a temperature: {name} 128")
        self._positional = None
        self._set(name, self._take_temp_c())

    def _set(self, name: str, temp_c: float) -> None:
        if name in self._temps:
            raise Refusal(f"found {name} twice", "each name once on a line")
        self._temps[name] = temp_c

    def _event(self, kind: EventKind, count: int) -> None:
        """An event with the text behind it; a time may open or close the text."""
        self._i += count
        while is_clock(self._word()):
            self._time(self._word())
        first, last = self._i, self._text_end(kind)
        end = last
        if last > first and is_clock(self._tokens[last - 1].word):
            last -= 1
            self._i = last
            self._time(self._word())
        if last > first and is_clock(self._tokens[last - 1].word):
            raise _second_time(self._tokens[last - 1].raw)
        self._i = end
        self._events.append(TypedEvent(kind, self._note(kind, first, last)))

    def _text_end(self, kind: EventKind) -> int:
        """Where the event's text ends: at a semicolon; for a note, with the line.

        Behind `lid` another event may stand at once: it was opened for that.
        """
        end = len(self._tokens)
        if kind is EventKind.NOTE:
            return end
        if kind is EventKind.LID_OPEN and self._word() in KIND_OF:
            return self._i
        for place in range(self._i, end):
            if self._tokens[place].word == ";":
                return place
        return end

    def _note(self, kind: EventKind, first: int, last: int) -> str:
        tokens = self._tokens[first:last]
        text = self._text[tokens[0].start : tokens[-1].end].strip(" ,:") if tokens else ""
        if kind is EventKind.NOTE and not text:
            raise Refusal("found note without words", "note and what is to be kept")
        if kind is EventKind.LID_OPEN and text.casefold() in LID_SHUT:
            allowed = "'lid' says that it was opened; closing needs no line"
            raise Refusal(f"found lid {text}", allowed)
        if kind is EventKind.SPOT_CHECK:
            return self._spot_note(tokens)
        if kind not in TEXT_IS_WORDS and _only_numbers(tokens):
            raise Refusal(
                f"found {shown(text)} after an event", "readings stand first: 305 128 lid"
            )
        return text

    def _spot_note(self, tokens: tuple[Token, ...]) -> str:
        """The text of a spot check with its unit spelled out, so that it stays true in both.

        Places and numbers alone are kept as `core.spots` writes them; free words are kept too.
        """
        parts: list[str] = []
        pairs: list[tuple[str, float]] = []
        words: list[str] = []
        place = 0
        while place < len(tokens):
            token = tokens[place]
            place += 1
            if not looks_numeric(token.word):
                parts.append(token.raw)
                words.append(token.word.strip(":="))
                continue
            apart = tokens[place] if place < len(tokens) and is_unit(tokens[place].word) else None
            place += apart is not None
            unit = "" if apart is None else apart.word
            last = apart or token
            stop = last.raw[len(last.raw.rstrip(",.")) :]
            parts.append(_with_unit(token.word, unit, self._ctx) + stop)
            pairs.append(
                (" ".join(words) or UNNAMED, read_temp_c(token.word, unit, self._ctx.unit))
            )
            words = []
        if not pairs:
            raise Refusal("found no temperature after spot", "where and how hot: spot thigh 165")
        plain = spot_text(pairs)
        return plain if not words and is_spot_text(plain) else " ".join(parts).strip(" ,:")


def _second_time(word: str) -> Refusal:
    return Refusal(f"found a second time, {shown(word)}", "a line speaks of one time")


def _only_numbers(tokens: tuple[Token, ...]) -> bool:
    """Whether a text looks like readings: one long number, or several."""
    words = [token.word for token in tokens if not is_unit(token.word)]
    if not words or not all(looks_numeric(word) or word == "-" for word in words):
        return False
    return len(words) > 1 or sum(c.isdigit() for c in words[0]) > 1


def _with_unit(word: str, apart: str, ctx: LineContext) -> str:
    """A number of a spot check with its unit; raises Refusal for what is no temperature."""
    read_temp_c(word, apart, ctx.unit)
    number = word.rstrip("cf").rstrip("°º˚").removesuffix("deg")
    letter = word[-1] if word[-1] in "cf" else apart[-1:]
    return f"{number} °{letter.upper() if letter in ('c', 'f') else ctx.unit.value}"
