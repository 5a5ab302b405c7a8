"""What a formula refers to, read closely enough to know whose results it needs."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from costing.workbook.package.addresses import LAST_COLUMN, LAST_ROW, column_letters, column_number

TOKEN = re.compile(
    r"""
      (?P<text>"(?:[^"]|"")*")
    | (?P<sheet>(?:'(?:[^']|'')+'|[^\W\d][\w.]*(?::[^\W\d][\w.]*)?|\[\d+\][\w.]*)!)?
      (?:
        (?P<cells>\$?[A-Za-z]{1,3}\$?[1-9]\d{0,6}(?::\$?[A-Za-z]{1,3}\$?[1-9]\d{0,6})?)
      | (?P<columns>\$?[A-Za-z]{1,3}:\$?[A-Za-z]{1,3})
      | (?P<rows>\$?[1-9]\d{0,6}:\$?[1-9]\d{0,6})
      )(?![\w.(!\[])
    | (?P<names_sheet>(?:'(?:[^']|'')+'|[^\W\d][\w.]*|\[\d+\][\w.]*)!)?(?P<name>[^\W\d][\w.\\?]*)
    | (?P<number>\d[\w.]*)
    """,
    re.VERBOSE,
)
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
    at = 0
    while at < len(formula):
        if formula[at] == "[" and not re.match(r"\[\d+\][\w.]*!", formula[at:]):
            at = _after_bracket(formula, at)
            continue
        found = TOKEN.match(formula, at)
        # an operator, a bracket or a blank: no part of any name
        if found is None or found.end() == at:
            at += 1
            continue
        if found.group("name"):
            names.add(found.group("name").casefold())
        elif not found.group("text") and not found.group("number"):
            ranges.append(_reference(found))
        at = found.end()
    return FormulaReferences(tuple(ranges), frozenset(names))


def _after_bracket(formula: str, at: int) -> int:
    """Where the bracket that opens at ``at`` is closed; ``'`` shields the sign after it."""
    depth = 0
    while at < len(formula):
        sign = formula[at]
        if sign == "'":
            at += 1
        elif sign == "[":
            depth += 1
        elif sign == "]":
            depth -= 1
            if depth == 0:
                return at + 1
        at += 1
    return at


def _reference(found: re.Match[str]) -> Reference:
    """The rectangle that a reference in a formula names; whole rows and columns reach the end."""
    sheet = title_of(found.group("sheet") or "")
    kind = "cells" if found.group("cells") else "columns" if found.group("columns") else "rows"
    ends = found.group(kind).replace("$", "").split(":")
    if kind == "columns":
        columns = sorted(column_number(end) for end in ends)
        corners = (1, columns[0], LAST_ROW, columns[-1])
    elif kind == "rows":
        rows = sorted(int(end) for end in ends)
        corners = (rows[0], 1, rows[-1], LAST_COLUMN)
    else:
        points = [END.fullmatch(end) for end in ends]
        rows = sorted(int(p.group(4)) for p in points if p)
        columns = sorted(column_number(p.group(2)) for p in points if p)
        corners = (rows[0], columns[0], rows[-1], columns[-1])
    return Reference(sheet, *corners, found.start(kind), found.end(kind))


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
