"""Takes left are worked out in whole numbers, and every answer is that in fractions."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest
from small import line, lot, pack, shoot_of, sound

from costing.buying.books import books_of
from costing.buying.takes_left import Outlook
from costing.buying.whole_supplies import whole
from costing.kitchen import HoldingClass
from costing.shoot import Episode, Shot
from costing.shoot.defaults import completed

FIRST = date(2031, 5, 10)


def outlook(*rows: object) -> Outlook:
    """The outlook of a shoot that is bought on the first day."""
    made = shoot_of(*rows, currency="EUR", shopping_date=FIRST)
    return Outlook(books_of(completed(made)[0]))


def test_whole__is_the_number_times_a_multiple_of_its_denominator() -> None:
    """5/6 times 12 is 10, as an int."""
    assert whole(Fraction(5, 6), 12) == 10
    assert isinstance(whole(Fraction(5, 6), 12), int)


def test_takes_left__what_an_early_day_takes_is_bought_for_a_later_one_at_its_loss() -> None:
    """The early day has the lot first, and the later one buys what it no longer gets.

    100 ml of cream are on hand; the early shot takes 0.8 ml, the later one 100 ml a day after, for
    which 0.8 / 0.9 = 0.889 ml are bought, in a bottle of 1.7 ml. Taken twice, the early one leaves
    98.4 ml, and 1.6 / 0.9 = 1.778 ml would have to be there: 0.078 ml too much.
    """
    found = outlook(
        sound("cream", spoilage=Fraction(1, 10), holding_class=HoldingClass.NONE),
        lot("cream", "100 ml"),
        line("dip", "cream", "0.8 ml"),
        line("soup", "cream", "100 ml"),
        pack("cream", "1.7 ml", "1.00"),
        Episode(name="early", shoot_date=FIRST),
        Episode(name="late", shoot_date=FIRST + timedelta(days=1)),
        Shot(dish="dip", name="D", episode="early"),
        Shot(dish="soup", name="S", episode="late"),
    )
    (dip, _) = found.takes_left
    assert dip.more == 1
    assert [one.amount for one in dip.lacks] == [Fraction(16, 9) - Fraction(17, 10)]


@pytest.mark.parametrize("seed", range(12))
def test_takes_left__no_more_fit_than_the_supplies_in_fractions_say(seed: int) -> None:
    """Counted up one by one: so many more lack nothing of any ingredient, and one more does."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    names, days = ("ale", "bran", "curd"), range(random.randint(1, 3))
    rows: list[object] = []
    for name in names:
        spoilage = Fraction(random.choice((0, 3, 10)), 100)
        rows += [
            sound(
                name, trim_yield=Fraction(2, 3), spoilage=spoilage, holding_class=HoldingClass.NONE
            ),
            pack(
                name,
                f"{random.randint(900, 4000) / 10} g",
                str(Decimal(random.randint(50, 300)) / 100),
            ),
        ]
        if random.random() < 0.7:
            last = random.choice((None, FIRST, FIRST + timedelta(days=1)))
            rows.append(lot(name, f"{random.randint(20, 200)} g", use_by=last))
    for day in days:
        date_of = FIRST + timedelta(days=day)
        rows.append(Episode(name=f"day {day}", shoot_date=date_of))
        rows += [line(f"dish {day}", name, f"{random.randint(50, 990) / 10} g") for name in names]
        shots = range(random.randint(1, 2))
        rows += [
            Shot(dish=f"dish {day}", name=f"{day}.{n}", episode=f"day {day}", times=1 + n)
            for n in shots
        ]
    found = outlook(*rows)
    planned = {number: shot.times for number, shot in enumerate(found.shoot.shots)}
    for one in found.takes_left:

        def lacking(times: int, number: int = one.number) -> dict[str, Fraction]:
            draws = found.supplies.draws({**planned, number: times})
            each = ((supply.name, supply.lacking(draws)) for supply in found.supplies.limited)
            return {name: amount for name, amount in each if amount > 0}

        fitting = 0
        while not lacking(fitting + 1):
            fitting += 1
        assert not lacking(fitting)
        assert one.more == fitting
        assert {lack.supply.name: lack.amount for lack in one.lacks} == lacking(fitting + 1)
