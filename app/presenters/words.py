"""Small turns of phrase that several presenters and the typed line share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import Display, one_line
from core.cook import Event, EventKind, Reading
from core.spots import is_spot_text, spots_of

if TYPE_CHECKING:
    from core.answers import Arrival

EVENT_WORDS = {
    EventKind.LID_OPEN: "lid open",
    EventKind.GLAZED: "glazed",
    EventKind.WRAPPED: "wrapped",
    EventKind.UNWRAPPED: "unwrapped",
    EventKind.SPRITZED: "spritzed",
    EventKind.TURNED: "turned",
    EventKind.FUEL_ADDED: "coals added",
    EventKind.WOOD_ADDED: "wood added",
    EventKind.VENTS: "vents",
    EventKind.PROBE_MOVED: "probe moved",
    EventKind.SPOT_CHECK: "spot check",
    EventKind.PULLED: "pulled",
    EventKind.SERVED: "served",
    EventKind.NOTE: "note",
}
EIGHT_IN_TEN = "in 8 of 10 cooks like this"


def reading_words(reading: Reading, display: Display) -> str:
    """``pit 305 °F, breast 128 °F``; empty if nothing was read."""
    pairs = [] if reading.pit_c is None else [("pit", reading.pit_c)]
    pairs += list(reading.meat_c)
    return ", ".join(f"{name} {display.reading(temp_c)}" for name, temp_c in pairs)


def event_words(event: Event, display: Display) -> str:
    """``coals added: 12 briquettes``; the temperatures of a spot check in the reader's unit."""
    words, note = EVENT_WORDS[event.kind], one_line(event.note)
    if event.kind is EventKind.SPOT_CHECK and is_spot_text(note):
        spots = spots_of(event)
        note = ", ".join(f"{one_line(spot.place)} {display.reading(spot.temp_c)}" for spot in spots)
    return f"{words}: {note}" if note else words


def line_words(readings: tuple[Reading, ...], events: tuple[Event, ...], display: Display) -> str:
    """What one line says, in words."""
    parts = [reading_words(reading, display) for reading in readings]
    parts += [event_words(event, display) for event in events]
    return ", ".join(part for part in parts if part)


def in_ten(chance: float) -> str:
    """A chance as a cook says it: ``8 in 10``. Never certain: a model does not know that well."""
    if chance >= 0.95:
        return "better than 19 in 20"
    if chance < 0.05:
        return "under 1 in 20"
    return f"{min(max(round(chance * 10), 1), 9)} in 10"


def never_words(arrival: Arrival) -> str:
    """``2 in 10 never get there at this fire``; empty if that hardly happens."""
    chance = arrival.probability_never
    return "" if chance < 0.05 else f"{in_ten(chance)} never get there at this fire"


def sentence(text: str) -> str:
    """The text with a capital and a full stop."""
    return f"{text[:1].upper()}{text[1:]}" + ("" if text.endswith((".", "?", "!")) else ".")


def join_words(*parts: str) -> str:
    """The parts that are not empty, with semicolons between."""
    return "; ".join(part for part in parts if part)
