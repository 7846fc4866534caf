r"""How much of a published time at temperature the core has had, from its readings.

The tables give the time :math:`\tau(T)` at one temperature that brings a stated reduction of
Salmonella. Over a rising core the shares add up,

.. math:: F = \int \frac{dt}{\tau(T(t))},

and the table's equivalence is reached at :math:`F = 1`. Between readings the temperature is taken
as linear in time; between rows the logarithm of :math:`\tau` is linear in temperature, so that the
integral over one row's interval is exact. Below the first row nothing counts, above the last row
the last row's time counts, and next to a row printed as zero ("at once") the row below it counts
until that row is reached. Nothing here says that food may be eaten: it quotes a table.

Sources: FSIS-GD-2021-14, Revised Appendix A, tables 2 to 4 (:mod:`core.lethality_tables`). Adding
up shares over a changing temperature is the general method of process lethality (Bigelow 1921,
from memory), not a part of that guideline.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from core.answers import Suspect
from core.catalogue import cut_named
from core.cook import Cook, EventKind
from core.errors import InvalidValue
from core.lethality_tables import (
    CHICKEN_7_LOG_S,
    CHICKEN_FIRST_F,
    MEAT_FIRST_F,
    MEAT_S,
    TURKEY_7_LOG_S,
    TURKEY_FIRST_F,
)
from core.units import f_to_c

GUIDELINE = "FSIS-GD-2021-14, Revised Appendix A"
FAT_COLUMNS = 12
MEAT_LOG10 = 6.5
GAP_MAX_S = 3600.0
"""Longest time between two readings that is counted [s]; common practice, no source."""

COMMON_CAUTIONS = ("coldest_spot", "verified_thermometer", "local_codes", "quotes_a_table")


@dataclass(frozen=True, slots=True)
class Standard:
    """One column of a table: the time at each temperature for a stated reduction.

    Attributes
    ----------
    key : str
        ``poultry_7log`` or ``meat_6.5log``; what it is for, to be worded elsewhere.
    log10 : float
        The reduction of Salmonella.
    table : str
        Where it is printed.
    fat_pct : int or None
        Column of the poultry tables [%].
    temps_c : tuple of float
        Rows, one °F apart [°C].
    times_s : tuple of float
        Times at those temperatures [s]; zero is "at once".
    cautions : tuple of str
        Keys of the cautions that go with it.
    """

    key: str
    log10: float
    table: str
    fat_pct: int | None
    temps_c: tuple[float, ...]
    times_s: tuple[float, ...]
    cautions: tuple[str, ...] = COMMON_CAUTIONS

    @property
    def instant_c(self) -> float:
        """Lowest temperature whose row says at once; infinite if none does [°C]."""
        zeros = (t for t, s in zip(self.temps_c, self.times_s, strict=True) if s <= 0.0)
        return next(zeros, math.inf)

    def time_s(self, temp_c: float) -> float | None:
        """Time at `temp_c` [s]; None below the first row, where nothing counts."""
        if not temp_c >= self.temps_c[0] - _ROW_TOUCH_C:
            return None
        if temp_c >= self.temps_c[-1] - _ROW_TOUCH_C:
            return self.times_s[-1]
        row = _row_of(self.temps_c, temp_c)
        low, high = self.times_s[row], self.times_s[row + 1]
        if low <= 0.0:
            return 0.0
        if high <= 0.0:
            return low
        share = (temp_c - self.temps_c[row]) / (self.temps_c[row + 1] - self.temps_c[row])
        return low * math.exp(max(share, 0.0) * math.log(high / low))


_ROW_TOUCH_C = 1e-6  # rounding of a conversion; far below any gauge


def _row_of(temps_c: tuple[float, ...], temp_c: float) -> int:
    """Index of the row at or below a temperature inside the table (rows are 1 °F apart)."""
    row = math.floor((temp_c - temps_c[0] + _ROW_TOUCH_C) * 1.8)
    return min(max(row, 0), len(temps_c) - 2)


def poultry_standard(species: str, fat_pct: float | None = None) -> Standard:
    """The 7-log10 column for poultry.

    Parameters
    ----------
    species : str
        ``chicken``, ``turkey``; anything else is other or mixed poultry and takes the longer of
        the two at each temperature.
    fat_pct : float, optional
        Fat of the meat [%]. The next column up is taken; the 12 % column where fat is above 12 %
        or unknown, as the guideline says.

    Raises
    ------
    InvalidValue
        Fat outside 0 to 100 %.
    """
    if fat_pct is not None and not 0.0 <= fat_pct <= 100.0:
        raise InvalidValue("fat_pct", fat_pct, "0 to 100 %")
    column = FAT_COLUMNS if fat_pct is None else min(max(math.ceil(fat_pct), 1), FAT_COLUMNS)
    chicken = tuple(row[column - 1] for row in CHICKEN_7_LOG_S)
    turkey = tuple(row[column - 1] for row in TURKEY_7_LOG_S)
    times, table = {
        "chicken": (chicken, "table 3"),
        "turkey": (turkey, "table 4"),
    }.get(species, (tuple(map(max, chicken, turkey)), "tables 3 and 4, the longer"))
    first = TURKEY_FIRST_F if species == "turkey" else CHICKEN_FIRST_F
    temps = tuple(f_to_c(first + i) for i in range(len(times)))
    return Standard("poultry_7log", 7.0, f"{GUIDELINE}, {table}", column, temps, times)


def meat_standard(log10: float = MEAT_LOG10) -> Standard:
    """The column of table 2 for meat other than poultry; `log10` is 6.5 or 7."""
    if log10 not in MEAT_S:
        raise InvalidValue("log10", log10, "6.5 or 7")
    times = MEAT_S[log10]
    temps = tuple(f_to_c(MEAT_FIRST_F + i) for i in range(len(times)))
    key = f"meat_{log10:g}log"
    return Standard(key, log10, f"{GUIDELINE}, table 2", None, temps, times)


def standard_for(cut: str, fat_pct: float | None = None) -> Standard | None:
    """The published column for a cut; None where the guideline has none (fish).

    Meat of no known kind takes that of other or mixed poultry, the longest.

    Raises
    ------
    UnknownCut, InvalidValue
    """
    species = cut_named(cut).species
    if species == "fish":
        return None
    if species in ("pork", "beef", "lamb"):
        return meat_standard()
    return poultry_standard(species, fat_pct)


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch between readings that was not counted, and why.

    ``reason`` is ``long`` (nobody read for more than an hour) or ``moved`` (the probe was moved).
    """

    start_s: float
    end_s: float
    reason: str


