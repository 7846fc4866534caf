"""Published roasting times, to set a cook's minutes per pound beside.

The charts are for a dry oven at one temperature; a covered charcoal fire at the same temperature is
near to it, another temperature is not. So a range is always given with its oven and its end. Each
number is checked against the printed charts in ``tests/published/test_run_times.py``.

Sources
-------
foodsafety.gov, Meat and Poultry Roasting Charts (2023 edition; two rows from the 2011-era edition).
USDA, turkey timetable for 325 °F, as reprinted. Both public domain.
"""

from __future__ import annotations

from dataclasses import dataclass

from core.cook import Plan
from core.units import f_to_c, kg_to_lb

CHARTS = "foodsafety.gov Meat and Poultry Roasting Charts (2023)"
OLDER = "foodsafety.gov roasting chart (2011-era)"
TURKEY = "USDA turkey timetable for 325 °F, reprinted"
PER_LB, TOTAL = "minutes per pound", "minutes"


@dataclass(frozen=True, slots=True)
class Row:
    """One row as printed: weights in lb, oven and end in °F, times in the unit of `per`."""

    cut: str
    printed: str
    lb_low: float
    lb_high: float
    oven_f: float
    target_f: float
    low: float
    high: float
    per: str
    source: str

    def per_lb(self, mass_lb: float) -> tuple[float, float]:
        """Minutes per pound of a piece of that weight."""
        divisor = mass_lb if self.per == TOTAL else 1.0
        return self.low / divisor, self.high / divisor

    def off_lb(self, mass_lb: float) -> float:
        """How far a weight lies outside the row's weights [lb]; 0 inside."""
        return max(self.lb_low - mass_lb, mass_lb - self.lb_high, 0.0)


