r"""Actual less planned, split in one stated order into parts that add up to the coin.

With :math:`V(q)` what an amount is worth by the plan (stock first at its own value, the rest at the
average price :math:`p_0` of the packs listed), :math:`q_0` what Times need, :math:`q_1` what the
takes needed, :math:`q` what was used, :math:`b` what of :math:`q` came from what was bought,
:math:`p_L` the average price of the packs listed as they were paid, and :math:`p_1` the average
price of what was bought:

.. math::

    \text{takes} = V(q_1) - V(q_0), \quad
    \text{use} = V(q) - V(q_1), \quad
    \text{price} = b\,(p_L - p_0), \quad
    \text{packs} = b\,(p_1 - p_L)

What remains of the actual value less the planned is not logged: what was used beyond all that was
bought and on hand, and what was bought that the plan does not know. Each is valued at the plan's
figure of those not yet changed, the order of a flexible-budget variance.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property, partial
from itertools import chain, groupby

from costing.buying.picking import Share
from costing.buying.sharing import whose_food, whose_on_days
from costing.buying.till import exact_price, money_digits
from costing.buying.values import cheapest_price, lot_price
from costing.closing.closed import Closed, ClosedIngredient
from costing.closing.fetched import average_price
from costing.closing.receipts import adding_up
from costing.names import by_name
from costing.quantities import ZERO, exact_money, round_money, share_out
from costing.shoot import Settings

PARTS = ("takes", "use", "price", "packs", "not_logged")
"""In the order in which they are taken; what is not yet changed is valued as planned."""


@dataclass(frozen=True, slots=True)
class Difference:
    """What one ingredient was worth in one episode, planned and actual; exact. [money]

    Parameters
    ----------
    episode, ingredient : str
        Whose; the episode is blank for what no episode of several planned.
    planned, actual : Fraction, optional
        Used value; ``None`` is not known.
    parts : tuple of Fraction, optional
        Of the difference, by ``PARTS``; ``None`` where planned or actual is not known.
    """

    episode: str
    ingredient: str
    planned: Fraction | None
    actual: Fraction | None
    parts: tuple[Fraction, ...] | None

    @property
    def more(self) -> Fraction | None:
        """How much more was used than planned; ``None`` where one of them is not known. [money]"""
        if self.planned is None or self.actual is None:
            return None
        return self.actual - self.planned


@dataclass(frozen=True, slots=True)
class ShownDifference:
    """The same in whole coins: planned and the parts give the actual. [money]"""

    episode: str
    ingredient: str
    planned: Decimal | None
    actual: Decimal | None
    parts: tuple[Decimal, ...] | None


@dataclass(frozen=True)
class _Worth:
    """What one ingredient is worth by the plan and as it was paid."""

    one: ClosedIngredient
    settings: Settings

    @cached_property
    def stock(self) -> Fraction:
        """What the takes needed of what was on hand. [base unit]"""
        return Fraction(self.one.taken.taken.total)

    @cached_property
    def planned_price(self) -> Fraction | None:
        """Average price of the packs listed, or where none are the cheapest. [money per base]"""
        lines = self.one.planned.lines
        if any(exact_price(bought.pack, self.settings) is None for bought in lines):
            return None
        planned = self.one.values.unit_price
        if planned is None and not self.one.planned.lines:
            planned = cheapest_price(self.one.planned)
        return None if planned is None else Fraction(planned)

    @cached_property
    def paid_price(self) -> Fraction | None:
        """Average price of what was bought. [money per base]"""
        return average_price(self.one.fetched)

    @cached_property
    def listed_price(self) -> Fraction | None:
        """Average price of the packs listed, each as it was paid where it was bought."""
        amount = worth = ZERO
        for bought in self.one.planned.lines:
            listed = exact_price(bought.pack, self.settings)
            paid = average_price(one for one in self.one.fetched if one.pack is bought.pack)
            if listed is None and paid is None:
                return None
            worth += Fraction(listed or 0) * bought.count if paid is None else paid * bought.brings
            amount += Fraction(bought.brings)
        return worth / amount if amount else self.planned_price

    def of_stock(self, amount: Fraction) -> Fraction | None:
        """What an amount from stock is worth, the lots of the takes first. [money]"""
        rest, worth = amount, ZERO
        taken = self.one.taken.taken
        lots = [(lot, Fraction(whole), Fraction(used)) for lot, whole, used in taken.from_lots]
        for lot, whole, size in [
            *((lot, whole, used) for lot, whole, used in lots),
            *((lot, whole, whole - used) for lot, whole, used in lots),
        ]:
            part = min(rest, size)
            if part <= 0:
                continue
            price = lot_price(lot, whole, self.one.planned)
            if price is None:
                return None
            worth += part * Fraction(price)
            rest -= part
        return worth

    def split(self, amount: Fraction) -> tuple[Fraction, Fraction]:
        """An amount as what is from stock and what is bought: more takes of the stock first."""
        left = Fraction(self.one.taken.taken.left)
        bought = Fraction(self.one.taken.wanted)
        beyond = max(amount - self.stock - bought, ZERO)
        stock = min(amount, self.stock) + min(left, beyond)
        return stock, amount - stock

    def by_plan(self, stock: Fraction, bought: Fraction) -> Fraction | None:
        """What amounts from stock and bought are worth by the plan. [money]"""
        of_stock = self.of_stock(stock)
        if of_stock is None or (bought and self.planned_price is None):
            return None
        return of_stock + bought * (self.planned_price or ZERO)


def differences_of(closed: Closed) -> tuple[Difference, ...]:
    """Planned and actual, episode by episode, in the order of the recipes; exact."""
    settings = closed.shoot.settings
    names = [episode.name for episode in closed.shoot.episodes]
    by_episode: dict[str, list[Difference]] = {name: [] for name in (*names, "")}
    for one in closed.ingredients:
        if one.planned.demand.made and not (one.fetched or one.used or one.planned.taken.total):
            continue  # its worth is that of what it was made of
        for row in _of_ingredient(one, settings, names):
            by_episode[row.episode].append(row)
    only = names[0] if len(names) == 1 else ""
    unplanned = by_name((line.line.ingredient, exact_money(line.paid)) for line in closed.unplanned)
    for name, sums in unplanned.items():
        paid = sum(sums, ZERO)
        parts = (ZERO, ZERO, ZERO, ZERO, paid)
        by_episode[only].append(Difference(only, name, ZERO, paid, parts))
    return tuple(row for rows in by_episode.values() for row in rows)


def _of_ingredient(
    one: ClosedIngredient, settings: Settings, episodes: Sequence[str]
) -> Iterator[Difference]:
    """One ingredient's rows: what it is worth, shared over the episodes by what they need.

    What was used is shared as a count between two days tells it, else by what the takes needed.
    """
    planned = _shares(whose_food(one.planned))
    taken = _shares(whose_food(one.taken)) or planned
    if not planned:
        planned = taken
    counted = one.count.shares(one.used) if one.count else {}
    used = _shares(whose_on_days(one.taken, counted)) or taken
    values = _values(one, settings)
    for episode in episodes:
        before, after = planned.get(episode, ZERO), taken.get(episode, ZERO)
        part = used.get(episode, ZERO)
        if not before and not after and not part:
            continue
        at_times, at_takes, others, actual = values
        if at_times is None or at_takes is None or others is None or actual is None:
            known = at_times if at_times is None else at_times * before
            paid = actual if actual is None else actual * part
            yield Difference(episode, one.name, known, paid, None)
            continue
        use, *rest = others
        as_used = (at_takes + use) * part
        yield Difference(
            episode,
            one.name,
            at_times * before,
            actual * part,
            (
                at_takes * after - at_times * before,
                as_used - at_takes * after,
                *(other * part for other in rest),
            ),
        )


def _shares(parts: Mapping[Share, Fraction]) -> dict[str, Fraction]:
    """The part of each episode in what is shared; nothing where nothing is."""
    found: dict[str, Fraction] = {}
    for (episode, _, _), part in parts.items():
        found[episode] = found.get(episode, ZERO) + Fraction(part)
    whole = sum(found.values(), ZERO)
    return {episode: part / whole for episode, part in found.items() if part}


def _values(
    one: ClosedIngredient, settings: Settings
) -> tuple[
    Fraction | None,
    Fraction | None,
    tuple[Fraction, Fraction, Fraction, Fraction] | None,
    Fraction | None,
]:
    """Planned, at the takes, the other parts (use, price, packs, not logged), and actual."""
    worth = _Worth(one, settings)
    if not one.is_known:
        return None, None, None, None
    planned = worth.by_plan(Fraction(one.planned.taken.total), Fraction(one.planned.wanted))
    at_takes = worth.by_plan(worth.stock, Fraction(one.taken.wanted))
    from_stock, bought = worth.split(one.used)
    of_stock, as_planned = worth.of_stock(from_stock), worth.by_plan(from_stock, bought)
    brought = min(bought, max(one.bought, ZERO))
    nothing_tells = as_planned is None and not any(each.line for each in one.fetched)
    if of_stock is None or nothing_tells or (brought and worth.paid_price is None):
        return planned, at_takes, None, None
    paid = worth.paid_price or ZERO
    actual = of_stock + brought * paid
    listed = worth.listed_price if brought else ZERO
    if as_planned is None or at_takes is None or listed is None:
        return planned, at_takes, None, actual
    price = brought * (listed - (worth.planned_price or ZERO))
    packs = brought * (paid - listed)
    rest = actual - as_planned - price - packs
    return planned, at_takes, (as_planned - at_takes, price, packs, rest), actual


def shown_differences(closed: Closed) -> tuple[ShownDifference, ...]:
    """Planned and actual, episode by episode, in whole coins."""
    return shown_of(differences_of(closed), closed.shoot.settings)


def shown_of(rows: Sequence[Difference], settings: Settings) -> tuple[ShownDifference, ...]:
    """The rows in whole coins: planned adds up to the used value, each row's parts to its actual.

    The used value is rounded once and shared, as on Food cost, over episodes and then their rows;
    so is what all rows differ by, that what was used as planned shows no difference. There a share
    is less than a coin from the exact one: a part of nothing gets none.
    """
    digits = money_digits(settings)
    # what is not known is shared as nothing, and so gets no coin
    planned = [row.planned or ZERO for row in rows]
    more = [row.more or ZERO for row in rows]
    before = round_money(sum(planned, ZERO), digits)
    after = round_money(sum([*planned, *more], ZERO), digits)
    coins = (
        _shared(rows, planned, before, partial(share_out, digits=digits)),
        _shared(rows, more, after - before, partial(adding_up, digits=digits)),
    )
    shown = []
    for row, its, change in zip(rows, *coins, strict=True):
        used = None if row.actual is None else round_money(row.actual, digits)
        parts = None if row.parts is None else tuple(adding_up(change, row.parts, digits))
        if row.more is not None:
            used = its + change
        by_plan = None if row.planned is None else its
        shown.append(ShownDifference(row.episode, row.ingredient, by_plan, used, parts))
    return tuple(shown)


def _shared(
    rows: Sequence[Difference],
    values: Sequence[Fraction],
    whole: Decimal,
    share: Callable[[Decimal, Sequence[Fraction]], list[Decimal]],
) -> list[Decimal]:
    """A sum in whole coins, shared over the episodes and then over their rows."""
    pairs = zip(rows, values, strict=True)
    groups = groupby(pairs, key=lambda pair: pair[0].episode)
    exact = [[value for _, value in its] for _, its in groups]
    wholes = share(whole, [sum(its, ZERO) for its in exact])
    return list(chain.from_iterable(map(share, wholes, exact)))


def largest(rows: Sequence[ShownDifference]) -> list[tuple[ShownDifference, str, Decimal]]:
    """The parts of all differences, the largest first, each with its row and name in ``PARTS``."""
    parts = [
        (row, name, part)
        for row in rows
        for name, part in zip(PARTS, row.parts or (), strict=False)
        if part
    ]
    return sorted(parts, key=lambda one: abs(one[2]), reverse=True)


def sum_of_known(rows: Sequence[ShownDifference]) -> tuple[Decimal, Decimal, int]:
    """Planned and actual of all rows of which both are known [money], and how many are not."""
    known = [
        (row.planned, row.actual)
        for row in rows
        if row.planned is not None and row.actual is not None
    ]
    planned = sum((one for one, _ in known), Decimal(0))
    actual = sum((one for _, one in known), Decimal(0))
    return planned, actual, len(rows) - len(known)
