"""One ingredient over several days: trips, lives after buying and opening, thawing, ordering."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from itertools import product
from random import Random

import pytest

from costing.buying.basket import Offer
from costing.buying.over_days import (
    Fetched,
    Lasting,
    Life,
    cheapest_over_days,
    open_days,
    serves,
)
from costing.shoot.trips import Trip

ZERO = Fraction(0)


def may(day: int) -> date:
    """A day of May."""
    return date(2031, 5, day)


def pack(amount: int, price: str, shop: str = "", **more: object) -> Offer:
    """A sealed pack."""
    return Offer(Fraction(amount), Fraction(price), shop=shop, **more)  # type: ignore[arg-type]


def bought(
    needs: Mapping[int, int],
    offers: Sequence[Lasting],
    days: Mapping[str, Sequence[int]],
    visits: Mapping[str, Fraction] | None = None,
) -> tuple[Fraction | int, list[tuple[int, int, int, int]]] | None:
    """The cost, and for each pack its offer, day of its trip, day of opening and number."""
    found = cheapest_over_days(
        {may(day): Fraction(amount) for day, amount in needs.items()},
        offers,
        {shop: [may(day) for day in on] for shop, on in days.items()},
        visits=visits,
    )
    if found is None:
        return None
    packs = [(f.number, f.trip.day, f.opening.day, f.count) for f in found[0]]
    return found[1], sorted(packs)


def test_cod__for_two_days_a_fortnight_apart() -> None:
    """Worked by hand: 300 g each on the 10th and the 24th, trips the day before each.

    Cod that keeps two days is two packs of 300 g at 6.00; one of 600 g at 10.00 would be past its
    life. Were its life not known, the one pack would do, from the first trip.
    """
    days = {"": [9, 23]}
    sizes = (pack(300, "6"), pack(600, "10"))
    fresh = [Lasting(size, Life(sealed=2, opened=1)) for size in sizes]
    assert bought({10: 300, 24: 300}, fresh, days) == (12, [(0, 9, 10, 1), (0, 23, 24, 1)])
    unknown = [Lasting(size) for size in sizes]
    assert bought({10: 300, 24: 300}, unknown, days) == (10, [(1, 9, 10, 1)])


def test_stock__opened_life_of_three_days() -> None:
    """Worked by hand: 400 ml on two days. A litre at 3.00 opened on the 10th serves the 11th too.

    On the 20th it is past the three days: a second litre, from the same trip while it is sealed.
    """
    litre = [Lasting(pack(1000, "3"), Life(sealed=365, opened=3))]
    assert bought({10: 400, 11: 400}, litre, {"": [9, 10]}) == (3, [(0, 10, 10, 1)])
    assert bought({10: 400, 20: 400}, litre, {"": [9, 19]}) == (
        6,
        [(0, 9, 10, 1), (0, 9, 20, 1)],
    )


def test_bird__frozen_needs_four_days_to_thaw() -> None:
    """Worked by hand: for the 10th frozen at 40.00 is fetched by the 6th, else fresh at 55.00."""
    birds = [Lasting(pack(1, "40"), thaw_days=4), Lasting(pack(1, "55"), Life(sealed=2))]
    assert bought({10: 1}, birds, {"": [5, 9]}) == (40, [(0, 5, 10, 1)])
    assert bought({10: 1}, birds, {"": [7, 9]}) == (55, [(1, 9, 10, 1)])
    assert bought({10: 1}, birds, {"": [5, 6, 9]}) == (40, [(0, 6, 10, 1)])


def test_herb__of_two_shops_open_on_different_days() -> None:
    """Worked by hand: the market of the 3rd is cheaper, and its herb lasts to the 10th or not."""
    days = {"market": [3], "grocer": [9]}
    for sealed, result in ((2, (2, [(1, 9, 10, 1)])), (7, (1, [(0, 3, 10, 1)]))):
        herbs = [
            Lasting(pack(50, "1", "market"), Life(sealed)),
            Lasting(pack(50, "2", "grocer"), Life(sealed)),
        ]
        assert bought({10: 30}, herbs, days) == result


def test_delivery__is_ordered_before_it_comes() -> None:
    """Three days before the 9th."""
    assert Lasting(pack(1, "1"), order_days=3).order_by(may(9)) == may(6)


def test_loose_goods__are_open_as_they_are_bought() -> None:
    """Worked by hand: cheese cut on the 9th lives three days, so the 13th has its own trip."""
    cheese = [Lasting(pack(100, "1", sealed=False), Life(sealed=30, opened=3))]
    assert bought({10: 200, 13: 100}, cheese, {"": [9, 12]}) == (
        3,
        [(0, 9, 9, 2), (0, 12, 12, 1)],
    )
    assert bought({10: 200, 13: 100}, cheese, {"": [9]}) is None


def test_visits__pool_what_keeps() -> None:
    """Worked by hand: 2 x 1.00 and one visit of 4.00 are 6.00; a visit for each day 10.00."""
    flour = [Lasting(pack(500, "1", "mill"), Life(opened=0))]
    days, visit = {"mill": [9, 23]}, {"mill": Fraction(4)}
    assert bought({10: 400, 24: 400}, flour, days, visit) == (6, [(0, 9, 10, 1), (0, 9, 24, 1)])


def test_open_days__own_trips_then_shopping_dates_then_the_day_before() -> None:
    trips = [Trip(shop="Market", day=may(8)), Trip(shop=" market ", day=may(3))]
    shoots = [may(10), may(24)]
    assert open_days("market", trips, [may(7)], shoots) == (may(3), may(8))
    assert open_days("grocer", trips, [may(7)], shoots) == (may(7),)
    assert open_days("", trips, [], shoots) == (may(9), may(23))


def any_case(
    seed: int,
) -> tuple[dict[date, Fraction], list[Lasting], dict[str, list[date]], dict[str, Fraction]]:
    """Two or three days, two offers, one or two trips for each of two shops."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    days = random.sample(range(10, 20), random.randint(2, 3))
    needs = {may(day): Fraction(random.choice([100, 150, 300])) for day in days}
    offers = [
        Lasting(
            pack(
                random.choice([100, 200, 500]),
                str(random.randint(1, 9)),
                shop,
                at_most=random.choice([None, None, 2]),
                sealed=random.random() < 0.8,
            ),
            Life(random.choice([None, 3, 8]), random.choice([None, 0, 2, 5])),
            thaw_days=random.choice([0, 0, 2]),
        )
        for shop in ("market", "grocer")
    ]
    shops = {
        shop: [may(day) for day in sorted(random.sample(range(6, 16), random.randint(1, 2)))]
        for shop in ("market", "grocer")
    }
    visits = {shop: Fraction(random.choice([0, 0, 2])) for shop in shops}
    return needs, offers, shops, visits


