"""What each column holds: by its heading, or as it was mapped."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from app.csv_readings.sheet import Sheet
from core.units import TemperatureUnit
from storage.errors import DocumentError, shown
from storage.limits import good_name


class Role(StrEnum):
    """What a column can hold."""

    TIME = "time"
    DATE = "date"
    MINUTE = "minute"
    PIT = "pit"
    PROBE = "probe"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Column:
    """One column that is taken.

    Attributes
    ----------
    place : int
        Its place in the sheet, the first one being 0.
    role : Role
    name : str
        The probe's name, else the role's.
    unit : TemperatureUnit or None
        Unit that its heading names.
    seconds : float
        For `MINUTE`: how long one is [s].
    """

    place: int
    role: Role
    name: str
    unit: TemperatureUnit | None = None
    seconds: float = 60.0


WORDS = {
    Role.PIT: {"pit", "grill", "grate", "cooker", "smoker", "chamber", "ambient", "oven"},
    Role.PROBE: {"probe", "meat", "core", "internal", "food"},
    Role.NOTE: {"note", "notes", "comment", "comments", "event", "events", "remark", "remarks"},
}
"""Headings by which a column is known. Common practice, no source."""

NOT_READ = {
    "min", "max", "avg", "average", "mean", "set", "setpoint", "target", "goal", "alarm", "low",
    "high",
}  # fmt: skip
"""Words of columns that stand beside the readings and are none."""

LENGTHS = {
    60.0: {"minute", "minutes", "min", "mins"},
    1.0: {"second", "seconds", "sec", "secs", "s"},
    3600.0: {"hour", "hours", "hr", "hrs", "h"},
}
_CLOCKS = {"time", "clock", "timestamp", "datetime", "when"}
_DATES = {"date", "day"}
_ELAPSED = {"elapsed", "duration", "runtime", "since"}
_BESIDE = {*_ELAPSED, "time", "start", "from", "in", "meat", "on", "cook"}
"""Words that may stand beside the unit of an elapsed time; ``pit min`` is none."""

_UNIT = re.compile(
    r"""[\s,_]*(?:
        [(\[]\s*(?:°|º|deg(?:rees?)?\.?)?\s*(?P<a>c|f|celsius|fahrenheit)\s*[)\]]
        | (?:°|º|\bdeg(?:rees?)?\.?\s?)\s*(?P<b>c|f|celsius|fahrenheit)
        | (?:^|[\s,_])(?P<c>celsius|fahrenheit)
    )\s*$""",
    re.IGNORECASE | re.VERBOSE,
)
MAP_RULE = (
    "WHAT=COLUMN, where WHAT is time, date, minute, pit, note or a probe, and COLUMN is a "
    "heading or #2 for the second column"
)


def read_mapping(options: list[str]) -> dict[str, str]:
    """Columns by what they hold, from ``pit=Grill,breast=#3`` given once or more often.

    Raises
    ------
    DocumentError
        Named after the option.
    """
    found: dict[str, str] = {}
    for option in options:
        parts = option.split(",")
        if not all("=" in part for part in parts):
            parts = [option]  # a comma of the heading
        for part in parts:
            what, sign, column = part.partition("=")
            what = what.strip()
            if not sign or not what or not column.strip():
                raise DocumentError("--map", "", shown(part), MAP_RULE)
            if what in found:
                raise DocumentError("--map", "", f"{what} twice", "each WHAT once")
            found[what] = column.strip()
    return found


def find_columns(
    sheet: Sheet, mapping: dict[str, str], probes: tuple[str, ...] | None
) -> tuple[Column, ...]:
    """The columns to take.

    Parameters
    ----------
    sheet : Sheet
    mapping : dict
        As `read_mapping` gives it; what is not in it is found by the headings.
    probes : tuple of str or None
        Probes of the cook that takes the readings; None if the columns make the probes.

    Raises
    ------
    DocumentError
    """
    mapped = tuple(_mapped(sheet, mapping, probes))
    taken = {column.place for column in mapped}
    doubled = [place for place in taken if sum(c.place == place for c in mapped) > 1]
    if doubled:
        raise DocumentError("--map", "", f"{sheet.heading[doubled[0]]!r} twice", "each column once")
    guessed = [c for c in _guessed(sheet, probes) if c.place not in taken]
    roles = {column.role for column in mapped}
    own = [column for column in guessed if column.role not in roles]
    columns = _only(sheet, (*mapped, *own), probes)
    return tuple(sorted(columns, key=lambda column: column.place))


def _mapped(
    sheet: Sheet, mapping: dict[str, str], probes: tuple[str, ...] | None
) -> Iterator[Column]:
    for what, wanted in mapping.items():
        place = _place(sheet, wanted)
        _, unit = bare_heading(sheet.heading[place])
        role = {"minutes": Role.MINUTE, "notes": Role.NOTE}.get(what)
        if role is None and what in (r.value for r in Role if r is not Role.PROBE):
            role = Role(what)
        if role is Role.MINUTE:
            yield Column(place, role, role.value, seconds=_length(sheet.heading[place]) or 60.0)
        elif role is not None:
            yield Column(place, role, role.value, unit)
        else:
            yield Column(place, Role.PROBE, _probe_name(what, probes), unit)


def _place(sheet: Sheet, wanted: str) -> int:
    """Place of a heading, exact or not minding capitals, or of ``#2``."""
    for fold in (str, str.casefold):
        found = [i for i, head in enumerate(sheet.heading) if fold(head) == fold(wanted)]
        if len(found) == 1:
            return found[0]
        if found:
            allowed = "a number, like #2: several columns have that heading"
            raise DocumentError("--map", "", shown(wanted), allowed)
    match = re.fullmatch(r"#([0-9]{1,4})", wanted)
    if match and 1 <= int(match[1]) <= len(sheet.heading):
        return int(match[1]) - 1
    heads = ", ".join(shown(head) for head in sheet.heading)
    raise DocumentError(
        "--map", "", shown(wanted), f"one of {heads}, or #1 to #{len(sheet.heading)}"
    )


