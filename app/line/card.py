"""The card of the typed line, as data: the README, F1 and ``doneby help line`` show this one."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CardRow:
    """What is typed, and what it means."""

    typed: str
    means: str


@dataclass(frozen=True, slots=True)
class CardPart:
    """A few rows under one heading."""

    heading: str
    rows: tuple[CardRow, ...]


def _part(heading: str, *rows: tuple[str, str]) -> CardPart:
    return CardPart(heading, tuple(CardRow(typed, means) for typed, means in rows))


CARD: tuple[CardPart, ...] = (
    _part(
        "Readings",
        ("305 128  305 - 131", "pit, then the probes in their order; - skips one"),
        ("pit 310  52c  126f", "a name picks one; C or F when it is not the cook's"),
    ),
    _part(
        "When (else now)",
        ("@14:20  @sat14:20  -1h20m", "the nearest past one; of that day; so long ago"),
    ),
    _part(
        "What happened (words may follow)",
        ("lid  turn  spritz", "lid opened, meat turned, sprayed; lid turn is both"),
        ("glaze  wrap  unwrap", "glazed, wrapped, unwrapped"),
        ("coals 12 briquettes", "fuel added; so too: wood cherry, vents half"),
        ("moved  spot thigh 165", "a probe moved; spots checked: thigh 168 breast 163"),
        ("pull  serve  away", "off the fire; on the table: the end; leftovers cold"),
        ("note wind got up", "anything, kept as it is"),
        ("305 128 lid; turn half", "readings first; ';' between events with words"),
    ),
    _part(
        "Mending",
        ("undo", "takes the last line back"),
        ("fix 305 132", "corrects the last readings; - leaves one as it was"),
        ("fix #12 305 132", "corrects line 12; or by its time: fix @14:20 ..."),
        ("drop #12  restore #12", "takes line 12 out, brings it back"),
        ("plan meal 18:30", "also pit, target, glaze, wrap, band, rest, pull, on"),
        ("end  reopen", "ends the cook unserved; takes the last one up again"),
    ),
    _part(
        "On the screen",
        ("levers  fire  tables", "what would help; the fire so far; published tables"),
        ("ledger  day  brine", "past cooks; the day counted back; brines and rubs"),
        ("snooze 15  alert fire off", "alerts later; one kind off, or on again"),
    ),
)


def card_text(width: int = 0) -> str:
    """The card as plain text, columns aligned; `width` is the least width of the first column."""
    left = max(width, *(len(row.typed) for part in CARD for row in part.rows)) + 2
    lines: list[str] = []
    for part in CARD:
        lines.append(part.heading)
        lines += [f"  {row.typed:<{left}}{row.means}" for row in part.rows]
    return "\n".join(lines)
