"""How long packs last, which days they serve, and how what is needed is shared among them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import chain, combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import may, pack, sound

from costing.buying.lives import (
    Life,
    OpenedPacks,
    Way,
    allotted,
    life_of,
    openings,
    short_together,
    unplanned,
    ways,
)
from costing.kitchen import PackState


def found(
    life: Life, trips: Sequence[int], days: Mapping[str, int | None], *, eve: bool = False
) -> list[tuple[int, int | None, str]]:
    """For each way the days of trip and opening, and whom it serves."""
    dated = {name: None if day is None else may(day) for name, day in days.items()}
    return [
        (way.trip.day, way.opening.day if way.opening else None, "".join(sorted(way.serves)))
        for way in ways(life, [may(day) for day in trips], dated, eve=eve)
        if way.trip
    ]


def test_ways__a_life_after_opening_ends_what_is_open() -> None:
    """Worked by hand: open for three days, so that the 10th serves the 11th and not the 20th."""
    days = {"a": 10, "b": 11, "c": 20}
    assert found(Life(365, 3), [9], days) == [(9, 10, "ab"), (9, 20, "c")]
    assert found(Life(365, 10), [9], days) == [(9, 10, "abc")]


def test_ways__a_sealed_life_counts_from_the_trip() -> None:
    assert found(Life(2), [9, 23], {"a": 10, "b": 24}) == [(9, 10, "a"), (23, 24, "b")]
    assert found(Life(2), [9], {"a": 10, "b": 24}) == [(9, 10, "a")]


def test_ways__an_unknown_life_binds_nothing() -> None:
    assert found(Life(), [9], {"a": 10, "b": 24}) == [(9, 10, "ab")]


def test_ways__frozen_packs_are_fetched_before_they_thaw() -> None:
    """Worked by hand: four days before the 10th is the 6th."""
    assert found(Life(thaw=4), [5, 6, 7], {"a": 10}) == [(5, 10, "a"), (6, 10, "a")]


def test_ways__loose_goods_are_open_as_they_are_bought() -> None:
    """Worked by hand: cut on the 9th and good for three days: for the 10th, not the 13th."""
    days = {"a": 10, "b": 13}
    assert found(Life(30, 3, loose=True), [9, 12], days) == [(9, 10, "a"), (12, 13, "b")]


def test_ways__trips_of_the_eve_serve_only_later_days() -> None:
    """Where no date is set shopping is done after the day's shoot."""
    days = {"a": 10, "b": 11}
    assert found(Life(), [9, 10], days, eve=True) == [(9, 10, "ab"), (10, 11, "b")]
    assert found(Life(), [10], days) == [(10, 10, "ab")]


def test_ways__a_shoot_without_a_date_is_served_by_all() -> None:
    days = {"a": 10, "b": None}
    assert found(Life(2), [5, 9], days) == [(5, None, "b"), (9, 10, "ab")]


def test_unplanned__the_day_before_or_as_late_as_it_keeps() -> None:
    days = {"a": may(10), "b": may(12)}
    one = unplanned(Life(3, 3), may(10), days)
    assert one == Way(may(9), may(10), may(12), frozenset("ab"), planned=False)
    none = unplanned(Life(0, 0), may(10), days)
    assert (none.trip, none.serves) == (may(10), frozenset("a"))
    frozen = unplanned(Life(thaw=4), may(10), days)
    assert (frozen.trip, frozen.serves) == (may(6), frozenset("ab"))


NAMES = "abcd"
DAYS = {name: may(10 + number) for number, name in enumerate(NAMES)}


@st.composite
def intervals(draw: st.DrawFn) -> OpenedPacks:
    """Packs that serve some days in a row."""
    first = draw(st.integers(0, 3))
    last = draw(st.integers(first, 3))
    serves = frozenset(NAMES[first : last + 1])
    return OpenedPacks(Fraction(draw(st.integers(0, 6))), serves, DAYS[NAMES[last]])


amounts = st.fixed_dictionaries({name: st.integers(0, 6).map(Fraction) for name in NAMES})


@given(st.lists(intervals(), max_size=5), amounts)
def test_allotted__lacks_what_no_order_could_serve(
    packs: list[OpenedPacks], needs: dict[str, Fraction]
) -> None:
    """Hall's theorem for flows: what is lacking is the most by which days together need more.

    Every set of days is tried; nobody takes more than there is, nor of what does not serve it.
    """
    result = allotted(packs, needs, DAYS)
    for one, used in zip(packs, result.used, strict=True):
        assert sum(used.values()) <= one.amount
        assert used.keys() <= one.serves
    for name, amount in needs.items():
        given = sum(used.get(name, Fraction(0)) for used in result.used)
        assert given + result.lacking.get(name, Fraction(0)) == amount
    sets = chain.from_iterable(combinations(NAMES, size) for size in range(5))
    most = max(_beyond(frozenset(some), packs, needs) for some in sets)
    assert result.missing == most


def _beyond(
    some: frozenset[str], packs: Sequence[OpenedPacks], needs: Mapping[str, Fraction]
) -> Fraction:
    """How much more some days need than all that may serve any of them."""
    there = sum((one.amount for one in packs if some & one.serves), Fraction(0))
    return sum((needs[name] for name in some), Fraction(0)) - there


