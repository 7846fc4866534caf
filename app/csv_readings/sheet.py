"""From the bytes of a file to rows of cells: encoding, separator and heading."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from app.csv_readings.writing import typed_cell
from storage.errors import DocumentError, shown

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
BYTES_MAX, ROWS_MAX = 20_000_000, 50_000
_LOOKS_READ = re.compile(r"[\s\d.,:;/+\-°º%TtZzCcFfAaPpMm]*\d[\s\d.,:;/+\-°º%TtZzCcFfAaPpMm]*")


@dataclass(frozen=True, slots=True)
class Row:
    """One record and its number in the file, the first one being 1."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table as it stands in a file.

    Attributes
    ----------
    name : str
        What errors call the file.
    separator : str
    encoding : str
        As a person would call it.
    heading : tuple of str
        Names of the columns, ``#1``, ``#2`` ... where the file has none.
    rows : tuple of Row
        The records under the heading; all as wide as the heading.
    """

    name: str
    separator: str
    encoding: str
    heading: tuple[str, ...]
    rows: tuple[Row, ...]

    def fail(self, row: int | None, column: int | None, found: str, allowed: str) -> DocumentError:
        """The error for one place of the file."""
        where = [] if row is None else [f"row {row}"]
        if column is not None:
            where.append(f"column {shown(self.heading[column])}")
        return DocumentError(self.name, ", ".join(where), found, allowed)


def read_sheet(path: Path) -> Sheet:
    """The table in the file at `path`; raises DocumentError."""
    name = str(path)
    try:
        if path.is_file() and path.stat().st_size > BYTES_MAX:
            raise DocumentError(name, "", "more than 20 MB", "a table of readings, up to 20 MB")
        data = path.read_bytes()
    except OSError as error:
        found = error.strerror or str(error)
        raise DocumentError(name, "", found, "a file that can be read") from error
    return parse_sheet(data, name)


def parse_sheet(data: bytes, name: str) -> Sheet:
    """The table in `data`; raises DocumentError."""
    text, encoding = _decoded(data, name)
    hint, text = _hinted(text)
    separator, records = _split(text, name, hint)
    if not records:
        raise DocumentError(name, "", "nothing in it", "a heading and rows of readings")
    if len(records) > ROWS_MAX:
        found = f"{len(records)} rows"
        raise DocumentError(name, "", found, f"up to {ROWS_MAX} rows; thin them out first")
    width = Counter(len(cells) for _, cells in records).most_common(1)[0][0]
    # Lines about the device or the owner may stand above the table.
    while records and sum(map(bool, records[0][1])) < 2:
        records.pop(0)
    heading, records = _headed(records, width)
    rows = []
    for number, cells in records:
        extra = [cell for cell in cells[width:] if cell]
        if extra:
            found = f"{len(cells)} cells, the last {shown(extra[-1])}"
            allowed = f"{width} cells, separated by {SEPARATORS[separator]}"
            raise DocumentError(name, f"row {number}", found, allowed)
        rows.append(Row(number, (*cells[:width], *[""] * (width - len(cells)))))
    return Sheet(name, separator, encoding, heading, tuple(rows))


def _decoded(data: bytes, name: str) -> tuple[str, str]:
    """The text, and the name of its encoding."""
    encodings = [("utf-8-sig", "UTF-8"), ("cp1252", "Windows-1252")]
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        encodings = [("utf-16", "UTF-16")]
    for codec, shown_as in encodings:
        try:
            text = data.decode(codec)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text, shown_as
    raise DocumentError(name, "", "bytes that are no text", "text in UTF-8, UTF-16 or Windows-1252")


def _hinted(text: str) -> tuple[str, str]:
    """A separator that the first line names (``sep=;``), and the rest."""
    match = re.match(r'"?sep=(.)"?\r?\n', text, re.IGNORECASE)
    if match is None or match[1] not in SEPARATORS:
        return "", text
    return match[1], text[match.end() :]


def _split(text: str, name: str, hint: str) -> tuple[str, list[tuple[int, list[str]]]]:
    """The separator that cuts most rows to one width, and the records that are not empty."""
    best: tuple[tuple[int, int], str, list[tuple[int, list[str]]]] | None = None
    for separator in [hint] if hint else SEPARATORS:
        records = _records(text, name, separator, 1 if hint else 0)
        widths = Counter(len(cells) for _, cells in records)
        width, count = max(widths.items(), key=lambda item: (item[1], item[0]), default=(1, 0))
        rank = (count if width > 1 else 0, width)
        if best is None or rank > best[0]:
            best = rank, separator, records
    assert best is not None  # noqa: S101  there is always one separator to try
    return best[1], best[2]


def _records(text: str, name: str, separator: str, skipped: int) -> list[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    records = []
    try:
        for number, cells in enumerate(reader, 1 + skipped):
            clean = [cell.strip() for cell in cells]
            if any(clean):
                records.append((number, clean))
    except csv.Error as error:
        raise DocumentError(name, f"line {reader.line_num}", str(error), "a table") from error
    return records


def _headed(
    records: list[tuple[int, list[str]]], width: int
) -> tuple[tuple[str, ...], list[tuple[int, list[str]]]]:
    """The names of the columns, and the records under them."""
    numbered = tuple(f"#{place}" for place in range(1, width + 1))
    if not records or any(_LOOKS_READ.fullmatch(cell) for cell in records[0][1]):
        return numbered, records
    named = [*map(typed_cell, records[0][1]), *[""] * width][:width]
    return tuple(n or place for n, place in zip(named, numbered, strict=True)), records[1:]
