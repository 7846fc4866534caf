"""The answers once the meat is off the fire: carve, held hot, served, leftovers."""

from __future__ import annotations

from datetime import datetime

from app.display import NO_CLOCK, honest_step_s, rounded, span
from app.presenters.moment import Moment
from app.presenters.phase import Phase
from app.presenters.spots import spot_words
from app.presenters.views import AnswerView, Mark
from app.presenters.words import join_words
from core.cook import EventKind, Milestone
from core.hold import HOT_C, LEFTOVERS_S, Hold, Leftovers, hold_of, leftovers_of
from core.units import TemperatureUnit

NEAR_S = 300.0
HOT_SOON_S = 20 * 60.0
LEFTOVERS_SOON_S, LEFTOVERS_NOW_S = 30 * 60.0, 10 * 60.0
FORGET_S = 6 * 3600.0
"""So long after serving nothing more is said of leftovers [s]."""

COALS_S = 24 * 3600.0
"""So long the ash may still hide hot coals (common practice, no source) [s]."""

NO_TEMP = "--"


def present_after(moment: Moment, phase: Phase) -> AnswerView:
    """The first answer: when to carve, when to serve, when it was served."""
    if phase is Phase.RESTING:
        return _resting(moment)
    if phase is Phase.HELD:
        return _held(moment)
    ended_at = moment.saved.ended_at or moment.now
    length = span((ended_at - moment.saved.started_at).total_seconds())
    clock = moment.display.clock(ended_at, moment.now)
    word = "served" if phase is Phase.SERVED else "ended"
    return AnswerView("done", "done", clock, word, "", f"{length} from meat-on", Mark.FINE)


def _resting(moment: Moment) -> AnswerView:
    pulled_s = moment.pulled_s or 0.0
    carve_s = pulled_s + moment.rest_s
    left_s = carve_s - moment.now_s
    if left_s >= 30.0:
        to_go, mark = f"in {span(left_s)}", Mark.SOON if left_s <= NEAR_S else Mark.FINE
    else:
        to_go, mark = "rested, carve", Mark.NOW
    detail = f"pulled {moment.clock(pulled_s)}, {span(moment.rest_s)} rest"
    return AnswerView(
        "done", "carve", moment.clock(carve_s), to_go, peak_words(moment),
        join_words(detail, _short_words(moment)), mark,
    )  # fmt: skip


def _short_words(moment: Moment) -> str:
    """The last check of spots, if one of them was below its target."""
    spots = spot_words(moment)
    return "" if spots is None or not spots.found.short else f"{spots.said}; {spots.lowest}"


def peak_words(moment: Moment) -> str:
    """How high each probe rises in the rest, and about when."""
    if moment.forecast is None:
        return ""
    words = []
    for rest in moment.forecast.rests:
        peak = moment.display.temps(rest.peak_c_low, rest.peak_c_high)
        arrival = moment.forecast.arrival(rest.probe, Milestone.RESTED)
        peak_s = None if arrival is None else arrival.quantile_s(0.5)
        when = "" if peak_s is None else f" about {moment.clock(peak_s)}"
        words.append(f"{rest.probe} peaks at {peak}{when}")
    return "; ".join(words)


def _held(moment: Moment) -> AnswerView:
    """Rested and not on the table: the meal if it is ahead, else since when it could be."""
    rested_s = (moment.pulled_s or 0.0) + moment.rest_s
    serve_s = moment.saved.cook.plan.serve_s
    holds = _holds(moment)
    hot_s = min((hold.above_s for hold in holds), default=0.0)
    hot = f"read above {hot_words(moment)} for {span(hot_s)} since the pull" if hot_s else ""
    detail = join_words("then type: serve", _short_words(moment))
    if serve_s is not None and serve_s > moment.now_s:
        left_s = serve_s - moment.now_s
        mark = Mark.SOON if left_s <= NEAR_S else Mark.FINE
        to_go = f"meal in {span(left_s)}"
        return AnswerView("done", "serve", moment.clock(serve_s), to_go, hot, detail, mark)
    ago = span(moment.now_s - rested_s)
    return AnswerView(
        "done", "serve", moment.clock(rested_s), f"rested {ago} ago", hot, detail, Mark.NOW
    )


def _holds(moment: Moment) -> list[Hold]:
    fans = moment.forecast
    found = (
        hold_of(
            moment.saved.cook,
            probe.name,
            moment.now_s,
            None if fans is None else fans.fan(probe.name),
        )
        for probe in moment.saved.cook.probes
    )
    return [hold for hold in found if hold is not None]


def coldest(moment: Moment) -> Hold | None:
    """The probe that counts for the hold: one read below 140 °F first, then the coldest."""
    holds = _holds(moment)

    def order(hold: Hold) -> tuple[bool, float, float]:
        far = float("inf")
        temp_c = hold.now_c if hold.now_c is not None else hold.last_c
        return (
            hold.fell_s is None,
            far if hold.below_s is None else hold.below_s,
            far if temp_c is None else temp_c,
        )

    return min(holds, key=order, default=None)


def hot_words(moment: Moment) -> str:
    """``60 °C`` or ``140 °F``."""
    return moment.display.temp(HOT_C)


