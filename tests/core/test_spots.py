"""Spot checks: texts become values, the lowest counts, and only that is said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.cook import Cook, Event, EventKind, Plan, Probe
from core.spots import Spot, SpotCheck, finding, is_spot_text, last_check, spot_text, spots_of
from core.units import f_to_c


def _event(note: str, at_s: float = 0.0) -> Event:
    return Event(at_s, EventKind.SPOT_CHECK, note)


def _cook(*events: Event) -> Cook:
    return Cook(Plan("whole_chicken", 1.8, 165.0), (Probe("breast", 73.9),), (), events)


def test_texts_as_the_typed_line_keeps_them() -> None:
    spots = spots_of(_event("thigh 165 °F, left breast 71.5 °C", 60.0))
    assert [(s.place, round(s.temp_c, 1), s.elapsed_s) for s in spots] == [
        ("thigh", 73.9, 60.0),
        ("left breast", 71.5, 60.0),
    ]
    assert [s.place for s in spots_of(_event("160 °F 158 °F"))] == ["spot", "spot"]
    assert spots_of(_event("skin looks good")) == ()


@pytest.mark.parametrize(
    ("note", "places"),
    [
        ("64 °C at the thick end, 66 °C near the shank", ["thick end", "near the shank"]),
        ("68 °C, 66 °C and 67 °C, clear of the bone", ["spot", "spot", "spot"]),
        ("the thigh 75.56 °C, 72,5 °C", ["thigh", "spot"]),
        ("64 at the thick end", []),
    ],
)
def test_freer_texts_are_read_too(note: str, places: list[str]) -> None:
    assert [spot.place for spot in spots_of(_event(note))] == places


@given(
    st.lists(
        st.tuples(
            st.sampled_from(("thigh", "left breast", "rib 2", "spot")), st.integers(100, 210)
        ),
        min_size=1,
        max_size=5,
    )
)
def test_what_is_written_is_read_to_the_degree(pairs: list[tuple[str, int]]) -> None:
    note = spot_text((place, f_to_c(temp_f)) for place, temp_f in pairs)
    assert is_spot_text(note)
    back = [(s.place, round(s.temp_c * 1.8 + 32.0)) for s in spots_of(_event(note))]
    assert back == pairs


def test_a_round_is_held_against_each_target_and_says_what_is_missing() -> None:
    probes = (Probe("breast", 73.9), Probe("thigh", 80.0))
    check = SpotCheck((Spot("left thigh", 79.0, 0.0), Spot("breast", 73.88, 1.0)))
    found = finding(check, probes)
    assert [(s.place, round(k, 2)) for s, k in found.short] == [("left thigh", 1.0)]
    assert (found.missing, found.done) == (1, False)
    # a place that is no probe is held against the highest target
    wing = finding(SpotCheck((Spot("wing", 79.0, 0.0),)), probes)
    assert wing.short[0][1] == pytest.approx(1.0)
    three = SpotCheck(tuple(Spot("breast", 74.0, float(i)) for i in range(3)))
    assert finding(three, probes).done
    assert finding(three, ()).short == ()


def test_the_lowest_counts_and_its_number_is_said() -> None:
    check = last_check(_cook(_event("thigh 165 °F, breast 172 °F, wing 180 °F")), 10.0)
    assert check is not None
    assert check.lowest.place == "thigh"
    assert check.spread_c == pytest.approx(15.0 / 1.8)
    assert check.words(73.9) == "lowest of 3 spots at target"
    assert check.words(f_to_c(166.0)) is None
    one = last_check(_cook(_event("thigh 165 °F")), 10.0)
    assert one is not None
    assert one.words(73.9) == "lowest of 1 spot at target"


def test_rounds_are_kept_apart_and_a_spot_is_measured_anew() -> None:
    cook = _cook(
        _event("thigh 150 °F", 0.0),
        _event("thigh 162 °F", 3000.0),
        _event("breast 166 °F", 3060.0),
        _event("thigh 165 °F", 3400.0),
    )
    check = last_check(cook, 4000.0)
    assert check is not None
    assert {s.place: round(s.temp_c * 1.8 + 32) for s in check.spots} == {
        "breast": 166,
        "thigh": 165,
    }
    earlier = last_check(cook, 3100.0)
    assert earlier is not None
    assert earlier.lowest.temp_c == pytest.approx(f_to_c(162.0))
    assert last_check(_cook(), 100.0) is None


@given(temps=st.lists(st.floats(40.0, 100.0), min_size=1, max_size=6), target=st.floats(50.0, 95.0))
def test_at_target_exactly_if_every_spot_is(temps: list[float], target: float) -> None:
    check = SpotCheck(tuple(Spot(f"p{i}", t, float(i)) for i, t in enumerate(temps)))
    assert check.at_target(target) == all(t >= target - 0.05 for t in temps)
    assert (check.words(target) is None) != check.at_target(target)
    assert check.spread_c >= 0.0