def least_cost(
    needs: Mapping[date, Fraction],
    offers: Sequence[Lasting],
    shops: Mapping[str, Sequence[date]],
    visits: Mapping[str, Fraction],
) -> Fraction | None:
    """By trying every number of packs on every trip, opened on every day."""
    ways = [
        (number, trip, opening)
        for number, one in enumerate(offers)
        for trip in shops[one.offer.shop]
        for opening in (
            sorted(needs) if one.offer.sealed else [trip + timedelta(days=one.thaw_days)]
        )
        if any(one.serves(trip, opening, day) for day in needs)
    ]
    costs: list[Fraction] = []
    for counts in product(range(4), repeat=len(ways)):
        found = [Fetched(*way, n) for way, n in zip(ways, counts, strict=True) if n]
        of_each = [sum(f.count for f in found if f.number == n) for n in range(len(offers))]
        limits = zip(of_each, offers, strict=True)
        if any(one.offer.at_most is not None and n > one.offer.at_most for n, one in limits):
            continue
        went = {(offers[f.number].offer.shop, f.trip) for f in found}
        cost = sum((offers[f.number].offer.cost * f.count for f in found), ZERO)
        cost += sum((visits[shop] for shop, _ in went), ZERO)
        if (not costs or cost < min(costs)) and serves(needs, offers, found):
            costs.append(cost)
    return min(costs, default=None)


@pytest.mark.parametrize("seed", range(40))
def test_every_assignment__none_is_cheaper(seed: int) -> None:
    """Against every trip, opening and number of packs up to three of each, few ways at a time."""
    needs, offers, shops, visits = any_case(seed)
    found = cheapest_over_days(needs, offers, shops, visits=visits)
    ways = sum(
        len(shops[one.offer.shop]) * (len(needs) if one.offer.sealed else 1) for one in offers
    )
    if ways > 6:
        shops = {shop: on[:1] for shop, on in shops.items()}
        found = cheapest_over_days(needs, offers, shops, visits=visits)
    least = least_cost(needs, offers, shops, visits)
    assert (None if found is None else found[1]) == least
    if found is not None:
        assert serves(needs, offers, found[0])


@pytest.mark.parametrize("seed", range(40))
def test_laws__more_trips_longer_lives_and_one_date_for_two(seed: int) -> None:
    """Law: without visit costs more trips never cost more, nor does a longer life, nor one date
    where there were two.
    """
    needs, offers, shops, _ = any_case(seed)
    found = cheapest_over_days(needs, offers, shops)
    if found is None:
        return
    more = {shop: [*on, may(5), may(9)] for shop, on in shops.items()}
    longer = [
        Lasting(
            one.offer,
            Life(*(None if n is None else n + 2 for n in (one.life.sealed, one.life.opened))),
            one.thaw_days,
        )
        for one in offers
    ]
    for others in (
        cheapest_over_days(needs, offers, more),
        cheapest_over_days(needs, longer, shops),
    ):
        assert others is not None
        assert others[1] <= found[1]
    first, second, *_ = sorted(needs)
    together = {day: amount for day, amount in needs.items() if day not in (first, second)}
    pooled = cheapest_over_days(together | {first: needs[first] + needs[second]}, offers, shops)
    if all(trip <= first for on in shops.values() for trip in on):
        # what serves the second day serves it while it thaws before the first
        assert pooled is None or pooled[1] <= found[1] or any(one.thaw_days for one in offers)
