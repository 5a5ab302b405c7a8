"""Shopping over days, from trips and lives to the list: worked by hand, brute force and laws."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import chain, combinations, count, product
from random import Random
from typing import Any

import pytest
from budgets import spread
from small import books_of_shoot, line, lot, may, pack, purchase, shoot_of, sound

from costing.buying import mixing
from costing.buying.articles import Question, Terms
from costing.buying.books import Books, books_of
from costing.buying.mixing import cheapest_over_days
from costing.buying.need import Needs
from costing.buying.out_of_plan import out_of_plan
from costing.buying.programme import Programme
from costing.buying.shopping import Shopping
from costing.buying.takes_left import Outlook
from costing.kitchen import Dish, Ingredient, Pack, Shop
from costing.quantities import amount
from costing.report.shopping_rows import to_buy
from costing.shoot import Episode, Shoot, Shot, Trip
from costing.shoot.defaults import completed
from costing.shoot.episodes import DayEvent, Logged

ZERO = Fraction(0)
SIZES = {997: "3.11", 701: "2.23", 433: "1.41"}
"""Prices of packs by their grams, which share no step."""


def over_days(
    amounts: Mapping[int, str],
    *rows: Any,
    trips: Mapping[str, Sequence[int]] | None = None,
    dates: Sequence[int] = (),
    most: Mapping[int, int] | None = None,
    life: tuple[int | None, int | None] = (None, None),
    **settings: Any,
) -> Shoot:
    """One good that is needed in amounts on days of May.

    Parameters
    ----------
    amounts : mapping of int to str
        By day.
    rows : Any
        Packs of the good, shops, lots.
    trips : mapping, optional
        By shop the days of its rows on Trips.
    dates : sequence of int
        The shopping dates.
    most : mapping of int to int, optional
        Of an uncertain day the most times.
    life : tuple of int or None
        How long the good keeps sealed, and opened.
    """
    sealed, opened = life
    keeps = {
        "published_keeps": None if sealed is None else Fraction(sealed),
        "published_keeps_opened": None if opened is None else Fraction(opened),
    }
    parts: list[Any] = [sound("good", **keeps), *rows]
    for day, text in amounts.items():
        parts += [
            line(f"dish {day}", "good", text),
            Episode(name=f"E{day}", shoot_date=may(day)),
            Shot(dish=f"dish {day}", episode=f"E{day}", most=(most or {}).get(day)),
        ]
    if dates:
        settings["shopping_date"] = may(min(dates))
        settings["more_shopping_dates"] = tuple(map(may, sorted(dates)[1:]))
    shoot = shoot_of(*parts, **settings)
    rows_of_trips = [Trip(shop=s, day=may(day)) for s, on in (trips or {}).items() for day in on]
    return shoot.changed(trips=tuple(rows_of_trips))


def listed(books: Books) -> list[tuple[int, int, str]]:
    """For each row the day of its trip, how many packs, and what is in one."""
    lines = [bought for one in books.purchases for bought in one.lines]
    return [(b.trip.day if b.trip else 0, b.count, str(b.pack.unit_amount)) for b in lines]


def test_cod__for_two_days_a_fortnight_apart() -> None:
    """Worked by hand: 300 g each on the 10th and the 24th, trips the day before each.

    Cod that keeps two days is two packs of 300 g at 6.00; one of 600 g at 10.00 would be past its
    life. Were its life not known, the one pack would do, from the first trip.
    """
    sizes = (pack("good", "300 g", "6"), pack("good", "600 g", "10"))
    fresh = books_of_shoot(over_days({10: "300 g", 24: "300 g"}, *sizes, life=(2, 1)))
    assert listed(fresh) == [(9, 1, "300 g"), (23, 1, "300 g")]
    assert fresh.totals.bought == Decimal("12.00")
    unknown = books_of_shoot(over_days({10: "300 g", 24: "300 g"}, *sizes))
    assert listed(unknown) == [(9, 1, "600 g")]
    assert unknown.totals.bought == Decimal("10.00")


@pytest.mark.parametrize(
    ("packs", "price"),
    [
        ([pack("good", "300 g", "6")], ["6.00", "6.00"]),
        ([pack("good", "300 g", "6", at_most=2)], [None, None]),
        ([pack("good", "300 g", "6", at_most=2), pack("good", "300 g", None)], [None, None]),
        ([pack("good", "700 g", "6")], ["0.00", "0.00"]),
        ([pack("good", "700 g", None)], ["0.00", "0.00"]),
        ([pack("good", "500 g", None)], [None, None]),
    ],
    ids=[
        "another pack",
        "no more packs",
        "only an unpriced pack is left",
        "the same pack",
        "the same without a price",
        "a second without a price",
    ],
)
def test_one_more__of_what_keeps_two_days_is_what_its_own_day_adds(
    packs: list[Any], price: list[str | None]
) -> None:
    """Worked by hand: 300 g each on the 10th and the 24th; one more of either is 600 g that day."""
    found = books_of_shoot(
        over_days({10: "300 g", 24: "300 g"}, *packs, life=(2, 1), currency="EUR")
    )
    assert found.caution is not None
    added = [take.one_more for take in found.caution.takes]
    assert [None if one is None else str(one) for one in added] == price


@pytest.mark.parametrize("at_most", [0, 1, 2, 3])
def test_packs_without_a_price__fill_what_the_priced_are_too_few_for(at_most: int) -> None:
    """Worked by hand: 500 g each on two days a fortnight apart, two packs of 250 g for each.

    One limit for both trips: so many of the four are priced, the others are without a price.
    """
    sizes = (pack("good", "250 g", None), pack("good", "250 g", "2", at_most=at_most))
    found = books_of_shoot(over_days({10: "500 g", 24: "500 g"}, *sizes, life=(2, 1)))
    counts = {True: 0, False: 0}
    for bought in purchase(found, "good").lines:
        counts[bought.pack.price is None] += bought.count
    assert counts == {False: at_most, True: 4 - at_most}
    assert found.totals.bought == 2 * at_most
    assert found.totals.bought_missing


@pytest.mark.parametrize(
    ("second", "packs", "openings"),
    [(11, 1, [(10, 1)]), (20, 2, [(10, 1), (20, 1)])],
    ids=["the day after", "ten days on"],
)
def test_stock__opened_life_of_three_days(
    second: int, packs: int, openings: list[tuple[int, int]]
) -> None:
    """Worked by hand: 400 ml on two days. A litre opened on the 10th serves the 11th too.

    On the 20th it is past the three days: a second litre, from the same trip while it is sealed.
    """
    litre = pack("good", "1 l", "3")
    amounts = {10: "400 ml", second: "400 ml"}
    found = books_of_shoot(over_days(amounts, litre, life=(365, 3), dates=[9]))
    assert listed(found) == [(9, packs, "1 l")]
    (bought,) = purchase(found, "good").lines
    assert [(day.day, count) for day, count in bought.openings if day] == openings


def test_bird__frozen_needs_four_days_to_thaw() -> None:
    """Worked by hand: for the 10th frozen at 40.00 is fetched by the 6th, else fresh at 55.00."""
    birds = (
        pack("good", "1 each", "40", state="frozen", thaw_days=4),
        pack("good", "1 each", "55", state="fresh"),
    )
    for dates, trip, paid in (([5, 9], 5, 40), ([7, 9], 9, 55), ([5, 6, 9], 6, 40)):
        found = books_of_shoot(over_days({10: "1 each"}, *birds, life=(2, None), dates=dates))
        assert listed(found) == [(trip, 1, "1 each")]
        assert found.totals.bought == paid


def test_herb__of_two_shops_open_on_different_days() -> None:
    """Worked by hand: the market of the 3rd is cheaper, and its herb lasts to the 10th or not."""
    herbs = (
        pack("good", "50 g", "1", shop="market"),
        pack("good", "50 g", "2", shop="grocer"),
    )
    trips = {"market": [3], "grocer": [9]}
    for sealed, row, paid in ((2, (9, 1, "50 g"), 2), (7, (3, 1, "50 g"), 1)):
        found = books_of_shoot(over_days({10: "30 g"}, *herbs, life=(sealed, None), trips=trips))
        assert listed(found) == [row]
        assert found.totals.bought == paid


def test_visits__pool_what_keeps() -> None:
    """Worked by hand: two packs at 1.00 and one visit of 4.00 are 6.00; a visit each is 10.00.

    Without the cost of a visit each is bought for its day: the opened life of no day binds.
    """
    flour = pack("good", "500 g", "1", shop="mill")
    amounts = {10: "400 g", 24: "400 g"}
    free = books_of_shoot(over_days(amounts, flour, life=(None, 0)))
    assert listed(free) == [(9, 1, "500 g"), (23, 1, "500 g")]
    mill = Shop(name="mill", visit_cost=Decimal(4))
    pooled = books_of_shoot(over_days(amounts, flour, mill, life=(None, 0)))
    assert listed(pooled) == [(9, 2, "500 g")]
    assert (pooled.totals.bought, pooled.totals.visits) == (Decimal(2), Decimal(4))


def test_minimum__holds_for_each_receipt() -> None:
    """Worked by hand: a minimum of 8.00 is not reached by 5.00 on each of two days, but by 10.00.

    What keeps two days cannot be bought at once: it comes from the stall, at 9.00 each.
    """
    packs = (
        pack("good", "300 g", "5", shop="hall"),
        pack("good", "300 g", "9", shop="stall"),
    )
    hall = Shop(name="hall", minimum_spend=Decimal(8))
    amounts = {10: "300 g", 24: "300 g"}
    short = books_of_shoot(over_days(amounts, *packs, hall, life=(2, 2)))
    assert [b.pack.shop for b in purchase(short, "good").lines] == ["stall", "stall"]
    long = books_of_shoot(over_days(amounts, *packs, hall, life=(90, 90)))
    assert listed(long) == [(9, 2, "300 g")]
    assert long.totals.bought == 10


def test_limit__is_one_for_all_trips() -> None:
    """Worked by hand: the shop has three packs in all; of four that are needed one is missing."""
    amounts = {10: "200 g", 24: "200 g"}
    shoot = over_days(amounts, pack("good", "100 g", "1", at_most=3), life=(2, 2))
    found = purchase(books_of_shoot(shoot), "good")
    assert sum(b.count for b in found.lines) == 3
    assert found.short == 100


def test_spoilage__counts_from_the_trip_that_serves_the_day() -> None:
    """Worked by hand: half is lost each day; 100 g a day are 200 g from a trip on the eve.

    With the 9th alone those for the 12th lose three times half: 800 g.
    """
    leek = pack("good", "10 g", "1")
    shoot = over_days({10: "100 g", 12: "100 g"}, leek)
    spoils = shoot.changed(ingredients=(sound("good", spoilage=Fraction(1, 2)),))
    found = purchase(books_of_shoot(spoils), "good")
    assert [found.wanted, found.bought, found.allowance] == [400, 400, 200]
    one = spoils.changed(settings=spoils.settings.model_copy(update={"shopping_date": may(9)}))
    assert [(p := purchase(books_of_shoot(one), "good")).wanted, p.bought] == [1000, 1000]


def test_uncertain__each_day_is_covered_by_packs_of_its_own() -> None:
    """Worked by hand: up to two times on the 24th; what is left of the 10th is past its life."""
    cod = pack("good", "300 g", "6")
    amounts = {10: "300 g", 24: "300 g"}
    shoot = over_days(amounts, cod, life=(2, 1), most={24: 2}, chance_of_running_out=ZERO)
    assert listed(books_of_shoot(shoot)) == [(9, 1, "300 g"), (23, 2, "300 g")]


def stock_made_or_bought(second: int) -> Books:
    """400 ml of stock on the 10th and on another day: 5.00 of bones for a litre, or 3.00 ready."""
    parts: list[Any] = [
        line("stock", "bones", "1 kg"),
        Dish(name="stock", makes="1 l"),
        Ingredient(name="stock", published_keeps=Fraction(365), published_keeps_opened=Fraction(3)),
        sound("bones"),
        pack("bones", "1 kg", "5"),
        pack("stock", "1 l", "3"),
        line("soup", "stock", "400 ml"),
    ]
    for day in (10, second):
        parts += [
            Episode(name=f"E{day}", shoot_date=may(day)),
            Shot(dish="soup", episode=f"E{day}", purpose="hero"),
        ]
    return books_of_shoot(shoot_of(*parts, shopping_date=may(9)))


def test_ready_or_made__what_is_open_must_last_to_the_second_day() -> None:
    """Worked by hand: a litre opened on the 10th serves the 12th too, 3.00; not the 20th, so that
    two would be 6.00 and 800 g of one kilogram of bones are cheaper, 5.00.
    """
    assert stock_made_or_bought(12).totals.bought == 3
    assert stock_made_or_bought(20).totals.bought == 5


def test_notes__of_a_row_are_about_its_own_days() -> None:
    """Worked by hand: packs of 300 g on trips of their own; more is covered on the 24th alone."""
    cod = (pack("good", "300 g", "6", shop="hall"), Shop(name="hall", minimum_spend=Decimal(5)))
    amounts = {10: "300 g", 24: "300 g"}
    shoot = over_days(amounts, *cod, life=(2, 1), most={24: 2}, chance_of_running_out=ZERO)
    notes = [str(row["note"]) for row in to_buy(books_of_shoot(shoot)).rows]
    of_all = "needed and left over are of all its trips"
    assert notes == [of_all, f"300 g more for the times covered; {of_all}"]


def test_chance__is_the_best_that_the_packs_of_each_trip_allow() -> None:
    """Worked by hand: a pack of 600 g on each trip; that of the 24th covers its second time too."""
    cod = pack("good", "600 g", "6", at_most=3)
    amounts = {10: "300 g", 24: "300 g"}
    shoot = over_days(amounts, cod, life=(2, 1), most={24: 2}, chance_of_running_out=Fraction(1, 2))
    shopping = books_of_shoot(shoot).shopping
    assert shopping is not None
    assert shopping.plan is not None
    assert (dict(shopping.plan.basket.caps), shopping.plan.chance) == ({1: 2}, Fraction(1))


def cod_for_two_days(log: list[Logged] | None = None) -> dict[str, int | None]:
    """How many more of each: 400 g of cod on each of two days, for three takes of 100 g each."""
    days = {"E10": date(2031, 5, 10), "E24": date(2031, 5, 24)}
    parts: list[Any] = [
        line("soup", "cod", "100 g"),
        Ingredient(name="cod", trim_yield=Fraction(1), keeps_days=Fraction(2)),
        pack("cod", "400 g", "5"),
        *(Episode(name=name, shoot_date=day) for name, day in days.items()),
        *(Shot(name=name, dish="soup", episode=name, times=3) for name in days),
    ]
    whole = completed(shoot_of(*parts).changed(day_log=log or []))[0]
    found = Outlook(books_of(whole))
    return {found.shoot.shots[one.number].label: one.more for one in found.takes_left}


def test_takes_left__packs_of_another_day_are_not_there_yet() -> None:
    """Worked by hand: each day has 400 g for 300 g, one more take; the other's 100 g keep apart."""
    assert cod_for_two_days() == {"E10": 4, "E24": 4}


