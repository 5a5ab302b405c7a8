"""What is said of articles and their parts, and of dishes that are made."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, message


@message("part of itself", Grade.ERROR)
def part_of_itself(article: str) -> Words:
    """An article of Parts that is cut from one of its own parts."""
    return Words(
        f"{article} cut into something that {article} is itself cut from",
        "an article that is bought",
        "Nothing is cut from it until one of the two rows is changed.",
    )


@message("part from memory", Grade.NOTE)
def part_from_memory(words: str) -> Words:
    """What an article gives of a part, where no table prints it."""
    return Words(
        f"a blank, and {words} taken as kitchens reckon it, from no table",
        "what one of yours gives",
        "It is used; weigh what one of yours gives and write the row into Parts.",
    )


@message("part is a dish", Grade.WARNING)
def part_is_a_dish(name: str) -> Words:
    """A part that Recipes says how to make."""
    return Words(
        f"{name}, which is a dish of Recipes",
        "a part that no recipe makes",
        "It is made by its recipe, and none of it is cut. Delete this row, or give the part "
        "another name and take that in the recipes.",
    )


@message("made with optional lines", Grade.WARNING)
def made_with_optional(dish: str, shots: Sequence[str]) -> Words:
    """Shots with the optional lines of a dish that is on hand or sold ready without them."""
    return Words(
        f"{dish} with its optional lines for {choice_words(shots, last='and')}",
        f"{dish} without them, as it is on hand or sold ready",
        "It is made afresh, and nothing that is on hand or sold ready of it is used there. Leave "
        "Optional lines blank where that may be used.",
    )
