"""The page of the fire: what its readings and the log say of it, and what it does next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.display import plain_number, rounded, span
from app.presenters.cautions import CHARCOAL
from app.presenters.fire import STEADY_C, is_steady, leave_range, trend_words
from app.presenters.moment import Moment
from app.presenters.pages import PageRow, PageView
from app.presenters.views import Mark
from app.presenters.words import in_ten
from core.cook import EventKind
from core.fire_log import (
    Amount,
    BandTime,
    amounts,
    band_time,
    burn_rate,
    lid_loss,
    vent_effect,
)

if TYPE_CHECKING:
    from core.fire_leaving import Leaving

MOST_AMOUNTS = 6
"""So many refuels are named; those before them are counted."""

STAYS_H = 4
SMOKE = "Wood smoke matters most in the first two hours (common practice, no source)."


def present_fire_page(moment: Moment) -> PageView:
    """The fire as its readings and the log tell it, up to the pull."""
    cook = moment.saved.cook
    until_s = moment.now_s if moment.pulled_s is None else moment.pulled_s
    band = band_time(cook, until_s)
    show = moment.display
    about = f"band {show.temps(band.low_c, band.high_c)}"
    rows = [*_band_rows(moment, band)]
    if moment.pulled_s is None:
        rows += _ahead_rows(moment)
    rows += [_vents_row(moment, until_s), *_fuel_rows(moment, until_s)]
    rows += [_lid_row(moment, until_s)]
    return PageView("fire", about, tuple(rows), (SMOKE, CHARCOAL))


def _band_rows(moment: Moment, band: BandTime) -> list[PageRow]:
    show = moment.display
    counted_s = band.inside_s + band.below_s + band.above_s
    if counted_s <= 0.0 or band.share is None:
        return [PageRow(("inside the band", "needs two pit readings"))]
    words = f"{span(band.inside_s)} of {span(counted_s)} ({band.share * 100.0:.0f} %)"
    outside = [
        f"{span(seconds)} {side} it"
        for seconds, side in ((band.below_s, "below"), (band.above_s, "above"))
        if seconds >= 30.0
    ]
    if outside:
        words += f"; {', '.join(outside)}"
    rows = [PageRow(("inside the band", words))]
    if band.worst_c is not None and band.worst_s is not None:
        worst = f"{show.reading(band.worst_c)} at {moment.clock(band.worst_s)}"
        rows.append(PageRow(("furthest out", worst)))
    if band.mean_c is not None and band.spread_c is not None:
        rows.append(PageRow(("average", f"{show.temp(band.mean_c)}, give or take "
                                        f"{show.delta(band.spread_c)}")))  # fmt: skip
    if band.unread_s:
        rows.append(PageRow(("not counted", f"{span(band.unread_s)} without a reading")))
    return rows


def _ahead_rows(moment: Moment) -> list[PageRow]:
    rows = []
    if moment.forecast is not None:
        rows.append(PageRow(("now", f"{moment.display.temp(moment.forecast.fire.pit_c)}, "
                                    f"{trend_words(moment, moment.forecast.fire)}")))  # fmt: skip
    if moment.leaving is not None:
        rows.append(_next_row(moment, moment.leaving))
    return rows


def _next_row(moment: Moment, leaving: Leaving) -> PageRow:
    """When it leaves its band, or comes back, if nothing is done."""
    fire = None if moment.forecast is None else moment.forecast.fire
    if leaving.outside:
        side = "below" if leaving.below_share >= 0.5 else "above"
        when = _when(moment, leaving)
        words = f"{side} the band; " + (f"back {when} by itself" if when else "not back by itself")
        return PageRow(("if nothing is done", words), Mark.NOW)
    stays = f"{in_ten(leaving.stays_chance)} stay inside for {STAYS_H} h"
    if fire is not None and fire.leaves_band_s is not None and not is_steady(fire):
        falling = leaving.below_share >= 0.5
        edge_c = fire.band_low_c if falling else fire.band_high_c
        by = _five(moment, fire.leaves_band_s)
        side = "below" if falling else "above"
        spread = leave_range(moment, leaving, fire.leaves_band_s)
        words = f"{side} {moment.display.temp(edge_c)} by {by}{spread}"
        return PageRow(("if nothing is done", f"{words}; {stays}"))
    when = _when(moment, leaving)
    return PageRow(("if nothing is done", f"first outside it {when}; {stays}" if when else stays))


def _when(moment: Moment, leaving: Leaving) -> str:
    if leaving.median_s is None:
        return ""
    spread = leave_range(moment, leaving, leaving.median_s)
    return f"by {_five(moment, leaving.median_s)}{spread}"


def _five(moment: Moment, elapsed_s: float) -> str:
    """A clock time to five minutes: no finer than a fire is known."""
    at = rounded(moment.at(elapsed_s), 300.0, moment.display.zone)
    return moment.display.clock(at, moment.now)


def _vents_row(moment: Moment, until_s: float) -> PageRow:
    cook, show = moment.saved.cook, moment.display
    changes = [e for e in cook.events if e.kind is EventKind.VENTS and e.elapsed_s <= until_s]
    if not changes:
        return PageRow(("vents", "no change logged"))
    effect = vent_effect(cook, until_s)
    last = changes[-1]
    if effect is None:
        return PageRow(("vents", f"{_said(last.note)}{moment.clock(last.elapsed_s)}; read the pit "
                                 "to see what it did"))  # fmt: skip
    change = show.delta(effect.change_c)
    sign = "up" if effect.change_c > 0.0 else "down"
    moved = f"{sign} {change}" if abs(effect.change_c) >= STEADY_C else "about as before"
    words = (
        f"{_said(effect.note)}{moment.clock(effect.elapsed_s)}: {show.temp(effect.before_c)} to "
        f"{show.temp(effect.after_c)} at {moment.clock(effect.after_s)}, {moved}"
    )
    if last.elapsed_s > effect.elapsed_s:
        words += f"; changed again {moment.clock(last.elapsed_s)}"
    return PageRow(("vents", words))


def _said(note: str) -> str:
    return f"{note} at " if note else "at "


def _fuel_rows(moment: Moment, until_s: float) -> list[PageRow]:
    cook = moment.saved.cook
    known = cook.known_at(until_s)
    rows = [
        PageRow((label, _amount_words(moment, amounts(known.events, kind))))
        for label, kind in (("fuel", EventKind.FUEL_ADDED), ("wood", EventKind.WOOD_ADDED))
    ]
    burn = burn_rate(cook, until_s)
    if burn is None:
        fuel = amounts(known.events, EventKind.FUEL_ADDED)
        if fuel:
            need = "shows from two refuels in one unit: coals 12 briquettes"
            rows.insert(1, PageRow(("burns", need)))
        return rows
    between = ""
    if burn.high - burn.low >= 0.05 * burn.per_hour:
        between = f" ({_number(burn.low)} to {_number(burn.high)})"
    words = (
        f"about {_number(burn.per_hour)} {burn.unit} an hour{between}, from {burn.refuels} refuels"
    )
    due = f"; the last are used up about {moment.clock(burn.next_s)}"
    rows.insert(1, PageRow(("burns", words.replace("  ", " ") + due)))
    return rows


def _amount_words(moment: Moment, found: tuple[Amount, ...]) -> str:
    if not found:
        return "none logged"
    shown = found[-MOST_AMOUNTS:]
    words = ", ".join(f"{moment.clock(a.elapsed_s)} {a.note}".strip() for a in shown)
    before = len(found) - len(shown)
    return f"{before} before, {words}" if before else words


def _number(value: float) -> str:
    return plain_number(value, 0 if value >= 10.0 else 1)


def _lid_row(moment: Moment, until_s: float) -> PageRow:
    loss = lid_loss(moment.saved.cook, until_s)
    if not loss.openings:
        return PageRow(("lid", "no opening logged"))
    times = "once" if loss.openings == 1 else f"{loss.openings} times"
    return PageRow(
        ("lid", f"opened {times}: about {span(loss.lost_s)} later for it ({loss.source})")
    )
