"""Why a list costs what it costs: each constraint taken away by itself, and the plan run again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from costing.buying.books import Books, books_of, work_besides
from costing.buying.out_of_plan import out_of_plan
from costing.buying.shopping import Purchase
from costing.buying.solver import Deadline
from costing.findings import NOWHERE, Place
from costing.kitchen import Pack
from costing.names import key
from costing.quantities import ZERO, Amount
from costing.shoot import Shoot, Shot

WORK = 12_000_000
"""For all runs of a plan, about a minute; what is not reached by then is left out, and that is
said. Counted, so that every computer says the same. [column times branch]"""

PART_OF_A_RUN = 1 / 2
"""Of it, that one run may take at most. [fraction]"""

OPENED_PART = Fraction(1, 8)
"""A pack of which the need takes no more than this part was opened for little. [of a pack]"""

SPARE_PART = Fraction(1, 100)
"""Less than this part of the need over counts as nothing. [of the need]"""

CUTS_NAMED = 3
"""So many cuts are named when a budget is not kept."""


class ConstraintKind(StrEnum):
    """What it is that costs.

    Examples
    --------
    >>> str(ConstraintKind.LIMIT)
    'limit'
    """

    MINIMUM = "minimum spend"
    VISIT = "visit"
    LIMIT = "limit"
    ONE_SHOP = "one shop"
    UNCERTAIN = "uncertain take"
    CANDIDATES = "candidates"


@dataclass(frozen=True, slots=True)
class Cost:
    """What a constraint costs.

    Parameters
    ----------
    name : str
        Shop, ingredient or shot.
    cost : Decimal, optional
        How much less is paid without it; for one shop, how much more is paid by going there alone.
        ``None``: that shop has too little, as ``lacks`` says, or is not open in time, as ``late``
        says. [money]
    late : tuple of str
        What can be bought then on no open day that is in time.
    """

    kind: ConstraintKind
    name: str
    place: Place
    cost: Decimal | None
    lacks: tuple[str, ...] = ()
    late: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NearMiss:
    """A pack that is opened for little.

    Parameters
    ----------
    short : Amount
        So much less would do without it. [mass, volume or count]
    saves : Decimal
        What would then be saved. [money]
    """

    purchase: Purchase
    pack: Pack
    short: Amount
    saves: Decimal


@dataclass(frozen=True, slots=True)
class Cut:
    """One take fewer of a shot.

    ``saves``: what is then bought for less. [money]
    """

    shot: Shot
    saves: Decimal
    enough: bool


@dataclass(frozen=True, slots=True)
class Why:
    """Why a list costs what it costs.

    Parameters
    ----------
    costs : tuple of Cost
        Of each constraint that costs something, the dearest first.
    near : tuple of NearMiss
        Packs opened for little, the dearest first.
    over : Decimal
        How much the whole job is over its budget. [money]
    cuts : tuple of Cut
        The cheapest that bring it nearer, where it is over.
    complete : bool
        Whether the work allowed was enough for all of it.
    """

    costs: tuple[Cost, ...]
    near: tuple[NearMiss, ...]
    nothing_spare: tuple[Purchase, ...]
    over: Decimal
    cuts: tuple[Cut, ...]
    complete: bool


class Trials:
    """Plans run again with something changed, as far as the work allowed goes.

    ``work``: for all of them. [column times branch]
    """

    def __init__(self, books: Books, work: float) -> None:
        self.shoot, self.paid = books.shoot, books.totals.paid
        self.short = {purchase.name: purchase.short for purchase in books.purchases}
        self.late = set(_late(books))
        self.complete = True
        self._left, self._most = work, work * PART_OF_A_RUN

    def run(self, **changes: object) -> Books | None:
        """The books of the changed plan; ``None`` when that takes more than is left."""
        if self._left > 0:
            deadline = Deadline(work=min(self._left, self._most))
            books = books_of(self.shoot.changed(**changes), within=deadline)
            self._left -= deadline.spent + work_besides(self.shoot)
            if not deadline.passed:
                return books
        self.complete = False
        return None

    def saves(self, **changes: object) -> Decimal:
        """How much less is paid; 0 when that is not known. [money]

        More is paid only where something is bought then that the list lacks: that is no cost.
        """
        books = self.run(**changes)
        return Decimal(0) if books is None else max(Decimal(0), self.paid - books.totals.paid)

    def with_row(self, rows: str, number: int, **fields: object) -> dict[str, object]:
        """What is changed by other values in one row of some."""
        every = getattr(self.shoot, rows)
        changed = every[number].model_copy(update=fields)
        return {rows: (*every[:number], changed, *every[number + 1 :])}

    def saves_with(self, rows: str, number: int, **fields: object) -> Decimal:
        """How much less is paid with other values in one row of some. [money]"""
        return self.saves(**self.with_row(rows, number, **fields))


def why(books: Books, *, work: float = WORK) -> Why:
    """Run the plan once without each of its constraints.

    ``work``: for all runs. [column times branch]
    """
    trials = Trials(books, work)
    costs = [cost for cost in _costs(books, trials) if cost.cost or cost.lacks or cost.late]
    # a plan that lacks something has no cost to compare: behind those that have one
    costs.sort(key=lambda one: (one.cost is None, -(one.cost or Decimal(0))))
    near = sorted(_near_misses(books, trials), key=lambda one: -one.saves)
    budget = books.shoot.settings.budget
    over = Decimal(0) if budget is None else max(Decimal(0), books.totals.bought - budget)
    cuts = _cuts(books, trials, over) if over else ()
    return Why(
        tuple(costs), tuple(near), tuple(nothing_spare(books)), over, tuple(cuts), trials.complete
    )


def _costs(books: Books, trials: Trials) -> Iterator[Cost]:
    """What each constraint costs; those that cost nothing too."""
    yield from _of_shops(books.shoot, trials)
    yield from _of_limits(books, trials)
    yield from _of_one_shop(books, trials)
    shoot = books.shoot
    for number, shot in enumerate(shoot.shots):
        if shot.uncertain:
            saved = trials.saves_with("shots", number, fewest=None, most=None)
            place = shot.at("Most" if shot.most is not None else "Fewest")
            yield Cost(ConstraintKind.UNCERTAIN, shot.label, place, saved)
    for number, line in enumerate(shoot.lines):
        if line.candidates != 1 or line.good_enough is not None:
            saved = trials.saves_with("lines", number, candidates=Fraction(1), good_enough=None)
            yield Cost(ConstraintKind.CANDIDATES, line.ingredient, line.at("Candidates"), saved)


def _of_shops(shoot: Shoot, trials: Trials) -> Iterator[Cost]:
    """What minimum spends and visits cost."""
    free = (
        (ConstraintKind.MINIMUM, "minimum_spend", "Minimum spend"),
        (ConstraintKind.VISIT, "visit_cost", "Visit cost"),
    )
    for number, shop in enumerate(shoot.shops):
        for kind, field, heading in free:
            if getattr(shop, field):
                saved = trials.saves_with("shops", number, **{field: Decimal(0)})
                yield Cost(kind, shop.name, shop.at(heading), saved)


def _of_limits(books: Books, trials: Trials) -> Iterator[Cost]:
    """What it costs that a shop has no more of something, even where none of it is bought."""
    for number, pack in enumerate(books.shoot.packs):
        if pack.at_most is not None:
            saved = trials.saves_with("packs", number, at_most=None)
            yield Cost(ConstraintKind.LIMIT, pack.ingredient, pack.at("At most"), saved)


def _of_one_shop(books: Books, trials: Trials) -> Iterator[Cost]:
    """What going to one shop alone would cost more, for each of several that are gone to."""
    gone_to = {key(b.pack.shop): b.pack.shop for p in books.purchases for b in p.lines}
    if len(gone_to) < 2:
        return
    for name, shop in gone_to.items():
        packs = tuple(pack for pack in books.shoot.packs if key(pack.shop) == name)
        alone = trials.run(packs=packs)
        if alone is None:
            return
        lacks = tuple(p.name for p in alone.purchases if p.short > trials.short.get(p.name, ZERO))
        late = tuple(name for name in _late(alone) if name not in trials.late)
        more = None if lacks or late else alone.totals.paid - trials.paid
        yield Cost(ConstraintKind.ONE_SHOP, shop, NOWHERE, more, lacks, late)


def _late(books: Books) -> list[str]:
    """Names of what is fetched on a day that nobody planned, as no open day is in time."""
    return [
        purchase.name
        for purchase in books.purchases
        if any(out_of_plan(purchase, bought, books.shoot) for bought in purchase.lines)
    ]


def _near_misses(books: Books, trials: Trials) -> Iterator[NearMiss]:
    """Packs opened for little, with what is saved when the need takes so much less."""
    for purchase, pack, less in opened_for_little(books):
        name, shop = purchase.name, pack.shop
        # so much of it given away is the need being so much less, whatever it is needed for
        given = Pack(ingredient=name, shop=shop, amount=less, price=Decimal(0), at_most=1)
        saved = trials.saves(packs=(*books.shoot.packs, given))
        if saved > 0:
            yield NearMiss(purchase, pack, less, saved)


def opened_for_little(books: Books) -> Iterator[tuple[Purchase, Pack, Amount]]:
    """Packs of which the need takes little, with how much less would do without one."""
    for purchase in books.purchases:
        wanted = max(purchase.wanted, purchase.covered)
        for bought in purchase.lines:
            amount = bought.brings
            one = amount / bought.count
            short = wanted - (purchase.bought - one)
            if purchase.over_days:  # another trip's packs are for other days
                short = sum(bought.serves.values(), ZERO) - (amount - one)
            if bought.pack.loose_step is not None or not ZERO < short <= one * OPENED_PART:
                continue
            if bought.count == 1 and (purchase.bought == one or purchase.over_days):
                continue  # the only pack is opened for the need itself
            unit = purchase.need.unit
            yield purchase, bought.pack, Amount(short / unit.size, unit)


def nothing_spare(books: Books) -> Iterator[Purchase]:
    """What is bought to the last gram: one slip, and it is short."""
    for purchase in books.purchases:
        wanted = max(purchase.wanted, purchase.covered)
        over = purchase.bought - wanted + purchase.taken.left
        if purchase.lines and wanted and not purchase.short and over < wanted * SPARE_PART:
            yield purchase


def _cuts(books: Books, trials: Trials, over: Decimal) -> list[Cut]:
    """The single takes that could be spared: those that are enough first, the least of them."""
    cuts = []
    for number, shot in enumerate(books.shoot.shots):
        if not shot.times:
            continue
        fewer: dict[str, object] = {"times": shot.times - 1}
        if shot.fewest is not None:
            fewer["fewest"] = max(0, shot.fewest - 1)
        if shot.most is not None:
            fewer["most"] = shot.most - 1  # never below Times
        spared = trials.run(**trials.with_row("shots", number, **fewer))
        if spared and (saved := books.totals.bought - spared.totals.bought) > 0:
            cuts.append(Cut(shot, saved, saved >= over))
    cuts.sort(key=lambda cut: (not cut.enough, cut.saves if cut.enough else -cut.saves))
    return cuts[:CUTS_NAMED]
