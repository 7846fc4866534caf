"""The day counted back from the meal: laws for any wish, and days a careful cook would check."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.catalogue import CUTS, cut_named
from core.cook import Cook, Plan, Probe
from core.day_thaw import READY_S
from core.day_times import LIGHT_HIGH_S, by_day, seconds_between
from core.day_values import (
    Brine,
    ConflictKey,
    Dayline,
    DayWish,
    Piece,
    RemedyKey,
    StepKey,
)
from core.dayline import plan_day
from core.errors import InvalidValue
from core.forecast import forecast
from core.thaw import FROM_FROZEN_FACTOR, HOLD_HIGH_S, MeatState, ThawMethod, thaw_time
from tests.core.day_fakes import made_forecast, never_below

PARIS = ZoneInfo("Europe/Paris")
NOON = datetime(2026, 6, 6, 12, 0, tzinfo=PARIS)
ROASTS = ("ham", "duck", "whole_chicken", "leg_of_lamb", "pork_shoulder", "whole_turkey")


def _piece(
    cut: str = "duck",
    *,
    state: MeatState = MeatState.THAWED,
    brine: Brine = Brine.NONE,
    mass_kg: float | None = None,
    pit_c: float = 150.0,
    target_c: float | None = None,
    name: str = "",
) -> Piece:
    book = cut_named(cut)
    plan = Plan(cut, book.typical_mass_kg if mass_kg is None else mass_kg, pit_c)
    probe = Probe("core", book.target_c if target_c is None else target_c, None, book.glaze_c)
    return Piece(name or cut, plan, (probe,), state, brine)


def _wish(*pieces: Piece, ahead_h: float = 30.0, now: datetime = NOON, **more: object) -> DayWish:
    at = (now.astimezone(UTC) + timedelta(hours=ahead_h)).astimezone(now.tzinfo)
    return DayWish(pieces or (_piece(),), at, now, **more)  # type: ignore[arg-type]


def _day(wish: DayWish) -> Dayline:
    return plan_day(wish, forecast_of=made_forecast)


WISHES = st.builds(
    lambda cut, state, brine, ahead_h, chance, people: _wish(
        _piece(cut, state=state, brine=brine), ahead_h=ahead_h, chance=chance, people=people
    ),
    st.sampled_from(ROASTS),
    st.sampled_from(MeatState),
    st.sampled_from(Brine),
    st.floats(1.0, 200.0),
    st.floats(0.3, 0.95),
    st.one_of(st.none(), st.integers(1, 30)),
)


@settings(max_examples=150, deadline=None)
@given(WISHES)
def test_any_day_is_in_order(wish: DayWish) -> None:
    day = _day(wish)
    (piece,) = day.pieces
    for step in day.steps:
        assert step.early <= step.at <= step.late, step
        assert step.at >= wish.now, step
        assert step.at.utcoffset() == timedelta(0)
        assert step.source
    assert [s.at for s in day.steps] == sorted(s.at for s in day.steps)
    before = [StepKey.THAW, StepKey.BRINE_IN, StepKey.BRINE_OUT, StepKey.RUB, StepKey.MEAT_ON]
    times = [step.at for key in before if (step := day.step(key)) is not None]
    assert times == sorted(times)
    late = day.conflict(ConflictKey.MEAT_ON_LATE)
    if late is None:
        assert piece.chance >= wish.chance - 0.005
        needed = piece.finish.quantile_s(wish.chance)
        assert needed is not None
        spare = seconds_between(piece.on_at, wish.serve_at) - needed - piece.rest_s - piece.carve_s
        assert 0.0 <= spare < 300.0 + 1e-6, "as late as may be"
    else:
        assert piece.chance <= wish.chance + 0.005
        assert late.at is not None
        assert late.at < piece.on_at


@settings(max_examples=100, deadline=None)
@given(WISHES)
def test_thawing_and_salt_get_their_time_or_it_is_said(wish: DayWish) -> None:
    day = _day(wish)
    (piece,) = wish.pieces
    thaw, on = day.step(StepKey.THAW), day.pieces[0].on_at
    if piece.state is MeatState.THAWED:
        assert thaw is None
    else:
        assert thaw is not None
        method = day.pieces[0].thaw
        assert method is not None
        needed = thaw_time(piece.plan.mass_kg, method, piece.state, piece.plan.cut).high_s
        assert seconds_between(thaw.at, on) >= needed
        assert seconds_between(thaw.early, on) <= max(
            needed + HOLD_HIGH_S + 1.0, seconds_between(thaw.at, on)
        ), "thawed meat keeps two days at most"
        cold = method is ThawMethod.COLD_WATER
        assert cold == (day.conflict(ConflictKey.THAW_LATE) is not None)
    salted = {Brine.WET: StepKey.BRINE_IN, Brine.DRY: StepKey.DRY_SALT}.get(piece.brine)
    if salted is not None:
        step = day.step(salted)
        assert (step is None) == (day.conflict(ConflictKey.BRINE_LATE) is not None)
        if step is not None:
            least = step.number("soak_low_s")
            assert least is not None
            assert seconds_between(step.at, on) >= least


@settings(max_examples=60, deadline=None)
@given(low=st.floats(0.1, 0.9), more=st.floats(0.0, 0.09), cut=st.sampled_from(ROASTS))
def test_more_certainty_is_never_a_later_start(low: float, more: float, cut: str) -> None:
    sure = _day(_wish(_piece(cut), chance=low + more, ahead_h=60.0))
    less = _day(_wish(_piece(cut), chance=low, ahead_h=60.0))
    assert sure.pieces[0].on_at <= less.pieces[0].on_at


@pytest.mark.parametrize(
    ("serve_at", "real_h"),
    [
        (datetime(2026, 3, 29, 9, 0, tzinfo=PARIS), 12.0),  # clocks go forward at 02:00
        (datetime(2026, 10, 25, 9, 0, tzinfo=PARIS), 14.0),  # clocks go back at 03:00
    ],
)
def test_nights_of_clock_change_and_midnight(serve_at: datetime, real_h: float) -> None:
    now = (serve_at - timedelta(hours=13)).replace(fold=0)  # by the wall clock
    assert seconds_between(now, serve_at) == real_h * 3600.0
    day = _day(DayWish((_piece("leg_of_lamb", pit_c=100.0),), serve_at, now))
    plain = _day(
        DayWish(
            (_piece("leg_of_lamb", pit_c=100.0),), serve_at.astimezone(UTC), now.astimezone(UTC)
        )
    )
    assert day.pieces[0].on_at == plain.pieces[0].on_at
    assert [(s.key, s.at) for s in day.steps] == [(s.key, s.at) for s in plain.steps]
    planned = day.pieces[0].plan.serve_s
    assert planned == (serve_at.astimezone(UTC) - day.pieces[0].on_at).total_seconds()


def test_work_of_the_day_before_is_kept_out_of_the_night() -> None:
    night = datetime(2026, 6, 7, 2, 0, tzinfo=PARIS)
    early = datetime(2026, 6, 6, 20, 0, tzinfo=PARIS)
    assert by_day(night, early, PARIS) == datetime(2026, 6, 6, 22, 30, tzinfo=PARIS)
    assert by_day(night, night - timedelta(hours=1), PARIS) == night
    assert by_day(early, night - timedelta(days=1), PARIS) == early


def test_meat_on_is_by_the_prior_forecast_of_the_model() -> None:
    """Traced: the same draws, the wanted quantile, rest and carving."""
    piece = _piece("ham")
    day = plan_day(_wish(piece, people=12))
    own = forecast(Cook(piece.plan, piece.probes), 0.0).finish
    step = day.step(StepKey.MEAT_ON)
    assert step is not None
    assert step.number("enough_s") == pytest.approx(own.quantile_s(0.9))
    assert step.number("median_s") == pytest.approx(own.quantile_s(0.5))
    assert day.pieces[0].chance == pytest.approx(0.9, abs=0.02)


def test_early_meat_is_held_hot_until_carving() -> None:
    day = _day(_wish())
    hold, carve, pull = (day.step(k) for k in (StepKey.HOLD, StepKey.CARVE, StepKey.PULL))
    assert hold is not None
    assert carve is not None
    assert pull is not None
    assert hold.number("hold_c") == 60.0
    assert hold.number("hold_s") == pytest.approx(seconds_between(hold.at, carve.at))
    assert pull.early < pull.at < pull.late < carve.at


def test_frozen_bird_on_the_day_is_told_what_can_still_be_done() -> None:
    day = _day(_wish(_piece("duck", state=MeatState.FROZEN, pit_c=165.0), ahead_h=8.0))
    conflict = day.conflict(ConflictKey.THAW_LATE)
    assert conflict is not None
    assert conflict.at is not None
    assert conflict.at < day.wish.now
    assert [r.key for r in conflict.remedies] == [RemedyKey.COLD_WATER]
    assert conflict.remedies[0].by is not None
    assert day.conflict(ConflictKey.MEAT_ON_LATE) is None
    thaw, on = day.step(StepKey.THAW), day.step(StepKey.MEAT_ON)
    assert thaw is not None
    assert on is not None
    takes = thaw.number("thaw_high_s")
    assert takes is not None
    waits = seconds_between(thaw.at, on.at) - takes
    assert READY_S - 1.0 <= waits < READY_S + 300.0, (
        "meat thawed in cold water is cooked at once (USDA)"
    )


def test_frozen_bird_too_late_for_water_eats_later_or_goes_on_frozen() -> None:
    day = _day(_wish(_piece("duck", state=MeatState.FROZEN, pit_c=165.0), ahead_h=4.0))
    late = day.conflict(ConflictKey.MEAT_ON_LATE)
    assert late is not None
    found = {r.key: r for r in late.remedies}
    assert {RemedyKey.EAT_AT, RemedyKey.FROM_FROZEN} <= set(found)
    eat, frozen = found[RemedyKey.EAT_AT], found[RemedyKey.FROM_FROZEN]
    assert dict(frozen.numbers)["factor"] == FROM_FROZEN_FACTOR
    assert eat.by is not None
    later = _day(DayWish(day.wish.pieces, eat.by, day.wish.now))
    assert later.conflict(ConflictKey.MEAT_ON_LATE) is None
    assert later.pieces[0].chance >= 0.895


def test_cooking_from_frozen_is_not_offered_on_a_low_fire() -> None:
    piece = _piece("pork_shoulder", state=MeatState.FROZEN, pit_c=110.0)
    late = _day(_wish(piece, ahead_h=4.0)).conflict(ConflictKey.MEAT_ON_LATE)
    assert late is not None
    assert RemedyKey.FROM_FROZEN not in {r.key for r in late.remedies}


def test_late_start_offers_a_pit_that_makes_it() -> None:
    late = _day(_wish(_piece("duck", pit_c=120.0), ahead_h=6.1)).conflict(ConflictKey.MEAT_ON_LATE)
    assert late is not None
    hotter = [r for r in late.remedies if r.key is RemedyKey.HOTTER_PIT]
    assert hotter
    pit_c = dict(hotter[0].numbers)["pit_c"]
    again = _day(_wish(_piece("duck", pit_c=pit_c), ahead_h=6.1))
    assert again.conflict(ConflictKey.MEAT_ON_LATE) is None


def test_a_fire_too_low_for_the_target_is_said() -> None:
    day = plan_day(_wish(_piece(pit_c=100.0)), forecast_of=never_below(110.0))
    conflict = day.conflict(ConflictKey.NEVER_REACHED)
    assert conflict is not None
    assert conflict.number("never") == pytest.approx(0.2, abs=0.01)
    assert RemedyKey.HOTTER_PIT in {r.key for r in conflict.remedies}
    assert 0.7 < day.pieces[0].chance < 0.9


def test_two_pieces_share_one_fire_and_one_meal() -> None:
    lamb = _piece("leg_of_lamb", pit_c=150.0, target_c=57.0)
    bird = _piece("whole_chicken", pit_c=170.0, brine=Brine.WET)
    day = _day(_wish(lamb, bird, ahead_h=48.0, people=8))
    assert [d.plan.pit_c for d in day.pieces] == [160.0, 160.0], "the middle of the two"
    differ = day.conflict(ConflictKey.PITS_DIFFER)
    assert differ is not None
    assert differ.number("pit_c leg_of_lamb") == 150.0
    offered = [dict(r.numbers) for r in differ.remedies]
    assert [n["pit_c"] for n in offered] == [150.0, 170.0]
    for remedy, numbers in zip(differ.remedies, offered, strict=True):
        assert remedy.key is RemedyKey.ONE_PIT
        assert remedy.by is not None
        ahead_s = max(numbers[f"ahead_s {name}"] for name in ("leg_of_lamb", "whole_chicken"))
        assert 0.0 <= seconds_between(remedy.by, day.wish.serve_at) - ahead_s < 300.0
    assert len([s for s in day.steps if s.key is StepKey.LIGHT]) == 1
    assert len([s for s in day.steps if s.key is StepKey.MEAT_ON]) == 2
    light = day.step(StepKey.LIGHT)
    assert light is not None
    first = min(d.on_at for d in day.pieces)
    assert seconds_between(light.at, first) == LIGHT_HIGH_S
    below = [c for c in day.conflicts if c.key is ConflictKey.BELOW_MINIMUM]
    assert [c.piece for c in below] == ["leg_of_lamb"]


def test_target_below_the_minimum_is_said_for_every_cut() -> None:
    for key, cut in CUTS.items():
        if key == "other":
            continue
        at = _day(_wish(_piece(key, target_c=cut.minimum.temp_c)))
        under = _day(_wish(_piece(key, target_c=cut.minimum.temp_c - 2.0)))
        assert at.conflict(ConflictKey.BELOW_MINIMUM) is None
        assert under.conflict(ConflictKey.BELOW_MINIMUM) is not None


def test_small_for_the_table_and_meal_behind_us() -> None:
    small = _day(_wish(_piece("duck"), people=12)).conflict(ConflictKey.SMALL_FOR_PEOPLE)
    assert small is not None
    assert small.number("fed") == pytest.approx(2.3 / 0.6)
    past = _day(_wish(ahead_h=-1.0))
    assert past.conflict(ConflictKey.SERVE_PAST) is not None
    assert past.conflict(ConflictKey.MEAT_ON_LATE) is not None


def test_wishes_are_checked() -> None:
    with pytest.raises(InvalidValue):
        _wish(chance=1.0)
    with pytest.raises(InvalidValue):
        _wish(_piece(), _piece())
    with pytest.raises(InvalidValue):
        DayWish((_piece(),), datetime(2026, 6, 6, 12), NOON)  # noqa: DTZ001
    with pytest.raises(InvalidValue):
        _wish(people=0)
