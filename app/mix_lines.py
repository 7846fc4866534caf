"""Lines of a brine, rub or glaze as a cook writes them: ``120 g salt``, ``1 ½ cups brown sugar``.

Each line is an amount, a unit and a name, or a count and a name (``3 bay leaves``), or words alone.
What has no weight that is known stays a line all the same; it is only not counted.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from app.display import plain_number
from app.line.values import Refusal
from core.brine import Mix
from core.errors import InvalidValue
from core.ingredients import SALTS, SOLVENTS, SUGARS, Ingredient, Kind, Unit
from storage.errors import shown
from storage.limits import MIX_LINES

LONGEST = 120
AMOUNT_RULE = "an amount is 120, 1.5, 1,5, 1/2, 1 1/2 or ½"
UNIT_RULE = "units are g, kg, oz, lb, ml, l, tsp, tbsp, cup, pint, quart, gallon, fl oz"
VULGAR = {
    "¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4), "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3), "⅕": Fraction(1, 5), "⅖": Fraction(2, 5), "⅗": Fraction(3, 5),
    "⅘": Fraction(4, 5), "⅙": Fraction(1, 6), "⅚": Fraction(5, 6), "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
UNITS: dict[str, tuple[Unit, float]] = {
    **dict.fromkeys(("g", "gr", "gram", "grams", "gramme", "grammes"), (Unit.GRAM, 1.0)),
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), (Unit.KILOGRAM, 1.0)),
    **dict.fromkeys(("oz", "ounce", "ounces"), (Unit.OUNCE, 1.0)),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), (Unit.POUND, 1.0)),
    **dict.fromkeys(("ml", "millilitre", "millilitres", "milliliter", "milliliters"),
                    (Unit.MILLILITRE, 1.0)),
    "cl": (Unit.MILLILITRE, 10.0),
    "dl": (Unit.MILLILITRE, 100.0),
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), (Unit.LITRE, 1.0)),
    **dict.fromkeys(("tsp", "tsps", "teaspoon", "teaspoons"), (Unit.TEASPOON, 1.0)),
    **dict.fromkeys(("tbsp", "tbsps", "tbs", "tablespoon", "tablespoons"), (Unit.TABLESPOON, 1.0)),
    **dict.fromkeys(("cup", "cups"), (Unit.CUP, 1.0)),
    **dict.fromkeys(("pint", "pints", "pt"), (Unit.PINT, 1.0)),
    **dict.fromkeys(("quart", "quarts", "qt", "qts"), (Unit.QUART, 1.0)),
    **dict.fromkeys(("gallon", "gallons", "gal"), (Unit.GALLON, 1.0)),
    **dict.fromkeys(("fl oz", "fluid ounce", "fluid ounces"), (Unit.FLUID_OUNCE, 1.0)),
}  # fmt: skip
"""Words of units, and what one is in the unit that is kept."""

CURING = frozenset({"curing", "cure", "pink", "nitrite", "nitrate", "prague", "saltpetre"})
NOT_SALT = frozenset({"garlic", "onion", "celery", "seasoned", "seasoning", "soy", "unsalted"})
LIQUIDS = frozenset({
    "juice", "cider", "beer", "ale", "stock", "broth", "wine", "milk", "buttermilk", "tea",
    "coffee", "vinegar", "brew",
})  # fmt: skip
_NUMBER = re.compile(
    rf"(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)|(\d+)?\s*([{''.join(VULGAR)}])|(\d+(?:[.,]\d+)?)"
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_UNIT = re.compile(
    r"(?:" + "|".join(sorted(map(re.escape, UNITS), key=len, reverse=True)) + r")(?![a-z])\.?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class MixLine:
    """One line of a mix.

    Attributes
    ----------
    name : str
        What it is, in the words that were typed.
    ingredient : Ingredient or None
        With an amount and a unit; None for a count or words alone.
    count : float or None
        ``3`` of ``3 bay leaves``.
    unit_word : str
        The unit as it was typed.
    """

    name: str
    ingredient: Ingredient | None = None
    count: float | None = None
    unit_word: str = ""

    @property
    def curing(self) -> bool:
        """Whether it is a curing salt, which is no salt for a brine."""
        return bool(_words(self.name) & CURING) and "salt" in self.name.lower()

    def times(self, factor: float) -> MixLine:
        """The line for `factor` as much; words alone stay as they are."""
        if self.ingredient is not None:
            return replace(self, ingredient=self.ingredient.times(factor), unit_word="")
        return replace(self, count=None if self.count is None else self.count * factor)

    @property
    def text(self) -> str:
        """The line, spelled so that it is read the same again."""
        if self.ingredient is not None:
            unit = self.unit_word or self.ingredient.unit.value
            return f"{kitchen_number(self.ingredient.amount)} {unit} {self.name}".strip()
        if self.count is not None:
            return f"{kitchen_number(self.count)} {self.name}"
        return self.name


def kitchen_number(value: float) -> str:
    """An amount with three figures: ``0.125``, ``1.5``, ``120``; at least a thousandth."""
    value = max(value, 0.001)
    whole = len(str(int(value))) if value >= 1.0 else 0
    text = plain_number(value, max(3 - whole, 0))
    # three decimals behind a figure other than 0 would be taken for a thousands mark
    return plain_number(value, 2) if _THOUSANDS.fullmatch(text) else text


def read_mix_line(text: str) -> MixLine:
    """One line; raises Refusal."""
    clean = " ".join(text.split())
    if not clean:
        raise Refusal("found an empty line", "a line is an amount, a unit and a name: 120 g salt")
    if len(clean) > LONGEST or not clean.isprintable():
        raise Refusal(f"found {shown(clean)}", f"a line has up to {LONGEST} printable characters")
    match = _NUMBER.match(clean)
    if match is None:
        return MixLine(clean)
    rest = clean[match.end() :]
    if rest[:1] in ("-", "–", "/") or _THOUSANDS.fullmatch(match[6] or ""):
        raise Refusal(f"found {shown(clean)}", f"{AMOUNT_RULE}, one of them; not 1,000")
    amount = _amount(match, clean)
    rest = rest.strip()
    unit = _UNIT.match(rest)
    if unit is None:
        return _counted(amount, rest, clean)
    word = unit[0].rstrip(".")
    kept, factor = UNITS[word.lower()]
    name = rest[unit.end() :].strip()
    name = name[3:] if name.lower().startswith("of ") else name
    if not name:
        raise Refusal(f"found {shown(clean)}", "after the amount stands what it is: 120 g salt")
    try:
        ingredient = Ingredient(kind_of(name), amount * factor, kept, name)
    except InvalidValue as error:
        raise Refusal(f"found {shown(clean)}", f"an amount is {error.allowed}") from None
    return MixLine(name, ingredient, None, word if factor == 1.0 else "")


def _amount(match: re.Match[str], text: str) -> float:
    if match[3] is not None:
        if int(match[3]) == 0:
            raise Refusal(f"found {shown(text)}", AMOUNT_RULE)
        value = float(int(match[1] or 0) + Fraction(int(match[2]), int(match[3])))
    elif match[5] is not None:
        value = float(int(match[4] or 0) + VULGAR[match[5]])
    else:
        value = float(match[6].replace(",", "."))
    if not 0.0 < value < 1e5:
        raise Refusal(f"found {shown(text)}", "an amount is more than 0 and below 100000")
    return value


def _counted(amount: float, name: str, text: str) -> MixLine:
    """So many of something; salt, sugar and water need a unit."""
    if not name:
        raise Refusal(f"found {shown(text)}", "after the amount stands what it is: 120 g salt")
    if kind_of(name) in SALTS | SUGARS | SOLVENTS:
        raise Refusal(f"found {shown(text)}, without a unit", UNIT_RULE)
    return MixLine(name, None, amount)


def _words(name: str) -> set[str]:
    return set(re.findall(r"[a-z]+", name.lower()))


def kind_of(name: str) -> Kind:
    """The kind of an ingredient by its name; what is not known is ``OTHER``."""
    words = _words(name)
    if "salt" in words and not words & (CURING | NOT_SALT):
        return _salt_kind(words)
    if words & {"water", "ice"} and not words & {"rose", "orange"}:
        return Kind.WATER
    if "sugar" in words:
        brown = words & {"brown", "dark", "light", "muscovado", "demerara"}
        return Kind.BROWN_SUGAR if brown else Kind.WHITE_SUGAR
    if "honey" in words:
        return Kind.HONEY
    return Kind.LIQUID if words & LIQUIDS else Kind.OTHER


def _salt_kind(words: set[str]) -> Kind:
    if "flaky" in words or "flakes" in words or "flake" in words:
        return Kind.KOSHER_FLAKY
    if "kosher" in words:
        return Kind.KOSHER_DENSE if "dense" in words else Kind.KOSHER
    return Kind.TABLE_SALT if words & {"table", "fine", "iodised", "iodized"} else Kind.SALT


@dataclass(frozen=True, slots=True)
class MixText:
    """The lines of a mix that were read, and what is wrong with the others, by line from 0."""

    lines: tuple[MixLine, ...]
    errors: tuple[tuple[int, str], ...] = ()

    def mix(self, meat_kg: float | None) -> Mix:
        """What is counted of it, for so much meat."""
        counted = (line.ingredient for line in self.lines if line.ingredient is not None)
        return Mix(tuple(counted), meat_kg)

    def scaled(self, factor: float) -> MixText:
        """The whole mix, `factor` as much."""
        return MixText(tuple(line.times(factor) for line in self.lines), self.errors)

    @property
    def texts(self) -> tuple[str, ...]:
        """The lines spelled again."""
        return tuple(line.text for line in self.lines)


def read_mix(lines: Iterable[str]) -> MixText:
    """All lines; empty ones are left out, bad ones are told."""
    good: list[MixLine] = []
    errors: list[tuple[int, str]] = []
    for index, text in enumerate(lines):
        if not text.strip():
            continue
        try:
            good.append(read_mix_line(text))
        except Refusal as refusal:
            errors.append((index, refusal.error.message))
    if len(good) > MIX_LINES:
        errors.append((MIX_LINES, f"found {len(good)} lines; up to {MIX_LINES} are allowed"))
    return MixText(tuple(good), tuple(errors))
