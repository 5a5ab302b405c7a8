"""Checks that say in words when an edited input has made the results out of date."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise
from math import fsum

from costing.buying.till import money_digits
from costing.kitchen.rows import FromRow
from costing.shoot import Extent, Settings, Shoot
from costing.workbook.results.live.inputs import Inputs, absolute
from costing.workbook.results.live.spots import LONGEST_FORMULA, Spot

WATCHED = {
    "lines": ("Amount", "Candidates", "Step"),
    "shots": ("Times", "Batch", "Fewest", "Most"),
    "packs": ("Amount", "Price", "Loose step", "At most", "Tax rate %"),
    "lots": ("Amount", "Value"),
    "ingredients": (
        *("Trim yield %", "Cooked weight %", "Grams per ml", "Grams per piece"),
        "Spoilage % per day",
    ),
    "dishes": ("Makes", "Cooked weight %"),
    "shops": ("Visit cost", "Minimum spend"),
}
"""Headings of the cells that decide what is bought, by the shoot's part they are read into."""

AGAIN = "Run costing estimate again."
UNCHANGED = (
    "No amount, time, price or yield has changed since this run; any other edit needs a new one."
)
CHANGED = f"Out of date: amounts, counts, prices or rows have changed since this run. {AGAIN}"
SOME_UNWATCHED = (
    "No change seen since this run; there are too many amounts written as text to watch them all."
)

PRICE_CHANGED = "Price changed"
"""Begins what To buy says of prices; the shades of its rows look for it."""

LONGEST_TEXT = 100
"""A longer text is no number anybody wrote, and is not watched. [characters]"""

HAIR = "0.000001"
"""An amount below this is none. [shown unit]"""
LEAST_DOUBT = 1e-9
SHARE_OF_DOUBT = 1e-12
"""How far sums may differ that programs add up in another order."""

Column = tuple[str, str]
"""Sheet and column letter."""


class Held:
    """The watched cells of a shoot: numbers and texts by column and row.

    Parameters
    ----------
    shoot : Shoot
        What was read.
    inputs : Inputs
        Cells that may be referred to.
    """

    def __init__(self, shoot: Shoot, inputs: Inputs) -> None:
        self.numbers: dict[Column, dict[int, float]] = {}
        self.texts: dict[Column, dict[int, str]] = {}
        for part, headings in WATCHED.items():
            for model in getattr(shoot, part):
                self._keep(model, headings, inputs)

    def _keep(self, model: FromRow, headings: Iterable[str], inputs: Inputs) -> None:
        for heading in headings:
            held = inputs.holds(model.row, heading)
            place = model.row.at(heading)
            column = (place.sheet, place.column)
            if isinstance(held, str):
                if not held.isprintable() or len(held) > LONGEST_TEXT:
                    continue
                self.texts.setdefault(column, {})[place.row or 0] = held
            elif held is not None:
                self.numbers.setdefault(column, {})[place.row or 0] = held


def runs(rows: Iterable[int]) -> list[tuple[int, int]]:
    """Rows as first and last of those that follow each other.

    Examples
    --------
    >>> runs([4, 5, 9, 6])
    [(4, 6), (9, 9)]
    """
    found: list[tuple[int, int]] = []
    for row in sorted(rows):
        if found and found[-1][1] == row - 1:
            found[-1] = (found[-1][0], row)
        else:
            found.append((row, row))
    return found


def _range(column: Column, first: int, last: int) -> str:
    start = absolute(*column, first)
    return start if first == last else f"{start}:${column[1]}${last}"


def _differs(text: str, value: float, size: float) -> str:
    doubt = LEAST_DOUBT + SHARE_OF_DOUBT * size
    return f"(ABS({text}-{number(value)})>{number(doubt)})"


def number(value: float) -> str:
    """A number as a formula spells it.

    Examples
    --------
    >>> number(1e-09), number(0.1), number(-2.0)
    ('1E-09', '0.1', '(-2)')
    """
    text = repr(value).upper().removesuffix(".0")
    return f"({text})" if value < 0 else text


def changed_numbers(column: Column, numbers: dict[int, float]) -> Iterator[str]:
    """Conditions that hold when a number of a column is another one than it was.

    Besides the sum, the products of neighbours are added up, so that two edits that cancel out,
    and rows that change places, are noticed too.
    """
    spans = runs(numbers)
    listed = ",".join(_range(column, *span) for span in spans)
    values = numbers.values()
    yield _differs(f"SUM({listed})", fsum(values), fsum(map(abs, values)))
    pieces = []
    products: list[float] = []
    for first, last in spans:
        if first == last:
            continue
        pieces.append(
            f"SUMPRODUCT({_range(column, first, last - 1)},{_range(column, first + 1, last)})"
        )
        for one, other in pairwise(range(first, last + 1)):
            products.append(numbers[one] * numbers[other])
    if pieces:
        yield _differs("+".join(pieces), fsum(products), fsum(map(abs, products)))


def changed_text(column: Column, row: int, text: str) -> str:
    """A condition that holds when a cell no longer holds a text."""
    doubled = text.replace('"', '""')
    return f'({absolute(*column, row)}<>"{doubled}")'


def changed_rows(extent: Extent) -> str:
    """A condition that holds when a sheet has more or fewer rows than it had."""
    where = _range((extent.sheet, extent.column), extent.first, extent.last)
    return f"(COUNTA({where})<>{extent.filled})"


def inputs_check(shoot: Shoot, inputs: Inputs) -> tuple[str, str]:
    """The check that the inputs are as they were, as a formula and what it shows now.

    Parameters
    ----------
    shoot : Shoot
        What was read.
    inputs : Inputs
        Cells that may be referred to.

    Returns
    -------
    tuple of str and str
        Both blank when there is nothing that could be watched.
    """
    held = Held(shoot, inputs)
    conditions = [changed_rows(one) for one in shoot.extents if one.sheet in inputs.sheets]
    for column, numbers in sorted(held.numbers.items()):
        conditions.extend(changed_numbers(column, numbers))
    room = LONGEST_FORMULA - 600 - sum(len(condition) + 1 for condition in conditions)
    watched = UNCHANGED
    for column, texts in sorted(held.texts.items()):
        for row, text in texts.items():
            condition = changed_text(column, row, text)
            room -= len(condition) + 1
            if room < 0:
                watched = SOME_UNWATCHED
            else:
                conditions.append(condition)
    if not conditions or room < -LONGEST_FORMULA:
        return "", ""
    return f'IF({"+".join(conditions)}>0,"{CHANGED}","{watched}")', watched


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
