"""The steps of a day in words: what to do, why, and where the number is from."""

from __future__ import annotations

from collections.abc import Callable

from app.display import Display, rough_span, span
from app.presenters.words import in_ten
from core.day_values import Dayline, Step, StepKey

BY_HAND = frozenset({
    StepKey.THAW, StepKey.THAW_FINISH, StepKey.BRINE_IN, StepKey.BRINE_OUT, StepKey.DRY_SALT,
    StepKey.RUB, StepKey.LIGHT, StepKey.FIRE_STEADY, StepKey.SMOKE, StepKey.CARVE,
    StepKey.LEFTOVERS,
})  # fmt: skip
"""Steps whose range is a choice; the others have the range of 8 in 10 cooks."""


BEHIND = {
    StepKey.THAW: "thawing begun",
    StepKey.THAW_FINISH: "into cold water",
    StepKey.BRINE_IN: "into the brine",
    StepKey.BRINE_OUT: "out of the brine",
    StepKey.DRY_SALT: "salted",
    StepKey.RUB: "made ready",
}
"""What was done before a piece that is on the fire, of which the plan says no more."""

DRESSED = {
    "ham": "score",
    "duck": "prick the skin and season",
    "goose": "prick the skin and season",
    "salmon_side": "season",
}
"""What is done to a cut before the fire, where it is not a rub (common practice, no source)."""


FISH = frozenset({"salmon_side"})


class _KitchenWords:
    """Words for the steps before the fire; one method a kind of step."""

    def __init__(self, day: Dayline, display: Display) -> None:
        self._day, self._display = day, display

    def _number(self, step: Step, name: str) -> float:
        value = step.number(name)
        return 0.0 if value is None else value

    def _temp(self, step: Step, name: str) -> str:
        return self._display.temp(self._number(step, name))

    def _between(self, step: Step, low: str, high: str) -> str:
        first, last = (rough_span(self._number(step, name)) for name in (low, high))
        return first if first == last else f"{first} to {last}"

    def thaw(self, step: Step) -> tuple[str, str]:
        takes = f"takes {self._between(step, 'thaw_low_s', 'thaw_high_s')}"
        if self._number(step, "cold_water"):
            change = span(self._number(step, "change_water_s"))
            what = f"thaw in cold water, wrapped watertight, changed every {change}"
            return what, f"{takes}; cook as soon as it is thawed"
        return "thaw in the refrigerator", f"{takes}; keeps a day or two there after that"

    def thaw_finish(self, step: Step) -> tuple[str, str]:
        change = span(self._number(step, "change_water_s"))
        takes = rough_span(self._number(step, "thaw_high_s"))
        what = f"what is still frozen into cold water, wrapped watertight, changed every {change}"
        return what, f"about {takes}; cook as soon as it is thawed"

    def brine_in(self, step: Step) -> tuple[str, str]:
        cold = self._display.temp(4.4)
        soak = self._between(step, "soak_low_s", "soak_high_s")
        return f"into the brine, kept at or below {cold}", f"{soak} for this piece"

    def brine_out(self, step: Step) -> tuple[str, str]:
        dry = self._between(step, "dry_low_s", "dry_high_s")
        return "out of the brine; dry it, uncovered in the refrigerator", f"{dry} of drying"

    def dry_salt(self, step: Step) -> tuple[str, str]:
        soak = self._between(step, "soak_low_s", "soak_high_s")
        return "salt it; uncovered in the refrigerator", f"{soak} under salt"

    def rub(self, step: Step) -> tuple[str, str]:
        if self._number(step, "before_s") < 1800.0:
            return f"{self._dressed(step)} it; then it goes on", ""
        return f"{self._dressed(step)} it; back into the refrigerator", "cold until it goes on"

    def _dressed(self, step: Step) -> str:
        return DRESSED.get(self._cut(step), "rub")

    def _cut(self, step: Step) -> str:
        return next(p.plan.cut for p in self._day.wish.pieces if p.name == step.piece)

    def _never(self, step: Step) -> str:
        never = self._number(step, "never")
        return "" if never < 0.05 else f"{in_ten(never)} never get there at this fire"