def test_takes_left__of_what_spoils_from_day_to_day_beside_a_lot() -> None:
    """Worked by hand: fetched on the 9th, half of it spoils each day; one is on hand for both days.

    That one serves the 10th, the pack of 4 the 11th: 4 x 1/4 = 1. A second on the 10th would take 2
    of the pack, and leave half a piece for the 11th.
    """
    names = ("E10", "E11")
    shoot = shoot_of(
        line("soup", "herb", "1 each"),
        sound("herb", spoilage=Fraction(1, 2)),
        pack("herb", "4 each", "1"),
        lot("herb", "1 each", use_by="2031-05-20"),
        *(Episode(name=name, shoot_date=may(int(name[1:]))) for name in names),
        *(Shot(name=name, dish="soup", episode=name) for name in names),
        shopping_date=may(9),
    )
    found = Outlook(books_of_shoot(shoot))
    assert [one.more for one in found.takes_left] == [1, 1]


def test_takes_left__a_count_is_of_what_was_fetched_by_then() -> None:
    """Worked by hand: on the 10th, after two takes, 150 g are counted: one more; the pack of the
    24th is fetched on the 23rd, and still serves four.
    """
    log = [
        Logged(when=datetime(2031, 5, 10, 11, number), what="E10", event=DayEvent.TAKEN)
        for number in range(2)
    ]
    count = Logged(
        when=datetime(2031, 5, 10, 12), what="cod", event=DayEvent.COUNTED, amount=amount("150 g")
    )
    assert cod_for_two_days([*log, count]) == {"E10": 1, "E24": 4}


