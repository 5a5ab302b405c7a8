"""What is cut or made before it lacks, as what it is cut from or made of keeps for less long."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import product
from random import Random
from typing import Any

import pytest
from small import books, books_of_shoot, codes, line, pack, part, purchase, shoot_of, sound

import costing
from costing.buying.books import Books
from costing.kitchen import Dish, Ingredient
from costing.shoot import Episode, Shoot, Shot

FIRST = date(2031, 5, 10)
EGG = (part("egg", "egg yolk", "1 each"), part("egg", "egg white", "1 each"))


def keeping(name: str, days: int) -> Ingredient:
    """An ingredient that keeps for so many days and spoils on none of them."""
    return sound(name, keeps_days=Fraction(days), holding_class="none")


def days(offsets: Sequence[int], **needs: Sequence[int]) -> list[Any]:
    """A dish on each day that takes so many of each; low lines stand for blanks."""
    rows: list[Any] = []
    for number, offset in enumerate(offsets):
        taken = {name.replace("_", " "): n[number] for name, n in needs.items() if n[number]}
        rows += [line(f"dish {number}", name, f"{n} each") for name, n in taken.items()]
        rows.append(Episode(name=f"E{number}", shoot_date=FIRST + timedelta(days=offset)))
        if taken:
            rows.append(Shot(dish=f"dish {number}", episode=f"E{number}"))
    return rows


def whites_kept(*more: Any) -> Shoot:
    """Yolks on the first and last of three days, whites on the same, which keep for six days."""
    return shoot_of(
        *days((0, 1, 4), egg_yolk=(3, 0, 1), egg_white=(2, 0, 4)),
        pack("egg", "2 each", "3.00"),
        *EGG,
        keeping("egg", 3),
        keeping("egg yolk", 0),
        keeping("egg white", 6),
        *more,
        currency="EUR",
    )


def cut(of: Books, name: str = "egg") -> dict[str, Fraction]:
    """How often something is cut or made, by episode."""
    making = of.shopping.making if of.shopping else None
    assert making is not None
    return {
        episode: times
        for number, of_day in making.at({}).runs.items()
        if making.activities[number].name == name
        for episode, times in of_day.items()
    }


@pytest.mark.parametrize("carton", [True, False], ids=["carton", "eggs alone"])
def test_white__of_the_spare_egg_is_cut_while_the_egg_keeps(*, carton: bool) -> None:
    """Worked by hand: 3 yolks and 2 whites on 10 May, 1 yolk and 4 whites on 14 May.

    10 May takes two boxes of 2 eggs. The fourth egg does not keep until 14 May, but its white
    does: all four are cut, 2 whites are used and 2 kept. 14 May then takes 2 eggs, a box, and
    4 whites are there. Three boxes are 9.00; the fourth egg not cut it is a box more, 12.00, or a
    carton of 2 whites, 9.50. Of what is cut 2 yolks are left over, one of each day, and no white.
    """
    cartons = pack("egg white", "2 each", "0.50")
    found = books_of_shoot(whites_kept(*([cartons] if carton else [])))
    assert found.totals.bought == 9
    assert [bought.count for bought in purchase(found, "egg").lines] == [2, 1]
    assert cut(found) == {"E0": 4, "E2": 2}
    assert not any("not proven" in code for code in codes(found.findings))
    making = found.shopping.making if found.shopping else None
    assert making is not None
    assert making.left_over(making.at({})) == {"egg yolk": 2}
    assert making.at({}).served["egg white"].given == {
        (0, "E0"): {"E0": 2, "E2": 2},
        (0, "E2"): {"E2": 2},
    }


def test_tables__say_what_is_cut_ahead_as_it_is_bought() -> None:
    """The same: two boxes for both days and one for 14 May, and the whole of it is one advice.

    Of the 4 eggs cut on 10 May its own yolks would take 3 alone and its whites 2, the whites of
    14 May 2: of 6.00 it pays 5/7, which is 4.29. The other 4.71 are of 14 May.
    """
    tables = costing.estimate(whites_kept()).tables()
    bought = tables["to_buy"].rows
    assert [(row["packs"], row["left_over"]) for row in bought] == [(2, 0), (1, 0)]
    assert [row["note"] for row in bought] == [
        'needed and left over are of all its trips; cut 4 of it for "E0" and keep 2 egg white for '
        '"E2"; 2 egg yolk left over of it',
        "needed and left over are of all its trips",
    ]
    assert [(row["what"], row["for"]) for row in tables["errands"].rows] == [
        ("egg 2 x 2", "E0; E2"),
        ("egg 2", "E2"),
    ]
    shares = {row["episode"]: row["share_of_bought"] for row in tables["food_cost"].rows}
    assert shares == {"E0": Decimal("4.29"), "E2": Decimal("4.71")}


def test_white__is_not_cut_ahead_where_nothing_is_gained() -> None:
    """Worked by hand: eggs that keep for a week are cut on the day that takes them.

    3 yolks and 2 whites, then 1 yolk and 4 whites, of which 1 is left of the first day: 3 and 3
    eggs, three boxes; a carton of 2 whites for 4.00 is dearer than a box.
    """
    found = books(
        *days((0, 1, 4), egg_yolk=(3, 0, 1), egg_white=(2, 0, 4)),
        pack("egg", "2 each", "3.00"),
        pack("egg white", "2 each", "4.00"),
        *EGG,
        keeping("egg", 7),
        keeping("egg yolk", 0),
        keeping("egg white", 6),
    )
    assert found.totals.bought == 9
    assert cut(found) == {"E0": 3, "E2": 3}


def test_dish__is_made_ahead_of_what_does_not_keep() -> None:
    """Worked by hand: a batch of 4 takes 100 g of cream, sold by 200 g, which keeps for a day.

    3 portions on 10 May are a batch, and so are 5 - 1 on 14 May: a pot for each day, 4.00. Both
    batches made on 10 May, as a portion keeps for five days, are one pot. Make says the same.
    """
    shoot = shoot_of(
        line("mousse", "cream", "100 g"),
        keeping("cream", 1),
        pack("cream", "200 g", "2.00"),
        Dish(name="mousse", makes="4 portion", whole_batches=True, keeps_days=5),
        line("lunch", "mousse", "3 portion"),
        line("supper", "mousse", "5 portion"),
        Episode(name="A", shoot_date="2031-05-10"),
        Episode(name="B", shoot_date="2031-05-14"),
        Shot(dish="lunch", episode="A"),
        Shot(dish="supper", episode="B"),
        currency="EUR",
    )
    found = books_of_shoot(shoot)
    assert found.totals.bought == 2
    assert cut(found, "mousse") == {"A": 2}
    (row,) = costing.estimate(shoot).tables()["make"].rows
    assert (row["episode"], row["batches"], row["left_over"]) == ("A", 2, 0)
    assert row["note"] == 'serves "B" too; takes 200 g cream'


# Brute force: every number cut on each day, every number of cartons and of boxes.


def suffice(wanted: Sequence[int], sources: Sequence[tuple[int, int, int]]) -> bool:
    """Whether sources (amount, first day, last day) serve every day, the soonest to end first."""
    left = [amount for amount, _, _ in sources]
    if sum(left) < sum(wanted):
        return False
    order = sorted(range(len(sources)), key=lambda number: sources[number][2])
    for day, lacking in enumerate(wanted):
        for number in order:
            if sources[number][1] <= day <= sources[number][2]:
                used = min(lacking, left[number])
                left[number] -= used
                lacking -= used
        if lacking:
            return False
    return True


class Case:
    """Three days, yolks and whites, boxes of eggs and perhaps cartons of whites."""

    def __init__(self, seed: int) -> None:
        random = Random(seed)  # noqa: S311 - nothing secret depends on it
        self.offsets = (0, random.choice([1, 2, 3]), random.choice([4, 5, 6]))
        self.yolks, self.whites = ([random.randint(0, 4) for _ in range(3)] for _ in range(2))
        self.yolks[0] += 1
        self.egg, self.yolk = random.choice([1, 1, 3]), random.choice([0, 1, 2, 4])
        self.white = random.choice([1, 3, 6])
        self.box = random.choice([2, 4]), random.choice([2, 3])
        self.carton = random.choice([None, (2, Fraction(1, 2)), (2, Fraction(1)), (3, Fraction(2))])

    def shoot(self) -> Shoot:
        """As the workbook has it."""
        packs = [pack("egg", f"{self.box[0]} each", str(self.box[1]))]
        if self.carton:
            size, price = self.carton
            packs.append(pack("egg white", f"{size} each", str(float(price))))
        kept = {"egg": self.egg, "egg yolk": self.yolk, "egg white": self.white}
        needs = {"egg_yolk": self.yolks, "egg_white": self.whites}
        lives = [keeping(name, length) for name, length in kept.items()]
        return shoot_of(*days(self.offsets, **needs), *packs, *EGG, *lives, currency="EUR")

    def last(self, day: int, life: int) -> int:
        """The last day that something serves which keeps from a day on."""
        return max(
            number
            for number, at in enumerate(self.offsets)
            if at == self.offsets[day] or at <= self.offsets[day] + life
        )

    def least(self, wanted: Sequence[int], size: int, price: Fraction, life: int) -> Fraction:
        """The cheapest packs, each fetched on the eve of the day it is opened on."""
        packs = product(range(-(-sum(wanted) // size) + 1), repeat=3)
        return next(
            sum(counts) * price
            for counts in sorted(packs, key=sum)
            if suffice(
                wanted,
                [(n * size, day, self.last(day, life - 1)) for day, n in enumerate(counts)],
            )
        )

    def cheapest(self) -> Fraction:
        """Over every number of eggs cut on each day and every number of cartons."""
        best = Fraction(10**6)
        most = [max(sum(self.yolks[day:]), sum(self.whites[day:])) for day in range(3)]
        size, price = self.carton or (1, Fraction(0))
        for eggs in product(*(range(n + 1) for n in most)):
            yolks = [(n, day, self.last(day, self.yolk)) for day, n in enumerate(eggs)]
            if not suffice(self.yolks, yolks):
                continue
            paid = self.least(eggs, self.box[0], Fraction(self.box[1]), self.egg)
            whites = [(n, day, self.last(day, self.white)) for day, n in enumerate(eggs)]
            cartons = range(-(-sum(self.whites) // size) + 1 if self.carton else 1)
            for counts in product(cartons, repeat=3):
                if paid + sum(counts) * price < best and suffice(
                    self.whites,
                    [
                        *whites,
                        *(
                            (n * size, day, self.last(day, self.white - 1))
                            for day, n in enumerate(counts)
                        ),
                    ],
                ):
                    best = paid + sum(counts) * price
        return best


@pytest.mark.parametrize("seed", range(24))
def test_every_day_of_cutting__none_is_cheaper(seed: int) -> None:
    """Against every number of eggs cut and of packs opened on each day."""
    case = Case(seed)
    found = books_of_shoot(case.shoot())
    assert Fraction(str(found.totals.bought)) == case.cheapest()
    assert not any("not proven" in code for code in codes(found.findings))


class TwoWays(Case):
    """The same three days with two ways of cutting, and eggs that are taken whole."""

    def __init__(self, seed: int) -> None:
        random = Random(seed)  # noqa: S311 - nothing secret depends on it
        self.offsets = (0, random.choice([1, 2, 3]), random.choice([4, 5, 6]))
        self.whites = [random.choice([0, 0, 1, 2, 3]) for _ in range(3)]
        self.halves = [random.choice([0, 0, 1, 2, 4]) for _ in range(3)]
        self.eggs = [random.choice([0, 0, 1, 2]) for _ in range(3)]
        self.halves[2] += 2 * (not any(self.whites + self.halves))
        self.egg, self.white, self.half = (
            random.choice(lives) for lives in ([1, 1, 2], [0, 1, 3, 6], [0, 1, 3, 6])
        )
        self.box = random.choice([2, 3, 4]), random.choice([2, 3])
        self.both = random.random() < 0.4  # whether the second way gives a white too

    def shoot(self) -> Shoot:
        """As the workbook has it."""
        ways = [("raw", "egg white", 1), ("boiled", "egg half", 2)]
        ways += [("boiled", "egg white", 1)] if self.both else []
        kept = {"egg": self.egg, "egg white": self.white, "egg half": self.half}
        needs = {"egg_white": self.whites, "egg_half": self.halves, "egg": self.eggs}
        return shoot_of(
            *days(self.offsets, **needs),
            pack("egg", f"{self.box[0]} each", str(self.box[1])),
            *(part("egg", name, f"{gives} each", way=way) for way, name, gives in ways),
            *(keeping(name, length) for name, length in kept.items()),
            currency="EUR",
        )

    def cheapest(self) -> Fraction:
        """Over every number of eggs boiled and parted on each day."""
        paid: dict[tuple[int, ...], Fraction] = {}
        boiled = [range(-(-sum(self.halves[day:]) // 2) + 1) for day in range(3)]
        parted = [range(sum(self.whites[day:]) + 1) for day in range(3)]
        for halves in product(*boiled):
            of_halves = [(2 * n, day, self.last(day, self.half)) for day, n in enumerate(halves)]
            for whites in product(*parted) if suffice(self.halves, of_halves) else ():
                both = zip(whites, halves, strict=True)
                given = [w + h * self.both for w, h in both]
                kept = [(n, day, self.last(day, self.white)) for day, n in enumerate(given)]
                taken = tuple(map(sum, zip(whites, halves, self.eggs, strict=True)))
                if taken not in paid and suffice(self.whites, kept):
                    size, price = self.box
                    paid[taken] = self.least(taken, size, Fraction(price), self.egg)
        return min(paid.values())


@pytest.mark.parametrize("seed", range(20))
def test_every_day_of_two_ways__none_is_cheaper(seed: int) -> None:
    """Against every number of eggs boiled and parted on each day, used on it or not."""
    case = TwoWays(seed)
    found = books_of_shoot(case.shoot())
    assert Fraction(str(found.totals.bought)) == case.cheapest()
    assert not any("not proven" in code for code in codes(found.findings))


def test_second_way__is_run_on_a_day_that_uses_nothing_of_it() -> None:
    """Worked by hand: a white on 10 May, two halves of an egg on 14 May, which keep for six days.

    A box has 2 eggs for 3.00, which keep until 10 May: the second is boiled on that day.
    """
    found = books(
        *days((0, 4), egg_white=(1, 0), egg_half=(0, 2)),
        pack("egg", "2 each", "3.00"),
        part("egg", "egg white", "1 each", way="raw"),
        part("egg", "egg half", "2 each", way="boiled"),
        keeping("egg", 1),
        keeping("egg white", 0),
        keeping("egg half", 6),
    )
    assert found.totals.bought == 3
    assert cut(found) == {"E0": 1}
    making = found.shopping.making if found.shopping else None
    assert making is not None
    assert [dict(by) for by in making.at({}).runs.values()] == [{"E0": 1}, {"E0": 1}]
