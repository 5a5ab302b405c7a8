"""What must be bought for any numbers of times, and the linear expressions below it."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from plans import Kinds, any_plan, shopping
from small import books, line, lot, pack, purchase, sound

from costing.buying.purchases import Demand
from costing.shoot import Episode, Shot

STOCKED = Kinds(shots=3, stock=True)
SPOILS = Kinds(shots=3, stock=True, spoils=True)
seeds = st.integers(0, 10**6)
SOUP = line("soup", "leek", "100 g")


def demands(seed: int, kinds: Kinds) -> tuple[list[Demand], dict[int, int]]:
    """The demands of a plan, and its likeliest numbers of times."""
    found = shopping(any_plan(seed, kinds))
    return [one.demand for one in found.purchases], found.market.planned


def largest_cover(demand: Demand, counts: dict[int, int], planned: dict[int, int]) -> Fraction:
    """The largest of the expressions, or 0."""
    return max(
        (
            cover.constant + sum(a * counts[shot] for shot, a in cover.per_time.items())
            for cover in demand.covers(planned, {})
        ),
        default=Fraction(0),
    )


def test_text__is_in_the_unit_it_is_bought_in() -> None:
    """In kilograms: 1500 g are 1.5 kg; 12345.678 g are told as 12.4 kg, never as too little.

    A part of a kilogram in four digits, 29/20, is told as it is; 617/50, in five, in three: 12.4.
    Of less than one three digits are told too: 53.3333 g are 0.0534 kg, and not 0.06 kg.
    Pieces are counted, however many.
    """
    found = books(
        sound("leek"),
        line("soup", "leek", "1.5 kg"),
        pack("leek", "2 kg", "3"),
        sound("egg"),
        line("soup", "egg", "3 each"),
        pack("egg", "6 each", "3"),
    )
    assert purchase(found, "egg").text(Fraction(12345)) == "12345 each"
    leek = purchase(found, "leek")
    assert leek.text(Fraction(1500)) == "1.5 kg"
    assert leek.text(Fraction(1450)) == "1.45 kg"
    assert leek.text(Fraction(1000, 3)) == "1/3 kg"
    assert leek.text(Fraction(12340)) == "12.4 kg"
    assert leek.text(Fraction("12345.678")) == "12.4 kg"
    assert leek.text(Fraction("753.3333")) == "0.754 kg"
    assert leek.text(Fraction("53.3333")) == "0.0534 kg"
    assert leek.text(Fraction("1000.01")) == "1.01 kg"


@given(seeds, st.lists(st.integers(0, 6), min_size=3, max_size=3))
def test_covers__the_largest_is_what_must_be_bought(seed: int, times: list[int]) -> None:
    """Law: with stock that is good for some episodes, and nothing that spoils."""
    found, planned = demands(seed, STOCKED)
    counts = {shot: times[shot] for shot in planned}
    for demand in found:
        wanted = demand.wanted(demand.as_bought(counts, planned))
        assert max(Fraction(0), largest_cover(demand, counts, planned)) == wanted


@given(seeds, st.lists(st.integers(0, 6), min_size=3, max_size=3))
def test_covers__none_is_above_what_must_be_bought(seed: int, times: list[int]) -> None:
    """Law: where something spoils too, so that no cheaper basket is cut away."""
    found, planned = demands(seed, SPOILS)
    counts = {shot: times[shot] for shot in planned}
    for demand in found:
        wanted = demand.wanted(demand.as_bought(counts, planned))
        assert largest_cover(demand, counts, planned) <= wanted


@given(seeds, st.integers(0, 2), st.lists(st.integers(0, 5), min_size=3, max_size=3))
def test_wanted__one_take_more_never_wants_less(seed: int, which: int, times: list[int]) -> None:
    """Law: what a cut of the search relies on."""
    found, planned = demands(seed, SPOILS)
    counts = {shot: times[shot] for shot in planned}
    if which not in counts:
        return
    more = counts | {which: counts[which] + 1}
    for demand in found:
        before, after = (demand.wanted(demand.as_bought(c, planned)) for c in (counts, more))
        assert after >= before


def test_wanted__at_the_planned_numbers_is_the_net_need_and_its_allowance() -> None:
    """A fifth a day for two days: (3 x 100 - 60) / 0.64 = 375."""
    found = books(
        SOUP,
        sound("leek", spoilage=Fraction(1, 5)),
        pack("leek", "5 g", "1"),
        lot("leek", "60 g"),
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        Shot(dish="soup", times=3, most=3),
        shopping_date=date(2031, 5, 8),
    )
    leek = purchase(found, "leek")
    assert leek.wanted == leek.covered == 375
    assert leek.demand.wanted(leek.demand.as_bought({0: 4}, {0: 3})) == (400 - 60) / Fraction(
        "0.64"
    )


def stocked(*more: Any) -> Demand:
    """Two episodes two days apart, 100 g each and uncertain, half of it lost each day."""
    found = books(
        SOUP,
        sound("leek", spoilage=Fraction(1, 2)),
        pack("leek", "5 g", "1"),
        *more,
        Episode(name="One", shoot_date=date(2031, 5, 10)),
        Episode(name="Two", shoot_date=date(2031, 5, 12)),
        *(Shot(dish="soup", episode=name, times=1, most=2) for name in ("One", "Two")),
        shopping_date=date(2031, 5, 9),
    )
    return purchase(found, "leek").demand


def test_wanted__stock_serves_the_earlier_episode_first() -> None:
    """150 g on hand: the first takes 100, the second 50, and 50 bought lose seven eighths: 400."""
    demand = stocked(lot("leek", "150 g"))
    assert demand.wanted(demand.as_bought({0: 1, 1: 1}, {0: 1, 1: 1})) == 400
    assert demand.wanted(demand.as_bought({0: 2, 1: 1}, {0: 1, 1: 1})) == 50 * 2 + 100 * 8


def test_covers__plenty_leaves_only_the_days_it_is_not_good_for() -> None:
    """Plenty to 10 May: only the second episode is bought for, at 8 for each gram."""
    demand = stocked(lot("leek", None, plenty=True, use_by=date(2031, 5, 10)))
    (cover,) = demand.covers({0: 1, 1: 1}, {})
    assert cover.constant == 0
    assert cover.per_time == {1: 800}


def test_covers__what_is_needed_besides_is_added_to_its_episode() -> None:
    (cover,) = stocked().covers({0: 1, 1: 1}, {"Two": Fraction(10)})
    assert cover.constant == 80
    assert cover.per_time == {0: 200, 1: 800}
