"""Changes of the plan from the entry line: ``plan meal 18:30``, ``plan target breast 160``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from app.display import Display
from app.line.fields import read_field_c, read_mass_kg, read_meal, read_span_s, read_start
from app.line.numbers import PIT_C, TARGET_C
from app.line.values import PlanLine, Refusal
from app.presenters.cautions import below_minimum
from core.catalogue import body_of, cut_named
from core.cook import Plan, Probe
from core.errors import CoreError
from storage.errors import shown
from storage.limits import ELAPSED_S, TEMP_C, within
from storage.values import SavedCook

PULLS = {"early": True, "carryover": True, "target": False}
NONE = ("none", "-", "no")
FIELDS = ("pit", "band", "target", "glaze", "wrap", "meal", "rest", "weight", "pull", "on")
PLAN_RULE = f"plan and one of {', '.join(FIELDS)}, with its value: plan meal 18:30"


@dataclass(frozen=True, slots=True)
class PlanChange:
    """A plan in the place of the present one.

    `started_at` only where meat-on itself moves, `early` only where the pull does.
    """

    plan: Plan
    probes: tuple[Probe, ...]
    started_at: datetime | None = None
    early: bool | None = None


@dataclass(frozen=True, slots=True)
class Planned:
    """A change with its words, what is odd about it, and the change that takes it back."""

    change: PlanChange
    words: str
    odd: tuple[str, ...]
    back: PlanChange
    back_words: str


class Planner:
    """Works out changes of one cook's plan. Every reader raises Refusal."""

    def __init__(
        self, saved: SavedCook, now: datetime, display: Display, *, early: bool = False
    ) -> None:
        self._saved, self._now, self._display, self._early = saved, now, display, early
        self._plan, self._probes = saved.cook.plan, saved.cook.probes

    def change(self, line: PlanLine) -> Planned:
        """The change that a line asks for."""
        readers: dict[str, Callable[[str], tuple[PlanChange, str, str]]] = {
            "pit": self._pit, "band": self._band, "meal": self._meal, "rest": self._rest,
            "weight": self._weight, "pull": self._pull, "on": self._on,
        }  # fmt: skip
        if line.field in readers:
            made, words, was = readers[line.field](line.value)
        elif line.field in ("target", "glaze", "wrap"):
            made, words, was = self._trigger(line.field, line.value)
        else:
            raise Refusal(f"found {shown(line.field)} after plan", PLAN_RULE)
        if words == was:
            raise Refusal(f"the plan says that already: {words}", "a change changes something")
        self._check(made)
        back = PlanChange(
            self._plan,
            self._probes,
            None if made.started_at is None else self._saved.started_at,
            None if made.early is None else self._early,
        )
        return Planned(made, f"{words}, was {was}", self._odd(made), back, f"{was}, was {words}")

    def _check(self, made: PlanChange) -> None:
        """Refuse now what the data file would refuse later: the preview must not like it."""
        plan, show = made.plan, self._display
        if plan.serve_s is not None and not within(plan.serve_s, ELAPSED_S):
            raise Refusal(
                f"the meal would be {show.span(plan.serve_s)} from meat-on",
                f"a cook lasts {show.span(ELAPSED_S[1])} at most",
            )
        edges = (plan.pit_low_c, plan.pit_high_c)
        if any(edge is not None and not within(edge, TEMP_C) for edge in edges):
            raise Refusal(
                f"the band would be {self._band_words(plan).removeprefix('band ')}",
                f"temperatures are {show.number(TEMP_C[0])} to {show.reading(TEMP_C[1])}",
            )
        if made.started_at is not None:
            shift_s = (self._saved.started_at - made.started_at).total_seconds()
            cook = self._saved.cook
            times = [r.elapsed_s for r in cook.readings] + [e.elapsed_s for e in cook.events]
            times.append(cook.plan.serve_s or 0.0)
            if not all(within(time_s + shift_s, ELAPSED_S) for time_s in times):
                raise Refusal(
                    "the meal or a line of the log would be too far from meat-on",
                    f"a cook lasts {show.span(ELAPSED_S[1])} at most",
                )

    def _with(self, plan: Plan) -> PlanChange:
        return PlanChange(plan, self._probes)

    def _pit(self, value: str) -> tuple[PlanChange, str, str]:
        pit_c = read_field_c("pit", value, self._display.unit)
        # A band was set around the old pit: it moves along.
        shift_c = pit_c - self._plan.pit_c
        low_c, high_c = (
            None if edge is None else edge + shift_c
            for edge in (self._plan.pit_low_c, self._plan.pit_high_c)
        )
        plan = replace(self._plan, pit_c=pit_c, pit_low_c=low_c, pit_high_c=high_c)
        show = self._display.reading
        return self._with(plan), f"pit {show(pit_c)}", f"pit {show(self._plan.pit_c)}"

    def _band(self, value: str) -> tuple[PlanChange, str, str]:
        parts = value.replace("-", " ").split()
        if len(parts) != 2:
            raise Refusal(f"band: found {shown(value)}", "plan band 290 320")
        low_c, high_c = (read_field_c("band", part, self._display.unit) for part in parts)
        if not low_c <= self._plan.pit_c <= high_c:
            raise Refusal("the band does not hold the planned pit", "plan band 290 320")
        plan = replace(self._plan, pit_low_c=low_c, pit_high_c=high_c)
        return self._with(plan), self._band_words(plan), self._band_words(self._plan)

    def _band_words(self, plan: Plan) -> str:
        if plan.pit_low_c is None or plan.pit_high_c is None:
            return "no band"
        show = self._display
        return f"band {show.number(plan.pit_low_c)} to {show.reading(plan.pit_high_c)}"

    def _meal(self, value: str) -> tuple[PlanChange, str, str]:
        serve_s = None
        if value.lower() not in NONE:
            after = max(self._saved.started_at.astimezone(UTC), self._now)
            meal = read_meal(value, after, self._display.zone)
            serve_s = (meal - self._saved.started_at).total_seconds()
        plan = replace(self._plan, serve_s=serve_s)
        return self._with(plan), self._meal_words(plan), self._meal_words(self._plan)

    def _meal_words(self, plan: Plan) -> str:
        if plan.serve_s is None:
            return "no meal time"
        at = self._saved.started_at.astimezone(UTC) + timedelta(seconds=plan.serve_s)
        return f"meal {self._display.clock(at, self._now)}"

    def _rest(self, value: str) -> tuple[PlanChange, str, str]:
        plan = replace(self._plan, rest_s=read_span_s(value))
        usual_s = cut_named(plan.cut).rest_s
        was_s = usual_s if self._plan.rest_s is None else self._plan.rest_s
        show = self._display.span
        return self._with(plan), f"rest {show(plan.rest_s or 0.0)}", f"rest {show(was_s)}"

    def _weight(self, value: str) -> tuple[PlanChange, str, str]:
        plan = replace(self._plan, mass_kg=read_mass_kg(value, self._display.mass_unit))
        try:
            body_of(plan)
        except CoreError as error:
            raise Refusal(str(error), "a weight of one piece") from None
        show = self._display.mass
        return (
            self._with(plan),
            f"weight {show(plan.mass_kg)}",
            f"weight {show(self._plan.mass_kg)}",
        )

    def _pull(self, value: str) -> tuple[PlanChange, str, str]:
        """Early, so that the rest carries it to the target; or at the target."""
        word = value.strip().lower()
        if word not in PULLS:
            raise Refusal(f"pull: found {shown(value)}", "plan pull early, or plan pull target")
        change = PlanChange(self._plan, self._probes, early=PULLS[word])
        words = {True: "pull early, the rest carries it to the target", False: "pull at the target"}
        return change, words[PULLS[word]], words[self._early]

    def _on(self, value: str) -> tuple[PlanChange, str, str]:
        on_at = read_start(value, self._now, self._display.zone)
        if abs(on_at - self._now) > timedelta(hours=24):
            raise Refusal(f"found {shown(value)}", "meat-on within a day of now: plan on 13:10")
        words, was = (
            f"meat on {self._display.clock(at, self._now)}"
            for at in (on_at, self._saved.started_at)
        )
        return PlanChange(self._plan, self._probes, on_at), words, was

    def _trigger(self, field: str, value: str) -> tuple[PlanChange, str, str]:
        """Target, glaze or wrap of one probe that is named, else of all."""
        name, typed = self._named(value)
        temp_c = None
        if field == "target" or typed.lower() not in NONE:
            temp_c = read_field_c(field, typed, self._display.unit)
        chosen = [probe for probe in self._probes if name is None or probe.name == name]
        probes = tuple(
            _with_trigger(probe, field, temp_c) if probe in chosen else probe
            for probe in self._probes
        )
        for probe in probes:
            for trigger_c in (probe.glaze_c, probe.wrap_c):
                if trigger_c is not None and trigger_c >= probe.target_c:
                    raise Refusal(
                        f"{probe.name}: {self._display.reading(trigger_c)} is not below the target",
                        "glaze and wrap come before the target; 'plan glaze none' clears it",
                    )
        words, was = (
            self._trigger_words(field, [p for p in group if name is None or p.name == name])
            for group in (probes, self._probes)
        )
        return PlanChange(self._plan, probes), words, was

    def _named(self, value: str) -> tuple[str | None, str]:
        folded = value.casefold()
        names = sorted((probe.name for probe in self._probes), key=len, reverse=True)
        for name in names:
            if folded.startswith(f"{name.casefold()} "):
                return name, value[len(name) :].strip()
        return None, value

    def _trigger_words(self, field: str, probes: list[Probe]) -> str:
        temps = {getattr(probe, f"{field}_c") for probe in probes}
        if len(temps) == 1:
            return f"{_names(probes)} {field} {self._temp_words(temps.pop())}"
        return ", ".join(
            f"{probe.name} {field} {self._temp_words(getattr(probe, f'{field}_c'))}"
            for probe in probes
        )

    def _temp_words(self, temp_c: float | None) -> str:
        return "none" if temp_c is None else self._display.reading(temp_c)

    def _odd(self, made: PlanChange) -> tuple[str, ...]:
        minimum = cut_named(made.plan.cut).minimum
        odd = [
            f"{probe.name} target {self._display.reading(probe.target_c)} is below the published "
            f"minimum of {self._display.reading(minimum.temp_c)}"
            for probe, old in zip(made.probes, self._probes, strict=True)
            if below_minimum(probe, minimum) and probe.target_c != old.target_c
        ]
        if made.plan.pit_c != self._plan.pit_c and not within(made.plan.pit_c, PIT_C):
            odd.append(f"{self._display.reading(made.plan.pit_c)} is no usual pit; is it the unit?")
        odd += [
            f"{self._display.reading(probe.target_c)} is no usual core; is it the unit?"
            for probe, old in zip(made.probes, self._probes, strict=True)
            if probe.target_c != old.target_c and not within(probe.target_c, TARGET_C)
        ]
        if any(probe.target_c >= made.plan.pit_c for probe in made.probes):
            odd.append("the pit is not above the target, so it is never reached")
        return tuple(odd)


def _with_trigger(probe: Probe, field: str, temp_c: float | None) -> Probe:
    if field == "target" and temp_c is not None:
        return replace(probe, target_c=temp_c)
    if field == "glaze":
        return replace(probe, glaze_c=temp_c)
    return replace(probe, wrap_c=temp_c)


def _names(probes: list[Probe]) -> str:
    return " and ".join(probe.name for probe in probes)
