"""Numbers typed in each other's place, and a first reading that cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.cook import Cook, Event, EventKind, Milestone, Plan, Probe, Reading
from core.fire import believed_pit
from core.forecast import forecast
from core.sightings import sightings
from core.slips import exchanged
from tests.core.cooks import made_cook

PLAN = Plan("leg_of_lamb", 2.4, 160.0)


def _cook(*rows: tuple[float, float | None, float]) -> Cook:
    readings = tuple(Reading(60.0 * t, pit, (("core", meat),)) for t, pit, meat in rows)
    return Cook(PLAN, (Probe("core", 63.0),), readings)


def test_exchanged_numbers_are_believed_in_neither_place() -> None:
    cook = _cook((0, 158, 5), (40, 161, 18), (80, 34, 160))
    assert exchanged(cook) == {(4800.0, "core")}
    assert list(believed_pit(cook)[1]) == [158.0, 161.0]
    seen = sightings(cook, "core")
    assert list(seen.temps_c) == [5.0, 18.0]
    assert seen.doubted == ((4800.0, 160.0),)


@pytest.mark.parametrize(
    "rows",
    [
        ((0, 158, 5), (40, 161, 18), (80, 157, 34)),  # nothing odd
        ((0, 158, 5), (40, 161, 18), (80, None, 34)),  # no pit
        ((0, 158, 5), (240, 160, 62), (260, 55, 63)),  # the fire went out
    ],
)
def test_what_is_not_exchanged_is_believed(
    rows: tuple[tuple[float, float | None, float], ...],
) -> None:
    assert not exchanged(_cook(*rows))


def test_a_first_reading_far_above_the_next_two_is_set_aside() -> None:
    seen = sightings(_cook((0, 158, 134), (20, 161, 8), (40, 157, 17)), "core")
    assert list(seen.temps_c) == [8.0, 17.0]


@pytest.mark.parametrize("share", [0.5, 0.9])
def test_an_exchange_in_the_latest_reading_changes_little(share: float) -> None:
    made = made_cook(PLAN, 63.0)
    now = share * made.finish_s
    cook = made.cook.known_at(now)
    last = cook.readings[-1]
    meat = last.of("core")
    assert meat is not None and last.pit_c is not None
    bad = replace(last, pit_c=meat, meat_c=(("core", last.pit_c),))
    slipped = forecast(replace(cook, readings=(*cook.readings[:-1], bad)), now)
    clean, wrong = (f.arrival("core", Milestone.TARGET) for f in (forecast(cook, now), slipped))
    assert clean is not None and wrong is not None
    clean_s, wrong_s = clean.quantile_s(0.5), wrong.quantile_s(0.5)
    assert clean_s is not None and wrong_s is not None
    assert wrong_s == pytest.approx(clean_s, rel=0.06)


def test_many_odd_readings_in_a_row_are_no_slips() -> None:
    """Faster than any leg: the readings are believed, and the target counts as reached."""
    rows = [(0.0, 160.0, 5.0), (30.0, 160.0, 11.0), (60.0, 160.0, 22.0), (75.0, 160.0, 30.0)]
    rows += [(75.0 + 4.0 * i, 160.0, 30.0 + 6.0 * i) for i in range(1, 7)]
    cook = _cook(*rows)
    now = cook.readings[-1].elapsed_s
    arrival = forecast(cook, now).arrival("core", Milestone.TARGET)
    assert arrival is not None and arrival.reached_s is not None


def test_a_served_cook_has_rested() -> None:
    made = made_cook(PLAN, 63.0)
    end = made.cook.readings[-1].elapsed_s
    events = (Event(end, EventKind.PULLED), Event(end + 1500.0, EventKind.SERVED))
    rested = forecast(replace(made.cook, events=events), end + 1600.0)
    arrival = rested.arrival("core", Milestone.RESTED)
    assert arrival is not None and arrival.reached_s is not None
    assert end <= arrival.reached_s <= end + 1500.0
