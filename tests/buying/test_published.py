"""Blanks filled from published tables: where, by what, and what is told of it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from published_tables import rows
from tart import tart_shoot

from costing.buying.blanks import FIELDS
from costing.buying.books import books_of
from costing.buying.published import with_published
from costing.estimating import estimate
from costing.kitchen import Dish, HoldingClass, Ingredient, Line, Lot, Measured, Pack
from costing.quantities import Measures, amount
from costing.reference import Choices, all_foods, fill
from costing.report.estimates import Estimate
from costing.shoot import Episode, Settings, Shoot, Shot
from costing.shoot.defaults import completed

CUP = Fraction("236.5882365")
"""US cup, the measure the tables print weights for. [ml]"""


def shoot_of(
    *needed: tuple[str, str], sold: dict[str, str], cut: str = "", **changes: object
) -> Shoot:
    """One dish, cooked once, of these ingredients and packs."""
    parts: dict[str, object] = {
        "settings": Settings(currency="EUR", measures=Measures.US_CUSTOMARY),
        "lines": [
            Line(dish="dish", ingredient=name, amount=amount(text, Measures.US_CUSTOMARY), cut=cut)
            for name, text in needed
        ],
        "packs": [
            Pack(ingredient=name, amount=amount(text), price=Decimal(1))
            for name, text in sold.items()
        ],
        "shots": [Shot(dish="dish")],
    }
    return Shoot.model_validate(parts | changes)


def need_of(result: Estimate, name: str) -> Fraction:
    """As-bought need in the unit of the row."""
    value = result.needs.set_index("ingredient").loc[name, "as_bought_need"]
    assert isinstance(value, Fraction)
    return value


def codes(result: Estimate) -> set[str]:
    """Codes of all findings."""
    return {finding.code for finding in result.findings}


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 11282: Onions, raw, refuse 10; WEIGHT Seq 1")
def test_with_published__cup_of_chopped_onion_bought_by_weight() -> None:
    """One cup chopped is 160 g, and refuse is 10 %: 160 / 0.90 g to buy."""
    result = estimate(shoot_of(("onion", "1 cup"), sold={"onion": "1 kg"}, cut="chopped"))
    assert need_of(result, "onion") == Fraction(160) / Fraction(9, 10)
    assert "several published values" not in codes(result)


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11282: 160 g chopped, 115 g sliced to the cup")
def test_with_published__cup_without_a_cut_takes_what_buys_most_and_tells() -> None:
    """Chopped weighs more than sliced: 160 g, not 115 g, and both are named."""
    result = estimate(shoot_of(("onion", "1 cup"), sold={"onion": "1 kg"}))
    assert need_of(result, "onion") == Fraction(160) / Fraction(9, 10)
    (finding,) = [f for f in result.findings if f.code == "several published values"]
    assert str(finding) == (
        'Ingredients (row "onion", column "Grams per ml"): found a blank cell for onion, with '
        "several published values: the weight of a cup depends on the cut, expected one of 0.6763 "
        "(chopped) or 0.4861 (sliced) [several published values]\n"
        "  Write the one that is meant into the cell; until then the one that buys most is taken: "
        "0.6763."
    )


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 09003 refuse 10 cored, NDB 09004 refuse 23 pared")
def test_with_published__several_trim_yields_take_the_least() -> None:
    """Cored 90, cored and peeled 77: 770 g clean is 1000 g to buy."""
    result = estimate(shoot_of(("apple", "770 g"), sold={"apple": "1 kg"}))
    assert need_of(result, "apple") == 1000
    assert "several published values" in codes(result)


@pytest.mark.source("usda-sr28", "WEIGHT NDB 01123: medium egg 44 g")
def test_with_published__pieces_without_a_size_are_medium() -> None:
    """100 g of egg from pieces of unknown size: 100 / 44."""
    result = estimate(shoot_of(("egg", "100 g"), sold={"egg": "6 each"}))
    assert need_of(result, "egg") == Fraction(100, 44)


def test_with_published__what_was_given_is_never_changed() -> None:
    """Law: a shoot whose ingredients say everything is as it was, money and all."""
    shoot = tart_shoot()
    filled = with_published(shoot)
    given = {row.name: row for row in shoot.ingredients}
    for row in filled.shoot.ingredients:
        assert row.trim_yield == given[row.name].trim_yield
        assert row.density == given[row.name].density
        assert row.piece_weight == given[row.name].piece_weight
    assert filled.shoot.lines == shoot.lines
    assert estimate(shoot).totals.bought == Decimal("38.64")


def test_with_published__pieces_bought_by_the_piece_need_nothing() -> None:
    """Eggs by the piece: no yield, no weight, no finding about them."""
    filled = with_published(shoot_of(("egg", "3 each"), sold={"egg": "6 each"}))
    assert not {fill.value.column for fill in filled.fills} & {"Trim yield %", "Grams per piece"}
    assert not filled.findings


def test_with_published__nearest_name_is_only_suggested() -> None:
    result = estimate(shoot_of(("chiken breast", "300 g"), sold={"chiken breast": "500 g"}))
    assert need_of(result, "chiken breast") == 300
    (finding,) = [f for f in result.findings if f.code == "no published name"]
    assert str(finding) == (
        'Ingredients (row "chiken breast", column "Trim yield %"): found a blank cell, and no '
        'published values under the name "chiken breast", expected a value, or a name of the '
        "tables; the nearest are chicken breast, boneless chicken breast, chicken stock, duck "
        "breast or chicken [no published name]\n"
        '  Fill the cell; costing published "chicken breast" shows what is known of that food.'
    )


def test_with_published__an_unknown_name_is_told_once_for_all_its_blanks() -> None:
    """A cup of it bought by weight lacks a yield and a density, by one name."""
    result = estimate(shoot_of(("chiken stock", "1 cup"), sold={"chiken stock": "500 g"}))
    assert [f.code for f in result.findings].count("no published name") == 1


def test_with_published__values_alike_for_all_foods_of_a_name_are_no_question() -> None:
    """The rices differ by the cup and none is trimmed: only the cup is asked about."""
    result = estimate(shoot_of(("rice", "2 cup"), sold={"rice": "100 g"}))
    told = [f.place.heading for f in result.findings if f.code == "several published values"]
    assert told == ["Grams per ml"]


def test_with_published__class_none_against_the_tables_is_told() -> None:
    shoot = shoot_of(
        ("yoghurt", "100 g"),
        sold={"yoghurt": "500 g"},
        ingredients=[Ingredient(name="yoghurt", holding_class=HoldingClass.NONE)],
    )
    (finding,) = [f for f in estimate(shoot).findings if f.code == "class against the tables"]
    assert str(finding) == (
        'Ingredients (row "yoghurt", column "Holding class"): found the holding class none for '
        'yoghurt, expected the published class "always" (Food Code 2022, section 1-201.10(B), '
        "definition of TCS food, US Food and Drug Administration; 1-201.10(B), TCS food; also "
        "Indiana Code 16-18-2-351.7 (secondary)), or a reason to differ from it [class against "
        "the tables]\n"
        "  Write the published class unless an assessment of this very food says otherwise; as it "
        "is, no time is counted for it."
    )


def test_lots__published_perishable_without_a_date_does_not_count() -> None:
    """Yoghurt is published as always needing control: an undated lot is bought again."""
    shoot = shoot_of(
        ("yoghurt", "100 g"),
        sold={"yoghurt": "500 g"},
        lots=[Lot(ingredient="yoghurt", amount=amount("200 g"))],
    )
    result = estimate(shoot)
    assert result.totals.bought == 1
    assert "lot without a date" in codes(result)


def test_measured_cooked__published_ratio_is_used() -> None:
    """Whatever the published ratio is, the raw need is the cooked one divided by it."""
    shoot = shoot_of(
        ("long-grain rice", "280 g"),
        sold={"long-grain rice": "1 kg"},
    )
    cooked = shoot.changed(
        lines=tuple(line.model_copy(update={"measured": Measured.COOKED}) for line in shoot.lines)
    )
    (ratio,) = [
        fill.value.number
        for fill in with_published(cooked).fills
        if fill.value.column == "Cooked weight %"
    ]
    assert need_of(estimate(cooked), "long-grain rice") == 280 / (ratio / 100)


def dated(shopping: date, shooting: date) -> Shoot:
    """Parsley, published to keep two days in the refrigerator, bought on one day for another."""
    return shoot_of(
        ("parsley", "20 g"),
        sold={"parsley": "50 g"},
        settings=Settings(currency="EUR", shopping_date=shopping),
        episodes=[Episode(name="one", shoot_date=shooting)],
    )


@pytest.mark.source("usda-foodkeeper", "product 611: Parsley (fresh), refrigerate 2 - 3 days")
def test_storage__bought_too_early_is_told_and_stands_on_the_list() -> None:
    """Two days from the 5th end on the 7th; for the 8th it may be bought from the 6th on."""
    result = estimate(dated(date(2031, 5, 5), date(2031, 5, 8)))
    (finding,) = [f for f in result.findings if f.code == "does not keep"]
    assert str(finding) == (
        'Ingredients (row "parsley", column "Keeps days"): found parsley bought on 2031-05-05, '
        "which keeps 2 days, needed on 2031-05-08, expected a day of shopping within its storage "
        "life [does not keep]\n"
        "  Buy it on 2031-05-06 or later, by 2031-05-08, or fill Keeps days if yours keeps longer."
    )
    (note,) = result.to_buy["note"]
    assert note == "keeps 2 days, needed on 2031-05-08: buy on 2031-05-06 or later, by 2031-05-08"


def test_storage__on_its_last_day_it_still_keeps() -> None:
    assert "does not keep" not in codes(estimate(dated(date(2031, 5, 6), date(2031, 5, 8))))


def test_sensitivity__range_is_tried_at_both_ends() -> None:
    """Clean apple 1500 g: at 77 % 1948 g is two bags of 1 kg at 1.00, at 90 % 1667 g is two as
    well; 1800 g: 2338 g is three, 2000 g is two.
    """
    result = estimate(shoot_of(("apple", "1800 g"), sold={"apple": "1 kg"}))
    (effect,) = [e for f, e in result.effects.items() if f.value.column == "Trim yield %"]
    assert (effect.low, effect.high) == (Decimal("3.00"), Decimal("2.00"))
    about = " ".join(result.assumptions["about"])
    assert "which would make the bought value 2.00 EUR to 3.00 EUR" in about


def test_assumptions__those_that_move_money_most_come_first() -> None:
    """The apples' range moves a whole bag, the onion's has none."""
    result = estimate(
        shoot_of(("onion", "100 g"), ("apple", "1800 g"), sold={"onion": "1 kg", "apple": "1 kg"})
    )
    filled = [about for about in result.assumptions["about"] if about.startswith("Trim yield %")]
    assert filled[0].startswith("Trim yield % of apple")


DATED_LEMONS = Lot(
    ingredient="lemon", amount=amount("250 g"), value=Decimal(1), use_by=date(2031, 5, 10)
)
ON_THE_DAY = [Episode(name="one", shoot_date=date(2031, 5, 9))]


@pytest.mark.source("usda-sr28", "WEIGHT NDB 09150 Seq 2 and 3: 58 g, 84 g; Refuse 47")
def test_with_published__pieces_needed_and_stock_weighed_take_the_larger_piece() -> None:
    """250 g as bought are 132.5 g of flesh: 1.58 lemons of 84 g or 2.28 of 58 g.

    Of 4 lemons 2.42 or 1.72 are missing: 3 or 2 are bought.
    """
    shoot = shoot_of(
        ("lemon", "4 each"), sold={"lemon": "1 each"}, lots=[DATED_LEMONS], episodes=ON_THE_DAY
    )
    result = estimate(shoot)
    assert result.totals.bought == 3
    (finding,) = [f for f in result.findings if "58" in f.expected]
    assert str(finding) == (
        'Ingredients (row "lemon", column "Grams per piece"): found a blank cell for lemon, with '
        "several published values: it depends on the size, expected one of 58 (whole) for 2.00 EUR "
        "or 84 (whole) for 3.00 EUR [several published values]\n"
        "  Write the one that is meant into the cell; until then the one that buys most is taken: "
        "84. With it lemon costs 3.00 EUR, with another as little as 2.00 EUR."
    )


@pytest.mark.source("usda-sr28", "WEIGHT NDB 09150: whole 58 g, 84 g; wedge 7 g")
def test_with_published__weight_needed_and_pieces_sold_take_the_smaller_piece() -> None:
    """200 g of flesh are 3.4 lemons of 58 g, and 28 wedges of 7 g that nobody sells."""
    result = estimate(shoot_of(("lemon", "200 g"), sold={"lemon": "1 each"}))
    assert need_of(result, "lemon") == Fraction(200, 58)


@pytest.mark.parametrize(
    ("name", "published"),
    [
        ("parsley", "a sprig 1 g"),
        ("garlic", "a clove 3 g"),
        ("basil", "a leaf 0.5 g"),
        ("celery", "a large, stalk 64 g"),
        ("asparagus", "a small, spear 12 g"),
        ("white bread", "a slice 29 g"),
        ("blueberry", "a berry 1.36 g"),
    ],
)
def test_with_published__another_kind_of_piece_is_never_used(name: str, published: str) -> None:
    """30 g of parsley are no 30 bunches: the cell to fill is named, and what is published."""
    result = estimate(shoot_of((name, "30 g"), sold={name: "1 each"}))
    assert result.totals.bought == 0
    (finding,) = [f for f in result.findings if f.code == "conversion missing"]
    assert finding.place.heading == "Grams per piece"
    assert f"Published is another kind of piece: {published}" in finding.remedy


@pytest.mark.source("usda-sr28", "WEIGHT NDB 02044: 5 leaves 2.5 g; NDB 11215: clove 3 g")
@pytest.mark.parametrize(
    ("name", "cut", "grams"),
    [("basil", "leaf", Fraction(3)), ("garlic", "cloves", Fraction(18)), ("garlic clove", "", 18)],
)
def test_with_published__a_piece_that_is_named_is_weighed_as_that(
    name: str, cut: str, grams: Fraction
) -> None:
    """6 leaves of 0.5 g, 6 cloves of 3 g, before trimming."""
    shoot = shoot_of((name, "6 each"), sold={name: "100 g"}, cut=cut)
    need = estimate(shoot).books.purchases[0].need
    assert need.ingredient.trim_yield is not None
    assert need.total * need.ingredient.trim_yield == grams


def test_with_published__a_word_for_several_foods_takes_one_food_for_all_blanks() -> None:
    """The weight of a cos lettuce never goes with the yield of a leaf lettuce."""
    result = estimate(shoot_of(("lettuce", "1 each"), sold={"lettuce": "100 g"}))
    words = ("Holding class", "Allergens")  # all kinds of lettuce share them
    filled = [fill.value for fill in result.fills if fill.value.column not in words]
    assert {value.state.split(",")[0] for value in filled} == {"cos lettuce"}
    assert need_of(result, "lettuce") == Fraction(626) / Fraction(94, 100)


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20110: cup 160 g; water 7.92 and 67.73: 282.0 %")
def test_measured_cooked__a_cup_is_weighed_as_the_cooked_food() -> None:
    """3 cups of 160 g cooked are 480 g, of which 100 / 282 are dry; a dry cup has 38 g."""
    noodles = Line(
        dish="dish",
        ingredient="egg noodles",
        amount=amount("3 cup", Measures.US_CUSTOMARY),
        measured=Measured.COOKED,
    )
    shoot = shoot_of(sold={"egg noodles": "100 g"}, lines=[noodles])
    assert need_of(estimate(shoot), "egg noodles") == 480 / Fraction("2.82")
    given = [Ingredient(name="egg noodles", density=Fraction(1, 2))]
    typed = shoot.changed(ingredients=given)
    assert need_of(estimate(typed), "egg noodles") == 480 / Fraction("2.82")


@pytest.mark.source("usda-sr28", "WEIGHT NDB 14555 Seq 2: cup 237 g; NDB 01077 Seq 1: cup 244 g")
def test_dishes__that_are_weighed_take_the_published_weight_of_water_and_milk() -> None:
    """Half a litre of each with 200 g of roots, boiled down to half; 150 g of it on the plate.

    A batch weighs half of 200 g + 500 ml * (237 g + 244 g) / cup; 150 g by that is the part of a
    batch on the plate, with 200 g of roots and half a litre of milk in each; water is never bought.
    """
    lines = [
        Line(dish="dish", ingredient="soup", amount=amount("150 g")),
        Line(dish="soup", ingredient="odd root", amount=amount("200 g")),
        Line(dish="soup", ingredient="Water", amount=amount("500 ml")),
        Line(dish="soup", ingredient="milk", amount=amount("500 ml")),
    ]
    result = estimate(
        shoot_of(
            sold={"odd root": "1 kg", "milk": "1 l"},
            lines=lines,
            dishes=[Dish(name="soup", cooked_weight=Fraction(1, 2))],
        )
    )
    batches = 150 / ((200 + 500 * (237 + 244) / CUP) / 2)
    assert need_of(result, "odd root") == 200 * batches
    assert need_of(result, "milk") == 500 * batches
    assert list(result.needs["ingredient"]) == ["odd root", "milk"]
    assert ("water", "Grams per ml", "") in {one.place for one in result.fills}
    assert "dish amount unclear" not in codes(result)


def mixed(name: str, cut: str, kinds: tuple[str, str, str]) -> Shoot:
    """What is needed in one kind of unit, on hand in another, sold in a third."""
    amounts = {"g": "700 g", "cup": "3 cup", "each": "7 each"}
    stock = {"g": "130 g", "cup": "0.5 cup", "each": "1 each"}
    packs = {"g": "40 g", "cup": "0.25 cup", "each": "1 each"}
    needed, held, sold = kinds
    return completed(
        shoot_of(
            (name, amounts[needed]),
            sold={name: packs[sold]},
            cut=cut,
            lots=[Lot(ingredient=name, amount=amount(stock[held]), use_by=date(2031, 5, 20))],
            episodes=ON_THE_DAY,
        )
    )[0]


KINDS = [
    (needed, held, sold)
    for needed in ("g", "cup", "each")
    for held in ("g", "cup", "each")
    for sold in ("g", "cup", "each")
    if len({needed, held, sold}) > 1
]


@pytest.mark.parametrize("kinds", KINDS, ids="-".join)
def test_law__no_other_published_value_buys_more(kinds: tuple[str, str, str]) -> None:
    """Whatever is needed, held and sold in which units: each other value, typed, buys no more.

    What the finding says that a value would cost is what it costs when it is typed.
    """
    tried = named = 0
    for food in all_foods()[KINDS.index(kinds) % 4 :: 4]:
        shoot = mixed(food.name, "", kinds)
        published = with_published(shoot)
        most = books_of(published.shoot).totals.bought
        for heading in ("Trim yield %", "Grams per ml", "Grams per piece"):
            found = fill(food.name, heading, sold_each="each" in kinds[1:])
            if not isinstance(found, Choices) or not found.of_the_food:
                continue
            said = " ".join(f.expected for f in published.findings if f.place.heading == heading)
            field, scale = FIELDS[heading]
            for value in found.candidates:
                row = Ingredient.model_validate({"name": food.name, field: value.number * scale})
                other = with_published(shoot.changed(ingredients=(row,)))
                bought = books_of(other.shoot).totals.bought
                assert bought <= most, (food.name, heading, value.text)
                tried += 1
                if f"{value.text} ({value.state}) for " in said:
                    assert f"{value.text} ({value.state}) for {bought} EUR" in said, food.name
                    named += 1
    assert tried > 20
    assert named or kinds[2] != "g"


def test_with_published__words_for_several_foods_can_be_mixed_anyhow() -> None:
    """Also where no one of the foods has a value for each blank that is needed."""
    words = {row["synonym"] for row in rows("synonyms") if row["several"] == "yes"}
    assert len(words) > 5
    for word in sorted(words):
        for kinds in KINDS[::5]:
            assert with_published(mixed(word, "", kinds)).shoot.lines
