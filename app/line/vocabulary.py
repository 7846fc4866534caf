"""The words of the typed line: what happens at a fire, and what can be done to the log.

The first phrase of each entry is the one on the card; the others are forgiven.
"""

from __future__ import annotations

from core.cook import EventKind

EVENT_PHRASES: dict[EventKind, tuple[str, ...]] = {
    EventKind.LID_OPEN: (
        "lid", "lid open", "lid opened", "lid off", "opened lid", "opened", "open",
    ),
    EventKind.GLAZED: ("glaze", "glazed", "sauce", "sauced"),
    EventKind.WRAPPED: ("wrap", "wrapped"),
    EventKind.UNWRAPPED: ("unwrap", "unwrapped"),
    EventKind.SPRITZED: ("spritz", "spritzed", "mop", "mopped", "baste", "basted"),
    EventKind.TURNED: ("turn", "turned", "flip", "flipped", "rotate", "rotated"),
    EventKind.FUEL_ADDED: (
        "coals", "coals added", "added coals", "coal", "charcoal", "fuel", "briquettes",
    ),
    EventKind.WOOD_ADDED: ("wood", "wood added", "added wood", "chunk", "chunks", "chips"),
    EventKind.VENTS: ("vents", "vent", "damper", "dampers"),
    EventKind.PROBE_MOVED: ("moved", "probe moved", "moved probe", "move"),
    EventKind.SPOT_CHECK: ("spot", "spot check", "spots"),
    EventKind.PULLED: ("pull", "pulled", "meat off", "took off"),
    EventKind.SERVED: ("serve", "served"),
    EventKind.NOTE: ("note",),
}  # fmt: skip

AWAY_PHRASES = ("away", "leftovers away", "put away")
"""What is left is in the refrigerator: kept as a note of its own."""

UNDO_WORDS = ("undo",)
HELP_WORDS = ("help", "?")
FIX_WORDS = ("fix", "correct")
DROP_WORDS = ("drop", "delete")
RESTORE_WORDS = ("restore",)
PLAN_WORDS = ("plan",)
END_WORDS = ("end",)
REOPEN_WORDS = ("reopen",)
COMMAND_WORDS = (
    *UNDO_WORDS, *HELP_WORDS, *FIX_WORDS, *DROP_WORDS, *RESTORE_WORDS, *PLAN_WORDS, *END_WORDS,
    *REOPEN_WORDS,
)  # fmt: skip

KIND_OF = {phrase: kind for kind, phrases in EVENT_PHRASES.items() for phrase in phrases}
LONGEST_PHRASE = max(len(phrase.split()) for phrase in KIND_OF)
CARD_WORDS = (*(phrases[0] for phrases in EVENT_PHRASES.values()), AWAY_PHRASES[0])

RESERVED = frozenset(
    {
        "pit",
        "minute",
        "now",
        "at",
        "away",
        *COMMAND_WORDS,
        *(phrase.split()[0] for phrase in KIND_OF),
    }
)
"""Words that a probe had better not be called."""

TEXT_IS_WORDS = frozenset(
    {
        EventKind.FUEL_ADDED,
        EventKind.WOOD_ADDED,
        EventKind.VENTS,
        EventKind.SPOT_CHECK,
        EventKind.NOTE,
    }
)
"""Kinds whose text often begins with a number: ``coals 12 briquettes``."""


def phrase_at(words: list[str]) -> tuple[EventKind, int] | None:
    """The event that the first words name, and how many words that takes; the longest phrase."""
    for count in range(min(LONGEST_PHRASE, len(words)), 0, -1):
        kind = KIND_OF.get(" ".join(words[:count]))
        if kind is not None:
            return kind, count
    return None


def away_at(words: list[str]) -> int:
    """How many of the first words say that the leftovers are put away; 0 for none."""
    for phrase in AWAY_PHRASES:
        count = len(phrase.split())
        if " ".join(words[:count]) == phrase:
            return count
    return 0
