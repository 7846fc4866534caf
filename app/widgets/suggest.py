"""Completes the last word of the entry: probe names and the words of the card."""

from __future__ import annotations

from collections.abc import Iterable

from textual.suggester import Suggester

SHORTEST = 2


class WordSuggester(Suggester):
    """Offers the first known word that begins like the last one typed."""

    def __init__(self, words: Iterable[str]) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._known = tuple(dict.fromkeys(words))

    async def get_suggestion(self, value: str) -> str | None:
        """The whole text with its last word completed."""
        last = value.rpartition(" ")[2]
        if len(last) < SHORTEST:
            return None
        for word in self._known:
            if word.startswith(last.lower()) and word != last.lower():
                return value + word[len(last) :]
        return None
