"""Nothing written is more than spreadsheet programs take, whatever stands in the inputs.

The numbers are from "Excel specifications and limits" and from the notes to ISO/IEC 29500 on what
Office accepts (MS-OI29500): a workbook that passes one of them is repaired when it is opened, and
what is over is thrown away. They are stated here from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any
from xml.etree.ElementTree import Element

import pytest
from live_workbooks import run, with_formulas, workbook_of
from packages import Parts, own, parts_of, related, sheets_of, tree_of, workbook_part, zipped
from soundness import column_of

from costing.workbook.template import template_bytes

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
    found = [*_in_workbook(tree_of(parts[workbook]))]
    styles = next((p for _, kind, p in related(workbook, parts) if kind == "styles"), None)
    if styles is not None:
        found += _in_formats(tree_of(parts[styles]))
    shared = next((p for _, kind, p in related(workbook, parts) if kind == "sharedStrings"), None)
    items = tree_of(parts[shared]) if shared else ()
    texts = ["".join(one.text or "" for one in item.iter(own("t"))) for item in items]
    for title, part in sheets_of(parts).items():
        root = tree_of(parts[part])
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
        table = tree_of(parts[target])
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


WORDS = "of a very long name that somebody pasted "


def long_words() -> bytes:
    """Names of hundreds of characters, dishes in every episode, every ingredient in every dish."""

    def food(number: int) -> str:
        return f"food {number} {WORDS * 8}".strip()

    def dish(number: int) -> str:
        return f"dish {number} {WORDS * 8}".strip()

    def episode(number: int) -> str:
        return f"day {number} {WORDS * 8}".strip()

    foods, dishes, episodes = range(20), range(3), range(3)
    purposes = ("cook-through", "hero", "swap", "bite", "crew meal")
    sheets: dict[str, Sequence[Sequence[Any]]] = {
        "Settings": [["Setting", "Value"], ["Currency", "EUR"], ["Measures", "metric"]],
        "Recipes": [
            ["Dish", "Ingredient", "Amount", "Unit"],
            *([dish(d), food(f), 100 + f, "g"] for d in dishes for f in foods),
        ],
        "Shoot plan": [
            ["Episode", "Dish", "Purpose", "Times"],
            *([episode(e), dish(d), p, 2] for e in episodes for d in dishes for p in purposes),
        ],
        "Packs": [
            ["Ingredient", "Shop", "Amount", "Unit", "Price", "Note"],
            *([food(f), f"shop {f % 3} {WORDS * 8}", 1000, "g", 1.29 + f, WORDS] for f in foods),
        ],
        "Episodes": [["Episode", "Portions"], *([episode(e), 4] for e in episodes)],
        "Holding": [
            ["Container", "Holds", "Event", "When"],
            [f"bowl {WORDS * 8}", dish(0), "out", "10:00"],
        ],
    }
    return run(workbook_of(sheets))[0]


def test_long_words__everything_written_is_within_the_limits() -> None:
    data = long_words()
    assert {"To buy", "Summary", "Food cost", "Findings"} <= set(sheets_of(parts_of(data)))
    assert over_limits(data) == []


@pytest.mark.parametrize("name", ["demo", "brunch"])
def test_results_with_formulas__are_within_the_limits(name: str) -> None:
    data, _ = with_formulas(name)
    assert over_limits(data) == []


def test_template__is_within_the_limits() -> None:
    assert over_limits(template_bytes(all_sheets=True)) == []


BEYOND = {
    "formula of": (r"<f>", "<f>" + "1+" * 4_096),
    "in a formula": (r"<f>", f'<f>"{"a" * 256}"&amp;'),
    "brackets inside each other": (r"<f>", f"<f>{'(' * 65}1{')' * 65}+"),
    "brackets that do not close": (r"<f>", "<f>("),
    "too many arguments": (r"<f>", f"<f>SUM(1{',1' * 255})+"),
    "characters": (r"<is><t[^>]*>", f"<is><t>{'a' * 32_768}"),
    "high": (r'<row r="1"(?: ht="[^"]*")?', '<row r="1" ht="410"'),
    "prompt of": (r' prompt="', f' prompt="{"a" * 256}'),
    "promptTitle of": (r'promptTitle="', f'promptTitle="{"a" * 33}'),
    "a reference by table": (r"<formula>", "<formula>tNeeds[Unit]+"),
    "wide": (r'width="[\d.]+"', 'width="256"'),
    "link of": (r'location="', f'location="{"a" * 2_085}'),
    "oddFooter of": (r"<oddFooter>", f"<oddFooter>{'a' * 256}"),
    "outline": (r'<row r="1"', '<row r="1" outlineLevel="8"'),
}


@pytest.mark.parametrize("fault", sorted(BEYOND))
def test_over_limits__finds_what_is_too_much(fault: str) -> None:
    """Each limit passed by one in a workbook that keeps them all."""
    pattern, new = BEYOND[fault]
    parts = parts_of(with_formulas("demo")[0])
    sheets = sheets_of(parts)
    changed = {}
    for part in sheets.values():
        text = parts[part].decode()
        if re.search(pattern, text):
            changed[part] = re.sub(pattern, lambda _: new, text, count=1).encode()
            break
    assert changed
    assert any(fault in told for told in over_limits(zipped(parts | changed)))


@pytest.mark.parametrize("name", ["A1", "xfd12", "R1C1", "a b", "1st", "t" * 256])
def test_over_limits__finds_a_table_name_that_no_program_takes(name: str) -> None:
    parts = parts_of(with_formulas("demo")[0])
    part = next(one for one in parts if one.startswith("xl/tables/"))
    text = re.sub(rb'displayName="[^"]*"', b'displayName="%s"' % name.encode(), parts[part])
    assert any("table name" in told for told in over_limits(zipped(parts | {part: text})))


def test_over_limits__finds_a_table_column_named_otherwise_than_its_cell() -> None:
    parts = parts_of(with_formulas("demo")[0])
    for part in (one for one in parts if one.startswith("xl/tables/")):
        text = re.sub(rb'(<tableColumn id="1" name=")', rb"\1The ", parts[part])
        (told,) = over_limits(zipped(parts | {part: text}))
        assert "heading 'The " in told


def test_formula_faults__a_formula_at_its_limits_has_none() -> None:
    assert list(formula_faults("1" * 8_192, "A1")) == []
    assert list(formula_faults(f'"{"a" * 254}"""', "A1")) == []
    assert list(formula_faults(f"{'(' * 64}1{')' * 64}", "A1")) == []
    assert list(formula_faults(f"SUM(1{',1' * 254})", "A1")) == []
