"""How values look to a person: units, clock times and spans, decided in one place.

Inside the program everything is °C, seconds and kg; this is the way out. Nothing here is localised
by the platform (weekday names, decimal point), so screens, ``status`` and tests agree everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

from core.units import (
    MassUnit,
    TemperatureUnit,
    delta_from_celsius,
    from_celsius,
    kg_to_lb,
)

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
NO_CLOCK = "--:--"
"""Stands where a clock time would, when there is none."""

LONGEST_SHOWN = 500
"""A note may be longer than this in the file; the screens show its beginning [characters]."""

_JOINERS = "\u200c\u200d"
"""Some scripts need them, and they move nothing."""

MINUTE = 60.0
HOUR = 3600.0


def plain_number(value: float, decimals: int) -> str:
    """A number without trailing zeros and without a minus before zero."""
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def inert(text: str) -> str:
    """The text with everything that acts on a terminal spelled out; line ends are kept."""
    return "".join(c if _stands_still(c) or c == "\n" else ascii(c)[1:-1] for c in text)


def one_line(text: str) -> str:
    """What somebody wrote, as the screens show it: inert, in one line, and not without end."""
    if len(text) > LONGEST_SHOWN:
        text = f"{text[: LONGEST_SHOWN - 1]}…"
    return inert(" ".join(text.split()) if not text.isprintable() else text)


def _stands_still(character: str) -> bool:
    """Whether a character does nothing to a terminal but take its place."""
    return character.isprintable() or character in _JOINERS


def other_unit(unit: TemperatureUnit) -> TemperatureUnit:
    """°F for °C and the other way round."""
    celsius = unit is TemperatureUnit.CELSIUS
    return TemperatureUnit.FAHRENHEIT if celsius else TemperatureUnit.CELSIUS


def span(seconds: float) -> str:
    """A length of time in words, to the minute: ``1 h 25 min``."""
    minutes = round(abs(seconds) / MINUTE)
    if minutes == 0:
        return "under a minute"
    hours, rest = divmod(minutes, 60)
    if hours == 0:
        return f"{rest} min"
    if hours >= 48:
        days, hours = divmod(round(minutes / 60), 24)
        return f"{days} d {hours} h" if hours else f"{days} d"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def rough_span(seconds: float) -> str:
    """A length of time that is not known to the minute: in steps of 5, from 3 h on 15 min."""
    step_s = 300.0 if seconds < 3 * HOUR else 900.0
    return span(max(step_s * round(seconds / step_s), min(seconds, step_s)))


@dataclass(frozen=True, slots=True)
class Display:
    """The units and the time zone that one person wants to see.

    Attributes
    ----------
    unit : TemperatureUnit
    mass_unit : MassUnit
    zone : tzinfo
        Zone of every clock time shown.
    """

    unit: TemperatureUnit
    mass_unit: MassUnit
    zone: tzinfo

    @property
    def degree(self) -> str:
        """The unit's sign, ``°F`` or ``°C``."""
        return f"°{self.unit.value}"

    def number(self, temp_c: float) -> str:
        """A temperature as it was typed, without its sign: at most one decimal."""
        return plain_number(from_celsius(temp_c, self.unit), 1)

    def reading(self, temp_c: float) -> str:
        """A temperature as it was typed: ``53.5 °C``."""
        return f"{self.number(temp_c)} {self.degree}"

    def whole(self, temp_c: float) -> str:
        """A temperature in whole degrees, without its sign."""
        return plain_number(from_celsius(temp_c, self.unit), 0)

    def temp(self, temp_c: float) -> str:
        """A temperature in whole degrees: ``128 °F``. For what is estimated, not read."""
        return f"{self.whole(temp_c)} {self.degree}"

    def temps(self, low_c: float, high_c: float) -> str:
        """A range of temperatures: ``127 to 134 °F``, or one when both round to the same."""
        low, high = self.whole(low_c), self.whole(high_c)
        return f"{low} {self.degree}" if low == high else f"{low} to {high} {self.degree}"

    def delta(self, delta_c: float) -> str:
        """Size of a temperature difference in whole degrees: ``7 °F``."""
        return f"{plain_number(abs(delta_from_celsius(delta_c, self.unit)), 0)} {self.degree}"

    def mass(self, mass_kg: float) -> str:
        """A weight: ``3.2 kg`` or ``7 lb``."""
        if self.mass_unit is MassUnit.POUND:
            return f"{plain_number(kg_to_lb(mass_kg), 1)} lb"
        return f"{plain_number(mass_kg, 2)} kg"

    def local(self, when: datetime) -> datetime:
        """The same instant in the zone that is shown."""
        return when.astimezone(self.zone)

    def clock(self, when: datetime, now: datetime | None = None) -> str:
        """A clock time: ``17:42``; with the day in front when that is not the day of `now`.

        The time is always the last word, so a big-digit view can take that word alone.
        """
        local = self.local(when)
        text = f"{local:%H:%M}"
        if now is None:
            return text
        days = (local.date() - self.local(now).date()).days
        if days == 0:
            return text
        if abs(days) < 6:
            return f"{WEEKDAYS[local.weekday()]} {text}"
        return f"{local:%Y-%m-%d} {text}"

    def clocks(self, first: datetime, last: datetime, now: datetime) -> str:
        """Two clock times: ``17:10 to 18:20``; the day is not said twice."""
        start, end = self.clock(first, now), self.clock(last, now)
        if start == end:
            return start
        if self.local(first).date() == self.local(last).date():
            end = end.rsplit(" ", 1)[-1]
        return f"{start} to {end}"

    def span(self, seconds: float) -> str:
        """A length of time in words."""
        return span(seconds)


def rounded(when: datetime, step_s: float, zone: tzinfo, *, down: bool = False) -> datetime:
    """The instant on the nearest (or last) multiple of `step_s` past the local hour."""
    local = when.astimezone(zone)
    past = local.minute * MINUTE + local.second + local.microsecond / 1e6
    count = past // step_s if down else (past + step_s / 2.0) // step_s
    return when.astimezone(UTC) + timedelta(seconds=count * step_s - past)


def honest_step_s(width_s: float) -> float:
    """Step to round a clock time to, when its 80 % range is `width_s` wide [s].

    A time that may be off by an hour is not shown to the minute.
    """
    for limit_min, step_min in ((30, 1), (110, 5), (180, 10), (360, 15)):
        if width_s <= limit_min * MINUTE:
            return step_min * MINUTE
    return 30 * MINUTE
