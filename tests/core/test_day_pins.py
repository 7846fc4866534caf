"""Steps that were moved or done: the rest of the day follows from them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.catalogue import cut_named
from core.cook import Cook, Plan, Probe
from core.day_times import LIGHT_HIGH_S, seconds_between
from core.day_values import (
    Brine,
    ConflictKey,
    Dayline,
    DayWish,
    LivePiece,
    Piece,
    Pin,
    RemedyKey,
    StepKey,
    step_id,
)
from core.dayline import plan_day
from core.thaw import MeatState, ThawMethod, thaw_time
from tests.core.day_fakes import made_forecast

ZONE = ZoneInfo("Europe/Madrid")
NOW = datetime(2026, 8, 20, 9, 0, tzinfo=ZONE)
MEAL = datetime(2026, 8, 21, 19, 0, tzinfo=ZONE)


def _piece(
    cut: str = "duck", state: MeatState = MeatState.THAWED, brine: Brine = Brine.NONE
) -> Piece:
    book = cut_named(cut)
    probe = Probe("core", book.target_c, None, book.glaze_c)
    return Piece(cut, Plan(cut, book.typical_mass_kg, 150.0), (probe,), state, brine)


def _day(
    *pieces: Piece,
    now: datetime = NOW,
    live: dict[str, LivePiece] | None = None,
    meal: datetime = MEAL,
    **pins: Pin,
) -> Dayline:
    named = {name.replace("__", ":"): pin for name, pin in pins.items()}
    wish = DayWish(pieces or (_piece(),), meal, now, pins=named)
    return plan_day(wish, forecast_of=made_forecast, live=live)


def _at(day: Dayline, key: StepKey) -> datetime:
    step = day.step(key)
    assert step is not None, key
    return step.at


def _later(at: datetime, minutes: float) -> datetime:
    return at + timedelta(minutes=minutes)


def test_a_late_fire_is_later_meat_and_less_chance_and_it_is_said() -> None:
    plan = _day()
    light = _at(plan, StepKey.LIGHT)
    lit = _later(light, 60)
    late = _day(now=_later(lit, 1), light=Pin(lit, done=True))
    (piece,) = late.pieces
    assert piece.on_at > plan.pieces[0].on_at
    assert seconds_between(lit, piece.on_at) >= LIGHT_HIGH_S
    assert piece.chance < plan.pieces[0].chance - 0.1
    conflict = late.conflict(ConflictKey.MEAT_ON_LATE)
    assert conflict is not None
    assert conflict.at == plan.pieces[0].on_at
    assert conflict.number("chance") == piece.chance
    eat = next(r for r in conflict.remedies if r.key is RemedyKey.EAT_AT)
    assert eat.by is not None
    again = _day(now=_later(lit, 1), meal=eat.by.astimezone(ZONE), light=Pin(lit, done=True))
    assert again.conflict(ConflictKey.MEAT_ON_LATE) is None


def test_a_fire_lit_within_its_range_changes_nothing() -> None:
    plan = _day()
    lit = _later(_at(plan, StepKey.LIGHT), 12)
    same = _day(now=_later(lit, 5), light=Pin(lit, done=True))
    assert same.pieces[0].on_at == plan.pieces[0].on_at
    assert same.conflicts == ()
    step = same.step(StepKey.LIGHT)
    assert step is not None
    assert step.done
    assert step.at == lit.astimezone(UTC)


def test_a_step_that_nobody_ticked_is_due_now_and_then_late() -> None:
    plan = _day()
    light = _at(plan, StepKey.LIGHT)
    due = _day(now=_later(light, 10))
    assert due.conflict(ConflictKey.MEAT_ON_LATE) is None, "30 min are enough"
    assert _at(due, StepKey.LIGHT) == _later(light, 10)
    late = _day(now=_later(light, 20))
    assert late.conflict(ConflictKey.MEAT_ON_LATE) is not None


@settings(max_examples=40, deadline=None)
@given(first=st.integers(-240, 240), more=st.integers(5, 240))
def test_later_meat_is_never_surer(first: int, more: int) -> None:
    at = _at(_day(), StepKey.MEAT_ON)
    one = _day(meat_on__duck=Pin(_later(at, first)))
    two = _day(meat_on__duck=Pin(_later(at, first + more)))
    assert one.pieces[0].on_at == _later(at, first)
    assert two.pieces[0].chance <= one.pieces[0].chance
    assert (one.conflict(ConflictKey.MEAT_ON_LATE) is None) == (first <= 0)


def test_meat_that_is_on_has_its_preparations_behind_it() -> None:
    plan = _day(_piece(brine=Brine.WET, state=MeatState.FROZEN), now=NOW - timedelta(days=3))
    on = _at(plan, StepKey.MEAT_ON)
    into = _at(plan, StepKey.BRINE_IN)
    day = _day(
        _piece(brine=Brine.WET, state=MeatState.FROZEN), now=_later(on, 30),
        meat_on__duck=Pin(_later(on, 5), done=True), brine_in__duck=Pin(into, done=True),
    )  # fmt: skip
    keys = {step.key for step in day.steps}
    assert StepKey.BRINE_IN in keys, "it was ticked"
    assert not keys & {StepKey.THAW, StepKey.RUB, StepKey.BRINE_OUT, StepKey.LIGHT}
    assert day.conflict(ConflictKey.THAW_LATE) is None
    assert day.pieces[0].on


def test_meat_that_went_on_late_runs_late() -> None:
    on = _at(_day(), StepKey.MEAT_ON)
    day = _day(now=_later(on, 100), meat_on__duck=Pin(_later(on, 90), done=True))
    conflict = day.conflict(ConflictKey.RUNNING_LATE)
    assert conflict is not None
    assert conflict.number("chance") == day.pieces[0].chance
    assert [r.key for r in conflict.remedies] == [RemedyKey.EAT_AT]


def test_a_live_piece_brings_its_own_forecast() -> None:
    on = _at(_day(), StepKey.MEAT_ON)
    told = made_forecast(Cook(Plan("duck", 1.0, 150.0), (Probe("core", 74.0),)))
    day = _day(now=_later(on, 60), live={"duck": LivePiece(on, told)})
    assert day.pieces[0].finish is told.finish
    assert day.pieces[0].on_at == on
    over = _day(now=_later(on, 900), live={"duck": LivePiece(on, told, over=True)})
    assert over.conflict(ConflictKey.RUNNING_LATE) is None


def test_a_pull_moves_rest_and_says_whether_it_is_in_time() -> None:
    plan = _day()
    on = _at(plan, StepKey.MEAT_ON)
    pulled = _later(on, 200)
    day = _day(now=_later(on, 210), meat_on__duck=Pin(on, done=True),
               pull__duck=Pin(pulled, done=True))  # fmt: skip
    assert _at(day, StepKey.PULL) == _at(day, StepKey.REST) == pulled
    assert day.pieces[0].chance == 1.0
    rest = day.step(StepKey.REST)
    hold = day.step(StepKey.HOLD)
    assert rest is not None and hold is not None
    assert seconds_between(pulled, hold.at) == day.pieces[0].rest_s


def test_late_meat_is_carved_when_it_is_rested_and_leftovers_count_from_the_table() -> None:
    on = _at(_day(), StepKey.MEAT_ON)
    late = _day(now=_later(on, 240), meat_on__duck=Pin(_later(on, 230), done=True))
    rest, carve, away = (_at(late, k) for k in (StepKey.REST, StepKey.CARVE, StepKey.LEFTOVERS))
    piece = late.pieces[0]
    assert seconds_between(rest, carve) == pytest.approx(piece.rest_s)
    assert carve > MEAL
    assert seconds_between(carve, away) == pytest.approx(piece.carve_s + 7200.0)
    served = _day(now=_later(MEAL, 60), eat=Pin(_later(MEAL, 40), done=True),
                  meat_on__duck=Pin(on, done=True))  # fmt: skip
    assert _at(served, StepKey.LEFTOVERS) == _later(MEAL, 160)


def test_moving_the_meal_moves_the_day() -> None:
    plan = _day()
    day = _day(eat=Pin(_later(MEAL, 60)))
    assert seconds_between(plan.pieces[0].on_at, day.pieces[0].on_at) == 3600.0
    assert day.wish.serve_at == _later(MEAL, 60)


def test_brine_ticked_in_is_taken_out_after_its_time() -> None:
    piece = _piece("whole_chicken", brine=Brine.WET)
    plan = _day(piece)
    into = _later(_at(plan, StepKey.BRINE_IN), -30)
    name = step_id(StepKey.BRINE_IN, piece.name).replace(":", "__")
    day = _day(piece, now=_later(into, 60), **{name: Pin(into, done=True)})
    step, out = day.step(StepKey.BRINE_IN), day.step(StepKey.BRINE_OUT)
    assert step is not None and out is not None
    low, high = step.number("soak_low_s"), step.number("soak_high_s")
    assert low is not None and high is not None
    assert low <= seconds_between(into, out.at) <= high
    assert day.conflict(ConflictKey.BRINE_LATE) is None
    late = _later(_at(plan, StepKey.MEAT_ON), -150)
    short = _day(piece, **{name: Pin(late)})
    conflict = short.conflict(ConflictKey.BRINE_LATE)
    out_key = step_id(StepKey.BRINE_OUT, piece.name).replace(":", "__")
    early_out = _day(piece, **{name: Pin(into, done=True), out_key: Pin(_later(into, 30))})
    assert early_out.conflict(ConflictKey.BRINE_LATE) is not None
    assert conflict is not None, "two hours and a half are less than it needs"


def test_thawing_that_began_counts() -> None:
    frozen = _piece(state=MeatState.FROZEN)
    on = _at(_day(), StepKey.MEAT_ON)
    began = on - timedelta(hours=40)
    day = _day(frozen, now=on - timedelta(hours=6), thaw__duck=Pin(began, done=True))
    assert day.conflict(ConflictKey.THAW_LATE) is None
    assert day.conflict(ConflictKey.MEAT_ON_LATE) is None
    assert day.pieces[0].thaw is ThawMethod.REFRIGERATOR
    late = _day(frozen, now=on - timedelta(hours=6),
                thaw__duck=Pin(on - timedelta(hours=14), done=True))  # fmt: skip
    conflict = late.conflict(ConflictKey.THAW_LATE)
    assert conflict is not None
    (remedy,) = conflict.remedies
    assert remedy.key is RemedyKey.COLD_WATER
    assert remedy.by is not None
    whole = _day(frozen, now=on - timedelta(hours=6)).conflict(ConflictKey.THAW_LATE)
    assert whole is not None
    part, full = dict(remedy.numbers)["thaw_high_s"], dict(whole.remedies[0].numbers)["thaw_high_s"]
    assert part < full, "what the refrigerator has done is done"
    assert late.conflict(ConflictKey.MEAT_ON_LATE) is None


def test_too_little_time_in_the_refrigerator_is_finished_in_cold_water() -> None:
    """USDA allows either way; what one has done the other need not do (even shares: no source)."""
    turkey = _piece("whole_turkey", state=MeatState.FROZEN)
    cold, water = (thaw_time(turkey.plan.mass_kg, method).high_s for method in ThawMethod)
    now = NOW - timedelta(hours=24)
    day = _day(turkey, now=now)
    thaw, finish, on = (
        _at(day, key) for key in (StepKey.THAW, StepKey.THAW_FINISH, StepKey.MEAT_ON)
    )
    assert thaw == now
    shares = seconds_between(thaw, finish) / cold + seconds_between(finish, on) / water
    assert 1.0 <= shares < 1.0 + 900.0 / water, "thawed ten minutes before it goes on"
    conflict = day.conflict(ConflictKey.THAW_LATE)
    assert conflict is not None
    assert conflict.remedies[0].by == finish
    moved = _at(day, StepKey.THAW_FINISH)
    name = step_id(StepKey.THAW_FINISH, turkey.name).replace(":", "__")
    thawing = step_id(StepKey.THAW, turkey.name).replace(":", "__")
    done = _day(turkey, now=_later(moved, 5), **{
        thawing: Pin(thaw, done=True), name: Pin(_later(moved, -30), done=True),
    })  # fmt: skip
    assert done.conflict(ConflictKey.THAW_LATE) is None
    assert done.pieces[0].on_at == on


@pytest.mark.parametrize("cut", ["whole_chicken", "salmon_side", "pork_shoulder"])
def test_the_rub_comes_after_the_salt(cut: str) -> None:
    for brine in (Brine.WET, Brine.DRY):
        day = _day(_piece(cut, brine=brine))
        rub = day.step(StepKey.RUB)
        salt = day.step(StepKey.BRINE_OUT) or day.step(StepKey.DRY_SALT)
        assert rub is not None and salt is not None
        assert rub.early >= salt.at


def test_two_pieces_one_on_the_fire_already() -> None:
    lamb, bird = _piece("leg_of_lamb"), _piece("whole_chicken")
    plan = _day(lamb, bird)
    first = min(plan.pieces, key=lambda d: d.on_at)
    second = max(plan.pieces, key=lambda d: d.on_at)
    assert first.on_at < second.on_at
    name = step_id(StepKey.MEAT_ON, first.piece.name).replace(":", "__")
    day = _day(lamb, bird, now=_later(first.on_at, 2), **{name: Pin(first.on_at, done=True)})
    again = {d.piece.name: d.on_at for d in day.pieces}
    assert again[second.piece.name] == second.on_at, "the fire is hot already"
    assert day.conflict(ConflictKey.MEAT_ON_LATE) is None


PINNED = st.dictionaries(
    st.tuples(st.sampled_from(StepKey), st.sampled_from(["duck", "leg_of_lamb", None])),
    st.tuples(st.integers(-4000, 4000), st.booleans()),
    max_size=7,
)


@settings(max_examples=150, deadline=None)
@given(
    pinned=PINNED,
    now_min=st.integers(-3000, 3000),
    state=st.sampled_from(MeatState),
    brine=st.sampled_from(Brine),
)
def test_any_ticks_and_moves_leave_a_day_in_order(
    pinned: dict[tuple[StepKey, str | None], tuple[int, bool]],
    now_min: int,
    state: MeatState,
    brine: Brine,
) -> None:
    """Whatever a person ticks or moves, at whatever time: a plan, in order, pins where they are."""
    pins = {
        step_id(key, piece): Pin(_later(MEAL, minutes), done)
        for (key, piece), (minutes, done) in pinned.items()
    }
    wish = DayWish(
        (_piece(state=state, brine=brine), _piece("leg_of_lamb")), MEAL, _later(MEAL, now_min),
        pins=pins,
    )  # fmt: skip
    day = plan_day(wish, forecast_of=made_forecast)
    assert [s.at for s in day.steps] == sorted(s.at for s in day.steps)
    for step in day.steps:
        assert step.early <= step.at <= step.late, step
        if step.id in pins:
            assert step.at == pins[step.id].at
            assert step.done == pins[step.id].done
    for piece in day.pieces:
        assert 0.0 <= piece.chance <= 1.0
    for conflict in day.conflicts:
        for remedy in conflict.remedies:
            assert remedy.by is None or remedy.by.utcoffset() == timedelta(0)


def test_what_comes_before_the_meal_is_behind_once_it_is_eaten() -> None:
    plan = _day()
    on, eaten = plan.pieces[0].on_at, _later(MEAL, -90)
    live = {"duck": LivePiece(on, made_forecast(Cook(plan.pieces[0].plan, _piece().probes)))}
    pulled = Pin(_later(eaten, -20), done=True)
    day = _day(
        now=_later(eaten, 1),
        live=live,
        meat_on__duck=Pin(on, done=True),
        pull__duck=pulled,
        eat=Pin(eaten, done=True),
    )
    keys = [step.key for step in day.steps]
    # without the tick of the meal the same day still has rest and carving ahead
    assert {StepKey.REST, StepKey.CARVE} <= {step.key for step in plan.steps}
    assert not {StepKey.REST, StepKey.HOLD, StepKey.CARVE, StepKey.GLAZE} & set(keys)
    assert keys[-2:] == [StepKey.EAT, StepKey.LEFTOVERS]
    pull = day.step(StepKey.PULL)
    assert pull is not None and pull.pin == pulled


@pytest.mark.parametrize(("minutes", "said"), [(60, False), (150, True)])
def test_a_fire_that_burns_long_before_the_meat_is_named(minutes: int, said: bool) -> None:
    """Two hours: common practice, no source."""
    on = _day().pieces[0].on_at
    lit = _later(on, -minutes)
    conflict = _day(now=_later(lit, 1), light=Pin(lit, done=True)).conflict(ConflictKey.FIRE_EARLY)
    assert (conflict is not None) == said
    if conflict is not None:
        assert conflict.number("ahead_s") == pytest.approx(minutes * 60.0, abs=301.0)
    moved = _day(now=_later(lit, -60), light=Pin(lit, done=False))
    assert moved.conflict(ConflictKey.FIRE_EARLY) is None, "a wish is no fire"
