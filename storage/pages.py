"""Rows straight from the pages of a SQLite file, for files that SQLite itself will not read.

Only what salvaging needs of the published file format (https://sqlite.org/fileformat2.html): the
leaf and interior pages of table b-trees, records, and overflow chains. Whatever does not hold
together is skipped, page by page and row by row; nothing here raises for what it finds.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass

Value = int | float | str | bytes | None

_HEADER = 100
_LEAF, _INTERIOR = 0x0D, 0x05
_USUAL_PAGE = 4096
_WIDTHS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8, 7: 8}
"""Bytes of a number by its serial type."""


@dataclass(frozen=True, slots=True)
class RawRow:
    """One row as it lies on a page: its rowid and its values in the order of the columns."""

    rowid: int
    values: tuple[Value, ...]


class _BrokenError(Exception):
    """This cell does not hold together."""


class PageFile:
    """The bytes of a data file, page by page.

    Parameters
    ----------
    data : bytes
        All of the file; its end may be missing.
    """

    def __init__(self, data: bytes) -> None:
        self._data = data
        self.size, self._usable = _page_size(data)
        self.count = -(-len(data) // self.size)

    def tree(self, root: int) -> tuple[list[int], bool]:
        """The leaf pages of the table whose root page is given, and whether all were found."""
        leaves: list[int] = []
        seen: set[int] = set()
        whole, waiting = True, [root]
        while waiting:
            number = waiting.pop()
            kind = self._kind(number)
            if number in seen or kind is None:
                whole = False
                continue
            seen.add(number)
            if kind == _LEAF:
                leaves.append(number)
            else:
                waiting += reversed(self._children(number))
        return leaves, whole

    def leaves(self) -> list[int]:
        """All pages that look like a leaf of some table."""
        return [number for number in range(1, self.count + 1) if self._kind(number) == _LEAF]

    def rows(self, number: int) -> tuple[list[RawRow], int]:
        """The rows of one leaf page that can be read, and how many cells cannot."""
        found, broken = [], 0
        for start in self._cells(number):
            try:
                found.append(self._row(number, start))
            except _BrokenError:
                broken += 1
        return found, broken

    def _page(self, number: int) -> bytes:
        """The bytes of a page; short at the end of a truncated file, empty beyond it."""
        if number < 1:
            return b""
        return self._data[(number - 1) * self.size : number * self.size]

    def _kind(self, number: int) -> int | None:
        page, at = self._page(number), _HEADER if number == 1 else 0
        if len(page) < at + 8 or page[at] not in (_LEAF, _INTERIOR):
            return None
        return page[at]

    def _cells(self, number: int) -> Iterator[int]:
        """Where the cells of a page begin, as its pointers say."""
        page, at = self._page(number), _HEADER if number == 1 else 0
        first = at + (8 if page[at] == _LEAF else 12)
        (count,) = struct.unpack_from(">H", page, at + 3)
        for place in range(first, min(first + 2 * count, len(page) - 1), 2):
            (start,) = struct.unpack_from(">H", page, place)
            yield start

    def _children(self, number: int) -> list[int]:
        page, at = self._page(number), _HEADER if number == 1 else 0
        starts = [start for start in self._cells(number) if start + 4 <= len(page)]
        found = [int(struct.unpack_from(">I", page, start)[0]) for start in starts]
        if len(page) >= at + 12:
            found.append(int(struct.unpack_from(">I", page, at + 8)[0]))
        return found

    def _row(self, number: int, start: int) -> RawRow:
        page = self._page(number)
        length, at = _varint(page, start)
        rowid, at = _varint(page, at)
        if length > len(self._data):
            raise _BrokenError
        return RawRow(_signed(rowid), _record(self._payload(page, at, length)))

    def _payload(self, page: bytes, at: int, length: int) -> bytes:
        """The record, with the part of it that lies on overflow pages (section 1.6)."""
        most, least = self._usable - 35, (self._usable - 12) * 32 // 255 - 23
        if length <= most:
            return _slice(page, at, length)
        local = least + (length - least) % (self._usable - 4)
        if local > most:
            local = least
        parts = [_slice(page, at, local)]
        missing = length - local
        (following,) = struct.unpack(">I", _slice(page, at + local, 4))
        for _ in range(self.count):
            if missing <= 0:
                break
            more = self._page(following)
            take = min(missing, self._usable - 4)
            (following,) = struct.unpack(">I", _slice(more, 0, 4))
            parts.append(_slice(more, 4, take))
            missing -= take
        return b"".join(parts)


def _page_size(data: bytes) -> tuple[int, int]:
    """Size of a page and its usable part, the usual ones where the header makes no sense."""
    if len(data) < _HEADER:
        return _USUAL_PAGE, _USUAL_PAGE
    (size,) = struct.unpack_from(">H", data, 16)
    size = 65536 if size == 1 else size
    if size < 512 or size & (size - 1):
        size = _USUAL_PAGE
    reserved = data[20]
    return size, size - reserved if size - reserved >= 480 else size


def _slice(data: bytes, at: int, length: int) -> bytes:
    found = data[at : at + length]
    if at < 0 or len(found) < length:
        raise _BrokenError
    return found


def _varint(data: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes, and where it ends."""
    value = 0
    for step in range(9):
        if at + step >= len(data):
            raise _BrokenError
        byte = data[at + step]
        if step == 8:
            return value << 8 | byte, at + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + step + 1
    raise _BrokenError


def _signed(value: int) -> int:
    return value - (1 << 64) if value >= 1 << 63 else value


def _record(payload: bytes) -> tuple[Value, ...]:
    """The values of a record (section 2.1)."""
    length, at = _varint(payload, 0)
    if length > len(payload):
        raise _BrokenError
    place, values = length, []
    while at < length:
        kind, at = _varint(payload, at)
        value, place = _value(payload, kind, place)
        values.append(value)
    return tuple(values)


def _value(payload: bytes, kind: int, at: int) -> tuple[Value, int]:
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    if kind >= 12:
        length = (kind - 12) // 2
        raw = _slice(payload, at, length)
        return (raw.decode("utf-8", "replace") if kind % 2 else raw), at + length
    if kind not in _WIDTHS:
        raise _BrokenError
    raw = _slice(payload, at, _WIDTHS[kind])
    if kind == 7:
        return float(struct.unpack(">d", raw)[0]), at + 8
    return int.from_bytes(raw, "big", signed=True), at + len(raw)
