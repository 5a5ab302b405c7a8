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
from costing.recipe_text import LineParts, read_line

ABOUT_THE_NAME = ("recipe ingredients", "recipe word", "recipe pieces", "recipe pack size")
ABOUT_THE_UNIT = ("recipe unit", "recipe stick", "recipe ounces", "recipe spoon")
"""How the codes of findings begin that belong to another cell than Amount."""


def still_uncertain(lines: Iterable[Line], measures: Measures) -> Iterator[Finding]:
    """Give what the line in a row's Note left uncertain, where the row was not changed since.

    A row whose amount is blank brings its own finding.
    """
    for line in lines:
        if not line.note or line.amount is None:
            continue
        parts = _read(_line_of(line), measures)
        if not _unchanged(line, parts, measures):
            continue
        for doubt in parts.doubts:
            finding = doubt.at(line.at("Amount"))
            heading = _heading(finding.code)
            yield doubt.at(line.at(heading))


@lru_cache(maxsize=4096)
def _read(note: str, measures: Measures) -> LineParts:
    return read_line(note, measures)


def _line_of(line: Line) -> str:
    """The line as it was written, without the heading that was added behind it."""
    text, bracket, heading = line.note.rpartition(" (")
    added = bracket and heading.endswith(")") and not any(c.isdecimal() for c in heading)
    return text if added else line.note


def _unchanged(line: Line, parts: LineParts, measures: Measures) -> bool:
    if line.amount is None or parts.high is None or key(parts.name) != key(line.ingredient):
        return False
    try:
        unit = find_unit(parts.unit or "each", measures)
    except (UnknownUnit, UnitNeedsSystem):
        return False
    same = (parts.high * unit.size, unit.dimension) == (line.amount.base, line.amount.dimension)
    return same and key(parts.cut) == key(line.cut)


def _heading(code: str) -> str:
    if code.startswith(ABOUT_THE_NAME):
        return "Ingredient"
    return "Unit" if code.startswith(ABOUT_THE_UNIT) else "Amount"
