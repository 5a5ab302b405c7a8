"""The list of sheets, and what says where one stands in it: names, the open tab, the first shown.

What a position means is ISO/IEC 29500-1, 18.2.5 (localSheetId) and 18.2.30 (activeTab,
firstSheet): counted from 0 in the order of the list.
"""

from __future__ import annotations

import io
from collections.abc import Callable

import openpyxl
import pytest
from packages import (
    PLAIN_TYPES,
    SHEET_TYPE,
    Parts,
    plain,
    relations,
    sheet,
    sheets_of,
    types,
    workbook_xml,
    zipped,
)

from costing.workbook.package.gate import open_gate
from costing.workbook.package.workbookpart import WorkbookPart

TABS = ("Leek", "Cream", "Salt")
VIEWS = '<bookViews><workbookView firstSheet="1" activeTab="1"/></bookViews>'
AREAS = "".join(
    f'<definedName name="_xlnm.Print_Area" localSheetId="{number}">{tab}!$A$1</definedName>'
    for number, tab in enumerate(TABS)
)
NAMES = f'<definedNames>{AREAS}<definedName name="price">Salt!$B$2</definedName></definedNames>'


def three(*, views: str = VIEWS, names: str = NAMES) -> Parts:
    """Three sheets with a print area each, the second of them open; a name of the workbook."""
    more = {f"/xl/worksheets/sheet{n}.xml": SHEET_TYPE for n in (2, 3)}
    listed = [(f"rId{n}", "worksheet", f"worksheets/sheet{n}.xml") for n in (1, 2, 3)]
    rows = '<row r="1"><c r="A1"><v>1</v></c></row>'
    parts = plain() | {
        "[Content_Types].xml": types(PLAIN_TYPES | more),
        "xl/workbook.xml": workbook_xml(
            *((tab, f"rId{n}") for n, tab in enumerate(TABS, 1)), before=views, after=names
        ),
        "xl/_rels/workbook.xml.rels": relations(*listed, ("rId9", "styles", "styles.xml")),
    }
    for number in (1, 2, 3):
        parts[f"xl/worksheets/sheet{number}.xml"] = sheet(rows)
    for number, said in ((2, ' tabSelected="1"'), (3, "")):
        view = f'<sheetViews><sheetView{said} workbookViewId="0"/></sheetViews><sheetData>'
        name = f"xl/worksheets/sheet{number}.xml"
        parts[name] = parts[name].replace(b"<sheetData>", view.encode(), 1)
    return parts


def changed(
    act: Callable[[WorkbookPart], dict[str, bytes] | None], parts: Parts | None = None
) -> openpyxl.Workbook:
    """The workbook as openpyxl reads it after a change to its part."""
    package = open_gate(zipped(parts or three()))
    book = WorkbookPart(package)
    more = act(book) or {}
    return openpyxl.load_workbook(io.BytesIO(package.rewritten(book.changed_parts() | more).data))


def areas(book: openpyxl.Workbook) -> dict[str, str]:
    """The print areas by the sheet they belong to."""
    return {page.title: page.print_area for page in book.worksheets if page.print_area}


def test_part_of__what_is_elsewhere_is_no_part_of_the_workbook() -> None:
    """ISO/IEC 29500-2, 9.3: the target of an external relationship is not in the package."""
    listed = [("rId8", "styles", "https://cooking.example/styles.xml")]
    listed += [("rId1", "worksheet", "worksheets/sheet1.xml"), ("rId2", "styles", "styles.xml")]
    parts = plain() | {"xl/_rels/workbook.xml.rels": relations(*listed, external=("rId8",))}
    assert WorkbookPart(open_gate(zipped(parts))).part_of("styles") == "xl/styles.xml"


def selected(book: openpyxl.Workbook) -> list[str]:
    return [page.title for page in book.worksheets if page.sheet_view.tabSelected]


@pytest.mark.parametrize("order", [(2, 0, 1), (1, 0, 2), (0, 1, 2)])
def test_arrange__names_and_the_open_sheet_go_with_their_sheets(order: tuple[int, ...]) -> None:
    def act(book: WorkbookPart) -> dict[str, bytes]:
        return book.arrange(order, open_first=False)

    book = changed(act)
    assert book.sheetnames == [TABS[at] for at in order]
    assert areas(book) == {tab: f"'{tab}'!$A$1" for tab in TABS}
    assert book.active == book["Cream"]
    assert selected(book) == ["Cream"]
    assert book.defined_names["price"].attr_text == "Salt!$B$2"


