"""Which dishes are made and what of them is known: worked by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from small import books, line, lot, pack, part, purchase, said, shoot_of, sound, value

from costing.kitchen import Dish, Ingredient
from costing.shoot import Purpose, Shot

STOCK: tuple[Any, ...] = (
    *(line("stock", "bones", "1 kg"), sound("bones"), pack("bones", "1 kg", "2.00")),
    *(Dish(name="stock", makes="2 l", whole_batches=True), line("gravy", "stock", "600 ml")),
    Shot(dish="gravy"),
)
"""Two litres of stock of a kilo of bones; the gravy takes 600 ml of it."""


@pytest.mark.parametrize(
    ("stands_ready", "purpose", "batch", "kilos"),
    [
        pytest.param("3 l", Purpose.COOK_THROUGH, "1", 1, id="it is cooked though it stands ready"),
        pytest.param("3 l", Purpose.BITE, "1", 0, id="eaten of what stands ready"),
        pytest.param(None, Purpose.COOK_THROUGH, "1/2", 1, id="one pot for both"),
        pytest.param("1 l", Purpose.COOK_THROUGH, "1/2", 1, id="gravy of what stands ready"),
    ],
)
def test_whole_batches__of_a_dish_whose_cooking_is_shown(
    stands_ready: str | None, purpose: Purpose, batch: str, kilos: int
) -> None:
    """A kilo of bones is a batch, 2 l; no part of one is cooked.

    Shown, 2 l are cooked whatever stands ready, and of 3 l that do only the gravy is taken; eaten,
    2 l and 600 ml are taken of the 3 l. Where none stands ready a pot of 2 l has the half batch
    that is shown and the gravy.
    """
    ready = [] if stands_ready is None else [lot("stock", stands_ready)]
    found = books(*STOCK, *ready, Shot(dish="stock", purpose=purpose, batch=Fraction(batch)))
    assert purchase(found, "bones").need.total == 1000 * kilos


@pytest.mark.parametrize(
    ("of", "breasts", "legs"),
    [("1 each", "8.00", "4.00"), ("1 kg", "7.71", "1.29")],
    ids=["whole chickens", "any part of a kilo"],
)
def test_parts__each_pays_for_what_it_would_have_cut_alone(
    of: str, breasts: str, legs: str
) -> None:
    """A chicken, or a kilo of it, gives 200 g of breast and 200 g of leg, at 6.00.

    300 g of breast alone are two chickens and 50 g of leg one: 2 to 1 of 12.00. By weight they are
    1.5 kg and 0.25 kg: 6 to 1 of the 9.00 for the 1.5 kg that are cut.
    """
    found = books(
        *(line("roast", "breast", "300 g"), line("stew", "leg", "50 g")),
        *(sound("breast"), sound("leg"), pack("chicken", of, "6.00")),
        *(part("chicken", "breast", "200 g", of=of), part("chicken", "leg", "200 g", of=of)),
        *(Shot(dish="roast"), Shot(dish="stew")),
    )
    assert {share.dish: share.used for share in found.shares} == {
        "roast": Decimal(breasts),
        "stew": Decimal(legs),
    }


UNKNOWN: tuple[Any, ...] = (
    *(line("stock", "bones", "1 kg"), line("stock", "moon salt", "1 tsp")),
    *(sound("bones"), pack("bones", "1 kg", "2.00")),
    *(sound("moon salt"), pack("moon salt", "1 kg", "1.00")),
    *(Dish(name="stock", makes="2 l"), lot("stock", "100 ml")),
)
"""A stock with a spoon of salt that nobody weighed, and some of it on hand."""


@pytest.mark.parametrize(
    "rows",
    [
        pytest.param([line("gravy", "stock", "600 ml")], id="in it"),
        pytest.param(
            [
                *(line("gravy", "sauce", "600 ml"), line("sauce", "stock", "200 ml")),
                *(line("sauce", "bones", "100 g"), lot("sauce", "50 ml")),
                Dish(name="sauce", makes="1 l"),
            ],
            id="in what is in it",
        ),
    ],
)
def test_known__an_amount_that_is_not_known_of_a_dish_in_the_dish(rows: list[Any]) -> None:
    """What of the salt goes in is missing from the totals, and what of the bones does is not."""
    found = books(*UNKNOWN, *rows, Shot(dish="gravy"))
    assert list(purchase(found, "moon salt").need.unknown) == ["the grams per ml of moon salt"]
    assert list(purchase(found, "bones").need.unknown) == []
    assert found.totals.bought_missing == ("the grams per ml of moon salt",)
    assert found.shopping is not None
    assert not found.shopping.needs.knows(found.shoot.shots[0])
    weighed = [
        sound("moon salt", density=Fraction(1)) if x == sound("moon salt") else x for x in UNKNOWN
    ]
    known = books(*weighed, *rows, Shot(dish="gravy"))
    assert known.shopping is not None
    assert known.shopping.needs.knows(known.shoot.shots[0])


def test_known__a_step_that_is_not_known_of_a_dish_in_whole_batches() -> None:
    """Step 1 is known and step 2, with the salt, is not: a shot of both is not known."""
    rows = (
        *(line("stock", "bones", "1 kg", step=1), line("stock", "moon salt", "1 tsp", step=2)),
        *(line("stock", "peel", "10 g", step=3), sound("peel"), *UNKNOWN[2:6]),
        Dish(name="stock", whole_batches=True),
    )
    shots = (Shot(dish="stock", steps="1-2"), Shot(dish="stock", steps="1"))
    found = books(
        *rows, *(shot.model_copy(update={"name": f"S{n}"}) for n, shot in enumerate(shots))
    )
    assert found.shopping is not None
    assert list(map(found.shopping.needs.knows, found.shoot.shots)) == [False, True]


def test_parts__rows_of_one_way_are_counted_for_the_amount_of_the_first() -> None:
    """Six eggs give 6 yolks, and two give 4 whites: for 12 whites six eggs are cut."""
    found = books(
        *(line("custard", "egg yolk", "5 each"), line("foam", "egg white", "12 each")),
        part("egg", "egg yolk", "6 each", of="6 each"),
        part("egg", "egg white", "4 each", of="2 each"),
        *(pack("egg", "6 each", "2.40"), Shot(dish="custard"), Shot(dish="foam")),
    )
    assert [(line.count, value(found, "egg").bought) for line in purchase(found, "egg").lines] == [
        (1, Decimal("2.40"))
    ]


def test_parts__an_amount_of_a_part_that_cannot_be_turned_is_told() -> None:
    """The juice is bought by weight, and Parts gives it by volume: that is no juice at all."""
    shoot = shoot_of(
        *(line("cake", "moon juice", "30 g"), line("cake", "moon zest", "2 g")),
        *(sound("moon zest"), Ingredient(name="moon juice"), pack("moon juice", "100 g", "9")),
        part("moon lemon", "moon juice", "40 ml"),
        part("moon lemon", "moon zest", "4 g"),
        *(pack("moon lemon", "1 each", "0.40"), Shot(dish="cake")),
    )
    assert said(shoot, "conversion missing") == [
        'Ingredients (row "moon juice", column "Grams per ml"): found a blank cell, while the '
        'recipes take 40 ml of moon juice (Parts (row "moon juice", column "Ingredient")) and it '
        "is bought in g, expected grams per ml, such as 0.92 [conversion missing]\n"
        "  Write into Weighs on the sheet Ingredients what a cook can weigh, such as 1 cup = 125 g"
        ", or fill Grams per ml there, or write the recipe in a unit of the same kind as g."
    ]
