"""How people really cook each cut: the plans and the bodies that the simulated cooks draw from.

Compositions are typical raw values [share]; sizes are trade sizes; habits (pits, targets, wraps)
are common practice, no source. The body sizes were set once so that the simulated times fall on the
published roasting charts, see ``tests/bench/test_truth.py``.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Kind:
    """One cut.

    Attributes
    ----------
    mass_kg, mass_spread
        Median mass and its log standard deviation; clipped to `mass_range`.
    aspect : float
        Height over diameter of the cylinder, for `thick_m` None.
    thick_m, thick_power
        Else the height [m] at the median mass and its power of mass.
    size : float
        Share of the mass that belongs to the body that the probe waits for.
    cavity, bone
        Hollow and bone radius as shares of the radius; `boned` is how often there is a bone.
    skin, above, below : float
        Share of bare evaporation, and of that on top (fat cap, rind) and below.
    pits : tuple of (weight, low, high) [°C]
    targets : tuple of (weight, low, high) [°C]
    glaze, wrap : tuple (chance planned, low, high) [°C]
    spritz : float
        Share of cooks who spritz.
    probe : str
        What the person calls the probe.
    minutes_per_kg : float
        What the person expects at the median mass; only sets their habits.
    """

    key: str
    water: float
    protein: float
    fat: float
    mass_kg: float
    mass_spread: float
    mass_range: tuple[float, float]
    aspect: float
    pits: tuple[tuple[float, float, float], ...]
    targets: tuple[tuple[float, float, float], ...]
    minutes_per_kg: float
    thick_m: float | None = None
    thick_power: float = 0.0
    size: float = 1.0
    cavity: float = 0.0
    bone: float = 0.0
    boned: float = 0.0
    skin: float = 0.85
    above: float = 1.0
    below: float = 0.9
    glaze: tuple[float, float, float] = (0.0, 0.0, 0.0)
    wrap: tuple[float, float, float] = (0.0, 0.0, 0.0)
    spritz: float = 0.0
    probe: str = "meat"
    shapes: tuple[str, ...] = field(default=())


KINDS: dict[str, Kind] = {
    kind.key: kind
    for kind in (
        Kind("pork_shoulder", 0.69, 0.175, 0.125, 3.4, 0.33, (1.4, 6.8), 0.95,
             ((0.6, 107, 122), (0.25, 124, 140), (0.15, 148, 165)),
             ((0.8, 90, 96), (0.2, 80, 88)), 190, size=0.86, bone=0.2, boned=0.7, above=0.35,
             wrap=(0.45, 66, 77), spritz=0.35, probe="butt"),
        Kind("pork_loin", 0.67, 0.20, 0.12, 1.7, 0.30, (0.7, 3.8), 3.0,
             ((0.35, 107, 130), (0.4, 135, 155), (0.25, 160, 185)),
             ((1.0, 60, 66),), 65, size=0.88, glaze=(0.25, 48, 55), probe="loin"),
        Kind("pork_ribs", 0.60, 0.155, 0.235, 1.4, 0.25, (0.7, 2.6), 1.0,
             ((0.6, 107, 122), (0.4, 124, 150)),
             ((1.0, 88, 95),), 190, thick_m=0.034, thick_power=0.15, bone=0.0,
             glaze=(0.55, 78, 86), wrap=(0.3, 66, 75), spritz=0.4, probe="ribs"),
        Kind("ham", 0.63, 0.175, 0.185, 4.5, 0.33, (1.8, 8.5), 1.05,
             ((0.35, 107, 130), (0.4, 135, 155), (0.25, 160, 177)),
             ((0.7, 62.8, 66), (0.3, 68, 74)), 75, bone=0.2, boned=0.75, skin=0.6, above=0.4,
             glaze=(0.6, 45, 57), probe="ham"),
        Kind("beef_brisket", 0.62, 0.185, 0.185, 4.6, 0.30, (1.8, 8.0), 1.0,
             ((0.75, 105, 122), (0.25, 124, 140)),
             ((1.0, 90, 96.5),), 140, thick_m=0.064, thick_power=1 / 3, above=0.3,
             wrap=(0.65, 65, 78), spritz=0.3, probe="flat"),
        Kind("beef_rib_roast", 0.62, 0.19, 0.18, 3.0, 0.33, (1.3, 6.5), 1.15,
             ((0.4, 95, 125), (0.3, 130, 155), (0.3, 160, 180)),
             ((0.75, 50, 57), (0.25, 58, 66)), 55, size=0.82, bone=0.2, boned=0.5, above=0.5,
             probe="rib"),
        Kind("leg_of_lamb", 0.66, 0.185, 0.145, 2.4, 0.28, (1.3, 4.3), 1.35,
             ((0.25, 110, 130), (0.4, 135, 155), (0.35, 160, 182)),
             ((0.6, 55, 63), (0.4, 64, 74)), 60, size=0.86, bone=0.18, boned=0.65, above=0.6,
             glaze=(0.1, 45, 52), probe="leg"),
        Kind("whole_chicken", 0.66, 0.186, 0.15, 1.7, 0.25, (0.9, 3.2), 0.95,
             ((0.3, 115, 140), (0.4, 150, 170), (0.3, 175, 200)),
             ((1.0, 72, 77),), 50, size=0.72, cavity=0.35, skin=0.2,
             glaze=(0.3, 57, 66), probe="breast"),
        Kind("chicken_pieces", 0.69, 0.21, 0.09, 0.25, 0.33, (0.1, 0.5), 1.0,
             ((0.3, 120, 145), (0.4, 150, 175), (0.3, 176, 205)),
             ((0.7, 73.9, 78), (0.3, 79, 85)), 190, thick_m=0.035, thick_power=0.3, skin=0.22,
             glaze=(0.5, 57, 68), probe="thigh"),
        Kind("whole_turkey", 0.727, 0.216, 0.056, 5.9, 0.28, (3.3, 11.0), 1.05,
             ((0.25, 115, 135), (0.35, 140, 158), (0.4, 160, 180)),
             ((1.0, 71, 76),), 38, size=0.84, cavity=0.33, skin=0.2,
             glaze=(0.1, 55, 63), probe="breast"),
        Kind("turkey_breast", 0.745, 0.237, 0.017, 2.5, 0.28, (1.2, 4.2), 0.85,
             ((0.3, 110, 132), (0.35, 135, 155), (0.35, 158, 180)),
             ((1.0, 70, 75),), 66, size=0.76, cavity=0.15, skin=0.22,
             glaze=(0.45, 55, 63), probe="breast"),
        Kind("duck", 0.49, 0.115, 0.39, 2.3, 0.18, (1.5, 3.3), 0.95,
             ((0.35, 115, 140), (0.4, 145, 165), (0.25, 170, 190)),
             ((0.6, 72, 76), (0.4, 77, 83)), 60, size=1.25, cavity=0.33, skin=0.2,
             glaze=(0.4, 57, 66), probe="breast"),
        Kind("goose", 0.50, 0.16, 0.335, 4.4, 0.2, (2.9, 6.5), 0.95,
             ((0.3, 125, 145), (0.7, 150, 180)),
             ((0.7, 72, 76), (0.3, 77, 82)), 42, size=0.92, cavity=0.36, skin=0.2,
             glaze=(0.1, 57, 64), probe="breast"),
        Kind("salmon_side", 0.65, 0.205, 0.135, 1.2, 0.30, (0.5, 2.3), 1.0,
             ((0.45, 82, 108), (0.35, 110, 130), (0.2, 135, 165)),
             ((0.6, 52, 58), (0.4, 59, 63)), 55, thick_m=0.031, thick_power=0.2, below=0.15,
             glaze=(0.4, 42, 50), probe="salmon"),
        Kind("other", 0.68, 0.19, 0.12, 2.0, 0.45, (0.4, 6.0), 1.0,
             ((0.4, 107, 130), (0.3, 135, 155), (0.3, 160, 180)),
             ((0.6, 60, 75), (0.4, 76, 93)), 75, skin=0.9, glaze=(0.2, 50, 58),
             shapes=("slab", "cylinder", "ball")),
    )
}  # fmt: skip
