"""What formulas refer to, and how they read after a cell moved. Worked by hand."""

from __future__ import annotations

import pytest

from costing.workbook.package.references import filled, needs_of


def ranges(formula: str) -> list[tuple[str, int, int, int, int]]:
    return [(r.sheet, r.top, r.left, r.bottom, r.right) for r in needs_of(formula).ranges]


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("A1", [("", 1, 1, 1, 1)]),
        ("$B$2:C9", [("", 2, 2, 9, 3)]),
        ("C9:B2", [("", 2, 2, 9, 3)]),
        ("Needs!A1", [("Needs", 1, 1, 1, 1)]),
        ("'To buy'!A1:B2", [("To buy", 1, 1, 2, 2)]),
        ("'Cook''s list'!A1", [("Cook's list", 1, 1, 1, 1)]),
        ("Crème!A1", [("Crème", 1, 1, 1, 1)]),
        ("A:B", [("", 1, 1, 1_048_576, 2)]),
        ("Needs!$3:$4", [("Needs", 3, 1, 4, 16_384)]),
        ("One:Three!A1", [("One:Three", 1, 1, 1, 1)]),
        ("[1]Prices!A1", [("[1]Prices", 1, 1, 1, 1)]),
        ("'[prices.xlsx]Prices'!A1", [("[prices.xlsx]Prices", 1, 1, 1, 1)]),
        ('"A1 ""B2"""', []),
        ("LOG10(5)", []),
        ("LOG10", [("", 10, 8_509, 10, 8_509)]),
        ("A1B", []),
        ("tNeeds[A1]", []),
        ("SUM(tNeeds[Cost])*B2", [("", 2, 2, 2, 2)]),
        ("tNeeds[[#Data],[A1]:[B2]]+C3", [("", 3, 3, 3, 3)]),
        ("tNeeds[[Cut '[C7']]]+B2", [("", 2, 2, 2, 2)]),
        ("$D$5:$7:8", [("", 5, 4, 5, 4), ("", 7, 1, 8, 16_384)]),
        ("C:B", [("", 1, 2, 1_048_576, 3)]),
        ("9:$2", [("", 2, 1, 9, 16_384)]),
        ("tNeeds[[#This Row],[It''s [[A1]]]]+B2", [("", 2, 2, 2, 2)]),
        ("1E5+2", []),
        ("SUM(A1,B2:B3)", [("", 1, 1, 1, 1), ("", 2, 2, 3, 2)]),
    ],
)
def test_needs_of__ranges(formula: str, expected: list[tuple[str, int, int, int, int]]) -> None:
    assert ranges(formula) == expected


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("SUM(tToBuy[Cost])", {"sum", "ttobuy"}),
        ("Leek*2", {"leek"}),
        ("Needs!Leek", {"leek"}),
        ("'To buy'!Leek", {"leek"}),
        ("TRUE", {"true"}),
        ('"Leek"', set()),
    ],
)
def test_needs_of__names(formula: str, expected: set[str]) -> None:
    assert needs_of(formula).names == expected


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("A1", "B3"),
        ("$A1+A$1+$A$1", "$A3+B$1+$A$1"),
        ("SUM(A1:$B2)", "SUM(B3:$B4)"),
        ("'To buy'!A1&\"A1\"", "'To buy'!B3&\"A1\""),
        ("LOG10(A1)", "LOG10(B3)"),
        ("tNeeds[A1]", "tNeeds[A1]"),
        ("A:A", "A:A"),
    ],
)
def test_filled__two_down_and_one_right(formula: str, expected: str) -> None:
    assert filled(formula, down=2, right=1) == expected


def test_filled__stays_inside_the_sheet() -> None:
    assert filled("A1+XFD1048576", down=-1, right=1) == "B1+XFD1048575"
