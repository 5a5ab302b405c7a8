"""The tart shoot: the whole plan against the figures worked out by hand.

Need is the sum over shots of times x the amounts of their steps; steps 1 to 6 are fed five, four,
two, three, two and six times. As bought is need / yield; net is as bought less usable stock; packs
are net / pack, rounded up. Used value prices the as-bought need at the pack's price per unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import pytest
from small import basket, books_of_shoot, codes, purchase, value
from tart import RECIPE, TART, lots, shots, tart_shoot

from costing.buying.books import Books
from costing.shoot import Purpose, Shot


@dataclass(frozen=True)
class Worked:
    """One row of the table worked out by hand, in g, ml or pieces."""

    name: str
    trimmed: str
    as_bought: str
    on_hand: str
    net: str
    pack: str
    packs: int
    cost: str
    used: str
    left: str


PLAN = [
    Worked("flour", "1250", "1250", "620", "630", "1 kg", 1, "0.89", "1.1125", "370"),
    Worked("butter", "625", "625", "0", "625", "250 g", 3, "8.37", "6.9750", "125"),
    # 7 x 1.99 / 6 = 13.93 / 6
    Worked("egg", "7", "7", "0", "7", "6 each", 2, "3.98", "1393/600", "5"),
    # 1600 / 0.72 = 20000/9; 45 x 50 g = 2250 g; 2.25 x 1.89 = 4.2525
    Worked("leek", "1600", "20000/9", "0", "20000/9", "50 g", 45, "4.25", "4.2", "250/9"),
    # a jar holds 570 g, 400 g of it drained, and is bought by the 400
    Worked("white beans", "480", "480", "0", "480", "400 g", 2, "2.58", "1.5480", "320"),
    # 40 ml at 30 ml a lemon
    Worked("lemon juice", "40", "4/3", "0", "4/3", "1 each", 2, "0.70", "7/15", "2/3"),
    Worked("garlic", "20", "25", "0", "25", "60 g", 1, "0.45", "0.1875", "35"),
    Worked("yoghurt", "120", "120", "0", "120", "500 g", 1, "1.49", "0.3576", "380"),
    Worked("goat cheese", "240", "240", "0", "240", "150 g", 2, "6.98", "5.5840", "60"),
    Worked("hazelnut", "240", "240", "60", "180", "150 g", 2, "5.98", "4.7840", "120"),
    # 60 / 0.45 = 400/3
    Worked("parsley leaf", "60", "400/3", "0", "400/3", "60 g", 3, "2.97", "2.2", "140/3"),
    Worked("honey", "60", "60", "60", "0", "", 0, "0", "0.5040", "150"),
    Worked("olive oil", "120", "120", "120", "0", "", 0, "0", "1.0800", "280"),
    Worked("salt", "32", "32", "32", "0", "", 0, "0", "0.0144", "768"),
]


@pytest.fixture(scope="module")
def plan() -> Books:
    return books_of_shoot(tart_shoot())


@pytest.mark.parametrize("row", PLAN, ids=[row.name for row in PLAN])
def test_tart__every_row_as_worked_by_hand(plan: Books, row: Worked) -> None:
    """The working stands beside the table; every figure is compared exactly."""
    bought = purchase(plan, row.name)
    worth = value(plan, row.name)
    left = bought.bought - bought.wanted + bought.taken.left
    assert bought.need.trimmed == Fraction(row.trimmed)
    assert bought.need.total == Fraction(row.as_bought)
    assert bought.taken.total == Fraction(row.on_hand)
    assert bought.net == bought.wanted == Fraction(row.net)
    assert basket(plan, row.name) == ({row.pack: row.packs} if row.packs else {})
    assert worth.bought == Decimal(row.cost)
    assert worth.used == Fraction(row.used)
    assert left == Fraction(row.left)
    assert not bought.short


def test_tart__no_other_ingredients(plan: Books) -> None:
    """Fourteen ingredients, in the order of the recipe."""
    names = list(dict.fromkeys(name for parts in RECIPE.values() for name in parts))
    assert [p.need.ingredient.name for p in plan.purchases] == names
    assert sorted(names) == sorted(row.name for row in PLAN)


def test_tart__bought_used_and_taken_from_the_pantry(plan: Books) -> None:
    """0.89 + 8.37 + 3.98 + 4.25 + 2.58 + 0.70 + 0.45 + 1.49 + 6.98 + 5.98 + 2.97 = 38.64.

    From the pantry: 620 x 0.89/1000 + 60 x 2.99/150 + 60 x 4.20/500 + 120 x 6.75/750
    + 32 x 0.45/1000 = 0.5518 + 1.196 + 0.504 + 1.08 + 0.0144 = 3.3462.
    Left balances: 38.64 + 3.35 - 31.34 = 10.65.
    """
    totals = plan.totals
    assert totals.bought == Decimal("38.64")
    assert totals.used == Decimal("31.34")
    assert totals.on_hand_used == Decimal("3.35")
    assert totals.left == Decimal("10.65")
    assert totals.tax == 0
    assert totals.missing == ()


def test_tart__only_the_two_expired_lots_are_told(plan: Books) -> None:
    """Eggs to 8 May and yoghurt to 9 May; the shoot is on 10 May."""
    assert codes(plan.findings) == ["lot past its date", "lot past its date"]


def test_tart__one_plain_tart_uses_8_67() -> None:
    """One cook-through and nothing else; 31.34 / 8.67 = 3.61 tarts' worth are used."""
    one = books_of_shoot(tart_shoot(shots=[Shot(dish=TART)]))
    assert one.totals.used == Decimal("8.67")
    assert round(Decimal("31.34") / one.totals.used, 2) == Decimal("3.61")


