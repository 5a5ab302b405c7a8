"""A small result sheet, as the tests of the splice write it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from costing.workbook.owned.resultsheets import ResultSheet
from costing.workbook.package.cellxml import CellStyle, ConditionalFormat, NewCell

HEADING = CellStyle(bold=True, fill_colour="DDE6ED", border_bottom="thin")
MONEY = CellStyle(number_format="0.00")
HEADINGS = ("Got it", "Ingredient", "Packs", "Cost")

Line = tuple[str, int, Fraction]
LINES: tuple[Line, ...] = (
    ("leek", 2, Fraction(5)),
    ("cream", 1, Fraction(7, 3)),
    ("=salt", 3, Fraction(1, 2)),
)


def to_buy(
    lines: Sequence[Line] = LINES, *, headings: Sequence[str] = HEADINGS, keyed: bool = True
) -> ResultSheet:
    """A list of what to buy: a title, a blank row, headings, one row a line."""
    rows: list[list[NewCell | None]] = [
        [NewCell("What to buy")],
        [],
        [NewCell(heading, style=HEADING) for heading in headings],
    ]
    for name, packs, cost in lines:
        known: dict[str, NewCell | None] = {
            "Got it": None,
            "Ingredient": NewCell(name, link="#'Recipes'!A2"),
            "Packs": NewCell(packs),
            "Cost": NewCell(cost, style=MONEY),
        }
        rows.append([known.get(heading, NewCell("-")) for heading in headings])
    return ResultSheet(
        "to_buy",
        "To buy",
        rows,
        header_row=3,
        table="tToBuy",
        user_columns=frozenset({1}),
        key_columns=(2,) if keyed else (),
        widths=(8, 24, 8, 10),
        freeze="C4",
        landscape=True,
        formats=(
            ConditionalFormat("A4:D1000", '=$A4<>""', CellStyle(italic=True, font_colour="6B6B6B")),
        ),
        tab_colour="3B5B6D",
    )


def summary() -> ResultSheet:
    """A sheet without a table, with a live formula over the table of another."""
    return ResultSheet(
        "summary",
        "Summary",
        [
            [
                NewCell("Bought", style=HEADING),
                NewCell(Fraction(47, 6), "=SUM(tToBuy[Cost])"),
            ],
            [
                NewCell("Shops"),
                NewCell(True),
                NewCell("Lines\nbroken  "),
                NewCell(None),
            ],
        ],
    )
