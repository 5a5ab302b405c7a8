"""What is left of a pack on one shoot day and used on a later one, said on both days."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from costing.buying.books import Books
from costing.buying.purchases import Purchase
from costing.buying.till import Bought
from costing.names import key
from costing.quantities import untraced_choice
from costing.report.make_rows import Cooked
from costing.report.shop_words import quantity
from costing.shoot import Shoot
from costing.shoot.leaves import inside, made_apart


@dataclass(frozen=True, slots=True)
class PassedOn:
    """What an open pack still holds after one day and a later one uses.

    Parameters
    ----------
    ingredient : str
        What it is.
    giver, taker : str
        Names of the episodes; the giver is the first for which the pack was opened.
    amount : str
        How much, in words.
    """

    ingredient: str
    giver: str
    taker: str
    amount: str


def passed_on(books: Books) -> list[PassedOn]:
    """All that one day leaves for another, in the order of the purchases and of the days."""
    return [
        one
        for purchase in books.purchases
        for bought, _ in purchase.lines
        for one in of_line(purchase, bought, books.shoot)
    ]


def kept_words(books: Books, cooked: Sequence[Cooked]) -> dict[tuple[str, str], str]:
    """By keys of episode and ingredient or dish what an earlier day leaves for it, in words.

    Parameters
    ----------
    books : Books
        With the days packs are opened.
    cooked : sequence of Cooked
        The dishes that are made ahead, some for several days.
    """
    kept: dict[tuple[str, str], str] = {}
    for one in passed_on(books):
        kept[key(one.taker), key(one.ingredient)] = f"{one.amount} of it left of {one.giver}"
    for made in cooked:
        giver = str(made.row["episode"])
        for shot in made.shots:
            if key(shot.episode) != key(giver):
                kept[key(shot.episode), key(str(made.row["dish"]))] = f"made for {giver} too"
    return kept


def of_line(purchase: Purchase, bought: Bought, shoot: Shoot) -> Iterator[PassedOn]:
    """What is left in open packs of one line for a later day; loose goods have no packs.

    What goes into a dish that keeps is used when that is made, for all its days at once.
    """
    if bought.pack.loose_step is not None or not bought.passed_on:
        return
    if key(purchase.need.ingredient.name) in _into_what_keeps(shoot):
        return
    unit, measures = purchase.need.unit, shoot.settings.measures
    for (giver, taker), part in bought.passed_on.items():
        said = quantity(untraced_choice(part) / unit.size, unit.name, measures)
        yield PassedOn(purchase.need.ingredient.name, giver, taker, said)


def _into_what_keeps(shoot: Shoot) -> set[str]:
    """Keys of what goes, at any depth, into dishes that may be made for several days at once."""
    kept = {key(row.name) for row in shoot.dishes if row.keeps_days and not row.whole_batches}
    if not kept:
        return set()
    found, before = kept & (inside(shoot) | made_apart(shoot)), -1
    while len(found) != before:
        before = len(found)
        found |= {key(line.ingredient) for line in shoot.lines if key(line.dish) in found}
    return found
