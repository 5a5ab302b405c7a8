"""A number with its unit, also in two parts: 200 g, 2-3 tbsp, 1 lb 4 oz, 1 cup plus 2 tbsp."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from costing.quantities import EACH, Dimension, Measures, UnreadableNumber, read_number
from costing.quantities.numbers import LONGEST_NUMBER, AmbiguousNumber
from costing.recipe_text import messages
from costing.recipe_text.counts import Count, and_part, count_at, number_text
from costing.recipe_text.messages import Doubt, doubt
from costing.recipe_text.unit_words import UnitWord, unit_at, unit_word
from costing.recipe_text.words import ABOUT, OR, TO
from costing.reference import Filled, fill

_ABOUT_WORDS = "|".join(sorted(ABOUT, key=len, reverse=True))
_ABOUT = re.compile(
    rf"(?:(?:up to|at least|at most|no more than|not more than|a minimum of|a maximum of"
    rf"|(?:just |a little )?(?:over|under)|more or less|(?:less|more|fewer) than|{_ABOUT_WORDS})"
    r"\b\.? ?|[~≈±] ?)"
    r"(?=.*[0-9½¼¾⅓⅔]|an? |half|one )",
    re.IGNORECASE,
)
_PLUS = re.compile(r" ?(?:\+|\b(?:plus|and)\b|&) ?", re.IGNORECASE)
_MINUS = re.compile(r" ?\b(?:minus|less)\b ?", re.IGNORECASE)
_OF_WEIGHT = re.compile(
    r"(?P<what>[0-9½¼¾⅓⅔].*\w) (?:de|of|von|da|di|van|av|på|à|zu je|weighing) (?P<much>.*[0-9].*)",
    re.IGNORECASE,
)
_TO = re.compile(
    rf" ?[-‐–—] ?| (?:{'|'.join(sorted(TO))}|(?P<or>{'|'.join(sorted(OR))})) ", re.IGNORECASE
)
_EACH = re.compile(r" ?\b(?:each|ea\.?|apiece|a piece|per [^\W\d_]+)\b(?: one)?", re.IGNORECASE)
_PACKED = re.compile(r"([0-9¼½¾⅓⅔])\s+(?:(?:loosely|lightly|firmly|tightly|well)\s+)?packed(?=\s)")
_EACH_IN_FRONT = re.compile(r"each\b(?: (?:one|of|weighing|containing))*:? ?", re.IGNORECASE)
_TOTAL = re.compile(r" ?\b(?:in total|total|altogether|in all|total weight)\b", re.IGNORECASE)
_STATE = re.compile(
    r" ?\b(?P<so>(?:weighed )?as bought)\b"
    r"| ?\b(?:(?P<cooked>cooked)|(?P<bought>unpeeled|unprepared|untrimmed|unshelled|gross"
    r"|before (?:peeling|trimming|cleaning|shelling))|peeled|prepared|trimmed|drained|shelled|net"
    r"|raw|dry|dried)(?: weight|(?<=ing))(?: of\b)?",
    re.IGNORECASE,
)
"""In which state a weight was taken, where the line says so."""


COOKBOOK_ROUNDING = Fraction(5, 100)
"""So far apart lie 250 ml and 1 cup of the same recipe. [of 1]"""

# no slash or comma of a number: (14 1/2-ounce), (1,5 kg)
_SEVERAL = re.compile(r"\s*(?:[;=]|(?<![0-9])[/,]|[/,](?![0-9]))\s*|\s+or\s+", re.IGNORECASE)

STICK = "stick of butter"
"""A weight that recipes write beside cups and spoons."""

SPOONS_OF_A_STICK = 8
"""Of the US, as its wrapper is marked; so 113 g over the 14.2 g of a spoon, usda-sr28. [tbsp]"""

_STICK = re.compile(r" ?sticks?\b(?: of)?(?=.*\b(?:butter|margarine)\b)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class WrittenAmount:
    """An amount as a line says it.

    Parameters
    ----------
    unit : UnitWord, optional
        ``None``: pieces.
    each : bool
        Whether it is said of each of several.
    total : bool
        Whether it is said of all of them together.
    state : str
        For the Measured cell, where the line says in which state it was weighed.
    """

    count: Count
    unit: UnitWord | None = None
    each: bool = False
    total: bool = False
    state: str = ""
    doubts: tuple[Doubt, ...] = ()

    @property
    def amount(self) -> str:
        """For the Amount cell; blank when it cannot be written so that it can be read again."""
        low, high = self.count.low, self.count.high
        return "" if low is None or high is None else _range_text(low, high, self.count.decimal)

    @property
    def unit_shown(self) -> str:
        """For the Unit cell."""
        return "each" if self.unit is None else self.unit.shown

    def __str__(self) -> str:
        return f"{self.amount or self.count.written.strip()} {self.unit_shown}".strip()

    @property
    def rank(self) -> int:
        """0 for a weight, 1 for a volume that is the same everywhere, 2 for the rest."""
        if self.count.low is None:
            return 3
        if self.unit is None or self.unit.unit is None:
            return 2
        # a stick is a weight only where butter is sold in sticks, so it gives way to grams beside
        # it
        if self.unit.weighs:
            return 2 if self.unit.shown == STICK else 0
        return 1 if self.unit.exact_volume else 2

    def agrees_with(self, other: WrittenAmount) -> bool:
        """Whether two amounts are one in two units, but for the rounding of a cookbook."""
        if str(self) == str(other):
            return True
        mine, its = self._sizes(), other._sizes()
        shared = next(iter(mine.keys() & its.keys()), None)
        low, others = self.count.low, other.count.low
        if not (shared and low and others):
            return False
        same_ends = (low == self.count.high) is (others == other.count.high)
        return (
            same_ends and abs(others * its[shared] / (low * mine[shared]) - 1) <= COOKBOOK_ROUNDING
        )

    def stands_again_in(self, text: str, measures: Measures) -> bool:
        """Whether a text goes on with the same amount in another system: 1 kg 2 1/4 lb."""
        found = measured_at(text, measures) if re.match(" [0-9¼½¾⅓⅔]", text) else None
        units = (self.unit, found[0].unit if found else None)
        if found is None or any(unit is None or unit.unit is None for unit in units):
            return False
        weighs = {unit.weighs for unit in units if unit is not None}
        return len(weighs) == 2 or self.agrees_with(found[0])

    def _sizes(self) -> dict[Dimension, Fraction]:
        """How much one of its unit is; of a stick its volume too, by what butter weighs."""
        if self.unit is None or self.unit.unit is None:
            return {}
        sizes = {self.unit.unit.dimension: self.unit.unit.size}
        density = fill("butter", "Grams per ml") if self.unit.shown == STICK else None
        if isinstance(density, Filled) and isinstance(density.value, Fraction):
            sizes[Dimension.VOLUME] = self.unit.unit.size / density.value
        return sizes

    def times(self, count: Count) -> WrittenAmount:
        """Give it for several."""
        ends, many = self.count.ends, count.ends
        if ends is None or many is None:
            return self._of(None, None, count)
        return self._of(ends[0] * many[0], ends[1] * many[1], count)

    def minus(self, other: WrittenAmount) -> WrittenAmount | None:
        """Give what is left in this one's unit, ``None`` when that is nothing or not known."""
        ends = other.count.ends
        less = None if ends is None else self.plus(other._of(-ends[1], -ends[0], other.count))
        return less if less and less.count.low and less.count.low > 0 else None

    def plus(self, other: WrittenAmount) -> WrittenAmount | None:
        """Give the sum in this one's unit, ``None`` when the two cannot be added."""
        mine, its = (m.unit.unit if m.unit else EACH for m in (self, other))
        ends, more = self.count.ends, other.count.ends
        if not (mine and its and ends and more) or mine.dimension is not its.dimension:
            return None
        part = its.size / mine.size
        return self._of(ends[0] + more[0] * part, ends[1] + more[1] * part, other.count)

    def _of(self, low: Fraction | None, high: Fraction | None, other: Count) -> WrittenAmount:
        """The same with other ends; a decimal where this or the other count is one."""
        decimal = self.count.decimal or other.decimal
        return replace(self, count=replace(self.count, low=low, high=high, decimal=decimal))


