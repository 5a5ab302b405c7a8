"""What is said of single cells: numbers, percents, choices, formulas."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, message


@message("entry missing", Grade.ERROR)
def entry_missing(expected: str) -> Words:
    """A row without the cell that says what it is about."""
    return Words(
        "a blank cell in a row that is filled in",
        expected,
        "Fill the cell, or clear the rest of the row; until then the row cannot be used.",
    )


@message("formula never calculated", Grade.ERROR)
def formula_never_calculated(expected: str) -> Words:
    """A formula whose result the file does not hold."""
    return Words(
        "a formula that was never calculated",
        expected,
        "Open the workbook in your spreadsheet program and save it there; then its results are "
        "in the file.",
    )


@message("error cell", Grade.ERROR)
def error_cell(found: str, expected: str) -> Words:
    """A cell that shows an error, or crosses instead of a date."""
    return Words(
        found,
        expected,
        "Mend the formula or the entry so that the cell shows a value, or clear the cell.",
    )


@message("text not a number", Grade.ERROR)
def text_not_a_number(text: str, expected: str, reason: str) -> Words:
    """A text where a number belongs."""
    return Words(
        text,
        expected,
        f"Write the number alone. What is wrong with it: {reason}.",
    )


@message("ambiguous number", Grade.ERROR)
def ambiguous_number(text: str, readings: Sequence[str]) -> Words:
    """A number that two countries read differently."""
    return Words(
        f'the text "{text}", which may be ' + choice_words(readings),
        "a number that can be read in one way only",
        "Write " + choice_words(readings) + ".",
    )


@message("number read as decimal", Grade.WARNING)
def number_read_as_decimal(text: str, read: str, other: str) -> Words:
    """A point with three digits behind it, in a text."""
    return Words(
        f'the text "{text}", read as {read}',
        "a number that can be read in one way only",
        f"Write {other} if that is meant, or {read}.",
    )


@message("range not expected", Grade.ERROR)
def range_not_expected(text: str, expected: str) -> Words:
    """A range where one number belongs."""
    return Words(
        f'the range "{text}"',
        expected,
        "Write one number.",
    )


@message("range upside down", Grade.ERROR)
def range_upside_down(text: str, low: str, high: str, mixed: bool) -> Words:
    """A range that goes down."""
    also = f"; for {low} and {high} write {low} {high}" if mixed else ""
    return Words(
        f'the range "{text}", which goes down from {low} to {high}',
        "a range that goes up, such as 2-3",
        f"Write {high}-{low} if a range is meant{also}.",
    )


@message("number is a date", Grade.ERROR)
def number_is_a_date(shown: str, expected: str, likely: str) -> Words:
    """A number that the spreadsheet program took for a date."""
    return Words(
        shown,
        expected,
        "Format the cell as a number and write the number again"
        + (f"; {likely} was probably typed." if likely else "."),
    )


@message("price is a date", Grade.ERROR)
def price_is_a_date(shown: str, expected: str, likely: str) -> Words:
    """A price that the spreadsheet program took for a date."""
    return Words(
        f"{shown}, where a price belongs",
        expected,
        "Format the cell as a number and write the price again"
        + (f"; {likely} was probably typed." if likely else "."),
    )


@message("money of another currency", Grade.ERROR)
def money_of_another_currency(found: str, sign: str, currency: str) -> Words:
    """A price with a sign, its own or of the cell's format, of another currency."""
    return Words(
        f"{found} with the sign {sign}",
        f"money in {currency}, the setting Currency",
        f"Write the price in {currency} without a sign, in a cell whose format has none, or mend "
        "the setting.",
    )


@message("sign without a currency", Grade.WARNING)
def sign_without_a_currency(found: str, sign: str, code: str) -> Words:
    """A price with a sign, while no currency is chosen; said once for each sign of a sheet."""
    return Words(
        f"{found} with the sign {sign}, while no currency is chosen",
        "amounts without a sign, or their currency on the sheet Settings",
        f"Write the code into Currency, such as {code} for {sign}; until then amounts count as if "
        "all were of one currency.",
    )


