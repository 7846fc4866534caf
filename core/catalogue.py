"""The cut catalogue: geometry, composition, usual temperatures and published minimum of each cut.

Sources
-------
Composition: USDA National Nutrient Database for Standard Reference, the food named in each entry;
``ash`` is the remainder to 100 % or the usual 1 %.
Minimum temperatures: FSIS, Safe Minimum Internal Temperature Chart, updated 2025-04-14.
Usual targets, glaze temperatures and rests: common practice, no source.
Geometry: see :mod:`core.prior`, which centres it on the published roasting times.
"""

from __future__ import annotations

from dataclasses import dataclass

from core.cook import Plan, Shape
from core.errors import InvalidValue, UnknownCut

FSIS_CHART = "FSIS Safe Minimum Internal Temperature Chart, updated 2025-04-14"
SHAPE_EXPONENT = {Shape.SLAB: 0.0, Shape.CYLINDER: 1.0, Shape.BALL: 2.0}


@dataclass(frozen=True, slots=True)
class Composition:
    """Mass fractions; they sum to one."""

    water: float
    protein: float
    fat: float
    ash: float
    carbohydrate: float = 0.0

    @classmethod
    def of_percent(cls, water: float, protein: float, fat: float, ash: float = 1.0) -> Composition:
        """From percentages, renormalised: independent assays do not sum to 100."""
        total = water + protein + fat + ash
        return cls(water / total, protein / total, fat / total, ash / total)


@dataclass(frozen=True, slots=True)
class Minimum:
    """A published minimum internal temperature and the rest that goes with it."""

    temp_c: float
    temp_f: float
    rest_s: float
    food: str
    source: str = FSIS_CHART


RAW_RED_MEAT = Minimum(62.8, 145.0, 180.0, "beef, pork, veal and lamb steaks, chops, roasts")
POULTRY = Minimum(73.9, 165.0, 0.0, "all poultry")
HAM = Minimum(62.8, 145.0, 180.0, "ham, fresh or smoked, uncooked")
COOKED_HAM = Minimum(60.0, 140.0, 0.0, "fully cooked ham, reheated, packed in an inspected plant")
OTHER_COOKED_HAM = Minimum(73.9, 165.0, 0.0, "fully cooked ham, reheated, any other")
FISH = Minimum(62.8, 145.0, 0.0, "fish and shellfish")


@dataclass(frozen=True, slots=True)
class Cut:
    """One entry of the catalogue.

    Attributes
    ----------
    key, name : str
        Key as in the cook document, name as a cook says it.
    species : str
        ``pork``, ``beef``, ``lamb``, ``chicken``, ``turkey``, ``waterfowl``, ``fish`` or ``other``.
    composition : Composition
    shape_exponent : float
        0 slab, 1 cylinder, 2 ball; between them for bodies between.
    half_thickness_m : float
        Of a piece of `typical_mass_kg` [m].
    mass_exponent : float
        How the half-thickness grows with mass (1/3 for similar bodies).
    typical_mass_kg, mass_low_kg, mass_high_kg : float
        Default weight and the range that is offered without a question [kg].
    evaporation : float
        Share of a bare wet surface's evaporation (skin and fat lower it).
    pit_c, target_c : float
        Usual pit and target [°C].
    glaze_c, wrap_c : float or None
        Usual trigger temperatures [°C].
    rest_s : float
        Usual rest [s].
    minimum : Minimum
        Published minimum.
    """

    key: str
    name: str
    species: str
    composition: Composition
    shape_exponent: float
    half_thickness_m: float
    mass_exponent: float
    typical_mass_kg: float
    mass_low_kg: float
    mass_high_kg: float
    evaporation: float
    pit_c: float
    target_c: float
    glaze_c: float | None
    wrap_c: float | None
    rest_s: float
    minimum: Minimum