@dataclass(frozen=True, slots=True)
class Lethality:
    """What the readings say against one standard.

    Attributes
    ----------
    standard : Standard
    share : float
        Part of the published time that has been had, 0 to 1.
    reached_s : float or None
        Time from meat-on at which the equivalence was reached [s].
    counted_s : float
        Time at or above the table's first row that was counted [s].
    gaps : tuple of Gap
        Stretches left out.
    """

    standard: Standard
    share: float
    reached_s: float | None
    counted_s: float
    gaps: tuple[Gap, ...]


def accumulate(
    standard: Standard,
    readings: Sequence[tuple[float, float]],
    moved_s: Sequence[float] = (),
    gap_max_s: float = GAP_MAX_S,
) -> Lethality:
    """Add up the shares of a published time over the readings of one place.

    Parameters
    ----------
    standard : Standard
    readings : sequence of (elapsed_s, temp_c)
        In time order; doubted ones left out by the caller.
    moved_s : sequence of float
        Times at which the probe was moved: what lies across one is not counted [s].
    gap_max_s : float
        Longer gaps between readings are not counted [s].
    """
    share, counted, reached = 0.0, 0.0, None
    gaps: list[Gap] = []
    if readings and readings[0][1] >= standard.instant_c - _ROW_TOUCH_C:
        share, reached = 1.0, readings[0][0]
    for (start, first), (end, last) in pairwise(readings):
        if end <= start:
            continue
        reason = _reason(start, end, moved_s, gap_max_s)
        if reason is not None:
            gaps.append(Gap(start, end, reason))
            if reached is None and last >= standard.instant_c - _ROW_TOUCH_C:
                share, reached = 1.0, end
            continue
        for piece in _pieces(standard, start, end, first, last):
            counted += piece.end_s - piece.start_s
            if reached is None:
                share, reached = _after(piece, share)
    return Lethality(standard, min(share, 1.0), reached, counted, tuple(gaps))