def _probe_name(what: str, probes: tuple[str, ...] | None) -> str:
    if probes is None or what in probes:
        if not good_name(what):
            raise DocumentError("--map", "", shown(what), MAP_RULE)
        return what
    if what == Role.PROBE and len(probes) == 1:
        return probes[0]
    allowed = f"a probe of the cook: {', '.join(probes) or 'it has none'}"
    raise DocumentError("--map", "", shown(what), allowed)


def _guessed(sheet: Sheet, probes: tuple[str, ...] | None) -> Iterator[Column]:
    """What the headings say, column by column."""
    for place, heading in enumerate(sheet.heading):
        bare, unit = bare_heading(heading)
        words = set(re.findall(r"[^\W\d_]+", bare.casefold()))
        length = _length(heading)
        if length is not None:
            yield Column(place, Role.MINUTE, Role.MINUTE.value, seconds=length)
        elif words & _CLOCKS or (words & _DATES and "time" in words):
            yield Column(place, Role.TIME, Role.TIME.value)
        elif words & _DATES:
            yield Column(place, Role.DATE, Role.DATE.value)
        elif words & WORDS[Role.NOTE] and unit is None:
            yield Column(place, Role.NOTE, Role.NOTE.value)
        elif _is_probe(bare, probes):
            yield Column(place, Role.PROBE, _known(bare, probes), unit)
        elif words & NOT_READ:
            continue
        elif words & WORDS[Role.PIT]:
            yield Column(place, Role.PIT, Role.PIT.value, unit)
        elif probes is None and (unit is not None or words & WORDS[Role.PROBE]):
            yield Column(place, Role.PROBE, _new_name(bare, place), unit)
        elif probes is not None and len(probes) == 1 and words & WORDS[Role.PROBE]:
            yield Column(place, Role.PROBE, probes[0], unit)


def bare_heading(heading: str) -> tuple[str, TemperatureUnit | None]:
    """A heading without the unit at its end, and that unit."""
    match = _UNIT.search(heading)
    if match is None:
        return heading, None
    letter = (match["a"] or match["b"] or match["c"])[0].upper()
    return heading[: match.start()].strip(), TemperatureUnit(letter)


def _length(heading: str) -> float | None:
    """How long one of an elapsed time's numbers is [s]; None if the heading is not of one."""
    words = set(re.findall(r"[^\W\d_]+", heading.casefold()))
    for seconds, names in LENGTHS.items():
        if words & names and words <= names | _BESIDE:
            return seconds
    return 60.0 if words & _ELAPSED and words <= _BESIDE else None


def _is_probe(bare: str, probes: tuple[str, ...] | None) -> bool:
    return probes is not None and bare.casefold() in (name.casefold() for name in probes)


def _known(bare: str, probes: tuple[str, ...] | None) -> str:
    return next(name for name in probes or () if name.casefold() == bare.casefold())


def _new_name(bare: str, place: int) -> str:
    """A heading as a name that can be typed: ``Probe 1`` becomes ``probe1``."""
    letters = re.sub(r"[^\w\s-]|_", " ", bare.casefold())
    name = re.sub(r"\s+(\d+)$", r"\1", " ".join(letters.split())).strip(" -")
    return name if good_name(name) and not name[0].isdigit() else f"probe{place + 1}"


def _only(
    sheet: Sheet, columns: tuple[Column, ...], probes: tuple[str, ...] | None
) -> tuple[Column, ...]:
    """The columns, once it is sure that none of them is meant twice."""
    for role in (Role.TIME, Role.DATE, Role.MINUTE, Role.PIT):
        several = [column for column in columns if column.role is role]
        if len(several) > 1:
            heads = " and ".join(shown(sheet.heading[column.place]) for column in several)
            raise DocumentError(
                sheet.name, "", f"{heads}, both {role.value}", f"--map {role.value}=COLUMN for one"
            )
    names: set[str] = set()
    out = []
    for column in columns:
        again = column.role is Role.PROBE and column.name in names
        if again and probes is not None:
            raise DocumentError(
                sheet.name, "", f"two columns for {column.name}", f"--map {column.name}=COLUMN"
            )
        out.append(replace(column, name=f"{column.name}{column.place + 1}") if again else column)
        names.add(out[-1].name)
    return tuple(out)
