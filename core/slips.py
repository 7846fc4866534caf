"""Readings whose numbers were typed in the wrong places: pit and meat exchanged."""

from __future__ import annotations

from core.cook import Cook, Reading

_NEAR_MEAT_C, _NEAR_PIT_C = 25.0, 45.0


def exchanged(cook: Cook) -> frozenset[tuple[float, str]]:
    """(elapsed_s, probe) of meat readings that look exchanged with the pit's.

    The meat is said to be hotter than the pit, the pit is where the meat was, and the meat where
    the pit was or is planned. Neither number is then believed: which of two probes it was, or
    whether it was a slip at all, only the cook can say.
    """
    found = set()
    last_pit: float = cook.plan.pit_c
    last_meat: dict[str, float] = {p.name: p.start_c for p in cook.probes if p.start_c is not None}
    for reading in cook.readings:
        crossed = [name for name, temp in reading.meat_c if _crossed(reading, temp, last_pit)]
        for name in crossed:
            before = last_meat.get(name)
            if before is None or _near(reading.pit_c, before, _NEAR_MEAT_C):
                found.add((reading.elapsed_s, name))
        if not crossed:
            last_pit = reading.pit_c if reading.pit_c is not None else last_pit
            last_meat |= dict(reading.meat_c)
    return frozenset(found)


def _crossed(reading: Reading, meat_c: float, last_pit_c: float) -> bool:
    hotter = reading.pit_c is not None and meat_c > reading.pit_c + 5.0
    return hotter and _near(meat_c, last_pit_c, _NEAR_PIT_C)


def _near(found_c: float | None, expected_c: float, within_c: float) -> bool:
    return found_c is not None and abs(found_c - expected_c) <= within_c