# Brute force: written from the rules, with Hall's theorem in place of the order of serving.


def each_way(
    shoot: Shoot, of: Pack, life: tuple[int | None, int | None]
) -> Iterator[tuple[date, frozenset[str]]]:
    """Every trip and opening of a pack, with whom it serves."""
    days = {one.name: one.shoot_date for one in shoot.episodes}
    own = [trip.day for trip in shoot.trips if trip.shop == of.shop]
    for trip in own or shoot.settings.shopping_dates:
        for opening in sorted({day for day in days.values() if day}):
            opened = trip + timedelta(days=of.thaw_days or 0) if of.loose_step else opening
            ends = [
                start + timedelta(days=length)
                for start, length in ((trip, life[0]), (opened, life[1]))
                if length is not None
            ]
            serves = {
                name
                for name, day in days.items()
                if day and opening <= day and all(day <= end for end in ends)
            }
            if trip + timedelta(days=of.thaw_days or 0) <= opening and serves:
                yield trip, frozenset(serves)


def least_paid(shoot: Shoot, needs: Mapping[str, Fraction], life: Any) -> Fraction | None:
    """By trying every number of packs of every way; ``None`` where no number will do."""
    rows = [
        (number, one, trip, serves)
        for number, one in enumerate(shoot.packs)
        for trip, serves in dict.fromkeys(each_way(shoot, one, life))
    ]
    visits = {shop.name: Fraction(shop.visit_cost) for shop in shoot.shops}
    sets = [
        frozenset(some)
        for some in chain.from_iterable(combinations(needs, n) for n in range(1, len(needs) + 1))
    ]
    best: Fraction | None = None
    for counts in product(range(4), repeat=len(rows)):
        taken = [(row, n) for row, n in zip(rows, counts, strict=True) if n]
        limits = (
            sum(n for row, n in taken if row[0] == number) <= (one.at_most or 99)
            for number, one in enumerate(shoot.packs)
        )
        cost = sum((Fraction(one.price or 0) * n for (_, one, _, _), n in taken), ZERO)
        went = {(one.shop, trip) for (_, one, trip, _), _ in taken}
        cost += sum((visits.get(shop, ZERO) for shop, _ in went), ZERO)
        if (best is not None and cost >= best) or not all(limits):
            continue
        if all(
            sum((o.amount.base * n for (_, o, _, s), n in taken if s & some), ZERO)
            >= sum((needs[name] for name in some), ZERO)
            for some in sets
        ):
            best = cost
    return best


