"""Limits of spreadsheet programs that no schema states, checked in every sheet of a workbook.

The numbers are from "Excel specifications and limits" and from the notes to ISO/IEC 29500 on what
Office accepts (MS-OI29500): a workbook that passes one of them is repaired when it is opened, and
what is over is thrown away. They are stated here from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from xml.etree.ElementTree import Element

from defusedxml import ElementTree
from packages import Parts, own, parts_of, related, sheets_of, workbook_part
from soundness import column_of

FORMULA, LITERAL, NESTED, ARGUMENTS = 8_192, 255, 64, 255
TEXT, NAME, SHEET_NAME, FORMAT_CODE = 32_767, 255, 31, 255
PROMPT, PROMPT_TITLE = 255, 32
LINK, LINKS, HEADER = 2_084, 65_530, 255
HEIGHT, WIDTH, OUTLINE = 409.5, 255.0, 7
CELL_FORMATS = 64_000
LIKE_A_CELL = re.compile(r"[A-Za-z]{1,3}[0-9]{1,7}|[Rr][0-9]*[Cc][0-9]*|[Rr]|[Cc]")
LITERALS = re.compile(r'"((?:[^"]|"")*)"')


def over_limits(data: bytes) -> list[str]:
    """What a program would not take in a workbook."""
    parts = parts_of(data)
    workbook = workbook_part(parts)
    found = [*_in_workbook(ElementTree.fromstring(parts[workbook]))]
    styles = next((p for _, kind, p in related(workbook, parts) if kind == "styles"), None)
    if styles is not None:
        found += _in_formats(ElementTree.fromstring(parts[styles]))
    shared = next((p for _, kind, p in related(workbook, parts) if kind == "sharedStrings"), None)
    items = ElementTree.fromstring(parts[shared]) if shared else ()
    texts = ["".join(one.text or "" for one in item.iter(own("t"))) for item in items]
    for title, part in sheets_of(parts).items():
        root = ElementTree.fromstring(parts[part])
        told = [*_in_cells(root), *_around_cells(root), *_in_tables(root, part, parts, texts)]
        found += [f"{title}: {fault}" for fault in told]
    return found


def _in_workbook(root: Element) -> Iterator[str]:
    for sheet in root.iter(own("sheet")):
        if len(sheet.get("name", "")) > SHEET_NAME:
            yield f"sheet name of {len(sheet.get('name', ''))}"
    for name in root.iter(own("definedName")):
        if len(name.get("name", "")) > NAME:
            yield f"name of {len(name.get('name', ''))}"
        yield from formula_faults(name.text or "", f"name {name.get('name')}")


def _in_formats(root: Element) -> Iterator[str]:
    formats = root.find(own("cellXfs"))
    if formats is not None and len(formats) > CELL_FORMATS:
        yield f"{len(formats)} cell formats"
    for form in root.iter(own("numFmt")):
        if len(form.get("formatCode", "")) > FORMAT_CODE:
            yield f"number format of {len(form.get('formatCode', ''))}"


def _in_cells(root: Element) -> Iterator[str]:
    for row in root.iter(own("row")):
        if float(row.get("ht", "0")) > HEIGHT:
            yield f"row {row.get('r')} is {row.get('ht')} high"
        if int(row.get("outlineLevel", "0")) > OUTLINE:
            yield f"row {row.get('r')} in outline {row.get('outlineLevel')}"
        for cell in row:
            text = "".join(one.text or "" for one in cell.iter(own("t")))
            if len(text.encode("utf-16-le")) // 2 > TEXT:
                yield f"{cell.get('r')} holds {len(text)} characters"
            for formula in cell.findall(own("f")):
                yield from formula_faults(formula.text or "", cell.get("r", ""))


def formula_faults(formula: str, where: str) -> Iterator[str]:
    """What is too much in one formula."""
    if len(formula) > FORMULA:
        yield f"{where}: formula of {len(formula)}"
    longest = max((len(one.replace('""', '"')) for one in LITERALS.findall(formula)), default=0)
    if longest > LITERAL:
        yield f"{where}: text of {longest} in a formula"
    depth = deepest = 0
    commas = [0]
    for sign in re.sub(r"'[^']*'|\[[^\]]*\]", "", LITERALS.sub("", formula)):
        if sign == "(":
            depth += 1
            commas.append(0)
        elif sign == ")":
            depth -= 1
            if commas.pop() >= ARGUMENTS:
                yield f"{where}: too many arguments"
        elif sign == ",":
            commas[-1] += 1
        deepest = max(deepest, depth)
    if depth:
        yield f"{where}: brackets that do not close"
    if deepest > NESTED:
        yield f"{where}: {deepest} brackets inside each other"


def _around_cells(root: Element) -> Iterator[str]:
    for rule in root.iter(own("dataValidation")):
        where = f"validation of {rule.get('sqref')}"
        for key, most in (
            ("prompt", PROMPT),
            ("error", PROMPT),
            ("promptTitle", PROMPT_TITLE),
            ("errorTitle", PROMPT_TITLE),
        ):
            if len(rule.get(key, "")) > most:
                yield f"{where}: {key} of {len(rule.get(key, ''))}"
        for formula in (*rule.iter(own("formula1")), *rule.iter(own("formula2"))):
            yield from _rule_faults(formula.text or "", where)
    for formula in root.iter(own("formula")):
        yield from _rule_faults(formula.text or "", "conditional format")
    links = list(root.iter(own("hyperlink")))
    if len(links) > LINKS:
        yield f"{len(links)} links"
    for link in links:
        if len(link.get("location", "")) > LINK or len(link.get("tooltip", "")) > PROMPT:
            yield f"link of {link.get('ref')} too long"
    for column in root.iter(own("col")):
        if float(column.get("width", "0")) > WIDTH:
            yield f"column {column.get('min')} is {column.get('width')} wide"
    for words in root.iterfind(f"{own('headerFooter')}/*"):
        if len(words.text or "") > HEADER:
            yield f"{words.tag} of {len(words.text or '')}"


def _rule_faults(formula: str, where: str) -> Iterator[str]:
    """A rule takes no reference by table, and a list of words of 255 characters."""
    yield from formula_faults(formula, where)
    if "[" in LITERALS.sub("", formula):
        yield f"{where}: a reference by table"


def _in_tables(root: Element, part: str, parts: Parts, texts: Sequence[str]) -> Iterator[str]:
    for _, kind, target in related(part, parts):
        if kind != "table":
            continue
        table = ElementTree.fromstring(parts[target])
        name = table.get("displayName", "")
        if (
            len(name) > NAME
            or LIKE_A_CELL.fullmatch(name)
            or not re.fullmatch(r"[^\W\d][\w.]*", name)
        ):
            yield f"table name {name[:40]!r}"
        if any(len(one.get("name", "")) > NAME for one in table.iter(own("tableColumn"))):
            yield f"heading of table {name} too long"
        yield from _heading_faults(root, table, texts)


def _heading_faults(root: Element, table: Element, texts: Sequence[str]) -> Iterator[str]:
    """A program repairs a table whose columns are named otherwise than their cells say."""
    first, row = re.fullmatch(r"([A-Z]+)(\d+)(?::.*)?", table.get("ref", "")).groups()  # type: ignore[union-attr]
    cells = {cell.get("r", ""): cell for cell in root.iter(own("c"))}
    left = column_of(first)
    for number, column in enumerate(table.iter(own("tableColumn"))):
        at = f"{column_letters(left + number)}{row}"
        cell = cells.get(at)
        found = "" if cell is None else "".join(one.text or "" for one in cell.iter(own("t")))
        if cell is not None and cell.get("t") == "s":
            found = texts[int(cell.findtext(own("v"), "0"))]
        if found != column.get("name", "").replace("_x000a_", "\n"):
            yield f"heading {column.get('name')!r} over the cell {at} {found!r}"


def column_letters(number: int) -> str:
    """Letters of a column from 1; no table here is wider than ZZ."""
    high, low = divmod(number - 1, 26)
    return (chr(64 + high) if high else "") + chr(65 + low)
