"""The state of a cook as plain sentences for a reader, and as one plain object for a script."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime
from typing import TYPE_CHECKING, Any

from app.display import NO_CLOCK, Display, one_line, span
from app.presenters.answers import AnswersView, AnswerView, Mark
from app.presenters.moment import Moment
from app.presenters.status_more import iso, more_lines, more_objects, value
from app.presenters.words import line_words, reading_words, sentence
from core.catalogue import CUTS
from core.cook import Cook, Probe, Reading
from storage.values import SavedCook

if TYPE_CHECKING:
    from core.answers import Arrival, Forecast

LEVELS = (("p05", 0.05), ("p10", 0.10), ("p25", 0.25), ("p50", 0.50),
          ("p75", 0.75), ("p90", 0.90), ("p95", 0.95))  # fmt: skip


def status_text(moment: Moment, view: AnswersView) -> str:
    """The four answers, the last line, the fire's log, the tables and the cautions."""
    saved, now, display = moment.saved, moment.real_now, moment.display
    lines = [_about(saved, now, display)]
    answers = (view.done, view.glaze, view.fire, view.look)
    lines += [answer_text(answer) for answer in answers if answer is not None]
    lines += [line for line in (_last_line(saved, now, display), view.story) if line]
    lines += more_lines(moment)
    return "\n".join([*lines, *view.cautions])


def answer_text(view: AnswerView) -> str:
    """One answer as a line: ``Done: 17:42, in 1 h 25 min. 17:10 to 18:20 in 8 of 10 ...``."""
    quiet = view.mark in (Mark.FINE, Mark.UNKNOWN)
    label = view.label if quiet else f"{view.label} ({view.mark.value})"
    clock = "" if view.clock in (NO_CLOCK, "--") else view.clock
    # the mark has said it: not "next look (now): 14:20, now"
    to_go = "" if not quiet and view.to_go == view.mark.value else view.to_go
    head = ", ".join(part for part in (clock, to_go) if part)
    parts = [part for part in (head, view.range, view.detail) if part] or ["not known"]
    return f"{label[:1].upper()}{label[1:]}: {' '.join(sentence(part) for part in parts)}"


def _about(saved: SavedCook, now: datetime, display: Display) -> str:
    plan = saved.cook.plan
    elapsed_s = (now - saved.started_at).total_seconds()
    on = display.clock(saved.started_at, now)
    when = f"meat on since {on}, {span(elapsed_s)}" if elapsed_s >= 0 else f"meat on at {on}"
    sample = " Invented sample." if saved.invented else ""
    cut, mass = CUTS[plan.cut].name, display.mass(plan.mass_kg)
    named = cut in saved.title.lower()
    what = f"{mass if named else f'{cut} {mass}'}, pit {display.temp(plan.pit_c)}"
    title = f"{one_line(saved.title)}: " if saved.title else ""
    return f"{title}{what}, {when}. Now {display.clock(now)}.{sample}"


def _last_line(saved: SavedCook, now: datetime, display: Display) -> str:
    live = [line for line in saved.lines if line.live]
    if not live:
        return "Last line: none yet."
    last = max(live, key=lambda line: (line.at, line.id))
    away_s = (now - last.at).total_seconds()
    ago = f"{span(away_s)} ago" if away_s >= 0 else f"{span(away_s)} ahead of the clock"
    words = line_words(last.readings, last.events, display)
    return f"Last line: {display.clock(last.at, now)}, {ago}, {words or 'nothing read'}."


