"""What a formula refers to, read closely enough to know whose results it needs."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from costing.workbook.package.addresses import (
    LAST_COLUMN,
    LAST_ROW,
    column_letters,
    column_number,
    corners,
)

TOKEN = re.compile(
    r"""
      "(?:[^"]|"")*"
    | (?P<sheet>(?:'(?:[^']|'')+'|[^\W\d][\w.]*(?::[^\W\d][\w.]*)?|\[\d+\][\w.]*)!)?
      (?:
        (?P<cells>\$?[A-Za-z]{1,3}\$?[1-9]\d{0,6}(?::\$?[A-Za-z]{1,3}\$?[1-9]\d{0,6})?)
      | (?P<columns>\$?[A-Za-z]{1,3}:\$?[A-Za-z]{1,3})
      | (?P<rows>\$?[1-9]\d{0,6}:\$?[1-9]\d{0,6})
      )(?![\w.(!\[])
    | (?P<names_sheet>(?:'(?:[^']|'')+'|[^\W\d][\w.]*|\[\d+\][\w.]*)!)?(?P<name>[^\W\d][\w.\\?]*)
    | \d[\w.]*
    | \[(?:'.|[^][']|\[(?:'.|[^]['])*\])*\]
    """,
    re.VERBOSE,
)
"""The last two are numbers, and brackets with columns of a table; ``'`` shields a bracket."""
END = re.compile(r"(\$?)([A-Za-z]{1,3})(\$?)(\d+)")


@dataclass(frozen=True, slots=True)
class Reference:
    """A range of cells named in a formula.

    Parameters
    ----------
    sheet : str
        Title of its sheet, ``""`` for the formula's own; ``first:last`` for a run of sheets.
    top, left, bottom, right : int
        Corners, from 1.
    start, end : int
        Where the cells (without the sheet) stand in the formula.
    """

    sheet: str
    top: int
    left: int
    bottom: int
    right: int
    start: int
    end: int

    @property
    def single(self) -> bool:
        """Whether it is one cell."""
        return self.top == self.bottom and self.left == self.right


@dataclass(frozen=True, slots=True)
class FormulaReferences:
    """What a formula refers to: ranges, and names of tables and the like in small letters."""

    ranges: tuple[Reference, ...]
    names: frozenset[str]


def title_of(prefix: str) -> str:
    """A sheet's title from the way a formula spells it.

    Examples
    --------
    >>> title_of("'Cook''s list'!"), title_of("Needs!")
    ("Cook's list", 'Needs')
    """
    words = prefix.removesuffix("!")
    if words.startswith("'"):
        words = words[1:-1].replace("''", "'")
    return words


def needs_of(formula: str) -> FormulaReferences:
    """What a formula refers to.

    Examples
    --------
    >>> needs = needs_of("SUM('To buy'!I5:I9)*tNeeds[[#This Row],[Net need]]")
    >>> [(r.sheet, r.top, r.left, r.bottom, r.right) for r in needs.ranges], sorted(needs.names)
    ([('To buy', 5, 9, 9, 9)], ['sum', 'tneeds'])
    """
    ranges: list[Reference] = []
    names: set[str] = set()
    for found in TOKEN.finditer(formula):
        if found.group("name"):
            names.add(found.group("name").casefold())
        elif found.lastgroup is not None:
            ranges.append(_reference(found, found.lastgroup))
    return FormulaReferences(tuple(ranges), frozenset(names))


def _reference(found: re.Match[str], kind: str) -> Reference:
    """The rectangle that a reference in a formula names; whole rows and columns reach the end."""
    words = found.group(kind)
    first, _, last = words.partition(":")
    if kind == "columns":
        words = f"{first}1:{last}{LAST_ROW}"
    elif kind == "rows":
        words = f"A{first}:{column_letters(LAST_COLUMN)}{last}"
    where = corners(words)
    assert where is not None  # noqa: S101 - so the pattern has it
    return Reference(title_of(found.group("sheet") or ""), *where, *found.span(kind))


def rewritten(formula: str, move: Callable[[Reference, re.Match[str]], tuple[int, int]]) -> str:
    """The formula with the ends of its cell ranges moved.

    ``move`` is asked for every end and gives its new row and column; its second argument holds
    the end's dollar signs, letters and digits.
    """
    pieces, at = [], 0
    for reference in needs_of(formula).ranges:
        words = formula[reference.start : reference.end]
        ends = [END.fullmatch(end) for end in words.split(":")]
        if None in ends:
            continue
        moved = []
        for end in ends:
            assert end is not None  # noqa: S101 - looked at above
            row, column = move(reference, end)
            moved.append(f"{end.group(1)}{column_letters(column)}{end.group(3)}{row}")
        pieces += [formula[at : reference.start], ":".join(moved)]
        at = reference.end
    return "".join([*pieces, formula[at:]])


def filled(formula: str, *, down: int, right: int) -> str:
    """The formula as it reads after being filled into a cell further down and to the right.

    Examples
    --------
    >>> filled("A1*$B$2+FormulaReferences!C3", down=2, right=1)
    'B3*$B$2+FormulaReferences!D5'
    """

    def move(_: Reference, end: re.Match[str]) -> tuple[int, int]:
        row = int(end.group(4)) + (0 if end.group(3) else down)
        column = column_number(end.group(2)) + (0 if end.group(1) else right)
        return min(max(row, 1), LAST_ROW), min(max(column, 1), LAST_COLUMN)

    return rewritten(formula, move)
