"""What the tables hold about a food, as text, with the row to paste into Ingredients."""

from __future__ import annotations

from collections.abc import Iterator

from costing.reference.allergens import ALLERGEN_LISTS
from costing.reference.files import sources
from costing.reference.filled import Choices, Filled, shown_number
from costing.reference.filling import FILLED_COLUMNS, fill
from costing.reference.foods import Food, find_food
from costing.reference.tables import (
    HouseholdMeasure,
    Published,
    PublishedNumber,
    PublishedRow,
    published,
)

INGREDIENT_HEADINGS = (
    "Ingredient",
    "Section",
    "Trim yield %",
    "Cooked weight %",
    "Grams per ml",
    "Grams per piece",
    "Weighs",
    "Spoilage % per day",
    "Keeps days",
    "Holding class",
    "Allergens",
    "Substitute",
    "Note",
)
"""The columns of Ingredients in order, for a row that can be pasted."""


def published_text(words: str, *, allergen_list: str = "EU") -> str:
    """What is published about a food, with sources and a row to paste.

    Blank when nothing is known by these words.

    Parameters
    ----------
    words : str
        A food as the user calls it; a word used for several foods shows them all.
    allergen_list : {'US', 'EU', 'AU-NZ', 'CA'}
        Whose words stand in the row to paste.

    Examples
    --------
    >>> print(published_text("scallion").splitlines()[0])
    spring onion (vegetable)
    >>> published_text("unobtainium")
    ''
    """
    match = find_food(words)
    found = [match.food] if match.food else []
    if match.how == "several":
        found = [suggestion.food for suggestion in match.suggestions]
    return "\n\n".join("\n".join(_lines(food, allergen_list)) for food in found)


def pasted_row(name: str, *, allergen_list: str = "EU") -> dict[str, str]:
    """The cells of Ingredients that the tables can fill, by heading; others are blank.

    That a food brings no allergen is recalled and not pasted as if it were known.

    Examples
    --------
    >>> row = pasted_row("egg white")
    >>> row["Ingredient"], row["Trim yield %"], row["Grams per piece"], row["Holding class"]
    ('egg white', '100', '33', 'always')
    """
    row = dict.fromkeys(INGREDIENT_HEADINGS, "")
    match = find_food(name)
    if match.food is None:
        return row
    row |= {"Ingredient": name, "Section": match.food.group}
    for heading in FILLED_COLUMNS:
        if heading in row:
            given = fill(name, heading, allergen_list=allergen_list)
            if isinstance(given, Filled) and given.value != ():
                row[heading] = given.text
    return row


def _lines(food: Food, allergen_list: str) -> Iterator[str]:
    """Everything the tables hold about a food, then the row that can be pasted."""
    about = published(food.food_id)
    yield f"{food.name} ({food.group})"
    for heading, rows in _sections(about):
        if rows:
            yield f"  {heading}"
            yield from (f"    {_line(row)}" for row in rows)
    if about.holding is not None:
        holding = about.holding
        doubt = ", doubtful" if holding.doubtful else ""
        yield f"  Holding class ({holding.jurisdiction}): {holding.holding_class}{doubt}"
        yield f"    {holding.legal_word}{_cited(holding)}"
    for known_list in ALLERGEN_LISTS:
        given = fill(food.name, "Allergens", allergen_list=known_list)
        if isinstance(given, Filled):
            yield f"  Allergens ({known_list}): {given.text} [{given.verified}]"
            if known_list == allergen_list:
                yield f"    {given.note}"
    yield from _undecided(food)
    row = pasted_row(food.name, allergen_list=allergen_list)
    yield "  Row for Ingredients:"
    yield "\t".join(row)
    yield "\t".join(row.values())


def _sections(about: Published) -> tuple[tuple[str, tuple[PublishedNumber, ...]], ...]:
    return (
        ("Trim yield %", about.trim_yields),
        ("Weight of a measure", about.household_measures),
        ("Weight of a measure when cooked", about.cooked_measures),
        ("Grams per piece", about.piece_weights),
        ("Cooked weight %", about.cooked_weights),
        ("Keeps days", about.storage_days),
    )


def _line(row: PublishedNumber) -> str:
    """One published number with its range, state, source and how far verified."""
    if row.value is None:
        value = row.as_printed
    elif isinstance(row, HouseholdMeasure):
        value = f"{shown_number(row.value)} {row.unit} = {shown_number(row.density)} g/ml"
    else:
        value = f"{shown_number(row.value)} {row.unit}"
        low, high = (getattr(row, end, None) for end in ("low", "high"))
        if low is not None and high is not None and low != high:
            value += f" ({shown_number(low)} to {shown_number(high)})"
    shown_only = "" if row.fills else "; shown only"
    state = "" if isinstance(row, HouseholdMeasure) and not row.state else f" {row.state}"
    return f"{value}{state}{shown_only}{_cited(row)}"


def _cited(row: PublishedRow) -> str:
    note = f"; {row.note}" if row.note else ""
    verified = "" if row.verified == "source-text" else f", {row.verified}"
    return f"{note} [{sources()[row.source_id].title}; {row.locator}{verified}]"


def _undecided(food: Food) -> Iterator[str]:
    for heading in ("Trim yield %", "Cooked weight %", "Grams per ml", "Grams per piece"):
        given = fill(food.name, heading)
        if isinstance(given, Choices):
            yield f"  {heading} is left blank: {given.why}"
