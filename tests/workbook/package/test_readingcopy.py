"""The copy that a library reads holds the cells and nothing else, under the usual names."""

from __future__ import annotations

import io
import warnings
import zipfile
from pathlib import Path

import openpyxl
import pytest
from blocks import summary, to_buy
from good_workbook import SHEETS
from packages import MAIN, parts_of, plain, sheet, with_part, zipped
from packages_at_random import in_strict, usual
from zoo import ZOO

import costing
from costing.workbook.owned.marks import MARK_NAME
from costing.workbook.owned.splice import splice
from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import Package
from costing.workbook.package.readingcopy import reading_copy
from costing.workbook.package.refusals import Refused


def copy_of(data: bytes) -> bytes:
    return reading_copy(open_gate(data), aside=MARK_NAME)


def with_rows(rows: str) -> bytes:
    return zipped(plain() | {"xl/worksheets/sheet1.xml": sheet(rows)})


def values(data: bytes) -> dict[str, list[tuple[object, ...]]]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # of extensions it does not know
        book = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    return {page.title: list(page.values) for page in book.worksheets}


def test_reading_copy__has_sheets_tables_formats_and_texts_under_the_usual_names() -> None:
    data = usual()
    names = set(parts_of(copy_of(data)))
    pages = {f"xl/worksheets/sheet{number}.xml" for number in range(1, len(SHEETS) + 2)}
    assert names == pages | {
        "[Content_Types].xml",
        "_rels/.rels",
        "xl/workbook.xml",
        "xl/_rels/workbook.xml.rels",
        "xl/worksheets/_rels/sheet4.xml.rels",
        f"xl/worksheets/_rels/sheet{len(SHEETS) + 1}.xml.rels",
        "xl/tables/table1.xml",
        "xl/styles.xml",
        "xl/sharedStrings.xml",
    }
    assert values(copy_of(data)) == values(data)
    book = openpyxl.load_workbook(io.BytesIO(copy_of(data)))
    assert [table.ref for table in book["Packs"].tables.values()] == ["A1:H5"]
    assert book["My notes"]["A1"].hyperlink.target == "https://cooking.example/leek"


@pytest.mark.parametrize("name", sorted(set(ZOO) - {"other_folders", "chart_sheet"}))
def test_reading_copy__openpyxl_finds_in_it_what_it_finds_in_the_workbook(name: str) -> None:
    data = ZOO[name]()
    assert values(copy_of(data)) == values(data)


def test_reading_copy__of_folders_that_openpyxl_does_not_find() -> None:
    assert values(copy_of(ZOO["other_folders"]())) == {
        "Recipes": [("Dish", None), ("leek tart", 3)]
    }


def test_reading_copy__leaves_result_sheets_aside_whatever_stands_before_them() -> None:
    """A chart sheet is no worksheet: positions of names count it, those of worksheets do not."""
    data = ZOO["chart_sheet"]()
    assert list(values(copy_of(data))) == ["Prices"]
    spliced = splice(data, [to_buy(), summary()]).data
    assert list(values(copy_of(spliced))) == ["Prices"]


def test_reading_copy__packed_bytes_are_taken_as_they_stand() -> None:
    data = usual()

    def packed(file: bytes, name: str) -> tuple[int, int, int]:
        with zipfile.ZipFile(io.BytesIO(file)) as archive:
            info = archive.getinfo(name)
            return info.CRC, info.compress_size, info.compress_type

    for name in ("xl/sharedStrings.xml", "xl/worksheets/sheet2.xml"):
        assert packed(copy_of(data), name) == packed(data, name)


def test_reading_copy__long_runs_of_formatted_rows_are_left_out() -> None:
    def run(first: int, count: int) -> str:
        return "".join(f'<row r="{n}" s="0"/>' for n in range(first, first + count))

    def one(row: int) -> str:
        return f'<row r="{row}"><c r="A{row}"><v>7</v></c></row>'

    short = parts_of(copy_of(with_rows(one(1) + run(2, 1001) + one(1003) + run(1004, 2000))))
    assert short["xl/worksheets/sheet1.xml"] == sheet(one(1) + one(1003))
    kept = parts_of(copy_of(with_rows(one(1) + run(2, 1000) + one(1002))))
    assert kept["xl/worksheets/sheet1.xml"] == sheet(one(1) + run(2, 1000) + one(1002))


def test_read_workbook__cells_at_the_end_of_a_sheet_are_read_past(tmp_path: Path) -> None:
    """The last cell of every sheet is filled in; nothing between is built."""
    path = tmp_path / "plan.xlsx"
    path.write_bytes(usual())
    shoot, _ = costing.read_workbook(path)
    last = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    parts = parts_of(usual())
    pages = {name: c for name, c in parts.items() if name.startswith("xl/worksheets/sheet")}
    far_pages = {name: c.replace(b"</sheetData>", last) for name, c in pages.items()}
    path.write_bytes(zipped(parts | far_pages))
    far, _ = costing.read_workbook(path)
    assert far == shoot