def counted_as_good(name: str) -> Books:
    """The books when a lot's date is not looked at."""
    undated = [
        lot.model_copy(update={"use_by": None}) if lot.ingredient == name else lot for lot in lots()
    ]
    return books_of_shoot(tart_shoot(lots=undated))


def test_tart__counting_expired_eggs_leaves_one_egg_short(plan: Books) -> None:
    """7 - 2 = 5, one box of 6; but all 7 must be bought, so 1 is short."""
    wrong = counted_as_good("egg")
    assert basket(wrong, "egg") == {"6 each": 1}
    assert purchase(plan, "egg").wanted - purchase(wrong, "egg").bought == 1


def test_tart__counting_expired_yoghurt_buys_none() -> None:
    """120 of 125 g would come from the pot that is past its date."""
    wrong = counted_as_good("yoghurt")
    assert basket(wrong, "yoghurt") == {}
    assert value(wrong, "yoghurt").bought == 0


def shortages(plan: Books, blanket: Books) -> dict[str, Fraction]:
    """What the step plan would lack if the blanket's list were bought."""
    return {
        wanted.need.ingredient.name: wanted.wanted - bought.bought
        for wanted, bought in zip(plan.purchases, blanket.purchases, strict=True)
        if wanted.wanted > bought.bought
    }


@pytest.mark.parametrize(
    ("times", "cost", "short"),
    [
        (
            3,
            "28.84",
            {
                "butter": "125",
                "egg": "1",
                "leek": "4700/9",  # 522.22 g
                "hazelnut": "30",
                "parsley leaf": "40/3",  # 13.33 g
            },
        ),
        (4, "40.98", {"butter": "125"}),
        (5, "45.61", {}),
    ],
    ids=["three times", "four times", "five times"],
)
def test_tart__blanket_multiplier_is_short_or_dear(
    plan: Books, times: int, cost: str, short: dict[str, str]
) -> None:
    """One cook-through n times, its list held against what the step plan needs.

    Three times: butter 375 g, 2 packs, 500 of 625; egg 6 of 7; leek 1200 / 0.72 = 1666.67 g, 34
    steps of 50 g, 1700 of 2222.22; hazelnut 195 - 60, 1 pack, 150 of 180; parsley 45 / 0.45 =
    100 g, 2 bunches, 120 of 133.33. The step plan covers all at 38.64.
    """
    blanket = books_of_shoot(
        tart_shoot(shots=[Shot(dish=TART, purpose=Purpose.COOK_THROUGH, times=times)])
    )
    assert blanket.totals.bought == Decimal(cost)
    assert shortages(plan, blanket) == {name: Fraction(text) for name, text in short.items()}


def test_tart__money_of_each_purpose_adds_up_to_the_total(plan: Books) -> None:
    """Law: shown parts add up exactly."""
    assert [share.purpose for share in plan.shares] == [
        "cook-through",
        "swap",
        "hero",
        "retake",
        "reset",
    ]
    assert sum(share.used for share in plan.shares) == Decimal("31.34")
    assert sum(share.bought for share in plan.shares) == Decimal("38.64")


def test_tart__one_retake_more_adds_exactly_its_step() -> None:
    """A third retake of step 2: 400 g leek trimmed, 30 ml oil and 3 g salt more, nothing else."""
    plan = books_of_shoot(tart_shoot())
    changed = [
        shot.model_copy(update={"times": 3}) if shot.name == "P5" else shot for shot in shots()
    ]
    more = books_of_shoot(tart_shoot(shots=changed))
    grown = {
        after.need.ingredient.name: after.need.trimmed - before.need.trimmed
        for before, after in zip(plan.purchases, more.purchases, strict=True)
        if after.need.trimmed != before.need.trimmed
    }
    assert grown == {"leek": 400, "olive oil": 30, "salt": 3}


def test_tart__one_pantry_item_fewer_buys_only_that_item() -> None:
    """Without the hazelnuts on hand 240 g are net: still 2 packs of 150, 60 g left."""
    plan = books_of_shoot(tart_shoot())
    without = [lot for lot in lots() if lot.ingredient != "hazelnut"]
    fewer = books_of_shoot(tart_shoot(lots=without))
    changed = [
        after.need.ingredient.name
        for before, after in zip(plan.purchases, fewer.purchases, strict=True)
        if (after.net, after.bought) != (before.net, before.bought)
    ]
    assert changed == ["hazelnut"]
    assert purchase(fewer, "hazelnut").net == 240
    assert basket(fewer, "hazelnut") == {"150 g": 2}
