r"""The packs of an article as columns of a programme, and whom they serve on which day.

Where the days decide, whole numbers :math:`z_j` say how many packs are fetched and opened in way
:math:`j`. Ways that serve the same episodes :math:`S` are one source, flows :math:`f_{Se}` what of
it an episode uses, and with :math:`k_e` the part that is sound on its day

.. math:: \sum_e f_{Se} \le \sum_{j : S_j = S} a_j z_j, \qquad
   k_e \sum_{S \ni e} f_{Se} + \sum_l g_{le} \ge n_e

for what each episode needs, :math:`n_e`, with flows :math:`g_{le}` from what is on hand.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from costing.buying.articles import Article
from costing.buying.basket import Offer
from costing.buying.on_hand import Usable
from costing.buying.runs import Expression
from costing.buying.solver import Model
from costing.quantities import ONE, ZERO
from costing.shoot import Episode

Needs = Mapping[str, tuple[Expression, Fraction]]
"""What each episode needs: an expression, and what is constant of it. [base unit]"""


@dataclass(frozen=True, slots=True)
class Merged:
    """Offers that differ in nothing but their row."""

    numbers: tuple[int, ...]
    column: int
    upper: int


def merged(
    model: Model,
    article: Article,
    most: Mapping[str, Fraction],
    minimums: Mapping[str, Fraction],
) -> list[Merged]:
    """One column for all offers of an article that differ in nothing but their row.

    Parameters
    ----------
    model : Model
        To be added to.
    article : Article
        Whose packs.
    most : mapping of str to Fraction
        The most that may have to be bought, by episode. [base unit]
    minimums : mapping of str to Fraction
        The least that may be spent at a shop. [money]
    """
    alike: dict[tuple[object, ...], list[int]] = {}
    for number, offer in enumerate(article.offers):
        if offer.at_most != 0:
            kind: tuple[object, ...] = (
                offer.amount,
                offer.cost,
                offer.shop,
                offer.sealed,
                offer.supplied,
            )
            if article.dated and offer.way is not None:  # a limit holds over all ways of a row
                kind += (offer.way.serves, None if offer.at_most is None else id(offer.pack))
            alike.setdefault(kind, []).append(number)
    columns = []
    for numbers in alike.values():
        offer = article.offers[numbers[0]]
        wanted = _most_of(offer, article, most)
        upper = math.ceil(wanted / offer.amount)
        minimum = minimums.get(offer.shop, ZERO)
        if minimum and offer.cost and wanted:  # what nobody needs is not bought for its sake
            upper += math.ceil(minimum / offer.cost)
        limits = [article.offers[number].at_most for number in numbers]
        known = [limit for limit in limits if limit is not None]
        if len(known) == len(limits):
            upper = min(upper, max(known) if _of_one_row(article, numbers) else sum(known))
        columns.append(Merged(tuple(numbers), model.column(upper=upper), upper))
    if article.dated:
        _limit(model, article, columns)
    return columns


def _most_of(offer: Offer, article: Article, most: Mapping[str, Fraction]) -> Fraction:
    """The most that may be used of an offer. [base unit]"""
    way = offer.way if article.dated else None
    return sum((part for name, part in most.items() if way is None or name in way.serves), ZERO)


def _of_one_row(article: Article, numbers: Sequence[int]) -> bool:
    rows = {id(article.offers[number].pack) for number in numbers}
    return article.dated and len(rows) == 1 and article.offers[numbers[0]].pack is not None


def _limit(model: Model, article: Article, columns: Iterable[Merged]) -> None:
    """Rows so that no more of a row of Packs is bought on all trips together than there is."""
    by_row: dict[int, Expression] = {}
    for one in columns:
        offer = article.offers[one.numbers[0]]
        if offer.at_most is not None and offer.pack is not None:
            by_row.setdefault(id(offer.pack), {})[one.column] = ONE
    limits = {id(offer.pack): offer.at_most for offer in article.offers if offer.at_most}
    for row, its in by_row.items():
        if len(its) > 1:
            model.row(its, most=limits[row])


def serve_days(
    model: Model,
    article: Article,
    columns: Iterable[Merged],
    needs: Needs,
    *,
    lots: Sequence[Usable] = (),
    episodes: Sequence[Episode] = (),
    missing: tuple[int, Fraction] | None = None,
) -> None:
    """Rows so that every episode is served on its day.

    Parameters
    ----------
    model : Model
        To be added to.
    article : Article
        Whose packs.
    columns : iterable of Merged
        Of them.
    needs : mapping of str to (Expression, Fraction)
        Of each episode; net of what is on hand, or with it as lots.
    lots : sequence of Usable
        What is on hand, where the needs are not net of it.
    episodes : sequence of Episode
        Who may use it.
    missing : (int, Fraction), optional
        The column of what may be missing, as a part of so much.
    """
    ways = [
        (one.column, offer.amount, offer.way.serves if offer.way else frozenset(needs))
        for one in columns
        if (offer := article.offers[one.numbers[0]])
    ]
    days = _alike(article, needs, [serves for _, _, serves in ways], lots, episodes)
    kept = {day[0]: article.demand.kept[day[0]] for day in days}
    rows: dict[str, Expression] = {}
    for day in days:
        row = rows[day[0]] = {}
        for name in day:
            for column, factor in needs[name][0].items():
                row[column] = row.get(column, ZERO) - factor
    sources: dict[frozenset[str], Expression] = {}
    for pack, amount, serves in ways:
        if served := serves.intersection(rows):
            sources.setdefault(served, {})[pack] = amount
    for served, supply in sources.items():
        if len(served) == 1:
            (name,) = served
            for column, amount in supply.items():
                rows[name][column] = amount * kept[name]
            continue
        flows: Expression = {}
        for name in sorted(served):
            flow = model.column(whole=False)
            flows[flow] = ONE
            rows[name][flow] = kept[name]
        model.row(flows | {column: -amount for column, amount in supply.items()}, most=0)
    for usable in lots:
        used: Expression = {}
        for episode in episodes:
            if episode.name in rows and usable.good_for(episode):
                flow = model.column(whole=False)
                used[flow] = rows[episode.name][flow] = ONE
        if used:
            model.row(used, most=usable.amount)
    if missing is not None:
        lacking: Expression = {missing[0]: -missing[1]}
        for name, row in rows.items():
            flow = model.column(whole=False)
            lacking[flow] = ONE
            row[flow] = kept[name]
        model.row(lacking, most=0)
    for day in days:
        row, least = rows[day[0]], sum((needs[name][1] for name in day), ZERO)
        if row or least > 0:
            model.row(row or {model.column(upper=0): ONE}, least=least)


def _alike(
    article: Article,
    needs: Needs,
    ways: Sequence[frozenset[str]],
    lots: Sequence[Usable],
    episodes: Sequence[Episode],
) -> list[list[str]]:
    """Episodes that the same packs and lots may serve: those of one day need together."""
    by_name = {one.name: one for one in episodes}
    days: dict[tuple[object, ...], list[str]] = {}
    for name in needs:
        user = by_name.get(name)
        good = tuple(user is not None and one.good_for(user) for one in lots)
        at = article.demand.kept[name], good, *(name in serves for serves in ways)
        days.setdefault(at, []).append(name)
    return list(days.values())


def left_overs(model: Model, article: Article, columns: Sequence[Merged]) -> Expression:
    """Columns for what need not be opened, and for what is open and keeps, with their worth.

    [money]
    """
    credit: Expression = {}
    if not article.keeping.sealed:  # then what is open does not keep either
        return credit
    brought, left, rows = {}, {}, []
    for one in columns:
        offer = article.offers[one.numbers[0]]
        brought[one.column] = offer.amount
        if offer.sealed:
            closed = model.column(upper=one.upper)
            left[closed] = offer.amount
            credit[closed] = offer.cost
            model.row({one.column: ONE, closed: -ONE}, least=0)
            rows.append((closed, one.upper))
    if article.keeping.opened and article.unit_price:
        most = sum((brought[one.column] * one.upper for one in columns), ZERO)
        rest = model.column(upper=most, whole=False)
        left[rest] = ONE
        credit[rest] = article.unit_price
        rows.append((rest, math.ceil(most)))
    if not rows:
        return credit
    none_left = model.column(upper=1)
    row = brought | {column: -amount for column, amount in left.items()}
    model.row(row | {none_left: article.planned}, least=article.planned)
    for column, upper in rows:
        model.row({column: ONE, none_left: Fraction(upper)}, most=upper)
    return credit
