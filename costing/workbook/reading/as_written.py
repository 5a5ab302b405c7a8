"""What is uncertain about recipe rows that still stand as they were read from their text.

``costing new --recipe`` keeps each line of a recipe in Note. As long as a row says what its line
was read as, what was uncertain about the line is said again; a changed row is an answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from costing.findings import Finding
from costing.kitchen import Line
from costing.names import key
from costing.quantities import Measures, UnitNeedsSystem, UnknownUnit, find_unit
from costing.recipe_text import LineParts, Placed, read_line, told, without_guess

ABOUT_THE_NAME = ("recipe ingredients", "recipe word", "recipe pieces", "recipe pack size")
ABOUT_THE_UNIT = ("recipe unit", "recipe stick", "recipe ounces", "recipe spoon")
"""How the codes of findings begin that belong to another cell than Amount."""


BLANK_AMOUNT = (
    *("recipe amount missing", "recipe amount each", "recipe number", "recipe words for a number"),
    *("recipe measure", "recipe length", "recipe line"),
)
"""How the codes begin that say why Amount is blank, which the blank cell's own finding says."""


def still_uncertain(lines: Iterable[Line], measures: Measures) -> Iterator[Finding]:
    """Give what the line in a row's Note left uncertain, where the row was not changed since.

    A row whose amount is blank brings its own finding for that, and the other doubts here.
    """
    unchanged: dict[str, list[tuple[Line, Placed | None]]] = {}
    for line in lines:
        if not line.note or not line.ingredient:
            continue
        note, where, guessed = without_guess(line.note)
        parts = _read(_line_of(note), measures)
        if not _unchanged(line, parts, measures):
            continue
        for doubt in parts.doubts:
            finding = doubt.at(line.at("Amount"))
            if line.amount is None and finding.code.startswith((*BLANK_AMOUNT, *ABOUT_THE_UNIT)):
                continue
            heading = _heading(finding.code)
            yield doubt.at(line.at(heading))
        if guessed and line.step == (where.step if where else 1):
            unchanged.setdefault(key(line.dish), []).append((line, where))
    for kept in unchanged.values():
        yield from _guesses(kept)


def _guesses(kept: list[tuple[Line, Placed | None]]) -> Iterator[Finding]:
    """Tell of the steps guessed for the rows of a dish, each step at its first row."""
    steps = {line.step: line.at("Step") for line, where in reversed(kept) if where}
    places = [line.at("Step") for line, _ in kept]
    yield from told([line.ingredient for line, _ in kept], [w for _, w in kept], places, steps)


@lru_cache(maxsize=4096)
def _read(note: str, measures: Measures) -> LineParts:
    return read_line(note, measures)


def _line_of(note: str) -> str:
    """The line as it was written, without the heading that was added behind it."""
    text, bracket, heading = note.rpartition(" (")
    added = bracket and heading.endswith(")") and not any(c.isdecimal() for c in heading)
    return text if added else note


def _unchanged(line: Line, parts: LineParts, measures: Measures) -> bool:
    """Whether a row says what its line was read as; a blank amount, that none could be read."""
    if key(parts.name) != key(line.ingredient) or key(parts.cut) != key(line.cut):
        return False
    try:
        unit = find_unit(parts.unit or "each", measures)
    except (UnknownUnit, UnitNeedsSystem):
        return line.amount is None
    if line.amount is None or parts.high is None:
        return line.amount is None and parts.high is None and not line.to_taste
    return (parts.high * unit.size, unit.dimension) == (line.amount.base, line.amount.dimension)


def _heading(code: str) -> str:
    if code.startswith(ABOUT_THE_NAME):
        return "Ingredient"
    return "Unit" if code.startswith(ABOUT_THE_UNIT) else "Amount"
