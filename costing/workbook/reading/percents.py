"""Percents in cells: 72 and a percent-formatted 72% are both 0.72."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from costing.findings import Finding, Grade, Place, Words, message
from costing.quantities import decimal_or_fraction
from costing.workbook.reading.cells import RowCells, exact_number, is_number
from costing.workbook.reading.numbers import number, one_of_text

HUNDRED = Fraction(100)

SMALL_WORDS = (
    "less than one tenth",
    "one tenth",
    "two tenths",
    "three tenths",
    "four tenths",
    "five tenths",
    "six tenths",
    "seven tenths",
    "eight tenths",
    "nine tenths",
)

_SIGNS = ("%", "％")


def percent(cells: RowCells, heading: str) -> Fraction | None:
    """A percent as a fraction: 72 and a percent-formatted 72% are both 0.72; not yet judged."""
    value = cells.value(heading)
    if is_number(value) and cells.is_percent(heading):
        return exact_number(value)
    if isinstance(value, str) and value.endswith(_SIGNS):
        found = one_of_text(cells, heading, value[:-1])
    else:
        found = number(cells, heading)
    return None if found is None else found / HUNDRED


def percent_from_0(
    cells: RowCells, heading: str, *, below_100: bool = False, most: int | None = 100
) -> Fraction | None:
    """A percent from 0 to 100, or above it without ``most``, as a fraction."""
    found = percent(cells, heading)
    if found is None or (found >= 0 and (most is None or found < 1)):
        return found
    if found == 1 and not below_100:
        return found
    expected = "percent from 0 to 100" if most else "percent of at least 0"
    if below_100:
        expected = "percent of at least 0 and below 100"
    _fail_range(cells, heading, found, expected)
    return None


def percent_above_0(cells: RowCells, heading: str) -> Fraction | None:
    """A percent above 0 and at most 100, as a fraction."""
    found = percent(cells, heading)
    if found is None or 0 < found <= 1:
        return found
    _fail_range(cells, heading, found, "percent above 0 and at most 100")
    return None


def _fail_range(cells: RowCells, heading: str, found: Fraction, expected: str) -> None:
    cells.fail(heading, percent_out_of_range, _shown(found), expected)


def _shown(part: Fraction) -> str:
    return decimal_or_fraction(part * HUNDRED)


def chance(cells: RowCells, heading: str) -> Fraction | None:
    """A chance as a fraction below 1; one below half a percent without its sign is remarked on."""
    found = percent_from_0(cells, heading, below_100=True)
    if found and found * HUNDRED < Fraction(1, 2) and not signed(cells, heading):
        cells.tell(heading, chance_very_small, _shown(found), _shown(found * HUNDRED))
    return found


def tax_rate(cells: RowCells, heading: str) -> Fraction | None:
    """A tax rate as a fraction; one below 1 percent without a percent sign is remarked on."""
    found = percent_from_0(cells, heading)
    if found and found * HUNDRED < 1 and not signed(cells, heading):
        cells.tell(heading, tax_rate_very_small, _shown(found), _shown(found * HUNDRED))
    return found


def signed(cells: RowCells, heading: str) -> bool:
    """Whether a percent sign is in the cell or in its format."""
    value = cells.value(heading)
    if isinstance(value, str):
        return value.endswith(_SIGNS)
    return is_number(value) and cells.is_percent(heading)


def trim_yield(cells: RowCells, heading: str) -> Fraction | None:
    """A trim yield as a fraction above 0 and at most 1."""
    found = _no_part(cells, heading, trim_yield_unclear)
    if found is None:
        return None
    if not 0 < found <= 1:
        cells.fail(heading, trim_yield_out_of_range, _shown(found))
        return None
    return found


def cooked_weight(cells: RowCells, heading: str) -> Fraction | None:
    """A cooked weight as a fraction of the trimmed weight, above 0."""
    found = _no_part(cells, heading, cooked_weight_unclear)
    if found is None:
        return None
    if found <= 0:
        cells.fail(heading, percent_out_of_range, _shown(found), "percent above 0")
        return None
    # hardly a food is cooked down to less than a tenth: such a number is rather a part, 1.5 for 150
    # percent
    if found * HUNDRED < 10:
        cells.tell(heading, cooked_weight_very_small, _shown(found), _shown(found * HUNDRED))
    return found


def _no_part(
    cells: RowCells, heading: str, unclear: Callable[[Place, str, str, str], Finding]
) -> Fraction | None:
    """A percent; a plain number of 1 or less is refused: 0.72 may be a part or a percent."""
    found = percent(cells, heading)
    if found is None or not 0 < found * HUNDRED <= 1 or signed(cells, heading):
        return found
    cells.fail(heading, unclear, _shown(found), *_unclear(found))
    return None


def _unclear(found: Fraction) -> tuple[str, str]:
    """The percent that is probably meant, and the tiny one that is there, in words."""
    number = found * HUNDRED
    # rounded only to be named in words; the number itself stands beside them
    tenths = round(number * 10)
    words = f"{SMALL_WORDS[tenths]} of a percent" if tenths < len(SMALL_WORDS) else "one percent"
    return _shown(number), words


@message("chance very small", Grade.NOTE)
def chance_very_small(percent: str, hundredfold: str) -> Words:
    """A chance that may be meant as a part of one; the smaller it is, the more is bought."""
    return Words(
        f"{percent} percent",
        "a chance in percent, such as 5",
        f"Write {hundredfold} if {hundredfold} percent is meant; {percent} percent is what counts "
        "until then.",
    )


@message("tax rate very small", Grade.WARNING)
def tax_rate_very_small(percent: str, hundredfold: str) -> Words:
    return Words(
        f"{percent} percent",
        "the tax in percent, such as 8",
        f"Write {hundredfold} if {hundredfold} percent is meant; {percent} percent is what counts "
        "until then.",
    )


@message("trim yield unclear", Grade.ERROR)
def trim_yield_unclear(number: str, percent: str, small: str) -> Words:
    return Words(
        f"{number} as a plain number",
        "percent above 1 and at most 100",
        f"Write {percent}, or format the cell as {percent}%. If {small} is meant, the "
        "number is too small for a trim yield.",
    )


@message("cooked weight unclear", Grade.ERROR)
def cooked_weight_unclear(number: str, percent: str, small: str) -> Words:
    return Words(
        f"{number} as a plain number",
        "percent above 1, such as 85, or 250 for what swells",
        f"Write {percent}, or format the cell as {percent}%. If {small} is meant, the "
        "number is too small for a cooked weight.",
    )


@message("cooked weight very small", Grade.WARNING)
def cooked_weight_very_small(percent: str, hundredfold: str) -> Words:
    return Words(
        f"{percent} percent",
        "cooked weight in percent of the trimmed weight, mostly between 20 and 400",
        f"It was taken as {percent} percent. If it becomes {percent} times as heavy, write "
        f"{hundredfold}.",
    )


@message("trim yield out of range", Grade.ERROR)
def trim_yield_out_of_range(percent: str) -> Words:
    return Words(
        f"{percent} percent",
        "percent above 1 and at most 100",
        "Write what is left to use of 100 parts bought. What swells in cooking belongs into "
        "Cooked weight %.",
    )


@message("percent out of range", Grade.ERROR)
def percent_out_of_range(percent: str, expected: str) -> Words:
    return Words(
        f"{percent} percent",
        expected,
        "Write 6 for six percent, or format the cell as 6%.",
    )