def warm_day(moment: Moment) -> str:
    """How warm a day shortens the two hours to one."""
    celsius = moment.display.unit is TemperatureUnit.CELSIUS
    return "32 °C" if celsius else "90 °F"


def present_meat(moment: Moment, phase: Phase) -> AnswerView:
    """In the place of the fire: the meat off it, against the published hot-holding limit."""
    if phase in (Phase.SERVED, Phase.ENDED):
        if moment.real_now_s - moment.now_s > COALS_S:
            return AnswerView("fire", "fire", NO_TEMP, "out long since", "", "", Mark.FINE)
        return AnswerView(
            "fire", "coals", NO_TEMP, "let them burn out outdoors", "",
            "ash stays hot for a day and gives off carbon monoxide", Mark.FINE,
        )  # fmt: skip
    hold = coldest(moment)
    if hold is None:
        return AnswerView("fire", "meat", NO_TEMP, "off the fire", "", "", Mark.FINE)
    temp_c = hold.now_c if hold.now_c is not None else hold.last_c
    clock = NO_TEMP if temp_c is None else moment.display.temp(temp_c)
    to_go = "off the fire, not read since the pull"
    if hold.last_s is not None and hold.last_c is not None:
        to_go = f"read {moment.display.reading(hold.last_c)} at {moment.clock(hold.last_s)}"
    several = len(moment.saved.cook.probes) > 1
    words, detail, mark = _limit_words(moment, hold, phase)
    if several:
        words = f"{hold.probe} {words}" if words else hold.probe
    return AnswerView("fire", "meat", clock, to_go, words, detail, mark)


def _limit_words(moment: Moment, hold: Hold, phase: Phase) -> tuple[str, str, Mark]:
    """Above or below 140 °F, what follows, and how urgent that is."""
    hot = hot_words(moment)
    if hold.fell_s is not None:
        by_s = hold.fell_s + LEFTOVERS_S
        warm = f"an hour sooner where it is warmer than {warm_day(moment)}"
        return (
            f"below {hot} since {moment.clock(hold.fell_s)}",
            f"eat or chill by {moment.clock(by_s)}; {warm}",
            _closing(by_s - moment.now_s),
        )
    if hold.below_s is None:
        return "", f"hot food is held at {hot} or above", Mark.FINE
    left_s = hold.below_s - moment.now_s
    # while it rests nobody holds it hot: many a roast is carved below that
    mark = Mark.SOON if phase is Phase.HELD and left_s <= HOT_SOON_S else Mark.FINE
    if left_s <= 60.0:
        return f"probably below {hot} by now", "read it", mark
    return _until_words(moment, hold, hold.below_s), "", mark


def _until_words(moment: Moment, hold: Hold, below_s: float) -> str:
    """``above 60 °C until about 17:40 (17:20 to 18:05)``, no finer than it is known."""
    show, early, late = moment.display, hold.below_low_s, hold.below_high_s
    step_s = 300.0 if early is None or late is None else honest_step_s(late - early)

    def at(elapsed_s: float) -> datetime:
        return rounded(moment.at(elapsed_s), step_s, show.zone)

    words = f"above {hot_words(moment)} until about {show.clock(at(below_s), moment.now)}"
    if early is None or late is None:
        return words
    return f"{words} ({show.clocks(at(early), at(late), moment.now)})"


def _closing(left_s: float) -> Mark:
    if left_s <= 0.0:
        return Mark.LATE
    if left_s <= LEFTOVERS_NOW_S:
        return Mark.NOW
    return Mark.SOON if left_s <= LEFTOVERS_SOON_S else Mark.FINE


def present_leftovers(moment: Moment) -> AnswerView | None:
    """In the place of the next look: by when what is left is in the refrigerator.

    None where nothing was served, it is put away, or that was long ago.
    """
    found = leftovers_of(moment.saved.cook)
    if found is None:
        return None
    if found.away_s is not None:
        ago = f"put away {moment.clock(found.away_s)}"
        return AnswerView("look", "leftovers", NO_CLOCK, ago, "", "", Mark.FINE)
    # a cook that is over is worded as of its end: the hours go on
    now_s = moment.real_now_s
    left_s = found.by_s - now_s
    if left_s < LEFTOVERS_S - FORGET_S:
        return None
    return _leftovers_view(moment, found, left_s)


def _leftovers_view(moment: Moment, found: Leftovers, left_s: float) -> AnswerView:
    served = moment.saved.cook.first_event(EventKind.SERVED)
    since = "two hours from serving"
    if served is not None and found.since_s < served.elapsed_s:
        since = (
            f"two hours from {moment.clock(found.since_s)}, when it was below {hot_words(moment)}"
        )
    warm = f"by {moment.clock(found.warm_by_s)} where it is warmer than {warm_day(moment)}"
    if left_s > 0.0:
        to_go = f"in {span(left_s)}"
        words = f"in the refrigerator, {since}"
    else:
        to_go = f"{span(left_s)} over"
        words = f"{since} are over: throw away what stood out (USDA FSIS)"
        warm = ""
    detail = join_words(warm, "then type: away")
    return AnswerView(
        "look", "leftovers", moment.clock(found.by_s), to_go, words, detail, _closing(left_s)
    )
