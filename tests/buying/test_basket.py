"""The cheapest mixture of packs against brute force, a second solver and worked examples."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import combinations_with_replacement, product

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from costing.buying import basket
from costing.buying.basket import Mixtures, Offer, cheapest_mixtures

Vector = tuple[Fraction, Fraction, int]


def judged(need: Fraction, offers: list[Offer], counts: tuple[int, ...]) -> Vector:
    """Cost, left over and packs of one purchase."""
    amount = sum((o.amount * n for o, n in zip(offers, counts, strict=True)), Fraction(0))
    cost = sum((o.cost * n for o, n in zip(offers, counts, strict=True)), Fraction(0))
    return cost, amount - need, sum(counts)


def brute_force(need: Fraction, offers: list[Offer]) -> Vector | None:
    """The best of every mixture there is; ``None`` when none covers the need."""
    ranges = []
    for offer in offers:
        most = math.ceil(need / offer.amount)
        ranges.append(range((most if offer.at_most is None else min(most, offer.at_most)) + 1))
    vectors = (judged(need, offers, counts) for counts in product(*ranges))
    return min((v for v in vectors if v[1] >= 0), default=None)


def found(need: Fraction, offers: list[Offer], mixtures: Mixtures) -> set[Vector]:
    """Cost, left over and packs of each mixture given."""
    result = set()
    for counts in mixtures.counts:
        cost, amount = Fraction(0), Fraction(0)
        for kind, count in zip(mixtures.kinds, counts, strict=True):
            offer = offers[kind.offers[0]]
            cost += offer.cost * count
            amount += offer.amount * count
        result.add((cost, amount - need, sum(counts)))
    return result


prices = st.builds(Fraction, st.integers(0, 600), st.sampled_from([1, 50, 100, 300]))
amounts = st.builds(Fraction, st.integers(1, 40), st.sampled_from([1, 2, 3]))
offers_of_a_shop = st.lists(
    st.builds(
        Offer,
        amount=amounts,
        price=prices,
        at_most=st.one_of(st.none(), st.integers(0, 4)),
        shop=st.sampled_from(["", "a", "b"]),
    ),
    min_size=1,
    max_size=4,
)


@given(
    need=st.builds(Fraction, st.integers(0, 60), st.sampled_from([1, 3])), offers=offers_of_a_shop
)
def test_cheapest_mixtures__no_mixture_is_better(need: Fraction, offers: list[Offer]) -> None:
    """Law: the result equals the best of every mixture there is."""
    mixtures = cheapest_mixtures(need, offers)
    best = brute_force(need, offers)
    if best is None:
        assert not mixtures.covered
        everything = tuple(offer.at_most or 0 for offer in offers)
        cost, left, packs = judged(need, offers, everything)
        assert found(need, offers, mixtures) == {(cost, left, packs)}
    else:
        assert mixtures.covered
        assert found(need, offers, mixtures) == {best}


def second_solver(need: float, offers: list[Offer]) -> float:
    """Least cost by HiGHS, in floating point."""
    result = milp(
        c=np.array([float(offer.cost) for offer in offers]),
        constraints=LinearConstraint(
            np.array([[float(offer.amount) for offer in offers]]), lb=need, ub=np.inf
        ),
        integrality=np.ones(len(offers), dtype=int),
        bounds=Bounds(0, np.array([np.inf if o.at_most is None else o.at_most for o in offers])),
        options={"mip_rel_gap": 0.0},
    )
    assert result.success
    return float(result.fun)


@pytest.mark.parametrize("seed", range(30))
def test_cheapest_mixtures__second_solver_finds_the_same_cost(seed: int) -> None:
    """Law: on needs too large for brute force a mixed-integer solver reaches the same cost."""
    random = np.random.default_rng(seed)
    count = int(random.integers(3, 9))
    offers = [
        Offer(
            Fraction(int(random.integers(20, 2500))),
            Fraction(int(random.integers(30, 2500)), 100),
            None if random.random() < 0.7 else int(random.integers(1, 12)),
        )
        for _ in range(count)
    ]
    offers.append(Offer(Fraction(50), Fraction(int(random.integers(5, 90)), 100)))
    need = Fraction(int(random.integers(3000, 60000)))
    mixtures = cheapest_mixtures(need, offers)
    assert mixtures.gap == 0
    ((cost, left, _packs),) = found(need, offers, mixtures)
    assert left >= 0
    assert float(cost) == pytest.approx(second_solver(float(need), offers), abs=1e-6)


def test_cheapest_mixtures__36_pieces_in_packs_of_6_is_6_packs() -> None:
    """36 / 6 = 6 exactly, not 7."""
    mixtures = cheapest_mixtures(Fraction(36), [Offer(Fraction(6), Fraction(199, 100))])
    assert mixtures.counts == ((6,),)


def test_cheapest_mixtures__two_thirds_three_times_is_two_whole() -> None:
    """3 x 2/3 = 2, so two packs of 1; in floating point 3 x 0.667 would take a third."""
    mixtures = cheapest_mixtures(3 * Fraction(2, 3), [Offer(Fraction(1), Fraction(1))])
    assert mixtures.counts == ((2,),)


def test_cheapest_mixtures__a_larger_pack_may_be_dearer_for_its_weight() -> None:
    """700 g: 500 + 250 at 2.00 + 1.10 = 3.10 beats two of 500 at 4.00 and one of 1000 at 4.50."""
    offers = [
        Offer(Fraction(1000), Fraction("4.50")),
        Offer(Fraction(500), Fraction("2.00")),
        Offer(Fraction(250), Fraction("1.10")),
    ]
    mixtures = cheapest_mixtures(Fraction(700), offers)
    assert found(Fraction(700), offers, mixtures) == {(Fraction("3.10"), Fraction(50), 2)}


def test_cheapest_mixtures__as_cheap_leaves_least_over_then_takes_fewest() -> None:
    """900 g: 1000 at 2.00 or 4 x 250 at 0.50 both cost 2.00 and leave 100 g; one pack wins."""
    offers = [Offer(Fraction(250), Fraction("0.50")), Offer(Fraction(1000), Fraction("2.00"))]
    mixtures = cheapest_mixtures(Fraction(900), offers)
    assert found(Fraction(900), offers, mixtures) == {(Fraction(2), Fraction(100), 1)}


def test_cheapest_mixtures__search_that_is_ended_states_its_gap(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """After one branch the first mixture found stands, and what it may cost too much is told."""
    offers = [Offer(Fraction(7), Fraction(7)), Offer(Fraction(5), Fraction("5.01"))]
    full = cheapest_mixtures(Fraction(12), offers)
    monkeypatch.setattr(basket, "TABLE", 0)
    ended = cheapest_mixtures(Fraction(12), offers, nodes=0)
    assert found(Fraction(12), offers, full) == {(Fraction("12.01"), Fraction(0), 2)}
    ((cost, _, _),) = found(Fraction(12), offers, ended)
    assert cost == 14
    assert full.gap == 0
    assert ended.gap >= cost - Fraction("12.01")


@given(
    need=st.integers(1, 200),
    rise=st.integers(0, 300),
    which=st.integers(0, 3),
    offers=offers_of_a_shop,
)
def test_cheapest_mixtures__dearer_pack_never_lowers_the_cost(
    need: int, rise: int, which: int, offers: list[Offer]
) -> None:
    """Law: raising one price never lowers the least cost."""
    number = which % len(offers)
    dearer = list(offers)
    old = offers[number]
    dearer[number] = Offer(old.amount, old.cost + Fraction(rise, 100), old.at_most, old.shop)
    before = cheapest_mixtures(Fraction(need), offers)
    after = cheapest_mixtures(Fraction(need), dearer)
    if before.covered:
        least = min(v[0] for v in found(Fraction(need), offers, before))
        assert least <= min(v[0] for v in found(Fraction(need), dearer, after))


@pytest.mark.parametrize(
    "offer",
    [Offer(Fraction(0), Fraction(1)), Offer(Fraction(1), Fraction(-1))],
    ids=["brings nothing", "price below zero"],
)
def test_cheapest_mixtures__refuses_impossible_offers(offer: Offer) -> None:
    with pytest.raises(ValueError, match="an offer brings more than nothing"):
        cheapest_mixtures(Fraction(1), [offer])


@given(
    st.lists(st.tuples(st.integers(3, 12), st.integers(3, 14)), min_size=1, max_size=4),
    st.integers(1, 60),
)
@example([(3, 3), (4, 3)], 3)
def test_cheapest_mixtures__a_table_finds_what_the_search_finds(
    packs: list[tuple[int, int]], need: int
) -> None:
    """Law: ended at once, the search gives way to the table, and all best mixtures are the same."""
    offers = [Offer(Fraction(amount), Fraction(price)) for amount, price in packs]
    searched = cheapest_mixtures(Fraction(need), offers)
    tabled = cheapest_mixtures(Fraction(need), offers, nodes=0)
    assert tabled.gap == 0
    assert sorted(tabled.counts) == sorted(searched.counts)


def test_cheapest_mixtures__of_twenty_near_equal_packs_is_proven() -> None:
    """Sizes from 183 to 259 g at a cent and a third a gram, rounded up and down: no gap is left.

    A second search of ten million branches proves as much.
    """
    sizes = [183 + 4 * number for number in range(20)]
    prices = [Fraction(round(size * 1.0137) + number % 2, 100) for number, size in enumerate(sizes)]
    offers = [Offer(Fraction(s), p) for s, p in zip(sizes, prices, strict=True)]
    found = cheapest_mixtures(Fraction(30011), offers)
    assert found.gap == 0
    assert found.covered


@pytest.mark.parametrize("nodes", [basket.NODES, 0], ids=["search", "table"])
def test_cheapest_mixtures__of_very_many_ties_five_hundred_are_kept(nodes: int) -> None:
    """Sizes from 91 to 100 g at a cent a gram: 764 g take 8 packs, as 7 of the largest are 700 g.

    In how many ways eight steps from 0 to 9 add up to 764 - 8 x 91 = 36 is counted beside it.
    """
    offers = [Offer(Fraction(size), Fraction(size, 100)) for size in range(91, 101)]
    ways = sum(sum(steps) == 36 for steps in combinations_with_replacement(range(10), 8))
    tied = cheapest_mixtures(Fraction(764), offers, nodes=nodes)
    assert ways > 500
    assert len(set(tied.counts)) == len(tied.counts) == 500
    assert found(Fraction(764), offers, tied) == {(Fraction("7.64"), Fraction(0), 8)}


def test_mixtures__their_shops_are_those_that_one_of_them_could_go_to() -> None:
    """Two of 100 g at 1.00 are from b or a, as the sheet has them; c is dearer."""
    shops = {"b": 1, "c": 2, "a": 1, "": 1}
    offers = [Offer(Fraction(100), Fraction(price), shop=shop) for shop, price in shops.items()]
    assert cheapest_mixtures(Fraction(200), offers).shops == ["b", "a"]
