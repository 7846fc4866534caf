"""The pages beside the answers: layout at any width, and what each page says."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.presenters.fire_page import present_fire_page
from app.presenters.lever_page import present_levers
from app.presenters.moment import Moment
from app.presenters.pages import PageRow, PageView, lay_out, page_sentences, page_text
from app.presenters.table_page import present_tables
from app.presenters.views import Mark
from core.answers import Forecast
from core.catalogue import FSIS_CHART
from core.cook import Event, EventKind, Plan, Probe, Reading
from core.fire_leaving import Leaving
from core.levers import Lever, LeverKey, Levers
from core.units import f_to_c
from storage.values import SavedCook
from tests.app.fakes import (
    DISPLAY_C,
    DISPLAY_F,
    PLAN,
    at,
    fire,
    forecast,
    minutes,
    reading_f,
    saved_cook,
)

WORDS = st.text("abc deé°", max_size=60)


def moment(
    saved: SavedCook,
    made: Forecast | None = None,
    now: float = 100.0,
    leaving: Leaving | None = None,
) -> Moment:
    """A moment in °F so many minutes from meat-on."""
    return Moment(saved, made, at(now), DISPLAY_F, leaving)


def cell(view: PageView, label: str) -> str:
    """The last cell of the row with that label."""
    return next(row.cells[-1] for row in view.rows if row.cells[0] == label)


# layout


@given(st.lists(st.lists(WORDS, min_size=1, max_size=4), max_size=6), WORDS, st.integers(20, 130))
def test_no_line_is_wider_than_the_page(cells: list[list[str]], note: str, width: int) -> None:
    view = PageView("fire", note, tuple(PageRow(tuple(row)) for row in cells), (note,))
    assert all(len(line.text) <= width for line in lay_out(view, width))


def test_columns_are_aligned_and_the_last_one_breaks_under_itself() -> None:
    rows = (PageRow(("what", "chance", "ready")), PageRow(("as it is", "4 in 10", "18:45 " * 6)))
    text = page_text(PageView("levers", "for supper", rows, ()), 50)
    assert text.splitlines() == [
        "  LEVERS  for supper",
        "  what      chance   ready",
        "  as it is  4 in 10  18:45 18:45 18:45 18:45 18:45",
        "                     18:45",
    ]


def test_a_row_that_wants_something_is_marked_without_colour() -> None:
    rows = (PageRow(("now", "below"), Mark.NOW), PageRow(("lid", "shut"), Mark.FINE))
    lines = page_text(PageView("fire", "", rows)).splitlines()
    assert lines[1].startswith("! now")
    assert lines[2].startswith("  lid")


# fire


def fire_cook(*events: Event) -> SavedCook:
    """Read at 300, 320, 270 and 310 °F every half hour, band 284 to 329 °F."""
    temps = ((10, 300.0), (40, 320.0), (70, 270.0), (98, 310.0))
    readings = [reading_f(minute, pit, breast=50 + minute) for minute, pit in temps]
    plan = replace(PLAN, pit_low_c=140.0, pit_high_c=165.0)
    return saved_cook(plan=plan, readings=readings, events=events)


def event(minute: float, kind: EventKind, note: str = "") -> Event:
    """Something that happened."""
    return Event(minutes(minute), kind, note)


def test_the_fire_page_counts_its_band_along_straight_lines() -> None:
    page = present_fire_page(moment(fire_cook(), forecast(outlook=fire(154.0))))
    # below 284 °F: 14 of 50 °F of the fall in 30 min, 14 of 40 °F of the rise in 28 min
    assert cell(page, "inside the band") == "1 h 10 min of 1 h 28 min (79 %); 18 min below it"
    assert cell(page, "furthest out") == "270 °F at 14:10"
    assert cell(page, "now") == "309 °F, steady"


def test_the_fire_page_says_what_comes_with_its_range() -> None:
    leaving = Leaving(minutes(105), minutes(118), minutes(150), 0.9, 0.05, False)
    falling = fire(f_to_c(300.0), slope_c_per_s=-7.0 / 1.8 / 1200.0, leaves=120.0)
    page = present_fire_page(moment(fire_cook(), forecast(outlook=falling), leaving=leaving))
    assert cell(page, "now") == "300 °F, falling 7 °F in 20 min"
    assert cell(page, "if nothing is done").startswith("below 284 °F by 15:00 (14:45 to 15:30)")
    steady = present_fire_page(moment(fire_cook(), forecast(), leaving=leaving))
    assert cell(steady, "if nothing is done") == (
        "first outside it by 15:00 (14:45 to 15:30); 1 in 10 stay inside for 4 h"
    )
    out = Leaving(minutes(102), minutes(110), None, 1.0, 0.2, True)
    page = present_fire_page(moment(fire_cook(), forecast(), leaving=out))
    row = next(row for row in page.rows if row.cells[0] == "if nothing is done")
    assert row.cells[1] == "below the band; back by 14:50 (14:40 or later) by itself"
    assert row.mark is Mark.NOW


def test_fuel_wood_vents_and_lid_from_the_log() -> None:
    saved = fire_cook(
        event(-30, EventKind.FUEL_ADDED, "20 briquettes"),
        event(15, EventKind.WOOD_ADDED, "cherry"),
        event(45, EventKind.VENTS, "half"),
        event(60, EventKind.FUEL_ADDED, "12 briquettes"),
        event(80, EventKind.LID_OPEN),
        event(90, EventKind.FUEL_ADDED, "6 briquettes"),
    )
    page = present_fire_page(moment(saved, forecast()))
    # 12 in the first 90 min, 6 in the next 30: 18 in 2 h; the last 6 last 40 min
    assert cell(page, "burns") == (
        "about 9 briquettes an hour (8 to 12), from 3 refuels; the last are used up about 15:10"
    )
    assert cell(page, "fuel").startswith("12:30 20 briquettes, 14:00 12 briquettes")
    assert cell(page, "wood") == "13:15 cherry"
    # nothing was read between the vents and the next coals
    assert cell(page, "vents") == "half at 13:45; read the pit to see what it did"
    assert cell(page, "lid").startswith("opened once: about ")
    vents = fire_cook(event(45, EventKind.VENTS, "half"))
    assert cell(present_fire_page(moment(vents)), "vents") == (
        "half at 13:45: 320 °F to 310 °F at 14:38, down 10 °F"
    )


def test_a_fire_that_was_never_read_says_so() -> None:
    page = present_fire_page(moment(saved_cook()))
    assert cell(page, "inside the band") == "needs two pit readings"
    assert cell(page, "vents") == "no change logged"
    assert cell(page, "lid") == "no opening logged"


# levers


def lever(key: LeverKey, chance: float, ready: float = 250.0, **more: object) -> Lever:
    """Ready within ten minutes of a time."""
    span = (minutes(ready - 10), minutes(ready), minutes(ready + 10))
    return Lever(key, chance, *span, serve_s=minutes(270), **more)  # type: ignore[arg-type]


def test_the_levers_stand_in_one_table() -> None:
    table = Levers(
        minutes(100),
        900.0,
        (
            lever(LeverKey.AS_IT_IS, 0.42),
            lever(LeverKey.PIT_WANTED, 0.9, 240.0, pit_c=f_to_c(340.0), cautions=("hot_pit",)),
            lever(LeverKey.PIT_MEDIAN, 0.2, pit_c=f_to_c(401.0), attainable=False),
            lever(LeverKey.WRAP_NOW, 0.8, cautions=("softens_skin",)),
            lever(LeverKey.PULL_LOWER, 0.6, pull_below_k=2.0, peak_above_k=0.6,
                  cautions=("see_target_in_rest", "minimum_holds")),
            replace(lever(LeverKey.EAT_LATER, 0.7), serve_s=minutes(290)),
        ),
    )  # fmt: skip
    page = present_levers(moment(saved_cook()), table)
    assert page.about == "for the 17:30 meal, 15 min rest before it"
    rows = {row.cells[0]: row for row in page.rows}
    assert rows["as it is"].cells[1:] == ("4 in 10", "17:10 (17:00 to 17:20)")
    assert rows["as it is"].mark is Mark.LATE
    assert rows["pit 340 °F for 9 in 10"].cells[1] == "9 in 10"
    assert "no pit from 203 to 401 °F gives that" in rows["pit 401 °F for 5 in 10"].cells[2]
    assert rows["pull 4 °F lower"].cells[2].endswith("peaks 1 °F above the target")
    assert "eat at 17:50" in rows
    notes = " ".join(page.notes)
    for words in ("Foil softens", "read in the rest", "published minimum stays 165 °F", "flare"):
        assert words in notes


def test_a_pit_that_is_hot_enough_at_the_coolest_says_so() -> None:
    coolest = lever(LeverKey.PIT_WANTED, 0.99, pit_c=f_to_c(203.0), attainable=False)
    page = present_levers(moment(saved_cook()), Levers(minutes(100), 900.0, (coolest,)))
    words = page.rows[1].cells[2]
    assert words.endswith("every pit from 203 to 401 °F gives more than that chance")


@pytest.mark.parametrize(
    ("saved", "words"),
    [
        (saved_cook(plan=replace(PLAN, serve_s=None)), "plan meal 18:30"),
        (saved_cook(events=[event(90, EventKind.PULLED)]), "off the fire"),
        (saved_cook(probes=()), "no probe"),
        (saved_cook(ended=90.0), "the cook is over"),
        (saved_cook(), "working them out"),
    ],
)
def test_without_a_table_the_page_says_why(saved: SavedCook, words: str) -> None:
    (row,) = present_levers(moment(saved), None).rows
    assert words in row.cells[0]


# tables


def chicken(*temps: tuple[float, float], target_f: float = 165.0) -> SavedCook:
    """Readings of one core as (minute, °F)."""
    readings = [Reading(minutes(t), None, (("breast", f_to_c(f)),)) for t, f in temps]
    probe = Probe("breast", f_to_c(target_f))
    return saved_cook(plan=Plan("whole_chicken", 1.8, 165.0), probes=(probe,), readings=readings)


def test_the_published_time_is_said_with_its_clock_and_source() -> None:
    # FSIS-GD-2021-14, table 3, chicken at 12 % fat: 4.2 min at 150 °F. Held there from minute 60
    # on, after a step that spends next to nothing on the way.
    held = chicken((0, 40.0), (59.9, 135.0), (60, 150.0), (70, 150.0))
    page = present_tables(moment(held, now=80.0))
    words = cell(page, "published table")
    assert words.startswith("7-log time reached at 14:04 ")
    assert words.endswith("(FSIS Appendix A, table 3)")
    assert any("FSIS-GD-2021-14" in note for note in page.notes)
    assert any("do not say that food" in note for note in page.notes)
    assert cell(page, "core read") == "150 °F at most, below it"
    assert cell(page, "published minimum") == "165 °F for all poultry (FSIS chart)"


def test_part_of_the_time_and_none_of_it() -> None:
    part = present_tables(moment(chicken((0, 40.0), (50, 136.0), (55, 137.0)), now=60.0))
    assert "% of the 7-log time so far" in cell(part, "published table")
    cold = present_tables(moment(chicken((0, 40.0), (50, 90.0)), now=60.0))
    assert "not begun: it counts from 136 °F on" in cell(cold, "published table")


def test_the_come_up_is_counted_against_six_hours() -> None:
    slow = chicken((0, 40.0), (60, 50.0), (390, 120.0))
    row = next(
        row for row in present_tables(moment(slow, now=400.0)).rows if "to 130" in row.cells[0]
    )
    assert row.cells[0] == "50 to 130 °F"
    assert row.cells[1].startswith("5 h 40 min so far; published limit 6 h")
    assert row.mark is Mark.SOON
    over = next(
        row for row in present_tables(moment(slow, now=425.0)).rows if "to 130" in row.cells[0]
    )
    assert over.cells[1].startswith("OVER: 6 h 5 min so far")
    assert over.mark is Mark.LATE


def test_a_target_below_the_minimum_and_a_fish_without_a_table() -> None:
    low = present_tables(moment(chicken((0, 40.0), target_f=150.0)))
    row = next(row for row in low.rows if row.cells[0] == "target")
    assert (row.cells[1], row.mark) == ("150 °F, below the published minimum", Mark.LATE)
    plan = Plan("salmon_side", 1.2, 110.0)
    fish = saved_cook(plan=plan, probes=(Probe("middle", 63.0),))
    assert cell(present_tables(moment(fish)), "published table") == (
        "no table of times covers this meat"
    )


def test_no_page_gives_a_verdict_and_sentences_carry_the_labels() -> None:
    saved = chicken((0, 40.0), (60, 166.0))
    made = Moment(saved, forecast(), at(70), DISPLAY_C, None)
    pages = (present_fire_page(made), present_tables(made))
    for page in pages:
        said = " ".join([*page_sentences(page), *page.notes])
        assert "safe" not in said.replace(FSIS_CHART, "").lower(), "but in the chart's own title"
    assert any(s.startswith("Core read: first at it 14:00") for s in page_sentences(pages[1]))
