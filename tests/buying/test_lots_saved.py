"""Lots that are saved for a later day, where that spares a batch or a pack."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import product
from operator import itemgetter
from random import Random
from typing import Any

import pytest
from buying.test_cut_ahead import FIRST, cut, days, keeping, suffice
from plans import shopping
from small import basket, books, books_of_shoot, codes, line, lot, pack, purchase, shoot_of, sound

import costing
from costing.buying.mixing import lots_saved
from costing.kitchen import Dish
from costing.shoot import Shoot, Shot

DISH_OF_CREAM = line("mousse", "cream", "4 each")


def by_episode(found: Any, name: str) -> dict[str, Fraction]:
    """What each episode takes of what is on hand."""
    one = purchase(found, name)
    served = one.demand.stock.serve(one.need.as_bought) if not one.demand.made else one.taken
    return {episode: part for episode, part in served.by_episode.items() if part}


def test_lot__of_a_dish_waits_where_that_spares_a_batch() -> None:
    """Worked by hand: a mousse makes 4 and keeps for no day; 2 are on hand for both days.

    10 May takes 4 and 14 May 2. With the 2 on 10 May a batch is made on each day, 8 eggs' worth of
    cream; kept for 14 May one batch is enough: 4 of cream, a tub of 4 for 3.00.
    """
    shoot = shoot_of(
        *days((0, 4), mousse=(4, 2)),
        DISH_OF_CREAM,
        Dish(name="mousse", makes="4 each", whole_batches=True),
        sound("cream"),
        pack("cream", "4 each", "3.00"),
        lot("mousse", "2 each", use_by="2031-05-20"),
        currency="EUR",
    )
    found = books_of_shoot(shoot)
    assert found.totals.bought == 3
    assert by_episode(found, "mousse") == {"E1": 2}
    assert not any("not proven" in code for code in codes(found.findings))
    (row,) = costing.estimate(shoot).tables()["make"].rows
    assert (row["episode"], row["batches"], row["left_over"]) == ("E0", 1, 0)


def test_lot__goes_to_the_first_day_where_nothing_is_spared() -> None:
    """Worked by hand: 6 are wanted on 10 May and 2 on 14 May: two batches either way."""
    found = books(
        *days((0, 4), mousse=(6, 2)),
        DISH_OF_CREAM,
        Dish(name="mousse", makes="4 each", whole_batches=True),
        sound("cream"),
        pack("cream", "4 each", "3.00"),
        lot("mousse", "2 each", use_by="2031-05-20"),
    )
    assert basket(found, "cream") == {"4 each": 2}
    assert by_episode(found, "mousse") == {"E0": 2}


def test_lot__of_an_article_waits_where_that_spares_a_pack() -> None:
    """Worked by hand: tubs of 4 for 3.00 keep for a day; 2 are on hand, 4 and 2 are wanted.

    With the 2 on 10 May a tub is bought for each day; kept for 14 May one tub is enough.
    """
    shoot = shoot_of(
        *days((0, 4), cream=(4, 2)),
        keeping("cream", 1),
        pack("cream", "4 each", "3.00"),
        lot("cream", "2 each", use_by="2031-05-20"),
        currency="EUR",
    )
    found = books_of_shoot(shoot)
    assert found.totals.bought == 3
    assert by_episode(found, "cream") == {"E1": 2}
    (row,) = costing.estimate(shoot).tables()["needs"].rows
    assert (row["on_hand_used"], row["net_need"], row["bought"]) == (2, 4, 4)
    assert found.totals.bought + found.totals.on_hand_used == found.totals.used + found.totals.left


def test_lot__of_an_article_waits_for_no_day_that_spares_nothing() -> None:
    """Worked by hand: 4 are wanted on both days, a tub for each with the 2 on either of them."""
    shoot = shoot_of(
        *days((0, 4), cream=(4, 4)),
        keeping("cream", 1),
        pack("cream", "4 each", "3.00"),
        lot("cream", "2 each", use_by="2031-05-20"),
    )
    article = shopping(shoot).market.terms.articles[0]
    wanted = {"E0": Fraction(4), "E1": Fraction(4)}
    assert lots_saved(article, wanted) == ()
    assert by_episode(books_of_shoot(shoot), "cream") == {"E0": 2}


def test_one_more__is_priced_with_the_lot_on_the_day_that_spares_most() -> None:
    """Worked by hand: tubs of 4 for 3.00 keep for a day, 2 are on hand, each day takes 2.

    One day has those on hand and the other a tub. With 2 more on 10 May that day has the tub, and
    what is on hand waits for 14 May: nothing is added.
    """
    found = books(
        *days((0, 4), cream=(2, 2)),
        keeping("cream", 1),
        pack("cream", "4 each", "3.00"),
        lot("cream", "2 each", use_by="2031-05-20"),
    )
    assert found.totals.bought == 3
    assert found.caution is not None
    assert [take.one_more for take in found.caution.takes] == [0, 0]


def test_one_more__of_what_is_left_of_a_batch_adds_nothing() -> None:
    """Worked by hand: of a batch of 4 for 10 May 1 is left, and a portion more takes that.

    Three more are a batch, 3.00; one more on 14 May is bought ready, 2.90.
    """
    found = books(
        *days((0, 4), mousse=(3, 0)),
        line("supper", "mousse", "1 each"),
        Shot(dish="supper", episode="E0", times=0),
        Shot(dish="supper", episode="E1", times=0),
        DISH_OF_CREAM,
        Dish(name="mousse", makes="4 each", whole_batches=True, keeps_days=1),
        keeping("cream", 1),
        pack("cream", "4 each", "3.00"),
        pack("mousse", "1 each", "2.90"),
    )
    assert found.caution is not None
    assert [str(take.one_more) for take in found.caution.takes] == ["3.00", "0.00", "2.90"]


def test_lot__waits_where_what_is_bought_for_later_spoils() -> None:
    """Worked by hand: bought on 9 May half of it spoils each day; 2 are on hand for both days.

    With the 2 on 10 May, 2 of 14 May are 2 x 2^5 = 64; kept for 14 May, 2 of 10 May are 2 x 2 = 4.
    """
    found = books(
        *days((0, 4), herb=(2, 2)),
        sound("herb", spoilage="50%"),
        pack("herb", "4 each", "1.00"),
        lot("herb", "2 each", use_by="2031-05-20"),
        shopping_date="2031-05-09",
    )
    assert basket(found, "herb") == {"4 each": 1}
    assert by_episode(found, "herb") == {"E1": 2}


@pytest.mark.parametrize(
    ("size", "on_sale", "day"), [("100 each", None, "E0"), ("4 each", 1, "E1")]
)
def test_lot__of_what_spoils_waits_only_where_that_is_of_use(
    size: str, on_sale: int | None, day: str
) -> None:
    """As before: 64 pieces are a pack of 100, as 4 are, so that the 2 on hand serve 10 May.

    Where the shop has one pack of 4 they are kept for 14 May, and nothing is short.
    """
    found = books(
        *days((0, 4), herb=(2, 2)),
        sound("herb", spoilage="50%"),
        pack("herb", size, "1.00", at_most=on_sale),
        lot("herb", "2 each", use_by="2031-05-20"),
        shopping_date="2031-05-09",
    )
    assert basket(found, "herb") == {size: 1}
    assert by_episode(found, "herb") == {day: 2}
    assert not purchase(found, "herb").short


def lots_used(found: Any, name: str) -> list[dict[str, Fraction]]:
    """For each lot, the earliest Use by first, what is kept of it until which episode."""
    return [dict(one) for one in purchase(found, name).demand.stock.saved]


def test_lots__of_an_article_that_wait_are_used_earliest_first() -> None:
    """Worked by hand: half of what is bought on 9 May spoils each day; two lots of 2 are on hand.

    10 May wants 4 and 14 May 2: what is kept for 14 May spares 64 pieces, the other 2 serve 10 May,
    2 x 2 = 4 are bought. The lot of 20 May is used on the 10th, that of 25 May waits.
    """
    found = books(
        *days((0, 4), herb=(4, 2)),
        sound("herb", spoilage="50%"),
        pack("herb", "4 each", "1.00"),
        lot("herb", "2 each", use_by="2031-05-25"),
        lot("herb", "2 each", use_by="2031-05-20"),
        shopping_date="2031-05-09",
    )
    assert basket(found, "herb") == {"4 each": 1}
    assert lots_used(found, "herb") == [{"E0": 2}, {"E1": 2}]


@pytest.mark.parametrize("first", [1, 2, 3])
def test_lots__of_a_dish_that_wait_are_used_earliest_first(first: int) -> None:
    """Worked by hand: a mousse makes 4 and keeps for no day; two lots, together 4, are on hand.

    10 May wants 6 and 14 May 2. With all 4 on 10 May a batch is made on each day; with 2 kept for
    14 May one batch does. Of the first lot 10 May has what it can, 14 May the rest.
    """
    found = books(
        *days((0, 4), mousse=(6, 2)),
        DISH_OF_CREAM,
        Dish(name="mousse", makes="4 each", whole_batches=True),
        sound("cream"),
        pack("cream", "4 each", "3.00"),
        lot("mousse", f"{4 - first} each", use_by="2031-05-25"),
        lot("mousse", f"{first} each", use_by="2031-05-20"),
    )
    assert basket(found, "cream") == {"4 each": 1}
    assert by_episode(found, "mousse") == {"E0": 2, "E1": 2}
    on_first = [one.get("E0", Fraction(0)) for one in lots_used(found, "mousse")]
    assert on_first == [min(first, 2), 2 - min(first, 2)]


class Case:
    """Three days: an article, or a dish of it, a lot on hand, and every way to use them."""

    KINDS = (
        *("article", "kept for long", "bought for days", "as it comes"),
        *("sold ready", "sold ready for days"),
    )

    def __init__(self, seed: int) -> None:
        random = Random(seed)  # noqa: S311 - nothing secret depends on it
        self.kind = self.KINDS[seed % len(self.KINDS)]
        self.offsets = (0, random.choice([1, 2, 3]), random.choice([4, 5, 6]))
        self.need = [random.randint(0, 5) for _ in range(3)]
        self.lot, self.lot_ends = random.choice([1, 2, 3]), random.choice([0, 1, 2, 2, 2])
        self.dish_keeps, keeps = random.choice([0, 0, 1, 3]), random.choice([1, 1, 2, 3])
        self.keeps = 300 if self.kind == "kept for long" else keeps
        self.size, self.price = random.choice([2, 3, 4]), random.choice([2, 3])
        self.batch = random.choice([2, 3, 4])
        direct = [random.choice([0, 0, 1, 2]) for _ in range(3)]
        takes_both = self.kind not in ("article", "kept for long")
        self.direct = direct if takes_both else [0, 0, 0]
        self.ready = random.choice([1, 2, 3]), Fraction(random.choice([1, 2, 3, 4]), 2)
        self.need[2] += not any(self.need)
        self.ready_keeps = random.choice([1, 1, 2, 3]) if self.kind == self.KINDS[-1] else 300
        self._paid: dict[Sequence[int], int] = {}

    @property
    def is_sold_ready(self) -> bool:
        """Whether the dish is sold too."""
        return self.kind.startswith("sold ready")

    def shoot(self) -> Shoot:
        """As the workbook has it."""
        until = FIRST + timedelta(days=self.offsets[self.lot_ends])
        held = "cream" if self.kind == "article" else "mousse"
        rows = [
            pack("cream", f"{self.size} each", str(self.price)),
            keeping("cream", self.keeps),
            lot(held, f"{self.lot} each", use_by=until.isoformat()),
        ]
        if self.kind == "article":
            return shoot_of(*days(self.offsets, cream=self.need), *rows, currency="EUR")
        if self.is_sold_ready:
            rows.append(pack("mousse", f"{self.ready[0]} each", str(Decimal(float(self.ready[1])))))
            rows.append(keeping("mousse", self.ready_keeps))
        whole, amount = self.kind != "as it comes", f"{self.batch} each"
        made = Dish(name="mousse", makes=amount, whole_batches=whole, keeps_days=self.dish_keeps)
        uses = days(self.offsets, mousse=self.need, cream=self.direct)
        return shoot_of(*uses, *rows, made, line("mousse", "cream", amount), currency="EUR")

    def last(self, day: int, life: int) -> int:
        """The last day that something serves which keeps from a day on."""
        starts = self.offsets[day]
        return max(n for n, at in enumerate(self.offsets) if at == starts or at <= starts + life)

    def paid(self, wanted: Sequence[int]) -> int:
        """The cheapest packs, each fetched on the eve of the day it is opened on."""
        if wanted not in self._paid:
            most = range(-(-sum(wanted) // self.size) + 1)
            self._paid[wanted] = next(
                sum(counts) * self.price
                for counts in sorted(product(most, repeat=3), key=sum)
                if suffice(
                    wanted,
                    [
                        (n * self.size, day, self.last(day, self.keeps - 1))
                        for day, n in enumerate(counts)
                    ],
                )
            )
        return self._paid[wanted]

    def cheapest(self) -> Fraction:
        """Over every use of the lot, every batch on each day and every pack opened on each day."""
        found = []
        for used in product(range(self.lot + 1), repeat=3):
            net = tuple(max(0, n - u) for n, u in zip(self.need, used, strict=True))
            if sum(used) <= self.lot and not any(used[self.lot_ends + 1 :]):
                found.append(self._cheapest_of(net))
        return min(found)

    def _cheapest_of(self, net: tuple[int, ...]) -> Fraction:
        if self.kind == "article":
            return Fraction(self.paid(net))
        size, price = self.ready if self.is_sold_ready else (1, Fraction(0))
        most = range(-(-sum(net) // size) + 1 if self.is_sold_ready else 1)
        step = 1 if self.kind == "as it comes" else self.batch
        runs = [range(-(-sum(net[day:]) // step) + 1) for day in range(3)]
        makings = []
        for made in product(*runs):
            its = [(n * step, d, self.last(d, self.dish_keeps)) for d, n in enumerate(made)]
            taken = tuple(n * step + d for n, d in zip(made, self.direct, strict=True))
            makings.append((self.paid(taken), its))
        makings.sort(key=itemgetter(0))
        lasts = [self.last(day, self.ready_keeps - 1) for day in range(3)]
        best = Fraction(10**6)
        for ready in product(most, repeat=3):
            bought = [(n * size, day, lasts[day]) for day, n in enumerate(ready)]
            left = best - sum(ready) * price
            for paid, its in makings:
                if paid >= left:
                    break
                if suffice(net, [*its, *bought]):
                    best += paid - left
                    break
        return best


@pytest.mark.parametrize("seed", range(36))
def test_every_use_of_a_lot__none_is_cheaper(seed: int) -> None:
    """Law: against every use of the lot, every number of batches and of packs on each day."""
    case = Case(seed)
    found = books_of_shoot(case.shoot())
    assert Fraction(str(found.totals.bought)) == case.cheapest()
    assert not any("not proven" in code for code in codes(found.findings))
    assert found.totals.bought + found.totals.on_hand_used == found.totals.used + found.totals.left


def test_more_is_made_on_a_day_than_the_plain_order_takes() -> None:
    """4, 5 and 5 portions in batches of 3 that keep for a day, 2 on hand: two batches at first.

    Worked by hand: the 2 kept for 16 May leave a batch for it. 9 portions of 10 and 11 May are
    three batches, two or all of them on the 10th. A piece of cream is wanted besides on 10 and
    16 May: 7, 3 and 4 pieces, or 10, none and 4, are six tubs of 3 at 2.00.
    """
    found = books(
        *days((0, 1, 6), mousse=(4, 5, 5), cream=(1, 0, 1)),
        line("mousse", "cream", "3 each"),
        Dish(name="mousse", makes="3 each", whole_batches=True, keeps_days=1),
        keeping("cream", 1),
        pack("cream", "3 each", "2.00"),
        lot("mousse", "2 each", use_by="2031-05-20"),
    )
    assert found.totals.bought == 12
    made = cut(found, "mousse")
    assert made["E0"] >= 2
    assert sum(made.values()) == 4
    assert made["E2"] == 1
