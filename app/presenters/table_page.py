"""The page of the tables: what published tables say of this cook so far. Figures, no verdict."""

from __future__ import annotations

from app.display import span
from app.presenters.cautions import SPOTS, minimum_words
from app.presenters.moment import Moment
from app.presenters.pages import PageRow, PageView
from app.presenters.views import Mark
from core.come_up import HIGH_C, LOW_C, ComeUp
from core.lethality import GUIDELINE, Lethality
from core.published_limits import ProbeLimits, published_limits

TITLE = "tables"
QUOTED = (
    "These lines quote published tables and the readings of one spot; they do not say that food "
    "may be eaten. The coldest spot counts."
)
STRICTEST = "Fat of the bird is not known: the strictest column of the table is taken."


def limits_of(moment: Moment) -> tuple[ProbeLimits, ...]:
    """Every probe against the published figures, doubted readings left out."""
    suspects = () if moment.forecast is None else moment.forecast.suspects
    return published_limits(moment.saved.cook, moment.now_s, suspects)


def present_tables(moment: Moment) -> PageView:
    """The published figures for every probe."""
    found = limits_of(moment)
    minimum = moment.cut.minimum
    known = moment.cut.species != "other"
    food = minimum.food if known else "poultry, its highest, as the meat is not known"
    words = f"{minimum_words(minimum, moment.display)} for {food} (FSIS chart)"
    rows = [PageRow(("published minimum", words))]
    several = len(found) > 1
    for limits in found:
        if several:
            rows.append(PageRow((limits.probe,)))
        rows += _probe_rows(moment, limits)
    if not found:
        rows.append(PageRow(("readings", "no probe in the meat")))
    notes = [QUOTED, SPOTS, f"Sources: {minimum.source}; {GUIDELINE}."]
    if any(one.lethality and one.lethality.standard.fat_pct for one in found):
        notes.insert(1, STRICTEST)
    return PageView(TITLE, "published figures beside this cook", tuple(rows), tuple(notes))


def _probe_rows(moment: Moment, limits: ProbeLimits) -> list[PageRow]:
    return [
        _minimum_row(moment, limits),
        *_target_row(moment, limits),
        *_lethality_rows(moment, limits.lethality),
        _come_up_row(moment, limits.come_up),
    ]


def _minimum_row(moment: Moment, limits: ProbeLimits) -> PageRow:
    if limits.minimum_reached_s is not None:
        return PageRow(("core read", f"first at it {moment.clock(limits.minimum_reached_s)}"))
    if limits.highest_c is None:
        return PageRow(("core read", "no reading yet"))
    mark = Mark.LATE if moment.pulled_s is not None else None
    highest = moment.display.reading(limits.highest_c)
    return PageRow(("core read", f"{highest} at most, below it"), mark)


def _target_row(moment: Moment, limits: ProbeLimits) -> list[PageRow]:
    if not limits.target_below_minimum:
        return []
    target = moment.display.reading(moment.saved.cook.probe(limits.probe).target_c)
    return [PageRow(("target", f"{target}, below the published minimum"), Mark.LATE)]


def _lethality_rows(moment: Moment, found: Lethality | None) -> list[PageRow]:
    if found is None:
        return [PageRow(("published table", "no table of times covers this meat"))]
    log10 = f"{found.standard.log10:g}-log time"
    if found.reached_s is not None:
        words = f"{log10} reached at {moment.clock(found.reached_s)}"
    elif found.counted_s > 0.0:
        words = f"{found.share * 100.0:.0f} % of the {log10} so far"
    else:
        first = moment.display.temp(found.standard.temps_c[0])
        words = f"{log10} not begun: it counts from {first} on"
    rows = [PageRow(("published table", f"{words} ({_short(found.standard.table)})"))]
    if found.gaps:
        lost_s = sum(gap.end_s - gap.start_s for gap in found.gaps)
        why = {gap.reason for gap in found.gaps}
        words = "over an hour without a reading" if "long" in why else "the probe was moved"
        rows.append(PageRow(("not counted", f"{span(lost_s)}: {words}")))
    return rows


def _short(source: str) -> str:
    """A source in a row; the notes have it in full."""
    return source.replace(GUIDELINE, "FSIS Appendix A")


def _come_up_row(moment: Moment, found: ComeUp) -> PageRow:
    show = moment.display
    label = f"{show.whole(LOW_C)} to {show.temp(HIGH_C)}"
    if found.entered_s is None:
        return PageRow((label, "not yet in between"))
    limit = f"published limit {span(found.limit_s)} ({_short(found.source)})"
    if found.left_s is not None:
        words = f"took {span(found.elapsed_s)}; {limit}"
    else:
        words = f"{span(found.elapsed_s)} so far; {limit}"
    if not found.entered_seen:
        words += "; it was above when first read, so it may be longer"
    if found.over:
        return PageRow((label, f"OVER: {words}"), Mark.LATE)
    near = found.left_s is None and found.limit_s - found.elapsed_s < 3600.0
    return PageRow((label, words), Mark.SOON if near else None)
