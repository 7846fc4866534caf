"""Lines that are wrapped under their own words, not under their mark, clock or indent."""

from __future__ import annotations

import re
from textwrap import wrap

_LEAD = re.compile(r"\s*(?:[!-] |\d\d:\d\d +)?")


def hung_line(line: str, width: int) -> list[str]:
    """One line in rows of at most `width`; the rows that follow stand under its first word."""
    found = _LEAD.match(line)
    lead = found.end() if found else 0
    if lead >= width // 2:
        lead = 0
    return wrap(line, width, subsequent_indent=" " * lead) or [""]


def hung(text: str, width: int) -> str:
    """Every line of a text so."""
    return "\n".join(row for line in text.splitlines() for row in hung_line(line, width))
