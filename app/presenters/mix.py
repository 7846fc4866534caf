"""A brine, rub or glaze in words: strength, where that lies, time, salt for the meat, cautions."""

from __future__ import annotations

from dataclasses import dataclass

from app.display import Display, plain_number, rough_span
from app.mix_lines import MixText
from core.brine import (
    DRY_SOURCE,
    SATURATED_PCT,
    SATURATED_SOURCE,
    USUAL_HIGH_PCT,
    USUAL_LOW_PCT,
    USUAL_SOURCE,
    Place,
    Strength,
    dry_salt_g,
    dry_time,
    salt_weight_g,
    strength,
    wet_time,
)
from core.cook import Plan
from core.ingredients import BY_WEIGHT, COMMON, SOLVENTS, weight_of

COLD = "Keep the meat and its brine at or below 4 °C / 40 °F all the time."
WASH = "Wash your hands and all that raw meat or brine has touched."
CAUTION_WORDS = {
    "keep_cold": COLD,
    "keep_meat_cold": "Keep raw meat at or below 4 °C / 40 °F.",
    "never_reuse": "Never use a brine again: throw it away.",
    "wash_what_it_touched": WASH,
    "label_says_solution": "A label that names a salt solution means the meat is brined already.",
    "salt_kind_unknown": (
        "Salts differ by a factor of two by volume: weigh it, or say table, flaky or dense kosher."
    ),
    "does_not_dissolve": "So much salt does not dissolve in this water.",
    "some_not_counted": "Lines of unknown weight are not counted.",
}
STANDING = (
    "Keep it at or below 4 °C / 40 °F; never use a brine again; wash your hands and all it touched."
)
"""The cautions that stay on the screen."""

