"""The file format of spreadsheet workbooks, .xlsx and .xlsm (ECMA-376): any workbook, of anybody.

A workbook is changed without loss: every part that is not changed keeps its bytes, and a part that
is changed keeps all bytes but those of the change. Nothing here knows what the sheets are about;
from the rest of the project the room takes only how a finding is worded
(:mod:`costing.findings`), so that it could stand as a library of its own.

1. :func:`~costing.workbook.package.gate.open_gate` judges a file before anything else reads it:
   sizes, depth, encryption, damage. It gives a :class:`~costing.workbook.package.opc.Package`, or
   raises :class:`~costing.workbook.package.refusals.Refused` with a finding in words.
2. :class:`~costing.workbook.package.opc.Package` has the parts with their relationships and
   content types; :class:`~costing.workbook.package.workbookpart.WorkbookPart` the list of sheets
   and the defined names; :mod:`~costing.workbook.package.sheetrows` rows and cells with the bytes
   they stand in; :mod:`~costing.workbook.package.references` what a formula refers to.
   :func:`~costing.workbook.package.worksheets.read_worksheets` gives what the sheets show: cells
   with their values and formats, tables, merged cells, hidden rows.
3. :class:`~costing.workbook.package.xmlparts.Document` notes edits of a part by byte offsets;
   :class:`~costing.workbook.package.stylesheet.Stylesheet` appends cell formats,
   :mod:`~costing.workbook.package.cellxml` spells cells, and
   :meth:`~costing.workbook.package.opc.Package.rewritten` gives the changed package.
4. :func:`~costing.workbook.package.commit.replace_file` puts it on disk so that a crash at any
   moment leaves the old file or the new one whole, and keeps the versions before.
"""
