"""One past cook in words: times, forecast, fire, what held it back, minutes per pound, outcome."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from app.display import Display, one_line, plain_number, span
from app.presenters.ledger import LONG_MONTHS
from app.presenters.tend import below_minimum
from app.presenters.words import EVENT_WORDS
from core.catalogue import cut_named
from core.cook import EventKind
from core.units import KG_PER_LB, MassUnit
from storage.values import Mix, Outcome, SavedCook

if TYPE_CHECKING:
    from core.review import Figures, Range
    from core.run_times import PublishedRun

SCORED = ("tender", "juicy", "skin", "smoke")
SCORE_NAMES = {"tender": "tender", "juicy": "juicy", "skin": "skin or bark", "smoke": "smoke"}
SMALL_S = 90.0


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and the lines under it: pairs of a short name and its words."""

    heading: str
    rows: tuple[tuple[str, str], ...]


def review_sections(
    saved: SavedCook,
    figures: Figures,
    outcome: Outcome | None,
    mixes: tuple[Mix, ...],
    display: Display,
) -> tuple[Section, ...]:
    """All that is said of a past cook, most asked for first."""
    words = _Words(saved, figures, display)
    found = (
        Section("What held it back", tuple(words.held())),
        Section("Times", tuple(words.times())),
        Section("The forecast", tuple(words.forecast())),
        Section("The pit", tuple(words.pit())),
        Section("Fuel and wood", tuple(words.fuel(outcome))),
        Section("Beside the book", tuple(words.per_pound())),
        Section("Caution", tuple(("", n.text) for n in below_minimum(saved, display))),
        Section("How it turned out", tuple(outcome_rows(outcome, mixes))),
    )
    return tuple(section for section in found if section.rows)


def section_lines(sections: tuple[Section, ...]) -> list[str]:
    """The sections as plain lines."""
    lines = []
    for section in sections:
        lines += ["", section.heading]
        for name, words in section.rows:
            lines.append(f"  {name:<13} {words}" if name else f"  {words}")
    return lines[1:]


