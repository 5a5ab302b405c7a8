"""What is left over and which part keeps."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import books, line, pack, purchase, sound

from costing.buying.left_over import Brought, Left, left_of, rest_keeps
from costing.shoot import Episode, Shot


def packs(*kinds: tuple[int, int, int], sealed: bool = True) -> list[Brought]:
    """Packs of so much for so much, so many."""
    return [Brought(Fraction(a), Fraction(p), n, sealed) for a, p, n in kinds]


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        (0, (1000, 4, 0)),
        (1, (750, 3, 249)),
        (250, (750, 3, 0)),
        (251, (500, 2, 249)),
        (1000, (0, 0, 0)),
        (1200, (0, 0, 0)),
    ],
)
def test_left_of__packs_that_are_not_opened_stay_sealed(
    wanted: int, expected: tuple[int, int, int]
) -> None:
    """Four packs of 250 g at 1.00."""
    assert left_of(packs((250, 1, 4)), Fraction(wanted)) == Left(*map(Fraction, expected))


def test_left_of__the_cheapest_packs_that_cover_are_opened() -> None:
    """700 g of one at 1000 g for 5 and three of 500 g for 2: two of 500 are opened, for 4."""
    left = left_of(packs((1000, 5, 1), (500, 2, 3)), Fraction(700))
    assert left == Left(Fraction(1500), Fraction(7), Fraction(300))


def test_left_of__loose_goods_are_open() -> None:
    """300 g loose go first; 50 more open one pack of 100, one stays sealed."""
    brought = [*packs((50, 1, 6), sealed=False), *packs((100, 3, 2))]
    assert left_of(brought, Fraction(350)) == Left(Fraction(100), Fraction(3), Fraction(50))
    assert left_of(brought, Fraction(120)) == Left(Fraction(200), Fraction(6), Fraction(180))


kinds = st.lists(
    st.tuples(st.integers(1, 9), st.integers(0, 9), st.integers(0, 3)), min_size=1, max_size=3
)


@given(kinds, st.integers(0, 40))
def test_left_of__no_other_choice_leaves_more_value_sealed(
    given_: list[tuple[int, int, int]], wanted: int
) -> None:
    """Brute force over which packs are opened; and nothing gets lost."""
    brought = packs(*given_)
    left = left_of(brought, Fraction(wanted))
    whole = sum(a * n for a, _, n in given_)
    assert left.sealed + left.rest == max(0, whole - wanted)
    best = max(
        (
            sum(p * (n - opened) for (_, p, n), opened in zip(given_, choice, strict=True))
            for choice in product(*(range(n + 1) for _, _, n in given_))
            if sum(a * opened for (a, _, _), opened in zip(given_, choice, strict=True)) >= wanted
        ),
        default=0,
    )
    assert left.sealed_value == best


@pytest.mark.parametrize(
    ("keeps", "next_day", "expected"),
    [
        (None, 12, False),
        (1, 12, False),
        (2, 12, True),
        (6, None, False),
        (7, None, True),
        (6, 17, False),
        (3, 10, False),
    ],
    ids=[
        "unknown",
        "not to the next episode",
        "to the next episode",
        "no next one",
        "seven days",
        "the next too late",
        "another of the same day is no next one",
    ],
)
def test_rest_keeps__to_the_next_episode_or_seven_days(
    keeps: int | None, next_day: int | None, expected: bool
) -> None:
    """Leek is opened on 10 May; the next episode takes none of it."""
    later = [] if next_day is None else [Episode(name="B", shoot_date=date(2031, 5, next_day))]
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek", keeps_days=None if keeps is None else Fraction(keeps)),
        pack("leek", "250 g", "1"),
        Episode(name="A", shoot_date=date(2031, 5, 10)),
        *later,
        Shot(dish="soup", episode="A"),
    )
    dates = {episode.name: episode.shoot_date for episode in found.shoot.episodes}
    assert rest_keeps(purchase(found, "leek").need, dates) is expected


def test_rest_keeps__not_when_a_day_of_use_is_not_known() -> None:
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek", keeps_days=Fraction(5)),
        Episode(name="A", shoot_date=date(2031, 5, 10)),
        Episode(name="B"),
        Episode(name="C", shoot_date=date(2031, 5, 12)),
        Shot(dish="soup", episode="A"),
        Shot(dish="soup", episode="B"),
    )
    dates = {episode.name: episode.shoot_date for episode in found.shoot.episodes}
    assert not rest_keeps(purchase(found, "leek").need, dates)


def test_purchase__packs_without_a_price_are_opened_by_what_they_bring() -> None:
    """300 g are covered by 250 and 100 g, all there is: both are open, 50 g are left in them."""
    found = books(
        line("soup", "leek", "300 g"),
        sound("leek"),
        pack("leek", "250 g", None, at_most=1),
        pack("leek", "100 g", None, at_most=1),
        Shot(dish="soup"),
    )
    assert purchase(found, "leek").left == Left(rest=Fraction(50))
    assert [one.price for one in purchase(found, "leek").brought] == [250, 100]
