"""What the data file takes, the same at every door: typed lines, plans and documents.

One set of bounds for all of them, so that whatever is stored can be exported and imported again.
The bounds are wide: they keep out slips and nonsense, not unusual cooks.
"""

from __future__ import annotations

import math
from datetime import datetime

from core.catalogue import CUTS
from core.cook import Event, Plan, Probe, Reading
from storage.errors import InvalidEntry
from storage.values import Outcome

TEMP_C = (-40.0, 600.0)
MASS_KG = (0.02, 60.0)
ELAPSED_S = (-72 * 3600.0, 100 * 3600.0)
REST_S = (0.0, 48 * 3600.0)
THICKNESS_M = (0.005, 0.6)
YEARS = (1970, 2200)
GRADES = (1, 5)
MIX_KINDS = ("brine", "rub", "glaze")
MIX_LINES = 200
NAME_LENGTH = 40
RESERVED_NAMES = ("minute", "pit")

NAME_RULE = (
    f"1 to {NAME_LENGTH} printable characters, no space at the ends, "
    "not 'minute' or 'pit', each name once"
)
LABEL_RULE = f"1 to {2 * NAME_LENGTH} printable characters, no space at the ends"
TEXT_RULE = "text in Unicode characters"


def within(value: float, bounds: tuple[float, float]) -> bool:
    """Whether a number is finite and inside both bounds."""
    return math.isfinite(value) and bounds[0] <= value <= bounds[1]


def good_text(text: str) -> bool:
    """Whether a text can be stored: no lone surrogates, which stand for undecodable bytes."""
    return not any("\ud800" <= c <= "\udfff" for c in text)


def good_name(name: str) -> bool:
    """Whether a probe may be called that."""
    return (
        0 < len(name) <= NAME_LENGTH
        and name.isprintable()
        and name == name.strip()
        and name not in RESERVED_NAMES
    )


def check_label(field: str, text: str) -> None:
    """Raise InvalidEntry unless `text` can name something in a list."""
    if not 0 < len(text) <= 2 * NAME_LENGTH or not text.isprintable() or text != text.strip():
        raise InvalidEntry(field, text, LABEL_RULE)


def check_number(field: str, value: float | None, bounds: tuple[float, float], unit: str) -> None:
    """Raise InvalidEntry unless `value` is None or inside `bounds`."""
    if value is not None and not within(value, bounds):
        raise InvalidEntry(field, value, f"{bounds[0]:g} to {bounds[1]:g} {unit}")


def check_text(field: str, text: str) -> None:
    """Raise InvalidEntry unless `text` can be stored."""
    if not good_text(text):
        raise InvalidEntry(field, text, TEXT_RULE)


def check_time(field: str, at: datetime) -> None:
    """Raise InvalidEntry unless `at` is aware and in a sensible year."""
    if at.utcoffset() is None:
        raise InvalidEntry(field, at.isoformat(), "a time with its offset from UTC")
    if not YEARS[0] < at.year < YEARS[1]:
        raise InvalidEntry(field, at.isoformat(), f"a year after {YEARS[0]} and before {YEARS[1]}")


def check_plan(plan: Plan) -> None:
    """Raise InvalidEntry unless all values of a plan can be stored."""
    if plan.cut not in CUTS:
        raise InvalidEntry("cut", plan.cut, f"one of {', '.join(CUTS)}")
    check_number("mass_kg", plan.mass_kg, MASS_KG, "kg")
    for field in ("pit_c", "pit_low_c", "pit_high_c"):
        check_number(field, getattr(plan, field), TEMP_C, "°C")
    if plan.pit_low_c is not None and plan.pit_high_c is not None:
        check_number("pit_low_c", plan.pit_low_c, (TEMP_C[0], plan.pit_high_c), "°C")
    check_number("serve_s", plan.serve_s, ELAPSED_S, "s from meat-on")
    check_number("rest_s", plan.rest_s, REST_S, "s")
    check_number("thickness_m", plan.thickness_m, THICKNESS_M, "m")
    sized = plan.shape is not None, plan.thickness_m is not None
    if sized != (plan.cut == "other",) * 2:
        raise InvalidEntry(
            "shape and thickness", sized, "both for the cut 'other', neither for any other cut"
        )


def check_probes(probes: tuple[Probe, ...]) -> None:
    """Raise InvalidEntry unless all probes of a cook can be stored together."""
    names = [probe.name for probe in probes]
    for probe in probes:
        if not good_name(probe.name) or names.count(probe.name) > 1:
            raise InvalidEntry("probe name", probe.name, NAME_RULE)
        for field in ("target_c", "start_c", "glaze_c", "wrap_c"):
            check_number(f"{probe.name} {field}", getattr(probe, field), TEMP_C, "°C")


def check_reading(reading: Reading, probes: tuple[str, ...]) -> None:
    """Raise InvalidEntry unless a reading of a cook with these probes can be stored."""
    check_number("time from meat-on", reading.elapsed_s, ELAPSED_S, "s")
    check_number("pit", reading.pit_c, TEMP_C, "°C")
    names = [name for name, _ in reading.meat_c]
    for name, temp_c in reading.meat_c:
        if name not in probes or names.count(name) > 1:
            allowed = ", ".join(probes) or "the pit alone: the cook has no probes"
            raise InvalidEntry("probe", name, f"each of these once: {allowed}")
        check_number(name, temp_c, TEMP_C, "°C")


def check_event(event: Event) -> None:
    """Raise InvalidEntry unless an event can be stored."""
    check_number("time from meat-on", event.elapsed_s, ELAPSED_S, "s")
    check_text("note", event.note)


def check_outcome(outcome: Outcome) -> None:
    """Raise InvalidEntry unless an outcome can be stored."""
    for field in ("tender", "juicy", "skin", "smoke"):
        grade = getattr(outcome, field)
        if grade is None:
            continue
        if type(grade) is not int or not GRADES[0] <= grade <= GRADES[1]:
            raise InvalidEntry(field, grade, f"a whole number from {GRADES[0]} to {GRADES[1]}")
    for field in ("words", "change", "wood"):
        check_text(field, getattr(outcome, field))


def check_mix(name: str, kind: str, lines: tuple[str, ...], meat_kg: float | None) -> None:
    """Raise InvalidEntry unless a brine, a rub or a glaze can be stored."""
    check_label("name", name)
    if kind not in MIX_KINDS:
        raise InvalidEntry("kind", kind, f"one of {', '.join(MIX_KINDS)}")
    if len(lines) > MIX_LINES:
        raise InvalidEntry("number of lines", len(lines), f"up to {MIX_LINES}")
    for line in lines:
        check_text("line", line)
    check_number("meat_kg", meat_kg, MASS_KG, "kg")