def test_arrange__opens_the_first_and_no_other_is_selected() -> None:
    """Edits go to every selected sheet: one that stayed selected would take them in silence."""
    book = changed(lambda book: book.arrange((2, 0, 1), open_first=True))
    assert book.sheetnames == ["Salt", "Leek", "Cream"]
    assert book.active == book["Salt"]
    assert selected(book) == ["Salt"]
    assert book.views[0].firstSheet == 0
    assert areas(book) == {tab: f"'{tab}'!$A$1" for tab in TABS}


@pytest.mark.parametrize(
    ("gone", "opened", "first"),
    [
        ((0,), "Cream", "Cream"),
        ((2,), "Cream", "Cream"),
        ((1,), "Salt", "Salt"),
        ((1, 2), "Leek", "Leek"),
        ((0, 1), "Salt", "Salt"),
    ],
)
def test_remove_tabs__what_stays_keeps_its_names_and_a_sheet_that_is_there_is_open(
    gone: tuple[int, ...], opened: str, first: str
) -> None:
    book = changed(lambda book: book.remove_tabs(set(gone)))
    left = [tab for at, tab in enumerate(TABS) if at not in gone]
    assert book.sheetnames == left
    assert areas(book) == {tab: f"'{tab}'!$A$1" for tab in left}
    assert book.active == book[opened]
    assert book.sheetnames[book.views[0].firstSheet] == first


def test_add_tab__has_a_number_of_its_own_and_names_that_were_all_gone_leave_no_list() -> None:
    """Numbers are 1 to 3, and sheet 3 goes: the new one has 3 again, as no other has it."""

    def act(book: WorkbookPart) -> None:
        book.remove_tabs({2})
        assert book.add_tab("Beet", "xl/worksheets/sheet3.xml") == 2
        assert book.tabs[-1].sheet_id == 3

    assert changed(act).sheetnames == ["Leek", "Cream", "Beet"]
    only = three(
        names=f"<definedNames>{AREAS.partition('</definedName>')[0]}</definedName></definedNames>"
    )
    package = open_gate(zipped(only))
    book = WorkbookPart(package)
    book.remove_tabs({0})
    assert b"definedNames" not in book.changed_parts()["xl/workbook.xml"]


@pytest.mark.parametrize(
    ("state", "hidden"),
    [
        ("", False),
        (' state="visible"', False),
        (' state="hidden"', True),
        (' state="veryHidden"', True),
    ],
)
def test_tab__is_hidden_where_the_list_says_so(state: str, *, hidden: bool) -> None:
    parts = three()
    text = parts["xl/workbook.xml"].replace(b' sheetId="2"', f' sheetId="2"{state}'.encode())
    found = WorkbookPart(open_gate(zipped(parts | {"xl/workbook.xml": text})))
    assert [tab.hidden for tab in found.tabs] == [False, hidden, False]
    assert list(sheets_of(parts)) == list(TABS)


@pytest.mark.parametrize("said", ["", '<calcPr calcId="1"/>', '<calcPr fullCalcOnLoad="1"/>'])
def test_changed_parts__say_once_that_all_is_calculated_on_opening(said: str) -> None:
    """ISO/IEC 29500-1, 18.2.2: fullCalcOnLoad asks the program for it."""
    parts = three(names=NAMES + said)
    book = WorkbookPart(open_gate(zipped(parts)))
    text = book.changed_parts()["xl/workbook.xml"].decode()
    assert text.count("<calcPr") == text.count('fullCalcOnLoad="1"') == 1


def test_remove_tabs__a_name_of_a_sheet_that_never_was_is_left_alone() -> None:
    """Some programs leave such names behind; they stand for nothing, before as after."""
    lost = '<definedName name="lost" localSheetId="9">Leek!$A$1</definedName>'
    parts = three(names=NAMES.replace("</definedNames>", f"{lost}</definedNames>"))
    book = WorkbookPart(open_gate(zipped(parts)))
    book.remove_tabs({0})
    assert lost in book.changed_parts()["xl/workbook.xml"].decode()
