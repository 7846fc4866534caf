"""A planned day as the data file knows it: laid out anew, ticked, moved, and begun as a cook."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta, tzinfo

from app.day_wish import DayMix, KeptWish, read_wish, wish_text
from app.display import WEEKDAYS, Display
from app.learned import Learning
from app.localtime import with_offset
from app.presenters.start import default_title
from core.answers import Forecast
from core.catalogue import cut_named
from core.cook import Cook, Event, EventKind, Plan, Probe
from core.day_values import (
    Dayline,
    DayWish,
    LivePiece,
    PieceDay,
    Pin,
    Step,
    StepKey,
    step_id,
)
from core.dayline import PAST_ONCE_ON, plan_day
from core.hold import leftovers_of
from storage.errors import StorageError
from storage.limits import ELAPSED_S
from storage.store import Store
from storage.values import NewCook, SavedCook, SavedDay

log = logging.getLogger(__name__)

ForecastAt = Callable[[Cook, float], Forecast]
OVER_AFTER = timedelta(hours=24)
"""A day whose meal is so long past is no longer in hand."""

EVENT_STEPS = {
    EventKind.GLAZED: StepKey.GLAZE,
    EventKind.WRAPPED: StepKey.WRAP,
    EventKind.PULLED: StepKey.PULL,
    EventKind.WOOD_ADDED: StepKey.SMOKE,
}
SHARED = frozenset({StepKey.LIGHT, StepKey.FIRE_STEADY, StepKey.SMOKE})
NOTE_WORDS = {
    StepKey.THAW: "put to thaw",
    StepKey.THAW_FINISH: "into cold water",
    StepKey.BRINE_IN: "into the brine",
    StepKey.BRINE_OUT: "out of the brine",
    StepKey.DRY_SALT: "salted",
    StepKey.RUB: "made ready",
    StepKey.LIGHT: "fire lit",
    StepKey.FIRE_STEADY: "fire steady",
}
"""How a step that was ticked before the cook stands in the cook's log."""


@dataclass(frozen=True, slots=True)
class OpenDay:
    """One saved day with what is needed to lay it out.

    Attributes
    ----------
    saved : SavedDay
    kept : KeptWish
        With the pins that were ticked, moved, or read off the cooks begun from it.
    cooks : dict of str to SavedCook
        Begun from it, by the name of their piece.
    """

    saved: SavedDay
    kept: KeptWish
    cooks: dict[str, SavedCook]

    @property
    def wish(self) -> DayWish:
        """What is wished for, with what was done."""
        return self.kept.wish

    def display(self, zone: tzinfo) -> Display:
        """The units of the day."""
        return Display(self.kept.unit, self.kept.mass_unit, zone)


def day_title(wish: DayWish) -> str:
    """``ham, Sun 29 Nov``."""
    local = wish.serve_at.astimezone(wish.zone)
    meats = " and ".join(dict.fromkeys(cut_named(p.plan.cut).name for p in wish.pieces))
    return f"{meats}, {WEEKDAYS[local.weekday()]} {local.day} {local:%b}"


def open_day(store: Store, saved: SavedDay, now: datetime, zone: tzinfo) -> OpenDay:
    """Read a saved day as it stands at `now`.

    Raises
    ------
    WishError
        It was written by a newer program, or its text is damaged.
    """
    kept = read_wish(saved.wish, now, zone)
    cooks = {
        name: store.cook(cook_id)
        for name, cook_id in kept.cooks.items()
        if cook_id in saved.cook_ids
    }
    pins = {
        step.key: Pin(at, done=step.ticked_at is not None)
        for step in saved.steps
        if (at := step.ticked_at or step.moved_to) is not None
    }
    pins |= _pins_of(cooks)
    wish = replace(kept.wish, serve_at=kept.wish.serve_at.astimezone(zone), pins=pins)
    return OpenDay(saved, replace(kept, wish=wish), cooks)


