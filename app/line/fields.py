"""Values of a plan as they are typed: weights, lengths of time, the meal and meat-on."""

from __future__ import annotations

import re
from datetime import UTC, datetime, time, timedelta, tzinfo

from app.line.numbers import read_temp_c
from app.line.values import Refusal
from app.localtime import with_offset
from core.units import KG_PER_LB, MassUnit, TemperatureUnit
from storage.errors import shown
from storage.limits import MASS_KG, REST_S, THICKNESS_M, within

KG_PER = {
    "kg": 1.0, "g": 0.001, "lb": KG_PER_LB, "lbs": KG_PER_LB, "oz": KG_PER_LB / 16.0,
}  # fmt: skip
"""An avoirdupois ounce is a sixteenth of a pound, exact by definition (1959)."""
METRES_PER = {"cm": 0.01, "mm": 0.001, "in": 0.0254, "inch": 0.0254, "inches": 0.0254, '"': 0.0254}
"""An inch is 25.4 mm, exact by definition (1959)."""

_NUMBER = r"[0-9]{1,6}(?:[.,][0-9]{1,3})?"
_MASS = re.compile(rf"({_NUMBER})\s*(kg|g|lbs?|oz)?(?:\s*({_NUMBER})\s*oz)?")
_LENGTH = re.compile(rf'({_NUMBER})\s*(cm|mm|in|inch|inches|")?')
_SPAN = re.compile(
    r"(?:([0-9]{1,3})\s*h(?:rs?|ours?)?)?\s*(?:([0-9]{1,4})\s*(?:m|min|mins|minutes)?)?"
)
_CLOCK = re.compile(r"@?([0-9]{1,2})(?:[:.h]([0-9]{2}))?\s*(am|pm)?")
_HALF_OPEN = re.compile(r"@?[1-9](?:[:.h][0-9]{2})?|@?1[0-2](?:[:.h][0-9]{2})?")
MEAL_HOURS = (10, 22)
CLOCK_RULE = "a clock time is 18:30, 6:30pm, or dated, 2026-05-09T18:30"


def _float(text: str) -> float:
    return float(text.replace(",", "."))


def read_mass_kg(text: str, unit: MassUnit) -> float:
    """Mass [kg] of ``7``, ``3.2 kg``, ``7lb``, ``7 lb 4 oz``; raises Refusal."""
    match = _MASS.fullmatch(text.strip().lower())
    if match is None or (match.group(3) and match.group(2) not in ("lb", "lbs")):
        raise Refusal(f"weight {shown(text)}", "a weight is 7 lb, 7 lb 4 oz or 3.2 kg")
    mass_kg = _float(match.group(1)) * KG_PER[match.group(2) or unit.value]
    mass_kg += _float(match.group(3) or "0") * KG_PER["oz"]
    if not within(mass_kg, MASS_KG):
        raise Refusal(f"weight {shown(text)}", f"allowed is {MASS_KG[0]:g} to {MASS_KG[1]:g} kg")
    return mass_kg


def read_thickness_m(text: str, unit: MassUnit) -> float:
    """Thickness [m] of ``8 cm`` or ``3 in``; raises Refusal. A bare number goes with `unit`."""
    match = _LENGTH.fullmatch(text.strip().lower())
    if match is None:
        raise Refusal(f"thickness {shown(text)}", "a thickness is 8 cm or 3 in")
    usual = "cm" if unit is MassUnit.KILOGRAM else "in"
    thickness_m = _float(match.group(1)) * METRES_PER[match.group(2) or usual]
    if not within(thickness_m, THICKNESS_M):
        low, high = (100.0 * bound for bound in THICKNESS_M)
        raise Refusal(f"thickness {shown(text)}", f"allowed is {low:g} to {high:g} cm")
    return thickness_m


def read_span_s(text: str) -> float:
    """Length of time [s] of ``20``, ``20m``, ``1h``, ``1 h 20 min``; raises Refusal."""
    clean = text.strip().lower()
    match = _SPAN.fullmatch(clean)
    if match is None or not clean:
        raise Refusal(f"found {shown(text)}", "a length of time is 20 (minutes), 20m or 1h20m")
    hours, minutes = (int(part or 0) for part in match.groups())
    span_s = hours * 3600.0 + minutes * 60.0
    if not within(span_s, REST_S):
        raise Refusal(f"found {shown(text)}", f"allowed is up to {REST_S[1] / 3600.0:g} h")
    return span_s


