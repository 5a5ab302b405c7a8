"""What is left over and which part keeps."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import books, line, lot, pack, purchase, sound

from costing.buying.left_over import Brought, Keeping, Left, keeping, left_of, stock_that_keeps
from costing.kitchen import Lot
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


def leek_on_the_10th(keeps: str | None, next_day: int | None, **lives: Fraction) -> Keeping:
    """What keeps of leek bought on 9 May and used on the 10th; the next episode takes none."""
    later = [] if next_day is None else [Episode(name="B", shoot_date=date(2031, 5, next_day))]
    leek = sound("leek", keeps_days=None if keeps is None else Fraction(keeps), **lives)
    found = books(
        line("soup", "leek", "100 g"),
        leek,
        pack("leek", "250 g", "1"),
        Episode(name="A", shoot_date=date(2031, 5, 10)),
        *later,
        Shot(dish="soup", episode="A"),
    )
    return keeping(purchase(found, "leek").need, found.shoot)


@pytest.mark.parametrize(
    ("keeps", "next_day", "sealed", "opened"),
    [
        (None, 12, True, False),
        ("1", 11, False, False),
        ("2", 12, False, False),
        ("3", 12, True, True),
        ("2.9", 12, False, False),
        ("8", 20, False, False),
        ("11", 20, True, True),
        ("6", None, False, False),
        ("7", None, True, True),
        ("3", 10, False, False),
    ],
    ids=[
        "unknown",
        "a day is over on the next day's shoot",
        "bought a day before it was opened",
        "to the next shoot day",
        "whole days count",
        "a week is not enough for ten days",
        "to a shoot day ten days on",
        "no next one",
        "no next one, seven days",
        "another of the same day is no next one",
    ],
)
def test_keeping__within_its_life_on_the_next_shoot_day(
    keeps: str | None, next_day: int | None, *, sealed: bool, opened: bool
) -> None:
    """Days typed count from shopping on the 9th for packs, from the 10th for what is opened."""
    assert leek_on_the_10th(keeps, next_day) == Keeping(sealed, opened)


def test_keeping__the_life_after_opening_is_its_own() -> None:
    """30 days sealed and 3 opened on the 10th: to the 13th, not to the 14th; and never seven."""
    lives = {"published_keeps": Fraction(30), "published_keeps_opened": Fraction(3)}
    assert leek_on_the_10th(None, 13, **lives) == Keeping(sealed=True, opened=True)
    assert leek_on_the_10th(None, 14, **lives) == Keeping(sealed=True, opened=False)
    assert leek_on_the_10th(None, None, **lives) == Keeping(sealed=True, opened=False)


def test_keeping__is_opened_on_the_first_day_of_use() -> None:
    """Opened on the 10th for three days, the last use on the 12th: not to the 14th."""
    leek = sound("leek", published_keeps=Fraction(30), published_keeps_opened=Fraction(3))
    days = {"A": 10, "B": 12, "C": 14}
    found = books(
        line("soup", "leek", "100 g"),
        leek,
        pack("leek", "250 g", "1"),
        *(Episode(name=name, shoot_date=date(2031, 5, day)) for name, day in days.items()),
        Shot(dish="soup", episode="A"),
        Shot(dish="soup", episode="B"),
    )
    assert not keeping(purchase(found, "leek").need, found.shoot).opened


def test_keeping__not_when_a_day_of_use_is_not_known() -> None:
    found = books(
        line("soup", "leek", "100 g"),
        sound("leek", keeps_days=Fraction(5)),
        pack("leek", "250 g", "1"),
        Episode(name="A", shoot_date=date(2031, 5, 10)),
        Episode(name="B"),
        Episode(name="C", shoot_date=date(2031, 5, 12)),
        Shot(dish="soup", episode="A"),
        Shot(dish="soup", episode="B"),
    )
    assert keeping(purchase(found, "leek").need, found.shoot) == Keeping(False, False)


def test_keeping__packs_keep_by_their_state() -> None:
    """Two days typed count from the thawing on the 10th; a frozen pack keeps its 360 till then.

    Of a frozen row and a fresh one the fresh one counts: two days from the 9th end before the 12th.
    """
    frozen = pack("leek", "250 g", "1", state="frozen", thaw_days=1, published_keeps=Fraction(360))
    fresh = pack("leek", "100 g", "1", state="fresh")
    for rows, day, kept in (
        ([frozen], 12, Keeping(sealed=True, opened=True)),
        ([frozen], 20, Keeping(sealed=True, opened=False)),
        ([frozen, fresh], 12, Keeping(sealed=False, opened=False)),
    ):
        found = books(
            line("soup", "leek", "100 g"),
            sound("leek", keeps_days=Fraction(2)),
            *rows,
            Episode(name="A", shoot_date=date(2031, 5, 10)),
            Episode(name="B", shoot_date=date(2031, 5, day)),
            Shot(dish="soup", episode="A"),
        )
        assert keeping(purchase(found, "leek").need, found.shoot) == kept


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


def kept_of_leek(*lots: Lot, next_day: int | None, opened: str | None = None) -> Fraction:
    """What keeps of lots of which 150 g are used on the 10th, the last day of shooting or not."""
    later = [] if next_day is None else [Episode(name="B", shoot_date=date(2031, 5, next_day))]
    found = books(
        line("soup", "leek", "150 g"),
        sound("leek", published_keeps_opened=opened),
        *lots,
        Episode(name="A", shoot_date=date(2031, 5, 10)),
        Episode(name="Before", shoot_date=date(2031, 5, 3)),
        *later,
        Shot(dish="soup", episode="A"),
    )
    of = purchase(found, "leek")
    return stock_that_keeps(of.need, of.taken, found.shoot)


@pytest.mark.parametrize(
    ("use_by", "begun", "opened", "next_day", "kept"),
    [
        (None, None, None, 14, 50),
        (14, None, None, 14, 50),
        (13, None, None, 14, 0),
        (None, None, "4.9", 14, 50),
        (None, None, "3.9", 14, 0),
        (12, None, "9", 14, 0),
        (None, 9, "5", 14, 50),
        (None, 9, "4", 14, 0),
        (17, None, None, None, 50),
        (16, None, None, None, 0),
    ],
    ids=[
        "no end",
        "to its date",
        "past its date",
        "opened on the 10th, whole days count",
        "not that long",
        "its date comes before the end of what is open",
        "was opened on the 9th",
        "not that long from the 9th",
        "a week after the last shoot",
        "not a whole week",
    ],
)
def test_stock_that_keeps__to_the_next_shoot_or_a_week_after_the_last(
    use_by: int | None, begun: int | None, opened: str | None, next_day: int | None, kept: int
) -> None:
    """Worked by hand: of 200 g 50 are left; a lot that is begun has its life after opening too."""
    days = {"use_by": use_by, "opened": begun}
    dates = {name: date(2031, 5, day) for name, day in days.items() if day is not None}
    assert kept_of_leek(lot("leek", "200 g", **dates), next_day=next_day, opened=opened) == kept


def test_stock_that_keeps__what_is_not_begun_has_no_life_after_opening() -> None:
    """The 200 g that end first are begun and keep a day; of the others all 100 g are left."""
    first = lot("leek", "200 g", use_by=date(2031, 5, 20))
    other = lot("leek", "100 g", use_by=date(2031, 5, 30))
    assert kept_of_leek(first, other, next_day=14, opened="1") == 100
