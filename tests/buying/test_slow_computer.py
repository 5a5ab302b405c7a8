"""What is bought and said hangs on no clock but the limit of the main search, which is said."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time
from fractions import Fraction
from itertools import count
from typing import Any

import pytest
from small import books_of_shoot, line, pack, shoot_of, sound

from costing.buying.alternatives import Instead
from costing.buying.books import Books
from costing.buying.constraints import why
from costing.buying.continuing import could_continue
from costing.shoot import Episode, Purpose, Shoot, Shot


def over_days() -> Shoot:
    """Fish of three days from two shops, equally dear: 3 packs of 100 g or one of 300 g a day."""
    keeps = {"published_keeps": Fraction(2), "published_keeps_opened": Fraction(2)}
    days = [date(2031, 5, day) for day in (5, 12, 19)]
    parts: list[Any] = [sound("fish", **keeps)]
    for day in days:
        name = f"E{day.day}"
        parts += [
            line(f"dish {name}", "fish", "210 g"),
            Episode(name=name, shoot_date=day),
            Shot(dish=f"dish {name}", episode=name),
        ]
    parts += [pack("fish", "300 g", "3", shop="a"), pack("fish", "100 g", "1", shop="b")]
    parts += [pack("fish", "70 g", "1", shop="b")]
    return shoot_of(*parts, shopping_date=days[0], more_shopping_dates=tuple(days[1:]))


def uncertain() -> Shoot:
    """Two shots, the second a copy that could continue; packs and times are one search."""
    return shoot_of(
        line("roast", "bird", "1 each", step=1, step_name="truss"),
        line("roast", "cress", "20 g", step=2, step_name="dress"),
        sound("cress"),
        pack("bird", "1 each", "80", shop="a"),
        pack("bird", "2 each", "150", shop="b"),
        pack("cress", "50 g", "1.50", shop="a"),
        pack("duck", "1 each", "90", shop="a"),
        Shot(dish="roast", name="R", purpose=Purpose.SWAP, steps="1", starts=time(9)),
        Shot(dish="roast", name="H", purpose=Purpose.HERO, starts=time(10), fewest=1, most=3),
        currency="EUR",
    )


def packs_bought(shoot: Shoot) -> object:
    """How many packs of which row."""
    lines = [one for purchase in books_of_shoot(shoot).purchases for one in purchase.lines]
    return [(str(one.pack.unit_amount), one.trip, one.count) for one in lines]


ASKED: dict[str, Callable[[Books], object]] = {
    "copies": could_continue,
    "why": lambda books: why(books).costs,
    "another ingredient": lambda books: Instead(books.shoot, books).cheapest([{"bird": "duck"}]),
}


def slow(monkeypatch: pytest.MonkeyPatch) -> None:
    """From now on every look at the clock is an hour later."""
    monkeypatch.setattr("costing.buying.solver.monotonic", count(0, 3600).__next__)


def test_slow_computer__buys_the_same_over_days(monkeypatch: pytest.MonkeyPatch) -> None:
    shoot = over_days()
    before = packs_bought(shoot)
    slow(monkeypatch)
    assert packs_bought(shoot) == before


@pytest.mark.parametrize("asked", ASKED)
def test_slow_computer__says_the_same(asked: str, monkeypatch: pytest.MonkeyPatch) -> None:
    books = books_of_shoot(uncertain())
    before = ASKED[asked](books)
    slow(monkeypatch)
    assert ASKED[asked](books) == before
