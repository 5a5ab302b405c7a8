"""The step that was guessed for an ingredient: in the Note of its row, and what is said of it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from costing.findings import Finding, Place, choice_words
from costing.recipe_text import recipe_messages as messages


@dataclass(frozen=True, slots=True)
class Placed:
    """Where an ingredient is taken, or the part of it that one step takes.

    Parameters
    ----------
    step : int
        The first step that names it, from 1.
    words : str
        The words that do.
    later : tuple of int
        Other steps that name it.
    part : Fraction
        How much of the line the step takes, where the method divides it. [of 1]
    others : tuple of Placed
        The other parts.
    said : Fraction
        How much of the line the step says it takes, where no step takes the rest. [of 1]
    """

    step: int
    words: str
    later: tuple[int, ...] = ()
    part: Fraction = Fraction(1)
    others: tuple[Placed, ...] = ()
    said: Fraction = Fraction(1)


GUESSES_NAMED = 3
"""So many ingredients are named with the step they were put to; Note has it of each."""

NO_STEP = "; no step names it"
_GUESS = re.compile(
    r"; (?:(?P<part>[0-9]{1,6}/[1-9][0-9]{0,5}) in )?"
    r'step (?P<step>[0-9]{1,4}) by "(?P<words>[^"]*)"'
    r"(?:, again in (?P<later>[0-9]{1,4}(?:, [0-9]{1,4})*))?"
    r"(?:, (?P<said>[0-9]{1,6}(?:/[1-9][0-9]{0,5})?) of it, the rest in none)?\Z"
)


def with_guess(note: str, where: Placed | None) -> str:
    """Give a line's Note with the step it was put to and the words that tell so.

    Examples
    --------
    >>> with_guess("2 leeks", Placed(2, "Add the leeks", (3, 4)))
    '2 leeks; step 2 by "Add the leeks", again in 3, 4'
    >>> with_guess("2 leeks", Placed(2, "Add half the leeks", part=Fraction(1, 2)))
    '2 leeks; 1/2 in step 2 by "Add half the leeks"'
    >>> with_guess("2 leeks", Placed(2, "Add half the leeks", said=Fraction(1, 2)))
    '2 leeks; step 2 by "Add half the leeks", 1/2 of it, the rest in none'
    """
    if where is None:
        return note + NO_STEP
    words = where.words.replace('"', "'")
    again = f", again in {', '.join(map(str, where.later))}" if where.later else ""
    part = f"{where.part} in " if where.part != 1 else ""
    said = f", {where.said} of it, the rest in none" if where.said != 1 else ""
    return f'{note}; {part}step {where.step} by "{words}"{again}{said}'


def without_guess(note: str) -> tuple[str, Placed | None, bool]:
    """Give the Note without the guess behind it, the guess, and whether there is one.

    Examples
    --------
    >>> note, where, guessed = without_guess('2 leeks; 1/2 in step 2 by "Add the leeks"')
    >>> note, where.step, where.words, where.part, guessed
    ('2 leeks', 2, 'Add the leeks', Fraction(1, 2), True)
    >>> without_guess('2 leeks; step 2 by "Add half", 1/2 of it, the rest in none')[1].said
    Fraction(1, 2)
    >>> without_guess("2 leeks; no step names it")
    ('2 leeks', None, True)
    """
    if note.endswith(NO_STEP):
        return note.removesuffix(NO_STEP), None, True
    found = _GUESS.search(note)
    if found is None:
        return note, None, False
    later = tuple(map(int, found["later"].split(", "))) if found["later"] else ()
    part, said = Fraction(found["part"] or 1), Fraction(found["said"] or 1)
    where = Placed(int(found["step"]), found["words"], later, part, said=said)
    return note[: found.start()], where, True


def placing_findings(
    names: Sequence[str],
    found: Sequence[Placed | None],
    places: Sequence[Place],
    steps: Mapping[int, Place],
) -> Iterator[Finding]:
    """Say which step each ingredient was put to and by which words, and which no step names.

    ``names``, ``found``, ``places``: of the ingredients, where each was put, and the place of its
    line.
    """
    unnamed = [at for at, where in enumerate(found) if where is None]
    if unnamed:
        yield messages.steps_unnamed(places[unnamed[0]], [names[at] for at in unnamed])
    both = list(zip(names, found, strict=True))
    guessed = [(where, name) for name, where in both if where is not None and where.step in steps]
    if guessed:
        guessed.sort(key=lambda one: one[0].step)
        yield messages.step_guessed(steps[guessed[0][0].step], _guessed_words(guessed))
    divided = [at for at, where in enumerate(found) if where is not None and where.part != 1]
    if divided:
        said = dict.fromkeys(names[at] for at in divided)
        yield messages.lines_divided(places[divided[0]], list(said))
    for place, where in zip(places, found, strict=True):
        if where is not None and where.later:
            yield messages.step_named_twice(place, where.step, where.words, where.later)
        if where is not None and where.said != 1:
            yield messages.rest_not_taken(place, where.step, where.words, str(where.said))


def _guessed_words(guessed: Sequence[tuple[Placed, str]]) -> str:
    """The first ingredients with their steps and the words that name them; the rest is counted."""
    by_step: dict[int, dict[str, list[str]]] = {}
    for where, name in guessed[:GUESSES_NAMED]:
        by_step.setdefault(where.step, {}).setdefault(where.words, []).append(name)
    said = [
        f"step {step} takes "
        + ", ".join(f'{", ".join(named)} ("{words}")' for words, named in by_words.items())
        for step, by_words in by_step.items()
    ]
    more = len(guessed) - GUESSES_NAMED
    return choice_words([*said, *([f"{more} more"] if more > 0 else [])], last="and")