def _pins_of(cooks: dict[str, SavedCook]) -> dict[str, Pin]:
    """What the cooks of a day have logged: meat on, glazed ... served, leftovers put away."""
    pins: dict[str, Pin] = {}
    for name, saved in cooks.items():
        pins[step_id(StepKey.MEAT_ON, name)] = Pin(saved.started_at, done=True)
        for kind, key in EVENT_STEPS.items():
            event = saved.cook.first_event(kind)
            if event is not None:
                piece = None if key in SHARED else name
                pins[step_id(key, piece)] = Pin(_at(saved, event), done=True)
    served = [saved.cook.first_event(EventKind.SERVED) for saved in cooks.values()]
    times = [
        _at(saved, event) for saved, event in zip(cooks.values(), served, strict=True) if event
    ]
    if times and all(served):
        pins[step_id(StepKey.EAT, None)] = Pin(max(times), done=True)
        # said once for the whole table, in the log of the cook that ended last
        away = [at for saved in cooks.values() if (at := _put_away(saved)) is not None]
        if away:
            pins[step_id(StepKey.LEFTOVERS, None)] = Pin(max(away), done=True)
    return pins


def _put_away(saved: SavedCook) -> datetime | None:
    """When the leftovers of a cook went into the refrigerator, if that was said."""
    found = leftovers_of(saved.cook)
    if found is None or found.away_s is None:
        return None
    return saved.started_at + timedelta(seconds=found.away_s)


def _at(saved: SavedCook, event: Event) -> datetime:
    return saved.started_at + timedelta(seconds=event.elapsed_s)


def learned_forecast(learning: Learning | None, clock: Callable[[], datetime]) -> ForecastAt:
    """The real forecast, on what own cooks of the cut have taught by now."""

    def forecast_at(cook: Cook, now_s: float) -> Forecast:
        from core.forecast import forecast

        prior = None
        if learning is not None:
            try:
                prior = learning.of(cook.plan.cut, clock()).prior
            except StorageError as error:
                log.warning("nothing was learned from own cooks: %s", error)
        return forecast(cook, now_s, prior=prior, explain=False)

    return forecast_at


@dataclass(slots=True)
class Planner:
    """Lays days out, and remembers the book's forecasts: only readings change them.

    Parameters
    ----------
    forecast : callable
        Forecast of a cook at a time from meat-on [s].
    """

    forecast: ForecastAt
    _known: dict[tuple[Plan, tuple[Probe, ...]], Forecast] = field(default_factory=dict)

    def prior(self, cook: Cook) -> Forecast:
        """The forecast of a cook that has not begun."""
        key = (cook.plan, cook.probes)
        if key not in self._known:
            self._known[key] = self.forecast(cook, 0.0)
        return self._known[key]

    def plan(self, opened: OpenDay) -> Dayline:
        """The day with what is on the fire forecast from its own readings."""
        now = opened.wish.now
        live = {name: self._live(saved, now) for name, saved in opened.cooks.items()}
        return self.plan_wish(opened.wish, live)

    def plan_wish(self, wish: DayWish, live: dict[str, LivePiece] | None = None) -> Dayline:
        """A day that is not in the file."""
        return plan_day(wish, forecast_of=self.prior, live=live)

    def _live(self, saved: SavedCook, now: datetime) -> LivePiece:
        end = now if saved.ended_at is None else min(now, saved.ended_at)
        elapsed_s = (end - saved.started_at).total_seconds()
        told = self.forecast(saved.cook, min(max(elapsed_s, 0.0), ELAPSED_S[1]))
        return LivePiece(saved.started_at, told, over=saved.ended_at is not None)


def save_day(store: Store, kept: KeptWish, now: datetime) -> int:
    """Keep a new day and return its id."""
    return store.days.create(day_title(kept.wish), wish_text(kept), now)


