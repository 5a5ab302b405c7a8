"""What every reader is given when it is tried with texts gone wrong, and what must hold."""

from __future__ import annotations

import csv
import json
import re
import tempfile
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any
from unicodedata import category, normalize

from fuzz import Target
from good_workbook import good_workbook
from live_workbooks import read_bytes
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from packages import bytes_of, parts_of, plain, zipped
from told_otherwise import Rows, plain_workbook
from tree_files import TREE
from zoo import ZOO

from costing.findings import Finding
from costing.holding.rules import own_rules
from costing.holding.verified import RULES_FILE
from costing.names import key
from costing.quantities import (
    AmbiguousNumber,
    Measures,
    UnitNeedsSystem,
    UnknownUnit,
    UnreadableNumber,
    find_unit,
    read_number,
)
from costing.quantities.units import all_units
from costing.recipe_text import RecipeUnreadable, read_line, read_recipe
from costing.shoot import Shoot
from costing.workbook.demo import uncertain_rows
from costing.workbook.layout import INPUT_SHEETS, SETTINGS, CellKind
from costing.workbook.log_file import taken_apart
from costing.workbook.package.gate import open_gate
from costing.workbook.package.refusals import Refused
from costing.workbook.reading import read_workbook
from costing.workbook.reading.log_lines import line_of_headings

NUMBERS = (
    *("1 1/2", "1½", "0,89", "2-3", "2 to 3", "1 000,50", "1,00,000", "-4", "3/4", "12", "1'000"),
    *("11/2", "1,234", "½-¾", "1.5", "007", "5 – 7"),
)
WORD = re.compile(r"[^\W\d_]{3,}")


def number_fault(text: str) -> str:
    """A number is exact, its ends in order, or the text is refused with its reason."""
    try:
        found = read_number(text)
    except (AmbiguousNumber, UnreadableNumber) as refused:
        return "" if str(refused) else "refused without a reason"
    return "" if found.low <= found.high else "ends upside down"


def unit_fault(text: str) -> str:
    """A unit found is found again by its name, under every setting."""
    for measures in Measures:
        try:
            found = find_unit(text, measures)
        except (UnknownUnit, UnitNeedsSystem) as refused:
            if not str(refused):
                return "refused without a reason"
            continue
        if any(find_unit(found.name, other) != found for other in Measures):
            return f"{found.name} is not found again"
    return ""


def line_fault(text: str) -> str:
    """What a line gives to the cells Amount and Unit is read again there."""
    found = read_line(text, Measures.METRIC)
    if found.amount not in ("", "to taste"):
        try:
            read_number(found.amount)
        except (AmbiguousNumber, UnreadableNumber):
            return f"an amount that Recipes cannot read: {found.amount!r}"
    if found.unit and not found.doubts:
        try:
            find_unit(found.unit, Measures.METRIC)
        except (UnknownUnit, UnitNeedsSystem):
            return f"a unit that Recipes cannot read: {found.unit!r}"
    return ""


def _seen(text: str) -> str:
    """A text in one spelling, without the signs that nobody sees; the reader keeps them in Note."""
    return normalize("NFC", "".join(sign for sign in text if category(sign) != "Cf"))


def recipe_fault(text: str, kind: Any = "text") -> str:
    """Every line of a recipe stands in a row or in a finding."""
    try:
        read = read_recipe(text, kind=kind, measures=Measures.METRIC, file_name="tart.txt")
    except RecipeUnreadable as refused:
        return _spoken([refused.finding])
    words = " ".join(
        str(cell) for rows in read.rows.values() for row in rows for cell in row.values()
    )
    words = _seen(words + " ".join(map(str, read.findings))).casefold()
    if kind == "text":
        seen = _seen(text)
        for number, line in enumerate(seen.splitlines()):
            lost = [word for word in WORD.findall(line) if word.casefold() not in words]
            if lost and number and len(line.split()) < 12 and not HEADING.match(line):
                return f"dropped: {lost[0]!r} of {line!r}"
    return _spoken(read.findings)


HEADING = re.compile(
    r"\W*(ingredient|zutaten|zubereitung|method|direction|instruction|preparation|step|serve|make"
    r"|note|tip|yield|recipe)|\|.*\bingredient",
    re.IGNORECASE,
)
"""A line that says what follows, or how much is made, and is no part of the recipe."""


def _spoken(findings: Sequence[Finding]) -> str:
    """Each finding says what was found, what is expected and what to do."""
    for finding in findings:
        if not (finding.found and finding.expected and finding.remedy):
            return f"a finding without words: {finding.code}"
        if "Fraction(" in str(finding) or "Traceback" in str(finding):
            return f"words of code: {finding}"
    return ""


@cache
def _folder() -> Path:
    """A folder with a workbook in it, of this process."""
    folder = Path(tempfile.mkdtemp(prefix="fuzz"))
    good_workbook().save(folder / "plan.xlsx")
    return folder


def cell_fault(text: str) -> str:
    """A cell changes what is read, or is told of; its first sign says which cell it is."""
    typed = ILLEGAL_CHARACTERS_RE.sub("", text[1:])
    if not typed.strip():
        return ""
    sheet, column = CELLS[ord(text[0]) % len(CELLS)]
    if key(typed) in map(key, column.choices):
        return ""  # the word may say what a blank says
    read, findings = _with_cell(sheet, column.heading, typed)
    blank, before = _with_cell(sheet, column.heading, None)
    known = {str(finding) for finding in before}
    if read == blank and all(str(finding) in known for finding in findings):
        return f"silent {sheet}, {column.heading}: {typed!r}"
    return _spoken(findings)


EVENTS = 2
"""Events of containers in the workbook itself."""

