"""Kitchen measures that nobody chose: which words depend on them, and what others would change."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from costing.buying import messages
from costing.buying.books import Books, books_of
from costing.buying.published import with_published
from costing.buying.sensitivity import cheap_to_try
from costing.findings import Finding
from costing.kitchen.rows import FromRow
from costing.quantities import Measures, money_text
from costing.shoot import Shoot
from costing.shoot.shoot import MEASURED


def unchosen_words(shoot: Shoot) -> tuple[str, ...]:
    """Words such as cup that were read by the measures of a blank setting, each once.

    Parameters
    ----------
    shoot : Shoot
        With its lines as they were written.
    """
    settings = shoot.settings
    if "Measures" in settings.places or "measures" in settings.model_fields_set:
        return ()
    words = (amount.unit.bare for amount in shoot.amounts)
    return tuple(dict.fromkeys(word for word in words if word))


def measures_not_chosen(shoot: Shoot, books: Books) -> list[Finding]:
    """What is to be said where cups or spoons occur and no measures are chosen.

    Parameters
    ----------
    shoot : Shoot
        Before anything was filled, its episodes and shots filled in.
    books : Books
        With the measures that are taken.
    """
    words = unchosen_words(shoot)
    if not words or shoot.left_out_on("Settings"):
        return []
    settings, others = shoot.settings, None
    if cheap_to_try(shoot):
        others = {
            str(measures): money_text(bought, settings.currency)
            for measures, bought in _bought_under_others(shoot)
            if bought != books.totals.bought
        }
    bought = money_text(books.totals.bought, settings.currency)
    place = settings.at("Measures")
    return [messages.measures_not_chosen(place, words, str(settings.measures), bought, others)]


def _bought_under_others(shoot: Shoot) -> Iterator[tuple[Measures, Decimal]]:
    """What would be bought under each of the other measures that have all the words. [money]"""
    for measures in Measures:
        changed = None if measures is shoot.settings.measures else _under(shoot, measures)
        if changed is not None:
            yield measures, books_of(with_published(changed).shoot).totals.bought


def _under(shoot: Shoot, measures: Measures) -> Shoot | None:
    """The same words under other measures; ``None`` where one of them means nothing there."""
    changes: dict[str, tuple[FromRow, ...]] = {}
    for rows, fields in MEASURED.items():
        changed: list[FromRow] = []
        for row in getattr(shoot, rows):
            given = {field: getattr(row, field) for field in fields}
            under = {field: amount.under(measures) for field, amount in given.items() if amount}
            if None in under.values():
                return None
            changed.append(row.model_copy(update=under) if under != given else row)
        changes[rows] = tuple(changed)
    return shoot.changed(**changes)
