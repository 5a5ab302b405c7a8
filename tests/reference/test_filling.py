"""A blank is filled by one fitting published value, or the values are choices."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from costing.quantities import Measures, find_unit
from costing.reference import (
    FILLED_COLUMNS,
    Choices,
    Filled,
    all_foods,
    fill,
    kept_as,
    kind_of_piece,
    sources,
)
from costing.reference.filling import fill_of_several_foods, other_pieces
from costing.reference.foods import find_food
from costing.reference.tables import published

CUP = Fraction("236.5882365")


def one(name: str, column: str, *, cut: str = "") -> Filled:
    given = fill(name, column, cut=cut)
    assert isinstance(given, Filled), given
    return given


def several(name: str, column: str, *, cut: str = "") -> Choices:
    given = fill(name, column, cut=cut)
    assert isinstance(given, Choices), given
    return given


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 11282, Refuse 10")
def test_fill__one_published_state_fills_with_its_source() -> None:
    given = one("Onions", "Trim yield %")
    assert (given.number, given.unit, given.text) == (Fraction(90), "%", "90")
    assert given.state == "as bought -> trimmed (less stem ends, sprouts and defects)"
    assert given.as_printed == "Refuse 10, Stem ends, sprouts and defects"
    assert given.source == (
        "National Nutrient Database for Standard Reference, Release 28, "
        "US Department of Agriculture; FOOD_DES NDB 11282: Onions, raw"
    )
    assert given.note == "also published: 78 (as bought -> trimmed and cooked)"


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 09003 Refuse 10, NDB 09004 Refuse 23")
def test_fill__several_states_are_choices() -> None:
    given = several("apple", "Trim yield %")
    assert [c.text for c in given.candidates] == ["90", "77"]
    assert given.why == "it depends on the state in which it is bought and used"
    assert given.of_the_food


@pytest.mark.parametrize(
    ("cut", "value"), [("cored", 90), ("cored and peeled", 77), ("peeled, cored", 77)]
)
def test_fill__a_cut_that_names_the_state_decides(cut: str, value: int) -> None:
    """The whole set of words decides before a part of it: cored alone is not peeled."""
    assert one("apple", "Trim yield %", cut=cut).value == value


def test_fill__words_of_all_foods_of_a_plain_name_are_those_of_the_first() -> None:
    names = [each.food.name for each in find_food("cream").suggestions]
    first, given = one(names[0], "Allergens"), one("cream", "Allergens")
    assert len(names) > 1
    assert given.value == first.value == ("milk",)
    assert replace(given, note=first.note) == first
    assert given.note.endswith(f"the same for all that go by this name: {', '.join(names)}")


@pytest.mark.source("usda-sr28", "WEIGHT NDB 15157 Seq 3: 1 lb in shell yields 68.0 g")
def test_fill__a_form_in_which_none_is_bought_is_the_one_it_is_left_in() -> None:
    """68.0 of 453.6 g are 15 %; clams left in their shell are used whole."""
    assert one("shelled clams", "Trim yield %").value == 15
    assert [c.text for c in several("clams", "Trim yield %").candidates] == ["100", "15"]


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 09266 Refuse 49, NDB 09429 Refuse 42")
def test_fill__a_figure_of_all_varieties_goes_before_one_of_some() -> None:
    given = one("pineapple", "Trim yield %")
    assert given.value == 51
    assert given.note.startswith("also published: 58 (whole, traditional varieties")


@pytest.mark.source("usda-sr28", "FOOD_DES NDB 20081, 19335, 01077: Refuse 0")
@pytest.mark.parametrize("name", ["flour", "caster sugar", "milk", "olive oil", "butter", "salt"])
def test_fill__staples_sold_ready_to_use_are_100(name: str) -> None:
    given = one(name, "Trim yield %")
    assert (given.text, given.as_printed, given.verified) == ("100", "Refuse 0", "source-text")


@pytest.mark.trade
@pytest.mark.parametrize("name", ["star anise", "ground cumin", "panko", "creme fraiche"])
def test_fill__staples_without_a_record_are_100_by_common_practice(name: str) -> None:
    given = one(name, "Trim yield %")
    assert (given.text, given.source_id, given.verified) == ("100", "kitchen-practice", "memory")


def test_fill__meat_on_the_bone_is_a_choice_between_boned_and_left_on() -> None:
    """Recipes weigh a leg as bought; filling 78 would buy 28% too much without a word."""
    given = several("leg of lamb", "Trim yield %")
    assert {c.text: c.state.split(" (")[0] for c in given.candidates} == {
        "78": "bone-in -> boned",
        "100": "bone-in -> left on the bone",
    }


def test_fill__a_figure_of_something_else_never_fills() -> None:
    given = several("lemon", "Trim yield %")
    assert [c.text for c in given.candidates] == ["53"]
    assert given.why == (
        "what is published is not of the food as it is used: the flesh; not for juice or zest"
    )


@pytest.mark.parametrize("column", FILLED_COLUMNS)
def test_fill__an_unknown_name_fills_nothing(column: str) -> None:
    assert kind_of_piece("unobtainium") == ""
    assert fill("unobtainium", column) is None
    assert fill("sprnig onion", column) is None


def test_fill__a_column_without_tables_is_the_programmers_fault() -> None:
    with pytest.raises(ValueError, match="no table fills the column 'Spoilage % per day'"):
        fill("onion", "Spoilage % per day")
    with pytest.raises(ValueError, match="no allergen list 'UK'; known: US, EU, AU-NZ, CA"):
        fill("onion", "Allergens", allergen_list="UK")


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11282 Seq 1 and 2: cup chopped 160, sliced 115")
@pytest.mark.parametrize(("cut", "grams"), [("chopped", 160), ("sliced", 115), ("Slices", 115)])
def test_fill__a_named_cut_chooses_its_measure(cut: str, grams: int) -> None:
    given = one("onion", "Grams per ml", cut=cut)
    assert given.value == Fraction(grams) / CUP
    assert find_unit("US cup", Measures.METRIC).size == CUP


def test_fill__a_cut_that_fills_a_cup_alike_stands_in_visibly() -> None:
    given = one("onion", "Grams per ml", cut="finely diced")
    assert given.value == Fraction(160) / CUP
    assert given.note == "printed for chopped, used for diced"


def test_fill__a_cut_nothing_is_published_for_is_a_choice() -> None:
    given = several("parsnip", "Grams per ml", cut="diced")
    assert (given.why, [c.state for c in given.candidates]) == (
        "none is published for diced",
        ["sliced"],
    )


def test_fill__without_a_cut_measures_that_differ_are_choices() -> None:
    given = several("onion", "Grams per ml")
    assert given.why == "the weight of a cup depends on the cut"
    assert [c.state for c in given.candidates] == ["chopped", "sliced"]


@pytest.mark.source("usda-sr28", "WEIGHT NDB 01053: cup fluid 238, whipped 120")
def test_fill__without_a_cut_the_measure_without_a_cut_word_is_meant() -> None:
    given = one("double cream", "Grams per ml")
    assert given.value == Fraction(238) / CUP
    assert given.note == "also published: 0.5072 (whipped)"


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11143: cup chopped 101, tbsp 7.5")
def test_fill__a_bare_spoon_beside_cups_is_only_shown() -> None:
    """7.5 x 16 = 120 g a cup against 101 printed: the spoon is rounded to half a gram."""
    given = one("celery", "Grams per ml")
    assert given.value == Fraction(101) / CUP
    assert given.note == "printed for chopped, used without a cut; also published: 0.5072"


@pytest.mark.source("usda-sr28", "WEIGHT NDB 02027: tsp leaves 1, tsp ground 1.8")
def test_fill__spoons_of_it_as_it_comes_go_before_those_of_a_cut() -> None:
    """No cup is printed of dried oregano; a teaspoon is 1/48 of a cup."""
    assert one("dried oregano", "Grams per ml").value == 48 / CUP
    assert one("dried oregano", "Grams per ml", cut="ground").value == Fraction("1.8") * 48 / CUP


@pytest.mark.source("usda-sr28", "WEIGHT NDB 16424: tbsp 14.2, tsp 4.5, cup 255")
def test_fill__the_cup_goes_before_the_spoons() -> None:
    assert one("low sodium soy sauce", "Grams per ml").value == Fraction(255) / CUP


@pytest.mark.source("usda-sr28", "WEIGHT NDB 19334: cup packed 220, unpacked 145")
def test_fill__packed_and_loose_sugar_are_choices_until_named() -> None:
    assert len(several("brown sugar", "Grams per ml").candidates) == 2
    assert one("brown sugar", "Grams per ml", cut="packed").value == Fraction(220) / CUP
    assert one("brown sugar", "Grams per ml", cut="loose").value == Fraction(145) / CUP


def test_fill__the_volume_of_a_lemon_is_not_that_of_its_flesh() -> None:
    assert isinstance(fill("lemon", "Grams per ml"), Choices)
    assert one("lemon juice", "Grams per ml").value == Fraction(244) / CUP


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11215 Seq 3: clove 3.0")
def test_fill__a_piece_of_one_weight_fills() -> None:
    for name, cut in (("garlic clove", ""), ("cloves of garlic", ""), ("garlic", "cloves")):
        given = one(name, "Grams per piece", cut=cut)
        assert (given.text, given.state) == ("3", "clove")


@pytest.mark.source("usda-sr28", "WEIGHT NDB 01123: large 50, medium 44; NDB 11282: medium 110")
@pytest.mark.parametrize(("name", "grams"), [("egg", 44), ("onion", 110), ("courgette", 196)])
def test_fill__the_medium_size_is_meant_where_none_is_named(name: str, grams: int) -> None:
    sold, counted = fill(name, "Grams per piece", sold_each=True), one(name, "Grams per piece")
    assert sold == counted
    assert counted.value == grams


@pytest.mark.source("usda-sr28", "WEIGHT NDB 09200 Seq 4: 1 fruit (2-5/8 in dia) = 131 g")
def test_fill__the_piece_printed_without_a_size_goes_before_small_and_large_ones() -> None:
    """Printed are a large orange of 184 g, a small one of 96 g, and one of 131 g between them."""
    assert one("orange", "Grams per piece").text == "131"


def test_fill__sizes_without_a_medium_one_are_choices() -> None:
    assert [c.text for c in several("lemon", "Grams per piece").candidates] == ["58", "84"]
    assert [c.state for c in several("papaya", "Grams per piece").candidates] == [
        "small, whole",
        "large, whole",
    ]


@pytest.mark.parametrize(
    ("name", "sold_each"),
    [
        *((name, False) for name in ("garlic", "celery", "parsley", "basil", "broccoli")),
        *((name, True) for name in ("asparagus", "bacon", "blueberry", "spring onion")),
        ("lemon juice", True),
        ("white bread", False),
    ],
)
def test_fill__another_kind_of_piece_is_only_shown(name: str, sold_each: bool) -> None:
    """A clove is no bulb, a sprig no bunch, a spear no bunch, the juice of one no bottle."""
    given = fill(name, "Grams per piece", sold_each=sold_each)
    assert isinstance(given, Choices)
    assert not given.of_the_food


def test_fill__what_a_recipe_counts_is_one_of_them() -> None:
    """Six asparagus are spears, three bacon are slices, twenty blueberries are berries."""
    assert one("asparagus", "Grams per piece").text == "16"
    assert one("bacon", "Grams per piece").text == "28"
    assert one("lemon juice", "Grams per piece").text == "48"


@pytest.mark.parametrize(
    ("cut", "texts"),
    [("wedge", ["7"]), ("slice", ["7"]), ("wedges", ["58", "84"]), ("sliced", ["58", "84"])],
)
def test_fill__a_cut_in_the_plural_is_how_the_whole_is_cut_up(cut: str, texts: list[str]) -> None:
    given = fill("lemon", "Grams per piece", cut=cut)
    found = given.candidates if isinstance(given, Choices) else (given,)
    assert [value.text for value in found if value is not None] == texts


@pytest.mark.parametrize(
    ("name", "percent"),
    [("salmon steaks", 84), ("boneless pork loin", 84), ("peeled cucumber", 73)],
)
def test_fill__a_form_that_the_name_says_decides(name: str, percent: int) -> None:
    assert one(name, "Trim yield %").value == percent
    assert isinstance(fill("salmon", "Trim yield %"), Choices)


@pytest.mark.parametrize(
    ("name", "food"),
    [("head of romaine", "romaine"), ("garlic cloves", "garlic"), ("tomato slices", "tomato")],
)
def test_fill__a_form_that_no_row_names_has_the_yield_of_the_food(name: str, food: str) -> None:
    """Law: nothing is published of heads, cloves and slices alone, and the food is the same."""
    assert one(name, "Trim yield %").value == one(food, "Trim yield %").value


@pytest.mark.parametrize("name", ["tomato slices", "melon wedges", "iceberg lettuce leaves"])
def test_fill__what_the_name_says_is_cut_is_classed_by_nobody(name: str) -> None:
    """A whole tomato needs control from when it is cut; a slice of it is cut: blank is always."""
    assert fill(name, "Holding class") is None
    assert fill(name, "Keeps days") is None


@pytest.mark.source("food-code-leafy-greens-quoted", "cut, shredded, sliced, chopped or torn")
@pytest.mark.parametrize("name", ["head of romaine", "bunch of spinach", "whole watermelon"])
def test_fill__a_form_that_is_not_cut_keeps_the_class_of_the_food(name: str) -> None:
    """It is the cut leaf or melon that needs control: a head, a bunch, a whole melon are uncut."""
    assert one(name, "Holding class").text == "when cut"


def test_fill__a_size_in_the_name_decides() -> None:
    assert one("large eggs", "Grams per piece").value == 50
    assert one("small onion", "Grams per piece").value == 70


def test_fill__a_named_part_decides() -> None:
    """A leaf or a sprig is only shown, unless it is what the line counts."""
    assert isinstance(fill("basil", "Grams per piece"), Choices)
    assert one("basil", "Grams per piece", cut="leaf").value == Fraction(1, 2)


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11352 Seq 3: 213; FOOD_DES NDB 11352: Refuse 25")
def test_fill__a_piece_weighed_as_bought_is_worth_its_trim_yield() -> None:
    """213 g with the skin, of which 75 % are left: 159.75 g."""
    given = one("potato", "Grams per piece")
    assert given.value == Fraction("159.75")
    assert given.note.endswith("213 g as printed, times the trim yield 75 %")


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20110: cup 160 cooked; NDB 20109: cup 38 dry")
def test_fill__a_cup_cooked_is_of_the_cooked_food() -> None:
    assert one("egg noodles", "Grams per ml when cooked").value == Fraction(160) / CUP
    assert one("spaghetti", "Grams per ml when cooked", cut="packed").value == Fraction(151) / CUP
    assert len(several("spaghetti", "Grams per ml when cooked").candidates) == 2
    assert fill("butter", "Grams per ml when cooked") is None


@pytest.mark.source("usda-sr28", "NUT_DATA 255, NDB 20044 11.62, NDB 20045 68.44")
def test_fill__dry_goods_take_up_water_give_or_take_20_percent() -> None:
    """(100 - 11.62) / (100 - 68.44) = 2.800; x 0.8 = 2.240, x 1.2 = 3.360."""
    given = one("long grain rice", "Cooked weight %")
    assert [given.number, given.low, given.high] == [280, 224, 336]


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20029 Seq 2: 1 cup dry yields 528 g")
def test_fill__a_printed_yield_goes_before_one_worked_out_from_water() -> None:
    """528 / 173 = 3.052 printed, 91.44 / 27.43 = 3.334 from dry matter; both are told."""
    given = one("couscous", "Cooked weight %")
    assert given.value == Fraction("305.2")
    assert given.note == "also published: 333.4 (boiled (absorption))"


def test_fill__ways_of_cooking_are_choices_until_one_is_named() -> None:
    assert len(several("diced lamb", "Cooked weight %").candidates) == 2
    assert one("diced lamb", "Cooked weight %", cut="braised").text == "60"


@pytest.mark.source("usda-foodkeeper", "product 21: refrigerate 3 - 5 Weeks")
def test_fill__the_low_end_of_a_range_of_days_is_used() -> None:
    given = one("egg", "Keeps days")
    assert [given.number, given.low, given.high] == [21, 21, 35]
    assert given.state == "refrigerated from purchase"


@pytest.mark.source("usda-foodkeeper", "product 294: pantry 1 Month, refrigerate 2 Months")
def test_fill__days_are_of_the_usual_place_and_the_others_are_told() -> None:
    given = one("onion", "Keeps days")
    assert (given.text, given.state) == ("30", "pantry from purchase")
    assert "60 (refrigerated from purchase)" in given.note


@pytest.mark.source("usda-foodkeeper", "products 3 and 212: from date of purchase, after opening")
def test_kept_as__counts_from_the_day_it_is_bought() -> None:
    """Hard goat cheese opened keeps 3 - 4 weeks, sealed 6 months; baking powder 3 and 6 months."""
    kept = kept_as("aged goat cheese", "fresh"), kept_as("baking powder", "shelf")
    assert [one.text for one in kept if one is not None] == ["180", "180"]


@pytest.mark.source("usda-foodkeeper", "product 240: pantry Indefinitely, opened 18 - 24 Months")
def test_fill__indefinitely_is_at_least_the_life_after_opening() -> None:
    given = one("sugar", "Keeps days")
    assert given.value == 540
    assert given.note == "sealed it is printed as Indefinitely: at least this long"


@pytest.mark.source("usda-foodkeeper", "product 27: Package use-by date; product 306: When Ripe")
@pytest.mark.parametrize("name", ["milk", "tomato"])
def test_fill__a_period_in_words_gives_no_number(name: str) -> None:
    assert fill(name, "Keeps days") is None


@pytest.mark.source("usda-foodkeeper", "product 360: refrigerate after opening 1 Month")
def test_fill__days_after_opening_have_a_column_of_their_own() -> None:
    assert one("soy sauce", "Keeps days after opening").value == 30
    assert fill("onion", "Keeps days after opening") is None


@pytest.mark.parametrize("column", FILLED_COLUMNS)
def test_fill__whatever_is_filled_can_be_cited(column: str) -> None:
    for known in all_foods():
        given = fill(known.name, column)
        candidates = given.candidates if isinstance(given, Choices) else (given,)
        for value in candidates:
            if value is not None:
                assert value.source_id in sources()
                assert value.locator
                assert value.text
                assert value.column == column


@pytest.mark.source("usda-sr28", "WEIGHT NDB 05006 276 g raw, 05009 178 g, 10194 101 g, 10195 81 g")
def test_fill__cooked_weights_of_poultry_and_pork_are_of_the_boned_meat() -> None:
    """178 / 276 = 64.5 %, 200 / 276 = 72.5 %, 146 / 197 = 74.1 %; 81, 80 and 75 of 101 g."""
    chicken, chop = fill("chicken", "Cooked weight %"), fill("pork chop", "Cooked weight %")
    assert isinstance(chicken, Choices)
    assert isinstance(chop, Choices)
    assert [value.text for value in chicken.candidates] == ["64.5", "72.5", "74.1"]
    assert [value.text for value in chop.candidates] == ["80.2", "79.2", "74.3"]
    assert one("pork chop", "Cooked weight %", cut="braised").text == "80.2"


@pytest.mark.source("usda-sr28", "WEIGHT NDB 16057, 16058, 11233, 11622, 11457")
@pytest.mark.parametrize(
    ("name", "cut", "grams", "borrowed"),
    [
        ("canned chickpeas", "", 164, "printed for boiled and drained"),
        ("kale", "chopped", 67, "printed for scotch kale"),
        ("kale", "pieces", 16, ""),
        ("spinach", "packed", 30, "printed without a cut"),
    ],
)
def test_fill__a_cup_printed_for_another_state_says_so(
    name: str, cut: str, grams: int, borrowed: str
) -> None:
    """What a can holds with its liquid is no measure of what is drained."""
    found = fill(name, "Grams per ml", cut=cut)
    assert isinstance(found, Filled)
    assert round(found.number * Fraction("236.5882365")) == grams
    assert found.borrowed == borrowed


@pytest.mark.parametrize(
    ("name", "column"),
    [("oil", "Allergens"), ("tomato sauce", "Allergens"), ("pepper", "Holding class")],
    ids=["soybeans in one of three", "unknown of one of two", "when cut, and none"],
)
def test_fill__words_that_do_not_hold_for_all_foods_of_a_name_are_of_none(
    name: str, column: str
) -> None:
    """Law: what is filled in for the name holds for each food that may be meant by it."""
    of_each = [fill(each.food.name, column) for each in find_food(name).suggestions]
    assert len({one.value if isinstance(one, Filled) else None for one in of_each}) == 2
    assert fill(name, column) is None


def test_fill_of_several_foods__each_value_says_of_which_food_it_is() -> None:
    """Oil fills a cup as one of three oils does; those have no other state than the oil."""
    found = fill_of_several_foods("oil", "Grams per ml")
    assert found is not None
    names = [each.food.name for each in find_food("oil").suggestions]
    assert [one.state for one in found.candidates] == names
    assert found.of_several_foods
    assert fill_of_several_foods("olive oil", "Grams per ml") is None


def test_other_pieces__sizes_of_the_piece_that_is_sold_are_none() -> None:
    """A lemon is small or large, and a lemon both times; a sprig is no bunch of parsley."""
    assert isinstance(fill("lemon", "Grams per piece", sold_each=True), Choices)
    assert other_pieces("lemon") == ()
    assert other_pieces("parsley") == ("a sprig 1 g",)


def test_fill__a_cut_that_names_the_way_of_cooking_chooses_the_cooked_weight() -> None:
    """Law: each way that is printed gives its own value, in capitals too."""
    several_ways = 0
    for food in all_foods():
        rows = [row for row in published(food.food_id).cooked_weights if row.fills]
        ways = [row.method for row in rows]
        if len({row.value for row in rows}) > 1:
            several_ways += 1
            for row in rows:
                if sum(row.method in way for way in ways) == 1:
                    found = one(food.name, "Cooked weight %", cut=row.method.upper())
                    assert found.value == row.value
    assert several_ways


def test_fill__a_piece_cut_of_what_is_always_perishable_has_the_class_of_the_food() -> None:
    """Of a salmon steak nobody has to ask whether it is cut; for how long it keeps is not told."""
    assert one("salmon steaks", "Holding class").value == "always"
    assert fill("salmon steaks", "Keeps days") is None


def test_fill__a_life_after_opening_is_no_life_of_what_is_sealed() -> None:
    """Law: it is the least that is certain where the sealed one is printed as Indefinitely."""
    met = set()
    for food in all_foods():
        days = [row for row in published(food.food_id).storage_days if row.fills]
        sealed = [row for row in days if row.counted_from != "opening"]
        endless = any(row.as_printed == "Indefinitely" for row in sealed)
        if fill(food.name, "Keeps days after opening") and not any(row.value for row in sealed):
            met.add(endless)
            assert (fill(food.name, "Keeps days") is not None) is endless
    assert met == {True, False}
