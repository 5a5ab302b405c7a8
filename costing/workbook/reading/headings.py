"""The headings of an input sheet: in which row they stand, and which column is which."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache

from costing.findings import Finding, Grade, Place, Words, choice_words, message
from costing.names import key, singular, slips
from costing.workbook.layout import INPUT_SHEETS, Sheet
from costing.workbook.package.addresses import column_letters
from costing.workbook.package.worksheets import Worksheet
from costing.workbook.reading.cells import shortened

HEADING_ROWS = 20
"""Headings are looked for in so many first rows."""

SHORT_HEADING = 5
"""Up to this length a slip is reported only when the first letter is right. [characters]"""

ONE_SLIP = 4
TWO_SLIPS = 8
"""From these lengths on one slip, and two slips, are reported. [characters]"""


def merged_headings(sheet: Worksheet, header: int) -> set[int]:
    """Columns whose heading is merged with others, which has its own finding."""
    return {
        column
        for top, left, bottom, right in sheet.merged
        if top <= header <= bottom
        for column in range(left, right + 1)
    }


def header_row(layout: Sheet, sheet: Worksheet) -> int:
    """The row that holds most of our headings, 0 when none does."""
    known = {heading_key(heading): heading for heading in layout.headings}
    # one word alone may be the title above the headings, unless a sheet needs no more than one
    least = min(2, len(layout.required_headings))
    best, best_score = 0, 0
    for row in range(1, HEADING_ROWS + 1):
        score = 0
        for text in texts_in(sheet, row).values():
            if heading_key(text) in known:
                # one spelled right weighs as much as two that are nearly right
                score += 2
            elif _meant(text, layout, known.values()):
                score += 1
        if score > best_score and score >= least:
            best, best_score = row, score
    return best


def texts_in(sheet: Worksheet, row: int) -> dict[int, str]:
    """The texts of a row by column, formulas by their results."""
    return {
        column: shortened(cell.value)
        for column, cell in sorted(sheet.rows.get(row, {}).items())
        if isinstance(cell.value, str) and cell.value.strip()
    }


def columns_in(
    layout: Sheet, texts: dict[int, str], title: str, row: int
) -> tuple[dict[int, str], set[str], list[Finding]]:
    """Our heading by column, the headings that are not certain, and what is to be said."""
    known = {heading_key(heading): heading for heading in layout.headings}
    columns: dict[int, str] = {}
    doubtful: set[str] = set()
    findings: list[Finding] = []
    first: dict[str, int] = {}
    for column, text in texts.items():
        heading = known.get(heading_key(text))
        if heading is None:
            continue
        columns[column] = heading
        earlier = first.setdefault(heading, column)
        if earlier != column:
            doubtful.add(heading)
            place = Place(title, row, column_letters(column), heading)
            address = f"{column_letters(earlier)}{row}"
            findings.append(heading_twice(place, text, address))
    for column, text in texts.items():
        if column in columns:
            continue
        heading = _meant(text, layout, first)
        if heading is not None:
            columns[column] = heading
            doubtful.add(heading)
            place = Place(title, row, column_letters(column))
            findings.append(heading_nearly_known(place, text, heading))
    return columns, doubtful, findings


def _meant(text: str, layout: Sheet, present: Iterable[str]) -> str | None:
    """The layout's heading that a heading is near; another sheet's heading is the user's own."""
    there = set(present)
    for column in layout.columns:
        if column.heading not in there and heading_key(text) in map(heading_key, column.older):
            return column.heading
    return None if heading_key(text) in OTHERS else nearly(text, layout.headings)


def heading_key(text: str) -> str:
    """What two spellings of one heading have in common; full-width letters are letters."""
    return key(unicodedata.normalize("NFKC", text))


def nearly(text: str, known: Iterable[str]) -> str | None:
    """The known name that ``text`` is nearly, ``None`` when it is far from all of them.

    Blanks, hyphens and other marks, plural and singular, and one or two slips are what "nearly"
    means. A name with a digit that the known one has not is somebody's own: ``Ingredient 2``.

    Examples
    --------
    >>> nearly("Trim yield", ["Dish", "Trim yield %"]), nearly("Ingredients", ["Ingredient"])
    ('Trim yield %', 'Ingredient')
    >>> nearly("Ingredient 2", ["Ingredient"]) is None
    True
    """
    short, known = key(text), list(known)
    # what is spelled the same but for marks goes before a slip, wherever it is in the list
    letters, single = _letters(short), _singular(short)
    for name in known:
        other = key(name)
        if letters == _letters(other) or single == _singular(other):
            return name
    if any(c.isdigit() for c in short):
        return None
    for name in known:
        other = key(name)
        allowed = _allowed(short, other)
        if abs(len(short) - len(other)) <= allowed and slips(short, other) <= allowed:
            return name
    return None


OTHERS = {heading_key(h): h for layout in INPUT_SHEETS for h in layout.headings}
"""Headings of all sheets, by what spellings of them have in common."""


@lru_cache(maxsize=4096)
def _letters(text: str) -> str:
    return "".join(c for c in text if c.isalnum())


@lru_cache(maxsize=4096)
def _singular(text: str) -> str:
    return _letters("".join(map(singular, text.replace("-", " ").replace("_", " ").split())))


def _allowed(text: str, known: str) -> int:
    shorter = min(len(text), len(known))
    if shorter < ONE_SLIP or (shorter <= SHORT_HEADING and text[:1] != known[:1]):
        return 0
    return 2 if shorter >= TWO_SLIPS else 1


@message("required heading missing", Grade.ERROR)
def required_heading_missing(missing: Sequence[str], found: Sequence[str]) -> Words:
    if found:
        head = "the headings " + choice_words(found).replace(" or ", " and ")
    else:
        head = "none of its headings in the first 20 rows"
    return Words(
        head,
        ("also " if found else "") + choice_words(missing).replace(" or ", " and "),
        "Write what is missing, spelled so, into the row of headings; until then the sheet is not "
        "read.",
    )


@message("heading nearly known", Grade.ERROR)
def heading_nearly_known(found: str, meant: str) -> Words:
    return Words(
        f'the heading "{found}"',
        f'"{meant}", or a heading that is not nearly the same',
        f'Write "{meant}" if that is meant; a column of your own needs a heading that differs '
        "more. Until then results that depend on the column are left out.",
    )


@message("heading twice", Grade.ERROR)
def heading_twice(heading: str, first: str) -> Words:
    return Words(
        f'the heading "{heading}" a second time; the first is at {first}',
        "each heading once",
        "Delete one of the columns, or give it a heading of its own; until then results that "
        "depend on the column are left out.",
    )
