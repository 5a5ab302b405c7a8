r"""How long packs last: when they are fetched and opened, and which shoot days they serve.

A pack belongs to a trip :math:`t` and to the day :math:`o` it is opened, both whole days. It can be
used from its opening on, while it is within its sealed life from the trip and its opened life from
the opening; a frozen pack is fetched so long before that it has thawed:

.. math:: t + \text{thaw} \le o, \qquad
   \text{last} = \min(t + \text{sealed},\; o + \text{opened}), \qquad o \le \text{last}.

Loose goods are open as they are bought. An unknown life binds nothing. A shoot without a date is
served by every pack.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from itertools import groupby
from math import floor

from costing.kitchen import Ingredient, Pack, PackState
from costing.quantities import ZERO

Days = Mapping[str, date | None]
"""The shoot date of each episode that may take of an ingredient, by its name."""


@dataclass(frozen=True, slots=True)
class Life:
    """How long a pack keeps; ``None`` is not known and binds nothing.

    Parameters
    ----------
    sealed : int, optional
        From the trip on, still closed. [day]
    opened : int, optional
        From its opening on. [day]
    thaw : int
        So long before it is opened it must be fetched. [day]
    loose : bool
        Whether it is open as it is bought, or once it has thawed.
    """

    sealed: int | None = None
    opened: int | None = None
    thaw: int = 0
    loose: bool = False

    @property
    def unopened(self) -> int | None:
        """From the trip on, unless it is opened: loose goods are open then. [day]"""
        if self.opened is None or not self.loose:
            return self.sealed
        open_till = self.thaw + self.opened
        return open_till if self.sealed is None else min(self.sealed, open_till)

    def last_day(self, trip: date | None, opening: date | None) -> date | None:
        """The last day a pack may be used that is fetched and opened then; ``None``: no end.

        Examples
        --------
        A litre of stock that lives three days once it is open, bought on the 9th.

        >>> stock = Life(sealed=365, opened=3)
        >>> stock.last_day(date(2031, 5, 9), date(2031, 5, 10))
        datetime.date(2031, 5, 13)
        """
        opened = None if self.loose else self.opened
        ends = [
            start + timedelta(days=days)
            for start, days in ((trip, self.unopened), (opening, opened))
            if start is not None and days is not None
        ]
        return min(ends, default=None)


def life_of(pack: Pack, ingredient: Ingredient) -> Life:
    """How long a pack keeps, in whole days.

    Of what is bought frozen or for the shelf Keeps days counts from its opening or thawing; how
    long it lasts until then the tables say for its state. Where it is blank, what has thawed keeps
    as the tables say from purchase, or from opening where that is less; what is used frozen (Thaw
    days 0) never thaws, and has no such end.
    """
    sealed, opened = ingredient.keeps, ingredient.keeps_opened
    if pack.state is PackState.FRESH and ingredient.keeps_days is None:
        sealed = pack.published_keeps or sealed
    elif pack.state in (PackState.FROZEN, PackState.SHELF):
        sealed = pack.published_keeps
        if pack.state is PackState.FROZEN and pack.thaw_days == 0:
            opened = ingredient.keeps_days
        elif pack.state is PackState.FROZEN:
            thawed = [days for days in (ingredient.keeps, opened) if days is not None]
            opened = min(thawed, default=None)
    return Life(
        None if sealed is None else floor(sealed),
        None if opened is None else floor(opened),
        pack.thaw_days or 0,
        pack.loose_step is not None,
    )


@dataclass(frozen=True, slots=True)
class Way:
    """When a pack is fetched and opened, and whom it serves then.

    Parameters
    ----------
    trip : date, optional
        The day it is fetched; ``None`` where no day is known.
    opening : date, optional
        The first day it is used; ``None`` where that is no known day.
    last : date, optional
        The last day it may be used; ``None``: no end.
    serves : frozenset of str
        Names of the episodes whose day is within these.
    planned : bool
        Whether its shop is open on the day of the trip; else no open day will do for the opening.
    """

    trip: date | None
    opening: date | None
    last: date | None
    serves: frozenset[str]
    planned: bool = True


def ways(life: Life, trips: Sequence[date], days: Days, *, eve: bool = False) -> list[Way]:
    """All ways to fetch a pack on one of some trips and to open it on a day of use.

    Of two ways with the same trip one that serves no episode more is left out.

    Parameters
    ----------
    trips : sequence of date
        When its shop is open.
    days : mapping of str to date or None
        When each episode takes of it.
    eve : bool
        Whether a trip serves only later days, because it is made after the day's shoot.
    """
    on: dict[date, list[str]] = {}
    undated = [name for name, day in days.items() if day is None]
    for name, day in days.items():
        if day is not None:
            on.setdefault(day, []).append(name)
    dated, found = sorted(on), list[Way]()
    for trip in trips:
        first = trip + timedelta(days=max(life.thaw, 1 if eve else 0))
        openings: list[date | None] = [*dated[bisect_left(dated, first) :]]
        of_trip: list[Way] = []
        # loose goods are open from their trip on: on which day they are first used changes nothing
        for opening in (openings[:1] if life.loose else openings) or [None]:
            last = life.last_day(trip, opening)
            served: list[date] = []
            if opening is not None:
                end = len(dated) if last is None else bisect_right(dated, last)
                served = dated[bisect_left(dated, opening) : end]
            serves = frozenset(undated).union(*map(on.__getitem__, served))
            # opened later, a pack lasts as long or longer: one before it can serve more only where
            # both end alike, and the last that was not left out is then the first of those
            if serves and not (of_trip and serves < of_trip[-1].serves):
                of_trip.append(Way(trip, opening if served else None, last, serves))
        found += of_trip
    return found


def unplanned(life: Life, day: date, days: Days) -> Way:
    """A way to have a pack on a day for which no open day will do: fetched the day before.

    What keeps for no day is fetched on the day itself, and what has to thaw earlier.
    """
    trip = day - timedelta(days=max(life.thaw, 0 if life.unopened == 0 else 1))
    last = life.last_day(trip, day)
    # it is for this very day, however short it keeps: else the take would have no food at all
    last = day if last is not None and last < day else last
    serves = {
        name
        for name, on in days.items()
        if on is None or (day <= on and (last is None or on <= last))
    }
    return Way(trip, day, last, frozenset(serves), planned=False)


@dataclass(frozen=True, slots=True)
class OpenedPacks:
    """Packs of one offer that are fetched and opened on the same days.

    ``amount``: what they bring. [base unit]
    """

    amount: Fraction
    serves: frozenset[str]
    last: date | None = None


@dataclass(frozen=True, slots=True)
class Allotment:
    """What each episode takes of which packs.

    Parameters
    ----------
    used : tuple of dict of str to Fraction
        For each of the packs by episode. [base unit]
    lacking : dict of str to Fraction
        What none of them serve, by episode. [base unit]
    """

    used: tuple[dict[str, Fraction], ...]
    lacking: dict[str, Fraction]

    @property
    def missing(self) -> Fraction:
        """What is lacking over all episodes. [base unit]"""
        return sum(self.lacking.values(), ZERO)


def allotted(packs: Sequence[OpenedPacks], needs: Mapping[str, Fraction], days: Days) -> Allotment:
    """Serve what is needed, day by day, of what ends first.

    No other order leaves more for later days: all that is open on one day is open on the next
    until it ends, and what ends first is of use to the fewest of them.

    Parameters
    ----------
    needs : mapping of str to Fraction
        By episode. [base unit]
    days : mapping of str to date or None
        Of the episodes; those without one are served last.
    """
    left = [one.amount for one in packs]
    used: tuple[dict[str, Fraction], ...] = tuple({} for _ in packs)
    lacking: dict[str, Fraction] = {}
    # stable: of packs that end together the first in the sheet are used first
    ends = sorted(range(len(packs)), key=lambda at: packs[at].last or date.max)
    serving: dict[str, list[int]] = {name: [] for name, need in needs.items() if need > 0}
    for at in ends:
        for name in packs[at].serves & serving.keys():
            serving[name].append(at)
    for name in in_order(serving, days):
        rest = needs[name]
        for at in serving[name]:
            if left[at]:
                part = min(rest, left[at])
                used[at][name] = part
                rest, left[at] = rest - part, left[at] - part
            if not rest:
                break
        if rest:
            lacking[name] = rest
    return Allotment(used, lacking)


Release = tuple[str, frozenset[str]]
"""From which episode on something is there, and which it serves, that one among them."""


def released(
    packs: Sequence[OpenedPacks],
    used: Mapping[str, Fraction],
    kept: Mapping[str, Fraction],
    days: Days,
    *,
    rest_on: int | None = None,
) -> dict[Release, Fraction]:
    """From which episode on how much of packs is there, and for which. [base unit]

    Parameters
    ----------
    used : mapping of str to Fraction
        What each episode uses of them; no more than they have is released. [base unit]
    kept : mapping of str to Fraction
        By episode the part of them that is sound on the day. [fraction]
    days : mapping of str to date or None
        Of the episodes that may use them.
    rest_on : int, optional
        From which of the episodes that packs serve on their rest is there; by default it is left
        out.
    """
    found = allotted(packs, {name: part / kept[name] for name, part in used.items()}, days)
    names, amounts = in_order(days, days), dict[Release, Fraction]()
    for one, of_it in zip(packs, found.used, strict=True):
        serves, parts = [name for name in names if name in one.serves], list(of_it.items())
        if rest_on is not None and serves:
            parts.append((serves[rest_on], one.amount - sum(of_it.values(), ZERO)))
        for name, part in parts:
            release = name, frozenset(serves[serves.index(name) :])
            amounts[release] = amounts.get(release, ZERO) + part * kept[name]
    return amounts


def by_first(amounts: Mapping[Release, Fraction]) -> dict[str, Fraction]:
    """Amounts by the episode from which on they are there."""
    found: dict[str, Fraction] = {}
    for (first, _), amount in amounts.items():
        found[first] = found.get(first, ZERO) + amount
    return found


@dataclass(frozen=True, slots=True)
class Openings:
    """When packs of one offer are opened, and what one day uses of packs of an earlier one.

    Parameters
    ----------
    on : dict of date or None to int
        How many are opened on which day.
    passed : list of (str, str, Fraction)
        Giver, taker and amount; the giver is the first episode of the latest day on which one
        was opened. [base unit]
    """

    on: dict[date | None, int]
    passed: list[tuple[str, str, Fraction]]


def openings(each: Fraction, used: Mapping[str, Fraction], days: Days) -> Openings:
    """Open no more packs than it takes, and use what is left of a day only where it is needed.

    Parameters
    ----------
    each : Fraction
        What one pack brings. [base unit]
    used : mapping of str to Fraction
        By episode what it takes of packs that may serve all of them. [base unit]
    days : mapping of str to date or None
        Of the episodes; those without one come last.
    """
    rest = sum(used.values(), ZERO)
    sealed = -(-rest // each)
    found, over, giver = Openings({}, []), ZERO, ""
    for day, names in groupby(in_order(used, days), key=lambda name: days[name]):
        if sealed * each >= rest:  # packs that are sealed are enough: nothing old need be used
            over = ZERO
        its, spare, first = list(names), over, giver
        for name in its:
            part = min(spare, used[name])
            if part > 0 and day is not None:
                found.passed.append((first, name, part))
            spare -= part
        need = sum((used[name] for name in its), ZERO)
        if (more := -(-max(need - over, ZERO) // each)) > 0:
            found.on[day], giver = more, its[0]
        over, rest, sealed = over + more * each - need, rest - need, sealed - more
    return found


def in_order(names: Iterable[str], days: Days) -> list[str]:
    """Episodes by date, those without one last."""
    return sorted(names, key=lambda name: days.get(name) or date.max)


def short_together(packs: Sequence[OpenedPacks], found: Allotment) -> frozenset[str]:
    """Episodes that together need more than all that may serve any of them.

    Those that lack, and all whose share could be given to them: found along what is used.
    """
    short = set(found.lacking)
    growing = True
    while growing:
        growing = False
        for one, used in zip(packs, found.used, strict=True):
            if one.amount and not short.isdisjoint(one.serves):
                more = set(used) - short
                short |= more
                growing = growing or bool(more)
    return frozenset(short)
