"""Cooks: beginning, listing, changing the plan, ending, the bin."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from core.cook import EventKind, Plan, Probe, Shape
from core.units import MassUnit, TemperatureUnit
from storage.errors import InvalidEntry, NoSuchCook, ProbeInUse
from storage.store import Store
from tests.storage.samples import GOOSE, START, at, happened, typed


def test_a_cook_comes_back_as_it_was_given(store: Store) -> None:
    saved = store.cook(store.create_cook(GOOSE))
    assert saved.title == GOOSE.title
    assert saved.started_at == START
    assert saved.started_at.utcoffset() == START.utcoffset()
    assert (saved.unit, saved.mass_unit) == (GOOSE.unit, GOOSE.mass_unit)
    assert (saved.cook.plan, saved.cook.probes) == (GOOSE.plan, GOOSE.probes)
    assert (saved.lines, saved.ended_at, saved.invented) == ((), None, False)


def test_all_of_a_plan_is_kept(store: Store) -> None:
    plan = Plan("other", 1.23456789, 101.1, 99.9, 103.3, 7200.000001, 1.5, Shape.SLAB, 0.0371)
    new = replace(
        GOOSE,
        plan=plan,
        unit=TemperatureUnit.FAHRENHEIT,
        mass_unit=MassUnit.POUND,
        probes=(Probe("a b", 70.0, None, 60.0, 65.0),),
        invented=True,
    )
    saved = store.cook(store.create_cook(new))
    assert (saved.cook.plan, saved.cook.probes) == (plan, new.probes)
    assert (saved.unit, saved.mass_unit) == (TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
    assert saved.invented


@pytest.mark.parametrize("zone", ["America/St_Johns", "Asia/Kathmandu", "Pacific/Apia", "UTC"])
def test_the_offset_of_the_start_is_kept(store: Store, zone: str) -> None:
    start = datetime(2026, 10, 25, 1, 30, 0, 123456, tzinfo=ZoneInfo(zone))
    saved = store.cook(store.create_cook(replace(GOOSE, started_at=start)))
    assert saved.started_at == start
    assert saved.started_at.utcoffset() == start.utcoffset()


def test_both_passes_of_a_repeated_hour_are_told_apart(store: Store) -> None:
    zone = ZoneInfo("Europe/Berlin")
    for fold in (0, 1):
        start = datetime(2026, 10, 25, 2, 30, tzinfo=zone, fold=fold)
        saved = store.cook(store.create_cook(replace(GOOSE, started_at=start)))
        # Compared as instants: two times of one zone are compared by their clock reading.
        assert saved.started_at.astimezone(UTC) == start.astimezone(UTC)
    first, second = (summary.started_at for summary in reversed(store.cooks()))
    assert second - first == timedelta(hours=1)


def test_the_cook_in_hand_is_the_one_begun_last_that_has_not_ended(store: Store) -> None:
    assert store.cook_in_hand() is None
    older = store.create_cook(replace(GOOSE, started_at=START - timedelta(days=1)))
    newer = store.create_cook(GOOSE)
    oldest = store.create_cook(replace(GOOSE, started_at=START - timedelta(days=2)))
    in_hand = []
    for _ in range(4):
        saved = store.cook_in_hand()
        in_hand.append(None if saved is None else saved.id)
        if saved is not None:
            store.end_cook(saved.id, at(300))
    assert in_hand == [newer, older, oldest, None]
    store.reopen_cook(older)
    reopened = store.cook_in_hand()
    assert reopened is not None
    assert (reopened.id, reopened.ended_at) == (older, None)


def test_end_is_kept_in_utc(store: Store, cook_id: int) -> None:
    store.end_cook(cook_id, START + timedelta(hours=5))
    assert store.cook(cook_id).ended_at == at(300)
    assert str(store.cook(cook_id).ended_at).endswith("+00:00")


def test_the_list_counts_live_readings_and_is_newest_first(store: Store, cook_id: int) -> None:
    earlier = store.create_cook(replace(GOOSE, started_at=START - timedelta(hours=1), title="x"))
    store.add_line(cook_id, **typed(1, thigh=5.0))
    store.add_line(cook_id, **typed(2, thigh=6.0))
    store.add_line(cook_id, **happened(3, EventKind.LID_OPEN))
    gone = store.add_line(cook_id, **typed(4, thigh=7.0))
    store.correct_line(gone.id, **typed(4, thigh=8.0))
    store.delete_line(store.add_line(cook_id, **typed(5, thigh=7.0)).id)
    first, second = store.cooks()
    assert (first.id, first.readings, first.cut, first.mass_kg, first.pit_c) == (
        cook_id, 3, "goose", 4.6, 160.0,
    )  # fmt: skip
    assert (second.id, second.readings, second.title) == (earlier, 0, "x")


def test_a_cook_in_the_bin_is_in_no_list_and_can_be_taken_back(store: Store, cook_id: int) -> None:
    store.add_line(cook_id, **typed(1, thigh=5.0))
    before = store.cook(cook_id)
    store.bin_cook(cook_id, at(10))
    assert store.cooks() == ()
    assert store.cook_in_hand() is None
    store.unbin_cook(cook_id)
    assert store.cook_in_hand() == before


def test_plan_and_probes_can_change_in_mid_cook(store: Store, cook_id: int) -> None:
    store.add_line(cook_id, **typed(1, thigh=5.0))
    plan = replace(GOOSE.plan, pit_c=150.0, serve_s=None)
    probes = (Probe("wing", 75.0), Probe("thigh", 82.0, 5.0), Probe("breast", 70.0))
    store.change_plan(cook_id, plan, probes)
    saved = store.cook(cook_id)
    assert (saved.cook.plan, saved.cook.probes) == (plan, probes)
    assert saved.cook.readings[0].meat_c == (("thigh", 5.0),)
    store.change_plan(cook_id, plan, probes[1:2])
    assert store.cook(cook_id).cook.probes == probes[1:2]


@pytest.mark.parametrize("deleted", [False, True])
def test_a_probe_with_readings_stays(store: Store, cook_id: int, deleted: bool) -> None:
    line = store.add_line(cook_id, **typed(1, thigh=5.0))
    if deleted:
        store.delete_line(line.id)
    before = store.cook(cook_id)
    with pytest.raises(ProbeInUse, match="thigh"):
        store.change_plan(cook_id, replace(GOOSE.plan, pit_c=99.0), (Probe("breast", 70.0),))
    assert store.cook(cook_id) == before


def test_mending_the_start_leaves_all_clock_times_alone(store: Store, cook_id: int) -> None:
    store.add_line(cook_id, **typed(60, thigh=5.0))
    store.add_line(cook_id, **happened(90, EventKind.LID_OPEN))
    other = store.create_cook(GOOSE)
    untouched = store.add_line(other, **typed(60, thigh=5.0))
    store.change_start(cook_id, START + timedelta(minutes=15))
    saved = store.cook(cook_id)
    assert saved.started_at == START + timedelta(minutes=15)
    assert [line.at for line in saved.lines] == [at(60), at(90)]
    assert saved.cook.readings[0].elapsed_s == 45 * 60.0
    assert saved.cook.events[0].elapsed_s == 75 * 60.0
    assert saved.cook.plan.serve_s == GOOSE.plan.serve_s - 15 * 60.0  # type: ignore[operator]
    assert store.cook(other).lines == (untouched,)


def test_title_and_units_can_change(store: Store, cook_id: int) -> None:
    store.change_title(cook_id, "Goose, second try")
    store.change_units(cook_id, TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
    saved = store.cook(cook_id)
    assert saved.title == "Goose, second try"
    assert (saved.unit, saved.mass_unit) == (TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
    assert (saved.cook.plan, saved.cook.probes) == (GOOSE.plan, GOOSE.probes)


def test_a_missing_cook_is_said_to_be_missing(store: Store) -> None:
    for act in (
        lambda: store.cook(7),
        lambda: store.change_plan(7, GOOSE.plan, ()),
        lambda: store.change_start(7, START),
        lambda: store.change_title(7, ""),
        lambda: store.end_cook(7, START),
        lambda: store.reopen_cook(7),
        lambda: store.bin_cook(7, START),
        lambda: store.export_document(7),
    ):
        with pytest.raises(NoSuchCook, match="no cook 7"):
            act()


PLAN = GOOSE.plan
BAD_COOKS = {
    "unknown cut": replace(GOOSE, plan=replace(PLAN, cut="dodo")),
    "no weight": replace(GOOSE, plan=replace(PLAN, mass_kg=0.0)),
    "weight not a number": replace(GOOSE, plan=replace(PLAN, mass_kg=float("nan"))),
    "pit of a forge": replace(GOOSE, plan=replace(PLAN, pit_c=1200.0)),
    "band upside down": replace(GOOSE, plan=replace(PLAN, pit_low_c=170.0, pit_high_c=160.0)),
    "endless rest": replace(GOOSE, plan=replace(PLAN, rest_s=float("inf"))),
    "meal next year": replace(GOOSE, plan=replace(PLAN, serve_s=3e7)),
    "other without size": replace(GOOSE, plan=replace(PLAN, cut="other")),
    "size of a goose": replace(GOOSE, plan=replace(PLAN, shape=Shape.BALL, thickness_m=0.1)),
    "no offset": replace(GOOSE, started_at=START.replace(tzinfo=None)),
    "half a character": replace(GOOSE, title="\ud83d"),
    "a probe called pit": replace(GOOSE, probes=(Probe("pit", 74.0),)),
    "a probe called minute": replace(GOOSE, probes=(Probe("minute", 74.0),)),
    "a probe without name": replace(GOOSE, probes=(Probe("", 74.0),)),
    "a probe of blanks": replace(GOOSE, probes=(Probe(" ", 74.0),)),
    "unprintable probe": replace(GOOSE, probes=(Probe("a\x1b[2J", 74.0),)),
    "two probes of one name": replace(GOOSE, probes=(Probe("a", 74.0), Probe("a", 75.0))),
    "target not a number": replace(GOOSE, probes=(Probe("a", float("nan")),)),
    "wrap out of this world": replace(GOOSE, probes=(Probe("a", 74.0, wrap_c=1e308),)),
}


@pytest.mark.parametrize("new", BAD_COOKS.values(), ids=BAD_COOKS.keys())
def test_a_cook_that_cannot_be_stored_leaves_nothing_behind(store: Store, new: object) -> None:
    with pytest.raises(InvalidEntry, match="allowed is"):
        store.create_cook(new)  # type: ignore[arg-type]
    assert store.cooks() == ()