def change_day(store: Store, opened: OpenDay, kept: KeptWish) -> None:
    """Wish for something else; what was done stays."""
    names = {piece.name for piece in kept.wish.pieces}
    # the form does not ask how it is thawed; what was said before stays
    thaws = {piece.name: piece.thaw for piece in opened.wish.pieces}
    pieces = tuple(replace(p, thaw=p.thaw or thaws.get(p.name)) for p in kept.wish.pieces)
    kept = replace(
        kept,
        wish=replace(
            kept.wish, pieces=pieces, serve_at=kept.wish.serve_at.astimezone(kept.wish.zone)
        ),
    )
    cooks = {name: cook for name, cook in opened.kept.cooks.items() if name in names}
    text = wish_text(replace(kept, cooks=cooks, mixes=opened.kept.mixes))
    store.days.change(opened.saved.id, day_title(kept.wish), text)
    # a meal that was moved before is now said by the wish
    if any(step.key == StepKey.EAT.value and step.moved_to for step in opened.saved.steps):
        store.days.move(opened.saved.id, StepKey.EAT.value, None)


def keep_mix(store: Store, opened: OpenDay, mix: DayMix) -> None:
    """Keep a mix with a day; one of the same name is replaced. Its cook gets a copy."""
    others = tuple(each for each in opened.kept.mixes if each.name != mix.name)
    text = wish_text(replace(opened.kept, mixes=(*others, mix)))
    store.days.change(opened.saved.id, opened.saved.title, text)


def next_piece(day: Dayline, opened: OpenDay) -> PieceDay | None:
    """The piece that goes on next: the earliest that no cook was begun for."""
    waiting = [piece for piece in day.pieces if piece.piece.name not in opened.cooks]
    return min(waiting, key=lambda piece: piece.on_at, default=None)


def begin_piece(
    store: Store, opened: OpenDay, day: Dayline, piece: PieceDay, now: datetime, zone: tzinfo
) -> int:
    """Begin the cook of one piece: the plan filled in, the ticked steps in its log.

    Returns
    -------
    int
        Id of the cook. It belongs to the day from then on.
    """
    on = opened.wish.pin(StepKey.MEAT_ON, piece.piece.name)
    started_at = with_offset((on.at if on is not None and on.done else now).replace(microsecond=0),
                             zone)  # fmt: skip
    serve_s = (day.wish.serve_at - started_at).total_seconds()
    title = default_title(piece.plan.cut, started_at, zone)
    if len(day.pieces) > 1:
        title = f"{piece.piece.name}, {title.partition(', ')[2]}"
    new = NewCook(
        title=title,
        started_at=started_at,
        unit=opened.kept.unit,
        mass_unit=opened.kept.mass_unit,
        plan=replace(piece.plan, serve_s=serve_s, rest_s=piece.rest_s),
        probes=piece.piece.probes,
    )
    cook_id = store.create_cook(new)
    store.days.join(opened.saved.id, cook_id)
    kept = replace(opened.kept, cooks=opened.kept.cooks | {piece.piece.name: cook_id})
    store.days.change(opened.saved.id, opened.saved.title, wish_text(kept))
    for mix in kept.mixes:
        if mix.piece in (None, piece.piece.name):
            store.mixes.keep(cook_id, mix.name, mix.kind, mix.lines, mix.meat_kg, now)
    for step in _carried(day, piece):
        _note(store, cook_id, step, started_at, now)
    return cook_id


def _carried(day: Dayline, piece: PieceDay) -> list[Step]:
    """Ticked steps that belong to the cook of one piece."""
    mine = PAST_ONCE_ON | {StepKey.LIGHT, StepKey.FIRE_STEADY}
    return [
        step
        for step in day.steps
        if step.done and step.key in mine and step.piece in (None, piece.piece.name)
    ]


def _note(store: Store, cook_id: int, step: Step, started_at: datetime, now: datetime) -> None:
    """A step that was done before the meat went on, as a line of the cook's log."""
    elapsed_s = (step.at - started_at).total_seconds()
    if not ELAPSED_S[0] <= elapsed_s <= 0.0:
        # thawing may have begun longer ago than a log reaches; the day still has it
        return
    words = NOTE_WORDS[step.key]
    event = Event(elapsed_s, EventKind.NOTE, words)
    store.add_line(cook_id, text=f"note {words}", typed_at=now, at=step.at, events=(event,))
