"""Foods with their amounts in sentences: Take four pounds of flour; whisk in 2 eggs.

Old cookbooks have no list of ingredients, and many a note has none. What a list leaves out stands
in the method too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import islice

from costing.findings import Finding
from costing.names import is_water
from costing.quantities import Measures
from costing.recipe_text import messages as line_messages
from costing.recipe_text import recipe_messages as messages
from costing.recipe_text.around import is_cut
from costing.recipe_text.counts import count_at
from costing.recipe_text.lines import read_line
from costing.recipe_text.measured import measured_at
from costing.recipe_text.method import LONGEST_STEP, NamedLine, placed
from costing.recipe_text.outline import Outline, SourceLine, step_name
from costing.recipe_text.words import DISH_PARTS, FRUIT_PARTS
from costing.reference import find_food

LONGEST_PHRASE = 80
"""An amount and its food are no longer. [characters]"""

MOST_LOOKED_FOR = 60
"""So many amounts of a step are read, and of a method looked for in the list."""

_PARTS = "|".join(FRUIT_PARTS)
_START = re.compile(
    rf"(?<![\w.,/\N{{FRACTION SLASH}}°-])(?P<part>(?:the )?(?:grated )?(?:{_PARTS})s? of )?"
    r"(?=[0-9½¼¾⅓⅔⅛.]|an? |half |one |two |three |four |five |six |seven |eight |nine |ten "
    r"|eleven |twelve |three-|two-|one-)",
    re.IGNORECASE,
)
_BACK = re.compile(
    r"\b(?:the|these|those|your|other|remaining|reserved|same|last|first|another|gas|step|every"
    r"|each|mark|or)\s+$|[\w,] to\s+$",
    re.IGNORECASE,
)
"""Before a number that says again what was said, or no amount of a food."""

_END = re.compile(
    r"[,;:!?()]|\.(?![0-9])|\s(?:-|–|—|\+|&|(?:with|and|in|into|to|on|onto|over|for|until|till|then|or"
    r"|at|from|through|by|as|while|when|which|that|each|together|again|per|before|after|if|is|are)\b)",
    re.IGNORECASE,
)
_NEXT = re.compile(r"\s+[A-Z]")
_OF_THE_SAME = re.compile(r" of (?=[a-z])", re.IGNORECASE)
"""One tablespoonful of butter; one of sugar."""

_NO_FOOD = DISH_PARTS | {"it", "them", "this", "these", "mixture", "time", "the", "heat"}


def amounts_in(text: str, measures: Measures) -> list[str]:
    """The foods of sentences with their amounts, each as a line of a list has it.

    Examples
    --------
    >>> amounts_in("Take four pounds of flour, and half an ounce of yeast.", Measures.METRIC)
    ['four pounds of flour', 'half an ounce of yeast']
    >>> amounts_in("Bake for an hour at 180 C. Add the 2 eggs.", Measures.METRIC)
    []
    """
    return list(_amounts(text[:LONGEST_STEP], measures))


def _amounts(text: str, measures: Measures) -> Iterator[str]:
    at, unit, tried = 0, "", 0
    while (start := _START.search(text, at)) and tried < MOST_LOOKED_FOR:
        at, tried = start.end() + 1, tried + 1
        told = text[start.end() : start.end() + LONGEST_PHRASE]
        measured, counted = measured_at(told, measures), count_at(told)
        if _BACK.search(text[: start.start()]) or not (measured or counted):
            continue
        behind = measured[1] if measured else counted[1] if counted else ""
        # the dot of a unit ends the sentence too: at 180 C. Add the eggs
        end = _END.search(told, len(told) - len(behind) - bool(_NEXT.match(behind)))
        phrase = told[: end.start() if end else len(told)].strip()
        same = _OF_THE_SAME.match(behind) if counted and not measured else None
        said = phrase
        if same and counted and unit:
            said = f"{counted[0].written.strip()} {unit}{phrase[len(told) - len(behind) :]}"
        elif same:
            continue
        if not _is_food(said, measures):
            continue
        if measured and measured[0].unit:
            unit = measured[0].unit.shown
        at = start.end() + max(len(phrase), 1)
        yield f"{start['part'] or ''}{said}{_cut_behind(text[at:])}"


def _is_food(said: str, measures: Measures) -> bool:
    """Whether an amount of food is said: a known one, or any in a weight or a volume."""
    read = read_line(said, measures)
    by_eye = any(one.message is line_messages.measure_vague for one in read.doubts)
    if not (read.amount or by_eye) or read.name.casefold() == said.casefold():
        return False
    known = find_food(read.name).how != "none"
    named = _NO_FOOD.isdisjoint((read.name.casefold(), read.name.casefold().split()[0]))
    return known or (named and not by_eye and read.unit not in ("", "each"))


def _cut_behind(text: str) -> str:
    """What is done to the food, between commas behind it: 3 cloves of garlic, sliced, for."""
    if not text.startswith(", "):
        return ""
    end = _END.search(text, 2)
    said = text[: end.start() if end else len(text)]
    short = len(said.split()) <= 2 and count_at(said[2:]) is None
    return said if short and is_cut(said[2:]) else ""


def not_listed(
    outline: Outline, lines: Sequence[NamedLine], steps: Sequence[str], measures: Measures
) -> Iterator[Finding]:
    """Tell of the amounts of foods in the steps of a method that none of the lines names."""
    found = ((at, said) for at, text in enumerate(steps) for said in amounts_in(text, measures))
    for at, said in islice(found, MOST_LOOKED_FOR):
        name = read_line(said, measures).name
        food = not is_water(name) and find_food(name).how != "none"
        if food and not any(placed(lines, [said], measures)):
            yield messages.not_listed(outline.place(outline.method[at][1]), at + 1, said)


def taken_in_steps(outline: Outline, measures: Measures) -> None:
    """Of a recipe without a list take what its sentences measure; else say they are left out."""
    if any(group.lines for group in outline.groups):
        for source in outline.prose:
            outline.note(messages.line_left_out, source, source.text)
        return
    steps = [*outline.method, *((step_name(one.text), one) for one in outline.prose)]
    steps.sort(key=lambda step: step[1].number)
    lines = [
        [SourceLine(source.number, said, said) for said in amounts_in(source.text, measures)]
        for _, source in steps
    ]
    if any(lines):
        outline.method = [*steps]
        outline.put_to_steps(lines)
        taken = [one.text for said in lines for one in said]
        outline.note(messages.taken_of_sentences, steps[0][1], taken)
