"""Which row of the published roasting charts speaks of which cut of the catalogue, and why not.

Key: (species, cut) as printed in roasting_times.csv. Value: a key of the catalogue, or `Out` with
the reason for leaving the row out. Stuffed birds are left out before this table is asked.
"""

from __future__ import annotations

from dataclasses import dataclass

from tests.published.tables import Row, load


@dataclass(frozen=True, slots=True)
class Out:
    """A row that says nothing about our cuts."""

    reason: str


STUFFED = Out("stuffed: the stuffing is a second food to be heated, which the plan cannot say")
OTHER_CUT = Out("a cut that the catalogue does not hold")
CURED_SHOULDER = Out("cured shoulder sold as ham; our ham is a leg, our shoulder is raw")

CUT_OF_ROW: dict[tuple[str, str], str | Out] = {
    ("beef", "rib roast bone-in"): "beef_rib_roast",
    ("beef", "rib roast boneless"): "beef_rib_roast",
    ("beef", "round or rump roast"): OTHER_CUT,
    ("beef", "tenderloin roast whole"): OTHER_CUT,
    ("beef", "chuck roast or brisket (braise)"): Out("braised in liquid, and no time given"),
    ("lamb", "leg bone-in"): "leg_of_lamb",
    ("lamb", "leg boneless rolled"): "leg_of_lamb",
    ("lamb", "shoulder roast"): OTHER_CUT,
    ("pork", "loin roast bone-in or boneless"): "pork_loin",
    ("pork", "loin roast"): "pork_loin",
    ("pork", "crown roast"): Out("a rack tied into a ring, open in the middle: no single body"),
    ("pork", "tenderloin"): OTHER_CUT,
    ("pork", "Boston butt"): "pork_shoulder",
    ("pork", "ribs"): Out("printed end is `or until fork tender`, not the temperature beside it"),
    ("veal", "rib roast"): OTHER_CUT,
    ("veal", "loin"): OTHER_CUT,
    ("ham", "smoked cook-before-eating whole bone-in"): "ham",
    ("ham", "smoked cook-before-eating half bone-in"): "ham",
    ("ham", "smoked cook-before-eating shank or butt portion"): "ham",
    ("ham", "smoked arm picnic shoulder boneless"): CURED_SHOULDER,
    ("ham", "smoked shoulder roll butt boneless"): CURED_SHOULDER,
    ("ham", "fresh whole leg bone-in"): "ham",
    ("ham", "fresh whole leg boneless"): "ham",
    ("ham", "fresh half bone-in"): "ham",
    ("ham", "cooked whole bone-in"): "ham",
    ("ham", "cooked half bone-in"): "ham",
    ("ham", "cooked arm picnic boneless"): CURED_SHOULDER,
    ("ham", "cooked canned boneless"): Out("pressed into the shape of a can"),
    ("ham", "cooked vacuum packed boneless"): Out("pressed flat and heated in a covering"),
    ("ham", "cooked spiral cut"): Out("sliced through to the bone and heated under foil"),
    ("chicken", "whole"): "whole_chicken",
    ("chicken", "breast half bone-in"): "chicken_pieces",
    ("chicken", "breast half boneless"): "chicken_pieces",
    ("chicken", "legs or thighs"): "chicken_pieces",
    ("capon", "whole"): "whole_chicken",
    ("cornish hen", "whole"): Out("half a kilogram, under the weights of our whole chicken"),
    ("duck", "whole (do not stuff)"): "duck",
    ("duck", "legs or thighs"): OTHER_CUT,
    ("goose", "young whole"): "goose",
    ("goose", "young pieces"): OTHER_CUT,
    ("turkey", "breast"): "turkey_breast",
    ("turkey", "whole"): "whole_turkey",
}


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One row of the charts that speaks of one of our cuts."""

    cut: str
    printed: str
    mass_lb: float
    oven_c: float
    target_c: float
    low_min: float
    high_min: float

    @property
    def label(self) -> str:
        """For the test report."""
        return f"{self.printed} {self.mass_lb:g} lb {self.oven_c:.0f} C"


def verdict(row: Row) -> str | Out:
    """The catalogue key of a row, or why it is out."""
    if row.text("stuffed") == "yes":
        return STUFFED
    return CUT_OF_ROW[row.text("species"), row.text("cut")]


def chart_rows() -> list[ChartRow]:
    """The rows that belong to our cuts, at the middle of their weights."""
    found = []
    for row in load("roasting_times"):
        cut = verdict(row)
        if isinstance(cut, Out):
            continue
        mass_lb = (row.number("weight_min_lb") + row.number("weight_max_lb")) / 2.0
        low, high = row.maybe("total_min_low"), row.maybe("total_min_high")
        if low is None or high is None:
            low = row.number("min_per_lb_low") * mass_lb
            high = row.number("min_per_lb_high") * mass_lb
        printed = f"{row.text('species')} {row.text('cut')}"
        oven_c, target_c = row.number("oven_temp_c"), row.number("target_c")
        found.append(ChartRow(cut, printed, mass_lb, oven_c, target_c, low, high))
    return found
