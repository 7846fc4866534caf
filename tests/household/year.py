"""What the invented household cooked in its year, and what went on beside the fire.

Nothing here is anybody's: days and weather are made up. Some days have a cause that a
reader of the Ledger should be able to find: wind in March, a frozen middle in January, a heavy
piece in June, many looks in September.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Day:
    """One cook as the household planned it [lb, °F], and what is special about it.

    ``fire`` and ``meat`` override what the simulator would draw. ``lids`` is a person who lifts the
    lid at every reading. ``twin`` is the date of a piece just like this one: whatever differs
    between the two cooks is then the day's own. ``scores`` are tender, juicy, skin or
    bark, and smoke.
    """

    date: str
    meal: str
    cut: str
    lb: float
    pit_f: float
    target_f: float
    title: str
    wood: str = ""
    glaze_f: float | None = None
    wrap_f: float | None = None
    scores: tuple[int | None, int | None, int | None, int | None] = (None, None, None, None)
    words: str = ""
    change: str = ""
    note: str = ""
    glaze: tuple[str, tuple[str, ...]] | None = None
    fire: dict[str, float] = field(default_factory=dict)
    meat: dict[str, float] = field(default_factory=dict)
    tends: bool = True
    lids: bool = False
    twin: str = ""


QUINCE = ("quince and mustard", ("120 g quince jelly", "1 tbsp mustard", "1 tsp vinegar"))
PLUM = ("plum and ginger", ("200 g plum jam", "20 g ginger", "1 tbsp soy sauce"))
MAPLE = ("maple and thyme", ("80 ml maple syrup", "2 tsp thyme", "10 g butter"))
WINDY = {"setpoint_c": -22.0, "start_pit_c": -24.0, "fire_sd_c": 6.0}
STEADY = {"fire_sd_c": 2.5}

YEAR = (
    Day("2025-11-08", "17:30", "whole_chicken", 4.0, 330, 165, "First fire of the new season",
        "apple", scores=(4, 4, 3, 3), words="Skin a little soft."),
    Day("2025-11-15", "18:00", "pork_loin", 4.5, 300, 145, "Loin for six", "cherry",
        scores=(4, 3, None, 3)),
    Day("2025-11-22", "13:00", "goose", 9.5, 325, 165, "Trial run for the goose", "",
        scores=(3, 4, 4, 2), words="Fat caught once, moved the coals.",
        change="A deeper pan under the bird."),
    Day("2025-12-06", "18:30", "leg_of_lamb", 5.5, 310, 145, "Lamb for a visit", "oak",
        scores=(5, 5, 4, 3)),
    Day("2025-12-13", "17:00", "duck", 5.0, 310, 165, "Two birds were one too many, so one",
        "apple", 145, scores=(4, 4, 4, 4), glaze=QUINCE),
    Day("2025-12-24", "19:00", "goose", 10.0, 325, 165, "The goose itself", "beech",
        scores=(5, 4, 5, 3), words="Best crackle so far."),
    Day("2025-12-31", "20:00", "beef_rib_roast", 7.0, 300, 145, "Last roast of the year", "oak",
        scores=(5, 5, 4, 3)),
    Day("2026-01-10", "17:30", "pork_shoulder", 6.5, 250, 200, "Shoulder, still hard inside",
        "hickory", scores=(3, 4, 4, 4), note="felt ice in the middle when the probe went in",
        words="Late, and we ate bread first.", change="Two days in the fridge, not one.",
        meat={"start_c": 0.8, "start_core_c": -1.8}),
    Day("2026-01-17", "18:00", "chicken_pieces", 0.45, 340, 175, "Thighs on a cold evening",
        scores=(4, 4, 5, 2)),
    Day("2026-01-31", "18:30", "pork_loin", 4.0, 300, 145, "Loin again, hotter coals", "cherry",
        scores=(4, 4, None, 3)),
    Day("2026-02-07", "18:00", "whole_chicken", 4.5, 335, 165, "Chicken with the lid left alone",
        "apple", scores=(4, 5, 4, 3), fire=STEADY),
    Day("2026-02-14", "19:00", "duck", 5.0, 310, 165, "Duck for two", "cherry", 145,
        scores=(5, 5, 4, 4), glaze=PLUM),
    Day("2026-02-21", "17:00", "pork_ribs", 3.0, 250, 198, "Ribs, no wrap", "hickory",
        scores=(3, 3, 4, 5), change="Wrap when the colour is right."),
    Day("2026-02-28", "13:00", "ham", 8.0, 300, 145, "Ham for the choir", "apple", 125,
        scores=(4, 4, 4, 3), glaze=MAPLE),
    Day("2026-03-07", "18:30", "leg_of_lamb", 5.5, 310, 145, "Lamb, calm evening", "oak",
        scores=(5, 4, 4, 3), fire=STEADY),
    Day("2026-03-14", "18:30", "leg_of_lamb", 5.5, 310, 145, "Lamb in the March wind", "oak",
        scores=(4, 4, 3, 3), note="strong wind from the lake, sparks at the vents",
        words="Guests waited.", change="Turn the cooker, close the side to the wind.",
        fire=WINDY, tends=False, twin="2026-03-07"),
    Day("2026-03-28", "18:00", "whole_chicken", 4.0, 330, 165, "Chicken between showers", "apple",
        scores=(4, 4, 4, 3)),
    Day("2026-04-05", "13:00", "leg_of_lamb", 6.5, 310, 145, "Lamb for Easter", "oak",
        scores=(5, 5, 4, 3)),
    Day("2026-04-11", "18:30", "salmon_side", 2.5, 230, 145, "Salmon on a plank", "alder", 125,
        scores=(5, 5, None, 3), glaze=MAPLE),
    Day("2026-04-18", "18:00", "pork_loin", 4.2, 300, 145, "Loin with fennel", "cherry",
        scores=(4, 4, None, 3)),
    Day("2026-04-25", "14:00", "beef_brisket", 9.0, 245, 200, "First brisket", "oak", None, 165,
        scores=(3, 3, 4, 4), words="Dry at the thin end."),
    Day("2026-05-03", "17:30", "whole_chicken", 4.2, 335, 165, "Chicken for the painters", "apple",
        scores=(4, 4, 5, 3)),
    Day("2026-05-09", "18:30", "duck", 5.2, 310, 165, "Duck under the pear tree", "cherry", 145,
        scores=(4, 4, 5, 4), glaze=QUINCE),
    Day("2026-05-16", "18:00", "pork_ribs", 3.0, 250, 198, "Ribs, wrapped this time", "hickory",
        None, 165, scores=(5, 4, 4, 4)),
    Day("2026-05-25", "13:30", "pork_shoulder", 6.0, 250, 200, "Shoulder for the street",
        "hickory", None, 165, scores=(4, 5, 4, 4)),
    Day("2026-06-06", "18:30", "leg_of_lamb", 5.5, 310, 145, "Lamb with garlic", "oak",
        scores=(5, 4, 4, 3)),
    Day("2026-06-13", "19:00", "salmon_side", 2.2, 230, 145, "Salmon, thin end folded", "alder",
        125, scores=(4, 4, None, 3), glaze=MAPLE),
    Day("2026-06-20", "13:00", "pork_shoulder", 9.5, 250, 200, "The big shoulder", "hickory",
        None, 165, scores=(5, 5, 5, 4), words="Pulled itself apart."),
    Day("2026-07-04", "18:00", "pork_ribs", 3.2, 255, 198, "Ribs in the heat", "hickory", None,
        165, scores=(4, 4, 4, 4)),
    Day("2026-07-11", "19:00", "whole_chicken", 4.5, 335, 165, "Chicken after the swim", "apple",
        scores=(4, 4, 4, 3)),
    Day("2026-07-18", "18:30", "beef_rib_roast", 6.0, 300, 145, "Rib roast, a round number", "oak",
        scores=(4, 5, 4, 3)),
    Day("2026-07-25", "19:00", "chicken_pieces", 0.5, 340, 175, "Thighs, a quick evening",
        scores=(4, 4, 4, 2)),
    Day("2026-08-01", "14:00", "beef_brisket", 10.0, 245, 200, "Second brisket", "oak", None, 165,
        scores=(4, 4, 5, 4), words="Thin end under foil, much better."),
    Day("2026-08-15", "18:30", "duck", 5.0, 310, 165, "Duck with plums", "cherry", 145,
        scores=(5, 4, 5, 4), glaze=PLUM),
    Day("2026-08-22", "19:00", "salmon_side", 2.4, 230, 145, "Salmon for the neighbours", "alder",
        125, scores=(5, 5, None, 3), glaze=MAPLE),
    Day("2026-09-05", "18:30", "whole_chicken", 4.2, 335, 165, "Everybody wanted to look",
        "apple", scores=(3, 4, 3, 3), note="lid up at every guest",
        change="Tell them the lid is shut.", lids=True),
    Day("2026-09-12", "18:00", "pork_loin", 4.3, 300, 145, "Loin with the first apples", "apple",
        scores=(4, 4, None, 3)),
    Day("2026-09-26", "18:30", "leg_of_lamb", 5.5, 310, 145, "Lamb, same as in spring", "oak",
        scores=(5, 5, 4, 3), fire=STEADY, twin="2026-03-07"),
    Day("2026-10-03", "13:00", "pork_shoulder", 6.2, 250, 200, "Shoulder for the harvest",
        "hickory", None, 165, scores=(5, 5, 4, 4)),
    Day("2026-10-17", "18:30", "duck", 5.0, 310, 165, "Duck, as we know it now", "cherry", 145,
        scores=(5, 5, 5, 4), glaze=QUINCE),
)  # fmt: skip