@dataclass(frozen=True, slots=True)
class _Words:
    """Words of one cook in one person's units."""

    saved: SavedCook
    figures: Figures
    display: Display

    def clock(self, elapsed_s: float) -> str:
        at = self.saved.started_at + timedelta(seconds=elapsed_s)
        return self.display.clock(at, self.saved.started_at)

    def held(self) -> list[tuple[str, str]]:
        """Each cause in minutes against this cut's usual cook."""
        held = self.figures.holdback
        if held is None:
            return [("", "Too few readings to say.")]
        name = cut_named(self.saved.cook.plan.cut).name
        parts = (
            ("fire", held.fire_s, "pit against the planned pit"),
            ("stall", held.evaporation_s, "evaporation at the surface against the usual"),
            ("the piece", held.size_s, "its build and the probe's place against its weight"),
        )
        ranked = sorted(parts, key=lambda part: -abs(part[1]))
        rows = [(part, f"{later(seconds)}; {about}") for part, seconds, about in ranked]
        return [*rows, ("", f"Each against a usual {name}, by the model, one at a time.")]

    def times(self) -> list[tuple[str, str]]:
        """From meat-on to the table."""
        cook, figures = self.saved.cook, self.figures
        start = self.display.local(self.saved.started_at)
        rows = [("meat on", f"{start:%Y-%m-%d %H:%M}")]
        if figures.planned_s is not None:
            meal = cook.plan.serve_s or 0.0
            rows.append(
                ("planned", f"off at {self.clock(figures.planned_s)}, meal {self.clock(meal)}")
            )
        if figures.finish_s is not None:
            rows.append(
                ("at target", f"{self.clock(figures.finish_s)}, after {span(figures.finish_s)}")
            )
        else:
            rows.append(("at target", "never shown by every probe"))
        if figures.took_s is not None:
            late = "" if figures.late_s is None else f", {against(figures.late_s, 'the plan')}"
            rows.append(
                (
                    "off the heat",
                    f"{self.clock(figures.took_s)}, after {span(figures.took_s)}{late}",
                )
            )
        served = cook.first_event(EventKind.SERVED)
        if served is not None:
            rows.append(("served", self.clock(served.elapsed_s)))
        return rows

    def forecast(self) -> list[tuple[str, str]]:
        """What was said from the plan alone and at half time."""
        figures, rows = self.figures, []
        if figures.expected is not None:
            rows.append(("at meat-on", self._said(figures.expected)))
        if figures.half is not None and figures.half_s is not None:
            rows.append((f"at {self.clock(figures.half_s)}", self._said(figures.half)))
        return rows

    def _said(self, found: Range) -> str:
        if found.middle_s is None:
            return "never, at that fire"
        end = "no end" if found.high_s is None else self.clock(found.high_s)
        low = self.clock(found.low_s) if found.low_s is not None else "no end"
        words = f"done {self.clock(found.middle_s)}, {low} to {end}"
        if self.figures.finish_s is None:
            return words
        return f"{words}: {against(found.middle_s - self.figures.finish_s, 'the truth')}"

    def pit(self) -> list[tuple[str, str]]:
        """Mean, spread, band, worst, lids."""
        pit, show = self.figures.pit, self.display
        if pit.mean_c is None or pit.spread_c is None or pit.in_band is None:
            return [("", "Too few pit readings to say.")]
        rows = [
            (
                "mean",
                f"{show.temp(pit.mean_c)}, spread {show.delta(pit.spread_c)}; "
                f"planned {show.temp(pit.plan_c)}",
            ),
            (
                "in its band",
                f"{percent(pit.in_band)} of the time ({show.temps(pit.low_c, pit.high_c)}); "
                f"below {percent(pit.below or 0.0)}, above {percent(pit.above or 0.0)}",
            ),
        ]
        if pit.worst_c is not None and pit.worst_s is not None and pit.worst_beyond_c is not None:
            side = "below" if pit.worst_beyond_c < 0 else "above"
            rows.append(
                (
                    "worst",
                    f"{show.temp(pit.worst_c)} at {self.clock(pit.worst_s)}, "
                    f"{show.delta(pit.worst_beyond_c)} {side} the band",
                )
            )
        if pit.unread_s > 0:
            rows.append(("not read", f"{span(pit.unread_s)}: gaps too long to count"))
        if pit.openings:
            times = "once" if pit.openings == 1 else f"{pit.openings} times"
            rows.append(("lid", f"opened {times}, about {span(pit.lid_lost_s)} lost (estimate)"))
        else:
            rows.append(("lid", "no opening was logged"))
        return rows

    def fuel(self, outcome: Outcome | None) -> list[tuple[str, str]]:
        """What was burned, as it was logged."""
        rows = []
        for kind, name in ((EventKind.FUEL_ADDED, "fuel"), (EventKind.WOOD_ADDED, "wood")):
            notes = [e.note or EVENT_WORDS[kind] for e in self.saved.cook.events if e.kind is kind]
            if notes:
                rows.append((name, counted(notes)))
        if outcome is not None and outcome.wood and not any(name == "wood" for name, _ in rows):
            rows.append(("wood", one_line(outcome.wood)))
        return rows

    def per_pound(self) -> list[tuple[str, str]]:
        """Minutes per pound beside the published range."""
        from core.run_times import minutes_per_lb, published_run

        plan, cooked_s = self.saved.cook.plan, self.figures.finish_s or self.figures.took_s
        if cooked_s is None:
            return []
        mine = minutes_per_lb(cooked_s, plan.mass_kg)
        pit_c = self.figures.pit.mean_c if self.figures.pit.mean_c is not None else plan.pit_c
        target = " and ".join(self.display.temp(probe.target_c) for probe in self.saved.cook.probes)
        rows = [
            (
                "this cook",
                f"{per_mass(mine, self.display)}, pit kept at {self.display.temp(pit_c)}, "
                f"to {target}",
            )
        ]
        published = published_run(plan)
        if published is None:
            rows.append(("published", f"no chart here for {cut_named(plan.cut).name}"))
        else:
            rows.append(("published", published_words(published, self.display)))
            rows.append(("source", published.source))
        return rows


