"""One line taken apart: forms, conventions, and what holds for any text."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from costing.quantities import Measures, read_number
from costing.recipe_text import LineParts, messages, read_line

METRIC = Measures.METRIC
F = Fraction

LINES = Path(__file__).with_name("lines.csv").read_text(encoding="utf-8")
WORDS = sorted({word for row in csv.reader(LINES.splitlines()) for word in row[2].split()})


def read(line: str, measures: Measures = METRIC) -> LineParts:
    return read_line(line, measures)


@pytest.mark.trade
@pytest.mark.parametrize(
    ("line", "low", "high"),
    [
        ("1½ kg potatoes", F(3, 2), F(3, 2)),
        ("1 1/2 kg potatoes", F(3, 2), F(3, 2)),
        ("one and a half kg potatoes", F(3, 2), F(3, 2)),
        ("0,5 l cream", F(1, 2), F(1, 2)),
        ("sugar: 1,5 kg", F(3, 2), F(3, 2)),
        ("sugar 1,5 kg, sifted", F(3, 2), F(3, 2)),
        ("milk, 0,25-0,5 l", F(1, 4), F(1, 2)),
        ("tomatoes: 1 x 400 g tin, chopped", F(400), F(400)),
        ("2-3 tbsp oil", F(2), F(3)),
        ("200g-250g beans", F(200), F(250)),
        ("1 or 2 chillies", F(1), F(2)),
        ("2 x 400 g tins beans", F(800), F(800)),
        ("2-3 (400 g) tins beans", F(800), F(1200)),
        ("half a bunch of parsley", F(1, 2), F(1, 2)),
        ("½ a cucumber", F(1, 2), F(1, 2)),
        ("1 000 g flour", F(1000), F(1000)),
        ("2 dozen clams", F(2), F(2)),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_read_line__number_is_exact(line: str, low: Fraction, high: Fraction) -> None:
    parts = read(line)
    assert (parts.low, parts.high) == (low, high)


@pytest.mark.parametrize(
    "line",
    [
        "100 ml x 3 cream",
        "1 l 200 ml stock",
        "flour 200 g sifted cocoa",
    ],
)
def test_read_line__a_part_of_an_amount_left_in_the_name_is_told(line: str) -> None:
    assert "amount_second" in [said.message.__name__ for said in read(line).doubts]


@pytest.mark.trade
@pytest.mark.parametrize(
    ("line", "name", "amount"),
    [
        ("2 x 200 g pieces of ginger", "ginger", "400"),
        ("20 g piece ginger", "ginger", "20"),
        ("300 g fillet of salmon", "salmon", "300"),
        ("200 g cream of tartar", "cream of tartar", "200"),
        ("2 x 400 g tins of tomatoes", "tinned tomatoes", "800"),
        ("2 x 400 g tins tinned tomatoes", "tinned tomatoes", "800"),
        ("400 g can canned chickpeas", "canned chickpeas", "400"),
    ],
)
def test_read_line__what_a_weight_comes_in_is_said_once_or_not_at_all(
    line: str, name: str, amount: str
) -> None:
    """A piece of a weight is that weight; a tin is another good than the fresh one."""
    parts = read(line)
    assert (parts.name, parts.amount, parts.unit) == (name, amount, "g")


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("pint of cream", "unit_differs"),
        ("2 pints of cream", "unit_differs"),
        ("c of milk", "unit_unclear"),
        ("1 c milk", "unit_unclear"),
        ("eggs: 2 large, beaten", "size_not_weighed"),
        ("1 cup (250 g) sugar", "amounts_two"),
        ("2 tins tomatoes (400 g)", "size_of_each"),
        ("1 (14 oz / 500 g) tin beans", "amounts_two"),
    ],
)
def test_read_line__a_doubt_is_told_with_and_without_a_number(line: str, message: str) -> None:
    """No metric measure is a pint, and a c may be a cup or a cl, one as much as two of them."""
    assert [said.message.__name__ for said in read(line).doubts] == [message]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("water", []),
        ("Cold water, as needed", []),
        ("a splash of hot water", []),
        ("Wasser", []),
        ("rose water", ["amount_missing"]),
        ("a splash of vinegar", ["measure_vague"]),
        ("1/0 cup water", ["number_unreadable"]),
    ],
)
def test_read_line__how_much_water_is_not_asked(line: str, told: list[str]) -> None:
    """It is free and never on a list; what cannot be read is told all the same."""
    found = read(line)
    assert [said.message.__name__ for said in found.doubts] == told
    assert found.amount == ""


@pytest.mark.parametrize(
    ("line", "amount"),
    [
        ("1 cup (250 ml) milk", "250"),
        ("1 tin tomatoes (400 g)", "400"),
        ("1 (14 oz / 400 g) tin beans", "14"),
    ],
)
def test_read_line__one_amount_said_in_two_ways_leaves_no_doubt(line: str, amount: str) -> None:
    """A metric cup is 250 ml; behind one tin stands its size; 14 oz are 397 g."""
    assert (read(line).amount, read(line).doubts) == (amount, ())


@pytest.mark.source("usda-sr28", "WEIGHT NDB 01145: 1 tbsp = 14.2 g, 1 cup = 227 g")
@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("1/2 cup (1 stick) butter, softened", False),
        ("2 cups/4 sticks butter", False),
        ("8 tbsp (1 stick) butter", False),
        ("1 cup (1 stick) butter", True),
        ("1/2 cup (125 g) butter", True),
    ],
)
def test_read_line__a_stick_of_butter_is_eight_spoons(line: str, told: bool) -> None:
    """A quarter of 453.6 g is 113.4 g: 8 of the 14.2 g, half of the 227 g. A metric cup is more."""
    found = read(line, Measures.US_CUSTOMARY)
    assert ("amounts_two" in [said.message.__name__ for said in found.doubts]) is told
    assert (found.unit == "g") is ("125 g" in line)


def test_read_line__what_is_left_of_a_line_is_quoted_as_it_stands() -> None:
    """Blanks are put around the first amount of a Japanese line, and around no other."""
    (second, _) = read("豆腐 1丁 300g").doubts
    assert second.about == ("300g", "")


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("1 tbsp fresh or 1 tsp dried oregano", "fresh oregano"),
        ("100 g butter or 80 g oil", "butter"),
        ("1 tsp dried thyme", "dried thyme"),
    ],
)
def test_read_line__adjectives_before_or_have_the_name_behind_it(line: str, name: str) -> None:
    assert read(line).name == name


@pytest.mark.parametrize(
    ("line", "more"),
    [
        ("eggs, plus 1 for glazing", "plus 1 for glazing"),
        ("a knob of butter, plus 1 tbsp for frying", "plus 1 tbsp for frying"),
        ("1/2 tsp each cumin and mace, plus 1 tsp extra", "plus 1 tsp extra"),
    ],
)
def test_read_line__more_of_what_has_no_amount_is_told(line: str, more: str) -> None:
    """There is nothing it could be added to, so that none of it is counted."""
    parts = read(line)
    said = [one.about for one in parts.doubts if one.message.__name__ == "amount_second"]
    assert (parts.amount, said) == ("", [(more, "")])


@pytest.mark.parametrize("line", ["500 g 00 flour", "1 l 2% milk", "200 g 70% dark chocolate"])
def test_read_line__a_number_that_names_a_kind_is_not_told(line: str) -> None:
    assert read(line).doubts == ()


@pytest.mark.trade
@pytest.mark.parametrize(
    ("line", "amount"),
    [
        ("1½ kg potatoes", "1 1/2"),
        ("1.5 kg potatoes", "1.5"),
        ("¼-½ tsp salt", "1/4-1/2"),
        ("1.125 kg flour", "1 1/8"),
        ("3 x 14.5 oz cans beans", "43.5"),
        ("1 lb 4 oz beef", "1 1/4"),
        ("salt, to taste", "to taste"),
    ],
)
def test_read_line__amount_is_written_as_the_amount_cell_reads_it(line: str, amount: str) -> None:
    """1.125 with its three digits could be grouped thousands, so it becomes a fraction."""
    assert read(line).amount == amount


def test_read_line__a_weight_wins_then_millilitres_then_what_stands_first() -> None:
    """The convention for one amount in two ways."""
    lines = (
        "1 1/2 cups (180 g) flour",
        "180 g (1 1/2 cups) flour",
        "1 cup (240 ml) buttermilk",
        "1 onion (about 1 cup)",
        "8 oz (225 g) chocolate",
        "1 cup (8 oz) milk",
    )
    found = [f"{read(line).amount} {read(line).unit}" for line in lines]
    assert found == ["180 g", "180 g", "240 ml", "1 each", "8 oz", "1 cup"]


def test_read_line__spoons_added_under_the_given_measures() -> None:
    """1 cup of 250 ml and 2 of 15 ml: 280 / 250 = 1.12; US: 1 + 2/16 = 1 1/8."""
    line = "1 cup plus 2 tbsp flour"
    assert read(line).amount == "1.12"
    assert read(line, Measures.US_CUSTOMARY).amount == "1 1/8"


def test_read_line__bare_measures_keep_their_word_and_named_ones_their_name() -> None:
    """The setting Measures goes on deciding what a cup is."""
    assert [read(f"2 {unit} flour").unit for unit in ("cups", "US cups", "tablespoons")] == [
        "cup",
        "US cup",
        "tbsp",
    ]


def test_read_line__pieces_are_named_and_containers_with_their_size_are_not() -> None:
    """The convention for words that are no units."""
    lines = {
        "2 cloves garlic": ("garlic clove", "2", "each"),
        "2 garlic cloves": ("garlic clove", "2", "each"),
        "1 tin tomatoes": ("tomato tin", "1", "each"),
        "1 x 400 g tin tomatoes": ("tinned tomatoes", "400", "g"),
        "1 (14 oz) can coconut milk": ("canned coconut milk", "14", "oz"),
        "2 jars (300 g each) olives": ("olives", "600", "g"),
        "2 jars (600 g in total) olives": ("olives", "600", "g"),
        "2 balls mozzarella (125 g each)": ("mozzarella", "250", "g"),
        "1 bunch parsley (30 g)": ("parsley", "30", "g"),
        "knob of butter": ("butter", "", ""),
    }
    found = {line: (read(line).name, read(line).amount, read(line).unit) for line in lines}
    assert found == lines


@pytest.mark.trade
@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("zest and juice of 2 limes", ("lime", "2", "each", "zest and juice")),
        ("1 tbsp minced garlic", ("garlic", "1", "tbsp", "minced")),
        ("1 cup finely minced shallots", ("shallots", "1", "cup", "finely minced")),
        ("500 g minced beef", ("minced beef", "500", "g", "")),
    ],
)
def test_read_line__what_is_cut_in_the_kitchen_is_bought_whole(
    line: str, told: tuple[str, ...]
) -> None:
    """Garlic is minced there, as limes are juiced; beef is minced at the butcher's."""
    parts = read(line)
    assert (parts.name, parts.amount, parts.unit, parts.cut) == told