ROWS = (
    Row("beef_rib_roast", "beef rib roast bone-in", 4, 6, 325, 145, 23, 25, PER_LB, CHARTS),
    Row("beef_rib_roast", "beef rib roast boneless", 4, 6, 325, 145, 28, 33, PER_LB, CHARTS),
    Row("chicken_pieces", "chicken breast half bone-in",
        0.375, 0.5, 350, 165, 30, 40, TOTAL, CHARTS),
    Row("chicken_pieces", "chicken breast half boneless",
        0.25, 0.25, 350, 165, 20, 30, TOTAL, CHARTS),
    Row("chicken_pieces", "chicken legs or thighs", 0.25, 0.5, 350, 165, 40, 50, TOTAL, OLDER),
    Row("duck", "duck whole (do not stuff)", 4, 6, 350, 165, 30, 35, PER_LB, CHARTS),
    Row("goose", "goose young whole", 8, 12, 325, 165, 150, 180, TOTAL, CHARTS),
    Row("ham", "ham smoked cook-before-eating whole bone-in",
        10, 14, 325, 145, 18, 20, PER_LB, CHARTS),
    Row("ham", "ham smoked cook-before-eating half bone-in",
        5, 7, 325, 145, 22, 25, PER_LB, CHARTS),
    Row("ham", "ham smoked cook-before-eating shank or butt portion",
        3, 4, 325, 145, 35, 40, PER_LB, CHARTS),
    Row("ham", "ham fresh whole leg bone-in", 12, 16, 325, 145, 22, 26, PER_LB, CHARTS),
    Row("ham", "ham fresh whole leg boneless", 10, 14, 325, 145, 24, 28, PER_LB, CHARTS),
    Row("ham", "ham fresh half bone-in", 5, 8, 325, 145, 35, 40, PER_LB, CHARTS),
    Row("leg_of_lamb", "lamb leg bone-in", 5, 7, 325, 145, 20, 25, PER_LB, CHARTS),
    Row("leg_of_lamb", "lamb leg bone-in", 7, 9, 325, 145, 10, 15, PER_LB, CHARTS),
    Row("leg_of_lamb", "lamb leg boneless rolled", 4, 7, 325, 145, 25, 30, PER_LB, CHARTS),
    Row("pork_loin", "pork loin roast bone-in or boneless", 2, 5, 350, 145, 20, 20, PER_LB, CHARTS),
    Row("pork_loin", "pork loin roast", 2, 5, 325, 145, 20, 30, PER_LB, OLDER),
    Row("pork_shoulder", "pork Boston butt", 3, 6, 350, 145, 45, 45, PER_LB, CHARTS),
    Row("turkey_breast", "turkey breast", 4, 6, 325, 165, 90, 135, TOTAL, TURKEY),
    Row("turkey_breast", "turkey breast", 6, 8, 325, 165, 135, 195, TOTAL, TURKEY),
    Row("whole_chicken", "chicken whole", 3, 4, 350, 165, 75, 90, TOTAL, CHARTS),
    Row("whole_chicken", "chicken whole", 5, 7, 350, 165, 120, 135, TOTAL, CHARTS),
    Row("whole_chicken", "capon whole", 4, 8, 350, 165, 120, 180, TOTAL, CHARTS),
    Row("whole_turkey", "turkey whole", 8, 12, 325, 165, 165, 180, TOTAL, TURKEY),
    Row("whole_turkey", "turkey whole", 12, 14, 325, 165, 180, 225, TOTAL, TURKEY),
    Row("whole_turkey", "turkey whole", 14, 18, 325, 165, 225, 255, TOTAL, TURKEY),
    Row("whole_turkey", "turkey whole", 18, 20, 325, 165, 255, 270, TOTAL, TURKEY),
    Row("whole_turkey", "turkey whole", 20, 24, 325, 165, 270, 300, TOTAL, TURKEY),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PublishedRun:
    """Published minutes per pound for one planned piece.

    Attributes
    ----------
    low, high : float
        Minutes per pound, over all rows that speak of this weight.
    oven_c_low, oven_c_high : float
        Ovens of those rows [°C].
    target_c : float
        Temperature at their end [°C].
    printed : str
        The rows' names.
    lb_low, lb_high : float
        Weights that the rows speak of [lb].
    inside : bool
        Whether the piece's weight is among them; else these are the nearest rows.
    source : str
    """

    low: float
    high: float
    oven_c_low: float
    oven_c_high: float
    target_c: float
    printed: str
    lb_low: float
    lb_high: float
    inside: bool
    source: str


def published_run(plan: Plan) -> PublishedRun | None:
    """The published times nearest to a plan's cut and weight; None for a cut without any."""
    rows = [row for row in ROWS if row.cut == plan.cut]
    if not rows:
        return None
    mass_lb = kg_to_lb(plan.mass_kg)
    off = min(row.off_lb(mass_lb) for row in rows)
    rows = [row for row in rows if row.off_lb(mass_lb) == off]
    # a weight beyond the chart is read at the chart's edge: totals do not grow with the pound
    at_lb = [min(max(mass_lb, row.lb_low), row.lb_high) for row in rows]
    ranges = [row.per_lb(lb) for row, lb in zip(rows, at_lb, strict=True)]
    return PublishedRun(
        low=min(low for low, _ in ranges),
        high=max(high for _, high in ranges),
        oven_c_low=f_to_c(min(row.oven_f for row in rows)),
        oven_c_high=f_to_c(max(row.oven_f for row in rows)),
        target_c=f_to_c(max(row.target_f for row in rows)),
        printed=", ".join(dict.fromkeys(row.printed for row in rows)),
        lb_low=min(row.lb_low for row in rows),
        lb_high=max(row.lb_high for row in rows),
        inside=off == 0.0,
        source="; ".join(dict.fromkeys(row.source for row in rows)),
    )


def minutes_per_lb(cooked_s: float, mass_kg: float) -> float:
    """Minutes on the heat for each pound."""
    return cooked_s / 60.0 / kg_to_lb(mass_kg)
