"""The cautions that stand beside the answers all through a cook.

The program informs. It never declares food safe, and a target below the published minimum keeps
its caution for as long as it stands.
"""

from __future__ import annotations

from app.display import Display, one_line, plain_number, span
from app.presenters.moment import Moment
from core.catalogue import COOKED_HAM, HAM, OTHER_COOKED_HAM, Minimum
from core.come_up import HIGH_C, LOW_C, come_up
from core.cook import Probe
from core.spots import last_check
from core.units import TemperatureUnit

BELOW = "Below the published minimum"
ROUNDING_C = 0.05
"""165 °F is 73.89 °C and the chart says 73.9: not below [K]."""

SPOTS = (
    "Check several spots with a thermometer you have verified; follow local codes and the "
    "thermometer maker's instructions."
)
CHARCOAL = "Charcoal gives off carbon monoxide: burn it outdoors only. Hot coals and fat burn."
POULTRY_SPECIES = ("chicken", "turkey", "waterfowl")


def present_cautions(moment: Moment) -> tuple[str, ...]:
    """The cautions for this cook, those about its own plan first."""
    below = tuple(
        _below_words(moment, probe, moment.cut.minimum)
        for probe in moment.saved.cook.probes
        if below_minimum(probe, moment.cut.minimum)
    )
    return (
        *below,
        *_early(moment),
        *_pulled_low(moment),
        *_spot_low(moment),
        *_slow(moment),
        *((ham_words(moment.display),) if moment.cut.key == "ham" else ()),
        SPOTS,
        _raw_words(moment),
        CHARCOAL,
    )


def _early(moment: Moment) -> tuple[str, ...]:
    """Pulled below its target, the meat is only there once the rest has been seen to carry it."""
    if not moment.early or moment.saved.ended_at is not None:
        return ()
    minimum = minimum_words(moment.cut.minimum, moment.display)
    return (
        f"Pulled early: leave the probe in and read the target in the rest; the published minimum "
        f"is {minimum} (FSIS), and only a reading shows it.",
    )


def _pulled_low(moment: Moment) -> tuple[str, ...]:
    """After the pull: the probes that were never read at the published minimum."""
    if moment.pulled_s is None:
        return ()
    minimum, show = moment.cut.minimum, moment.display
    highest = [
        (probe.name, max(temps))
        for probe in moment.saved.cook.probes
        if (temps := believed_temps(moment, probe.name))
    ]
    return tuple(
        f"{BELOW}: {name} was read {show.reading(temp_c)} at most before and after the pull, "
        f"{_published(moment, minimum)}."
        for name, temp_c in highest
        if temp_c < minimum.temp_c - ROUNDING_C
    )


def _spot_low(moment: Moment) -> tuple[str, ...]:
    """After the pull: the coldest spot of the last check, if it was below the minimum."""
    check = last_check(moment.saved.cook, moment.now_s)
    if moment.pulled_s is None or check is None:
        return ()
    minimum, lowest = moment.cut.minimum, check.lowest
    if lowest.temp_c >= minimum.temp_c - ROUNDING_C:
        return ()
    return (
        f"{BELOW}: {one_line(lowest.place)} was {moment.display.reading(lowest.temp_c)} when "
        f"checked {moment.clock(check.elapsed_s)}, {_published(moment, minimum)}.",
    )


def _slow(moment: Moment) -> tuple[str, ...]:
    """The cores that took longer on their way up than the published limit."""
    trails = _trails(moment)
    found = (
        (probe.name, come_up(trails.get(probe.name, []), moment.now_s))
        for probe in moment.saved.cook.probes
    )
    show = moment.display
    between = f"{show.whole(LOW_C)} and {show.temp(HIGH_C)}"
    return tuple(
        f"{name} was between {between} for {span(slow.elapsed_s)}; the published limit is "
        f"{span(slow.limit_s)}, written for plants ({slow.source})."
        for name, slow in found
        if slow.over
    )


def believed_temps(moment: Moment, name: str) -> list[float]:
    """Readings of a probe [°C] without those that the forecast takes for slips."""
    return [temp_c for _, temp_c in _trails(moment).get(name, [])]


def _trails(moment: Moment) -> dict[str, list[tuple[float, float]]]:
    """The same with their times [s], by probe, in one pass over the readings."""
    suspects = () if moment.forecast is None else moment.forecast.suspects
    doubted = {(suspect.probe, suspect.elapsed_s) for suspect in suspects}
    trails: dict[str, list[tuple[float, float]]] = {}
    for reading in moment.saved.cook.readings:
        for name, temp_c in reading.meat_c:
            if (name, reading.elapsed_s) not in doubted:
                trails.setdefault(name, []).append((reading.elapsed_s, temp_c))
    return trails


def below_minimum(probe: Probe, minimum: Minimum) -> bool:
    """Whether a probe's target lies below the published minimum."""
    return probe.target_c < minimum.temp_c - ROUNDING_C


def minimum_words(minimum: Minimum, display: Display) -> str:
    """``145 °F and 3 min rest``."""
    fahrenheit = display.unit is TemperatureUnit.FAHRENHEIT
    value = plain_number(minimum.temp_f if fahrenheit else minimum.temp_c, 1)
    rest = f" and {span(minimum.rest_s)} rest" if minimum.rest_s else ""
    return f"{value} {display.degree}{rest}"


def ham_words(display: Display) -> str:
    """Which of the chart's three lines on ham is meant: the program cannot know how it was sold."""
    raw, packed, other = (
        minimum_words(minimum, display) for minimum in (HAM, COOKED_HAM, OTHER_COOKED_HAM)
    )
    return (
        f"{raw} is published for uncooked ham, fresh or smoked. A ham sold fully cooked is "
        f"reheated to {packed} if an inspected plant packed it, any other to {other} (FSIS chart)."
    )


def _below_words(moment: Moment, probe: Probe, minimum: Minimum) -> str:
    target = moment.display.reading(probe.target_c)
    return f"{BELOW}: {probe.name} target {target}, {_published(moment, minimum)}."


def _published(moment: Moment, minimum: Minimum) -> str:
    known = moment.cut.species != "other"
    food = minimum.food if known else "poultry, its highest, as the meat is not known"
    return f"published {minimum_words(minimum, moment.display)} for {food} ({minimum.source})"


def _raw_words(moment: Moment) -> str:
    what = "raw poultry" if moment.cut.species in POULTRY_SPECIES else "raw meat"
    return (
        f"Keep {what} and brine at or below 4 °C / 40 °F; wash hands and all that they touched; "
        "never reuse a brine."
    )