DAY_LOGS = (
    "When,What,Event,Temperature,Amount,Note\n2031-05-10 10:05,milk jug,out,4 C,,\n"
    "2031-05-10 11:05,S1,taken,,,\n2031-05-10 11:07,S2,spoiled,,,fell\n"
    "2031-05-10 12:05,leek,counted,,400 g,\n2031-05-10 12:20,milk jug,undo,,,\n",
    "When;What;Event\r\n10:05;milk jug;reading\r\n\r\n10h06;S1;taken\r\n",
    'sep=;\nWhen;What;Event;Temperature;Amount;Note\n"10.05";"milk ""jug""";back;"4,5 C";;\n',
)


def log_fault(text: str) -> str:
    """Each line of the log is an event, a take or a count, or is told of."""
    path = _folder() / "plan day log.csv"
    path.write_text(text, encoding="utf-8", newline="")
    try:
        shoot, findings = read_workbook(_folder() / "plan.xlsx")
    finally:
        path.unlink()
    read = len(shoot.day_log) + sum(len(c.events) for c in shoot.containers) - EVENTS
    told = {finding.place.row for finding in findings if finding.place.sheet == path.name}
    records = [
        record
        for record in taken_apart(text.encode()).records[1:]
        if line_of_headings(record.cells) is None
    ]
    undone = 2 * sum("undo" in record.cells for record in records)
    whole = any(
        finding.code.startswith("log head") or "without" in finding.code for finding in findings
    )
    if not whole and len(records) > read + len(told) + undone:
        return f"dropped: {len(records)} lines, {read} read, {len(told)} told of"
    return _spoken(findings)


def rules_fault(text: str) -> str:
    """Each table of a rules file is a rule, or is told of."""
    path = _folder() / RULES_FILE
    path.write_text(text, encoding="utf-8")
    try:
        rules, findings = own_rules(_folder())
    finally:
        path.unlink()
    if text.strip() and not rules and not findings and not re.fullmatch(r"(\s|#.*)*", text):
        return "nothing said of a file that gives no rule"
    return _spoken(findings)


def _recipes() -> list[str]:
    text = (TREE / "tests/recipe_text/wild_recipes.txt").read_text(encoding="utf-8")
    return [part for part in re.split(r"\n={3,}.*\n", text) if part.strip()] or [text]


def _lines() -> list[str]:
    path = TREE / "tests/recipe_text/wild_lines.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return [row["line"] for row in csv.DictReader(file)]


LINKED = json.dumps(
    {
        "@context": "https://schema.org",
        "@graph": [
            {"@type": "WebPage", "name": "page"},
            {
                "@type": ["Recipe"],
                "name": "Leek tart",
                "recipeYield": ["4", "4 portions"],
                "recipeIngredient": ["2 leeks, sliced", "1 1/2 cups flour", {"name": "salt"}],
                "recipeInstructions": [
                    {
                        "@type": "HowToSection",
                        "name": "Dough",
                        "itemListElement": [
                            {"@type": "HowToStep", "text": "Rub the flour with salt."}
                        ],
                    },
                    "Slice the leeks.",
                ],
            },
        ],
    },
    indent=1,
)


def package_fault(data: bytes) -> str:
    """A file is read or refused in words."""
    path = _folder() / "odd.xlsx"
    path.write_bytes(data)
    try:
        open_gate(data, name="odd.xlsx")
        _, findings = read_workbook(path)
    except Refused as refused:
        return _spoken([refused.finding])
    finally:
        path.unlink()
    return _spoken(findings)


CELLS = [
    (layout.title, column)
    for layout in INPUT_SHEETS
    for column in (SETTINGS if layout.title == "Settings" else layout.columns)
    if column.kind is not CellKind.REMARK
]


@cache
def _base() -> Rows:
    return {title: [dict(row) for row in rows] for title, rows in uncertain_rows().items()}


def _with_cell(sheet: str, heading: str, value: str | None) -> tuple[Shoot, list[Finding]]:
    """What is read of the demo with one cell changed, in the first row of its sheet."""
    rows = {title: list(given) for title, given in _base().items()}
    if sheet == "Settings":
        rows[sheet] = [row for row in rows[sheet] if row["Setting"] != heading]
        rows[sheet].append({"Setting": heading, "Value": value})
    else:
        given = rows.setdefault(sheet, [{}])
        given[0] = {**given[0], heading: value}
    return read_bytes(plain_workbook(rows))


def part_fault(text: str) -> str:
    """A workbook of which one part has gone wrong is read or refused in words."""
    name, _, xml = text.partition("\n")
    return package_fault(zipped({**plain(), name: xml.encode()}))


def _parts() -> list[str]:
    parts = {name: part for make in ZOO.values() for name, part in parts_of(make()).items()}
    texts = {**parts, **parts_of(bytes_of(good_workbook()))}
    return [
        f"{name}\n{part.decode()[:5000]}"
        for name, part in texts.items()
        if name.endswith((".xml", ".rels"))
    ]


TARGETS: dict[str, Target] = {
    "numbers": Target(lambda: NUMBERS, number_fault),
    "units": Target(lambda: [unit.name for unit in all_units()], unit_fault),
    "lines": Target(_lines, line_fault),
    "recipes": Target(_recipes, recipe_fault),
    "linked data": Target(lambda: [LINKED], lambda text: recipe_fault(text, "json")),
    "day log": Target(lambda: DAY_LOGS, log_fault),
    "rules": Target(
        lambda: [(TREE / "reference/holding_rules.toml").read_text(encoding="utf-8")[:6000]],
        rules_fault,
    ),
    "cells": Target(
        lambda: [chr(at) + column.example for at, (_, column) in enumerate(CELLS)], cell_fault
    ),
    "parts": Target(_parts, part_fault),
    "packages": Target(lambda: [make() for make in ZOO.values()], package_fault),
}
