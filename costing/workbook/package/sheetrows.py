"""Rows and cells of a worksheet part, each with the bytes it stands in, and what a cell shows."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from costing.workbook.package.addresses import whole

ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


@dataclass(slots=True)
class SheetCell:
    """A cell as the part spells it.

    Parameters
    ----------
    row, column : int
        Both from 1.
    start, inner, end : int
        Offsets of ``<``, of the content and after the cell.
    kind : str
        Type as written (``s``, ``str``, ``b`` ...), ``n`` when none is.
    text : str, optional
        What stands in it: the digits, the text of an inline string, or the number of a shared one.
    formula : str, optional
        ``""`` for one that is told by a shared formula elsewhere.
    value_span, formula_span : tuple of two int, optional
        Bytes of the value and of the formula, their tags included.
    """

    row: int
    column: int
    start: int
    inner: int = 0
    end: int = 0
    style: int = 0
    kind: str = "n"
    text: str | None = None
    formula: str | None = None
    formula_attributes: dict[str, str] = field(default_factory=dict)
    value_span: tuple[int, int] | None = None
    formula_span: tuple[int, int] | None = None

    @property
    def holds(self) -> bool:
        """Whether there is anything in it but a format."""
        return self.formula is not None or bool(self.text)


@dataclass(slots=True)
class SheetRow:
    """A row as the part spells it; its start tag ends at ``tag_end``.

    Attributes are those of the format; what a program says in a namespace of its own is left out,
    since its prefix may mean nothing where the row is written anew.
    """

    number: int
    start: int
    tag_end: int = 0
    end: int = 0
    attributes: dict[str, str] = field(default_factory=dict)
    cells: list[SheetCell] = field(default_factory=list)


def shown(cell: SheetCell, strings: Sequence[str]) -> str | float | bool | None:
    """What a cell shows: text, number or yes and no; an error value as its text.

    Examples
    --------
    >>> shown(SheetCell(1, 1, 0, kind="s", text="0"), ["leek"])
    'leek'
    """
    text = cell.text
    if text is None:
        return None
    if cell.kind == "s":
        number = whole(text.strip(), -1)
        text = strings[number] if 0 <= number < len(strings) else ""
    elif cell.kind == "b":
        return text.strip() == "1"
    elif cell.kind == "n":
        try:
            return float(text) if text.strip() else None
        except ValueError:
            return text
    return unescaped(text)


def unescaped(text: str) -> str:
    r"""A text from the way a cell spells it, signs that XML cannot hold included.

    Examples
    --------
    >>> unescaped("a_x000D_b_x005F_x0041_")
    'a\rb_x0041_'
    """
    if "_x" not in text:
        return text
    return ESCAPED.sub(lambda found: chr(int(found.group(1), 16)), text)
