"""What the library finds for edited inputs while the packs of an earlier list are held.

A result sheet follows edits for the packs that were chosen; the library would choose anew. So the
packs are put back into the purchases, and everything after them is worked out by the library's own
functions.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from costing.buying.books import Books, balanced, books_of
from costing.buying.choosing import MakingChoice
from costing.buying.need import Needs
from costing.buying.published import with_published
from costing.buying.published_rows import with_parts
from costing.buying.shopping import Shopping
from costing.buying.till import Bought, paid_lines
from costing.buying.values import values_of
from costing.names import key
from costing.report.estimates import Estimate
from costing.report.shopping_rows import food_cost, needs, to_buy
from costing.report.summary_rows import summary
from costing.report.tables import Table
from costing.shoot import Shoot
from costing.shoot.defaults import completed

Pack = tuple[str, int | None, date | None]
"""An ingredient, the row of Packs, and the day of the trip."""


def packs_of(estimate: Estimate) -> dict[Pack, int]:
    """How many packs of each row of Packs an estimate buys."""
    return {
        (key(bought.pack.ingredient), bought.pack.row.number, bought.trip): bought.count
        for purchase in estimate.books.purchases
        for bought in purchase.lines
    }


def books_with(shoot: Shoot, packs: dict[Pack, int], made: MakingChoice | None = None) -> Books:
    """The books of a shoot that buys these packs, whatever is cheapest, and makes as was chosen."""
    books = books_of(with_published(with_parts(completed(shoot)[0])[0]).shoot)
    found = books.purchases
    if made is not None:
        found = tuple(Shopping(Needs(books.shoot), made=made).purchases)
    purchases = []
    for purchase in found:
        now = {(bought.pack.row.number, bought.trip): bought for bought in purchase.lines}
        offers = {offer.row.row.number: offer for offer in purchase.offers}
        name = key(purchase.need.ingredient.name)
        lines = tuple(
            replace(
                now.get((number, trip), Bought(offers[number].row, count, trip)),
                count=count,
                brings=offers[number].amount * count,
            )
            for (ingredient, number, trip), count in packs.items()
            if ingredient == name and number in offers
        )
        held = replace(purchase, lines=lines)
        purchases.append(replace(held, short=max(Fraction(0), held.wanted - held.bought)))
    settings = books.shoot.settings
    paid = iter(paid_lines([line for p in purchases for line in p.lines], settings))
    purchases = [replace(one, lines=tuple(next(paid) for _ in one.lines)) for one in purchases]
    return balanced(books.shoot, purchases, [values_of(one, settings)[0] for one in purchases])


def tables_written(estimate: Estimate) -> dict[str, Table]:
    """The same tables as :func:`tables_with`, with the rows that the workbook has."""
    titles = ("Summary", "To buy", "Needs", "Food cost")
    tables = {table.layout.title: table for table in estimate.tables().values()}
    return {title: tables[title] for title in titles}


def tables_with(
    shoot: Shoot, packs: dict[Pack, int], made: MakingChoice | None = None
) -> dict[str, Table]:
    """The result tables that have formulas, by the title of their sheet."""
    books = books_with(shoot, packs, made)
    tables = (summary(books, (), ()), to_buy(books), needs(books), food_cost(books))
    return {table.layout.title: table for table in tables}
