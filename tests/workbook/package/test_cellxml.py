"""How values, texts and formulas are spelled in a cell."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from packages import tree_of

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.cellxml import (
    CellStyle,
    NewCell,
    Value,
    cell_text,
    cell_xml,
    number_words,
    serial,
    style_of,
)


def xml(cell: NewCell, *, from_1904: bool = False, style: int = 0) -> str:
    return cell_xml(cell, row=7, column=5, style=style, prefix="", from_1904=from_1904)


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (None, '<c r="E7"/>'),
        ("", '<c r="E7"/>'),
        (3, '<c r="E7"><v>3</v></c>'),
        (True, '<c r="E7" t="b"><v>1</v></c>'),
        (0.1 + 0.2, '<c r="E7"><v>0.30000000000000004</v></c>'),
        (Fraction(2, 3), '<c r="E7"><v>0.6666666666666666</v></c>'),
        (Fraction(6, 3), '<c r="E7"><v>2</v></c>'),
        (Decimal("12.50"), '<c r="E7"><v>12.50</v></c>'),
        (Decimal("1E+3"), '<c r="E7"><v>1000</v></c>'),
        (Decimal("1E-30"), '<c r="E7"><v>1E-30</v></c>'),
        (date(2025, 3, 1), '<c r="E7"><v>45717</v></c>'),
        (datetime(2025, 3, 1, 6), '<c r="E7"><v>45717.25</v></c>'),
        ("leek", '<c r="E7" t="inlineStr"><is><t>leek</t></is></c>'),
        ("a < b & c", '<c r="E7" t="inlineStr"><is><t>a &lt; b &amp; c</t></is></c>'),
        (" leek", '<c r="E7" t="inlineStr"><is><t xml:space="preserve"> leek</t></is></c>'),
        ("=1+1", '<c r="E7" t="inlineStr"><is><t>=1+1</t></is></c>'),
    ],
)
def test_cell_xml__values(value: Value, written: str) -> None:
    """45717 days lie between 30 December 1899 and 1 March 2025: 125 years of 365 days are 45625,
    31 leap days from 1904 to 2024 make 45656, two days of 1899 and 59 of 2025 make 45717.
    """
    assert xml(NewCell(value)) == written


def test_cell_xml__days_of_a_workbook_from_1904() -> None:
    """1462 days lie between 30 December 1899 and 1 January 1904."""
    assert xml(NewCell(date(2025, 3, 1)), from_1904=True) == '<c r="E7"><v>44255</v></c>'


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        (NewCell(2, "=A1*2"), '<c r="E7"><f>A1*2</f><v>2</v></c>'),
        (NewCell("a", 'A1&"<"'), '<c r="E7" t="str"><f>A1&amp;"&lt;"</f><v>a</v></c>'),
        (NewCell(False, "A1=2"), '<c r="E7" t="b"><f>A1=2</f><v>0</v></c>'),
        (NewCell("", "A1"), '<c r="E7" t="str"><f>A1</f><v></v></c>'),
        (NewCell(None, "A1"), '<c r="E7"><f>A1</f></c>'),
    ],
)
def test_cell_xml__formula_with_its_value(cell: NewCell, written: str) -> None:
    assert xml(cell) == written


def test_cell_xml__style_and_prefix() -> None:
    cell = cell_xml(NewCell(1), row=1, column=27, style=4, prefix="x:", from_1904=False)
    assert cell == '<x:c r="AA1" s="4"><x:v>1</x:v></x:c>'


@pytest.mark.parametrize("text", ["=1", "+1", "-1", "@a", "\ttab", "\rline"])
def test_style_of__text_that_begins_like_a_formula_stays_text(text: str) -> None:
    assert style_of(NewCell(text)).quote_prefix
    assert not style_of(NewCell(text, formula="A1")).quote_prefix


def test_style_of__other_cells_keep_theirs() -> None:
    style = CellStyle(bold=True)
    assert style_of(NewCell("leek", style=style)) == style
    assert style_of(NewCell(-1, style=style)) == style


def test_cell_text__what_xml_cannot_hold_is_escaped() -> None:
    assert cell_text("a\x00b\x1fc\ufffe") == "a_x0000_b_x001F_c_xFFFE_"
    assert cell_text("a\ud800b") == "a\ufffdb"
    assert cell_text("a\r\nb\rc") == "a\nb_x000D_c"


def test_cell_text__what_looks_escaped_is_shielded() -> None:
    assert cell_text("_x0041_ _x004_ _x00G1_") == "_x005F_x0041_ _x004_ _x00G1_"


def test_cell_text__longest_text_of_a_cell() -> None:
    assert cell_text("a" * 32_767) == "a" * 32_767
    assert cell_text("a" * 32_768) == "a" * 32_766 + "…"


@given(st.text())
def test_cell_text__is_always_xml(text: str) -> None:
    root = tree_of(xml(NewCell(text)).encode())
    assert "".join(root.itertext()) == cell_text(text)


@given(st.fractions(-(10**15), 10**15))
def test_number_words__of_a_fraction_are_those_that_16_digits_keep(value: Fraction) -> None:
    """Half a unit of the 16th digit is at most 5e-16 of a number, a binary one 1.2e-16 off."""
    found = float(number_words(value))
    assert abs(Fraction(found) - value) <= abs(value) * Fraction(8, 10**16)
    assert float(f"{found:.16g}") == found


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_number_words__keeps_every_digit_of_a_float(value: float) -> None:
    assert float(number_words(value)) == value


@pytest.mark.parametrize("value", [10**400, Fraction(10**400, 3), Decimal("1E+400")])
def test_number_words__too_large_for_a_cell(value: int | Fraction | Decimal) -> None:
    with pytest.raises((ValueError, OverflowError)):
        number_words(value)


@pytest.mark.parametrize("value", [math.nan, math.inf, Decimal("NaN")])
def test_result_cell__no_number(value: float | Decimal) -> None:
    with pytest.raises(ValueError, match="not a number a cell can hold"):
        NewCell(value)


def test_serial__days_before_the_workbook_counts_rightly() -> None:
    assert serial(date(1900, 3, 1), from_1904=False) == 61
    with pytest.raises(ValueError, match="before the first day of the workbook: 1900-02-28"):
        serial(date(1900, 2, 28), from_1904=False)
    with pytest.raises(ValueError, match="before the first day of the workbook: 1903-12-31"):
        serial(date(1903, 12, 31), from_1904=True)


@given(st.datetimes(datetime(1900, 3, 1), datetime(9999, 12, 31)))
def test_serial__is_exact(moment: datetime) -> None:
    """One second is 1/86400 of a day."""
    days = serial(moment, from_1904=False)
    seconds = (moment - datetime(1900, 3, 1)).total_seconds()
    assert abs(days - 61 - Fraction(seconds) / 86400) < Fraction(1, 10**9)
    assert (days * 86_400_000_000).denominator == 1


def test_result_cell__time_zones_are_refused() -> None:
    with pytest.raises(ValueError, match="local times only"):
        NewCell(datetime(2025, 3, 1, tzinfo=UTC))


def test_result_cell__empty_formula_is_refused() -> None:
    with pytest.raises(ValueError, match="an empty formula"):
        NewCell(1, "=")


def sheet(title: str = "To buy", table: str | None = None, *headings: str) -> ResultSheet:
    rows = [[NewCell(heading) for heading in headings]]
    return ResultSheet("to_buy", title, rows, header_row=1 if headings else 0, table=table)


@pytest.mark.parametrize(
    "title", ["", "a" * 32, "a/b", "a:b", "[a]", "a?", "'a", "a'", "History", "a\nb"]
)
def test_result_sheet__titles_that_no_tab_can_have(title: str) -> None:
    with pytest.raises(ValueError, match="not a name for a tab"):
        sheet(title)


def test_result_sheet__headings_of_a_table() -> None:
    assert sheet("a", "tToBuy", "Got it", "Cost").headings == ["Got it", "Cost"]
    for headings in ((), ("a", ""), ("a", "A")):
        with pytest.raises(ValueError, match=r"headings|row"):
            sheet("a", "tToBuy", *headings, "b") if "" in headings else sheet(
                "a", "tToBuy", *headings
            )


@pytest.mark.parametrize("name", ["a", "1ab", "a b", "tüb"])
def test_result_sheet__table_names(name: str) -> None:
    with pytest.raises(ValueError, match="not a table name"):
        sheet("a", name, "x")


def test_result_sheet__a_table_has_at_least_one_row() -> None:
    assert sheet("a", "tToBuy", "x").height == 2
    assert sheet("a", None, "x").height == 1


@pytest.mark.parametrize("mark", ["", "To buy", "a;b", "1a"])
def test_result_sheet__marks(mark: str) -> None:
    with pytest.raises(ValueError, match="not a mark"):
        ResultSheet(mark, "To buy", [])


def test_cell_style__colours() -> None:
    with pytest.raises(ValueError, match="six hexadecimal digits"):
        CellStyle(fill_colour="#DDE6ED")
