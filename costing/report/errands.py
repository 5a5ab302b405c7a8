"""What to order, fetch, thaw and make on which day, with how much of it and for which shots."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from functools import cached_property

from costing.buying.books import Books
from costing.buying.making import shots_taking
from costing.buying.picking import Share
from costing.buying.purchases import Purchase
from costing.buying.till import Bought, TillLine
from costing.findings import Finding, Grade, Place, Words, choice_words, message
from costing.names import key
from costing.quantities import Measures
from costing.report.layouts import ERRANDS
from costing.report.make_rows import Cooked, made_words
from costing.report.shop_words import at_least, buy_words, day_words
from costing.report.tables import Table
from costing.shoot import Shoot, Shot

SHOTS_NAMED = 6
"""So many shots of an episode are named; more are counted."""

SUPPLIED = "supplied, nothing to pay: agree who brings it"
UNPLANNED = "on none of the shopping dates"
"""Said of a way that nobody has planned, for what would not keep or thaw otherwise."""


class ErrandKind(StrEnum):
    """What is done, in the order of a day.

    Examples
    --------
    >>> ErrandKind("thaw")
    <ErrandKind.THAW: 'thaw'>
    """

    ORDER = "order"
    FETCH = "fetch"
    THAW = "thaw"
    MAKE = "make"


@dataclass(frozen=True, slots=True)
class Errand:
    """One thing to do before the shoot.

    Parameters
    ----------
    day : date, optional
        When; ``None`` where the days of the shoot are not known.
    goods : tuple of str
        Goods or dish, each with how much of it.
    shop : str
        Where, for what is ordered or fetched.
    at : datetime, optional
        The time by which it is done, where there is one.
    about : str
        Dish or ingredient by which one that is thawed or made is known again.
    fetched : date, optional
        When that is fetched which is ordered.
    """

    day: date | None
    kind: ErrandKind
    goods: tuple[str, ...]
    shots: tuple[Shot, ...]
    shop: str = ""
    note: str = ""
    at: datetime | None = None
    about: str = ""
    fetched: date | None = None

    @property
    def what(self) -> str:
        """The goods in a line."""
        return "; ".join(self.goods)


def errands_of(books: Books, cooked: Sequence[Cooked]) -> tuple[Errand, ...]:
    """What is to be done, by day; nothing where no day is known.

    ``books``: with what is fetched on which day, and the days packs are opened.
    """
    measures = books.shoot.settings.measures
    made = [_made(one, measures) for one in cooked]
    found = [*_Bringing(books).errands(), *made] if books.shopping else []
    if not any(one.day for one in found):
        return ()
    kinds = list(ErrandKind)
    return tuple(sorted(found, key=lambda one: (one.day or date.max, kinds.index(one.kind))))


def errands_table(found: Iterable[Errand], shoot: Shoot) -> Table:
    """One row for each thing to do."""
    said = WhatFor(shoot)
    return ERRANDS.table(
        ERRANDS.row(
            date=one.day,
            errand=str(one.kind),
            shop=one.shop,
            what=one.what,
            for_=said.words(one.shots),
            note=one.note,
        )
        for one in found
    )


def orders_past(found: Iterable[Errand], today: date) -> Iterator[Finding]:
    """Orders whose day is over on the day of asking, what they bring still to be fetched."""
    for one in found:
        if one.day and one.fetched and one.day < today <= one.fetched:
            ordered, fetched = day_words(one.day), day_words(one.fetched)
            yield order_day_past(Place("Packs"), one.what, one.shop, ordered, fetched)


@message("order day past", Grade.WARNING)
def order_day_past(goods: str, shop: str, ordered: str, fetched: str) -> Words:
    return Words(
        f"{goods}, to be ordered{f' from {shop}' if shop else ''} on {ordered}, before today",
        "an order that is placed, or an order day still to come",
        f"If it is not ordered yet, ask whether it can still be there on {fetched}; else a later "
        "row for it on the sheet Trips, or another pack, is needed.",
    )


def errand_words(errand: Errand, *, most: int = 10) -> str:
    """An errand in a line: what to do where, and so many of the goods by name.

    Examples
    --------
    >>> errand_words(Errand(None, ErrandKind.ORDER, ("turkey 18 lb",), (), "the butcher"))
    'Order from the butcher: turkey 18 lb'
    """
    where = f" from {errand.shop}" if errand.shop else ""
    goods = choice_words(errand.goods, most=most, last="and")
    return f"{errand.kind.capitalize()}{where}: {goods}"


class WhatFor:
    """Episodes by name, each with its shots where something is not for all of them."""

    def __init__(self, shoot: Shoot) -> None:
        self._names = {key(one.name): one.name for one in shoot.episodes}
        self._order = {name: number for number, name in enumerate(self._names)}
        self._every = Counter(key(shot.episode) for shot in shoot.shots)

    def words(self, shots: Sequence[Shot]) -> str:
        """What these shots are, in the order of the episodes."""
        of_episode: dict[str, list[str]] = {}
        for shot in shots:
            of_episode.setdefault(key(shot.episode), []).append(shot.label)
        said = []
        for episode in sorted(of_episode.keys() & self._order.keys(), key=self._order.__getitem__):
            labels, name = of_episode[episode], self._names[episode]
            if len(labels) < self._every[episode]:
                name += f": {choice_words(labels, most=SHOTS_NAMED, last='and')}"
            said.append(name)
        return "; ".join(said)


def _made(one: Cooked, measures: Measures) -> Errand:
    """A dish that is made ahead, by when its first shot starts."""
    at = one.row["ready_by"]
    return Errand(
        one.day,
        ErrandKind.MAKE,
        (made_words(one.row, measures),),
        one.shots,
        note=f"ready by {at:%H:%M}" if isinstance(at, datetime) else "",
        at=at if isinstance(at, datetime) else None,
        about=str(one.row["dish"]),
    )


@dataclass(slots=True)
class _Carried:
    """Goods that are ordered or fetched together, with the shots they are for."""

    shop: str
    goods: list[str] = field(default_factory=list)
    shots: set[int] = field(default_factory=set)
    till: list[TillLine] = field(default_factory=list)
    supplied: bool = True


class _Bringing:
    """The errands of what is bought."""

    def __init__(self, books: Books) -> None:
        self.books, self.shoot = books, books.shoot
        self._dates = {one.name: one.shoot_date for one in books.shoot.episodes}
        self.lines = [
            (purchase, bought, bought.paid)
            for purchase in books.purchases
            for bought in purchase.lines
        ]

    @cached_property
    def _takers(self) -> dict[str, dict[str, list[int]]]:
        """By key of a good and of an episode, the places of the shots that take of it."""
        shopping = self.books.shopping
        takers = shots_taking(shopping.needs, self.books.caps) if shopping else {}
        found: dict[str, dict[str, list[int]]] = {}
        for code, numbers in takers.items():
            for number in sorted(numbers):
                episode = key(self.shoot.shots[number].episode)
                found.setdefault(code, {}).setdefault(episode, []).append(number)
        return found

    def errands(self) -> Iterator[Errand]:
        """Orders and ways to the shops, each with all that is got there; packs that thaw."""
        yield from self._ordered()
        yield from self._fetched()
        for purchase, bought, _ in self.lines:
            yield from self._thawed(purchase, bought)

    def _shots(self, numbers: Iterable[int]) -> tuple[Shot, ...]:
        return tuple(self.shoot.shots[number] for number in sorted(numbers))

    def _numbers(self, purchase: Purchase, served: Collection[str]) -> Iterator[int]:
        """Places of the shots that take of packs used on the days of these episodes; of none: all.

        What is made or cut on a day may be for the shots of a later one.
        """
        demand = purchase.demand
        drawn = demand.making.drawn(demand.code) if demand.making else {}
        whose = set[Share]().union(*(drawn.get(name, ()) for name in served))
        known, days = set[Share]().union(*drawn.values()), set(map(key, served))
        for episode, numbers in self._takers.get(demand.code, {}).items():
            for number in numbers:
                share = self._share(number)
                of_the_day = episode in days and share not in known
                if not days or share in whose or of_the_day:
                    yield number

    def _share(self, number: int) -> Share:
        shot = self.shoot.shots[number]
        return shot.episode, self.shoot.recipes.spelling(shot.dish), str(shot.purpose)

    def _goods(self, purchase: Purchase, bought: Bought) -> str:
        words = buy_words(bought, self.shoot.settings.measures)
        return f"{purchase.need.ingredient.name} {words}"

    def _carried(self, *, ordered: bool) -> dict[tuple[date | None, str, int], _Carried]:
        """What is fetched by trip and shop, or of that what is ordered, by days of order too."""
        together: dict[tuple[date | None, str, int], _Carried] = {}
        for purchase, bought, paid in self.lines:
            pack, days = bought.pack, (bought.pack.order_days or 0) if ordered else 0
            if ordered and not days:
                continue
            at = bought.trip, key(pack.shop), days
            one = together.setdefault(at, _Carried(pack.shop))
            one.goods.append(self._goods(purchase, bought))
            served = [name for name, amount in bought.serves.items() if amount]
            one.shots.update(self._numbers(purchase, served))
            one.till.append(paid)
            one.supplied &= pack.supplied
        return together

    def _ordered(self) -> Iterator[Errand]:
        for (trip, _, days), one in self._carried(ordered=True).items():
            if trip is not None:
                yield Errand(
                    trip - timedelta(days=days),
                    ErrandKind.ORDER,
                    tuple(one.goods),
                    self._shots(one.shots),
                    one.shop,
                    f"for {day_words(trip)}",
                    fetched=trip,
                )

    def _fetched(self) -> Iterator[Errand]:
        for (trip, *_), one in self._carried(ordered=False).items():
            goods, shots = tuple(one.goods), self._shots(one.shots)
            planned = trip is None or trip in self.shoot.open_days(one.shop)
            paid = SUPPLIED if one.supplied else self._cost(one.till)
            said = ("" if planned else UNPLANNED, self._morning(trip), paid)
            note = "; ".join(filter(None, said))
            yield Errand(trip, ErrandKind.FETCH, goods, shots, one.shop, note)

    def _morning(self, trip: date | None) -> str:
        """Whether it is the day of a shoot, and by when it must be there."""
        calls = [one for one in self.shoot.episodes if trip and one.shoot_date == trip]
        if not calls:
            return ""
        first = min((one.call_time for one in calls if one.call_time), default=None)
        by = f", before {first:%H:%M}" if first else ""
        return f"on the morning of the shoot{by}"

    def _cost(self, till: Sequence[TillLine]) -> str:
        """What the till takes; nothing where no price is known."""
        known = [line.cost for line in till if line.cost is not None]
        if not any(known):
            return ""
        unknown = len(known) < len(till)
        return at_least(sum(known, Decimal(0)), unknown, self.shoot.settings.currency)

    def _thawed(self, purchase: Purchase, bought: Bought) -> Iterator[Errand]:
        """Packs that thaw, for each day on which some of them are used."""
        days = bought.pack.thaw_days
        if not days:
            return
        for used, count in bought.openings:
            if used is not None:
                some = replace(bought, count=count)
                served = [name for name in bought.serves if self._dates[name] == used]
                served += [to for giver, to in bought.passed_on if giver in served]
                yield Errand(
                    used - timedelta(days=days),
                    ErrandKind.THAW,
                    (self._goods(purchase, some),),
                    self._shots(self._numbers(purchase, served)),
                    note=f"into the refrigerator until {day_words(used)}",
                    about=purchase.need.ingredient.name,
                )
