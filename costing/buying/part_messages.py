"""What is said of articles and their parts."""

from __future__ import annotations

from costing.findings import Grade, Words, message


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
