"""Laws of the running equivalence and the come-up time."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from core.answers import Suspect
from core.come_up import HIGH_C, LOW_C, come_up
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.errors import InvalidValue
from core.lethality import (
    accumulate,
    lethality_of,
    meat_standard,
    poultry_standard,
    standard_for,
)

TURKEY = poultry_standard("turkey")
TEMPS = st.floats(40.0, 73.0)


def test_time_never_grows_with_temperature() -> None:
    for standard in (meat_standard(), TURKEY, poultry_standard("duck", 3.0)):
        times = [standard.time_s(t) for t in np.linspace(standard.temps_c[0], 80.0, 900)]
        assert all(a is not None and b is not None and a >= b - 1e-9 for a, b in pairwise(times))


def test_between_rows_the_logarithm_is_linear() -> None:
    low, high = TURKEY.times_s[4], TURKEY.times_s[5]
    middle = TURKEY.time_s(0.5 * (TURKEY.temps_c[4] + TURKEY.temps_c[5]))
    assert middle == pytest.approx(math.sqrt(low * high))


def test_below_the_first_row_nothing_counts() -> None:
    assert TURKEY.time_s(TURKEY.temps_c[0] - 0.01) is None
    found = accumulate(TURKEY, [(600.0 * i, TURKEY.temps_c[0] - 0.1) for i in range(60)])
    assert (found.share, found.counted_s, found.reached_s) == (0.0, 0.0, None)


def test_above_the_last_row_the_last_row_holds() -> None:
    assert TURKEY.time_s(95.0) == TURKEY.times_s[-1] == 0.0


def test_next_to_at_once_the_row_below_holds() -> None:
    last = [t for t in TURKEY.times_s if t > 0.0][-1]
    assert TURKEY.time_s(TURKEY.instant_c - 0.1) == last
    assert TURKEY.time_s(TURKEY.instant_c) == 0.0


def test_reading_at_once_is_reached_by_then() -> None:
    found = accumulate(TURKEY, [(0.0, 20.0), (1200.0, 60.0), (1210.0, 80.0)])
    assert found.reached_s is not None
    assert 1200.0 < found.reached_s <= 1200.0 + 10.0 * (TURKEY.instant_c - 60.0) / 20.0 + 1e-9
    assert accumulate(TURKEY, [(50.0, 80.0)]).reached_s == 50.0


@settings(max_examples=60, deadline=None)
@given(first=TEMPS, last=TEMPS, span=st.floats(60.0, 3500.0))
def test_share_is_the_integral_of_the_rate(first: float, last: float, span: float) -> None:
    """Against a fine trapezoid of 1/time with the temperature linear in time."""
    found = accumulate(TURKEY, [(0.0, first), (span, last)])
    t = np.linspace(0.0, span, 8001)
    rates = np.array([1.0 / s if (s := TURKEY.time_s(c)) else 0.0 for c in
                      np.interp(t, [0.0, span], [first, last])])  # fmt: skip
    assert found.share == pytest.approx(min(float(trapezoid(rates, t)), 1.0), rel=3e-3, abs=2e-3)


@settings(max_examples=60, deadline=None)
@given(temps=st.lists(TEMPS, min_size=3, max_size=12), cut=st.integers(1, 9))
def test_more_readings_never_take_away(temps: list[float], cut: int) -> None:
    readings = [(900.0 * i, t) for i, t in enumerate(temps)]
    short, whole = accumulate(TURKEY, readings[: cut + 1]), accumulate(TURKEY, readings)
    assert short.share <= whole.share + 1e-12
    if short.reached_s is not None:
        assert whole.reached_s == short.reached_s


@settings(max_examples=60, deadline=None)
@given(temps=st.lists(TEMPS, min_size=2, max_size=8), more=st.floats(0.0, 5.0))
def test_hotter_is_never_later(temps: list[float], more: float) -> None:
    cool = accumulate(TURKEY, [(900.0 * i, t) for i, t in enumerate(temps)])
    warm = accumulate(TURKEY, [(900.0 * i, t + more) for i, t in enumerate(temps)])
    assert warm.share >= cool.share - 1e-9
    if cool.reached_s is not None:
        assert warm.reached_s is not None
        assert warm.reached_s <= cool.reached_s + 1e-6


@settings(max_examples=60, deadline=None)
@given(first=TEMPS, last=TEMPS, share=st.floats(0.05, 0.95))
def test_a_reading_on_the_line_changes_nothing(first: float, last: float, share: float) -> None:
    two = [(0.0, first), (3000.0, last)]
    three = [two[0], (3000.0 * share, first + share * (last - first)), two[1]]
    assert accumulate(TURKEY, two).share == pytest.approx(accumulate(TURKEY, three).share, abs=1e-9)


def test_long_gaps_and_moved_probes_are_left_out_and_said() -> None:
    readings = [(0.0, 62.0), (600.0, 62.0), (9000.0, 62.0), (9600.0, 62.0)]
    found = accumulate(TURKEY, readings, moved_s=[9300.0])
    assert [(g.start_s, g.end_s, g.reason) for g in found.gaps] == [
        (600.0, 9000.0, "long"),
        (9000.0, 9600.0, "moved"),
    ]
    assert found.counted_s == pytest.approx(600.0)
    time_s = TURKEY.time_s(62.0)
    assert time_s is not None
    assert found.share == pytest.approx(600.0 / time_s)


def test_doubted_readings_of_a_cook_are_left_out() -> None:
    cook = Cook(
        Plan("whole_chicken", 1.8, 165.0),
        (Probe("breast", 74.0),),
        tuple(Reading(600.0 * i, None, (("breast", t),)) for i, t in enumerate((5, 20, 90, 35))),
        (Event(100.0, EventKind.NOTE, "invented"),),
    )
    standard = standard_for("whole_chicken")
    assert standard is not None
    assert lethality_of(cook, "breast", standard).reached_s is not None
    doubt = Suspect(1200.0, "breast", 90, 28.0)
    assert lethality_of(cook, "breast", standard, (doubt,)).reached_s is None


def test_fat_takes_the_next_column_up() -> None:
    assert poultry_standard("chicken", 5.2).fat_pct == 6
    assert poultry_standard("chicken", 0.0).fat_pct == 1
    with pytest.raises(InvalidValue):
        poultry_standard("chicken", -1.0)
    with pytest.raises(InvalidValue):
        meat_standard(5.5)


def test_come_up_counts_between_both_crossings() -> None:
    readings = [(0.0, LOW_C - 5.0), (600.0, LOW_C + 5.0), (6000.0, HIGH_C - 4.0),
                (7200.0, HIGH_C + 4.0), (9000.0, HIGH_C - 2.0)]  # fmt: skip
    found = come_up(readings, 9000.0)
    assert (found.entered_s, found.left_s) == (pytest.approx(300.0), pytest.approx(6600.0))
    assert found.elapsed_s == pytest.approx(6300.0)
    assert not found.over
    assert come_up(readings, 5000.0).elapsed_s == pytest.approx(4700.0)


def test_come_up_over_the_limit_and_from_an_unseen_start() -> None:
    found = come_up([(900.0, 20.0), (20000.0, 50.0)], 23000.0)
    assert not found.entered_seen
    assert found.entered_s == 0.0
    assert found.over
    assert come_up([(0.0, 4.0)], 7200.0).elapsed_s == 0.0
    assert come_up([], 7200.0).entered_s is None
