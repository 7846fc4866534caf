"""Cooks side by side in words, in tables and on one chart."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from app.compare import compare_cooks
from app.display import Display
from app.presenters.compare import (
    Compared,
    differences,
    legend,
    minutes,
    sentences,
    sure,
    table_text,
)
from app.presenters.compare_chart import align_words, alignments, passed_s, present_overlay
from app.presenters.raster import rasterise
from core.compare import Difference, Effect, Input
from core.cook import Cook, Event, EventKind, Plan, Reading
from core.units import MassUnit, TemperatureUnit
from storage.values import SavedCook
from tests.core.cooks import made_cook

START = datetime(2026, 3, 14, 15, 20, tzinfo=UTC)
METRIC = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, UTC)
IMPERIAL = Display(TemperatureUnit.FAHRENHEIT, MassUnit.POUND, UTC)


def _saved(number: int, *, pit_c: float = 150.0, events: tuple[Event, ...] = ()) -> SavedCook:
    made = made_cook(Plan("leg_of_lamb", 2.0, 150.0), 63.0, pit_c=pit_c, seed=number)
    last = Reading(made.finish_s, None, (("core", 63.0),))
    pull = Event(made.finish_s + 120.0, EventKind.PULLED)
    cook = replace(made.cook, readings=(*made.cook.readings, last), events=(*events, pull))
    return SavedCook(
        number, f"Lamb {number}", START + timedelta(days=7 * number), TemperatureUnit.CELSIUS,
        MassUnit.KILOGRAM, cook, (), START + timedelta(days=7 * number, hours=4), False,
    )  # fmt: skip


def _effects(**minutes_later: float) -> tuple[Effect, ...]:
    given = {Input[name]: 60.0 * value for name, value in minutes_later.items()}
    return tuple(
        Effect(which, given.get(which, 0.0), given.get(which, 0.0), given.get(which, 0.0))
        for which in Input
    )


FOUND = Difference(
    real_s=2280.0,
    effects=(Effect(Input.PIT, 2640.0, 2300.0, 3000.0), *_effects()[1:]),
    together_s=-60.0,
    unexplained_s=-300.0,
)
FIRST = Compared("A", _saved(1))
SECOND = Compared("B", _saved(2), None, FOUND)


def test_the_sentence_names_the_cause_and_what_is_left() -> None:
    (words,) = sentences((FIRST, SECOND))
    assert words == (
        "B was done 38 min later than A. By the model: pit 44 min later. "
        "5 min sooner are not explained."
    )


def test_an_effect_that_may_be_nothing_is_not_named_a_cause() -> None:
    open_ = Effect(Input.BUILD, 900.0, -600.0, 2400.0)
    assert not sure(open_) and sure(Effect(Input.BUILD, -900.0, -1200.0, -60.0))
    (words,) = sentences((FIRST, replace(SECOND, difference=replace(FOUND, effects=(open_,)))))
    assert "build" not in words


def test_the_minutes_add_up_in_the_table() -> None:
    table = minutes((FIRST, SECOND))
    rows = {row[0]: row[1] for row in table.rows}
    assert rows["pit"] == "+44 (38 to 50)"
    assert rows["wrap"] == "same"
    assert (rows["several together"], rows["not explained"]) == ("-1", "-5")
    assert rows["really later"] == "+38"
    assert (rows["fuel"], rows["wood"]) == ("in the pit", "not modelled")
    assert 44 - 1 - 5 == 38
    bound = replace(FOUND, effects=(Effect(Input.PIT, 2640.0, 2640.0, 2640.0, bound=True),))
    cells = {r[0]: r[1] for r in minutes((FIRST, replace(SECOND, difference=bound))).rows}
    assert cells["pit"] == ">+44"


def test_what_each_had() -> None:
    events = (
        Event(600.0, EventKind.WOOD_ADDED, "oak"),
        Event(3600.0, EventKind.FUEL_ADDED, "10 briquettes"),
        Event(4000.0, EventKind.LID_OPEN),
        Event(5000.0, EventKind.WRAPPED, "paper"),
        Event(5400.0, EventKind.GLAZED, "plum"),
        Event(5500.0, EventKind.SPRITZED),
    )
    table = differences((FIRST, Compared("B", _saved(2, pit_c=140.0, events=events))), METRIC)
    rows = {row[0]: row[1:] for row in table.rows}
    assert table.columns == ("", "A", "B")
    assert rows["cut and weight"] == ("leg of lamb 2 kg", "leg of lamb 2 kg")
    assert rows["pit"][0] in ("149 °C", "150 °C", "151 °C")
    assert rows["pit"][1] in ("139 °C", "140 °C", "141 °C")
    assert rows["lid openings"] == ("0", "1")
    assert rows["wrap"] == ("none", "paper at 1:23")
    assert rows["glaze, spritz"] == ("none", "glazed 1:30, 1 spray")
    assert rows["fuel"] == ("none logged", "10 briquettes")
    assert rows["wood"] == ("none logged", "oak")


@pytest.mark.parametrize("width", [40, 76, 100, 160])
def test_tables_keep_to_their_width(width: int) -> None:
    for table in (minutes((FIRST, SECOND)), differences((FIRST, SECOND, SECOND), METRIC)):
        lines = table_text(table, width)
        assert all(len(line) <= width for line in lines[1:])
        assert lines[0] == table.heading


def test_cooks_are_fitted_once_and_set_against_the_first() -> None:
    cold = _saved(3, pit_c=140.0)
    unfinished = replace(_saved(4), cook=_saved(4).cook.known_at(3600.0))
    first, second, third = compare_cooks((_saved(1), cold, unfinished))
    assert (first.letter, second.letter, third.letter) == ("A", "B", "C")
    assert second.difference is not None
    assert second.difference.effects[0].input is Input.PIT
    assert third.difference is None and "never showed its target" in third.reason
    words = sentences((first, second, third))
    assert "pit" in words[0] and "C cannot be set against A" in words[1]
    assert [line[0] for line in legend((first, second, third), METRIC)] == ["A", "B", "C"]
    bad_first = compare_cooks((unfinished, cold))
    assert bad_first[1].difference is None and "never showed its target" in bad_first[1].reason


def test_one_chart_counts_hours_and_names_each_line() -> None:
    cooks = compare_cooks((_saved(1), _saved(3, pit_c=140.0)))
    view = present_overlay(cooks, None, METRIC)
    assert view is not None and view.elapsed_x
    assert [trace.name for trace in view.traces] == ["A", "A pit", "B", "B pit"]
    assert [trace.dash for trace in view.traces] == ["", "", "second", "second"]
    text = "\n".join("".join(run.text for run in row) for row in rasterise(view, 100, 24).rows)
    for words in ("0:00", "1:00", "target 63 °C", "A pit", "B pit", "A done"):
        assert words in text, words


def test_aligned_at_a_core_temperature_both_pass_it_at_zero() -> None:
    cooks = compare_cooks((_saved(1), _saved(3, pit_c=140.0)))
    view = present_overlay(cooks, 40.0, METRIC)
    assert view is not None
    for trace in view.traces:
        if not trace.name.endswith("pit"):
            below, above = trace.y[trace.x < 0.0], trace.y[trace.x > 0.0]
            assert below[-1] < 41.0 and above[0] > 39.0
    assert view.x_low < 0.0


def test_a_cook_that_never_passed_the_temperature_is_left_out() -> None:
    cooks = compare_cooks((_saved(1), _saved(2)))
    assert present_overlay(cooks, 90.0, METRIC) is None
    cook = cooks[0].saved.cook
    assert passed_s(cook, cook.probes[0], 90.0) is None
    empty = Compared("A", replace(_saved(1), cook=Cook(cook.plan, ())))
    assert present_overlay((empty,), None, METRIC) is None


def test_round_temperatures_in_either_unit() -> None:
    assert alignments(METRIC) == (None, 40.0, 60.0)
    assert [IMPERIAL.temp(at) for at in alignments(IMPERIAL)[1:] if at] == ["100 °F", "140 °F"]
    assert align_words(None, METRIC) == "aligned at meat-on"
    assert align_words(60.0, METRIC) == "aligned where the core passed 60 °C"
