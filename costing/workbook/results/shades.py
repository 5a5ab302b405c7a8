"""Shades of the rows of To buy that an edited input has made out of date."""

from __future__ import annotations

from costing.workbook.package.addresses import address, column_letters
from costing.workbook.package.cellxml import CellStyle, ConditionalFormat
from costing.workbook.results.checks import NEGLIGIBLE_AMOUNT
from costing.workbook.results.live.inputs import quoted
from costing.workbook.results.live.spots import Spot
from costing.workbook.results.look import BAD, INK

ROWS = 2_000
"""So many rows are shaded, and looked through, however long the lists grow."""


def row_shades(to_buy: Spot, needs: Spot) -> list[ConditionalFormat]:
    """The shade of rows of which more is needed than is bought; it looks them up by name.

    Parameters
    ----------
    to_buy, needs : Spot
        The tables that are compared.
    """
    first, last = to_buy.first, to_buy.first + ROWS
    name = f"${column_letters(to_buy.places['ingredient'])}{first}"

    def looked_up(key: str) -> str:
        names, values = (
            f"{quoted(needs.title)}!${letters}$1:${letters}${ROWS}"
            for letters in (
                column_letters(needs.places["ingredient"]),
                column_letters(needs.places[key]),
            )
        )
        return f"INDEX({values},MATCH({name},{names},0))"

    wanted = f"{looked_up('net_need')}+{looked_up('spoilage_allowance')}"
    short = f"{wanted}-{looked_up('bought')}>{NEGLIGIBLE_AMOUNT}"
    return [
        ConditionalFormat(
            f"{address(first, 1)}:{address(last, len(to_buy.places))}",
            f'IF({name}="",FALSE,IFERROR({short},FALSE))',
            CellStyle(bold=True, font_colour=INK, fill_colour=BAD.fill),
        )
    ]
