"""Rules of the file format that every spliced workbook keeps, checked by code of their own."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection
from xml.etree.ElementTree import Element

from packages import OFFICE, TYPES, Parts, own, parts_of, related, sheets_of, tree_of, workbook_part

WORKSHEET_ORDER = """
    sheetPr dimension sheetViews sheetFormatPr cols sheetData sheetCalcPr sheetProtection
    protectedRanges scenarios autoFilter sortState dataConsolidate customSheetViews mergeCells
    phoneticPr conditionalFormatting dataValidations hyperlinks printOptions pageMargins pageSetup
    headerFooter rowBreaks colBreaks customProperties cellWatches ignoredErrors smartTags drawing
    legacyDrawing legacyDrawingHF picture oleObjects controls webPublishItems tableParts extLst
"""
WORKBOOK_ORDER = """
    fileVersion fileSharing workbookPr workbookProtection bookViews sheets functionGroups
    externalReferences definedNames calcPr oleSize customWorkbookViews pivotCaches smartTagPr
    smartTagTypes webPublishing fileRecoveryPr webPublishObjects extLst
"""
STYLES_ORDER = """
    numFmts fonts fills borders cellStyleXfs cellXfs cellStyles dxfs tableStyles colors extLst
"""


def faults(
    data: bytes, *, titles: set[str] | None = None, before: Collection[str] = ()
) -> list[str]:
    """What is wrong with a workbook; sheets outside ``titles`` are not looked into.

    Nothing needs to lead to the parts that were there ``before``.
    """
    parts = parts_of(data)
    found = [*type_faults(parts), *relation_faults(parts), *workbook_faults(parts)]
    found += [f"nothing leads to {name}" for name in orphans(parts) if name not in before]
    styles = next((p for _, k, p in related(workbook_part(parts), parts) if k == "styles"), "")
    if not styles:
        return [*found, "no formats part"]
    root = tree_of(parts[styles])
    found += order_faults(root, STYLES_ORDER, "formats")
    found += count_faults(root)
    count = len(root.findall(f"{own('cellXfs')}/*"))
    for title, part in sheets_of(parts).items():
        if titles is None or title in titles:
            found += sheet_faults(title, part, parts, count)
    return found + table_faults(parts)


def type_faults(parts: Parts) -> list[str]:
    """Every stated part is there, once; every part has a type."""
    root = tree_of(parts["[Content_Types].xml"])
    known = {name.lower() for name in parts}
    stated = [
        e.get("PartName", "").lstrip("/").lower() for e in root.findall(f"{{{TYPES}}}Override")
    ]
    endings = {e.get("Extension", "").lower() for e in root.findall(f"{{{TYPES}}}Default")}
    found = [f"type of {name} stated twice" for name, n in Counter(stated).items() if n > 1]
    found += [f"type of a missing part {name}" for name in stated if name not in known]
    return found + [
        f"no type for {name}"
        for name in known
        if name not in stated and name.rpartition(".")[2] not in endings and "[" not in name
    ]


def relation_faults(parts: Parts) -> list[str]:
    """Every relationship leads to a part, and no name stands twice."""
    found = []
    for name in parts:
        source = re.fullmatch(r"(.*/)?_rels/(.*)\.rels", name)
        if source is None:
            continue
        owner = (source.group(1) or "") + source.group(2)
        if owner and owner not in parts:
            found.append(f"relationships of a missing part {owner}")
        listed = related(owner, parts)
        found += [
            f"{name}: {i} stands twice" for i, n in Counter(r[0] for r in listed).items() if n > 1
        ]
        found += [f"{name}: {target} is missing" for _, _, target in listed if target not in parts]
    return found


def orphans(parts: Parts) -> list[str]:
    """Parts that no relationship leads to, from the package on."""
    reached: set[str] = set()
    waiting = [""]
    while waiting:
        part = waiting.pop()
        if part not in reached:
            reached.add(part)
            waiting += [target for _, _, target in related(part, parts)]
    listings = re.compile(r"\[Content_Types\]\.xml|(.*/)?_rels/.*\.rels", re.IGNORECASE)
    return [name for name in parts if name not in reached and not listings.fullmatch(name)]


def workbook_faults(parts: Parts) -> list[str]:
    """Order of the workbook's children; numbers, titles and names of its sheets."""
    root = tree_of(parts[workbook_part(parts)])
    found = order_faults(root, WORKBOOK_ORDER, "workbook")
    sheets = root.find(own("sheets"))
    assert sheets is not None
    numbers = Counter(one.get("sheetId") for one in sheets)
    titles = Counter(one.get("name", "").casefold() for one in sheets)
    ids = Counter(one.get(f"{{{OFFICE}}}id") for one in sheets)
    found += [
        f"{key} stands twice" for n in (numbers, titles, ids) for key, c in n.items() if c > 1
    ]
    names = Counter((e.get("name"), e.get("localSheetId")) for e in root.iter(own("definedName")))
    found += [f"name {key} stands twice" for key, c in names.items() if c > 1]
    found += [
        f"name {name} of a sheet that is not there"
        for name, tab in names
        if tab is not None and int(tab) >= len(sheets)
    ]
    calculation = root.find(own("calcPr"))
    if calculation is None or calculation.get("fullCalcOnLoad") not in ("1", "true"):
        found.append("not calculated on opening")
    for kind in (k for _, k, _ in related(workbook_part(parts), parts)):
        if kind == "calcChain":
            found.append("an order of calculation is left")
    return found


