"""Which word is which probe."""

from __future__ import annotations

from app.line.numbers import looks_numeric
from app.line.tokens import Token
from app.line.vocabulary import COMMAND_WORDS, KIND_OF

SHORTEST = 2
"""A name may be shortened to so many letters while it stays the only one."""


class Names:
    """The pit and the probes of one cook, as they may be typed.

    A probe that is called like an event word is taken for the probe when a number follows.
    """

    def __init__(self, probes: tuple[str, ...]) -> None:
        self._names = ("pit", *probes)
        self._folded = {name: tuple(name.casefold().split()) for name in self._names}

    def match(self, tokens: tuple[Token, ...]) -> tuple[str, int] | None:
        """The name that the first words are, and how many words it takes; None if none."""
        words = tuple(token.word.rstrip(":=") for token in tokens[:8])
        whole = [
            (name, len(parts))
            for name, parts in self._folded.items()
            if parts and words[: len(parts)] == parts
        ]
        if whole:
            name, count = max(whole, key=lambda found: found[1])
            follows = words[count] if count < len(words) else ""
            if looks_numeric(follows) or words[0] not in KIND_OF:
                return name, count
            return None
        return self._shortened(words)

    def _shortened(self, words: tuple[str, ...]) -> tuple[str, int] | None:
        word = words[0] if words else ""
        if len(word) < SHORTEST or word in KIND_OF or word in COMMAND_WORDS:
            return None
        if len(words) < 2 or not looks_numeric(words[1]):
            return None
        close = [name for name in self._names if name.casefold().startswith(word)]
        return (close[0], 1) if len(close) == 1 else None
