"""What an older workbook knows of the same ingredients, with the day of its prices."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from costing.kitchen import Pack
from costing.names import key, singular
from costing.shoot import Shoot
from costing.workbook.layout import SETTINGS_SHEET
from costing.workbook.template.filling import rows_of

OF_ONE_SHOOT = frozenset(("Title", "Shopping date", "Budget", "Cash float", "Cash counted"))
"""Settings that another shoot has of its own."""

TAKEN_WHOLE = ("People",)
"""Sheets that are taken as they are."""

OF_INGREDIENTS = ("Packs", "Ingredients")
"""Sheets of which the rows of the same ingredients are taken."""


@dataclass(frozen=True, slots=True)
class TakenOver:
    """What was taken from an older workbook.

    Parameters
    ----------
    rows : dict of str to list of dict
        Rows by title of the sheet.
    priced : tuple of str
        Ingredients that have a pack with a price in it.
    dated : int
        How many prices got the day of the older shoot, as none stood beside them.
    supplied : int
        Rows that were left there, as they were given free for that shoot.
    unread : tuple of str
        Rows of Packs there that could not be read.
    """

    rows: dict[str, list[dict[str, Any]]]
    priced: tuple[str, ...] = ()
    dated: int = 0
    supplied: int = 0
    unread: tuple[str, ...] = ()


def price_day(book: Shoot, saved: date) -> date:
    """The day from which prices without one of their own are: of shopping, else of saving.

    Parameters
    ----------
    book : Shoot
        The older shoot.
    saved : date
        When its workbook was last written.
    """
    return min(book.shopping_date or saved, saved)


def taken_over(book: Shoot, names: Collection[str], *, day: date) -> TakenOver:
    """Rows for the ingredients of a new shoot from an older one.

    A name is the same in singular and plural; the rows get the spelling of the new shoot.

    Parameters
    ----------
    book : Shoot
        The older shoot.
    names : collection of str
        What the new one takes.
    day : date
        Of prices that have none.
    """
    spelled = {_single(name): name for name in names}
    packs = [pack for pack in book.packs if _single(pack.ingredient) in spelled]
    dated = [pack for pack in packs if pack.price is not None and pack.price_date is None]
    kept = [_for(pack, spelled, day) for pack in packs if not pack.supplied]
    known = [
        one.model_copy(update={"name": spelled[_single(one.name)]})
        for one in book.ingredients
        if _single(one.name) in spelled
    ]
    sold_by = {key(pack.shop) for pack in kept}
    older = book.changed(
        packs=kept,
        ingredients=known,
        shops=[shop for shop in book.shops if key(shop.name) in sold_by],
    )
    rows = {title: [dict(row) for row in found] for title, found in rows_of(older).items()}
    wanted = ("Packs", "Ingredients", "Shops", *TAKEN_WHOLE)
    taken = {title: rows[title] for title in wanted if rows.get(title)}
    taken[SETTINGS_SHEET.title] = [
        row for row in rows[SETTINGS_SHEET.title] if row["Setting"] not in OF_ONE_SHOOT
    ]
    return TakenOver(
        taken,
        tuple(dict.fromkeys(pack.ingredient for pack in kept if pack.price is not None)),
        sum(not pack.supplied for pack in dated),
        len(packs) - len(kept),
        tuple(left.what for left in book.left_out if left.sheet == "Packs"),
    )


def _single(name: str) -> str:
    return key(singular(name))


def _for(pack: Pack, spelled: Mapping[str, str], day: date) -> Pack:
    """A pack under the new shoot's name, its price with a day."""
    seen = pack.price_date or (day if pack.price is not None else None)
    return pack.model_copy(
        update={"ingredient": spelled[_single(pack.ingredient)], "price_date": seen}
    )


def filled_in(
    rows: Mapping[str, Sequence[dict[str, Any]]], taken: TakenOver
) -> dict[str, list[dict[str, Any]]]:
    """The rows of a new workbook, with those taken over in the place of bare names."""
    filled = {title: list(found) for title, found in rows.items()}
    for title in OF_INGREDIENTS:
        by_name: dict[str, list[dict[str, Any]]] = {}
        for row in taken.rows.get(title, ()):
            by_name.setdefault(key(str(row["Ingredient"])), []).append(row)
        filled[title] = [
            one
            for bare in filled.get(title, ())
            for one in by_name.get(key(str(bare["Ingredient"])), [bare])
        ]
    for title, found in taken.rows.items():
        if title not in OF_INGREDIENTS:
            filled[title] = list(found)
    return filled
