"""What is said of copies of a dish that could go on from shot to shot."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, choice_words, message


@message("copy could go on", Grade.NOTE)
def copy_could_go_on(
    shot: str,
    source: str,
    start: str,
    fewer: int,
    saving: str,
    steps: str,
    least: tuple[int, int, int],
    *,
    eaten: bool,
) -> Words:
    """A shot that begins a copy, while an earlier one leaves a copy that it could show."""
    now, after, anyhow = least
    number = "one copy" if fewer == 1 else f"{fewer} copies"
    limits = " and is within its limits when it is eaten" if eaten else ""
    order = f", {anyhow} at the least in another order" if anyhow < after else ""
    return Words(
        f'a new copy for "{shot}", while "{source}" leaves one',
        f'"{source}" to go on as "{shot}"{start}: {number} fewer, {saving} less',
        f'Write "{source}" in From{steps} if the same one can be shown{limits}. {now} are begun '
        f"now, {after} with all that could go on{order}.",
    )


@message("more copies could go on", Grade.NOTE)
def more_could_go_on(pairs: Sequence[str]) -> Words:
    """Copies that could go on, of which is not worked out what that saves."""
    return Words(
        f"new copies where others could go on: {choice_words(pairs, last='and')}",
        "as few copies as the shots allow",
        "Name the earlier shot in From, and mend Steps as said, where the same one can be shown. "
        "What that saves is not worked out here: there are many, a price is missing, or a search "
        "was not finished.",
    )
