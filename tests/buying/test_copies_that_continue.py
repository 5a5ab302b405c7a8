"""Copies that go on from shot to shot: what is bought for them, certain and uncertain."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import Any

import pytest
from buying.test_takes_left import logged, more_of, outlook
from plans import least_rank, packs_bought, shopping
from small import books, line, pack, purchase, shoot_of, sound

from costing.shoot import Purpose, Shoot, Shot
from costing.shoot.copies import Forest


def forest_plan(seed: int) -> Shoot:
    """A dish of three steps and a few shots that go on with each other's copies."""
    random = Random(seed)  # noqa: S311 - nothing secret depends on it
    parts: list[Any] = [
        line("roast", name, f"{random.choice([40, 90, 125])} g", step=step)
        for step, name in enumerate(("almond", "beet", "almond"), start=1)
    ]
    for name in ("almond", "beet"):
        parts.append(sound(name))
        parts += [
            pack(name, f"{size} g", str(random.randint(50, 300) / 100))
            for size in random.sample([100, 150, 250], 2)
        ]
    for number, (steps, sources) in enumerate(
        (((1,), [""]), ((2,), ["P0", "P0", ""]), ((3,), ["P1", "P0"]), ((3,), ["P1"]))
    ):
        fewest = random.randint(0, 1)
        uncertain = random.random() < 0.7
        parts.append(
            Shot(
                dish="roast",
                name=f"P{number}",
                purpose=Purpose.COOK_THROUGH,
                steps=steps,
                from_shot=random.choice(sources),
                times=fewest + 1,
                fewest=fewest if uncertain else None,
                most=fewest + 1 + random.randint(0, 1) if uncertain else None,
            )
        )
    chance = Fraction(random.choice([0, 5, 20]), 100)
    return shoot_of(*parts, currency="EUR", chance_of_running_out=chance)


@pytest.mark.parametrize("seed", range(12))
def test_plan__is_the_best_of_all_baskets(seed: int) -> None:
    """Law: no basket that covers takes and followers with the chance asked for ranks before it."""
    found = shopping(forest_plan(seed))
    market = found.market
    assert Forest(found.shoot.shots).takers
    chance = 1 - found.shoot.settings.chance_of_running_out
    assert market.terms.rank(packs_bought(found)) == least_rank(market, chance)


def test_certain__three_copies_for_two_followers() -> None:
    """Worked by hand: A once, B twice and C once go on from it, 3 x 40 g; B and C add 3 x 50 g."""
    found = books(
        line("roast", "almond", "40 g", step=1),
        line("roast", "beet", "50 g", step=2),
        sound("almond"),
        sound("beet"),
        Shot(dish="roast", name="A", purpose=Purpose.SWAP, steps=(1,)),
        Shot(dish="roast", name="B", purpose=Purpose.HERO, times=2, from_shot="A"),
        Shot(dish="roast", name="C", purpose=Purpose.BITE, from_shot="A"),
    )
    assert purchase(found, "almond").need.total == 120
    assert purchase(found, "beet").need.total == 150


def test_one_more__of_a_follower_begins_a_copy_where_none_is_to_spare() -> None:
    """Worked by hand: A twice, B once from it. A second B takes 50 g, a third 40 g more."""
    parts = [
        line("roast", "almond", "40 g", step=1),
        line("roast", "beet", "50 g", step=2),
        Shot(dish="roast", name="A", purpose=Purpose.SWAP, steps=(1,), times=2),
    ]
    for times, more in ((1, {"beet": 50}), (2, {"almond": 40, "beet": 50})):
        follower = Shot(dish="roast", purpose=Purpose.HERO, times=times, from_shot="A")
        needs = shopping(shoot_of(*parts, follower)).needs
        assert {name: n for name, n in needs.one_more(1, {}).items() if n} == more


@pytest.mark.parametrize(
    ("taken", "others", "left"),
    [
        (["P", "C", "C"], [], {"P": 0, "C": 0, "H": 0, "B": 1}),
        (["C", "C", "C"], [], {"P": 0, "C": 0, "H": 0, "B": 0}),
        (["P", "C", "C", "C"], ["B2"], {"P": 0, "C": 0, "H": 0, "B": 0, "B2": 0}),
    ],
    ids=["its pie stands there", "no pie was begun", "its pie is another's too"],
)
def test_takes_left__of_a_copy_that_stands_there_take_nothing(
    taken: list[str], others: list[str], left: dict[str, int]
) -> None:
    """Cream is bought for P, C and H, 50 g each, and for a second pie where B2 eats of one too.

    All of it is used, so that H lacks its own; a bite of the pie that P begun takes no cream. With
    two bites of it one needs a pie that cannot be finished.
    """
    bites = (Shot(dish="pie", name=n, purpose="bite", from_shot="P") for n in ("B", *others))
    found = outlook(
        line("pie", "dough", "100 g", step=1),
        line("pie", "cream", "50 g", step=2),
        pack("dough", "100 g", "1"),
        pack("cream", "50 g", "1"),
        Shot(dish="pie", name="P"),
        Shot(dish="pie", name="C", purpose="retake", steps=2),
        Shot(dish="pie", name="H", purpose="hero"),
        *bites,
        log=logged(*((name, "taken") for name in taken)),
    )
    assert more_of(found) == left
    assert found.takes_left[3].others_lack
