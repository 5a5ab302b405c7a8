"""Amounts, packs, allergens and substitutes as somebody in a shop reads them."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from costing.buying.till import Bought
from costing.kitchen import Ingredient
from costing.names import key
from costing.quantities import (
    Amount,
    Measures,
    Unit,
    UnitNeedsSystem,
    find_unit,
    mixed,
    money_text,
    terminating,
)
from costing.report.tables import Value
from costing.shoot import Shoot
from costing.shoot.avoiding import Answer, allergens_of

SHORT_WORDS = {"teaspoon": "tsp", "tablespoon": "tbsp"} | {
    word: word for word in ("cup", "fl oz", "gill", "pint", "quart", "gallon")
}
"""Last words of units that differ by place, and how a cook writes them."""

SPOKEN_IN_PARTS = frozenset((*SHORT_WORDS, "each", "lb", "oz", "portion", "batch"))
"""Last words of units that are said in halves, thirds and quarters."""

PLURALS = {"cup": "s", "portion": "s", "batch": "es"}
"""Last words of units that are said in the plural, with what is set behind them."""

PARTS_SAID = (2, 3, 4, 8)
"""Denominators that a cook says."""

UNIT_ABOVE = {"g": ("kg", 1000), "ml": ("l", 1000), "oz": ("lb", 16)}
UNIT_BELOW = {"kg": ("g", 1000), "l": ("ml", 1000)}
"""The unit to say above or below one, and how many make it."""

EXACT_DIGITS, ROUNDED_DIGITS, MOST_PLACES = 4, 3, 6
"""A number of so many digits is said as it is, another rounded to so many, in so many places."""


@lru_cache(maxsize=4_096, typed=True)  # cell and note, and shots of one dish, say the same
def quantity(value: Value, unit: str, measures: Measures = Measures.METRIC) -> str:
    """An amount as a cook says it; a dash when unknown.

    Parameters
    ----------
    value : Fraction
        How many of the unit. [unit]
    unit : str
        Its name, such as ``US teaspoon``.
    measures : Measures
        Whose spoons and cups the bare words are; those of others keep their place's name.

    Examples
    --------
    >>> quantity(Fraction(20000, 9), "g"), quantity(Fraction(1, 40), "kg"), quantity(None, "g")
    ('2.22 kg', '25 g', '-')
    >>> quantity(Fraction(4), "US teaspoon", Measures.US_CUSTOMARY), quantity(Fraction(16), "oz")
    ('4 tsp', '1 lb')
    >>> quantity(Fraction(5, 2), "US cup", Measures.METRIC), quantity(Fraction(4, 3), "each")
    ('2 1/2 US cups', '1 1/3')
    >>> quantity(Fraction(3), "portion"), quantity(Fraction(3, 2), "batch")
    ('3 portions', '1 1/2 batches')
    """
    if not isinstance(value, Fraction):
        return "-"
    number, name = _convenient(value, unit)
    word = cooks_word(name, measures)
    if number > 1:
        word += next((more for end, more in PLURALS.items() if word.endswith(end)), "")
    last = next((end for end in SPOKEN_IN_PARTS if name.endswith(end)), "")
    return f"{_number(number, in_parts=bool(last))} {word}".rstrip()


def cooks_word(unit: str, measures: Measures) -> str:
    """A unit's short word, with the name of its place only where the setting means another.

    Examples
    --------
    >>> cooks_word("US fl oz", Measures.US_CUSTOMARY), cooks_word("US cup", Measures.METRIC)
    ('fl oz', 'US cup')
    """
    if unit == "each":
        return ""
    for last, short in SHORT_WORDS.items():
        if unit.endswith(f" {last}"):
            try:
                same = find_unit(short, measures).name == unit
            except UnitNeedsSystem:
                same = False
            return short if same else unit.removesuffix(last) + short
    return unit


def _convenient(value: Fraction, unit: str) -> tuple[Fraction, str]:
    """The same amount in the unit in which it is a handy number."""
    if unit in UNIT_ABOVE:
        larger, many = UNIT_ABOVE[unit]
        # ounces become pounds in wholes and halves only: 20 oz is no handier as 1 1/4 lb
        if abs(value) >= many and (unit != "oz" or (value / many).denominator <= 2):
            return value / many, larger
    if unit in UNIT_BELOW and 0 < abs(value) < 1:
        smaller, many = UNIT_BELOW[unit]
        return value * many, smaller
    return value, unit


def _number(value: Fraction, *, in_parts: bool) -> str:
    """A number in few digits, in parts of one where a cook says it so."""
    if in_parts and value.denominator in PARTS_SAID:
        return mixed(value)
    exact = terminating(value)
    if exact is not None and len(exact.as_tuple().digits) <= EXACT_DIGITS:
        return format(exact, "f")
    size, below, places = abs(value.numerator), value.denominator, 0
    while places < MOST_PLACES and 0 < size * 10**places < below * 10 ** (ROUNDED_DIGITS - 1):
        places += 1
    text = format(float(round(value, places)), f".{places}f")
    return text.rstrip("0").rstrip(".") if places else text


def amount_words(amount: Amount, measures: Measures) -> str:
    """An amount as a cook says it; see :func:`quantity`."""
    return quantity(amount.magnitude, amount.unit.name, measures)


def base_words(base: Fraction, unit: Unit, measures: Measures) -> str:
    """An amount in g, ml or pieces as a cook says it in a unit; see :func:`quantity`."""
    return quantity(base if unit.size == 1 else base / unit.size, unit.name, measures)


def buy_words(bought: Bought, measures: Measures) -> str:
    """Packs with what is in each; of loose goods the whole amount."""
    pack = bought.pack
    if pack.loose_step is not None:
        return amount_words(pack.loose_step * bought.count, measures)
    one = amount_words(pack.amount, measures)
    if one == "1":
        return str(bought.count)
    return one if bought.count == 1 else f"{bought.count} x {one}"


WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = (
    *("Jan", "Feb", "Mar", "Apr", "May", "Jun"),
    *("Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
)


def day_words(day: date) -> str:
    """A date as a person reads it, in English whatever the computer speaks.

    Examples
    --------
    >>> day_words(date(2031, 5, 9))
    'Fri 9 May 2031'
    """
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


NO_SHOP = "No shop given"
NOT_KNOWN = "not known yet"
READ_IT = "read the pack"
UNKNOWN = f"unknown: {READ_IT}"
READ_THE_PACK = f"may be incomplete: {READ_IT}"
NOTHING_LISTED = f"{Answer.NOTHING_LISTED}: {READ_IT}"


def allergens_text(ingredient: Ingredient, filled: Collection[str]) -> str:
    """The allergens of an ingredient; those taken from tables say so.

    ``filled``: keys of ingredients whose allergens were taken from tables.
    """
    if ingredient.allergens is None:
        return UNKNOWN
    words = ", ".join(ingredient.allergens)
    if key(ingredient.name) in filled:
        return f"{words}; {READ_THE_PACK}" if words else NOTHING_LISTED
    return words or "none given"


def substitute_text(ingredient: Ingredient, shoot: Shoot) -> str:
    """The substitutes of an ingredient, each with the allergens it newly brings.

    Parameters
    ----------
    ingredient : Ingredient
        Whose; several substitutes are parted by semicolons.
    shoot : Shoot
        Whose rows and whose list are used first; what they leave blank is taken from tables.
    """
    has = {key(word) for word in ingredient.allergens or ()}
    return "; ".join(_with_new(name, has, shoot) for name in ingredient.substitutes)


def _with_new(name: str, has: Collection[str], shoot: Shoot) -> str:
    brought = allergens_of(name, shoot)
    if brought is None:
        return f"{name}: allergens {UNKNOWN}"
    new = [word for word in brought if key(word) not in has]
    return f"{name}: brings {', '.join(new)}" if new else name


def at_least(known: Decimal, missing: object, currency: str | None) -> str:
    """A sum of money; the least it is, where anything is missing from it.

    Examples
    --------
    >>> at_least(Decimal("3.20"), (), "EUR"), at_least(Decimal("3.20"), ["leek"], "EUR")
    ('3.20 EUR', 'at least 3.20 EUR')
    """
    return f"{'at least ' if missing else ''}{money_text(known, currency)}"


def till_words(left: Decimal) -> str:
    """Why a left value is below 0: what is used is valued before the tills round.

    Examples
    --------
    >>> till_words(Decimal("0.00")), till_words(Decimal("-0.01"))
    ('', '; below 0 where the tills rounded down')
    """
    return "; below 0 where the tills rounded down" if left < 0 else ""
