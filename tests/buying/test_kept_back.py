"""Takes left where pieces are picked: those looked at are kept back, not only those used."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from budgets import examples
from buying.test_takes_left import logged, more_of, outlook
from hypothesis import given, settings
from hypothesis import strategies as st
from small import line, pack, sound

from costing.kitchen import Dish
from costing.report.day_rows import takes_left
from costing.shoot import Episode, Shot


def buns(*, size: int = 6, **more: Any) -> list[Any]:
    """A burger of one bun, a hero of it and two times the cooking, with one pack of buns."""
    return [
        line("burger", "bun", "1 each", **more),
        sound("bun"),
        pack("bun", f"{size} each", "3", at_most=1),
        Shot(dish="burger", name="H", purpose="hero"),
        Shot(dish="burger", name="C", times=2),
    ]


def test_kept_back__what_a_hero_looks_at_is_kept_back() -> None:
    """Of six buns each hero looks at three: two heroes, where four would use no more than six.

    A third lacks three. With the hero of the plan, one is used and five are for the cooking.
    """
    found = outlook(*buns(candidates=3))
    assert more_of(found) == {"H": 2, "C": 5}
    assert [(one.supply.name, int(one.amount)) for one in found.takes_left[0].lacks] == [("bun", 3)]
    assert len(found.balances) == 1


def made_buns(each: int = 1, size: int = 6, **more: Any) -> list[Any]:
    """The same with buns that are made of 100 g of flour each, of which there are 600 g."""
    return [
        line("burger", "bun", f"{each} each", **more),
        line("bun", "flour", "100 g"),
        Dish(name="bun", makes="1 each"),
        sound("flour"),
        pack("flour", f"{100 * size} g", "3", at_most=1),
        Shot(dish="burger", name="H", purpose="hero"),
        Shot(dish="burger", name="C", times=2),
    ]


def test_kept_back__what_a_hero_looks_at_of_a_dish_is_made() -> None:
    """As with the buns above: three are made for each hero, and a third lacks 300 g of flour."""
    found = outlook(*made_buns(candidates=3))
    assert more_of(found) == {"H": 2, "C": 5}
    lacks = found.takes_left[0].lacks
    assert [(one.supply.name, int(one.amount)) for one in lacks] == [("flour", 300)]
    taken = outlook(*made_buns(candidates=3), log=logged(("H", "taken")))
    assert more_of(taken) == {"H": 1, "C": 5}


def test_kept_back__of_a_dish_as_often_as_its_pieces() -> None:
    """Two buns a burger, so that a hero looks at six: of twelve there are two heroes.

    With one hero two are used, and ten are for five times the cooking.
    """
    assert more_of(outlook(*made_buns(2, 12, candidates=3))) == {"H": 2, "C": 5}


def test_kept_back__what_is_called_like_the_pieces_that_are_looked_at_is_not_one() -> None:
    """Of four such there are two for the hero besides the cooking, three for that besides it."""
    rows = (
        *made_buns(candidates=3),
        line("burger", "bun looked at", "1 each"),
        sound("bun looked at"),
        pack("bun looked at", "4 each", "1", at_most=1),
    )
    assert more_of(outlook(*rows)) == {"H": 2, "C": 3}


def test_kept_back__beside_what_another_day_uses() -> None:
    """Of six buns the hero of the first day looks at three; three are for the other day's."""
    rows = [
        *buns(candidates=3)[:3],
        *(Episode(name=f"E{day}", shoot_date=f"2031-05-1{day}") for day in (0, 1)),
        Shot(dish="burger", name="H", purpose="hero", episode="E0"),
        Shot(dish="burger", name="C", episode="E1"),
    ]
    assert more_of(outlook(*rows)) == {"H": 1, "C": 3}


def test_kept_back__a_hero_that_was_taken_has_looked_at_its_own() -> None:
    assert more_of(outlook(*buns(candidates=3), log=logged(("H", "taken")))) == {"H": 1, "C": 5}


def test_kept_back__a_part_that_is_good_enough_is_told_and_not_kept_back() -> None:
    for parts in (buns(good_enough="70%"), made_buns(good_enough="70%")):
        rows = takes_left(outlook(*parts)).rows
        said = [str(row["note"]).count("no pieces are kept back to pick from") for row in rows]
        assert said == [1, 1]
    assert "kept back" not in str(takes_left(outlook(*buns(candidates=3))).rows)


SHOTS = st.lists(
    st.tuples(st.sampled_from(["One", "Two"]), st.sampled_from(["hero", "cook-through"])),
    min_size=1,
    max_size=4,
)


@settings(max_examples=examples(40), deadline=None)
@given(SHOTS, st.integers(1, 4), st.integers(1, 12), st.lists(st.integers(0, 3), max_size=4))
def test_kept_back__against_what_each_episode_uses_or_looks_at(
    shots: list[tuple[str, str]], candidates: int, size: int, taken: list[int]
) -> None:
    """Law: the greatest number with which the larger of both, over the episodes, is there."""
    rows = [
        line("burger", "bun", "1 each", candidates=candidates),
        sound("bun"),
        pack("bun", f"{size} each", "3"),
        *(Episode(name=name) for name in ("One", "Two")),
        *(
            Shot(dish="burger", name=f"S{n}", episode=episode, purpose=purpose)
            for n, (episode, purpose) in enumerate(shots)
        ),
    ]
    log = [n for n in taken if n < len(shots)]
    found = outlook(*rows, log=logged(*((f"S{n}", "taken") for n in log)))
    (there,) = [one.bought for one in found.balances]

    def needed(numbers: Mapping[int, int]) -> int:
        used, looked_at = {"One": 0, "Two": 0}, {"One": 0, "Two": 0}
        for n, (episode, purpose) in enumerate(shots):
            used[episode] += numbers[n]
            looked_at[episode] += candidates * numbers[n] * (purpose == "hero")
        return sum(max(used[e], looked_at[e]) for e in used)

    before = {n: log.count(n) for n in range(len(shots))}
    planned = {n: max(1, times) for n, times in before.items()}
    for one in found.takes_left:
        n = one.number
        if needed({**planned, n: before[n]}) <= there:
            assert one.more is not None
            assert needed({**planned, n: before[n] + one.more}) <= there
            assert needed({**planned, n: before[n] + one.more + 1}) > there
        else:
            assert one.others_lack


def test_lacking__of_what_is_overdrawn_only_while_others_take_of_it() -> None:
    """Slices for one of two toasts: the other lacks two; once both were taken nobody does."""
    bread = (line("toast", "bread", "2 each"), pack("bread", "2 each", "1.80", at_most=1))
    toasts = (Shot(dish="toast", name="T1"), Shot(dish="toast", name="T2"))
    taken = ("T1", "taken"), ("T2", "taken")
    found = [outlook(*bread, *toasts, log=logged(*taken[:number])) for number in (1, 2)]
    assert [[(one.supply.name, int(one.amount)) for one in of.lacking] for of in found] == [
        [("bread", 2)],
        [],
    ]