def lethality_of(
    cook: Cook, probe: str, standard: Standard, suspects: Sequence[Suspect] = ()
) -> Lethality:
    """Running equivalence of one probe's readings; `suspects` of the forecast are left out."""
    readings = trusted_readings(cook, probe, suspects)
    moved = [e.elapsed_s for e in cook.events if e.kind is EventKind.PROBE_MOVED]
    return accumulate(standard, readings, moved)


def trusted_readings(
    cook: Cook, probe: str, suspects: Sequence[Suspect] = ()
) -> tuple[tuple[float, float], ...]:
    """Readings (elapsed_s, temp_c) of one probe, without those that the forecast doubts."""
    doubted = {(s.elapsed_s, s.found_c) for s in suspects if s.probe == probe}
    pairs = ((r.elapsed_s, r.of(probe)) for r in cook.readings)
    return tuple((t, c) for t, c in pairs if c is not None and (t, c) not in doubted)


def _reason(start: float, end: float, moved_s: Sequence[float], longest: float) -> str | None:
    if any(start < at <= end for at in moved_s):
        return "moved"
    return "long" if end - start > longest else None


@dataclass(frozen=True, slots=True)
class _Piece:
    """Part of one interval between readings within one row: rates at its ends [1/s]."""

    start_s: float
    end_s: float
    first: float
    last: float

    @property
    def share(self) -> float:
        """Integral of an exponential between the two rates: their logarithmic mean."""
        span = self.end_s - self.start_s
        if not (math.isfinite(self.first) and math.isfinite(self.last)):
            return math.inf
        lean = math.log(self.last / self.first)
        if abs(lean) < 1e-9:
            return span * self.first
        return span * (self.last - self.first) / lean

    def when(self, wanted: float) -> float:
        """Time by which this piece has added `wanted`."""
        if not math.isfinite(self.first):
            return self.start_s
        lean = math.log(self.last / self.first) if math.isfinite(self.last) else 0.0
        span = self.end_s - self.start_s
        if abs(lean) < 1e-9:
            return self.start_s + wanted / self.first
        return self.start_s + span * math.log1p(wanted * lean / (span * self.first)) / lean


def _after(piece: _Piece, share: float) -> tuple[float, float | None]:
    """Share after a piece, and the time at which it passed one, if it did."""
    added = piece.share
    if share + added < 1.0:
        return share + added, None
    return 1.0, min(piece.when(1.0 - share), piece.end_s)


def _pieces(
    standard: Standard, start: float, end: float, first: float, last: float
) -> list[_Piece]:
    """Cut one interval at the table's rows; parts below the first row are dropped."""
    low, high = min(first, last), max(first, last)
    inner = [t for t in standard.temps_c if low < t < high]
    stops = [first, *(inner if last >= first else reversed(inner)), last]
    found, rise = [], last - first
    for a, b in pairwise(stops):
        middle = standard.time_s(0.5 * (a + b))
        if middle is None:
            continue
        at, to = (
            (start, end)
            if rise == 0.0
            else (
                start + (a - first) / rise * (end - start),
                start + (b - first) / rise * (end - start),
            )
        )
        found.append(_Piece(at, to, _rate(standard, a, middle), _rate(standard, b, middle)))
    return found


def _rate(standard: Standard, temp_c: float, middle_s: float) -> float:
    """Rate at one end of a piece [1/s], seen from inside it."""
    if middle_s <= 0.0:
        return math.inf
    row_time = standard.time_s(temp_c)
    # at the edge to "at once" the piece below still has its own row's time
    return 1.0 / (row_time if row_time else middle_s)
