"""Checks that say in words when an edited input has made the results out of date."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from costing.buying.till import money_digits
from costing.findings import choice_words
from costing.shoot import Extent, Settings
from costing.workbook.results.live.conditions import Condition, conditions_of, literal
from costing.workbook.results.live.inputs import Inputs
from costing.workbook.results.live.spots import LONGEST_FORMULA, Spot

ALL = "summary"
"""The sheet whose check tells of every input; those of the others are among its conditions."""

WATCHING: Mapping[str, tuple[str, ...]] = {
    "needs": ("Recipes", "Ingredients", "Dishes"),
    "food_cost": ("Shoot plan", "Episodes", "Settings"),
    "holding_times": ("Holding",),
}
"""Input sheets that the check of a result sheet watches: one cell has no room for all of them."""

AGAIN = "Run costing estimate again."
CHANGED = f"Out of date: an input has changed since this run. {AGAIN}"
UNCHANGED = "No input has changed since this run."
ASIDE = "notes, number formats, entries that change places"
"""What no check watches; entries that change places are noticed by the numbers beside them."""
NAMED_AT_MOST = 2

PRICE_CHANGED = "Price changed"
"""Begins what To buy says of prices; the shades of its rows look for it."""

WORDS = 900
"""Room in a check for what it says. [characters]"""

HAIR = "0.000001"
"""An amount below this is none. [shown unit]"""


@dataclass(frozen=True, slots=True)
class Check:
    """A cell that says whether results are out of date.

    Parameters
    ----------
    formula : str
        As the file spells it.
    shown : str
        What it shows now.
    """

    formula: str
    shown: str


def unwatched_words(unwatched: Sequence[str]) -> str:
    """What is not watched, as a sentence."""
    more = len(unwatched) - NAMED_AT_MOST
    named = [*unwatched[:NAMED_AT_MOST], *([f"{more} more"] if more > 0 else [])]
    if not named:
        return f"Not watched: {ASIDE}."
    return f"Not watched: {ASIDE}, {', '.join(named)}."


def _fitting(extents: Iterable[Extent], inputs: Inputs, room: int) -> tuple[list[str], list[str]]:
    """Conditions that fit into a formula, the most telling first, and what goes unwatched."""
    found: list[Condition] = []
    unwatched: list[str] = []
    for extent in extents:
        conditions, unclear = conditions_of(extent, inputs)
        found += conditions
        unwatched += unclear
    texts = []
    for condition in sorted(found, key=lambda one: one.weight):
        if room > len(condition.text):
            room -= len(condition.text) + 1
            texts.append(condition.text)
        elif condition.watches:
            unwatched.append(condition.watches)
    return texts, list(dict.fromkeys(unwatched))


def input_checks(
    extents: Sequence[Extent], inputs: Inputs, corners: Mapping[str, str]
) -> dict[str, Check]:
    """The checks that the inputs are as they were.

    Parameters
    ----------
    extents : sequence of Extent
        What was read.
    inputs : Inputs
        Cells that may be referred to.
    corners : mapping of str to str
        The cells of the checks by the key of their result sheet; a sheet that is not written has
        none, and what it would watch is watched by Summary.

    Returns
    -------
    dict of str to Check
        By key of the result sheet; empty when there is nothing that could be watched.
    """
    there = [one for one in extents if one.sheet in inputs.sheets and one.columns]
    found: dict[str, Check] = {}
    unwatched: list[str] = []
    conditions: list[str] = []
    for key, kinds in WATCHING.items():
        own = [one for one in there if one.kind in kinds]
        if key not in corners or not own:
            continue
        there = [one for one in there if one not in own]
        texts, missing = _fitting(own, inputs, LONGEST_FORMULA - WORDS)
        unwatched += missing
        if not texts:
            continue
        names = choice_words(one.sheet for one in own)
        changed = f"Out of date: {names} changed since this run. {AGAIN}"
        shown = (
            f"No change in {names} since this run; Summary tells of the other sheets. "
            f"{unwatched_words(missing)}"
        )
        found[key] = Check(_check(texts, changed, shown), shown)
        conditions.append(f"({corners[key]}={literal(changed)})")
    taken = sum(len(one) + 1 for one in conditions)
    texts, missing = _fitting(there, inputs, LONGEST_FORMULA - WORDS - taken)
    texts += conditions
    if texts:
        shown = f"{UNCHANGED} {unwatched_words(missing + unwatched)}"
        found[ALL] = Check(_check(texts, CHANGED, shown), shown)
    return found


def _check(texts: Sequence[str], changed: str, unchanged: str) -> str:
    """The formula; an error in a watched cell is a change too.

    The leading 0 makes a number of a single truth value, which would be more than any number.
    """
    found = f"0+{'+'.join(texts)}>0"
    return f"IFERROR(IF({found},{_said(changed)},{_said(unchanged)}),{_said(changed)})"


def _said(words: str) -> str:
    """A text of any length: a single literal may have 255 characters."""
    pieces = [words[at : at + 250] for at in range(0, len(words), 250)]
    return "&".join(map(literal, pieces))


def list_check(settings: Settings, to_buy: Spot, needs: Spot, inputs_cell: str) -> str:
    """The check that the packs chosen still are what is needed, as a formula.

    Parameters
    ----------
    settings : Settings
        Whether prices include tax: only then the cost says whether a price changed.
    to_buy, needs : Spot
        The tables that are compared.
    inputs_cell : str
        The cell that says whether the inputs are as they were.
    """
    wanted = f"{needs.column('net_need')}+{needs.column('spoilage_allowance')}"
    bought = needs.column("bought")
    counts = [
        ("More needed than is bought", f"({wanted}-{bought}>{HAIR})*1", _short(needs)),
        ("No longer needed", f"({bought}>0)*({needs.column('net_need')}<{HAIR})", _unneeded(needs)),
    ]
    if settings.prices_include_tax:
        paid = to_buy.column("cost")
        listed = f"{to_buy.column('packs')}*{to_buy.column('price_each')}"
        edge = half_a_coin(settings)
        counts.append((PRICE_CHANGED, f"({paid}-{listed}>{edge})+({listed}-{paid}>{edge})", 0))
    parts = [
        f"MAX(SUMPRODUCT({text})-{known},0)" if known else f"SUMPRODUCT({text})"
        for _, text, known in counts
    ]
    said = "&".join(
        f'IF({part}>0,"{words}: "&{part}&". ","")'
        for (words, _, _), part in zip(counts, parts, strict=True)
    )
    return f'IF({"+".join(parts)}>0,{said}&"{AGAIN}",{inputs_cell})'


def half_a_coin(settings: Settings) -> str:
    """A hair more than what rounding may add or take. [money]"""
    digits = money_digits(settings)
    return f"{0.5 * 10**-digits + 1e-6:.7f}"


def _short(needs: Spot) -> int:
    return sum(
        _number(needs, row, "net_need")
        + _number(needs, row, "spoilage_allowance")
        - _number(needs, row, "bought")
        > Fraction(HAIR)
        for row in range(len(needs.table.rows))
    )


def _unneeded(needs: Spot) -> int:
    return sum(
        _number(needs, row, "bought") > 0 and _number(needs, row, "net_need") < Fraction(HAIR)
        for row in range(len(needs.table.rows))
    )


def _number(spot: Spot, row: int, key: str) -> Fraction:
    return spot.value(row, key) or Fraction(0)
