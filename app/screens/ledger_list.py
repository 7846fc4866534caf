"""What the Ledger's screen knows: the cooks, the filter, the order, and which are picked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import tzinfo

from app.display import Display
from app.ledger import Kept, LedgerEntry, entries
from app.presenters.ledger import FALLING, Column, haystack, matches, ordered
from app.settings import locale_units, units_among
from core.catalogue import cut_named
from storage.store import Store
from storage.values import CookSummary

COMPARED_MOST = 4
LETTERS = "ABCD"
"""Names of the picked cooks, in the order they were picked."""


class LedgerList:
    """The list behind the table; everything but the painting.

    Attributes
    ----------
    display : Display
        Units of the list: those that a new cook would be offered.
    query : str
        What is searched for.
    column, turned
        The order.
    in_bin : bool
        Whether these are the cooks in the bin.
    picked : list of int
        Ids of the cooks to compare.
    """

    def __init__(self, store: Store, zone: tzinfo, env: Mapping[str, str]) -> None:
        self._store, self._env = store, env
        self.display = Display(*locale_units(env), zone)
        self._entries: dict[int, LedgerEntry] = {}
        self._hay: dict[int, str] = {}
        self.query, self.cut = "", ""
        self.column, self.turned = Column.DATE, False
        self.in_bin = False
        self.picked: list[int] = []

    def load(self) -> tuple[CookSummary, ...]:
        """Read the list from the file; gives back the cooks whose figures are missing."""
        found = entries(self._store, binned=self.in_bin)
        if not self.in_bin:
            cooks = (entry.summary for entry in found)
            unit, mass_unit = units_among(cooks, self._store, self._env)
            self.display = Display(unit, mass_unit, self.display.zone)
        self._entries = {entry.summary.id: entry for entry in found}
        self._hay = {}
        self.picked = [number for number in self.picked if number in self._entries]
        if self.in_bin:
            return ()
        return tuple(e.summary for e in found if e.over and e.kept is None)

    def entry(self, cook_id: int | None) -> LedgerEntry | None:
        """One cook of the list."""
        return None if cook_id is None else self._entries.get(cook_id)

    def take(self, cook_id: int, kept: Kept) -> bool:
        """Take in the figures of a cook; False if it is no longer in the list."""
        old = self._entries.get(cook_id)
        if old is None:
            return False
        self._entries[cook_id] = replace(old, kept=kept)
        self._hay.pop(cook_id, None)
        return True

    def shown(self) -> list[LedgerEntry]:
        """The cooks that the filter and the search leave, in order."""
        found = [
            entry
            for entry in self._entries.values()
            if (not self.cut or entry.summary.cut == self.cut)
            and (not self.query or matches(self._haystack(entry), self.query))
        ]
        return ordered(found, self.column, turned=self.turned)

    def _haystack(self, entry: LedgerEntry) -> str:
        cook_id = entry.summary.id
        if cook_id not in self._hay:
            self._hay[cook_id] = haystack(entry, self.display)
        return self._hay[cook_id]

    @property
    def falling(self) -> bool:
        """Whether the largest stands first."""
        return (self.column in FALLING) != self.turned

    @property
    def letters(self) -> dict[int, str]:
        """The letter of each picked cook."""
        return {number: LETTERS[place] for place, number in enumerate(self.picked)}

    def next_cut(self) -> None:
        """Only the next cut of those in the list; after the last one all again."""
        cuts = ["", *sorted({entry.summary.cut for entry in self._entries.values()})]
        place = cuts.index(self.cut) if self.cut in cuts else 0
        self.cut = cuts[(place + 1) % len(cuts)]

    def sort_by(self, column: Column) -> None:
        """By that column; if it is so already, the other way round."""
        self.turned = column is self.column and not self.turned
        self.column = column

    def pick(self, cook_id: int) -> str:
        """Pick a cook to be compared, or let it go; gives back why not, or nothing."""
        entry = self._entries[cook_id]
        if cook_id in self.picked:
            self.picked.remove(cook_id)
        elif not entry.over:
            return "A cook in hand cannot be compared yet."
        elif len(self.picked) == COMPARED_MOST:
            return f"At most {COMPARED_MOST} cooks are compared; Space on one lets it go."
        else:
            self.picked.append(cook_id)
        return ""

    def heading(self, shown: int) -> str:
        """What the list holds, in words."""
        name, count = ("Bin" if self.in_bin else "Ledger"), len(self._entries)
        many = "1 cook" if count == 1 else f"{count} cooks"
        words = f"{name}, {many}" if shown == count else f"{name}, {shown} of {many}"
        if self.cut:
            words += f", {cut_named(self.cut).name}"
        waiting = sum(e.over and e.kept is None for e in self._entries.values())
        if waiting and not self.in_bin:
            words += f"; working out {waiting}"
        return words

    def empty_words(self) -> str:
        """What stands where no row does."""
        if self._entries:
            return "No cook matches. Esc clears the search and the filter."
        return "The bin is empty." if self.in_bin else "No cook is in the file yet."
