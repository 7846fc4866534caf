"""The story under the answers and the cautions beside them."""

from __future__ import annotations

import pytest

from app.presenters.answers import Mark
from core.answers import Holdback, Suspect
from core.cook import Plan, Probe, Reading
from core.units import f_to_c
from tests.app.fakes import (
    DISPLAY_F,
    GLAZE,
    PULLED,
    arrival,
    forecast,
    minutes,
    reading_f,
    saved_cook,
    shown,
)


def test_the_story_names_what_is_not_believed_and_what_holds_it_back() -> None:
    suspect = Suspect(minutes(80), "breast", f_to_c(32.0), f_to_c(131.2))
    holdback = Holdback("breast", 1320.0, -700.0, 100.0)
    made = forecast(suspects=[suspect], holdbacks=[holdback])
    assert shown(made, display=DISPLAY_F).story == (
        "Not believed: breast 32 °F at 14:20, expected about 131 °F. "
        "Later than usual: a fire below plan (20 min); sooner than usual: a short stall "
        "(10 min)."
    )
    far = forecast(holdbacks=[Holdback("breast", 47000.0, 0.0, 0.0)])
    assert shown(far).story == "Later than usual: a fire below plan (over 3 h)."
    assert shown(forecast()).story == ""


def test_a_stale_forecast_is_marked_everywhere_with_its_reason() -> None:
    view = shown(forecast(arrival(), GLAZE, now=90), stale="the fit failed")
    assert view.story == "Old forecast from 14:30: the fit failed."
    assert view.glaze is not None
    assert {view.done.mark, view.glaze.mark, view.fire.mark} == {Mark.STALE}
    assert shown(None, stale="the fit failed").done.mark is Mark.UNKNOWN


@pytest.mark.parametrize(
    ("cut", "target_c", "below"),
    [
        # FSIS Safe Minimum Internal Temperature Chart, updated 2025-04-14
        ("duck", 74.0, False),
        ("duck", f_to_c(165.0), False),
        ("duck", f_to_c(164.0), True),
        ("beef_rib_roast", f_to_c(145.0), False),
        ("beef_rib_roast", 57.0, True),
        ("salmon_side", f_to_c(145.0), False),
        ("salmon_side", 52.0, True),
        ("ham", 62.8, False),
    ],
)
def test_a_target_below_the_published_minimum_keeps_its_caution(
    cut: str, target_c: float, below: bool
) -> None:
    saved = saved_cook(plan=Plan(cut, 2.0, 150.0), probes=(Probe("middle", target_c),))
    cautions = shown(None, saved=saved).cautions
    assert any("Below the published minimum" in text for text in cautions) is below


def test_the_caution_names_value_food_and_source() -> None:
    saved = saved_cook(plan=Plan("beef_rib_roast", 3.0, 150.0), probes=(Probe("eye", 54.4),))
    caution = shown(None, saved=saved, display=DISPLAY_F).cautions[0]
    assert caution == (
        "Below the published minimum: eye target 129.9 °F, published 145 °F and 3 min rest for "
        "beef, pork, veal and lamb steaks, chops, roasts (FSIS Safe Minimum Internal Temperature "
        "Chart, updated 2025-04-14)."
    )


def test_meat_that_was_pulled_below_the_minimum_keeps_a_caution() -> None:
    """165 °F for all poultry: FSIS Safe Minimum Internal Temperature Chart, 2025-04-14."""
    low = saved_cook(readings=[reading_f(95, 300, breast=150)], events=[PULLED])
    caution = shown(None, saved=low, display=DISPLAY_F).cautions[0]
    assert caution.startswith("Below the published minimum: breast was read 150 °F at most")
    assert "165 °F" in caution
    still_on = saved_cook(readings=[reading_f(95, 300, breast=150)])
    assert "at most" not in " ".join(shown(None, saved=still_on).cautions)
    slip = [reading_f(90, 300, breast=305), reading_f(95, 300, breast=150)]
    doubt = Suspect(minutes(90), "breast", f_to_c(305.0), f_to_c(149.0))
    slipped = saved_cook(readings=slip, events=[PULLED])
    view = shown(forecast(suspects=[doubt]), saved=slipped)
    assert "at most" in view.cautions[0]
    risen = [reading_f(95, 300, breast=150), reading_f(110, breast=166)]
    assert "at most" not in " ".join(
        shown(None, saved=saved_cook(readings=risen, events=[PULLED])).cautions
    )


def test_standing_cautions_and_no_verdict() -> None:
    text = " ".join(shown(forecast()).cautions)
    for needed in ("several spots", "local codes", "carbon monoxide", "raw poultry", "40 °F"):
        assert needed in text
    assert " safe " not in f" {text.lower()} "


def test_a_core_that_took_too_long_on_its_way_up_keeps_a_caution() -> None:
    # FSIS-GD-2021-14: between 50 and 130 °F (10 and 54.4 °C) for no more than six hours
    def cautions(hours: float) -> list[str]:
        warm = [Reading(0.0, None, (("breast", 5.0),)), Reading(600.0, None, (("breast", 10.0),)),
                Reading(600.0 + 3600.0 * hours, None, (("breast", 54.0),))]  # fmt: skip
        saved = saved_cook(readings=warm)
        return [c for c in shown(None, 20 + 60 * hours, saved).cautions if "published limit" in c]

    assert cautions(5.5) == []
    (words,) = cautions(6.5)
    assert words.startswith(
        "breast was between 10 and 54 °C for 6 h 40 min; the published limit is"
    )
    assert "FSIS-GD-2021-14" in words
