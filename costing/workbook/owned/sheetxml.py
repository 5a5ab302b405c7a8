"""The worksheet part of a result sheet: new, or written into the one that is there."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.addresses import address, corners, range_words
from costing.workbook.package.cellxml import (
    LONGEST_PROMPT,
    LONGEST_PROMPT_TITLE,
    CellStyle,
    NewCell,
    cell_xml,
    style_of,
)
from costing.workbook.package.conformance import MAIN, TRANSITIONAL
from costing.workbook.package.xmlparts import Document, attribute_text

# ECMA-376 part 1, 18.3.1.99: programs call a file damaged whose elements are in another order
ORDER = (
    *("sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr"),
    *("sheetProtection", "protectedRanges", "scenarios", "autoFilter", "sortState"),
    *("dataConsolidate", "customSheetViews", "mergeCells", "phoneticPr"),
    *("conditionalFormatting", "dataValidations", "hyperlinks", "printOptions", "pageMargins"),
    *("pageSetup", "headerFooter", "rowBreaks", "colBreaks", "customProperties", "cellWatches"),
    *("ignoredErrors", "smartTags", "drawing", "legacyDrawing", "legacyDrawingHF", "drawingHF"),
    *("picture", "oleObjects", "controls", "webPublishItems", "tableParts", "extLst"),
)
MARGINS = '<pageMargins left="0.4" right="0.4" top="0.6" bottom="0.6" header="0.3" footer="0.3"/>'
TALLEST_ROW = 409.0
"""A program takes no higher row. [points]"""
STOP = ' stopIfTrue="1"'

CellsXml = dict[int, dict[int, str]]
"""XML of the cells by row and column."""


@dataclass(frozen=True, slots=True)
class CellWriter:
    """How cells are written in one workbook."""

    number: Callable[[CellStyle], int]
    from_1904: bool

    def block(self, sheet: ResultSheet, prefix: str) -> CellsXml:
        """XML of the block's cells."""
        known: dict[int, int] = {}

        def number(cell: NewCell) -> int:
            style = style_of(cell)
            if style is not cell.style:
                return self.number(style)
            if id(style) not in known:
                known[id(style)] = self.number(style)
            return known[id(style)]

        return {
            row: {
                column: cell_xml(
                    cell,
                    row=row,
                    column=column,
                    style=number(cell),
                    prefix=prefix,
                    from_1904=self.from_1904,
                )
                for column, cell in enumerate(cells, 1)
                if cell is not None
            }
            for row, cells in enumerate(sheet.rows, 1)
        }


def rows_xml(cells: CellsXml, prefix: str, attributes: Mapping[int, Mapping[str, str]]) -> str:
    """The rows of a sheet; ``attributes`` are those of a row besides its number."""
    pieces = []
    for row in sorted(cells.keys() | attributes.keys()):
        words = "".join(
            f' {key}="{attribute_text(value)}"' for key, value in attributes.get(row, {}).items()
        )
        inside = "".join(xml for _, xml in sorted(cells.get(row, {}).items()))
        if inside:
            pieces.append(f'<{prefix}row r="{row}"{words}>{inside}</{prefix}row>')
        elif words:
            pieces.append(f'<{prefix}row r="{row}"{words}/>')
    return "".join(pieces)


def row_attributes(sheet: ResultSheet, *, shown: Collection[int] = ()) -> dict[int, dict[str, str]]:
    """Attributes of the rows whose height is given, and of hidden ones but those ``shown``."""
    attributes = {
        row: {"ht": f"{min(height, TALLEST_ROW):g}", "customHeight": "1"}
        for row, height in sheet.heights.items()
    }
    for row in sheet.hidden - frozenset(shown):
        attributes.setdefault(row, {})["hidden"] = "1"
    for row in sheet.folded_rows - frozenset(shown):
        attributes.setdefault(row, {}).update(outlineLevel="1", hidden="1")
        if row + 1 not in sheet.folded_rows:
            attributes.setdefault(row + 1, {})["collapsed"] = "1"
    return attributes


def links_of(sheet: ResultSheet) -> list[tuple[str, str]]:
    """Cell and place of every link of the block."""
    return [
        (address(row, column), cell.link.removeprefix("#"))
        for row, cells in enumerate(sheet.rows, 1)
        for column, cell in enumerate(cells, 1)
        if cell is not None and cell.link
    ]


def links_xml(links: Iterable[tuple[str, str]], prefix: str) -> str:
    """The link elements."""
    return "".join(
        f'<{prefix}hyperlink ref="{cell}" location="{attribute_text(place)}"/>'
        for cell, place in links
    )


