"""What is said of copies of a dish: where they come from, and how long they stand."""

from __future__ import annotations

from collections.abc import Sequence

from costing.findings import Grade, Words, message


@message("made from first step", Grade.WARNING)
def made_from_the_first_step(steps: str, purpose: str, counted: str) -> Words:
    """A shot that shows a whole dish and names only the last of its steps."""
    return Words(
        f"steps {steps} alone for a {purpose}, which shows a dish made from its first step",
        f"{counted}, or in From the shot whose copy goes on",
        f"Counted as {counted}, so that there is a dish to show. Write that, or nothing into From "
        "if these steps stand for themselves.",
    )


@message("steps left out", Grade.WARNING)
def steps_left_out(steps: str, made: str, counted: str) -> Words:
    """A copy that goes on with steps left out between those it has and those of the shot."""
    return Words(
        f"steps {steps} on a copy that has {made or 'none'}",
        f"{counted}, so that no step is left out that takes food",
        f"Counted as {counted}. Write that, or name in From the shot in which they are made.",
    )


@message("shot unknown", Grade.WARNING)
def shot_unknown(name: str, near: Sequence[str], *, alone: bool) -> Words:
    """A shot that is to go on with a copy from one that nobody plans."""
    return Words(
        f'the shot "{name}", which this episode does not have',
        "a shot of the same dish, or nothing",
        (f'Write "{near[0]}" if that is meant; until' if near else "Mend the name; until")
        + f" then {_taken_instead(alone=alone)}.",
    )


@message("copy cannot go on", Grade.WARNING)
def copy_cannot_go_on(name: str, why: str, mended: str = "", *, alone: bool) -> Words:
    """A shot that is to go on with a copy that it cannot take over.

    ``mended`` says how its Steps are mended, where that is known.
    """
    return Words(
        f'"{name}", {why}',
        "an earlier shot of the same dish and batch that leaves a whole copy, and steps that "
        "follow its last",
        f"Name such a shot, or {mended or 'mend Steps'}; until then {_taken_instead(alone=alone)}.",
    )


def _taken_instead(*, alone: bool) -> str:
    """What is done for a shot that goes on with no copy."""
    return "its steps stand for themselves" if alone else "a new copy is begun"


@message("copy stands too long", Grade.WARNING)
def copy_stands_too_long(
    first: str, start: str, shot: str, when: str, limit: str, rule: str
) -> Words:
    """A copy that is eaten after it has stood through other shots, with no log of it."""
    return Words(
        f'a copy first shot in "{first}" at {start} and eaten in "{shot}" at {when}: past the '
        f"{limit} of {rule} if it is out in between",
        "food within its limit when it is eaten, with all that it has been through",
        "Keep it in control between its shots and log it on the sheet Holding with its "
        f'temperatures, or begin a new copy for "{shot}".',
    )
