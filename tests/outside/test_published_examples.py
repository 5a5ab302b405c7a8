"""Published worked examples, each through the library's own functions.

The figures stand in ``reference/published_examples.csv`` with their source. Published roundings
differ from source to source (cut off, to the nearest, up to a unit one can buy); the library keeps
exact numbers, so each check rounds the exact result the way its source did.

Left out, because nothing here computes them: food-cost percentages and selling prices, credits
rounded down, butcher tests with by-products, and covering problems with more than one need.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from small import basket, books, line, lot, pack, purchase, sound, value

from costing.buying.basket import Offer, cheapest_mixtures
from costing.kitchen import Dish, Measured
from costing.kitchen.conversion import purchase_quantity, trimmed
from costing.quantities import Measures, amount, find_unit, round_money
from costing.report.summary_rows import summary
from costing.shoot import Episode, Shot

TABLE = Path(__file__).resolve().parents[2] / "reference" / "published_examples.csv"
with TABLE.open(encoding="utf-8", newline="") as file:
    PUBLISHED = {row["id"]: row for row in csv.DictReader(file)}

POUND = find_unit("lb", Measures.METRIC).size
FREE = Fraction(1)


def published(name: str) -> Fraction:
    """The figure as printed."""
    return Fraction(PUBLISHED[name]["value"])


def places(name: str) -> int:
    """Digits behind the point as printed."""
    _, _, digits = PUBLISHED[name]["value"].partition(".")
    return len(digits)


def cut_off(exact: Fraction, name: str) -> Fraction:
    """The result with the digits of the printed figure and the rest dropped."""
    unit = 10 ** places(name)
    return Fraction(math.floor(exact * unit), unit)


def nearest(exact: Fraction, name: str) -> Fraction:
    """The result to the digits of the printed figure, a half up."""
    unit = 10 ** places(name)
    return Fraction(math.floor(exact * unit + Fraction(1, 2)), unit)


def factor(usable: str, bought: str) -> Fraction:
    """What is bought for each one usable."""
    return purchase_quantity(Fraction(1), trim_yield=Fraction(usable) / Fraction(bought))


# --- trim yields ---


@pytest.mark.source("bccampus-basic-kitchen", "Yield Testing, opening example")
def test_yield__1_kg_of_carrots_is_800_g_trimmed() -> None:
    usable = published("bc-carrots-trimmed")
    assert purchase_quantity(usable, trim_yield=Fraction("0.8")) == 1000
    assert (
        trimmed(
            amount("1 kg"), sound("carrot", trim_yield=Fraction("0.8")), Measured.AS_BOUGHT
        ).value
        == usable
    )


@pytest.mark.source("bccampus-basic-kitchen", "Yield Testing; Food Costs")
def test_yield__drained_tuna_costs_1_875_times_its_can() -> None:
    """The printed percentage is rounded; its inverse is the printed factor."""
    exact = factor("400", "750")
    assert exact == published("bc-tuna-factor")
    assert nearest(100 / exact, "bc-tuna-yield") == published("bc-tuna-yield")


@pytest.mark.source("bccampus-basic-kitchen", "Yield Testing, example 12; Food Costs")
def test_yield__whole_salmon_to_fillet() -> None:
    """The book cuts the percentage off."""
    exact = factor("5.00", "7.75")
    assert exact == published("bc-sockeye-factor")
    assert cut_off(100 / exact, "bc-sockeye-yield") == published("bc-sockeye-yield")


@pytest.mark.source("bccampus-basic-kitchen", "Yield Testing; Food Costs")
def test_yield__tenderloin_of_70_percent() -> None:
    """100 / 70 = 1.4286, cut off by the book."""
    exact = factor("0.70", "1")
    assert cut_off(exact, "bc-tenderloin-factor") == published("bc-tenderloin-factor")


@pytest.mark.source("ontario-pork-costing", "yield of a boned loin")
def test_yield__5_kg_of_loin_is_3_75_kg_boned() -> None:
    """The need of a shot of 3.75 kg at 75% is the 5 kg bought."""
    found = books(
        line("roast", "loin", f"{PUBLISHED['ontario-loin-usable']['value']} kg"),
        sound("loin", trim_yield=Fraction("0.75")),
        Shot(dish="roast"),
    )
    assert purchase(found, "loin").need.total == 5000


@pytest.mark.parametrize(
    ("bought", "trim_yield", "name"),
    [
        ("3 lb", "0.95", "bbm-zucchini-usable"),
        ("5000 g", "0.87", "bbm-strawberries-usable"),
    ],
    ids=["zucchini", "strawberries"],
)
@pytest.mark.source("bakery-business-math", "ch. 25")
def test_yield__usable_part_of_what_was_bought(bought: str, trim_yield: str, name: str) -> None:
    """A line measured as bought is trimmed to the printed amount."""
    found = books(
        line("dish", "vegetable", bought, measured=Measured.AS_BOUGHT),
        sound("vegetable", trim_yield=Fraction(trim_yield)),
        Shot(dish="dish"),
    )
    need = purchase(found, "vegetable").need
    assert need.trimmed / need.trimmed_unit.size == published(name)


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11209; FOOD_DES NDB 11209")
def test_yield__peeled_eggplant_within_the_rounding_of_the_refuse() -> None:
    """Refuse is printed as a whole percent, so the weight is within half a percent of 567 g."""
    bought = amount("1 1/4 lb")
    clean = trimmed(bought, sound("eggplant", trim_yield=Fraction("0.81")), Measured.AS_BOUGHT)
    assert abs(clean.value - published("sr28-eggplant-peeled")) <= bought.base / 200


# --- quantities to purchase ---


@pytest.mark.source("bccampus-basic-kitchen", "Cooking Loss Test")
def test_purchase__50_portions_at_52_percent() -> None:
    """12.5 / 0.52 = 24.038 kg, cut off by the book."""
    found = books(
        line("roast", "beef", "0.250 kg"),
        sound("beef", trim_yield=Fraction("0.52")),
        Shot(dish="roast", times=50),
    )
    kilograms = purchase(found, "beef").need.total / 1000
    name = "bc-portions-to-purchase"
    assert cut_off(kilograms, name) == published(name)


@pytest.mark.source("usda-fbg-worked-examples", "frozen sliced carrots")
def test_purchase__195_servings_of_carrots_are_20_whole_pounds() -> None:
    """A serving is 1 / 9.87 lb, bought by the pound; the text cuts the quotient off."""
    per_serving = 1 / Fraction("9.87")
    found = books(
        line("carrots", "carrot", "1 lb", step=1),
        pack("carrot", "1 lb", "1.10"),
        Shot(dish="carrots", batch=per_serving, times=195),
    )
    need = purchase(found, "carrot").need.total / POUND
    assert cut_off(need, "fbg-carrots-quotient") == published("fbg-carrots-quotient")
    assert basket(found, "carrot") == {"1 lb": published("fbg-carrots-to-purchase")}


@pytest.mark.source("usda-fbg-worked-examples", "two serving sizes of roast; slide LA I-19")
def test_purchase__two_serving_sizes_of_roast_by_the_quarter_pound() -> None:
    """9.76 of 16 oz are left when cooked; 127.5 oz cooked, loose by the quarter pound."""
    found = books(
        line("small", "beef", "1.5 oz", measured=Measured.COOKED),
        line("large", "beef", "2 oz", measured=Measured.COOKED),
        sound("beef", cooked_weight=Fraction("9.76") / 16),
        pack("beef", "1 lb", "5.20", loose="1/4 lb"),
        Shot(dish="small", times=45),
        Shot(dish="large", times=30),
    )
    need = purchase(found, "beef").need.total / POUND
    assert nearest(need, "fbg-roast-quotient") == published("fbg-roast-quotient")
    assert purchase(found, "beef").bought / POUND == published("fbg-roast-to-purchase")


@pytest.mark.source("usda-fbg-worked-examples", "meatloaf for three ages")
def test_purchase__meatloaf_for_three_ages_by_the_pound() -> None:
    """153 + 157 servings of 2 oz and 90 of 2 oz; 11.8 oz cooked from a pound."""
    found = books(
        line("meatloaf", "beef", "2 oz", measured=Measured.COOKED),
        sound("beef", cooked_weight=Fraction("11.8") / 16),
        pack("beef", "1 lb", "4.10"),
        *(Shot(dish="meatloaf", name=str(times), times=times) for times in (153, 157, 90)),
    )
    need = purchase(found, "beef").need.total / POUND
    assert cut_off(need, "fbg-meatloaf-quotient") == published("fbg-meatloaf-quotient")
    assert basket(found, "beef") == {"1 lb": published("fbg-meatloaf-to-purchase")}


@pytest.mark.source("usda-fbg-worked-examples", "corn in No. 10 cans")
def test_purchase__460_servings_of_corn_are_28_whole_cans() -> None:
    """A serving of two quarter-cups is 2 x 3.0 / 100 of a can."""
    found = books(
        line("corn", "can of corn", "0.06 each"),
        pack("can of corn", "1 each", "6.75"),
        Shot(dish="corn", times=460),
    )
    assert purchase(found, "can of corn").need.total == published("fbg-corn-cans-quotient")
    assert basket(found, "can of corn") == {"1 each": published("fbg-corn-cans-to-purchase")}


@pytest.mark.source("usda-fbg-worked-examples", "ground beef")
def test_purchase__230_servings_of_ground_beef() -> None:
    """8.5 lb for 100 servings of 1 oz, so 0.17 lb for one of 2 oz."""
    found = books(line("patty", "beef", "0.17 lb"), Shot(dish="patty", times=230))
    assert purchase(found, "beef").need.total / POUND == published("fbg-beef-quotient")


COLUMN_5 = sorted(name for name in PUBLISHED if name.startswith("fbg-column-5-"))


@pytest.mark.parametrize("name", COLUMN_5, ids=lambda name: PUBLISHED[name]["inputs"].split()[0])
@pytest.mark.source("usda-fbg-worked-examples", "Section 1 p. 1-1; Section 2 p. 2-1")
def test_purchase__units_for_100_servings_are_the_least_that_cover(name: str) -> None:
    """100 servings bought in tenths of a unit that gives so many servings, as the column prints."""
    servings = Fraction(PUBLISHED[name]["inputs"].split()[0])
    mixtures = cheapest_mixtures(Fraction(100), [Offer(servings / 10, FREE)])
    assert mixtures.covered
    assert [Fraction(count, 10) for (count,) in mixtures.counts] == [published(name)]


@pytest.mark.source("usda-fbg-worked-examples", "Section 2 p. 2-1")
def test_purchase__cans_of_artichoke_for_100_quarter_cups() -> None:
    """5.97 quarter-cups a can: 16.75, in tenths 16.8."""
    mixtures = cheapest_mixtures(Fraction(100), [Offer(Fraction("0.597"), FREE)])
    assert [Fraction(count, 10) for (count,) in mixtures.counts] == [
        published("fbg-artichoke-cans")
    ]


# --- recipe factors ---


@pytest.mark.source("afrs-tm-10-412", "A. General Information No. 1(2)")
def test_factor__348_portions_from_a_card_of_100() -> None:
    """The card is a dish that makes 100 portions, 348 of which are wanted."""
    found = books(
        line("card", "flour", "1.25 lb"),
        Dish(name="card", makes=amount("100 portions")),
        line("lunch", "card", "1 portion"),
        Shot(dish="lunch", times=348),
    )
    need = purchase(found, "flour").need.total / POUND
    assert need == published("afrs-ingredient")
    assert need / Fraction("1.25") == published("afrs-working-factor")


@pytest.mark.source("afrs-tm-10-412", "A. General Information No. 1(3)")
def test_factor__what_is_on_hand_is_used_up_by_the_printed_factor() -> None:
    """102 lb on hand at 30 lb a card: 3.40 cards take it all and buy nothing."""
    found = books(
        line("card", "beef", "30 lb"),
        lot("beef", "102 lb"),
        pack("beef", "1 lb", "4.10"),
        Shot(dish="card", batch=published("afrs-factor-on-hand")),
    )
    assert purchase(found, "beef").taken.total / POUND == 102
    assert purchase(found, "beef").taken.left == 0
    assert purchase(found, "beef").lines == ()


@pytest.mark.source("afrs-tm-10-412", "A. General Information No. 1(3)")
def test_factor__348_servings_of_3_oz_from_portions_of_4_oz() -> None:
    """The card makes 400 oz; each portion of it takes one piece, so 261 pieces are 2.61 cards."""
    found = books(
        line("card", "steak", "100 each"),
        Dish(name="card", makes=amount("400 oz")),
        line("plate", "card", "3 oz"),
        Shot(dish="plate", times=348),
    )
    need = purchase(found, "steak").need.total
    assert need == published("afrs-smaller-portion-servings")
    assert need / 100 == published("afrs-smaller-portion")


@pytest.mark.parametrize("ounces", range(1, 16))
@pytest.mark.source("afrs-tm-10-412", "A. General Information No. 1(1)")
def test_factor__ounces_in_decimal_pounds_a_half_up(ounces: int) -> None:
    """2, 6, 10 and 14 oz end in a half: .125 is printed .13, .375 .38, .625 .63, .875 .88."""
    pounds = amount(f"{ounces} oz").to(find_unit("lb", Measures.METRIC)).magnitude
    assert round_money(pounds, 2) == Decimal(PUBLISHED[f"afrs-ounces-{ounces:02}"]["value"])


# --- portion and recipe costs ---


@pytest.mark.source("bccampus-basic-kitchen", "standard portion cost")
def test_cost__four_of_twenty_rashers() -> None:
    found = books(
        line("plate", "bacon", "4 each"), pack("bacon", "20 each", "3.75"), Shot(dish="plate")
    )
    assert value(found, "bacon").used == published("bc-bacon-portion-cost")


@pytest.mark.source("bccampus-basic-kitchen", "standard portion cost")
def test_cost__two_eggs_exactly_and_with_the_rounding_of_the_book() -> None:
    """2 / 12 of 2.00 is a third; the book first rounds an egg up to 0.17."""
    eggs = line("plate", "egg", "2 each")
    bacon = line("plate", "bacon", "4 each")
    rashers = pack("bacon", "20 each", "3.75")
    exact = books(eggs, pack("egg", "1 dozen", "2.00"), Shot(dish="plate"))
    assert value(exact, "egg").used == Fraction(1, 3)
    rounded = books(eggs, bacon, rashers, pack("egg", "1 each", "0.17"), Shot(dish="plate"))
    assert value(rounded, "egg").used == published("bc-eggs-portion-cost")
    assert Fraction(rounded.totals.used) == published("bc-plate-cost")


SUPPER = (
    ("spinach", "4 lb", "1.55", "1 lb", "2 oz"),
    ("cheese", "3 lb", "5.60", "1 lb", "1 lb"),
    ("eggs", "75 each", "4.50", "1 dozen", "1 each"),
    ("milk", "3 US cup", "4.30", "1 US gallon", "1 US cup"),
)


@pytest.mark.source("fsm-supplement-2025", "Appendix A Focus on Formulas")
def test_cost__recipe_of_50_servings() -> None:
    """Everything bought loose to the amount, each line to the cent at the till: 52.91.

    Before rounding it is 7.16875 + 16.80 + 28.125 + 0.80625 = 52.90; a serving is 1.06 either way.
    """
    found = books(
        *(line("supper", name, text) for name, text, *_ in SUPPER),
        line("supper", "spinach", "10 oz"),
        *(pack(name, text, price, loose=step) for name, _, price, text, step in SUPPER),
        Episode(name="Supper", portions=Fraction(50)),
        Shot(dish="supper"),
        currency="USD",
    )
    for name, *_ in SUPPER:
        assert Fraction(value(found, name).bought) == published(f"fsm-{name}-cost")
    assert Fraction(found.totals.bought) == published("fsm-recipe-cost")
    assert sum(one.used for one in found.values) == Fraction("52.90")
    figures = {row["figure"]: row["value"] for row in summary(found, (), ()).rows}
    assert figures["Used for a portion of Supper"] == Decimal(
        PUBLISHED["fsm-serving-cost"]["value"]
    )


def shown_in_this_module(name: str) -> bool:
    """Whether a row's id, or the beginning it shares with its table, is used above."""
    text = Path(__file__).read_text(encoding="utf-8")
    families: dict[str, Callable[[str], bool]] = {
        "fbg-column-5-": COLUMN_5.__contains__,
        "afrs-ounces-": lambda row: row[-2:] in {f"{ounces:02}" for ounces in range(1, 16)},
        "fsm-": lambda row: row[4:].removesuffix("-cost") in {name for name, *_ in SUPPER},
    }
    used = any(name.startswith(start) and has(name) for start, has in families.items())
    return used or f'"{name}"' in text or f"'{name}'" in text


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_examples__every_row_is_checked(name: str) -> None:
    """A row that nothing checks would only look like evidence."""
    assert shown_in_this_module(name)