def new_sheet_xml(
    sheet: ResultSheet,
    *,
    writer: CellWriter,
    difference: Callable[[CellStyle], int],
    table: str,
    drawing: str,
) -> bytes:
    """A new worksheet part.

    Parameters
    ----------
    difference : callable
        Number of the format that a conditional format lays over a cell.
    table, drawing : str
        Names of the relationships to the table and to the drawing, ``""`` for none.
    """
    links = links_of(sheet)
    link_xml = f"<hyperlinks>{links_xml(links, '')}</hyperlinks>" if links else ""
    return "".join(
        (
            '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n',
            f'<worksheet xmlns="{MAIN}" xmlns:r="{TRANSITIONAL.relations}">',
            _properties(sheet),
            f'<dimension ref="{range_words(1, 1, max(sheet.height, 1), max(sheet.width, 1))}"/>',
            _views(sheet),
            f'<sheetFormatPr defaultRowHeight="15"{_outlines(sheet)}/>',
            _columns(sheet.widths, sheet.folded),
            f"<sheetData>{rows_xml(writer.block(sheet, ''), '', row_attributes(sheet))}"
            "</sheetData>",
            _formats(sheet, difference),
            _meanings(sheet),
            link_xml,
            MARGINS,
            f'<pageSetup orientation="{"landscape" if sheet.landscape else "portrait"}" '
            'fitToWidth="1" fitToHeight="0"/>',  # as many pages long as it takes
            "<headerFooter><oddFooter>&amp;L&amp;A&amp;R&amp;P / &amp;N</oddFooter></headerFooter>",
            f'<drawing r:id="{drawing}"/>' if drawing else "",
            f'<tableParts count="1"><tablePart r:id="{table}"/></tableParts>' if table else "",
            "</worksheet>",
        )
    ).encode()


def _properties(sheet: ResultSheet) -> str:
    colour = f'<tabColor rgb="FF{sheet.tab_colour}"/>' if sheet.tab_colour else ""
    return f'<sheetPr>{colour}<pageSetUpPr fitToPage="1"/></sheetPr>'


def _outlines(sheet: ResultSheet) -> str:
    """That there are outlines, so that programs make room for their signs."""
    return (' outlineLevelRow="1"' if sheet.folded_rows else "") + (
        ' outlineLevelCol="1"' if sheet.folded else ""
    )


def _views(sheet: ResultSheet) -> str:
    row, column = (corners(sheet.freeze or "A1") or (1, 1))[:2]
    columns, rows = column - 1, row - 1
    split = (f' xSplit="{columns}"' if columns else "") + (f' ySplit="{rows}"' if rows else "")
    if not split:
        return '<sheetViews><sheetView workbookViewId="0"/></sheetViews>'
    pane = "bottomRight" if columns and rows else "bottomLeft" if rows else "topRight"
    return (
        f'<sheetViews><sheetView workbookViewId="0"><pane{split} topLeftCell="{sheet.freeze}" '
        f'activePane="{pane}" state="frozen"/><selection pane="{pane}"/></sheetView></sheetViews>'
    )


def _columns(widths: Sequence[float], folded: Collection[int]) -> str:
    """Widths of the columns; behind a fold is the sign that opens it."""

    def fold(n: int) -> str:
        if n in folded:
            return ' hidden="1" outlineLevel="1"'
        return ' collapsed="1"' if n - 1 in folded else ""

    inside = "".join(
        f'<col min="{n}" max="{n}" width="{width:g}" customWidth="1"{fold(n)}/>'
        for n, width in enumerate(widths, 1)
        if width
    )
    return f"<cols>{inside}</cols>" if inside else ""


def _formats(sheet: ResultSheet, difference: Callable[[CellStyle], int]) -> str:
    return "".join(
        f'<conditionalFormatting sqref="{one.reference}"><cfRule type="expression" '
        f'dxfId="{difference(one.style)}" priority="{priority}"'
        f"{STOP if one.stop else ''}>"
        f"<formula>{escape(one.formula.removeprefix('='))}</formula></cfRule>"
        "</conditionalFormatting>"
        for priority, one in enumerate(sheet.formats, 1)
    )


def _meanings(sheet: ResultSheet) -> str:
    """What the headings mean, shown by a program when one of them is chosen."""
    pairs = zip(sheet.headings, sheet.meanings, strict=False)
    inside = [
        f'<dataValidation allowBlank="1" showInputMessage="1" '
        f'promptTitle="{attribute_text(heading[:LONGEST_PROMPT_TITLE])}" '
        f'prompt="{attribute_text(meaning[:LONGEST_PROMPT])}" '
        f'sqref="{address(sheet.header_row, column)}"/>'
        for column, (heading, meaning) in enumerate(pairs, 1)
        if meaning
    ]
    count = len(inside)
    return f'<dataValidations count="{count}">{"".join(inside)}</dataValidations>' if count else ""


def append_rows(document: Document, rows: str) -> None:
    """Put rows behind all others of a sheet that is there."""
    root = document.root
    data = root.child("sheetData")
    if data is None:
        tag = f"{root.prefix}sheetData"
        document.insert(root, f"<{tag}>{rows}</{tag}>", local="sheetData", order=ORDER)
    else:
        document.append(data, rows)


def set_rows(document: Document, inside: str, *, bottom: int, right: int) -> None:
    """Give a sheet that is there its rows, and say how far they reach."""
    root = document.root
    data = root.child("sheetData")
    if data is None or data.empty:
        append_rows(document, inside)
    else:
        document.replace(data.inner, data.close, inside)
    dimension = root.child("dimension")
    reference = range_words(1, 1, max(bottom, 1), max(right, 1))
    if dimension is not None:
        document.set_attribute(dimension, "ref", reference)
