"""Which workbooks are not changed in place; sheets taken out; charts carried over; formats."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import replace

import openpyxl
import pytest
import xlsxwriter
from blocks import LINES, summary, to_buy
from openpyxl.workbook.views import BookView
from openpyxl.worksheet.worksheet import Worksheet
from packages import (
    OFFICE,
    SHEET_TYPE,
    Parts,
    bytes_of,
    foreign_parts_changed,
    parts_of,
    plain,
    related,
    relations,
    sheet,
    sheets_of,
    types,
    with_part,
    workbook_xml,
    zipped,
)
from soundness import faults
from zoo import ZOO, with_titles

from costing.workbook.owned.ownedsheets import Names
from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.owned.splice import opened, splice
from costing.workbook.package.cellxml import NewCell
from costing.workbook.package.refusals import Refused

ELSEWHERE = "The results can be written into another file beside it."


def refusal(parts: Parts) -> str:
    with pytest.raises(Refused) as caught:
        splice(zipped(parts), [to_buy()], name="plan.xlsx")
    return str(caught.value.finding)


def test_signed_workbook() -> None:
    signed = with_part(
        plain(),
        "_xmlsignatures/origin.sigs",
        b"",
        "application/vnd.openxmlformats-package.digital-signature-origin",
    )
    assert refusal(signed) == (
        "'plan.xlsx': found a digital signature, which any change would break, expected a "
        "workbook without a signature [signed workbook]\n"
        f"  Take the signature off, or leave it there. {ELSEWHERE}"
    )


def test_signed_workbook__told_by_the_relationship_alone() -> None:
    parts = plain() | {
        "signatures/origin.sigs": b"",
        "_rels/.rels": relations(
            ("rId1", "officeDocument", "xl/workbook.xml"),
            (
                "rId2",
                "http://schemas.openxmlformats.org/package/2006/relationships/digital-signature/"
                "origin",
                "signatures/origin.sigs",
            ),
        ),
    }
    assert "[signed workbook]" in refusal(parts)


@pytest.mark.parametrize("yes", ["1", "true"])
def test_structure_protected(yes: str) -> None:
    protection = f'<workbookProtection lockStructure="{yes}"/>'
    parts = plain() | {"xl/workbook.xml": workbook_xml(("Recipes", "rId1"), before=protection)}
    assert refusal(parts) == (
        "'plan.xlsx': found a workbook whose structure is protected, expected a workbook to which "
        "sheets can be added [structure protected]\n"
        f"  Take the protection of the workbook off (Review, Protect Workbook). {ELSEWHERE}"
    )


def test_structure_protected__windows_only_is_no_reason() -> None:
    protection = '<workbookProtection lockStructure="0" lockWindows="1"/>'
    parts = plain() | {"xl/workbook.xml": workbook_xml(("Recipes", "rId1"), before=protection)}
    assert splice(zipped(parts), [to_buy()]).added == ("to_buy",)


def test_shared_workbook() -> None:
    shared = with_part(
        plain(),
        "xl/revisions/revisionHeaders.xml",
        b"<headers/>",
        "application/vnd.openxmlformats-officedocument.spreadsheetml.revisionHeaders+xml",
        source="xl/workbook.xml",
        relation="revisionHeaders",
    )
    assert refusal(shared) == (
        "'plan.xlsx': found a shared workbook that keeps a history of changes, expected a "
        "workbook that is not shared in the old way [shared workbook]\n"
        f"  Stop sharing it (Review, Unshare Workbook). {ELSEWHERE}"
    )


def test_workbook_damaged__without_a_list_of_sheets() -> None:
    text = workbook_xml(("Recipes", "rId1")).decode()
    start, end = text.index("<sheets>"), text.index("</sheets>") + len("</sheets>")
    parts = plain() | {"xl/workbook.xml": (text[:start] + text[end:]).encode()}
    assert refusal(parts).startswith(
        "'plan.xlsx': found a workbook without a list of sheets, expected a whole workbook"
    )


def test_splice__a_mark_stands_once() -> None:
    with pytest.raises(ValueError, match="a mark stands twice"):
        splice(zipped(plain()), [to_buy(), to_buy()])
    with pytest.raises(ValueError, match="a mark stands twice"):
        splice(zipped(plain()), [to_buy()], remove=["to_buy"])


def test_splice__no_sheets_at_all_still_gives_the_workbook() -> None:
    before = zipped(plain())
    after = splice(before, []).data
    assert foreign_parts_changed(before, after) == []
    assert faults(after) == []


def test_new_sheets__stand_after_the_others_in_order() -> None:
    once = splice(zipped(plain()), [summary()])
    both = splice(once.data, [to_buy(), summary()])
    assert both.added == ("to_buy",)
    assert list(sheets_of(parts_of(both.data))) == ["Recipes", "Summary", "To buy"]


def planned_names(data: bytes, sheets: Sequence[ResultSheet]) -> Names:
    """Titles and table names, asked for before anything is written."""
    with opened(data) as tabs:
        return tabs.plan(sheets)


def test_names__are_planned_as_they_are_given() -> None:
    data = ZOO["same_title_and_table_name"]()
    names = planned_names(data, [to_buy(), summary()])
    spliced = splice(data, [to_buy(), summary()])
    assert (names.titles, names.tables) == (spliced.titles, spliced.tables)
    again = planned_names(spliced.data, [to_buy(), summary()])
    assert again == names


def test_table_renamed_by_the_person__keeps_its_name() -> None:
    book = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [to_buy()]).data))
    table = book["To buy"].tables["tToBuy"]
    table.name = table.displayName = "Einkauf"
    data = bytes_of(book)
    assert planned_names(data, [to_buy()]).tables == {"to_buy": "Einkauf"}
    spliced = splice(data, [to_buy(LINES[:1])])
    assert (
        openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"].tables["Einkauf"].ref == "A3:D4"
    )


def test_remove__takes_out_sheet_table_names_and_types() -> None:
    before = zipped(plain())
    without = splice(before, [summary()]).data
    removed = splice(splice(before, [to_buy(), summary()]).data, [summary()], remove=["to_buy"])
    assert (removed.removed, removed.emptied) == (("to_buy",), ())
    assert list(sheets_of(parts_of(removed.data))) == ["Recipes", "Summary"]
    assert faults(removed.data) == []
    names = {n for n in parts_of(removed.data) if "table" in n}
    assert names == set()
    assert len(parts_of(removed.data)) == len(parts_of(without))


def test_remove__open_tab_and_names_of_later_sheets_follow() -> None:
    book = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [to_buy()]).data))
    later = book.create_sheet("Later")
    later.print_title_rows = "1:2"
    book.views = [BookView()]
    book.active = 2
    removed = splice(bytes_of(book), [], remove=["to_buy"])
    assert faults(removed.data) == []
    book = openpyxl.load_workbook(io.BytesIO(removed.data))
    assert book.sheetnames == ["Recipes", "Later"]
    assert [book.active] == [book["Later"]]
    assert book["Later"].print_title_rows == "$1:$2"


def test_remove__names_of_the_sheets_that_stay_are_still_followed() -> None:
    """The rows repeated on every page of the list, now the second tab, follow its headings."""
    data = splice(zipped(plain()), [summary(), to_buy()]).data
    longer = to_buy()
    longer = replace(longer, rows=[[NewCell("Total")], *longer.rows], header_row=4)
    removed = splice(data, [longer], remove=["summary"])
    assert removed.removed == ("summary",)
    assert faults(removed.data) == []
    assert openpyxl.load_workbook(io.BytesIO(removed.data))["To buy"].print_title_rows == "$4:$4"
    assert splice(removed.data, [longer]).data == removed.data


def test_remove__what_is_not_there_is_no_fault() -> None:
    spliced = splice(zipped(plain()), [], remove=["to_buy"])
    assert (spliced.removed, spliced.emptied) == ((), ())


def needed_by_a_formula() -> bytes:
    parts = with_titles("Recipes")
    parts["xl/worksheets/sheet1.xml"] = sheet(
        '<row r="1"><c r="A1"><f>SUM(tToBuy[Cost])</f><v>9</v></c></row>'
    )
    return splice(zipped(parts), [to_buy()]).data


def needed_by_a_name() -> bytes:
    parts = plain()
    parts["xl/workbook.xml"] = workbook_xml(
        ("Recipes", "rId1"),
        after="<definedNames><definedName name=\"Bill\">'To buy'!$D$4</definedName></definedNames>",
    )
    return splice(zipped(parts), [to_buy()]).data


CHART = "<c><f>'To buy'!$D$4:$D$6</f></c>"


def needed_by_a_chart(name: str = "xl/charts/chart1.xml", coding: str = "utf-8") -> bytes:
    parts = with_part(
        plain(),
        name,
        CHART.encode(coding),
        "application/xml",
        source="xl/worksheets/sheet1.xml",
        relation="chart",
    )
    return splice(zipped(parts), [to_buy()]).data


def needed_by_a_chart_of_another_name() -> bytes:
    return needed_by_a_chart("pictures/One.Part")


def needed_by_a_chart_in_another_encoding() -> bytes:
    return needed_by_a_chart(coding="utf-16")


def written_on() -> bytes:
    book = openpyxl.load_workbook(io.BytesIO(splice(zipped(plain()), [to_buy()]).data))
    book["To buy"]["F5"] = "ask at the dairy"
    return bytes_of(book)


@pytest.mark.parametrize(
    "make",
    [
        needed_by_a_formula,
        needed_by_a_name,
        needed_by_a_chart,
        needed_by_a_chart_of_another_name,
        needed_by_a_chart_in_another_encoding,
        written_on,
    ],
)
def test_remove__a_sheet_that_is_needed_loses_its_block_only(make: object) -> None:
    assert callable(make)
    spliced = splice(make(), [], remove=["to_buy"])
    assert (spliced.removed, spliced.emptied) == ((), ("to_buy",))
    assert faults(spliced.data) == []
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    rows = [[cell.value for cell in row] for row in page["A1:D5"]]
    assert rows[2] == ["Got it", "Ingredient", "Packs", "Cost"]
    assert not any(rows[0] + rows[1] + rows[3])
    assert page.tables["tToBuy"].ref == "A3:D4"


def test_remove__the_last_sheet_of_a_workbook_stays() -> None:
    data = splice(zipped(plain()), [to_buy()]).data
    book = openpyxl.load_workbook(io.BytesIO(data))
    del book["Recipes"]
    for row in book["To buy"]["B4:B6"]:
        row[0].hyperlink = None
    spliced = splice(bytes_of(book), [], remove=["to_buy"])
    assert (spliced.removed, spliced.emptied) == ((), ("to_buy",))


def scratch(title: str) -> bytes:
    """A scratch workbook with two charts and a picture of text on one sheet."""
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True})
    book.add_worksheet("Other")
    page = book.add_worksheet(title)
    for kind, place in (("column", "F2"), ("line", "F20")):
        chart = book.add_chart({"type": kind})
        chart.add_series({"values": f"='{title}'!$B$1:$B$2"})
        page.insert_chart(place, chart)
    book.close()
    return file.getvalue()


def test_drawing__is_carried_over_when_the_sheet_is_made_and_then_left_alone() -> None:
    before = ZOO["charts_and_formats"]()
    first = splice(before, [replace(summary(), drawing_from=lambda: scratch("Summary"))])
    assert faults(first.data) == []
    parts = parts_of(first.data)
    drawing = [t for _, kind, t in related(sheets_of(parts)["Summary"], parts) if kind == "drawing"]
    charts = [target for _, kind, target in related(drawing[0], parts) if kind == "chart"]
    assert len(charts) == 2
    assert all(b"'Summary'!$B$1:$B$2" in parts[chart] for chart in charts)
    assert foreign_parts_changed(before, first.data) == []
    page = openpyxl.load_workbook(io.BytesIO(first.data))["Summary"]
    assert isinstance(page, Worksheet)
    assert len(page._charts) == 2  # type: ignore[attr-defined]
    again = splice(first.data, [replace(summary(), drawing_from=lambda: scratch("Summary"))])
    assert again.data == first.data


def test_drawing__a_scratch_workbook_without_one_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="no drawing on a sheet 'Summary'"):
        splice(zipped(plain()), [replace(summary(), drawing_from=lambda: zipped(plain()))])


def test_new_sheet__look_and_print_set_up() -> None:
    parts = parts_of(splice(zipped(plain()), [replace(to_buy(), heights={1: 30})]).data)
    text = parts[sheets_of(parts)["To buy"]].decode()
    for xml in (
        '<sheetPr><tabColor rgb="FF3B5B6D"/><pageSetUpPr fitToPage="1"/></sheetPr>',
        '<pane xSplit="2" ySplit="3" topLeftCell="C4" activePane="bottomRight" state="frozen"/>',
        '<col min="2" max="2" width="24" customWidth="1"/>',
        '<row r="1" ht="30" customHeight="1">',
        '<pageSetup orientation="landscape" fitToWidth="1" fitToHeight="0"/>',
        '<conditionalFormatting sqref="A4:D1000"><cfRule type="expression" dxfId="0" priority="1">'
        '<formula>$A4&lt;&gt;""</formula></cfRule></conditionalFormatting>',
    ):
        assert xml in text
    assert "paperSize" not in text


def test_table__has_a_row_even_when_the_list_is_empty() -> None:
    spliced = splice(zipped(plain()), [to_buy([])])
    page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
    assert page.tables["tToBuy"].ref == "A3:D4"
    filled = splice(spliced.data, [to_buy()])
    assert filled.kept == ()
    assert faults(filled.data) == []


def test_table__lines_below_it_belong_to_the_block() -> None:
    def with_foot(lines: int) -> ResultSheet:
        sheet_ = to_buy(LINES[:lines])
        rows = [*sheet_.rows, [], [NewCell("Prices include tax.")]]
        return replace(sheet_, rows=rows, table_rows=lines)

    data = splice(zipped(plain()), [with_foot(3)]).data
    for lines, reference in ((1, "A3:D4"), (2, "A3:D5"), (3, "A3:D6")):
        spliced = splice(data, [with_foot(lines)])
        assert (spliced.kept, spliced.edited) == ((), ())
        page = openpyxl.load_workbook(io.BytesIO(spliced.data))["To buy"]
        assert page.tables["tToBuy"].ref == reference
        assert page.cell(lines + 5, 1).value == "Prices include tax."
        assert page.max_row == lines + 5
        data = spliced.data


def test_part_names__are_free_ones() -> None:
    """Names differ by more than capitals from those that are there."""
    parts = plain()
    parts["[Content_Types].xml"] = parts["[Content_Types].xml"].replace(b"sheet1", b"SHEET2")
    parts["xl/worksheets/SHEET2.xml"] = parts.pop("xl/worksheets/sheet1.xml")
    parts["xl/_rels/workbook.xml.rels"] = relations(
        ("rId1", "worksheet", "worksheets/SHEET2.xml"), ("rId7", "styles", "styles.xml")
    )
    spliced = parts_of(splice(zipped(parts), [to_buy(), summary()]).data)
    assert sheets_of(spliced) == {
        "Recipes": "xl/worksheets/SHEET2.xml",
        "To buy": "xl/worksheets/sheet1.xml",
        "Summary": "xl/worksheets/sheet3.xml",
    }
    assert f'xmlns:r="{OFFICE}" r:id="rId2"' in spliced["xl/workbook.xml"].decode()


def test_workbook_without_formats__gets_its_first_with_the_results() -> None:
    """ISO/IEC 29500-1 asks for no styles part; one that no relationship names is never read."""
    parts = plain()
    del parts["xl/styles.xml"]
    parts["[Content_Types].xml"] = types({"/xl/worksheets/sheet1.xml": SHEET_TYPE})
    parts["xl/_rels/workbook.xml.rels"] = relations(("rId1", "worksheet", "worksheets/sheet1.xml"))
    data = splice(zipped(parts), [to_buy()]).data
    assert faults(data) == []
    page = openpyxl.load_workbook(io.BytesIO(data))["To buy"]
    assert (page["A3"].font.bold, page["D4"].number_format) == (True, "0.00")


def test_list_whose_cells_were_all_taken_out__is_written_again() -> None:
    """Some programs write rows that are gone as an empty element, others as an open one."""
    parts = parts_of(splice(zipped(plain()), [to_buy()]).data)
    name = sheets_of(parts)["To buy"]
    for empty in (b"<sheetData/>", b"<sheetData></sheetData>", b"<sheetData>\n</sheetData>"):
        parts[name] = re.sub(
            rb"<sheetData.*</sheetData>|<sheetData/>", empty, parts[name], flags=re.S
        )
        data = splice(zipped(parts), [to_buy()]).data
        assert faults(data) == []
        again = parts_of(data)[name]
        assert len(re.findall(rb"<sheetData\b", again)) == 1
        page = openpyxl.load_workbook(io.BytesIO(data))["To buy"]
        assert [row[1].value for row in page.iter_rows(min_row=4)] == ["leek", "cream", "=salt"]


def test_fold__that_ended_higher_up_leaves_nothing_behind() -> None:
    """The row below a fold says that it is closed; one run later that row is in the fold itself."""
    few = replace(to_buy(LINES[:2]), folded_rows=frozenset({4, 5}))
    more = replace(to_buy(), folded_rows=frozenset({4, 5, 6}))
    data = splice(splice(zipped(plain()), [few]).data, [more]).data
    parts = parts_of(data)
    rows = re.findall(rb"<row [^>]*>", parts[sheets_of(parts)["To buy"]])
    assert [row for row in rows if b"collapsed" in row] == [b'<row r="7" collapsed="1"/>']
    assert splice(data, [more]).data == data