def any_case(seed: int, *, visits: bool) -> tuple[Shoot, dict[str, Fraction], Any]:
    """Two or three days, two rows of Packs, one or two trips to each of two shops."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    days = random.sample(range(10, 20), random.randint(2, 3))
    needs = {day: random.choice([100, 150, 300]) for day in days}
    shops = ("market", "grocer") if random.random() < 0.7 else ("market", "market")
    packs = [
        pack(
            "good",
            f"{random.choice([100, 200, 500])} g",
            str(random.randint(1, 9)),
            shop=shop,
            at_most=random.choice([None, None, 2]),
            thaw_days=random.choice([0, 0, 2]),
        )
        for shop in shops
    ]
    trips = {shop: sorted(random.sample(range(6, 16), random.randint(1, 2))) for shop in set(shops)}
    costs = [Shop(name=shop, visit_cost=Decimal(random.choice([0, 2]))) for shop in set(shops)]
    life = random.choice([None, 3, 8]), random.choice([None, 0, 2, 5])
    shoot = over_days(
        {day: f"{amount} g" for day, amount in needs.items()},
        *packs,
        *(costs if visits else ()),
        trips=trips,
        life=life,
    )
    return shoot, {f"E{day}": Fraction(amount) for day, amount in needs.items()}, life


@pytest.mark.parametrize("seed", spread(range(60)))
def test_every_assignment__none_is_cheaper(seed: int) -> None:
    """Against every trip, opening and number of packs up to three of each, few ways at a time.

    What no open day serves is given a trip of its own, and is told; what is limited is missing.
    """
    shoot, needs, life = any_case(seed, visits=seed % 2 == 0)
    if sum(len({*each_way(shoot, one, life)}) for one in shoot.packs) > 6:  # then one trip to each
        shoot = shoot.changed(trips=tuple({trip.shop: trip for trip in shoot.trips}.values()))
    found = books_of_shoot(shoot)
    good = purchase(found, "good")
    least = least_paid(shoot, needs, life)
    out = any(out_of_plan(good, bought, found.shoot) for bought in good.lines)
    if least is None:
        assert out or good.short
    else:
        assert not out
        assert good.short == 0
        assert Fraction(found.totals.paid) == least


def all_served(shoot: Shoot, needs: Mapping[str, Fraction], life: Any) -> bool:
    """Whether open days serve all, from packs of which there is no limit."""
    ways = [way for one in shoot.packs for way in each_way(shoot, one, life)]
    served = {name for _, serves in ways for name in serves}
    return served == needs.keys() and all(one.at_most is None for one in shoot.packs)


@pytest.mark.parametrize("seed", spread(range(40)))
def test_laws__more_trips_longer_lives_and_one_date_for_two(seed: int) -> None:
    """Law: without visit costs more trips never cost more, nor does a longer life, nor one date
    where there were two.
    """
    cases = (any_case(at, visits=False) for at in count(100 * seed))
    shoot, _, life = next(case for case in cases if all_served(*case))
    found = books_of_shoot(shoot)
    more = shoot.changed(
        trips=(*shoot.trips, *(Trip(shop=one.shop, day=may(7)) for one in shoot.packs))
    )
    longer = shoot.changed(
        ingredients=(
            sound(
                "good",
                published_keeps=None if life[0] is None else Fraction(life[0] + 2),
                published_keeps_opened=None if life[1] is None else Fraction(life[1] + 2),
            ),
        )
    )
    for other in (more, longer):
        assert books_of_shoot(other).totals.paid <= found.totals.paid
    first, second = sorted(shoot.episodes, key=lambda one: one.shoot_date or date.max)[:2]
    early = all(trip.day <= (first.shoot_date or date.max) for trip in shoot.trips)
    if early and not any(one.thaw_days for one in shoot.packs):
        at_once = second.model_copy(update={"shoot_date": first.shoot_date})
        episodes = tuple(at_once if one is second else one for one in shoot.episodes)
        assert books_of_shoot(shoot.changed(episodes=episodes)).totals.paid <= found.totals.paid


def test_lot__serves_the_first_day_and_packs_the_rest() -> None:
    """Worked by hand: 300 g on hand serve the 10th; a pack of its own trip serves the 24th."""
    cod = pack("good", "300 g", "6")
    on_hand = lot("good", "300 g", use_by=may(12))
    shoot = over_days({10: "300 g", 24: "300 g"}, cod, on_hand, life=(2, 1))
    assert listed(books_of_shoot(shoot)) == [(23, 1, "300 g")]


def test_programme__given_needs_have_no_cap_to_lower() -> None:
    """A mixture that is short of what one day is given is cut off, whatever shots it is for."""
    programme = Programme(Terms(()), Question({}, {}, {}, fixed={}))
    assert programme.lower_caps([0], {0: 2}) == {}


def test_cheapest_over_days__a_search_that_is_ended_states_its_gap(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Law: the least, by the search to its end, is within the gap below what is found at once."""
    rows = (pack("good", f"{grams} g", price) for grams, price in SIZES.items())
    needs = {10: "1700 g", 12: "2400 g", 14: "3100 g"}
    shoot = over_days(needs, *rows, dates=(9, 11, 13), life=(4, 4))
    market = Shopping(Needs(completed(shoot)[0])).market
    (article,) = market.terms.articles
    (wanted,) = market.planner().needs({})
    best = cheapest_over_days(article, wanted)
    monkeypatch.setattr(mixing, "DAY_NODES", 1)
    ended = cheapest_over_days(article, wanted)
    assert best.gap == 0 < ended.gap
    least, found = article.paid(best.packs), article.paid(ended.packs)
    assert found - ended.gap <= least <= found
    assert article.lacking(ended.packs, wanted) == 0