def test_strict_workbook__is_read_as_the_same_shoot_and_stays_strict(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    path.write_bytes(usual())
    shoot, _ = costing.read_workbook(path)
    path.write_bytes(in_strict(usual()))
    read, findings = costing.read_workbook(path)
    assert read == shoot
    costing.write_results(path, costing.estimate(read), findings)
    parts = parts_of(path.read_bytes())
    mixed = [
        name
        for name, content in parts.items()
        if b"schemas.openxmlformats.org/spreadsheetml" in content
        or b"schemas.openxmlformats.org/drawingml" in content
        or b"schemas.openxmlformats.org/officeDocument/2006/relationships" in content
    ]
    assert mixed == []
    chart = next(content for name, content in parts.items() if "charts/chart2" in name)
    assert b'<c:gapWidth val="45%"/>' in chart


def test_strict_workbook__days_written_as_iso_8601(tmp_path: Path) -> None:
    """Programs that save as Strict may write a day as the cell type d; the shoot is the same."""
    parts = parts_of(in_strict(usual()))
    page = "xl/worksheets/sheet7.xml"
    text = parts[page].decode()
    assert "<v>47978</v>" in text  # 10 May 2031
    cell = text.index("<v>47978</v>")
    start = text.rindex("<c ", 0, cell)
    text = text[:start] + text[start:].replace("<c ", '<c t="d" ', 1)
    parts[page] = text.replace("<v>47978</v>", "<v>2031-05-10</v>").encode()
    path = tmp_path / "plan.xlsx"
    path.write_bytes(zipped(parts))
    shoot, _ = costing.read_workbook(path)
    assert str(shoot.episodes[0].shoot_date) == "2031-05-10"


def repeated(name: str, content: bytes, *, parts: dict[str, bytes]) -> bytes:
    """A package in which a name stands once more behind the others."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for one, old in parts.items():
            archive.writestr(one, old)
        with pytest.warns(UserWarning, match="Duplicate name"):
            archive.writestr(name, content)
    return file.getvalue()


def gated(data: bytes) -> Package:
    return open_gate(data, name="plan.xlsx")


def test_part_twice__the_later_one_is_read_and_written_and_a_warning_says_so(
    tmp_path: Path,
) -> None:
    """So do LibreOffice 7.4, openpyxl 3.1, calamine 0.9, ironcalc 0.9 and formualizer 0.13."""
    parts = parts_of(usual())
    name = "xl/sharedStrings.xml"
    path = tmp_path / "plan.xlsx"
    path.write_bytes(repeated(name, parts[name].replace(b"leek soup", b"leek stew"), parts=parts))
    shoot, findings = costing.read_workbook(path)
    assert [dish.name for dish in shoot.dishes] == ["leek stew"]
    assert [str(one) for one in findings if one.code == "part twice"] == [
        "'plan.xlsx': found two different parts named 'xl/sharedStrings.xml' inside the file, "
        "expected each part once [part twice]\n"
        "  The later one was read, as spreadsheet programs do, and only that one is written. Open "
        "the workbook in yours, look it over and save it under a new name as .xlsx."
    ]
    costing.write_results(path, costing.estimate(shoot), findings)
    assert b"leek stew" in parts_of(path.read_bytes())[name]
    assert open_gate(path.read_bytes()).twice == ()


def test_part_twice__the_same_content_twice_is_not_worth_a_word() -> None:
    parts = plain()
    assert gated(repeated("xl/styles.xml", parts["xl/styles.xml"], parts=parts)).twice == ()


def test_names_that_differ_in_capitals_only__the_one_as_spelled_is_meant() -> None:
    """So do four of the five readers; both parts stay."""
    other = sheet('<row r="1"><c r="A1"><v>9</v></c></row>')
    parts = plain() | {"xl/worksheets/SHEET1.xml": other}
    assert values(copy_of(zipped(parts))) == {"Recipes": [("Dish", None), ("leek tart", 3)]}
    after = parts_of(splice(zipped(parts), [to_buy()]).data)
    assert after["xl/worksheets/SHEET1.xml"] == other
    assert after["xl/worksheets/sheet1.xml"] == parts["xl/worksheets/sheet1.xml"]


def test_remark_on_the_whole_file__is_kept() -> None:
    file = io.BytesIO(zipped(plain()))
    with zipfile.ZipFile(file, "a") as archive:
        archive.comment = b"from the market"
    with zipfile.ZipFile(io.BytesIO(splice(file.getvalue(), [to_buy()]).data)) as archive:
        assert archive.comment == b"from the market"


def test_workbook_damaged__sheets_of_neither_class() -> None:
    text = plain()["xl/workbook.xml"].replace(MAIN.encode(), b"urn:example:sheets")
    with pytest.raises(Refused, match="no workbook in the part"):
        gated(zipped(plain() | {"xl/workbook.xml": text}))


def test_table_whose_part_is_missing__is_refused_in_words(tmp_path: Path) -> None:
    table = b'<table xmlns="%s" id="1" name="t" displayName="t" ref="A1:A2"/>' % MAIN.encode()
    parts = with_part(
        plain(), "xl/tables/table1.xml", table, "application/xml",
        source="xl/worksheets/sheet1.xml", relation="table",
    )  # fmt: skip
    del parts["xl/tables/table1.xml"]
    after = '<tableParts count="1"><tablePart r:id="rId1"/></tableParts>'
    parts["xl/worksheets/sheet1.xml"] = sheet("", after=after)
    path = tmp_path / "plan.xlsx"
    path.write_bytes(zipped(parts))
    with pytest.raises(Refused, match="workbook not understood"):
        costing.read_workbook(path)
