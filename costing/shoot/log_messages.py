"""What is said of lines of the day log whose names the shoot does not have."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, message


@message("log shot unknown", Grade.ERROR)
def log_shot_unknown(name: str, event: str, near: Sequence[str]) -> Words:
    """A take of something that is no shot."""
    return Words(
        f'"{event}" of "{name}", which is no shot of the Shoot plan',
        choice_words([f'"{one}"' for one in near]) if near else "the name of a shot",
        f'Write "{near[0]}" if that is meant. Until then the line counts for no shot, and the '
        "takes that are left leave it out."
        if near
        else "Write the name as the Shoot plan has it. Until then the line counts for no shot, and "
        "the takes that are left leave it out.",
    )


@message("log shot unclear", Grade.ERROR)
def log_shot_unclear(name: str, event: str, which: Sequence[str]) -> Words:
    """A take of one of several shots."""
    return Words(
        f'"{event}" of "{name}", a name of {len(which)} shots',
        choice_words(which),
        "Name the shots apart in the column Shot, or write the episode before the name, as in "
        f'"{which[0]}". Until then the line counts for none of them.',
    )


@message("log ingredient unknown", Grade.ERROR)
def log_ingredient_unknown(name: str, near: Sequence[str]) -> Words:
    """A count of something that is no ingredient."""
    return Words(
        f'"{name}" counted, which is no ingredient of the workbook',
        choice_words([f'"{one}"' for one in near]) if near else "the name of an ingredient",
        (f'Write "{near[0]}" if that is meant' if near else "Write the name as Recipes has it")
        + ". Until then the count does not count.",
    )


@message("taken told otherwise", Grade.NOTE)
def taken_otherwise(name: str, typed: int, logged: int) -> Words:
    """A number of takes typed into the plan and another in the log."""
    return Words(
        f'Taken {typed} of "{name}", and {logged} in the day log',
        "the same number in both, or a blank Taken",
        f"{max(typed, logged)} counts, the larger, so that no food is promised twice. Clear Taken "
        "if the log is kept.",
    )


@message("count changes nothing", Grade.NOTE)
def count_changes_nothing(name: str) -> Words:
    """A count of something that no shot takes."""
    return Words(
        f'"{name}" counted, of which no shot takes anything',
        "counts of what the shots take",
        "It changes nothing for the takes that are left. Leave it for what comes, or take it back.",
    )
