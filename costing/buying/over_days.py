r"""One ingredient bought over several days: on which trip, in which packs, opened when.

A pack belongs to a trip :math:`t` and to the day :math:`o` it is opened, both whole days. It can be
used from its opening on, while it is within its sealed life from the trip and its opened life from
the opening; a frozen pack is fetched so long before that it has thawed:

.. math:: t + \text{thaw} \le o, \qquad
   \text{last} = \min(t + \text{sealed},\; o + \text{opened}), \qquad o \le \text{last}.

Whole numbers :math:`z_{jto}` say how many of pack :math:`j` are fetched and opened when, flows
:math:`f_{jtod}` what of them is used on day :math:`d`:

.. math:: \sum_d f_{jtod} \le a_j z_{jto}, \qquad \sum_{j,t,o} f_{jtod} \ge n_d, \qquad
   z_{jto} \le m_j v_{st}

with :math:`v_{st}` whether shop :math:`s` is visited on the day. An unknown life binds nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from costing.buying.basket import Offer
from costing.buying.solver import Ending, Model
from costing.names import key
from costing.quantities import ONE, ZERO
from costing.shoot.trips import Trip

Visit = tuple[str, date]
"""A shop, by its key, and the day it is visited or delivers."""


@dataclass(frozen=True, slots=True)
class Life:
    """How long a pack keeps; ``None`` is not known and binds nothing.

    Parameters
    ----------
    sealed : int, optional
        From the trip on, still closed. [day]
    opened : int, optional
        From its opening on. [day]
    """

    sealed: int | None = None
    opened: int | None = None


@dataclass(frozen=True, slots=True)
class Lasting:
    """An offer with how long what it brings lasts.

    Parameters
    ----------
    offer : Offer
        Amount, price and shop; loose goods are open as they are bought.
    life : Life
        Of what it brings.
    thaw_days : int
        So long before it is opened it must be fetched. [day]
    order_days : int
        So long before it is fetched it must be ordered. [day]
    """

    offer: Offer
    life: Life = Life()
    thaw_days: int = 0
    order_days: int = 0

    def last_day(self, trip: date, opening: date) -> date | None:
        """The last day it may be used when it is fetched and opened then; ``None``: no end.

        Examples
        --------
        A litre of stock that lives three days once it is open, bought on the 9th.

        >>> stock = Lasting(Offer(Fraction(1000), Fraction(2)), Life(sealed=365, opened=3))
        >>> stock.last_day(date(2031, 5, 9), date(2031, 5, 10))
        datetime.date(2031, 5, 13)
        """
        ends = [
            start + timedelta(days=days)
            for start, days in ((trip, self.life.sealed), (opening, self.life.opened))
            if days is not None
        ]
        return min(ends, default=None)

    def serves(self, trip: date, opening: date, day: date) -> bool:
        """Whether it can be used on a day when it is fetched and opened on others."""
        last = self.last_day(trip, opening)
        thawed = trip + timedelta(days=self.thaw_days) <= opening
        return thawed and opening <= day and (last is None or day <= last)

    def order_by(self, trip: date) -> date:
        """The last day on which it can be ordered for a trip."""
        return trip - timedelta(days=self.order_days)


@dataclass(frozen=True, slots=True)
class Fetched:
    """Packs of one offer that are fetched and opened on the same days.

    Parameters
    ----------
    number : int
        Of the offer.
    trip, opening : date
        When they are fetched and opened.
    count : int
        How many.
    """

    number: int
    trip: date
    opening: date
    count: int


def open_days(
    shop: str, trips: Iterable[Trip], shopping: Sequence[date], shoots: Iterable[date]
) -> tuple[date, ...]:
    """When a shop can be visited: its own trips, else all shopping dates.

    Parameters
    ----------
    shop : str
        Its name; a pack without a shop is for sale on every shopping date.
    trips : iterable of Trip
        The rows of the sheet Trips.
    shopping : sequence of date
        The shopping dates that are set; none: the day before each shoot date.
    shoots : iterable of date
        The shoot dates.

    Examples
    --------
    >>> shoots = [date(2031, 5, 10), date(2031, 5, 24)]
    >>> [str(day) for day in open_days("stall", [], [], shoots)]
    ['2031-05-09', '2031-05-23']
    """
    own = [trip.day for trip in trips if shop and key(trip.shop) == key(shop)]
    before = (day - timedelta(days=1) for day in shoots)
    return tuple(sorted(set(own or shopping or before)))


def cheapest_over_days(
    needs: Mapping[date, Fraction],
    offers: Sequence[Lasting],
    days: Mapping[str, Sequence[date]],
    *,
    visits: Mapping[str, Fraction] | None = None,
    nodes: int | None = None,
) -> tuple[list[Fetched], Fraction] | None:
    """The cheapest packs for what is needed day by day, with their trips and openings.

    Among equally cheap ones those with the fewest trips, then those fetched latest.

    Parameters
    ----------
    needs : mapping of date to Fraction
        By shoot day. [base unit]
    offers : sequence of Lasting
        In the order of the sheet.
    days : mapping of str to sequence of date
        When each shop is open, by its key.
    visits : mapping of str to Fraction, optional
        What each visit costs, by the key of the shop. [money]
    nodes : int, optional
        Branches after which the search is ended.

    Returns
    -------
    tuple of list of Fetched and Fraction, or None
        With the cost; ``None`` when nothing was found that is proven to be the cheapest. [money]
    """
    plan = _DayRows(needs, offers, days, visits or {})
    for objective in plan.objectives():
        answer = plan.model.minimise(objective, nodes=nodes)
        if answer.ending is not Ending.PROVEN:
            return None
        found = [
            Fetched(*way, answer.whole(column))
            for way, column in plan.columns.items()
            if answer.whole(column)
        ]
        best = plan.value(objective, found)
        plan.model.row(objective, most=best)
    return (found, plan.paid(found)) if serves(needs, offers, found) else None


Way = tuple[int, date, date]
"""The number of an offer, the trip it is fetched on, and the day it is opened."""


class _DayRows:
    """The columns and rows of one ingredient over days."""

    def __init__(
        self,
        needs: Mapping[date, Fraction],
        offers: Sequence[Lasting],
        days: Mapping[str, Sequence[date]],
        visits: Mapping[str, Fraction],
    ) -> None:
        self.model = Model()
        self.columns: dict[Way, int] = {}
        self.visited: dict[Visit, int] = {}
        self._offers, self._costs = offers, visits
        self._last = max((day for on in days.values() for day in on), default=date.max)
        covering: dict[date, dict[int, Fraction]] = {day: {} for day in needs if needs[day]}
        for way in self._ways(list(covering), days):
            number, trip, opening = way
            one = offers[number]
            served = [day for day in covering if one.serves(trip, opening, day)]
            most = math.ceil(sum((needs[day] for day in served), ZERO) / one.offer.amount)
            if not served or one.offer.at_most == 0:
                continue
            column = self.columns[way] = self.model.column(upper=most)
            flows = {self.model.column(whole=False): ONE for _ in served}
            self.model.row(flows | {column: -one.offer.amount}, most=0)
            for day, flow in zip(served, flows, strict=True):
                covering[day][flow] = ONE
            visit = one.offer.shop, trip
            if visit not in self.visited:
                self.visited[visit] = self.model.column(upper=1)
            self.model.row({self.visited[visit]: Fraction(most), column: -ONE}, least=0)
        for day, flows in covering.items():
            self.model.row(flows or {self.model.column(upper=0): ONE}, least=needs[day])
        for number, one in enumerate(offers):
            if one.offer.at_most is not None:
                its = {column: ONE for way, column in self.columns.items() if way[0] == number}
                self.model.row(its, most=one.offer.at_most)

    def _ways(self, wanted: Sequence[date], days: Mapping[str, Sequence[date]]) -> Iterator[Way]:
        """The ways to fetch and open each offer: on a day of use, loose goods on their trip."""
        for number, one in enumerate(self._offers):
            for trip in sorted(set(days.get(one.offer.shop, ()))):
                thawed = trip + timedelta(days=one.thaw_days)
                for opening in wanted if one.offer.sealed else (thawed,):
                    if thawed <= opening:
                        yield number, trip, opening

    def objectives(self) -> Iterator[dict[int, Fraction]]:
        """What is paid; then the number of trips; then how early everything is fetched."""
        packs = {
            column: self._offers[number].offer.cost
            for (number, _, _), column in self.columns.items()
        }
        costs = {column: self._costs.get(shop, ZERO) for (shop, _), column in self.visited.items()}
        yield packs | costs
        yield dict.fromkeys(self.visited.values(), ONE)
        yield {
            column: Fraction((self._last - trip).days)
            for (_, trip, _), column in self.columns.items()
        }

    def value(self, objective: Mapping[int, Fraction], found: Sequence[Fetched]) -> Fraction:
        """What an objective comes to, exact."""
        columns = [(self.columns[f.number, f.trip, f.opening], f.count) for f in found]
        went = {(self._offers[f.number].offer.shop, f.trip) for f in found}
        total = sum((objective.get(column, ZERO) * count for column, count in columns), ZERO)
        return total + sum((objective.get(self.visited[v], ZERO) for v in went), ZERO)

    def paid(self, found: Sequence[Fetched]) -> Fraction:
        """Packs and visits. [money]"""
        return self.value(next(self.objectives()), found)


def serves(
    needs: Mapping[date, Fraction], offers: Sequence[Lasting], found: Sequence[Fetched]
) -> bool:
    """Whether packs cover what is needed day by day, in exact numbers.

    On each day what ends first is used first: no other order leaves more for later days, because
    all that is open on one day is open on the next until it ends.
    """
    left = [offers[one.number].offer.amount * one.count for one in found]
    for day in sorted(needs):
        rest = needs[day]
        ends = [offers[one.number].last_day(one.trip, one.opening) or date.max for one in found]
        for at in sorted(range(len(found)), key=ends.__getitem__):
            one = found[at]
            if offers[one.number].serves(one.trip, one.opening, day):
                used = min(rest, left[at])
                rest, left[at] = rest - used, left[at] - used
        if rest > 0:
            return False
    return True