def status_object(moment: Moment, view: AnswersView) -> dict[str, Any]:
    """The same for programs. Times are ISO 8601, temperatures in the cook's unit."""
    saved, forecast, display = moment.saved, moment.forecast, moment.display
    answers = {"done": view.done, "glaze": view.glaze, "fire": view.fire, "look": view.look}
    return {
        "cook": _cook_object(saved, moment),
        "now": iso(moment.real_now, display),
        "unit": display.unit.value,
        "answers": {
            key: None if answer is None else asdict(answer) for key, answer in answers.items()
        },
        "arrivals": [] if forecast is None else list(_arrivals(forecast, moment)),
        "fire": None if forecast is None else _fire(forecast, moment),
        "next_look": None if forecast is None else _look(forecast, moment),
        "chance_by_meal": _chance_by_meal(forecast, moment),
        "last_reading": _last_reading(saved.cook, moment),
        "story": view.story,
        "cautions": list(view.cautions),
        **more_objects(moment),
    }


def _cook_object(saved: SavedCook, moment: Moment) -> dict[str, Any]:
    plan, display = saved.cook.plan, moment.display
    return {
        "id": saved.id,
        "title": saved.title,
        "invented": saved.invented,
        "cut": plan.cut,
        "mass_kg": plan.mass_kg,
        "pit": value(plan.pit_c, display),
        "started_at": iso(saved.started_at, display),
        "serve_at": None if plan.serve_s is None else iso(moment.at(plan.serve_s), display),
        "ended_at": None if saved.ended_at is None else iso(saved.ended_at, display),
        "probes": [_probe_object(probe, display) for probe in saved.cook.probes],
    }


def _probe_object(probe: Probe, display: Display) -> dict[str, Any]:
    return {
        "name": probe.name,
        "target": value(probe.target_c, display),
        "glaze": value(probe.glaze_c, display),
        "wrap": value(probe.wrap_c, display),
    }


def _arrivals(forecast: Forecast, moment: Moment) -> Iterator[dict[str, Any]]:
    for arrival in forecast.arrivals:
        reached_s = arrival.reached_s
        yield {
            "probe": arrival.probe,
            "milestone": arrival.milestone.value,
            "threshold": value(arrival.threshold_c, moment.display),
            "reached_at": None if reached_s is None else iso(moment.at(reached_s), moment.display),
            **{key: _quantile(arrival, level, moment) for key, level in LEVELS},
            "probability_never": round(arrival.probability_never, 4),
        }


def _quantile(arrival: Arrival, level: float, moment: Moment) -> str | None:
    at_s = arrival.quantile_s(level)
    return None if at_s is None else iso(moment.at(at_s), moment.display)


def _fire(forecast: Forecast, moment: Moment) -> dict[str, Any]:
    fire, display = forecast.fire, moment.display
    leaves, last = fire.leaves_band_s, fire.last_pit_reading_s
    return {
        "pit": value(fire.pit_c, display),
        "pit_low": value(fire.pit_c_low, display),
        "pit_high": value(fire.pit_c_high, display),
        "band_low": value(fire.band_low_c, display),
        "band_high": value(fire.band_high_c, display),
        "in_band_chance": round(fire.in_band_chance, 4),
        "leaves_band_at": None if leaves is None else iso(moment.at(leaves), display),
        "last_pit_reading_at": None if last is None else iso(moment.at(last), display),
    }


def _look(forecast: Forecast, moment: Moment) -> dict[str, Any] | None:
    look = forecast.next_look
    if look is None:
        return None
    at = iso(moment.at(look.elapsed_s), moment.display)
    return {"at": at, "reason": look.reason, "probe": look.probe}


def _chance_by_meal(forecast: Forecast | None, moment: Moment) -> float | None:
    serve_s = moment.saved.cook.plan.serve_s
    if forecast is None or serve_s is None:
        return None
    return round(forecast.finish.chance_by(serve_s - moment.rest_s), 4)


def _last_reading(cook: Cook, moment: Moment) -> dict[str, Any] | None:
    if not cook.readings:
        return None
    last: Reading = cook.readings[-1]
    return {
        "at": iso(moment.at(last.elapsed_s), moment.display),
        "words": reading_words(last, moment.display),
        "pit": value(last.pit_c, moment.display),
        "probes": {name: value(temp_c, moment.display) for name, temp_c in last.meat_c},
    }
