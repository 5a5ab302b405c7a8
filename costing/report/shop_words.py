"""Amounts, packs, allergens and substitutes as somebody in a shop reads them."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from fractions import Fraction

from costing.kitchen import Ingredient
from costing.names import key
from costing.reference import Filled, fill
from costing.report.tables import Row, Value
from costing.shoot import Shoot


def quantity(value: Value, unit: str) -> str:
    """An amount as a cook reads it: at most two digits after the point, three below one.

    Examples
    --------
    >>> quantity(Fraction(20000, 9), "g"), quantity(Fraction(1, 40), "kg"), quantity(None, "g")
    ('2222.22 g', '0.025 kg', '-')
    """
    if not isinstance(value, Fraction):
        return "-"
    digits = 2 if abs(value) >= 1 else 3
    text = format(float(round(value, digits)), f".{digits}f").rstrip("0").rstrip(".")
    return f"{text} {unit}"


def packs(row: Row) -> str:
    """How many packs of what, for a row of To buy; ``?`` where no pack is known."""
    number, amount = row["packs"], row["pack_amount"]
    if number is None:
        return "?"
    if amount == 1 and row["unit"] == "each":
        return f"{number} each"
    return f"{number} x {quantity(amount, str(row['unit']))}"


UNKNOWN = "unknown: read the pack"
READ_THE_PACK = "may be incomplete: read the pack"


def allergens_text(ingredient: Ingredient, filled: Collection[str]) -> str:
    """The allergens of an ingredient; those taken from tables say so.

    Parameters
    ----------
    ingredient : Ingredient
        Whose.
    filled : collection of str
        Keys of ingredients whose allergens were taken from tables.
    """
    if ingredient.allergens is None:
        return UNKNOWN
    words = ", ".join(ingredient.allergens) or "none given"
    return f"{words}; {READ_THE_PACK}" if key(ingredient.name) in filled else words


def substitute_text(ingredient: Ingredient, shoot: Shoot) -> str:
    """The substitutes of an ingredient, each with the allergens it newly brings.

    Parameters
    ----------
    ingredient : Ingredient
        Whose; several substitutes are parted by semicolons.
    shoot : Shoot
        Whose rows and whose list are used first; what they leave blank is taken from tables.
    """
    named = (" ".join(part.split()) for part in ingredient.substitute.split(";"))
    has = {key(word) for word in ingredient.allergens or ()}
    return "; ".join(_with_new(name, has, shoot) for name in named if name)


def _with_new(name: str, has: Collection[str], shoot: Shoot) -> str:
    brought = _brought(name, shoot)
    if brought is None:
        return f"{name}: allergens {UNKNOWN}"
    new = [word for word in brought if key(word) not in has]
    return f"{name}: brings {', '.join(new)}" if new else name


def _brought(name: str, shoot: Shoot) -> tuple[str, ...] | None:
    """What a food brings; ``None`` is unknown."""
    typed = shoot.ingredient(name).allergens
    if typed is not None:
        return typed
    found = fill(name, "Allergens", allergen_list=str(shoot.settings.allergen_list))
    if isinstance(found, Filled) and isinstance(found.value, tuple):
        return tuple(_words(found.value))
    return None


def _words(values: tuple[object, ...]) -> Iterator[str]:
    return (str(value) for value in values)