CURING = (
    "Curing salt holds nitrite, which is poisonous beyond a small dose. It is not counted as salt "
    "here; follow its maker's dose to the gram."
)
KINDS = ("brine", "rub", "glaze")


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that is worked out, and where its numbers are from; empty if by weight alone."""

    label: str
    text: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class MixView:
    """A mix in finished words.

    `lines` are the ingredients as they are read, `errors` those that cannot be read.
    """

    kind: str
    lines: tuple[str, ...]
    facts: tuple[Fact, ...]
    cautions: tuple[str, ...]
    errors: tuple[str, ...]


def guessed_kind(mix: MixText) -> str:
    """What it is, if nobody says: a brine has water or another liquid in it."""
    found = [line.ingredient for line in mix.lines if line.ingredient is not None]
    liquid_g = sum(
        weight.middle_g
        for each in found
        if each.kind in SOLVENTS and (weight := weight_of(each)) is not None
    )
    return "brine" if liquid_g >= 500.0 else "rub"


def present_mix(
    mix: MixText,
    display: Display,
    *,
    kind: str = "",
    meat_kg: float | None = None,
    plan: Plan | None = None,
) -> MixView:
    """The mix in words.

    Parameters
    ----------
    mix : MixText
    display : Display
    kind : str
        One of `KINDS`; empty: by what is in it.
    meat_kg : float, optional
        The meat it is made for.
    plan : Plan, optional
        The piece, for the time in the brine.
    """
    kind = kind or guessed_kind(mix)
    errors = tuple(f"line {index + 1}: {message}" for index, message in mix.errors)
    curing = (CURING,) if any(line.curing for line in mix.lines) else ()
    if not mix.lines:
        return MixView(kind, (), (), (), errors)
    wet = kind == "brine" and _has_liquid(mix)
    if wet:
        found = strength(mix.mix(meat_kg))
        facts = _brine_facts(mix, found, display, meat_kg, plan)
        keys: tuple[str, ...] = found.cautions
    else:
        facts = _dry_facts(mix, display, meat_kg, plan, brine=kind == "brine")
        keys = ("keep_meat_cold", "wash_what_it_touched", "label_says_solution")
    if "some_not_counted" not in keys and _uncounted(mix):
        keys = (*keys, "some_not_counted")
    cautions = (*curing, *(CAUTION_WORDS[key] for key in keys))
    return MixView(kind, mix.texts, facts, cautions, errors)


def _has_liquid(mix: MixText) -> bool:
    return any(line.ingredient is not None and line.ingredient.kind in SOLVENTS
               for line in mix.lines)  # fmt: skip


def _uncounted(mix: MixText) -> bool:
    return any("salt" in line.name.lower() and line.ingredient is None for line in mix.lines)


def _percent(low: float, high: float) -> str:
    first, last = (plain_number(each, 1) for each in (low, high))
    return f"{first} %" if first == last else f"{first} to {last} %"


def _grams(low: float, high: float) -> str:
    first, last = (plain_number(each, 0) for each in (low, high))
    return f"{first} g" if first == last else f"{first} to {last} g"


def _brine_facts(
    mix: MixText, found: Strength, display: Display, meat_kg: float | None, plan: Plan | None
) -> tuple[Fact, ...]:
    plain = (BY_WEIGHT, USUAL_SOURCE, COMMON)
    sources = [source for source in found.sources if source not in plain]
    facts = [Fact("strength", f"{_percent(found.low_pct, found.high_pct)} salt by weight",
                  "; ".join(sources)), _place(found), *_for_this_water(mix, found)]  # fmt: skip
    if found.sugar_pct >= 0.05:
        source = COMMON if COMMON in found.sources else ""
        facts.append(Fact("sugar", f"{plain_number(found.sugar_pct, 1)} % by weight", source))
    if found.evened_pct is not None and meat_kg is not None:
        facts.append(
            Fact("with the meat", f"{plain_number(found.evened_pct, 1)} % salt if it spread evenly "
                 f"over brine and {display.mass(meat_kg)} of meat, which takes longer than a soak")
        )  # fmt: skip
    if plan is not None and found.place is not Place.NO_SALT:
        soak = wet_time(plan)
        words = f"{rough_span(soak.low_s)} to {rough_span(soak.high_s)}{_pace(found.place)}"
        if rough_span(soak.low_s) == rough_span(soak.high_s):
            words = f"about {rough_span(soak.low_s)}{_pace(found.place)}"
        facts.append(Fact("time", words, soak.source))
    return tuple(facts)


def _pace(place: Place) -> str:
    """What another strength does to the time: common practice, no source."""
    if place is Place.BELOW_USUAL:
        return "; a weak brine takes the longer end"
    return "; a strong brine the shorter end" if place is Place.ABOVE_USUAL else ""


def _place(found: Strength) -> Fact:
    usual = f"the usual {_percent(USUAL_LOW_PCT, USUAL_HIGH_PCT)}"
    words = {
        Place.NO_SALT: f"no salt in it; {usual[4:]} is usual",
        Place.BELOW_USUAL: f"weaker than {usual}",
        Place.USUAL: f"within {usual}",
        Place.ABOVE_USUAL: f"stronger than {usual}",
        Place.BEYOND_SATURATED: f"beyond the {plain_number(SATURATED_PCT, 1)} % that dissolves",
    }[found.place]
    source = SATURATED_SOURCE if found.place is Place.BEYOND_SATURATED else USUAL_SOURCE
    return Fact("which is", words, source)


def _for_this_water(mix: MixText, found: Strength) -> tuple[Fact, ...]:
    """How much salt would be usual for the water that is in it."""
    if found.place is Place.USUAL:
        return ()
    water_g = sum(
        weight.middle_g
        for line in mix.lines
        if line.ingredient is not None
        and line.ingredient.kind in SOLVENTS
        and (weight := weight_of(line.ingredient)) is not None
    )
    low, high = (water_g * pct / (100.0 - pct) for pct in (USUAL_LOW_PCT, USUAL_HIGH_PCT))
    return (Fact("usual here", f"{_grams(low, high)} of salt for this water"),)


def _dry_facts(
    mix: MixText, display: Display, meat_kg: float | None, plan: Plan | None, *, brine: bool
) -> tuple[Fact, ...]:
    facts = []
    if brine:
        facts.append(Fact("strength", "none: there is no water in it"))
    low, high = salt_weight_g(mix.mix(meat_kg))
    if high <= 0.0:
        return (*facts, Fact("salt", "none that is counted"))
    words = _grams(low, high)
    if meat_kg is None:
        return (*facts, Fact("salt", words))
    share = _percent(0.1 * low / meat_kg, 0.1 * high / meat_kg)
    facts.append(Fact("salt", f"{words} on {display.mass(meat_kg)} of meat, {share} of its weight"))
    usual = _grams(*dry_salt_g(meat_kg))
    facts.append(Fact("dry brine", f"{usual} of kosher salt would be the published amount",
                      f"{DRY_SOURCE}: a tablespoon for 5 lb of turkey"))  # fmt: skip
    if plan is not None:
        soak = dry_time(plan)
        facts.append(Fact("time", f"{rough_span(soak.low_s)} to {rough_span(soak.high_s)} in the "
                          "refrigerator under salt", soak.source))  # fmt: skip
    return tuple(facts)


def mix_text(view: MixView, *, ingredients: bool = True) -> str:
    """The mix as plain text; without its ingredients where they stand beside it."""
    lines = [view.kind, *(f"  {line}" for line in view.lines)] if ingredients else []
    lines += [f"! {error}" for error in view.errors]
    for fact in view.facts:
        source = f" ({fact.source})" if fact.source else ""
        lines.append(f"{fact.label}: {fact.text}{source}")
    return "\n".join([*lines, *view.cautions])
