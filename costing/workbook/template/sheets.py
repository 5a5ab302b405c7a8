"""An input sheet of a new workbook."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from textwrap import wrap
from typing import Any

from costing.findings import choice_words
from costing.quantities import Measures, known_unit_names
from costing.workbook.layout import (
    INPUT_SHEETS,
    SETTINGS,
    SETTINGS_SHEET,
    TEXTS,
    UNITS,
    Column,
    Sheet,
)
from costing.workbook.layout.columns import NOTE
from costing.workbook.package.addresses import column_letters, quoted
from costing.workbook.package.cellxml import LONGEST_PROMPT, LONGEST_PROMPT_TITLE
from costing.workbook.template.cells import NO_GRIDLINES, Row, Styles, number_format, write_value

TITLE, PURPOSE, HEADINGS, FIRST = 0, 1, 2, 3
"""Rows of a new sheet, counted from 0: the headings stand in row 3, the first data in row 4."""

BLANK_ROWS = 20
"""A new table has at least so many rows to be filled in."""

CHOICE_ROWS = 500
"""Choices are offered, and names looked up, down to this row."""

ROW_HEIGHT = 18
"""Of a row to be filled in. [points]"""
LINE_HEIGHT = 15
"""Of every line more of a long text. [points]"""
AIR = 4
"""Of its width a text leaves so much free. [characters]"""

UNITS_OFFERED = 9
"""The units of everyday; a list of all would be one to search in."""

SETTING_EXTRAS = (("When blank", 58), ("Meaning", 78))
"""Columns of Settings that are only to be read, and their widths."""


def write_sheet(
    book: Any, layout: Sheet, rows: Sequence[Row], made: Collection[str], look: Styles
) -> Any:
    """Add an input sheet to a workbook; the sheet is given back.

    Parameters
    ----------
    rows : sequence of mapping of str to value
        What is filled in, by heading.
    made : collection of str
        Titles of the input sheets that the workbook has.

    Raises
    ------
    ValueError
        If a row has a heading that the sheet has not.
    """
    sheet = book.add_worksheet(layout.title)
    if layout is SETTINGS_SHEET:
        _write_settings(sheet, rows, look)
    else:
        _write_table(sheet, layout, rows, made, look)
    _set_up(sheet, layout)
    return sheet


def _write_table(
    sheet: Any, layout: Sheet, rows: Sequence[Row], made: Collection[str], look: Styles
) -> None:
    """Write an input sheet: headings, rows given, and blank rows ready to fill."""
    unknown = {heading for row in rows for heading in row} - set(layout.headings)
    if unknown:
        raise ValueError(f"the sheet {layout.title} has no heading {sorted(unknown)}")
    sheet.set_default_row(ROW_HEIGHT)
    _write_top(sheet, layout, len(layout.columns), look)
    last = FIRST + max(len(rows), BLANK_ROWS) - 1
    for at, column in enumerate(layout.columns):
        sheet.set_column(
            at, at, column.width, look.of(num_format=number_format(column) or "General")
        )
        for row in range(FIRST, last + 1):
            given = rows[row - FIRST].get(column.heading) if row - FIRST < len(rows) else None
            write_value(sheet, row, at, given, column, look)
        _offer(sheet, at, column, made)
    for row, given in enumerate(rows, FIRST):
        height = height_for_note(given)
        if height > ROW_HEIGHT:
            sheet.set_row(row, height)
    _add_table(sheet, layout, last, look)


def height_for_note(row: Row) -> int:
    """Height of a row in which its Note, which alone is wrapped, is shown whole [points]."""
    return height_of(str(row.get(NOTE.heading) or ""), NOTE.width)


def height_of(text: str, width: int) -> int:
    """Height of a row in which a text is wrapped [points]; the width is in characters."""
    return ROW_HEIGHT + len(wrap(text, width - AIR)[1:]) * LINE_HEIGHT


def _write_top(sheet: Any, layout: Sheet, columns: int, look: Styles) -> None:
    sheet.set_row(TITLE, 28)
    sheet.set_row(PURPOSE, 20)
    sheet.set_row(HEADINGS, 32)
    for at in range(columns):
        sheet.write_blank(TITLE, at, None, look.title())
        sheet.write_blank(PURPOSE, at, None, look.purpose())
    sheet.write_string(TITLE, 0, layout.title, look.title())
    sheet.write_string(PURPOSE, 0, layout.purpose, look.purpose())


def _add_table(sheet: Any, layout: Sheet, last: int, look: Styles) -> None:
    """Make the headings and rows of a sheet a table, with a note on each heading."""
    columns = [
        {"header": column.heading, "header_format": look.heading(needed=column.required)}
        for column in layout.columns
    ]
    if layout is SETTINGS_SHEET:
        columns += [
            {"header": heading, "header_format": look.heading(needed=False)}
            for heading, _ in SETTING_EXTRAS
        ]
    sheet.add_table(
        HEADINGS,
        0,
        last,
        len(columns) - 1,
        {"name": layout.table, "style": None, "autofilter": False, "columns": columns},
    )
    for at, column in enumerate(layout.columns):
        text = _note_text(column)
        sheet.write_comment(HEADINGS, at, text, note_size(text))


def note_size(text: str) -> dict[str, float]:
    """How large a note must be to hold a text and a little more.

    xlsxwriter's own size holds four lines of some twenty characters.
    """
    lines = 2 + sum(1 + len(line) // 40 for line in text.splitlines())
    return {"x_scale": 2.1, "y_scale": lines / 4}


def _offer(sheet: Any, at: int, column: Column, made: Collection[str]) -> None:
    """Offer the choices of a column, and say what belongs into its cells."""
    if column.kind in TEXTS:
        return
    sheet.data_validation(FIRST, at, CHOICE_ROWS, at, _validation(column, made))


def _validation(column: Column, made: Collection[str]) -> dict[str, Any]:
    rule: dict[str, Any] = {
        "validate": "any",
        "input_title": column.heading[:LONGEST_PROMPT_TITLE],
        "input_message": _prompt_text(column),
        "show_error": False,  # the reader says what is wrong, and a program would only refuse it
    }
    if column.choices:
        rule |= {"validate": "list", "source": list(column.choices)}
    elif column.kind in UNITS:
        units = known_unit_names(Measures.METRIC)[:UNITS_OFFERED]
        rule |= {"validate": "list", "source": units}
    elif column.listed and column.listed[0] in made:
        rule |= {"validate": "list", "source": _names(*column.listed)}
    return rule


def _names(title: str, heading: str) -> str:
    """The cells below a heading of another sheet, as a reference."""
    layout = next(sheet for sheet in INPUT_SHEETS if sheet.title == title)
    letter = column_letters(1 + layout.headings.index(heading))
    return f"={quoted(title)}!${letter}${FIRST + 1}:${letter}${CHOICE_ROWS}"


def _write_settings(sheet: Any, rows: Sequence[Row], look: Styles) -> None:
    """Write Settings: each with its value, its default and what it means."""
    given = {str(row["Setting"]): row.get("Value") for row in rows}
    known = {column.heading for column in SETTINGS}
    if set(given) - known:
        raise ValueError(f"there is no setting {sorted(set(given) - known)}")
    layout = SETTINGS_SHEET
    sheet.set_default_row(ROW_HEIGHT)
    _write_top(sheet, layout, len(layout.columns) + len(SETTING_EXTRAS), look)
    widths = (*(column.width for column in layout.columns), *(width for _, width in SETTING_EXTRAS))
    for at, width in enumerate(widths):
        sheet.set_column(at, at, width, look.of())
    for row, setting in enumerate(SETTINGS, FIRST):
        sheet.write_string(row, 0, setting.heading, look.cell())
        write_value(sheet, row, 1, given.get(setting.heading), setting, look)
        sheet.write_string(row, 2, setting.default, look.given())
        sheet.write_string(row, 3, setting.meaning, look.given())
        sheet.data_validation(row, 1, row, 1, _validation(setting, ()))
    _add_table(sheet, layout, FIRST + len(SETTINGS) - 1, look)


def _set_up(sheet: Any, layout: Sheet) -> None:
    """Freeze the headings and set the sheet up for printing."""
    sheet.freeze_panes(FIRST, 1)
    sheet.hide_gridlines(NO_GRIDLINES)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(HEADINGS)
    sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.7)
    sheet.set_footer(f"&L{layout.title}&RPage &P of &N")


def _note_text(column: Column) -> str:
    """All that is declared of a column, for the note at its heading."""
    parts = [column.meaning]
    if column.unit:
        parts.append(f"Unit: {column.unit}.")
    if column.choices:
        parts.append(f"One of: {choice_words(column.choices, most=len(column.choices))}.")
    if column.example:
        parts.append(f"Example: {column.example}")
    if column.default:
        parts.append(f"Blank: {column.default}.")
    elif column.required:
        parts.append("Needed in every row.")
    return "\n".join(parts)


def _prompt_text(column: Column) -> str:
    """As much of it as fits into the message shown while a cell is chosen."""
    parts = [column.meaning]
    if column.example:
        parts.append(f"Example: {column.example}")
    if column.default:
        parts.append(f"Blank: {column.default}.")
    while len("\n".join(parts)) > LONGEST_PROMPT:
        parts.pop()
    return "\n".join(parts)
