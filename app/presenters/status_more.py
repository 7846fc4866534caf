"""What the pages beside the answers say, for ``doneby status``: sentences and plain values."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime
from typing import Any

from app.display import Display
from app.presenters.fire_page import present_fire_page
from app.presenters.moment import Moment
from app.presenters.pages import page_sentences
from app.presenters.phase import Phase, phase_of
from app.presenters.table_page import limits_of, present_tables
from core.cook import EventKind
from core.fire_log import amounts, band_time, burn_rate, lid_loss, vent_effect
from core.hold import hold_of, leftovers_of
from core.published_limits import ProbeLimits
from core.spots import finding, last_check
from core.units import TemperatureUnit, delta_from_celsius, from_celsius


def more_lines(moment: Moment) -> list[str]:
    """The fire's log and the published tables as two paragraphs of sentences."""
    phase = phase_of(moment)
    fire = " ".join(page_sentences(present_fire_page(moment)))
    lines = [f"The fire so far. {fire}"] if phase is not Phase.ENDED else []
    page = present_tables(moment)
    lines.append(" ".join(["Published tables.", *page_sentences(page), *page.notes[:1]]))
    return lines


def more_objects(moment: Moment) -> dict[str, Any]:
    """The same for programs: times as ISO 8601, temperatures in the cook's unit, spans in s."""
    return {
        "phase": phase_of(moment).value,
        "fire_log": _fire_log(moment),
        "spots": _spots(moment),
        "hold": [_hold(moment, probe.name) for probe in moment.saved.cook.probes],
        "leftovers": leftovers_object(moment),
        "tables": [_limits(moment, limits) for limits in limits_of(moment)],
    }


def value(temp_c: float | None, display: Display) -> float | None:
    """A temperature in the cook's unit."""
    return None if temp_c is None else round(from_celsius(temp_c, display.unit), 2)


def iso(when: datetime, display: Display) -> str:
    """An instant in the reader's zone."""
    return display.local(when).isoformat(timespec="seconds")


def _at(moment: Moment, elapsed_s: float | None) -> str | None:
    return None if elapsed_s is None else iso(moment.at(elapsed_s), moment.display)


def _fire_log(moment: Moment) -> dict[str, Any]:
    cook, show = moment.saved.cook, moment.display
    until_s = moment.now_s if moment.pulled_s is None else moment.pulled_s
    band, burn = band_time(cook, until_s), burn_rate(cook, until_s)
    vents, lid = vent_effect(cook, until_s), lid_loss(cook, until_s)
    leaving = moment.leaving
    known = cook.known_at(until_s).events
    return {
        "inside_s": round(band.inside_s),
        "below_s": round(band.below_s),
        "above_s": round(band.above_s),
        "unread_s": round(band.unread_s),
        "worst": value(band.worst_c, show),
        "mean": value(band.mean_c, show),
        "leaves": None if leaving is None else {
            "outside": leaving.outside,
            "p10": _at(moment, leaving.low_s),
            "p50": _at(moment, leaving.median_s),
            "p90": _at(moment, leaving.high_s),
            "stays_chance": round(leaving.stays_chance, 4),
        },
        "vents": None if vents is None else {
            "at": _at(moment, vents.elapsed_s),
            "note": vents.note,
            "before": value(vents.before_c, show),
            "after": value(vents.after_c, show),
        },
        "fuel": [
            {"at": _at(moment, a.elapsed_s), "amount": a.amount, "unit": a.unit, "note": a.note}
            for a in amounts(known, EventKind.FUEL_ADDED)
        ],
        "burn_per_hour": None if burn is None else asdict(burn),
        "lid_openings": lid.openings,
        "lid_lost_s": round(lid.lost_s),
    }  # fmt: skip


def _spots(moment: Moment) -> dict[str, Any] | None:
    check = last_check(moment.saved.cook, moment.now_s)
    if check is None:
        return None
    show = moment.display
    found = finding(check, moment.saved.cook.probes)
    return {
        "at": _at(moment, check.elapsed_s),
        "spots": [{"place": s.place, "temp": value(s.temp_c, show)} for s in check.spots],
        "lowest": value(check.lowest.temp_c, show),
        "spread": round(delta_from_celsius(check.spread_c, show.unit), 1),
        "short": [spot.place for spot, _ in found.short],
        "missing": found.missing,
    }


def _hold(moment: Moment, probe: str) -> dict[str, Any] | None:
    made = moment.forecast
    fan = None if made is None else made.fan(probe)
    hold = hold_of(moment.saved.cook, probe, moment.now_s, fan)
    if hold is None:
        return None
    return {
        "probe": probe,
        "last": value(hold.last_c, moment.display),
        "hot_s": round(hold.above_s),
        "fell_at": _at(moment, hold.fell_s),
        "falls_at": _at(moment, hold.below_s),
    }


def leftovers_object(moment: Moment) -> dict[str, Any] | None:
    """By when leftovers are cold; None until it is served."""
    found = leftovers_of(moment.saved.cook)
    if found is None:
        return None
    return {
        "by": _at(moment, found.by_s),
        "warm_day_by": _at(moment, found.warm_by_s),
        "away_at": _at(moment, found.away_s),
    }


def _limits(moment: Moment, limits: ProbeLimits) -> dict[str, Any]:
    show, found = moment.display, limits.lethality
    return {
        "probe": limits.probe,
        "minimum": _minimum(limits, show),
        "minimum_source": limits.minimum.source,
        "minimum_read_at": _at(moment, limits.minimum_reached_s),
        "target_below_minimum": limits.target_below_minimum,
        "table": None if found is None else {
            "log10": found.standard.log10,
            "source": found.standard.table,
            "share": round(found.share, 4),
            "reached_at": _at(moment, found.reached_s),
        },
        "come_up_s": round(limits.come_up.elapsed_s),
        "come_up_limit_s": limits.come_up.limit_s,
    }  # fmt: skip


def _minimum(limits: ProbeLimits, show: Display) -> float:
    """The published figure as it is printed in that unit: 165 °F, 73.9 °C."""
    fahrenheit = show.unit is TemperatureUnit.FAHRENHEIT
    return limits.minimum.temp_f if fahrenheit else limits.minimum.temp_c