@pytest.mark.parametrize(
    "line",
    [
        "Optional: 1 tsp chilli flakes",
        "1 tsp chilli flakes (optional)",
        "1 tsp chilli flakes, optional",
        "1 tsp chilli flakes - optional",
    ],
)
def test_read_line__optional_is_taken_out_of_the_text(line: str) -> None:
    parts = read(line)
    assert parts.optional
    assert (parts.name, parts.amount, parts.unit) == ("chilli flakes", "1", "tsp")


def test_read_line__an_amount_wins_over_to_taste() -> None:
    parts = read("1/2 tsp salt, or to taste")
    assert (parts.name, parts.amount, parts.unit) == ("salt", "1/2", "tsp")


def test_read_line__what_is_neither_amount_name_nor_cut_is_left_out() -> None:
    parts = read("100 g cold butter, diced, plus extra for greasing")
    assert (parts.name, parts.cut) == ("butter", "diced")
    assert [one.about for one in parts.doubts] == [("plus extra for greasing",)]


@pytest.mark.parametrize("line", ["1 bunch", "about 200g", "6 cloves", "2 tbsp", "1/2"])
def test_read_line__without_an_ingredient_the_whole_line_is_its_name(line: str) -> None:
    parts = read(line)
    assert (parts.name, parts.amount, parts.unit) == (line, "", "")


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("1,000 g flour", "flour"),
        ("1/0 cup sugar", "sugar"),
        ("3-2 eggs", "egg"),
        ("some sugar", "sugar"),
        ("9" * 70 + " g flour", "flour"),
    ],
    ids=["grouped", "by zero", "down", "some", "too long"],
)
def test_read_line__a_number_that_cannot_be_read_leaves_amount_blank(line: str, name: str) -> None:
    parts = read(line)
    assert (parts.name, parts.amount, parts.low) == (name, "", None)
    assert parts.doubts


