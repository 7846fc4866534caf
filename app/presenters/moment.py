"""One cook at one moment: what every answer is worded from."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from app.display import Display
from core.catalogue import Cut, cut_named
from core.cook import EventKind, Milestone
from storage.values import SavedCook

if TYPE_CHECKING:
    from core.answers import Arrival, Forecast
    from core.fire_leaving import Leaving


@dataclass(frozen=True, slots=True)
class Moment:
    """What is known of a cook at `now`, and how its reader wants to see it.

    `forecast` is None when there is none (yet); `leaving` says when the fire leaves its band,
    `early` whether the meat is to be pulled below its target and carried up by the rest. A cook
    that is over is seen as of its end; what goes on after it (leftovers) is worded from
    `real_now`.
    """

    saved: SavedCook
    forecast: Forecast | None
    now: datetime
    display: Display
    leaving: Leaving | None = None
    early: bool = False
    real_now: datetime = field(init=False)

    def __post_init__(self) -> None:
        # In UTC, or Python would subtract by the wall clock within one zone.
        real_now = self.now.astimezone(UTC)
        ended_at = self.saved.ended_at
        now = real_now if ended_at is None else min(real_now, ended_at.astimezone(UTC))
        object.__setattr__(self, "now", now)
        object.__setattr__(self, "real_now", real_now)

    def at(self, elapsed_s: float) -> datetime:
        """Instant of a time from meat-on."""
        return self.saved.started_at.astimezone(UTC) + timedelta(seconds=elapsed_s)

    def clock(self, elapsed_s: float) -> str:
        """Clock time of a time from meat-on, with the day when it is another one."""
        return self.display.clock(self.at(elapsed_s), self.now)

    @property
    def now_s(self) -> float:
        """Seconds from meat-on."""
        return (self.now - self.saved.started_at).total_seconds()

    @property
    def real_now_s(self) -> float:
        """Seconds from meat-on, past the end too."""
        return (self.real_now - self.saved.started_at).total_seconds()

    @property
    def cut(self) -> Cut:
        """The catalogue's entry of the cut."""
        return cut_named(self.saved.cook.plan.cut)

    @property
    def why_unknown(self) -> str:
        """Why there is no answer without a forecast."""
        return "no forecast yet" if self.saved.cook.probes else "no probe in the meat"

    @property
    def rest_s(self) -> float:
        """Planned rest; the cut's usual one if none was planned [s]."""
        planned = self.saved.cook.plan.rest_s
        return self.cut.rest_s if planned is None else planned

    @property
    def pulled_s(self) -> float | None:
        """When the meat left the heat, None while it is on."""
        event = self.saved.cook.first_event(EventKind.PULLED)
        return None if event is None else event.elapsed_s

    def arrivals(self, *milestones: Milestone) -> tuple[Arrival, ...]:
        """The forecast's arrivals at these milestones."""
        if self.forecast is None:
            return ()
        return tuple(a for a in self.forecast.arrivals if a.milestone in milestones)
