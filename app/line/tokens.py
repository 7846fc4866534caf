"""From raw text to words: what cannot be stored or shown is refused here, before any meaning."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from app.line.values import Refusal
from storage.errors import shown

LONGEST = 500
"""Characters that one line may hold."""

_WORD = re.compile(r";|[^\s;]+")
_PAIR = re.compile(r"([^\W\d]\w*)[=:]([+-]?[0-9].*)")
_STOPS_BEFORE = re.compile(r"^[,:]+(?=[^\W\d])")
_DASHES = str.maketrans({"\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2212": "-"})
_JOINERS = "\u200c\u200d"
"""Invisible, but some scripts need them; all other characters that only act are refused."""


@dataclass(frozen=True, slots=True)
class Token:
    """One word: as typed, folded for comparing, and where it stands."""

    raw: str
    word: str
    start: int
    end: int


def clean_line(text: str) -> str:
    """The line without outer blanks and with tabs as spaces.

    Raises
    ------
    Refusal
        It is too long, or holds characters that act instead of being shown.
    """
    if len(text) > LONGEST:
        raise Refusal(f"found {len(text)} characters", f"a line has at most {LONGEST}")
    text = text.replace("\t", " ").strip(" \r\n")
    for place, character in enumerate(text, start=1):
        kind = unicodedata.category(character)
        if kind in ("Cc", "Cf", "Cs", "Zl", "Zp") and character not in _JOINERS:
            raise Refusal(
                f"found the control character U+{ord(character):04X} at place {place}",
                "a line holds letters, digits and signs that can be seen",
            )
    return text


def tokens_of(text: str) -> tuple[Token, ...]:
    """The words of a clean line.

    A semicolon is a word of its own, ``breast=131`` is two, and commas around words are dropped.
    """
    found = []
    for match in _WORD.finditer(text):
        if not match.group().strip(",:"):
            continue
        pair = _PAIR.fullmatch(match.group())
        spans = [match.span()] if pair is None else [pair.span(1), pair.span(2)]
        offset = 0 if pair is None else match.start()
        for start, end in spans:
            found.append(_token(text, start + offset, end + offset))
    return tuple(found)


def _token(text: str, start: int, end: int) -> Token:
    raw = text[start:end]
    word = _STOPS_BEFORE.sub("", raw.translate(_DASHES).casefold())
    return Token(raw, word.rstrip(",.") or word, start, end)


def unknown(raw: str, probes: tuple[str, ...]) -> Refusal:
    """The refusal of a word that means nothing here."""
    names = ", ".join(("pit", *probes))
    return Refusal(
        f"found {shown(raw)}",
        f"a line has numbers, a name ({names}), an event word or a time; '?' shows the card",
    )
