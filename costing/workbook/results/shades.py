"""Shades of the rows of To buy that an edited input has made out of date."""

from __future__ import annotations

from costing.workbook.package.addresses import address, column_letters
from costing.workbook.package.cells import CellStyle, ConditionalFormat
from costing.workbook.results.above import CHECK_ROW
from costing.workbook.results.live.inputs import quoted
from costing.workbook.results.live.spots import Spot
from costing.workbook.results.live.watch import HAIR, PRICE_CHANGED
from costing.workbook.results.look import BAD, INK, PAST, QUIET

ROWS = 2_000
"""So many rows are shaded, and looked through, however long the lists grow."""


def row_shades(to_buy: Spot, needs: Spot, *, edge: str) -> list[ConditionalFormat]:
    """Shades that the list has from its first day on; they look their rows up by name.

    Parameters
    ----------
    to_buy, needs : Spot
        The tables that are compared.
    edge : str
        By how much rounding may move a cost. [money]
    """
    first, last = to_buy.first, to_buy.first + ROWS
    places = to_buy.places

    def cell(key: str) -> str:
        return f"${column_letters(places[key])}{first}"

    def looked_up(key: str) -> str:
        names, values = (
            f"{quoted(needs.title)}!${letters}$1:${letters}${ROWS}"
            for letters in (
                column_letters(needs.places["ingredient"]),
                column_letters(needs.places[key]),
            )
        )
        return f"INDEX({values},MATCH({cell('ingredient')},{names},0))"

    def of_row(condition: str) -> str:
        return f'IF({cell("ingredient")}="",FALSE,IFERROR({condition},FALSE))'

    whole = f"{address(first, 1)}:{address(last, len(places))}"
    money = f"{address(first, places['price_each'])}:{address(last, places['cost'])}"
    wanted = f"{looked_up('net_need')}+{looked_up('spoilage_allowance')}"
    bought = looked_up("bought")
    listed = f"{cell('packs')}*{cell('price_each')}"
    said = f'ISNUMBER(SEARCH("{PRICE_CHANGED}",$A${CHECK_ROW}))'
    return [
        ConditionalFormat(
            whole,
            of_row(f"{wanted}-{bought}>{HAIR}"),
            CellStyle(bold=True, font_colour=INK, fill_colour=BAD.fill),
        ),
        ConditionalFormat(
            whole,
            of_row(f"AND({bought}>0,{looked_up('net_need')}<{HAIR})"),
            CellStyle(italic=True, font_colour=QUIET, fill_colour=PAST.fill),
        ),
        ConditionalFormat(
            money,
            of_row(f"AND({said},ABS({cell('cost')}-{listed})>{edge})"),
            CellStyle(bold=True, font_colour=INK, fill_colour=BAD.fill),
        ),
    ]
