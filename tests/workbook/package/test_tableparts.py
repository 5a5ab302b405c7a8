"""Tables as the format keeps them: ISO/IEC 29500-1, 18.5.1."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from packages import MAIN, plain, tree_of, with_part, zipped

from costing.workbook.package.gate import open_gate
from costing.workbook.package.opc import Package
from costing.workbook.package.tableparts import (
    TableState,
    read_table,
    table_after,
    table_xml,
    tables_on,
)

PART, KIND = "xl/tables/table1.xml", "table+xml"
TABLE = (
    f'<table xmlns="{MAIN}" id="7" name="inner" displayName="tShops" ref="B2:D6" '
    'totalsRowCount="1"><autoFilter ref="B2:D5"><filterColumn colId="0"/></autoFilter>'
    '<sortState ref="B3:D5"/><tableColumns count="3"><tableColumn id="4" name="Shop"/>'
    '<tableColumn id="9" name="Pack_x000a_amount" totalsRowFunction="sum"/>'
    '<tableColumn id="2" name="a &amp; b"/></tableColumns></table>'
)


def package(xml: str | bytes) -> Package:
    data = xml.encode() if isinstance(xml, str) else xml
    sheet = "xl/worksheets/sheet1.xml"
    return open_gate(zipped(with_part(plain(), PART, data, KIND, source=sheet, relation="table")))


def table(xml: str | bytes = TABLE) -> TableState:
    found = read_table(package(xml), PART)
    assert found is not None
    return found


def test_read_table__its_range_totals_and_headings() -> None:
    found = table()
    assert (found.part, found.name, found.number) == (PART, "tShops", 7)
    assert (found.corners, found.totals, found.has_headings) == ((2, 2, 6, 4), 1, True)
    assert found.headings == ["Shop", "Pack\namount", "a & b"]


@pytest.mark.parametrize(
    ("before", "after", "read"),
    [
        (' displayName="tShops"', "", {"name": "inner"}),
        (' totalsRowCount="1"', "", {"totals": 0}),
        (' totalsRowCount="1"', ' headerRowCount="0"', {"totals": 0, "has_headings": False}),
        ("_x000a_", "_x000A_", {}),
        (TABLE[TABLE.index("<tableColumns") : TABLE.index("</table>")], "", {"headings": []}),
    ],
)
def test_read_table__what_may_be_left_out(before: str, after: str, read: dict[str, Any]) -> None:
    assert before in TABLE
    assert table(TABLE.replace(before, after)) == replace(table(), **read)


def test_read_table__without_a_range_it_is_none() -> None:
    broken = TABLE.replace('ref="B2:D6"', 'ref="everything"', 1)
    assert read_table(package(broken), PART) is None
    assert tables_on(package(broken), "xl/worksheets/sheet1.xml") == []
    [found] = tables_on(package(TABLE), "xl/worksheets/sheet1.xml")
    assert found.name == "tShops"
    assert tables_on(package(TABLE), "xl/workbook.xml") == []


def test_table_xml__reads_back_as_it_was_made() -> None:
    headings = ["Got it", "Pack\r\namount", 'say "when" & why']
    data = table_xml(name="tNew", number=3, where=(4, 1, 9, 3), headings=headings)
    found = table(data)
    read = ["Got it", "Pack\namount", 'say "when" & why']
    assert found == TableState(PART, "tNew", 3, (4, 1, 9, 3), 0, read, found.document)
    numbers = [one.get("id") for one in tree_of(data).iter(f"{{{MAIN}}}tableColumn")]
    assert numbers == ["1", "2", "3"]


def attributes(data: bytes, local: str) -> list[dict[str, str]]:
    """The attributes of all elements of a name."""
    return [dict(one.attrib) for one in tree_of(data).iter(f"{{{MAIN}}}{local}")]


@pytest.mark.parametrize(
    ("keeps", "totals", "filtered"), [(True, "1", "B2:E8"), (False, "0", "B2:E9")]
)
def test_table_after__has_its_new_range_and_columns(
    *, keeps: bool, totals: str, filtered: str
) -> None:
    """Columns that stay keep number and totals; a new one has the number after the largest.

    What was filtered or sorted stands elsewhere now. The filter leaves the row of totals out.
    """
    headings = ["pack\namount", "New", "Shop", "Newer"]
    data = table_after(table(), where=(2, 2, 9, 5), headings=headings, keeps_totals=keeps)
    [whole] = attributes(data, "table")
    assert (whole["ref"], whole["totalsRowCount"], whole["id"]) == ("B2:E9", totals, "7")
    assert attributes(data, "autoFilter") == [{"ref": filtered}]
    assert attributes(data, "filterColumn") == attributes(data, "sortState") == []
    assert attributes(data, "tableColumns") == [{"count": "4"}]
    assert attributes(data, "tableColumn") == [
        {"id": "9", "name": "Pack_x000a_amount", "totalsRowFunction": "sum"},
        {"id": "10", "name": "New"},
        {"id": "4", "name": "Shop"},
        {"id": "11", "name": "Newer"},
    ]


def test_table_after__columns_without_numbers_are_counted_from_1() -> None:
    """The format asks for numbers; where none is there the first new column has 1."""
    bare = table(re.sub(r'<tableColumn id="\d"', "<tableColumn", TABLE))
    data = table_after(bare, where=(2, 2, 6, 3), headings=["Shop", "New"], keeps_totals=True)
    assert attributes(data, "tableColumn") == [{"name": "Shop"}, {"id": "1", "name": "New"}]


def test_table_after__the_same_headings_leave_the_columns_as_they_are() -> None:
    same = table()
    data = table_after(same, where=(2, 2, 6, 4), headings=same.headings, keeps_totals=True)
    assert attributes(data, "tableColumn") == attributes(TABLE.encode(), "tableColumn")
