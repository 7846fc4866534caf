"""The map of the rooms in DEVELOPERS.md: ``python -m tests.rooms`` writes it from the docstrings.

A module says itself what it is for, in the first sentence of its docstring; the map collects that.
"""

from __future__ import annotations

import ast
import re
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BOOK = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- rooms: begin -->", "<!-- rooms: end -->"
ROOMS = ("core", "storage", "app")


def modules() -> list[Path]:
    """Every module of the program that holds something, room by room."""
    found = [
        file
        for room in ROOMS
        for file in sorted((ROOT / room).rglob("*.py"), key=lambda path: (path.parent, path.name))
    ]
    return [file for file in found if file.name != "__init__.py"]


def purpose(file: Path) -> str:
    """First sentence of a module's docstring; empty if it has none."""
    text = ast.get_docstring(ast.parse(file.read_text(encoding="utf-8"))) or ""
    first = re.split(r"(?<=[.!?])\s", " ".join(text.split()), maxsplit=1)[0]
    return re.sub(r":\w+:`~?([\w.]+)`", r"`\1`", first).replace("``", "`")


def rooms_map() -> str:
    """The map as Markdown, one list for each folder."""
    lines: list[str] = []
    folder = None
    for file in modules():
        if file.parent != folder:
            folder = file.parent
            lines += ["", f"### {folder.relative_to(ROOT)}/", ""]
        lines.append(f"- `{file.relative_to(ROOT)}`: {purpose(file)}")
    return "\n".join(lines).strip()


def main() -> int:
    """Put the map into DEVELOPERS.md."""
    text = BOOK.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    after = rest.split(END)[1]
    BOOK.write_text(f"{before}{BEGIN}\n\n{rooms_map()}\n\n{END}{after}", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
