"""What may lack, and how surely no more does, where many uncertain shots lack several things."""

from __future__ import annotations

from typing import Any

import pytest
from small import line, pack, shoot_of

from costing.buying.books import books_of
from costing.buying.takes_left import Outlook
from costing.shoot import Shot
from costing.shoot.defaults import completed


def many_lacking(*shots: Shot) -> Outlook:
    """Shots of one dish of two foods, of which the shop has 100 g each."""
    foods = [("flour", "11 g"), ("milk", "13 g")]
    rows: list[Any] = [line("cake", name, text) for name, text in foods]
    rows += [pack(name, "100 g", "1", at_most=1) for name, _ in foods]
    return Outlook(books_of(completed(shoot_of(*rows, *shots))[0]))


def uncertain(name: str, times: int = 2) -> Shot:
    """A shot taken one to four times."""
    return Shot(dish="cake", name=name, fewest=1, times=times, most=4)


def test_lacks__each_has_the_chance_that_no_more_lacks() -> None:
    """One take and three shots of up to four: at most 13 x 11 g = 143 g, and 43 g lack.

    So surely all fits when just that much more is there, which is found another way.
    """
    chances = many_lacking(*(uncertain(f"C{n}") for n in range(4))).chances
    fitting = chances.fitting(0, 1, [0])
    assert fitting is not None
    lacks = fitting.lacks()
    assert [lack for lack, _ in lacks] == [0, 10, 21, 32, 43]
    asked = [chances.chance(0, 1, [0], {0: lack}).low for lack, _ in lacks]
    assert [chance for _, chance in lacks] == asked
    assert asked[-1] == 1
    assert sorted(set(asked)) == asked


def test_chance__sums_that_are_dropped_widen_it_and_it_stays_true(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Law: the chance is within what is said with fewer sums, the nearer the more are kept."""
    whole = many_lacking(*(uncertain(f"C{n}") for n in range(4))).chances.chance(0, 1)
    assert whole.low == whole.high
    widths = []
    for most in (1, 2, 3, 50):
        monkeypatch.setattr("costing.buying.fitting.MOST_SUMS", most)
        found = many_lacking(*(uncertain(f"C{n}") for n in range(4))).chances.chance(0, 1)
        assert found.low <= whole.low <= found.high
        widths.append(found.high - found.low)
    assert widths == sorted(widths, reverse=True)
    assert 1 > widths[0] > widths[2] > widths[3] == 0


def test_takes_left__uncertain_shots_alike_are_worked_out_once() -> None:
    """Each has the answer it has when it is asked by itself; one of other numbers has its own."""
    shots = [uncertain("C1"), uncertain("C2"), uncertain("C3"), uncertain("other", times=3)]
    found = many_lacking(*shots)
    first, second, third, last = map(found.chances.asked_alike, range(4))
    assert first == second == third != last
    assert list(found.takes_left) == [found._of(number) for number in range(4)]
    assert [bool(one.lacks) for one in found.takes_left] == [True] * 4
