"""What the published tables say of one cook so far, probe by probe: figures, never a verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.answers import Suspect
from core.catalogue import Minimum, cut_named
from core.come_up import ComeUp, come_up
from core.cook import Cook, Probe
from core.lethality import Lethality, lethality_of, standard_for, trusted_readings

_TOUCH_C = 0.05  # 165 °F is 73.89 °C and the chart says 73.9


@dataclass(frozen=True, slots=True)
class ProbeLimits:
    """One probe against the published figures.

    Attributes
    ----------
    probe : str
    minimum : Minimum
        Of the FSIS chart for this meat.
    highest_c : float or None
        Highest believed reading [°C].
    minimum_reached_s : float or None
        Time of the first reading at the minimum [s from meat-on].
    target_below_minimum : bool
        A caution that stays.
    lethality : Lethality or None
        Running equivalence; None where no table covers the meat (fish).
    come_up : ComeUp
    """

    probe: str
    minimum: Minimum
    highest_c: float | None
    minimum_reached_s: float | None
    target_below_minimum: bool
    lethality: Lethality | None
    come_up: ComeUp


def published_limits(
    cook: Cook, now_s: float, suspects: Sequence[Suspect] = (), fat_pct: float | None = None
) -> tuple[ProbeLimits, ...]:
    """Every probe of a cook, as known at `now_s`, against the published figures.

    Parameters
    ----------
    cook : Cook
    now_s : float
    suspects : sequence of Suspect
        Readings that the forecast doubts; they count for nothing here.
    fat_pct : float, optional
        Fat of poultry [%]; the strictest column if it is not known.

    Raises
    ------
    UnknownCut, InvalidValue
    """
    known = cook.known_at(now_s)
    return tuple(_limits(known, probe, now_s, suspects, fat_pct) for probe in known.probes)


def _limits(
    cook: Cook,
    probe: Probe,
    now_s: float,
    suspects: Sequence[Suspect],
    fat_pct: float | None,
) -> ProbeLimits:
    minimum = cut_named(cook.plan.cut).minimum
    standard = standard_for(cook.plan.cut, fat_pct)
    readings = trusted_readings(cook, probe.name, suspects)
    at_minimum = (t for t, c in readings if c >= minimum.temp_c - _TOUCH_C)
    return ProbeLimits(
        probe=probe.name,
        minimum=minimum,
        highest_c=max((c for _, c in readings), default=None),
        minimum_reached_s=next(at_minimum, None),
        target_below_minimum=probe.target_c < minimum.temp_c - _TOUCH_C,
        lethality=None if standard is None else lethality_of(cook, probe.name, standard, suspects),
        come_up=come_up(readings, now_s),
    )
