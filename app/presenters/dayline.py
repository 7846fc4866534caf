"""The day's plan in words: what is in the way, then the steps day by day, then the cautions."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime
from itertools import groupby
from typing import Any

from app.display import WEEKDAYS, Display, rounded
from app.presenters.cautions import CHARCOAL, SPOTS, ham_words
from app.presenters.day_conflicts import ConflictView, present_conflict
from app.presenters.day_steps import BY_HAND, step_words
from app.presenters.words import in_ten
from core.catalogue import cut_named
from core.day_values import Dayline, Step, StepKey
from core.units import from_celsius

COLD = (
    "Keep raw meat and brine at or below 4 °C / 40 °F; wash hands and all that they touched; "
    "never reuse a brine. A label that names a salt solution means it is brined already."
)
CAUTIONS = (SPOTS, COLD, CHARCOAL)
_STEP_S = 300.0
_NARROW_S = 600.0
_SPOKEN = frozenset({StepKey.PULL, StepKey.GLAZE, StepKey.WRAP})
_NO_RANGE = frozenset({
    StepKey.REST, StepKey.HOLD, StepKey.CARVE, StepKey.LEFTOVERS, StepKey.SMOKE,
    StepKey.FIRE_STEADY,
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class StepView:
    """One step: clock, what to do, its range and why; empty where there is nothing to say.

    `id` names it in its day; `state` is ``done``, ``moved`` or empty.
    """

    id: str
    key: str
    day: str
    clock: str
    piece: str
    text: str
    range: str
    why: str
    source: str
    state: str = ""


@dataclass(frozen=True, slots=True)
class DaylineView:
    """The whole day in finished words."""

    headline: str
    conflicts: tuple[ConflictView, ...]
    steps: tuple[StepView, ...]
    cautions: tuple[str, ...]


def present_dayline(day: Dayline, display: Display) -> DaylineView:
    """The plan in words."""
    return DaylineView(
        headline=_headline(day, display),
        conflicts=tuple(present_conflict(day, c, display) for c in day.conflicts),
        steps=tuple(_step(day, step, display) for step in day.steps),
        cautions=(*_ham(day, display), *CAUTIONS),
    )


def _ham(day: Dayline, display: Display) -> tuple[str, ...]:
    ham = any(piece.plan.cut == "ham" for piece in day.wish.pieces)
    return (ham_words(display),) if ham else ()


def meal_words(day: Dayline, display: Display) -> str:
    """``ham 11 lb for 12``."""
    meats = " and ".join(
        f"{cut_named(p.plan.cut).name} {display.mass(p.plan.mass_kg)}" for p in day.wish.pieces
    )
    people = "" if day.wish.people is None else f" for {day.wish.people}"
    return f"{meats}{people}"


def _headline(day: Dayline, display: Display) -> str:
    wish = day.wish
    at = display.local(wish.serve_at)
    eat = f"{day_name(at)} {at:%H:%M}"
    return f"{meal_words(day, display)}, to eat {eat}, wanted ready by then: {in_ten(wish.chance)}"


def day_name(local: datetime) -> str:
    """``Sun 2026-05-10``."""
    return f"{WEEKDAYS[local.weekday()]} {local:%Y-%m-%d}"


def _step(day: Dayline, step: Step, display: Display) -> StepView:
    text, why = step_words(day, step, display)
    local = display.local(step.at if step.pin else _clocked(step.at, display))
    return StepView(
        id=step.id,
        key=step.key.value,
        day=day_name(local),
        clock=f"{local:%H:%M}",
        piece=step.piece if step.piece and len(day.pieces) > 1 else "",
        text=text,
        range=_range(day, step, display),
        why=why,
        source=step.source,
        state=_state(step),
    )


def _state(step: Step) -> str:
    if step.pin is None:
        return ""
    return "done" if step.done else "moved"


def _clocked(at: datetime, display: Display) -> datetime:
    return rounded(at, _STEP_S, display.zone)


def _range(day: Dayline, step: Step, display: Display) -> str:
    """The range where it is a choice or a forecast and says something."""
    if step.key in _NO_RANGE or (step.late - step.early).total_seconds() < _NARROW_S:
        return ""
    shown = _clocks(step, display)
    if step.key in BY_HAND:
        return f"any time {shown}"
    if step.key is StepKey.PULL:
        limit = step.number("latest_s") or 0.0
        (piece,) = [d for d in day.pieces if d.piece.name == step.piece]
        rest = piece.rest_s + piece.carve_s
        last = display.clock(_clocked(_minus(day.wish.serve_at, rest), display), step.at)
        return f"8 in 10 {shown}; for the meal by {last}" if limit > 0.0 else f"8 in 10 {shown}"
    return f"8 in 10 {shown}" if step.key in _SPOKEN else shown


def _clocks(step: Step, display: Display) -> str:
    """The range as two clock times; with both days where it runs over midnight."""
    first, last = (display.local(_clocked(at, display)) for at in (step.early, step.late))
    at = display.local(_clocked(step.at, display))
    if first.date() == last.date() == at.date():
        return f"{first:%H:%M} to {last:%H:%M}"
    days = (f"{WEEKDAYS[each.weekday()]} {each:%H:%M}" for each in (first, last))
    return " to ".join(days)


def _minus(at: datetime, seconds: float) -> datetime:
    """Real time before an instant; the instant is in UTC."""
    return datetime.fromtimestamp(at.timestamp() - seconds, at.tzinfo)


def dayline_text(view: DaylineView) -> str:
    """The plan as plain text, one step a line and its reasons under it."""
    lines = [view.headline]
    for conflict in view.conflicts:
        lines.append(f"! {conflict.text}")
        lines += [f"  - can still be done: {remedy}" for remedy in conflict.remedies]
    for name, steps in groupby(view.steps, key=lambda step: step.day):
        lines += ["", name]
        for step in steps:
            who = f"{step.piece}: " if step.piece else ""
            state = f"[{step.state}] " if step.state else ""
            lines.append(f"{step.clock}  {state}{who}{step.text}")
            notes = "; ".join(part for part in (step.range, step.why) if part)
            source = f" ({step.source})"
            lines.append(f"       {notes}{source}" if notes else f"      {source}")
    lines += ["", *view.cautions]
    return "\n".join(lines)


def dayline_object(day: Dayline, view: DaylineView, display: Display) -> dict[str, Any]:
    """The plan for programs: ISO times, temperatures in the unit that is shown."""
    return {
        "headline": view.headline,
        "unit": display.unit.value,
        "serve_at": _iso(day.wish.serve_at, display),
        "people": day.wish.people,
        "chance_wanted": day.wish.chance,
        "pieces": [
            {
                "name": piece.piece.name,
                "cut": piece.plan.cut,
                "mass_kg": piece.plan.mass_kg,
                "pit": round(from_celsius(piece.plan.pit_c, display.unit), 2),
                "meat_on": _iso(piece.on_at, display),
                "chance_by_meal": round(piece.chance, 4),
            }
            for piece in day.pieces
        ],
        "conflicts": [asdict(conflict) for conflict in view.conflicts],
        "steps": [
            asdict(shown) | {
                "at": _iso(step.at, display),
                "early": _iso(step.early, display),
                "late": _iso(step.late, display),
            }
            for shown, step in zip(view.steps, day.steps, strict=True)
        ],
        "cautions": list(view.cautions),
    }  # fmt: skip


def _iso(when: datetime, display: Display) -> str:
    return display.local(when).isoformat(timespec="seconds")