def published_words(run: PublishedRun, display: Display) -> str:
    """``30 to 35 min per lb in an oven at 350 °F to 165 °F (duck whole)``."""
    low, high = run.low, run.high
    oven = display.temps(run.oven_c_low, run.oven_c_high)
    words = f"{_range_per_mass(low, high, display)} in an oven at {oven} to "
    words += f"{display.temp(run.target_c)} ({run.printed})"
    if not run.inside:
        words += f"; the chart ends at {display.mass(run.lb_high * KG_PER_LB)}"
    return words


def per_mass(min_per_lb: float, display: Display) -> str:
    """``31 min per lb``, or ``68 min per kg``."""
    return f"{round(_per(min_per_lb, display))} min per {display.mass_unit.value}"


def _range_per_mass(low: float, high: float, display: Display) -> str:
    first, last = round(_per(low, display)), round(_per(high, display))
    both = f"{first}" if first == last else f"{first} to {last}"
    return f"{both} min per {display.mass_unit.value}"


def _per(min_per_lb: float, display: Display) -> float:
    return min_per_lb / (1.0 if display.mass_unit is MassUnit.POUND else KG_PER_LB)


def later(seconds: float) -> str:
    """``24 min later``, ``11 min sooner``, ``no difference``."""
    if abs(seconds) < SMALL_S:
        return "no difference"
    return f"{span(seconds)} {'later' if seconds > 0 else 'sooner'}"


def against(seconds: float, what: str) -> str:
    """``24 min later than the plan``, or ``as the plan``."""
    if abs(seconds) < SMALL_S:
        return f"as {what}"
    return f"{later(seconds)} than {what}"


def percent(share: float) -> str:
    """``85 %``."""
    return f"{plain_number(100.0 * share, 0)} %"


def counted(notes: list[str]) -> str:
    """Notes in their order, the same ones once with their number: ``10 briquettes, 3 times``."""
    parts = []
    for note in dict.fromkeys(notes):
        count = notes.count(note)
        parts.append(one_line(note) if count == 1 else f"{one_line(note)}, {count} times")
    return "; ".join(parts)


def outcome_rows(outcome: Outcome | None, mixes: tuple[Mix, ...]) -> list[tuple[str, str]]:
    """How it turned out, in the words of those who ate it."""
    rows = []
    if outcome is not None:
        scores = [
            f"{SCORE_NAMES[name]} {value}"
            for name in SCORED
            if (value := getattr(outcome, name)) is not None
        ]
        if scores:
            rows.append(("of 5", ", ".join(scores)))
        if outcome.words:
            rows.append(("words", one_line(outcome.words)))
        if outcome.change:
            rows.append(("next time", one_line(outcome.change)))
    rows += [
        (mix.kind, f"{one_line(mix.name)}: {', '.join(one_line(line) for line in mix.lines)}")
        for mix in mixes
    ]
    return rows


def headline(saved: SavedCook, display: Display) -> str:
    """The first line: what, how heavy, when."""
    plan = saved.cook.plan
    start = display.local(saved.started_at)
    name = cut_named(plan.cut).name
    sample = ", invented" if saved.invented and "invented" not in saved.title else ""
    day = f"{start.day} {LONG_MONTHS[start.month - 1]} {start.year}"
    about = f"{name} {display.mass(plan.mass_kg)}, {day}{sample}"
    return f"{one_line(saved.title)}   {about}"


def sentence_of(saved: SavedCook, figures: Figures) -> str:
    """The answer to the question that brings people here: how did it run, and why."""
    parts = []
    if figures.took_s is not None and figures.late_s is not None:
        parts.append(f"Off the heat {against(figures.late_s, 'the plan')}.")
    elif figures.took_s is not None:
        parts.append(f"Off the heat after {span(figures.took_s)}.")
    held = figures.holdback
    if held is not None:
        causes = [
            ("the fire", held.fire_s), ("the stall", held.evaporation_s), ("the piece", held.size_s)
        ]  # fmt: skip
        told = [
            f"{name} made it {later(cost)}"
            for name, cost in sorted(causes, key=lambda cause: -abs(cause[1]))
            if abs(cost) >= 2 * SMALL_S
        ]
        name = cut_named(saved.cook.plan.cut).name
        if told:
            parts.append(f"Against a usual {name} on the planned pit {', '.join(told)}.")
        else:
            parts.append(f"It ran like a usual {name} on the planned pit.")
    return " ".join(parts)