def order_faults(root: Element, order: str, what: str) -> list[str]:
    """The children stand in the order of the schema."""
    places = [order.split().index(e.tag[len(own("")) :]) for e in root if e.tag.startswith(own(""))]
    return [] if places == sorted(places) else [f"children of the {what} out of order"]


def count_faults(root: Element) -> list[str]:
    """Stated counts are true, and cell formats refer to entries that are there."""
    found = [
        f"{e.tag} says {e.get('count')} and has {len(e)}"
        for e in root
        if e.get("count") is not None and int(e.get("count", "0")) != len(e)
    ]
    lengths = {name: len(root.findall(f"{own(name)}/*")) for name in ("fonts", "fills", "borders")}
    formats = {e.get("numFmtId") for e in root.iter(own("numFmt"))}
    for entry in root.findall(f"{own('cellXfs')}/*"):
        for key, name in (("fontId", "fonts"), ("fillId", "fills"), ("borderId", "borders")):
            if int(entry.get(key, "0")) >= lengths[name]:
                found.append(f"{key} {entry.get(key)} of {lengths[name]}")
        number = int(entry.get("numFmtId", "0"))
        if number >= 164 and str(number) not in formats:
            found.append(f"number format {number} is missing")
    return found


def sheet_faults(title: str, part: str, parts: Parts, formats: int) -> list[str]:
    """Order of a sheet's children, of its rows and cells, and the formats they use."""
    root = tree_of(parts[part])
    if root.tag != own("worksheet"):
        return []
    found = order_faults(root, WORKSHEET_ORDER, title)
    data = root.find(own("sheetData"))
    rows = [int(row.get("r", "0")) for row in data if row.get("r")] if data is not None else []
    if rows != sorted(set(rows)):
        found.append(f"{title}: rows out of order")
    for row in data if data is not None else ():
        columns = [column_of(cell.get("r", "")) for cell in row if cell.get("r")]
        if columns != sorted(set(columns)):
            found.append(f"{title}: cells of row {row.get('r')} out of order")
        for cell in row:
            if int(cell.get("s", "0")) >= formats:
                found.append(f"{title}!{cell.get('r')}: format {cell.get('s')} of {formats}")
            reference = cell.get("r", "")
            if reference and row.get("r") and not reference.endswith(row.get("r", "")):
                found.append(f"{title}!{reference} in row {row.get('r')}")
    return found


def column_of(reference: str) -> int:
    """Number of a cell's column."""
    number = 0
    for sign in reference:
        if sign.isalpha():
            number = number * 26 + ord(sign) - 64
    return number


def table_faults(parts: Parts) -> list[str]:
    """Numbers and names of tables, and their headings against the cells."""
    found: list[str] = []
    numbers: Counter[str | None] = Counter()
    names: Counter[str] = Counter()
    for title, part in sheets_of(parts).items():
        tables = [target for _, kind, target in related(part, parts) if kind == "table"]
        sheet = tree_of(parts[part])
        if len(tables) != len(sheet.findall(f"{own('tableParts')}/*")):
            found.append(f"{title}: {len(tables)} tables, listed otherwise")
        for table in tables:
            root = tree_of(parts[table])
            numbers[root.get("id")] += 1
            names[root.get("displayName", "").casefold()] += 1
            found += heading_faults(title, root, sheet)
    found += [f"table number {n} stands twice" for n, c in numbers.items() if c > 1]
    return found + [f"table name {n} stands twice" for n, c in names.items() if c > 1]


def heading_faults(title: str, table: Element, sheet: Element) -> list[str]:
    """A table's columns are those of its range, named as its heading cells."""
    first, last = table.get("ref", "").split(":")
    columns = [e.get("name", "") for e in table.iter(own("tableColumn"))]
    ids = Counter(e.get("id") for e in table.iter(own("tableColumn")))
    wide = column_of(last) - column_of(first) + 1
    row = re.sub(r"\D", "", first)
    cells = {c.get("r", ""): c for c in sheet.iter(own("c"))}
    found = [f"{title}: column number {n} twice" for n, c in ids.items() if c > 1]
    if len(columns) != wide:
        found.append(f"{title}: {len(columns)} columns over {wide}")
    if len({name.casefold() for name in columns}) != len(columns):
        found.append(f"{title}: headings of the table twice")
    if int(re.sub(r"\D", "", last)) <= int(row):
        found.append(f"{title}: a table without a row")
    for reference, cell in cells.items():
        at = column_of(reference) - column_of(first)
        if re.sub(r"\D", "", reference) == row and 0 <= at < wide:
            text = "".join(t.text or "" for t in cell.iter(own("t")))
            if cell.get("t") == "inlineStr" and text.replace("\n", "_x000a_") != columns[at]:
                found.append(f"{title}!{reference}: {text!r} under {columns[at]!r}")
    return found
