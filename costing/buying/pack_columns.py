r"""The packs of an article as columns of a programme, and whom each source serves on which day.

A *source* is packs that are fetched and opened alike, a lot on hand, or a run of what is made or
cut: it brings :math:`\sum_j a_j z_j + c`, in columns :math:`z_j` and for certain. Where several
episodes may use of it, flows :math:`f_{se}` say what each does, and with :math:`k_{se}` the part of
it that is sound on the day

.. math:: \sum_e f_{se} \le \sum_{j \in s} a_j z_j + c_s, \qquad \sum_s k_{se} f_{se} \ge n_e

for what each episode needs, :math:`n_e`. A source that only one episode may use needs no flow.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from costing.buying.articles import Article
from costing.buying.basket import Offer
from costing.buying.solver import Expression, Model
from costing.quantities import ONE, ZERO

Needs = Mapping[str, tuple[Expression, Fraction]]
"""What each episode needs: an expression, and what is constant of it. [base unit]"""


@dataclass(frozen=True, slots=True)
class PackColumn:
    """The column of offers that differ in nothing but their row.

    Parameters
    ----------
    offer : Offer
        The first of them.
    numbers : tuple of int
        Of all of them, among the offers of the article.
    column, upper : int
        The column of how many packs, and the most there may be.
    """

    offer: Offer
    numbers: tuple[int, ...]
    column: int
    upper: int


def pack_columns(
    model: Model,
    article: Article,
    most: Mapping[str, Fraction],
    together: Fraction,
    minimums: Mapping[str, Fraction],
) -> list[PackColumn]:
    """One column for all offers of an article that differ in nothing but their row.

    Parameters
    ----------
    most : mapping of str to Fraction
        The most that may have to be bought, by episode. [base unit]
    together : Fraction
        The most over all episodes. [base unit]
    minimums : mapping of str to Fraction
        The least that may be spent at a shop. [money]
    """
    alike: dict[tuple[object, ...], list[int]] = {}
    for number, one in enumerate(article.offers):
        if one.at_most != 0:
            kind: tuple[object, ...] = one.amount, one.cost, one.shop, one.sealed, one.asked
            if article.dated and one.way is not None:  # a limit holds over all ways of a row
                kind += (one.way.serves, None if one.at_most is None else id(one.pack))
            alike.setdefault(kind, []).append(number)
    columns = []
    for numbers in alike.values():
        offers = [article.offers[number] for number in numbers]
        offer = offers[0]
        way = offer.way if article.dated else None
        used = (part for name, part in most.items() if way is None or name in way.serves)
        wanted = min(together, sum(used, ZERO))
        # bounds as tight as they can be: the solver proves sooner, and visits are tied to them
        upper = math.ceil(wanted / offer.amount)
        minimum = minimums.get(offer.shop, ZERO)
        if minimum and offer.cost and wanted:  # what nobody needs is not bought for its sake
            upper += math.ceil(minimum / offer.cost)
        known = [one.at_most for one in offers if one.at_most is not None]
        if len(known) == len(offers):
            of_one_row = len({id(one.pack) for one in offers}) == 1 and offer.pack is not None
            upper = min(upper, max(known) if article.dated and of_one_row else sum(known))
        columns.append(PackColumn(offer, tuple(numbers), model.column(upper=upper), upper))
    if article.dated:
        _limit(model, columns)
    return columns


def _limit(model: Model, columns: Iterable[PackColumn]) -> None:
    """Rows so that no more of a row of Packs is bought on all trips together than there is."""
    by_row: dict[int, tuple[int, Expression]] = {}
    for one in columns:
        if one.offer.at_most is not None and one.offer.pack is not None:
            at_most, its = by_row.setdefault(id(one.offer.pack), (one.offer.at_most, {}))
            its[one.column] = ONE
    for at_most, its in by_row.values():
        if len(its) > 1:
            model.row(its, most=at_most)


def brought_by(columns: Iterable[PackColumn]) -> Expression:
    """What packs bring. [base unit]"""
    return {one.column: one.offer.amount for one in columns}


@dataclass(frozen=True, slots=True)
class FlowSource:
    """Something that serves one episode or several.

    Parameters
    ----------
    brings : Expression
        What it brings, in columns. [base unit]
    sound : mapping of str to Fraction
        By the episode that may use of it the part that is sound on its day. [fraction]
    amount : Fraction
        What it brings for certain. [base unit]
    """

    brings: Expression
    sound: Mapping[str, Fraction]
    amount: Fraction = ZERO


def serve(
    model: Model, needs: Needs, sources: Sequence[FlowSource], *, together: bool = False
) -> list[dict[str, Expression]]:
    """Rows so that every episode is served.

    ``together``: whether episodes that the same sources serve alike, as those of one day, need
    together.

    Returns
    -------
    list of dict of str to Expression
        For each source what each episode uses of it. [base unit]
    """
    rows: dict[str, Expression] = {}
    least: dict[str, Fraction] = {}
    first: dict[object, str] = {}
    for name, (needed, constant) in needs.items():
        alike = tuple(source.sound.get(name) for source in sources) if together else name
        of_all = first.setdefault(alike, name)
        least[of_all] = least.get(of_all, ZERO) + constant
        row = {column: -factor for column, factor in needed.items()}
        _add(rows.setdefault(of_all, {}), row)
    used: list[dict[str, Expression]] = []
    for source in sources:
        sound = {name: part for name, part in source.sound.items() if name in rows}
        if len(sound) == 1:
            ((name, part),) = sound.items()
            least[name] -= part * source.amount
            uses = {name: {column: part * each for column, each in source.brings.items()}}
        else:
            flows = {name: model.column(whole=False) for name in sound}
            uses = {name: {flow: sound[name]} for name, flow in flows.items()}
            brought = {column: -each for column, each in source.brings.items()}
            if flows:
                model.row(dict.fromkeys(flows.values(), ONE) | brought, most=source.amount)
        for name, use in uses.items():
            _add(rows[name], use)
        used.append(uses)
    for name, row in rows.items():
        if row or least[name] > 0:  # what nothing serves cannot be had
            model.row(row or {model.column(upper=0): ONE}, least=least[name])
    return used


def _add(row: Expression, more: Expression) -> None:
    """Add an expression to a row that is being made."""
    for column, factor in more.items():
        row[column] = row.get(column, ZERO) + factor


def left_overs(
    model: Model,
    article: Article,
    columns: Sequence[PackColumn],
    *,
    chosen: bool,
    least: Fraction = ZERO,
) -> tuple[Expression, Expression]:
    """Columns for what need not be opened, and for what is open and keeps: what they are worth.

    Where makings are ``chosen``, what is used is known to the rows of the needs alone: then what is
    left comes too, to be taken off what the packs bring for these. ``least`` is bought whatever is
    chosen. [money, base unit]
    """
    worth: Expression = {}
    if not article.keeping.sealed:  # then what is open does not keep either
        return worth, {}
    if least >= article.planned and not chosen:
        return _unopened(model, article, columns), {}
    most = sum((one.offer.amount * one.upper for one in columns), ZERO)
    left: Expression = {}
    for one in columns:
        if one.offer.sealed:
            closed = model.column(upper=one.upper)
            left[closed], worth[closed] = -one.offer.amount, one.offer.cost
            model.row({one.column: ONE, closed: -ONE}, least=0)
    if article.keeping.opened and article.unit_price:
        rest = model.column(upper=most, whole=False)
        left[rest], worth[rest] = -ONE, article.unit_price
    if not left:
        return worth, left
    supply = brought_by(columns) | left
    if chosen:
        model.row(supply, least=0)
        return worth, left
    # what is left counts only where the rest covers what is planned; else nothing is left, and the
    # columns of it are held at 0
    none_left = model.column(upper=1)
    model.row(supply | {none_left: article.planned}, least=article.planned)
    for column, amount in left.items():
        upper = math.ceil(most / -amount)
        model.row({column: ONE, none_left: Fraction(upper)}, most=upper)
    return worth, {}


def _unopened(model: Model, article: Article, columns: Sequence[PackColumn]) -> Expression:
    """The same where what is planned is surely covered: packs to open for it, the others are left.

    A row of the packs to open alone is one that the solver knows to cut.
    """
    worth: Expression = {}
    opened: Expression = {}
    for one in columns:
        if not one.offer.sealed:
            opened[one.column] = one.offer.amount
            continue
        enough = math.ceil(article.planned / one.offer.amount)
        column = model.column(upper=min(one.upper, enough))
        opened[column] = one.offer.amount
        worth |= {one.column: one.offer.cost, column: -one.offer.cost}
        model.row({one.column: ONE, column: -ONE}, least=0)
    if article.keeping.opened and article.unit_price:
        rest = model.column(upper=sum(one.offer.amount * one.upper for one in columns), whole=False)
        opened[rest], worth[rest] = -ONE, article.unit_price
    if worth:
        model.row(opened, least=article.planned)
    return worth
