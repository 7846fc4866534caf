"""What is wished for on a day, as the JSON text that the data file keeps beside its steps.

Values inside are °C, kg and seconds, instants carry their offset; the units are those that the day
is shown in. What cannot be read back is refused as a whole, with the place and what is allowed.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from datetime import datetime, timedelta, tzinfo
from typing import Any, TypeVar

from core.catalogue import body_of
from core.cook import Plan, Probe, Shape
from core.day_values import Brine, DayWish, Piece
from core.errors import CoreError
from core.thaw import MeatState, ThawMethod
from core.units import MassUnit, TemperatureUnit
from storage.errors import InvalidEntry, StorageError
from storage.limits import YEARS, check_label, check_mix, check_plan, check_probes

VERSION = 1
T = TypeVar("T")


class WishError(StorageError):
    """A day in the data file that this program cannot read."""

    def __init__(self, place: str, found: object, allowed: str) -> None:
        super().__init__(f"the planned day cannot be read: {place} is {found!r}; {allowed}")
        self.place, self.found, self.allowed = place, found, allowed


@dataclass(frozen=True, slots=True)
class DayMix:
    """A brine, rub or glaze that belongs to a day until its cook is begun."""

    name: str
    kind: str
    lines: tuple[str, ...]
    meat_kg: float | None = None
    piece: str | None = None


@dataclass(frozen=True, slots=True)
class KeptWish:
    """A wish with the units it was typed in.

    Attributes
    ----------
    wish : DayWish
    unit, mass_unit
    cooks : dict of str to int
        Cooks that were begun from it, by the name of their piece.
    mixes : tuple of DayMix
    """

    wish: DayWish
    unit: TemperatureUnit
    mass_unit: MassUnit
    cooks: dict[str, int] = field(default_factory=dict)
    mixes: tuple[DayMix, ...] = ()


def wish_text(kept: KeptWish) -> str:
    """The JSON text of a wish; `now` and pins are not part of it."""
    wish = kept.wish
    return json.dumps(
        {
            "version": VERSION,
            "unit": kept.unit.value,
            "mass_unit": kept.mass_unit.value,
            "serve_at": wish.serve_at.isoformat(),
            "people": wish.people,
            "chance": wish.chance,
            "pieces": [_piece_object(piece, kept.cooks.get(piece.name)) for piece in wish.pieces],
            "mixes": [asdict(mix) for mix in kept.mixes],
        },
        ensure_ascii=False,
    )


def _piece_object(piece: Piece, cook_id: int | None) -> dict[str, Any]:
    plan = piece.plan
    return {
        "name": piece.name,
        "cut": plan.cut,
        "mass_kg": plan.mass_kg,
        "pit_c": plan.pit_c,
        "rest_s": plan.rest_s,
        "shape": None if plan.shape is None else plan.shape.value,
        "thickness_m": plan.thickness_m,
        "state": piece.state.value,
        "brine": piece.brine.value,
        "thaw": None if piece.thaw is None else piece.thaw.value,
        "cook": cook_id,
        "probes": [
            {
                "name": probe.name,
                "target_c": probe.target_c,
                "start_c": probe.start_c,
                "glaze_c": probe.glaze_c,
                "wrap_c": probe.wrap_c,
            }
            for probe in piece.probes
        ],
    }


def read_wish(text: str, now: datetime, zone: tzinfo) -> KeptWish:
    """The wish of a JSON text, planned from `now` in `zone`; raises WishError."""
    try:
        found = json.loads(text)
    except ValueError as error:
        raise WishError("its text", str(error), "JSON is needed") from None
    if not isinstance(found, dict) or found.get("version") != VERSION:
        version = found.get("version") if isinstance(found, dict) else None
        raise WishError("version", version, f"this program reads {VERSION}")
    read = _Reader("day", found)
    pieces = [_Reader(f"pieces[{i}]", item) for i, item in enumerate(read.items("pieces"))]
    serve_at = read.instant("serve_at")
    try:
        wish = DayWish(
            pieces=tuple(_piece(reader) for reader in pieces),
            serve_at=serve_at.astimezone(zone),
            now=now,
            people=read.number("people", int),
            chance=read.needed("chance", float),
        )
    except (CoreError, InvalidEntry) as error:
        raise WishError("a value", str(error), "the day has to be planned anew") from None
    cooks = {
        piece.name: cook
        for piece, reader in zip(wish.pieces, pieces, strict=True)
        if (cook := reader.number("cook", int)) is not None
    }
    unit = read.choice("unit", TemperatureUnit)
    mixes = tuple(
        _mix(_Reader(f"mixes[{i}]", item))
        for i, item in enumerate(read.items("mixes") if "mixes" in found else ())
    )
    return KeptWish(wish, unit, read.choice("mass_unit", MassUnit), cooks, mixes)


def _mix(read: _Reader) -> DayMix:
    lines = tuple(str(line) for line in read.items("lines"))
    meat_kg, piece = read.number("meat_kg", float), read.found.get("piece")
    mix = DayMix(read.text("name"), read.text("kind"), lines, meat_kg,
                 None if piece is None else read.text("piece"))  # fmt: skip
    try:
        check_mix(mix.name, mix.kind, mix.lines, mix.meat_kg)
    except InvalidEntry as error:
        raise WishError(read.place, str(error), "a mix that can be kept") from None
    return mix


def _piece(read: _Reader) -> Piece:
    shape = read.found.get("shape")
    plan = Plan(
        cut=read.text("cut"),
        mass_kg=read.needed("mass_kg", float),
        pit_c=read.needed("pit_c", float),
        rest_s=read.number("rest_s", float),
        shape=None if shape is None else read.choice("shape", Shape),
        thickness_m=read.number("thickness_m", float),
    )
    probes = tuple(
        Probe(
            name=each.text("name"),
            target_c=each.needed("target_c", float),
            start_c=each.number("start_c", float),
            glaze_c=each.number("glaze_c", float),
            wrap_c=each.number("wrap_c", float),
        )
        for each in (
            _Reader(f"{read.place}.probes[{i}]", item)
            for i, item in enumerate(read.items("probes"))
        )
    )
    if not probes:
        raise WishError(f"{read.place}.probes", [], "at least one is needed")
    check_plan(plan)
    check_probes(probes)
    check_label("name", read.text("name"))
    body_of(plan)
    thaw = read.found.get("thaw")
    return Piece(
        name=read.text("name"),
        plan=plan,
        probes=probes,
        state=read.choice("state", MeatState),
        brine=read.choice("brine", Brine),
        thaw=None if thaw is None else read.choice("thaw", ThawMethod),
    )


class _Reader:
    """Reads the values of one JSON object, and says where one is not as it should be."""

    def __init__(self, place: str, found: object) -> None:
        if not isinstance(found, dict):
            raise WishError(place, found, "an object is needed")
        self.place, self.found = place, found

    def _wrong(self, key: str, allowed: str) -> WishError:
        return WishError(f"{self.place}.{key}", self.found.get(key), allowed)

    def text(self, key: str) -> str:
        value = self.found.get(key)
        if not isinstance(value, str):
            raise self._wrong(key, "text is needed")
        return value

    def number(self, key: str, kind: type[T]) -> T | None:
        value = self.found.get(key)
        if value is None:
            return None
        good = isinstance(value, int if kind is int else int | float)
        if not good or isinstance(value, bool) or not abs(value) < 1e12:
            raise self._wrong(key, "a number is needed")
        return kind(value)  # type: ignore[call-arg]  # int or float

    def needed(self, key: str, kind: type[T]) -> T:
        value = self.number(key, kind)
        if value is None:
            raise self._wrong(key, "a number is needed")
        return value

    def instant(self, key: str) -> datetime:
        """An instant with its offset."""
        try:
            at = datetime.fromisoformat(self.text(key))
        except ValueError:
            at = datetime.min  # noqa: DTZ901  has no offset, which is refused below
        if at.utcoffset() is None or abs(at.utcoffset() or timedelta()) > timedelta(hours=26):
            raise self._wrong(key, "a time with its offset is needed")
        if not YEARS[0] < at.year < YEARS[1]:
            raise self._wrong(key, f"a year after {YEARS[0]} and before {YEARS[1]} is needed")
        return at

    def choice(self, key: str, kind: type[T]) -> T:
        """A member of an enumeration, by its value."""
        try:
            return kind(self.text(key))  # type: ignore[call-arg]  # an enumeration by value
        except ValueError:
            members = ", ".join(str(member) for member in kind)  # type: ignore[attr-defined]
            raise self._wrong(key, f"one of {members} is needed") from None

    def items(self, key: str) -> list[object]:
        value = self.found.get(key)
        if not isinstance(value, list):
            raise self._wrong(key, "a list is needed")
        return value