class _Words(_KitchenWords):
    """Words for the steps from the fire on, and with them for all."""

    def light(self, step: Step) -> tuple[str, str]:
        ahead = self._between(step, "before_low_s", "before_high_s")
        return "light the fire, outdoors", f"{ahead} before the meat"

    def fire_steady(self, step: Step) -> tuple[str, str]:
        return f"pit steady at {self._temp(step, 'pit_c')}", "before the meat goes on"

    def meat_on(self, step: Step) -> tuple[str, str]:
        parts = []
        if step.number("median_s") is not None:
            middle = rough_span(self._number(step, "median_s"))
            parts.append(f"half of such cooks take up to {middle}")
        if step.number("enough_s") is not None:
            wanted = in_ten(self._number(step, "wanted"))
            parts.append(f"{wanted} at most {rough_span(self._number(step, 'enough_s'))}")
        parts.append(f"then {span(self._number(step, 'rest_s'))} rest")
        parts.append(f"{span(self._number(step, 'carve_s'))} to carve")
        return "meat on", ", ".join(parts)

    def smoke(self, step: Step) -> tuple[str, str]:
        return "wood on", f"smoke matters in the first {span(self._number(step, 'smoke_s'))}"

    def first_look(self, step: Step) -> tuple[str, str]:
        watch = span(self._number(step, "watch_s"))
        return "first look at the fire", f"then again every {watch} at the longest"

    def meat_look(self, step: Step) -> tuple[str, str]:
        passed, aim = in_ten(self._number(step, "passed_chance")), self._temp(step, "threshold_c")
        return f"read pit and meat: {aim} may be near", f"{passed} are there by then"

    def glaze(self, step: Step) -> tuple[str, str]:
        return f"glaze, at {self._temp(step, 'threshold_c')}", self._never(step)

    def wrap(self, step: Step) -> tuple[str, str]:
        return f"wrap, at {self._temp(step, 'threshold_c')}", self._never(step)

    def pull(self, step: Step) -> tuple[str, str]:
        targets = [
            (name.removeprefix("target_c "), value)
            for name, value in step.why
            if name.startswith("target_c ")
        ]
        aims = " and ".join(f"{name} {self._display.temp(value)}" for name, value in targets)
        why = "check several spots, the lowest counts"
        return f"pull at {aims}", f"{why}; {never}" if (never := self._never(step)) else why

    def rest(self, step: Step) -> tuple[str, str]:
        peaks = [value for name, value in step.why if name.startswith("peak_c ")]
        rises = f"the middle rises to about {self._display.temp(max(peaks))}" if peaks else ""
        return f"rest {span(self._number(step, 'rest_s'))}", rises

    def hold(self, step: Step) -> tuple[str, str]:
        hot = f"hold at or above {self._temp(step, 'hold_c')} until it is carved"
        longest = rough_span(self._number(step, "hold_high_s"))
        why = f"early meat waits, late meat cannot; 1 in 10 longer than {longest}"
        return hot, f"{why}; fish dries out as it waits" if self._cut(step) in FISH else why

    def carve(self, step: Step) -> tuple[str, str]:
        fish = all(piece.plan.cut in FISH for piece in self._day.wish.pieces)
        return "portion it" if fish else "carve", span(self._number(step, "carve_s"))

    def eat(self, step: Step) -> tuple[str, str]:
        chances = {
            name.removeprefix("chance_"): value
            for name, value in step.why
            if name.startswith("chance_")
        }
        what = "eat" if min(chances.values(), default=1.0) >= 0.5 else "eat, as wished"
        if len(chances) == 1:
            return what, f"ready by then: {in_ten(next(iter(chances.values())))}"
        return what, ", ".join(f"{name} ready: {in_ten(c)}" for name, c in chances.items())

    def leftovers(self, step: Step) -> tuple[str, str]:
        hot = self._temp(step, "hot_day_c")
        first, last = span(self._number(step, "hot_day_s")), span(self._number(step, "leftovers_s"))
        why = f"within {last}; within {first} where it is above {hot}"
        return "leftovers into the refrigerator", why


def step_words(day: Dayline, step: Step, display: Display) -> tuple[str, str]:
    """What is done in a step, and why."""
    if step.done and not step.why:
        return BEHIND.get(step.key, step.key.value.replace("_", " ")), ""
    words = _Words(day, display)
    key = StepKey.MEAT_LOOK if step.key is StepKey.FINISH_LOOK else step.key
    wording: Callable[[Step], tuple[str, str]] = getattr(words, key.value)
    return wording(step)
