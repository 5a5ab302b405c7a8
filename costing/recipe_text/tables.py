"""Tables of ingredients whose headings say what their cells are: Ingredient, Grams, Baker's %."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from costing.quantities import Measures
from costing.recipe_text.counts import count_at
from costing.recipe_text.measured import measured_at
from costing.recipe_text.outline import SourceLine
from costing.recipe_text.sections import LONGEST_TITLE, section_of
from costing.recipe_text.unit_words import unit_word

_NAMES = frozenset(("ingredient", "ingredients", "item", "food"))
_AMOUNTS = frozenset(
    ("amount", "quantity", "weight", "volume", "metric", "us", "imperial", "baker's %", "%")
)
_UNITS = frozenset(("unit", "units", "measure"))
_REST = frozenset(("", "note", "notes", "prep", "preparation", "bakers %", "percent", "percentage"))
_HEADINGS = _NAMES | _AMOUNTS | _UNITS | _REST
_APART = re.compile(r"\s*\|\s*|\s*\t\s*|\s{2,}")
_AMOUNT = re.compile(r"(?:[^(,;]|,(?=[0-9]))*?(?=\s*(?:[(;]|,(?![0-9])|$))")
_STEP = re.compile(r"[0-9]{1,2}[.)]")
_IN_BRACKETS = re.compile(r"(?P<word>[^()]*)\((?P<unit>[^()]+)\)")


_OF_FLOUR = re.compile(
    r"(?P<name>[^\W\d_][^\d%]*?)\s*[-–—:]?\s+(?P<percent>[0-9]{1,3}(?:[.,][0-9]{1,2})?) ?%"
)
"""Bakers' percentages, where one line has 100: Water 68%. Alone, cream 35% is what cream it is."""


@dataclass(frozen=True, slots=True)
class _Columns:
    """Which cells of a row are what, as its headings say.

    Parameters
    ----------
    units : dict of int to str
        Where amounts without a unit of their own are, and their unit.
    unit : int
        Where the unit of the amount before it is; -1: nowhere.
    sign : str
        Between the cells, as a spreadsheet program saves them; blank: tabs, strokes or blanks.
    """

    number: int
    name: int
    units: dict[int, str]
    unit: int
    sign: str


def tables_read(sources: Sequence[SourceLine], measures: Measures) -> Iterator[SourceLine]:
    """Give the lines, each row of a table with the unit that its heading says.

    Examples
    --------
    >>> table = [SourceLine(1, "Ingredient  Grams  %"), SourceLine(2, "Bread flour  500  100%")]
    >>> [one.text for one in tables_read(table, Measures.METRIC)]
    ['Ingredients', '500 g Bread flour (100%)']
    >>> loaf = [SourceLine(at, f"{name}%") for at, name in enumerate(["Flour 100", "Water 68"])]
    >>> [one.text for one in tables_read(loaf, Measures.METRIC)]
    ['Flour (100%)', 'Water (68%)']
    >>> saved = [SourceLine(1, "Ingredient;Amount;Unit"), SourceLine(2, "flour;1,5;kg")]
    >>> [one.text for one in tables_read(saved, Measures.METRIC)]
    ['Ingredients', '1,5 kg flour']
    """
    columns: _Columns | None = None
    percents = [one["percent"] for one in map(_of_flour, sources) if one]
    bakers = "100" in percents and len(percents) > 1
    for source in sources:
        cells = _cells(source.text, columns.sign if columns else "")
        if headed := _headed(source.text, measures):
            columns = headed
            yield replace(source, text="Ingredients")
        elif columns is not None and _is_row(cells, columns):
            blank = [""] * (columns.number - len(cells))
            yield replace(source, text=_row([*cells, *blank], columns, measures))
        else:
            # a heading between two rows does not end the table, a sentence and the method do
            ended = source.text.endswith((".", "!")) or section_of(source.text) is not None
            columns = None if ended else columns
            part = _of_flour(source) if bakers else None
            said = f"{part['name']} ({part['percent']}%)" if part else source.text
            yield replace(source, text=said)


def _of_flour(source: SourceLine) -> re.Match[str] | None:
    """A line that is a name and its percentage."""
    return _OF_FLOUR.fullmatch(source.text) if len(source.text) <= LONGEST_TITLE else None


def _cells(text: str, sign: str) -> list[str]:
    text = text.strip().strip("|").strip()
    if not sign:
        return _APART.split(text)
    row = next(csv.reader([text], delimiter=sign, skipinitialspace=True), [])
    return [cell.strip() for cell in row]


def _headed(text: str, measures: Measures) -> _Columns | None:
    """What a row of headings says, whatever is between them."""
    said = (_columns(_cells(text, sign), measures, sign) for sign in ("", ";", ","))
    return next((found for found in said if found), None)


def _columns(cells: Sequence[str], measures: Measures, sign: str) -> _Columns | None:
    """What a row of headings says; ``None`` where it is none, or names no amount."""
    said = [cell.casefold().replace("’", "'") for cell in cells]
    names = [at for at, cell in enumerate(said) if cell in _NAMES]
    units = {at: of for at, cell in enumerate(cells) if (of := _unit(cell, measures))}
    unit = next((at for at, cell in enumerate(said) if cell in _UNITS and at), -1)
    known = all(cell in _HEADINGS or at in units for at, cell in enumerate(said))
    if len(names) != 1 or not known or not (units or unit > 0 or _AMOUNTS.intersection(said)):
        return None
    return _Columns(len(cells), names[0], units, unit, sign)


def _is_row(cells: Sequence[str], columns: _Columns) -> bool:
    """Whether cells are a row of the table, whose last ones may be left out, and no step."""
    if _STEP.fullmatch(cells[0]):
        return False
    amounts = [cells[at] for at in columns.units if at < len(cells)]
    fewer = columns.name < len(cells) < columns.number and any(map(_bare, amounts))
    return len(cells) == columns.number or fewer


def _unit(cell: str, measures: Measures) -> str:
    """The unit of a column: Grams, Weight (g)."""
    if cell.casefold() in _HEADINGS:
        return ""
    inside = _IN_BRACKETS.fullmatch(cell.strip())
    word = (inside["unit"] if inside else cell).strip()
    found = unit_word(word, measures)
    return found.shown if found is not None else ""


def _row(cells: Sequence[str], columns: _Columns, measures: Measures) -> str:
    """A row as a line: its first amount, the name, then all the rest in brackets."""
    cells = list(cells)
    if columns.unit > 0 and columns.unit - 1 != columns.name:
        cells[columns.unit - 1] += f" {cells[columns.unit]}"
        cells[columns.unit] = ""
    amounts = [
        f"{cell} {columns.units[at]}" if at in columns.units and _bare(cell) else cell
        for at, cell in enumerate(cells)
        if at != columns.name and cell
    ]
    first = next((one for one in amounts if measured_at(one, measures)), "")
    first = first or next((one for one in amounts if count_at(one)), "")
    rest = [one for one in amounts if one is not first]
    behind = f" ({', '.join(rest)})" if rest else ""
    amount = _AMOUNT.match(first)  # 1, studded with cloves: what is said stands behind the name
    end = amount.end() if amount else 0
    return f"{first[:end]} {cells[columns.name]}{first[end:]}{behind}".strip()


def _bare(cell: str) -> bool:
    """Whether a cell is a number without a unit."""
    counted = count_at(cell)
    return counted is not None and not counted[1].strip()