_CUTS = (
    # USDA SR: Pork, fresh, shoulder (Boston butt), blade, lean and fat, raw
    Cut("pork_shoulder", "pork shoulder", "pork", Composition.of_percent(69.18, 17.42, 12.36),
        1.3, 0.0802, 1 / 3, 3.5, 1.2, 7.0, 0.6, 120.0, 95.0, None, None, 3600.0, RAW_RED_MEAT),
    # USDA SR: Pork, fresh, loin, whole, lean and fat, raw
    Cut("pork_loin", "pork loin", "pork", Composition.of_percent(66.92, 19.74, 12.58),
        1.0, 0.0450, 1 / 3, 1.8, 0.6, 4.0, 0.75, 150.0, 63.0, None, None, 600.0, RAW_RED_MEAT),
    # USDA SR: Pork, fresh, spareribs, lean and fat, raw
    Cut("pork_ribs", "pork ribs", "pork", Composition.of_percent(59.75, 15.47, 23.40),
        0.1, 0.0146, 0.15, 1.4, 0.5, 3.0, 0.75, 120.0, 93.0, 82.0, None, 600.0, RAW_RED_MEAT),
    # USDA SR: Pork, fresh, leg (ham), whole, lean and fat, raw
    Cut("ham", "ham", "pork", Composition.of_percent(62.47, 17.43, 18.87),
        1.4, 0.0891, 1 / 3, 5.0, 1.5, 9.0, 0.5, 150.0, 63.0, 50.0, None, 900.0, HAM),
    # USDA SR: Beef, brisket, whole, lean and fat, trimmed to 1/8 in, raw
    Cut("beef_brisket", "beef brisket", "beef", Composition.of_percent(61.08, 18.42, 19.06),
        0.4, 0.0387, 1 / 3, 5.0, 1.5, 8.5, 0.6, 115.0, 95.0, None, 74.0, 3600.0, RAW_RED_MEAT),
    # USDA SR: Beef, chuck, arm pot roast, lean and fat, raw (nearest entry held here)
    Cut("beef_rib_roast", "beef rib roast", "beef", Composition.of_percent(62.33, 19.23, 17.98),
        1.1, 0.0584, 1 / 3, 3.2, 1.2, 7.0, 0.75, 150.0, 57.0, None, None, 1200.0, RAW_RED_MEAT),
    # USDA SR: Lamb, domestic, leg, whole, lean and fat, trimmed to 1/8 in, raw
    Cut("leg_of_lamb", "leg of lamb", "lamb", Composition.of_percent(66.38, 18.47, 14.42),
        1.3, 0.05750, 1 / 3, 2.5, 1.2, 4.5, 0.75, 150.0, 63.0, None, None, 1200.0, RAW_RED_MEAT),
    # USDA SR: Chicken, broilers or fryers, meat and skin, raw
    Cut("whole_chicken", "whole chicken", "chicken", Composition.of_percent(65.99, 18.60, 15.06),
        1.3, 0.0480, 1 / 3, 1.8, 0.9, 3.5, 0.25, 165.0, 74.0, 63.0, None, 900.0, POULTRY),
    # USDA SR: Chicken, broilers or fryers, breast, meat and skin, raw
    Cut("chicken_pieces", "chicken pieces", "chicken", Composition.of_percent(69.46, 20.85, 9.25),
        0.6, 0.0206, 0.25, 0.25, 0.08, 0.6, 0.25, 165.0, 74.0, 63.0, None, 300.0, POULTRY),
    # USDA SR: Turkey, whole, meat and skin, raw. Big birds are broader rather than thicker: the
    # timetables and Chang 1998 grow slower with mass than similar bodies would.
    Cut("whole_turkey", "whole turkey", "turkey", Composition.of_percent(72.69, 21.64, 5.64),
        1.4, 0.0700, 0.28, 6.0, 3.0, 12.0, 0.25, 163.0, 74.0, None, None, 1800.0, POULTRY),
    # USDA SR: Turkey, breast, meat only, raw
    Cut("turkey_breast", "turkey breast", "turkey", Composition.of_percent(74.89, 23.66, 1.48),
        1.4, 0.0572, 1 / 3, 2.5, 1.0, 4.5, 0.25, 160.0, 74.0, 60.0, None, 1200.0, POULTRY),
    # USDA SR: Duck, domesticated, meat and skin, raw
    Cut("duck", "duck", "waterfowl", Composition.of_percent(48.50, 11.49, 39.34),
        1.3, 0.0660, 1 / 3, 2.3, 1.4, 3.5, 0.25, 160.0, 74.0, 62.0, None, 900.0, POULTRY),
    # USDA SR: Goose, domesticated, meat and skin, raw
    Cut("goose", "goose", "waterfowl", Composition.of_percent(49.66, 15.86, 33.62),
        1.3, 0.0657, 1 / 3, 4.5, 2.8, 7.0, 0.25, 160.0, 74.0, None, None, 1200.0, POULTRY),
    # USDA SR: Fish, salmon, Atlantic, farmed, raw
    Cut("salmon_side", "salmon side", "fish", Composition.of_percent(64.89, 20.42, 13.42),
        0.1, 0.0113, 0.2, 1.2, 0.4, 2.5, 0.75, 110.0, 63.0, 52.0, None, 300.0, FISH),
    # Composition as lean pork shoulder; shape and thickness come from the plan
    Cut("other", "other", "other", Composition.of_percent(69.18, 17.42, 12.36),
        1.0, 0.050, 0.0, 2.0, 0.1, 15.0, 0.75, 140.0, 74.0, None, None, 900.0, POULTRY),
)  # fmt: skip

CUTS = {cut.key: cut for cut in _CUTS}


def cut_named(key: str) -> Cut:
    """The catalogue's entry for `key`; raises UnknownCut."""
    try:
        return CUTS[key]
    except KeyError:
        raise UnknownCut(key, tuple(CUTS)) from None


@dataclass(frozen=True, slots=True)
class Body:
    """The effective body of one planned piece: shape exponent and half-thickness [m]."""

    shape_exponent: float
    half_thickness_m: float


def body_of(plan: Plan) -> Body:
    """Geometry that the catalogue, the weight and, for ``other``, the typed size give.

    Raises
    ------
    UnknownCut
    InvalidValue
        Mass not positive, or ``other`` without shape and thickness.
    """
    cut = cut_named(plan.cut)
    if not 0.02 <= plan.mass_kg <= 60.0:
        raise InvalidValue("mass_kg", plan.mass_kg, "0.02 to 60 kg")
    if cut.key == "other":
        if plan.shape is None or plan.thickness_m is None:
            raise InvalidValue("plan", "no shape or thickness", "both, for the cut 'other'")
        if not 0.005 <= plan.thickness_m <= 0.6:
            raise InvalidValue("thickness_m", plan.thickness_m, "0.005 to 0.6 m")
        return Body(SHAPE_EXPONENT[plan.shape], plan.thickness_m / 2.0)
    growth = (plan.mass_kg / cut.typical_mass_kg) ** cut.mass_exponent
    return Body(cut.shape_exponent, cut.half_thickness_m * growth)
