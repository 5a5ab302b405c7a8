"""What a recipe makes: serves 4, makes 12 muffins, 500 ml."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from costing.quantities import BATCH, PORTION, Measures
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.counts import count_at
from costing.recipe_text.doubts import Doubt, doubt
from costing.recipe_text.measured import WrittenAmount, measured_at, without_about

_WORDS = re.compile(
    r"^(?P<word>serves|serving|servings|portions?|makes|yields?|feeds|enough for|for)\b\s*:?\s*",
    re.IGNORECASE,
)
_PEOPLE = re.compile(
    r"\s*(?:servings?|portions?|people|persons?|adults|guests|serves)\b", re.IGNORECASE
)
_PORTIONS = ("serves", "serving", "servings", "portion", "portions", "feeds", "enough for", "for")
_NOUN = re.compile(r"[^\W\d_]")
_BRACKETS = re.compile(r"\([^()]*\)")
_YIELD_LINE = re.compile(
    r"^(?:(?:serves|makes|yields?|feeds|enough for)\b\s*:?\s*\S.*"
    r"|(?:servings?|portions?)\s*:?\s*(?:about )?[0-9].*"
    r"|for [^\W_]+ (?:people|persons)|for [0-9]+(?: ?[-–] ?[0-9]+)?(?: (?:people|persons))?"
    r"|[0-9]+(?: ?[-–] ?[0-9]+)? (?:servings?|portions?))\.?$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Makes:
    """What one batch makes.

    Parameters
    ----------
    amount, unit : str
        For the cells Makes and Unit; blank when it cannot be read.
    doubts : tuple of Doubt
        What is uncertain about it.
    """

    amount: str = ""
    unit: str = ""
    doubts: tuple[Doubt, ...] = ()


def is_yield_line(text: str) -> bool:
    """Whether a line says what the recipe makes.

    Examples
    --------
    >>> is_yield_line("Serves 4-6"), is_yield_line("4 eggs")
    (True, False)
    """
    return _YIELD_LINE.match(_outside(text)) is not None


def _outside(text: str) -> str:
    """A yield without brackets around all of it."""
    return text[1:-1].strip() if text[:1] == "(" and text[-1:] == ")" else text


def makes(text: str, measures: Measures) -> Makes:
    """Read a yield.

    Examples
    --------
    >>> made = makes("Makes about 500 ml", Measures.METRIC)
    >>> made.amount, made.unit
    ('500', 'ml')
    >>> made = makes("Serves 4", Measures.METRIC)
    >>> made.amount, made.unit
    ('4', 'portion')
    """
    text = _outside(text)
    word = _WORDS.match(text)
    rest = without_about((text[word.end() :] if word else text).strip())
    counted = count_at(rest)
    if counted is None or not counted[0].low:
        return Makes(doubts=(doubt(messages.yield_unreadable, text),))
    count, behind = counted
    said = word["word"].casefold() if word else ""
    measured = measured_at(rest, measures)
    unit = measured[0].unit if measured else None
    if measured and unit and unit.unit not in (PORTION, BATCH, None):
        count = measured[0].count
    else:
        unit = None
    amount = WrittenAmount(replace(count, high=count.low), unit)
    if not amount.amount or (not said and count.written.casefold() in ("a", "an")):
        return Makes(doubts=(doubt(messages.yield_unreadable, text),))
    doubts = [*count.doubts]
    if count.low != count.high:
        doubts.append(doubt(messages.yield_range, text, amount.amount))
    if unit is not None:
        return Makes(amount.amount, unit.shown, tuple(doubts))
    bare = not said and not _NOUN.search(_BRACKETS.sub("", behind))
    if bare:
        doubts.append(doubt(messages.yield_bare, text))
    people = bare or said in _PORTIONS or _PEOPLE.match(behind) is not None
    return Makes(amount.amount, "portion" if people else "each", tuple(doubts))