@given(st.lists(intervals(), max_size=5), amounts)
def test_short_together__names_days_that_need_more_than_there_is(
    packs: list[OpenedPacks], needs: dict[str, Fraction]
) -> None:
    """Law: exactly what is lacking is what they need beyond all that may serve any of them."""
    result = allotted(packs, needs, DAYS)
    if result.lacking:
        assert _beyond(short_together(packs, result), packs, needs) == result.missing


def test_openings__what_is_old_is_used_only_where_it_saves_a_pack() -> None:
    """Worked by hand: 300, 300 and 500 g of packs of 400 g are three, one for each day.

    On the second day two sealed packs are enough for the 800 g that come, so that the 100 g of the
    first day are left; on the third 100 g of the second day spare a pack. Without a date last.
    """
    days = {"a": may(10), "b": may(12), "c": may(14), "d": None}
    used = {"c": Fraction(500), "a": Fraction(300), "b": Fraction(300)}
    found = openings(Fraction(400), used, days)
    assert found.on == {may(10): 1, may(12): 1, may(14): 1}
    assert found.passed == [("b", "c", Fraction(100))]
    # 700 g more are 1,800 g, five packs: two on the 14th, whose 300 g spare one without a date
    found = openings(Fraction(400), {**used, "d": Fraction(700)}, days)
    assert found.on == {may(10): 1, may(12): 1, may(14): 2, None: 1}
    assert found.passed == []


def test_openings__episodes_of_one_day_share_packs_and_pass_on_what_is_left() -> None:
    """Worked by hand: 150 and 150 g on the 10th open one of 400 g; its 100 g are of the first.

    The 12th needs 480 g, so one more pack and 80 g of those, given to its first episode.
    """
    days = {"a": may(10), "b": may(10), "c": may(12), "d": may(12)}
    amounts = {"a": 150, "b": 150, "c": 60, "d": 420}
    found = openings(Fraction(400), {n: Fraction(amount) for n, amount in amounts.items()}, days)
    assert found.on == {may(10): 1, may(12): 1}
    assert found.passed == [("a", "c", Fraction(60)), ("a", "d", Fraction(40))]


def test_life__loose_goods_end_with_what_is_open_or_sealed() -> None:
    """Open as they are bought, or once they have thawed; other packs keep their sealed life."""
    sealed, opened, thaw = 30, 3, 2
    assert Life(sealed, opened, thaw).unopened == 30
    assert Life(sealed, opened, thaw, loose=True).unopened == 5
    assert Life(4, opened, thaw, loose=True).unopened == 4
    assert Life(None, opened, thaw, loose=True).unopened == 5
    assert Life(sealed, None, thaw, loose=True).unopened == 30
    assert Life(sealed, opened).last_day(may(1), may(9)) == may(12)
    assert Life(5, opened).last_day(may(1), may(9)) == may(6)
    assert Life(sealed, opened, loose=True).last_day(may(1), may(9)) == may(4)
    assert Life(None, opened).last_day(may(1), None) is None
    assert Life(sealed).last_day(None, may(9)) is None


FRESH, FROZEN, SHELF = PackState.FRESH, PackState.FROZEN, PackState.SHELF


@pytest.mark.parametrize(
    ("state", "in_state", "keeps", "typed", "life"),
    [
        (FRESH, "2.5", (5, 3), None, Life(2, 3)),
        (FRESH, None, (5, 3), None, Life(5, 3)),
        (FRESH, "2", (5, 3), 4, Life(4, 4)),
        (None, "2", (5, 3), None, Life(5, 3)),
        (SHELF, "300", (5, "3.5"), None, Life(300, 3)),
        (SHELF, None, (5, 3), None, Life(None, 3)),
        (SHELF, "300", (5, 3), 4, Life(300, 4)),
        (FROZEN, "90", (2, 3), None, Life(90, 2)),
        (FROZEN, "90", (5, 3), None, Life(90, 3)),
        (FROZEN, "90", (None, 3), None, Life(90, 3)),
        (FROZEN, "90", (2, None), None, Life(90, 2)),
        (FROZEN, "90", (None, None), None, Life(90, None)),
        (FROZEN, None, (5, 3), 4, Life(None, 4)),
    ],
)
def test_life_of__the_state_of_a_pack_says_which_days_end_it(
    state: PackState | None,
    in_state: str | None,
    keeps: tuple[Any, Any],
    typed: int | None,
    life: Life,
) -> None:
    """By hand: days typed, else those of the state while it is sealed; of frozen none but by it."""
    purchase, opening = keeps
    leek = sound("leek", keeps_days=typed, published_keeps=purchase, published_keeps_opened=opening)
    one = pack("leek", "1 kg", "2", state=state, published_keeps=in_state)
    assert life_of(one, leek) == life
    loose = pack("leek", "1 kg", "2", loose="50 g", state=state, published_keeps=in_state)
    assert life_of(loose, leek) == replace(life, loose=True)


def test_life_of__what_is_used_frozen_ends_only_by_days_that_are_typed() -> None:
    """Two days once it has thawed, which it does in three; with Thaw days 0 it never does."""
    leek = sound("leek", published_keeps=Fraction(2), published_keeps_opened=Fraction(2))
    frozen = pack("leek", "1 kg", "2", state=FROZEN, published_keeps=Fraction(90), thaw_days=3)
    assert life_of(frozen, leek) == Life(90, 2, thaw=3)
    never = frozen.model_copy(update={"thaw_days": 0})
    assert life_of(never, leek) == Life(90, None)
    assert life_of(never, sound("leek", keeps_days=Fraction(4))) == Life(90, 4)