def read_field_c(field: str, text: str, unit: TemperatureUnit) -> float:
    """Temperature [°C] of a field of a plan; the Refusal names the field."""
    word, _, apart = text.strip().partition(" ")
    try:
        return read_temp_c(word, apart.strip(), unit)
    except Refusal as refusal:
        raise Refusal(f"{field}: {refusal.error.found}", refusal.error.allowed) from None


def read_meal(text: str, after: datetime, zone: tzinfo) -> datetime:
    """The first such clock time later than `after`; raises Refusal.

    ``6:30`` without am or pm is taken within the hours of meals.

    Parameters
    ----------
    text : str
        ``18:30``, ``6:30pm``, ``6:30``, or dated.
    after : datetime
        Aware; meat-on or now.
    zone : tzinfo
        Zone of the clock.

    Returns
    -------
    datetime
        With a fixed offset, so that meat-on can be subtracted.
    """
    dated = _dated(text, zone)
    after = after.astimezone(UTC)
    if dated is not None:
        if dated <= after:
            raise Refusal(f"meal {shown(text)} is over before it began", CLOCK_RULE)
        return dated
    found = [at for at in _days(text, after, zone, range(-1, 3)) if at > after]
    if _HALF_OPEN.fullmatch(text.strip().lower()):
        # `6:30` is half past six in the evening, `11:00` is before noon.
        found = [at for at in found if MEAL_HOURS[0] <= at.hour < MEAL_HOURS[1]]
    if not found:
        raise Refusal(f"found {shown(text)}", CLOCK_RULE)
    return min(found)


def read_start(text: str, now: datetime, zone: tzinfo) -> datetime:
    """Meat-on: ``now``, ``-20m``, or the nearest such clock time, past or to come.

    Raises Refusal. What is returned has a fixed offset.
    """
    clean = text.strip().lower()
    now = with_offset(now, zone)
    if clean in ("", "now"):
        return now
    if clean.startswith("-"):
        return with_offset(now - timedelta(seconds=read_span_s(clean[1:])), zone)
    dated = _dated(text, zone)
    if dated is not None:
        return dated
    found = _days(text, now, zone, range(-1, 2))
    if not found:
        raise Refusal(f"found {shown(text)}", CLOCK_RULE)
    return min(found, key=lambda at: (abs(at - now), at > now))


def _dated(text: str, zone: tzinfo) -> datetime | None:
    """An ISO date and time; without an offset in `zone`. None if it is none."""
    clean = text.strip().lstrip("@").upper()
    if not re.fullmatch(r"[0-9]{4}-.*", clean):
        return None
    try:
        when = datetime.fromisoformat(clean)
    except ValueError:
        raise Refusal(f"found {shown(text)}", CLOCK_RULE) from None
    return when if when.tzinfo is not None else with_offset(when.replace(tzinfo=zone), zone)


def _days(text: str, about: datetime, zone: tzinfo, days: range) -> list[datetime]:
    """The clock time on the days around `about`; morning and evening if it says neither."""
    match = _CLOCK.fullmatch(text.strip().lower())
    if match is None:
        return []
    hour, minute, half = int(match.group(1)), int(match.group(2) or 0), match.group(3)
    if minute > 59 or hour > 23 or (half and not 1 <= hour <= 12):
        return []
    hours = [hour]
    if half:
        hours = [hour % 12 + (12 if half == "pm" else 0)]
    elif 1 <= hour <= 12 and not text.strip().lstrip("@").startswith("0"):
        hours = [hour % 12, hour % 12 + 12]
    today = about.astimezone(zone).date()
    found = []
    for day in days:
        for each in hours:
            naive = datetime.combine(today + timedelta(days=day), time(each, minute))
            instant = naive.replace(tzinfo=zone).astimezone(UTC)
            # A time that a clock change skips comes back as another one.
            if instant.astimezone(zone).replace(tzinfo=None, fold=0) == naive:
                found.append(with_offset(instant, zone))
    return found