@pytest.mark.parametrize(
    "line",
    ["100 g 70% dark chocolate", "500 g 00 flour", "1 tsp 5-spice powder", "2% milk, 1 cup"],
)
def test_read_line__digits_of_a_name_are_no_amount(line: str) -> None:
    parts = read(line)
    name = {"70%": "70% dark chocolate", "00": "00 flour", "5-": "5-spice powder", "2%": "2% milk"}
    assert parts.name in name.values()
    assert parts.doubts == ()


def lines() -> st.SearchStrategy[str]:
    """Any text, and words of recipes in any order."""
    signs = st.sampled_from([*WORDS, *"()[]-–,;:/x×½¼*#.%&+\"'", "\u00ad", "\x00", "1", "400", "g"])
    mixed = st.lists(st.tuples(signs, st.sampled_from(["", " "])), max_size=14)
    return st.text(max_size=80) | mixed.map(lambda parts: "".join(a + b for a, b in parts))


@given(lines(), st.sampled_from(Measures))
@example("", METRIC)
@example("½", METRIC)
@example("1 x 400", METRIC)
@example("((((", METRIC)
@example("1 (1 (1 g) g) g", METRIC)
def test_read_line__never_raises_and_writes_what_can_be_read_again(
    line: str, measures: Measures
) -> None:
    parts = read(line, measures)
    if parts.amount == "to taste":
        assert (parts.amount, parts.unit) == ("to taste", "")
    elif parts.amount:
        number = read_number(parts.amount)
        assert (number.low, number.high) == (parts.low, parts.high)
        assert number.other_reading is None
        assert parts.unit
        assert parts.name
    else:
        assert parts.low is None
        assert parts.doubts


