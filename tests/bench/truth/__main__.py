"""Show the truth beside published times, and how far cooks of one plan spread.

python -m tests.bench.truth
"""

from __future__ import annotations

import numpy as np

from core.units import lb_to_kg
from tests.bench.truth.oven import Roast, cook_alike, roast
from tests.published.chart_rows import chart_rows

PLANS = (
    Roast("pork_shoulder", 3.4, 115.0, 93.0), Roast("pork_shoulder", 3.4, 115.0, 93.0, 72.0),
    Roast("beef_brisket", 4.6, 112.0, 94.0), Roast("beef_brisket", 4.6, 112.0, 94.0, 72.0),
    Roast("pork_ribs", 1.4, 120.0, 92.0), Roast("pork_loin", 1.7, 145.0, 63.0),
    Roast("ham", 4.5, 140.0, 65.0), Roast("beef_rib_roast", 3.0, 130.0, 55.0),
    Roast("leg_of_lamb", 2.4, 150.0, 60.0), Roast("whole_chicken", 1.7, 160.0, 74.0),
    Roast("chicken_pieces", 0.25, 165.0, 76.0), Roast("whole_turkey", 6.0, 155.0, 74.0),
    Roast("turkey_breast", 2.5, 150.0, 74.0), Roast("duck", 2.3, 150.0, 76.0),
    Roast("goose", 4.4, 160.0, 74.0), Roast("salmon_side", 1.2, 110.0, 56.0),
)  # fmt: skip


def print_charts() -> None:
    """Mean times in a steady oven beside the roasting charts."""
    rows = chart_rows()
    made = roast([Roast(r.cut, lb_to_kg(r.mass_lb), r.oven_c, r.target_c) for r in rows])
    print(f"{'roasting chart row':62}{'printed min':>14}{'truth min':>12}")
    for row, one in zip(rows, made, strict=True):
        printed = f"{row.low_min:.0f}-{row.high_min:.0f}"
        print(f"{row.label:62}{printed:>14}{one.mean_min:>12.0f}")


def print_spread() -> None:
    """Spread of cooks of one cut, weight, pit and target."""
    head = "cv".rjust(8) + "loss".rjust(8) + "rise C".rjust(9)
    print(f"\n{'cooks of one plan, fire and person included':46}{'median':>8}{'q10-q90':>12}{head}")
    for one in PLANS:
        made = cook_alike(one)
        low, middle, high = np.nanquantile(made.minutes, (0.1, 0.5, 0.9))
        wrap = "" if one.wrap_c is None else f" wrapped at {one.wrap_c:.0f} C"
        name = f"{one.cut} {one.mass_kg:g} kg {one.oven_c:.0f} to {one.target_c:.0f} C{wrap}"
        cv = np.nanstd(made.minutes) / np.nanmean(made.minutes)
        span = f"{low:.0f}-{high:.0f}"
        print(f"{name:46}{middle:>8.0f}{span:>12}{cv:>8.2f}"
              f"{np.nanmedian(made.loss):>8.2f}{np.nanmedian(made.rise_c):>9.1f}")  # fmt: skip


if __name__ == "__main__":
    print_charts()
    print_spread()