@lru_cache(maxsize=4096)  # a line asks several times, and recipes have few numbers
def _range_text(low: Fraction, high: Fraction, decimal: bool) -> str:
    ends = [number_text(end, decimal=decimal) for end in (low, high)]
    text = ends[0] if low == high else "-".join(ends)
    return text if _reads_back(text, low, high) else ""


def _reads_back(text: str, low: Fraction, high: Fraction) -> bool:
    if len(text) > LONGEST_NUMBER:
        return False
    try:
        number = read_number(text)
    except (UnreadableNumber, AmbiguousNumber):
        return False
    return (number.low, number.high) == (low, high)


def without_about(text: str) -> str:
    """Give a text without "about" in front of its amount.

    Examples
    --------
    >>> without_about("about 200 g"), without_about("about time")
    ('200 g', 'about time')
    """
    while about := _ABOUT.match(text):
        text = text[about.end() :]
    return text


def state_at(text: str) -> tuple[str, str] | None:
    """Give the Measured cell of "cooked weight" at the start of ``text``, and what follows it.

    Examples
    --------
    >>> state_at(" cooked weight chickpeas"), state_at(" trimmed weight"), state_at(" cooked rice")
    (('cooked', ' chickpeas'), ('', ''), None)
    """
    found = _STATE.match(text)
    if found is None:
        return None
    state = "cooked" if found["cooked"] else "as bought" if found["bought"] or found["so"] else ""
    return state, text[found.end() :]