@given(st.integers(1, 10_000), st.sampled_from(["g", "kg", "ml", "l", "oz", "lb"]))
def test_read_line__an_amount_in_front_and_behind_is_the_same(count: int, unit: str) -> None:
    front, behind = read(f"{count} {unit} flour"), read(f"flour {count} {unit}")
    assert (front.low, front.unit, front.name) == (behind.low, behind.unit, behind.name)
    assert front.low == count


@given(st.integers(1, 99), st.integers(100, 999))
def test_read_line__tins_times_their_size(tins: int, size: int) -> None:
    parts = read(f"{tins} x {size} g tins beans")
    assert (parts.low, parts.unit, parts.name) == (Fraction(tins * size), "g", "tinned beans")


@pytest.mark.trade
@pytest.mark.parametrize(
    ("line", "name", "low", "high"),
    [
        ("1 cup minus 1 tbsp flour", "flour", F(235, 250), F(235, 250)),
        ("1 kg less 100 g potatoes", "potatoes", F(9, 10), F(9, 10)),
        ("a cup and a half of rice", "rice", F(3, 2), F(3, 2)),
        ("a kilo and a half of potatoes", "potatoes", F(3, 2), F(3, 2)),
        ("less than 1 cup sugar", "sugar", F(1), F(1)),
        ("1 jar (about 200 g drained) olives", "olives", F(200), F(200)),
        ("1 (3- to 4-pound) chicken", "chicken", F(3), F(4)),
        ("片栗粉 大さじ1〜2", "片栗粉", F(1), F(2)),
        ("卵(M)2個", "卵", F(2), F(2)),
        ("じゃがいも 中2個", "じゃがいも", F(2), F(2)),
        ("A しょうゆ 大さじ1", "しょうゆ", F(1), F(1)),
        ("| flour | 200 g |", "flour", F(200), F(200)),
        ("For brushing: 20 g melted butter", "butter", F(20), F(20)),
        ("To serve: 2 limes", "lime", F(2), F(2)),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_read_line__an_amount_that_is_said_in_other_words(
    line: str, name: str, low: Fraction, high: Fraction
) -> None:
    """A metric cup is 250 ml and a tablespoon 15: 235 of 250; 1000 g less 100 g are 9/10 kg."""
    parts = read(line)
    assert (parts.name, parts.low, parts.high) == (name, low, high)


@pytest.mark.parametrize(
    ("line", "message", "about"),
    [
        ("Salz, Pfeffer", "ingredients_and", "Salz, Pfeffer"),
        ("salt, pepper and nutmeg", "ingredients_and", "salt, pepper and nutmeg"),
        ("2 tbsp each chopped parsley, mint", "ingredients_and", "parsley, mint"),
        ("1 tsp each ground cumin, ground coriander", "ingredients_and", "ground coriander"),
        ("flour 200g, sugar 100g", "amount_second", "sugar 100g"),
        ("1 egg yolk, mixed with 1 tbsp cream", "amount_second", "1 tbsp cream"),
        ("みりん、酒 各大さじ1", "amount_each", "みりん and 酒"),
    ],
)
def test_read_line__a_second_food_is_told(line: str, message: str, about: str) -> None:
    told = [f"{said.about}" for said in read(line).doubts if said.message.__name__ == message]
    assert any(about in text for text in told)


@pytest.mark.parametrize(
    ("line", "cut"),
    [
        ("2 lemons, 1 zested and juiced, 1 halved", "1 zested and juiced, 1 halved"),
        ("4 eggs, 2 separated", "2 separated"),
        ("6 tomatoes, 4 chopped and 2 sliced", "4 chopped and 2 sliced"),
        ("1 egg yolk, mixed with 1 tsp water", "mixed with 1 tsp water"),
        ("200 g cucumber, cut into 2 cm pieces", "cut into 2 cm pieces"),
    ],
)
def test_read_line__what_is_done_to_some_of_it_is_no_second_amount(line: str, cut: str) -> None:
    parts = read(line)
    assert parts.cut == cut
    assert "amount_second" not in [said.message.__name__ for said in parts.doubts]


@pytest.mark.parametrize("line", ["6 tomatoes, 4 chopped and 3 sliced", "2 lemons, 2 limes"])
def test_read_line__more_than_was_counted_is_told(line: str) -> None:
    assert "amount_second" in [said.message.__name__ for said in read(line).doubts]


def test_read_line__a_kind_behind_an_amount_is_no_second_food() -> None:
    assert not read("50 g cheese, parmesan").doubts


@pytest.mark.parametrize(
    ("line", "also"),
    [
        ("1/2 cup (1 stick) butter", "1 stick of butter"),
        ("500 g bread (6 slices)", "6 each"),
        ("30 g parsley (1 bunch)", "1 each"),
        ("5 oz baby spinach (about 5 packed cups)", "5 cup"),
    ],
)
def test_read_line__the_same_in_pieces_or_packed_cups_is_no_second_amount(
    line: str, also: str
) -> None:
    parts = read(line)
    assert [(said.message.__name__, said.about[1]) for said in parts.doubts] == [
        ("amounts_two", (also,))
    ]
    assert parts.cut == ""


def test_read_line__another_measure_behind_a_stroke_is_told_and_the_first_counts() -> None:
    """A pinch is no teaspoon; a piece that is a clove is the same one."""
    (said,) = read_line("1 tsp/pinch salt", Measures.METRIC).doubts
    assert (said.message, said.about) == (messages.amounts_two, ("1 tsp", ("1 pinch",)))
    (clove,) = read_line("1 clove/piece garlic", Measures.METRIC).doubts
    assert clove.message is messages.pieces_named


@pytest.mark.parametrize("line", ["2 egg/s", "2 egg/s, beaten", "2 large egg(s)"])
def test_read_line__one_or_several_is_no_part_of_the_name(line: str) -> None:
    assert read_line(line, Measures.METRIC).name == "egg"
