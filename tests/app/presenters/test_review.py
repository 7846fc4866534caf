"""One past cook in words, and how its projected finish moved."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from app.display import Display
from app.presenters.chart import read_out
from app.presenters.hindcast_chart import present_revisions
from app.presenters.raster import rasterise
from app.presenters.review import (
    against,
    counted,
    headline,
    later,
    outcome_rows,
    per_mass,
    review_sections,
    section_lines,
    sentence_of,
)
from core.answers import Holdback
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.pit_statistics import pit_statistics
from core.review import Figures, Range, Revision
from core.units import MassUnit, TemperatureUnit, f_to_c, lb_to_kg
from storage.values import Mix, Outcome, SavedCook

START = datetime(2026, 3, 14, 15, 20, tzinfo=UTC)
IMPERIAL = Display(TemperatureUnit.FAHRENHEIT, MassUnit.POUND, UTC)
METRIC = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, UTC)

COOK = Cook(
    Plan("duck", lb_to_kg(5.0), f_to_c(310.0), f_to_c(290.0), f_to_c(330.0), 3.5 * 3600.0, 900.0),
    (Probe("breast", f_to_c(165.0)),),
    (
        Reading(0.0, f_to_c(300.0), (("breast", 5.0),)),
        Reading(3600.0, f_to_c(340.0), (("breast", 40.0),)),
        Reading(7200.0, f_to_c(300.0), (("breast", 60.0),)),
        Reading(9600.0, f_to_c(300.0), (("breast", f_to_c(165.0)),)),
    ),
    (
        Event(600.0, EventKind.WOOD_ADDED, "cherry"),
        Event(3000.0, EventKind.FUEL_ADDED, "10 briquettes"),
        Event(4000.0, EventKind.LID_OPEN),
        Event(6000.0, EventKind.FUEL_ADDED, "10 briquettes"),
        Event(9900.0, EventKind.PULLED),
        Event(10800.0, EventKind.SERVED),
    ),
)
SAVED = SavedCook(
    16, "A duck [b]here[/b]", START, TemperatureUnit.FAHRENHEIT, MassUnit.POUND, COOK, (),
    START + timedelta(hours=3), False,
)  # fmt: skip
FIGURES = Figures(
    took_s=9900.0, finish_s=9600.0, planned_s=11700.0, expected=Range(9000.0, 10200.0, 12000.0),
    half_s=4800.0, half=Range(8400.0, 9000.0, None), pit=pit_statistics(COOK),
    holdback=Holdback("breast", 600.0, -1200.0, 30.0),
)  # fmt: skip


def _sections(figures: Figures = FIGURES, display: Display = IMPERIAL) -> dict[str, dict[str, str]]:
    found = review_sections(SAVED, figures, None, (), display)
    return {section.heading: dict(section.rows) for section in found}


def test_the_answer_comes_first() -> None:
    words = sentence_of(SAVED, FIGURES)
    # 9900 s is 30 min under 11700 s; the largest cause is named first, half a minute not at all
    assert words == (
        "Off the heat 30 min sooner than the plan. Against a usual duck on the planned pit the "
        "stall made it 20 min sooner, the fire made it 10 min later."
    )
    even = replace(FIGURES, holdback=Holdback("breast", 0.0, 60.0, -60.0), planned_s=9900.0)
    assert sentence_of(SAVED, even) == (
        "Off the heat as the plan. It ran like a usual duck on the planned pit."
    )


def test_times_and_forecast_by_hand() -> None:
    found = _sections()
    # meat on at 15:20; 9600 s are 2 h 40 min
    assert found["Times"]["at target"] == "18:00, after 2 h 40 min"
    assert found["Times"]["planned"] == "off at 18:35, meal 18:50"
    assert found["Times"]["off the heat"].startswith("18:05, after 2 h 45 min, 30 min sooner")
    assert found["The forecast"]["at meat-on"] == (
        "done 18:10, 17:50 to 18:40: 10 min later than the truth"
    )
    assert found["The forecast"]["at 16:40"] == (
        "done 17:50, 17:40 to no end: 10 min sooner than the truth"
    )


def test_the_pit_by_hand() -> None:
    pit = _sections()["The pit"]
    # 300 -> 340 -> 300 in 60 min each, then 300 to the pull: (60*320 + 60*320 + 40*300) / 160 = 315
    assert pit["mean"].startswith("315 °F, spread")
    # over 330: a quarter of each of the first two hours, 30 of 160 min
    assert "above 19 %" in pit["in its band"] and "81 %" in pit["in its band"]
    assert pit["worst"] == "340 °F at 16:20, 10 °F above the band"
    assert pit["lid"].startswith("opened once, about ")


def test_fuel_is_counted_and_minutes_per_pound_stand_beside_the_chart() -> None:
    found = _sections()
    assert found["Fuel and wood"] == {"fuel": "10 briquettes, 2 times", "wood": "cherry"}
    # 160 min for 5 lb; foodsafety.gov prints 30 to 35 at 350 °F for 4 to 6 lb
    assert found["Beside the book"]["this cook"].startswith("32 min per lb, pit kept at 315 °F")
    assert found["Beside the book"]["published"].startswith(
        "30 to 35 min per lb in an oven at 350 °F to 165 °F"
    )
    assert "foodsafety.gov" in found["Beside the book"]["source"]
    metric = _sections(display=METRIC)["Beside the book"]
    assert metric["this cook"].startswith("71 min per kg, pit kept at 157 °C")
    assert metric["published"].startswith("66 to 77 min per kg in an oven at 177 °C")


def test_a_cut_without_a_chart_says_so() -> None:
    ribs = replace(SAVED, cook=replace(COOK, plan=replace(COOK.plan, cut="pork_ribs")))
    found = {s.heading: dict(s.rows) for s in review_sections(ribs, FIGURES, None, (), IMPERIAL)}
    assert found["Beside the book"]["published"] == "no chart here for pork ribs"


def test_a_target_below_the_published_minimum_keeps_its_caution() -> None:
    low = replace(SAVED, cook=replace(COOK, probes=(Probe("breast", f_to_c(150.0)),)))
    sections = review_sections(low, FIGURES, None, (), IMPERIAL)
    caution = next(section for section in sections if section.heading == "Caution")
    assert "Below the published minimum" in caution.rows[0][1]
    assert "Caution" not in _sections()


def test_what_is_not_known_is_said() -> None:
    bare = replace(
        FIGURES, finish_s=None, took_s=None, planned_s=None, expected=None, half=None,
        holdback=None, pit=pit_statistics(replace(COOK, readings=())),
    )  # fmt: skip
    found = _sections(bare)
    assert found["What held it back"] == {"": "Too few readings to say."}
    assert found["Times"]["at target"] == "never shown by every probe"
    assert found["The pit"] == {"": "Too few pit readings to say."}
    assert "The forecast" not in found and "Beside the book" not in found
    assert sentence_of(SAVED, bare) == ""


def test_the_outcome_and_the_mixes_in_their_own_words() -> None:
    mix = Mix(1, "plum", "glaze", ("200 g jam", "[red]ginger"), 2.0, START)
    rows = outcome_rows(Outcome(4, None, 3, None, "Guests\nwaited.", "more coals"), (mix,))
    assert rows == [
        ("of 5", "tender 4, skin or bark 3"),
        ("words", "Guests waited."),
        ("next time", "more coals"),
        ("glaze", "plum: 200 g jam, [red]ginger"),
    ]
    assert outcome_rows(None, ()) == []


def test_small_words() -> None:
    assert later(0.0) == later(-89.0) == "no difference"
    assert (later(1500.0), later(-660.0)) == ("25 min later", "11 min sooner")
    assert against(-660.0, "the plan") == "11 min sooner than the plan"
    assert counted(["a", "b", "a"]) == "a, 2 times; b"
    assert per_mass(31.0, IMPERIAL) == "31 min per lb"
    assert headline(SAVED, IMPERIAL) == "A duck [b]here[/b]   duck 5 lb, 14 March 2026"


def test_sections_as_plain_lines() -> None:
    lines = section_lines(review_sections(SAVED, FIGURES, None, (), IMPERIAL))
    assert lines[0] == "What held it back"
    assert "" in lines and all(line == line.rstrip() for line in lines)


# how the projected finish moved

MOVED = (
    Revision(0.0, (9000.0, 9600.0, 10200.0, 11000.0, None)),
    Revision(3600.0, (9300.0, 9500.0, 9900.0, 10300.0, 10800.0)),
    Revision(7200.0, (9400.0, 9500.0, 9600.0, 9700.0, 9800.0)),
)


def test_the_moving_finish_is_a_clock_over_the_clock() -> None:
    view = present_revisions(SAVED, MOVED, 9600.0, 11700.0, IMPERIAL)
    assert view is not None and view.clock_y
    assert {level.label for level in view.levels} == {"done 18:00", "planned off 18:35"}
    assert np.isfinite(view.bands[0].quantiles).all(), "never is drawn at the edge"
    # half way between 18:10 and 18:05 an hour on
    assert read_out(view, 1800.0).startswith("15:50   finish 18:07")
    text = "\n".join(
        "".join(run.text for run in row) for row in rasterise(view, 90, 24, shade=True).rows
    )
    for words in ("done 18:00", "planned off 18:35", "18:00", "finish", "░", "╵fuel", "╵done"):
        assert words in text, words
    assert "°" not in text


def test_without_two_forecasts_there_is_nothing_to_join() -> None:
    assert present_revisions(SAVED, MOVED[:1], 9600.0, None, IMPERIAL) is None


@pytest.mark.parametrize("finish_s", [None, 9600.0])
def test_a_cook_that_never_got_there_still_shows_what_was_said(finish_s: float | None) -> None:
    view = present_revisions(SAVED, MOVED, finish_s, None, IMPERIAL)
    assert view is not None
    assert view.y_low < 9600.0 < view.y_high
    assert len(view.levels) == (0 if finish_s is None else 1)