@message("tax rate very small", Grade.WARNING)
def tax_rate_very_small(percent: str, hundredfold: str) -> Words:
    """A tax rate that looks like a part of one."""
    return Words(
        f"{percent} percent",
        "the tax in percent, such as 8",
        f"Write {hundredfold} if {hundredfold} percent is meant; {percent} percent is what counts "
        "until then.",
    )


@message("number out of range", Grade.ERROR)
def number_out_of_range(found: str, expected: str) -> Words:
    """A number that is readable and cannot be."""
    return Words(found, expected, "Write a number in this range.")


@message("not a whole number", Grade.ERROR)
def not_a_whole_number(found: str, expected: str) -> Words:
    """A part of a number where only whole ones can be."""
    return Words(
        found,
        expected,
        "Write a whole number; for a part of a recipe use the column Batch."
        if expected.endswith("times")
        else "Write a whole number.",
    )


@message("choice unknown", Grade.ERROR)
def choice_unknown(found: str, choices: Sequence[str], near: Sequence[str]) -> Words:
    """A word outside a closed list."""
    listed = choice_words([f'"{word}"' for word in near])
    return Words(
        found,
        choice_words(choices),
        (f"Write {listed} if that is meant, or another" if near else "Write one")
        + " of the words that are offered there.",
    )


@message("trim yield unclear", Grade.ERROR)
def trim_yield_unclear(number: str, percent: str, small: str) -> Words:
    """A plain number of 1 or less, which may be a part or a percent."""
    return Words(
        f"{number} as a plain number",
        "percent above 1 and at most 100",
        f"Write {percent}, or format the cell as {percent}%. If {small} is meant, the "
        "number is too small for a trim yield.",
    )


@message("cooked weight unclear", Grade.ERROR)
def cooked_weight_unclear(number: str, percent: str, small: str) -> Words:
    """A plain number of 1 or less, which may be a part or a percent."""
    return Words(
        f"{number} as a plain number",
        "percent above 1, such as 85, or 250 for what swells",
        f"Write {percent}, or format the cell as {percent}%. If {small} is meant, the "
        "number is too small for a cooked weight.",
    )


@message("cooked weight very small", Grade.WARNING)
def cooked_weight_very_small(percent: str, hundredfold: str) -> Words:
    """A cooked weight that looks like a factor."""
    return Words(
        f"{percent} percent",
        "cooked weight in percent of the trimmed weight, mostly between 20 and 400",
        f"It was taken as {percent} percent. If it becomes {percent} times as heavy, write "
        f"{hundredfold}.",
    )


@message("trim yield out of range", Grade.ERROR)
def trim_yield_out_of_range(percent: str) -> Words:
    """A trim yield that cannot be."""
    return Words(
        f"{percent} percent",
        "percent above 1 and at most 100",
        "Write what is left to use of 100 parts bought. What swells in cooking belongs into "
        "Cooked weight %.",
    )


@message("percent out of range", Grade.ERROR)
def percent_out_of_range(percent: str, expected: str) -> Words:
    """A percent that cannot be."""
    return Words(
        f"{percent} percent",
        expected,
        "Write 6 for six percent, or format the cell as 6%.",
    )


@message("row not accepted", Grade.ERROR)
def row_not_accepted(rule: str) -> Words:
    """Cells that are readable one by one and do not go together."""
    return Words(
        "cells that do not go together",
        f"a row that keeps the rule: {rule}",
        "Mend the row; until then it is left out.",
    )


@message("allergen nearly known", Grade.WARNING)
def allergen_nearly_known(found: str, near: str) -> Words:
    """An allergen with a slip of the finger in it."""
    return Words(
        f'the allergen "{found}"',
        f'a word of an allergen list, of which "{near}" is nearest',
        f"Write {near} if that is meant; until then {found} is shown as it stands, and nobody who "
        f"avoids {near} is warned of it.",
    )
