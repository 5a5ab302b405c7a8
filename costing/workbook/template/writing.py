"""A new workbook with its instructions, from the layout; the same call gives the same bytes."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from io import BytesIO
from typing import Any

import xlsxwriter

from costing.holding.explaining import GENERAL_CAUTIONS
from costing.workbook.layout import INPUT_SHEETS, INPUT_TITLES, INSTRUCTIONS_TITLE, Sheet
from costing.workbook.template.cells import NO_GRIDLINES, Row, Styles
from costing.workbook.template.sheets import (
    CHOICE_ROWS,
    HEADINGS,
    height_of,
    note_size,
    write_sheet,
)

FILLING = (
    (
        "Recipes first",
        "A row for each ingredient of each step. A blank Dish or Step means the one of the row "
        "above.",
    ),
    (
        "Then the Shoot plan",
        "A row for each use of food: a cook-through, a retake of some steps, a swap, the hero. "
        "Steps and Times say what it takes; the rest may stay blank.",
    ),
    (
        "Then Packs",
        "What the shops sell, with prices. Quantities are worked out without it, money is not.",
    ),
    (
        "What is needed",
        "The underlined headings in the darker shade; everything else may stay blank. The note at "
        "each heading tells its meaning, its unit and what holds when a cell is blank.",
    ),
    (
        "Amounts and steps",
        "Amounts may be 250, 1 1/2, 3/4 or 2-3, steps 2 or 1-3 or 1-3, 5. In Recipes and Shoot "
        "plan these columns are text, so that no date comes of 1/2 or 1-3.",
    ),
    (
        "What is yours",
        "Columns and sheets of your own are kept as they are. Give them names that are not nearly "
        "the same as the ones here.",
    ),
)
COMMANDS = (
    ("costing", "what to do next in the folder you are in"),
    ("costing check FILE", "tells what cannot be read or does not go together"),
    ("costing estimate FILE", "works everything out and adds the result sheets to this workbook"),
    ("costing list FILE", "what to buy on the screen; with --html as a page for the phone"),
    ("costing why FILE", "what each limit, shop and uncertain take costs"),
    ("costing holding FILE", "how long each container has been out, against the rules"),
    (
        "costing new FILE --like OLD",
        "with --recipe: a workbook from it, with packs and prices of an older workbook",
    ),
    ("costing new FILE --with SHEET", "adds a sheet to a workbook, and nothing else"),
)
WORDS = (
    ("shot", "one use of food, on camera or for it: a row of Shoot plan"),
    ("take", "one time a shot is taken"),
    ("retake", "the same steps again; it takes the food of those steps"),
    ("swap", "a copy of the dish ready at a step, to save time or undo a mistake"),
    ("hero, hero spare", "the plate shot as the finished dish, and its copy"),
    ("reset", "putting food and set back to the start of the take, such as new herbs on the hero"),
    ("stand-in", "food for light and framing, never eaten"),
    ("copy", "one making of a dish, with which a later shot may continue"),
    ("candidates", "pieces looked at for each piece that is shown"),
    ("trim yield %", "what is ready to use of what is bought, in percent"),
    ("loose goods", "goods without a pack, of which any multiple of a step is bought"),
    ("bought value", "what the tills take, tax included"),
    ("used value", "what the shots take, at the prices that were paid or that stock is worth"),
    ("left value", "the rest: bought, and from on hand, less used"),
    ("chance of running out", "that some shot is taken more often than there is food for"),
    ("container", "a bowl, box or plate of the sheet Holding"),
    ("out of control", "neither as cold nor as hot as the rule asks, for filming or serving"),
    ("finding", "something in the workbook to mend or to know: error, warning or note"),
)


NAMES, TEXTS = 28, 86
"""Widths of the columns of Instructions. [characters]"""


def write_instructions(book: Any, made: Collection[str], look: Styles) -> None:
    """Add the sheet Instructions to a workbook that has the input sheets ``made``."""
    sheet = book.add_worksheet(INSTRUCTIONS_TITLE)
    for at, width in enumerate((NAMES, TEXTS)):
        sheet.set_column(at, at, width, look.of())
    sheet.set_row(0, 28)
    sheet.write_string(0, 0, INSTRUCTIONS_TITLE, look.title())
    row = _part(sheet, 2, "What to fill in", FILLING, look)
    sheets = [
        (layout.title, layout.purpose + ("" if layout.title in made else " Not in this workbook."))
        for layout in INPUT_SHEETS
    ]
    row = _part(sheet, row, "The sheets", sheets, look)
    row = _part(sheet, row, "The commands", COMMANDS, look)
    row = _part(sheet, row, "Words", WORDS, look)
    _part(sheet, row, "Cautions", [("", text) for text in GENERAL_CAUTIONS], look)
    sheet.hide_gridlines(NO_GRIDLINES)
    sheet.fit_to_pages(1, 0)


def _part(
    sheet: Any, row: int, title: str, lines: Collection[tuple[str, str]], look: Styles
) -> int:
    """Write a heading and its lines; gives the row where the next part begins."""
    heading = look.heading(needed=False)
    sheet.write_string(row, 0, title, heading)
    sheet.write_blank(row, 1, None, heading)
    for name, text in lines:
        row += 1
        words = look.of(text_wrap=True, valign="vcenter", align="left", indent=1)
        if name:
            sheet.write_string(row, 0, name, look.of(bold=True, valign="vcenter", indent=1))
            sheet.write_string(row, 1, text, words)
        else:
            sheet.merge_range(row, 0, row, 1, text, words)
        sheet.set_row(row, height_of(text, TEXTS if name else NAMES + TEXTS))
    return row + 2


FINDINGS = "Findings"
"""Title of the sheet; a program that renames it changes the formulas here too."""

GRADE, SHEET, CELL = "A", "C", "D"
"""Its columns that are looked into."""

ROWS = 2_000
"""So many rows of it are looked through."""

GRADES = ("error", "warning")
"""Grades that are marked; a note finds no fault."""

MADE = datetime(2026, 1, 1)
"""Stands in every new workbook as the day it was made, so that its bytes do not change."""


@contextmanager
def new_book(file: BytesIO) -> Iterator[Any]:
    """A workbook to be written into a file: texts stay texts, its bytes tell no time."""
    with xlsxwriter.Workbook(file, {"in_memory": True}) as book:
        book.set_properties({"created": MADE, "title": "", "author": ""})
        yield book


def template_bytes(
    *,
    all_sheets: bool = False,
    rows: Mapping[str, Sequence[Row]] | None = None,
    more: Collection[str] = (),
    only: Collection[str] = (),
    marking: bool = False,
    remarks: Mapping[str, str] | None = None,
) -> bytes:
    """A new workbook as the bytes of an .xlsx file; the same call always gives the same bytes.

    Parameters
    ----------
    all_sheets : bool
        Whether it has every input sheet; otherwise Settings, Recipes, Shoot plan and Packs, and
        those that ``rows`` fills.
    rows : mapping of str to sequence of rows, optional
        What is filled in: for each sheet its rows, each a mapping of headings to values.
    more : collection of str
        Titles of sheets it has besides.
    only : collection of str
        Titles of the only sheets it has; then it has no Instructions either.
    marking : bool
        Whether cells that the sheet Findings names are marked; that sheet must then be added.
    remarks : mapping of str to str, optional
        For sheets by title a note at the title, besides those at the headings.

    Raises
    ------
    ValueError
        If ``rows`` has a sheet, a heading or a setting that the layout has not.

    Examples
    --------
    >>> template_bytes()[:2]
    b'PK'
    """
    given = rows or {}
    unknown = {*given, *more, *only}.difference(INPUT_TITLES)
    if unknown:
        raise ValueError(f"there is no input sheet {sorted(unknown)}")
    asked = {*given, *more}
    layouts = [
        layout
        for layout in INPUT_SHEETS
        if (layout.title in only if only else all_sheets or layout.first or layout.title in asked)
    ]
    made = [layout.title for layout in layouts]
    file = BytesIO()
    with new_book(file) as book:
        look = Styles(book)
        for layout in layouts:
            sheet = write_sheet(book, layout, given.get(layout.title, ()), made, look)
            if marking:
                mark_faulty_cells(sheet, layout, look)
            if remark := (remarks or {}).get(layout.title):
                sheet.write_comment(0, 0, remark, note_size(remark))
        if not only:
            write_instructions(book, made, look)
    return file.getvalue()


def results_alone_bytes(source: str, why: str) -> bytes:
    """A workbook for the results of one that must not be changed."""
    file = BytesIO()
    with new_book(file) as book:
        sheet = book.add_worksheet("Where from")
        sheet.set_column(0, 0, 90)
        sheet.write_string(0, 0, f"Results of {source}, which has {why} and is left as it is.")
        sheet.write_string(1, 0, "Cells named here as Sheet!Cell stand in that workbook.")
    return file.getvalue()


def mark_faulty_cells(sheet: Any, layout: Sheet, look: Styles) -> None:
    """Let the cells of an input sheet show what Findings says of them."""
    for grade in GRADES:
        sheet.conditional_format(
            HEADINGS,
            0,
            CHOICE_ROWS,
            len(layout.columns) - 1,
            {
                "type": "formula",
                "criteria": fault_formula(layout.title, grade),
                "format": look.fault(error=grade == "error"),
            },
        )


def fault_formula(title: str, grade: str) -> str:
    r"""Whether Findings names the cell the formula is in.

    Examples
    --------
    >>> print(fault_formula("Packs", "error").replace(",Findings", ",\n    Findings"))
    =COUNTIFS(Findings!$A$1:$A$2000,"error",
        Findings!$C$1:$C$2000,"Packs",
        Findings!$D$1:$D$2000,ADDRESS(ROW(),COLUMN(),4))>0
    """
    conditions = (
        (GRADE, f'"{grade}"'),
        (SHEET, f'"{title}"'),
        (CELL, "ADDRESS(ROW(),COLUMN(),4)"),
    )
    listed = ",".join(
        f"{FINDINGS}!${column}$1:${column}${ROWS},{words}" for column, words in conditions
    )
    return f"=COUNTIFS({listed})>0"