def measured_at(text: str, measures: Measures) -> tuple[WrittenAmount, str] | None:
    """Give the number and unit at the start of ``text`` and what follows them.

    Examples
    --------
    >>> found, rest = measured_at("1 lb 4 oz beef", Measures.METRIC)
    >>> str(found), rest
    ('1 1/4 lb', ' beef')
    """
    text = without_about(text.lstrip())
    counted = count_at(text)
    if counted is None:
        return None
    count, rest = counted
    unit = unit_at(rest, measures)
    if unit is None:
        return None
    rest = unit[1]
    if not unit[0].counts:  # a cup and a half of rice, but 1 cup and half a lemon
        count, rest = and_part(count, rest)
    found = WrittenAmount(count, unit[0], doubts=count.doubts + unit[0].doubts)
    return _more(text, found, rest, measures)


def _more(
    text: str, found: WrittenAmount, rest: str, measures: Measures
) -> tuple[WrittenAmount, str]:
    """With a second number and unit behind it."""
    if between := _TO.match(rest):
        second = _simple(rest[between.end() :], measures)
        if second and (ranged := _range_to(found, second[0], not between["or"])):
            return ranged, second[1]
    plus = _PLUS.match(rest)
    minus = _MINUS.match(rest)
    joined = plus or minus
    second = _simple(rest[joined.end() :] if joined else rest.lstrip(), measures)
    # two volumes in a row are two things (1 cup 2 tbsp sugar is a slip); weights run on: 1 lb 4 oz
    if second is None or not (joined or _runs_on(found, second[0])):
        return found, rest
    total = found.minus(second[0]) if minus else found.plus(second[0])
    if total is None:
        return found, rest
    if joined:
        written = text[: len(text) - len(second[1])].strip()
        said = doubt(messages.amounts_added, written, str(total))
        total = replace(total, doubts=(*total.doubts, said))
    elif between := _TO.match(second[1]):  # 1 lb 2 oz to 1 lb 4 oz
        high = measured_at(second[1][between.end() :], measures)
        if high and (ranged := _range_to(total, high[0], not between["or"])):
            return ranged, high[1]
    return total, second[1]


def sticks_at(count: Count, rest: str, measures: Measures) -> tuple[WrittenAmount, str] | None:
    """Sticks of butter behind a number, with the tablespoons that are added to them.

    Examples
    --------
    >>> two = count_at("2")[0]
    >>> found, rest = sticks_at(two, " sticks plus 2 tbsp butter", Measures.US_CUSTOMARY)
    >>> str(found), rest
    ('2 1/4 stick of butter', ' butter')
    """
    stick = _STICK.match(rest)
    if stick is None:
        return None
    found = WrittenAmount(count, unit_word(STICK, measures))
    rest = rest[stick.end() :]
    plus = _PLUS.match(rest)
    more = _simple(rest[plus.end() :], measures) if plus else None
    ends, spoons = count.ends, more[0].count.ends if more else None
    if more is None or ends is None or spoons is None or more[0].unit_shown != "tbsp":
        return found, rest
    low, high = (end + of / SPOONS_OF_A_STICK for end, of in zip(ends, spoons, strict=True))
    total = found._of(low, high, count)
    said = doubt(messages.amounts_added, f"{found}, {more[0]}", str(total))
    return replace(total, doubts=(said,)), more[1]


