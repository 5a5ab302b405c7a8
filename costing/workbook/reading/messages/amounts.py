"""What is said of amounts, units, steps and times."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, lack, message


@lack("amount missing", Grade.WARNING)
def amount_missing(ingredient: str) -> Words:
    """An ingredient without its amount."""
    return Words(
        "a blank cell",
        "a number, a fraction such as 1 1/2, a range such as 2-3, or to taste",
        f"Fill the cell; until then the need for {ingredient} is unknown and left out.",
    )


@lack("amount to taste", Grade.NOTE)
def amount_to_taste(ingredient: str) -> Words:
    """A line of which nothing is computed."""
    return Words(
        '"to taste"',
        "an amount, if it is to be bought",
        f"Nothing is computed for {ingredient} here; see that there is some.",
    )


@message("amount is a date", Grade.ERROR)
def amount_is_a_date(shown: str, likely: Sequence[str]) -> Words:
    """An amount that the spreadsheet program took for a date."""
    return Words(
        f"{shown}, where an amount belongs",
        "a number, a fraction such as 1 1/2, or a range such as 2-3",
        "Format the cell as text and write the amount again"
        + (f"; {choice_words(likely)} was probably typed." if likely else "."),
    )


@message("unit inside amount", Grade.ERROR)
def unit_inside_amount(text: str, number: str, unit: str) -> Words:
    """A number and its unit in one cell."""
    return Words(
        f'the text "{text}"',
        "the number alone, and the unit in the column Unit",
        f"Write {number} here and {unit} into Unit.",
    )


@message("range of stock", Grade.NOTE)
def range_of_stock(text: str, low: str) -> Words:
    """A range of something on hand."""
    return Words(
        f'the range "{text}"',
        "one number",
        f"The lower end counts, {low}, so that no shot runs short; weigh it for a better list.",
    )


@message("unknown unit", Grade.ERROR)
def unknown_unit(
    text: str, near: Sequence[str], known: Sequence[str], *, weighs: bool = False
) -> Words:
    """A word that is no unit of the list; ``weighs``: nor one that Weighs may say."""
    own = f", or into Weighs what 1 {text} is" if weighs else ""
    return Words(
        f'the unit "{text}"',
        choice_words(known, most=9),
        (
            f"Write {choice_words(near)} if that is meant"
            if near
            else f"Write one of these units{own}"
        )
        + "; blank means each.",
    )


@message("unit of pieces", Grade.ERROR)
def unit_of_pieces(text: str, piece: str, ingredient: str, name: str, published: str) -> Words:
    """A clove, a bunch, a can: how many make one that is sold, or what one weighs, is not said."""
    if ingredient.casefold().endswith(f" {piece.casefold()}"):
        return Words(
            f'"{text}" as the unit of {ingredient}',
            f"each, since the ingredient is a {piece}",
            "Write each here; until then its need is unknown.",
        )
    known = f" (published: {published})" if published else ""
    own = "" if name == ingredient else f", or {name} into Ingredient and each here"
    return Words(
        f'"{text}" as the unit of {ingredient}',
        f"a weight, a volume or each; or what 1 {piece} is, in Weighs",
        f"Write what 1 {piece} is into Weighs for {ingredient}{known}{own}; until then its need is "
        "unknown.",
    )


@message("each of what", Grade.WARNING)
def each_of_what(ingredient: str, piece: str) -> Words:
    """Pieces of an ingredient of which Weighs names only a part, such as a clove."""
    return Words(
        f"pieces of {ingredient}, where Weighs says what a {piece} is and not what a piece is",
        f"into Weighs how many make one, such as 1 each = 10 {piece}",
        f"A piece is taken for a {piece}; if it is more, write that.",
    )


@message("weighs unreadable", Grade.ERROR)
def weighs_unreadable(part: str, against: str) -> Words:
    """A part of Weighs that says nothing, or something else than another part."""
    return Words(
        f'"{part}"' + (f', which does not go with "{against}"' if against else ""),
        "two amounts with = between, such as 1 cup = 125 g; 1 head = 10 cloves",
        "Mend it; until then the need for the ingredient is unknown and left out.",
    )


@message("weighs otherwise", Grade.WARNING)
def weighs_otherwise(heading: str, value: str) -> Words:
    """A column of grams and Weighs that say two things."""
    return Words(
        f"another value than the {value} that Weighs gives",
        f"one of the two, {heading} or Weighs",
        f"Clear the one that is wrong; until then {heading} counts.",
    )


@message("unit needs its country", Grade.ERROR)
def unit_needs_its_country(text: str, choices: Sequence[str]) -> Words:
    """A unit that the chosen measures do not have."""
    return Words(
        f'the unit "{text}", which differs by country and is none of the chosen Measures',
        choice_words(choices),
        f"Write {choice_words(choices)}, or choose other Measures on the sheet Settings.",
    )


@message("unit of dishes only", Grade.ERROR)
def unit_of_dishes_only(unit: str, what: str) -> Words:
    """Portions or batches of something that is bought."""
    return Words(
        f'the unit "{unit}", which only measures what a dish makes',
        f"a unit of weight, volume or pieces for {what}",
        "Write such a unit; blank means each.",
    )


@message("steps are a date", Grade.ERROR)
def steps_are_a_date(shown: str, likely: Sequence[str]) -> Words:
    """Steps that the spreadsheet program took for a date."""
    return Words(
        f"{shown}, where steps belong",
        "steps such as 2, 1-3 or 1-3, 5",
        "Format the cell as text and write the steps again"
        + (f"; {choice_words(likely)} was probably typed." if likely else "."),
    )


@message("steps unreadable", Grade.ERROR)
def steps_unreadable(found: str) -> Words:
    """Something that is no list of steps."""
    return Words(
        found,
        "steps such as 2, 1-3 or 1-3, 5, from 1 to 999",
        "Write the numbers of the steps with commas between them; blank means all steps.",
    )


@message("step range upside down", Grade.ERROR)
def step_range_upside_down(text: str, upright: str) -> Words:
    """A range of steps that goes down."""
    return Words(
        f'the steps "{text}", which go down',
        "steps that go up, such as 1-3",
        f"Write {upright}.",
    )


@message("step named twice", Grade.WARNING)
def step_named_twice(step: int, name: str, other: str) -> Words:
    """Two names for one step."""
    return Words(
        f'"{other}" as the name of step {step}, which was called "{name}" above',
        "one name for each step, and a number for each new step",
        "If a new step begins here, write its number into Step; a blank Step means the step of "
        "the row above.",
    )


@message("times negative", Grade.ERROR)
def times_negative(found: str) -> Words:
    """A number of times below 0."""
    return Words(found, "0 times or more", "Write how many times, or leave the cell blank.")


@message("times out of order", Grade.ERROR)
def times_out_of_order(fewest: str, times: str, most: str) -> Words:
    """A three-point estimate that does not rise."""
    return Words(
        f"Fewest {fewest}, Times {times} and Most {most}",
        "numbers that rise from Fewest over Times to Most",
        "Mend one of them; a blank Times counts as 1, a blank Fewest or Most as Times. Until then "
        "the shot is left out.",
    )
