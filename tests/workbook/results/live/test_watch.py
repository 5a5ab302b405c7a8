"""Every edit of an input is noticed by the checks, whatever kind of cell it is in."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from datetime import date, datetime, time
from functools import cache
from pathlib import Path
from typing import Any

import ironcalc
import pytest
from budgets import spread
from good_workbook import good_workbook
from live_workbooks import calculated, run, with_formulas, workbook_of
from office import Office
from openpyxl.utils.cell import coordinate_to_tuple, get_column_letter
from packages import bytes_of, parts_of, zipped
from recalculation import (
    ENGINES,
    by_libreoffice,
    differences,
    formula_cells,
    opened,
)

from costing.workbook.layout import INPUT_SHEETS
from costing.workbook.results.checks import CHANGED, LONGEST_TEXT
from costing.workbook.results.live.cells import LONGEST_FORMULA

UNCHANGED = (
    "No input has changed since this run. Not watched: headings, notes, number formats, entries "
    "that change places."
)
ALL_OF_THEM = ("Summary", "Needs", "Food cost", "Holding times", "Prep", "Findings")


@cache
def good() -> bytes:
    """The workbook that uses every input sheet, with its results."""
    return run(calculated(bytes_of(good_workbook())))[0]


class Edited:
    """A workbook in an engine, edited cell by cell."""

    def __init__(self, data: bytes) -> None:
        parts = {
            name: part[: part.find(b"<conditionalFormatting")]
            + part[part.rfind(b"</conditionalFormatting>") + 24 :]
            if b"<conditionalFormatting" in part
            else part
            for name, part in parts_of(data).items()
        }
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "plan.xlsx"
            path.write_bytes(zipped(parts))
            self.model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
        self.calculated = False
        sheets = self.model.get_worksheets_properties()
        self.sheets = {sheet["name"]: number for number, sheet in enumerate(sheets)}

    def look(self, title: str, cell: str = "A4") -> object:
        """What a cell shows now."""
        if not self.calculated:
            self.model.evaluate()
            self.calculated = True
        return self.model.get_cell_value(self.sheets[title], *coordinate_to_tuple(cell))

    def put(self, title: str, cell: str, value: object) -> None:
        """Edit a cell; nothing empties it."""
        self.calculated = False
        at = (self.sheets[title], *coordinate_to_tuple(cell))
        if value is None:
            self.model.clear_cell_contents(*at)
        elif isinstance(value, str):
            self.model.update_cell_with_text(*at, value)
        else:
            self.model.update_cell_with_number(*at, float(value))  # type: ignore[arg-type]


def other(value: object) -> object:
    """What an edit makes of a cell: a letter more in a text, a tenth more of a number."""
    return value + "x" if isinstance(value, str) else float(value) * 1.1 + 0.1  # type: ignore[arg-type]


def inputs(data: bytes) -> Iterator[tuple[str, str, object]]:
    """Sheet, address and content of every input cell that is read, without headings."""
    book, edited = opened(data, values=False), Edited(data)
    for layout in INPUT_SHEETS:
        sheet = book[layout.title] if layout.title in book.sheetnames else None
        if sheet is None:
            continue
        required = set(layout.required_headings)
        header = next(row for row in sheet.iter_rows() if required <= {c.value for c in row})
        for heading in header:
            if heading.value not in layout.headings or heading.value == "Note":
                continue
            for row in range(heading.row + 1, sheet.max_row + 1):
                cell = sheet.cell(row, heading.column)
                if cell.value is not None:
                    yield layout.title, cell.coordinate, edited.look(layout.title, cell.coordinate)


@pytest.mark.parametrize("name", ["demo", "good", "brunch", "noodles"])
def test_check__notices_an_edit_of_any_cell(name: str) -> None:
    """Each cell in turn is changed, then emptied, and put back: Summary says so each time.

    In a plain run each third cell, evenly spread.
    """
    data = good() if name == "good" else with_formulas(name)[0]
    edited = Edited(data)
    unnoticed = []
    assert edited.look("Summary") == UNCHANGED
    cells = list(inputs(data))
    assert len(cells) > 80
    for title, cell, value in spread(cells):
        for new in (other(value), None):
            edited.put(title, cell, new)
            if edited.look("Summary") != CHANGED:
                unnoticed.append((title, cell, value, new))
        edited.put(title, cell, value)
    assert unnoticed == []
    assert edited.look("Summary") == UNCHANGED


@pytest.mark.parametrize("name", ["demo", "good"])
def test_check__notices_a_blank_cell_filled_in(name: str) -> None:
    data = good() if name == "good" else with_formulas(name)[0]
    filled = {(title, *coordinate_to_tuple(cell)) for title, cell, _ in inputs(data)}
    edited = Edited(data)
    blank = {
        (title, row, column)
        for title, row, _ in filled
        for _, other_row, column in (one for one in filled if one[0] == title)
        if row > min(r for t, r, _ in filled if t == title)
    } - filled
    assert len(blank) > 20
    for title, row, column in spread(sorted(blank)):
        for new in ("each", 3.0):
            edited.put(title, f"{get_column_letter(column)}{row}", new)
            assert edited.look("Summary") == CHANGED, (title, row, column)
        edited.put(title, f"{get_column_letter(column)}{row}", None)
    assert edited.look("Summary") == UNCHANGED


EDITS: dict[str, tuple[str, str, object]] = {
    "an ingredient renamed": ("Recipes", "D2", "leeks"),
    "a known name in place of another": ("Recipes", "D3", "potato"),
    "a unit": ("Recipes", "F2", "kg"),
    "measured": ("Recipes", "G4", "cooked"),
    "a purpose": ("Shoot plan", "D3", "hero"),
    "steps": ("Shoot plan", "E3", "1"),
    "a start": ("Shoot plan", "J2", time(10, 1)),
    "a shop": ("Packs", "B2", "Market"),
    "a section": ("Ingredients", "B2", "roots"),
    "use by": ("On hand", "D2", date(2031, 6, 2)),
    "plenty": ("On hand", "B3", "some"),
    "a shoot date": ("Episodes", "B2", date(2031, 5, 11)),
    "a setting": ("Settings", "B4", "US"),
    "a dish": ("Dishes", "A2", "leek pie"),
    "an event": ("Holding", "C3", "fridge"),
    "when": ("Holding", "D3", time(12, 21)),
    "a temperature": ("Holding", "E3", "5.5 C"),
    "an error": ("Packs", "E2", "=1/0"),
    "a setting more": ("Settings", "A7", "Allergen list"),
    "an event more": ("Holding", "A9", "tray"),
    "a number of another row": ("Packs", "G3", 5),
}


@cache
def good_edited(edit: str) -> bytes:
    """The good workbook with its results and one of the edits, the same for every engine."""
    title, cell, value = EDITS[edit]
    book = opened(good(), values=False)
    book[title][cell] = value
    return bytes_of(book)


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("edit", EDITS)
def test_check__notices_an_edit_of_every_kind(edit: str, engine: str) -> None:
    """On every sheet, whoever reads one of them has not read Summary."""
    look = ENGINES[engine](good_edited(edit))
    assert {look(title, "A4") for title in ALL_OF_THEM} == {CHANGED}
    assert look("To buy", "A4") != UNCHANGED


def test_check__says_in_libreoffice_too_that_nothing_has_changed(office: Office) -> None:
    look = by_libreoffice(office, good())
    assert {look(title, "A4") for title in ALL_OF_THEM} == {UNCHANGED}


@pytest.mark.parametrize("edit", spread(list(EDITS)))
def test_check__notices_them_in_libreoffice_too(edit: str, office: Office) -> None:
    assert by_libreoffice(office, good_edited(edit))("Summary", "A4") == CHANGED


@pytest.mark.parametrize(
    ("text", "edit"),
    [
        ("any*", "anyx"),
        ("~5?", "~5!"),
        (">5", ">6"),
        ("crème", "crême"),
        ("=x", "=y"),
        ("12", "13"),
        ("TRUE", "FALSE"),
        ("{1,2}", "{1;2}"),
        ("a\xa0b", "a b"),
        ("x" * LONGEST_TEXT, "x" * (LONGEST_TEXT - 1) + "y"),
    ],
)
def test_check__of_a_text_with_signs_in_it(text: str, edit: str) -> None:
    book = good_workbook()
    book["Recipes"]["C2"] = text
    book["Recipes"]["C2"].data_type = "s"
    data = run(calculated(bytes_of(book)))[0]
    cells = [cell for cell in formula_cells(data) if cell.cell == "A4"]
    titles = {cell.sheet for cell in cells}
    assert titles == {
        sheet.title
        for sheet in opened(data, values=False)
        if "_costing_sheet" in sheet.defined_names
    }
    assert next(cell.stored for cell in cells if cell.sheet == "Summary") == UNCHANGED
    for engine in ENGINES.values():
        assert differences(cells, engine(data)) == []
    edited = Edited(data)
    edited.put("Recipes", "C2", edit)
    assert edited.look("Summary") == CHANGED


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("two\nlines", "Recipes Step name"),
        ('6" tin', "Recipes Step name"),
        ("=1=1", "Recipes Step name"),
        ("x" * (LONGEST_TEXT + 1), "Recipes Step name"),
        (True, "Recipes Step name"),
        ("=1/0", "Recipes Step name"),
        ("  ", "Recipes Step name"),
        ("=Summary!A1", "Recipes Step name"),
    ],
    ids=[
        "two lines",
        "quotation marks",
        "a formula of truth",
        "too long",
        "truth",
        "error",
        "blanks",
        "in a circle",
    ],
)
def test_check__names_the_column_that_no_formula_can_watch(value: Any, words: str) -> None:
    book = good_workbook()
    book["Recipes"]["C2"] = value
    if value == "=Summary!A1":
        book.create_sheet("Summary")
        data = calculated(run(calculated(bytes_of(good_workbook())))[0])
        book = opened(data, values=False)
        book["Recipes"]["C2"] = value
    data = run(calculated(bytes_of(book)))[0]
    said = f"{UNCHANGED[:-1]}, {words}."
    for engine in ENGINES.values():
        assert engine(data)("Summary", "A4") == said


def test_check__a_text_that_reads_like_its_heading_is_an_entry() -> None:
    """A step called "Step name" in row 4: the rows above it are watched as well."""
    book = good_workbook()
    book["Recipes"]["C4"] = "Step name"
    data = run(calculated(bytes_of(book)))[0]
    edited = Edited(data)
    assert edited.look("Summary") == UNCHANGED
    edited.put("Recipes", "E2", 401)
    assert edited.look("Summary") == CHANGED


def test_check__says_which_columns_there_was_no_room_for() -> None:
    """Five hundred ingredients of twenty letters are more than one formula holds."""
    recipes: list[list[Any]] = [
        ["Dish", "Ingredient", "Amount", "Unit", "Step name"],
        *([None, f"herb of the kind {n}", n, "g", f"stir the pot, part {n}"] for n in range(500)),
    ]
    recipes[1][0] = "stew"
    data, _ = run(workbook_of({"Recipes": recipes}))
    for engine in ENGINES.values():
        look = engine(data)
        assert look("Summary", "A4") == (
            f"{UNCHANGED[:-1]}, Recipes Ingredient, Recipes Step name."
        )
    assert max(len(cell.formula) for cell in formula_cells(data)) < LONGEST_FORMULA
    edited = Edited(data)
    edited.put("Recipes", "D7", "kg")
    assert edited.look("Summary") == CHANGED


def test_check__of_dates_of_the_other_epoch() -> None:
    """A workbook that counts days from 1904."""
    book = good_workbook()
    book.epoch = datetime(1904, 1, 1)
    data = run(calculated(bytes_of(book)))[0]
    for engine in ENGINES.values():
        assert engine(data)("Summary", "A4") == UNCHANGED