def _runs_on(first: WrittenAmount, second: WrittenAmount) -> bool:
    """Whether a smaller weight stands behind a weight: 1 lb 4 oz, but not 1 lb 3 lb, 1 lb 450 g."""
    units = [one.unit.unit if one.unit and one.unit.weighs else None for one in (first, second)]
    if units[0] is None or units[1] is None or units[1].size >= units[0].size:
        return False
    # a unit of the same system: 16 ounces are a pound, and no whole number of grams is
    return (units[0].size / units[1].size).denominator == 1


def _simple(text: str, measures: Measures) -> tuple[WrittenAmount, str] | None:
    counted = count_at(text)
    unit = unit_at(counted[1], measures) if counted else None
    if counted is None or unit is None:
        return None
    return WrittenAmount(counted[0], unit[0], doubts=counted[0].doubts), unit[1]


def _range_to(low: WrittenAmount, high: WrittenAmount, two_units: bool) -> WrittenAmount | None:
    """The range from one amount to another, in the unit of the second: 800 g-1 kg."""
    if low.unit is None or high.unit is None:
        return None
    scale, mine, its = Fraction(1), low.unit.unit, high.unit.unit
    if low.unit != high.unit:
        if not two_units or mine is None or its is None or mine.dimension is not its.dimension:
            return None
        scale = mine.size / its.size
    first, last = low.count.ends, high.count.ends
    if first is None or last is None or first[1] * scale > last[0]:
        return None
    return replace(low, unit=high.unit)._of(first[0] * scale, last[1], high.count)


def weight_in_brackets(text: str, measures: Measures) -> str:
    """The line with what one weighs in brackets, where it stands behind "of" in any language.

    Examples
    --------
    >>> weight_in_brackets("2 truites de 250 g", Measures.METRIC)
    '2 truites (250 g each)'
    """
    found = _OF_WEIGHT.fullmatch(text)
    weight = whole_measure(found["much"], measures) if found else None
    counted = count_at(text)
    if not (found and weight and weight.unit and counted) or weight.unit.counts:
        return text
    each = " each" if counted[0].high != 1 else ""
    return f"{found['what']} ({found['much']}{each})"


def whole_measure(text: str, measures: Measures) -> WrittenAmount | None:
    """Give the amount that a text is, with "each" or "in total"; ``None`` when it is more.

    Examples
    --------
    >>> whole_measure("about 150 g each", Measures.METRIC).each
    True
    >>> whole_measure("2 tbsp vinegar", Measures.METRIC) is None
    True
    """
    in_front = _EACH_IN_FRONT.match(text)
    plain = _PACKED.sub(r"\1", text[in_front.end() :] if in_front else text)
    found = measured_at(plain, measures)
    if found is None:
        return None
    amount, rest = found
    amount = replace(amount, each=in_front is not None)
    if state := state_at(rest):
        amount, rest = replace(amount, state=state[0]), state[1]
    if each := _EACH.match(rest):
        amount, rest = replace(amount, each=True), rest[each.end() :]
    if total := _TOTAL.match(rest):
        amount, rest = replace(amount, total=True), rest[total.end() :]
    if state := state_at(rest):
        amount, rest = replace(amount, state=state[0]), state[1]
    return None if rest.strip(" .,") not in ("", "drained") else amount


def all_measures(text: str, measures: Measures) -> list[WrittenAmount]:
    """The amounts of a text that says nothing else; else none.

    Examples
    --------
    >>> [str(one) for one in all_measures("14 oz/400 g", Measures.METRIC)]
    ['14 oz', '400 g']
    >>> all_measures("400 g, or more", Measures.METRIC)
    []
    """
    read = [whole_measure(part, measures) for part in _SEVERAL.split(text)]
    known = [one for one in read if one is not None]
    return known if len(known) == len(read) else []
