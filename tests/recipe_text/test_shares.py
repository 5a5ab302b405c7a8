"""A line whose steps say how much of it they take is divided; else all of it stays together."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.quantities import Measures, amount
from costing.recipe_text import read_recipe
from costing.recipe_text.method import NamedLine, placed
from costing.recipe_text.shares import Share, ShareKind, divided, share_before


def parts(name: str, all_of_it: str, *steps: str) -> dict[int, str]:
    (found,) = placed([NamedLine(name, amount=amount(all_of_it))], steps)
    assert found is not None
    return {one.step: str(one.part) for one in (found, *found.others)}


@pytest.mark.parametrize(
    ("all_of_it", "steps", "wanted"),
    [
        ("200 ml", ["Heat half of the oil.", "Add the rest of the oil."], {1: "1/2", 2: "1/2"}),
        ("3 tbsp", ["Heat 2 tbsp of the oil.", "Add the remaining oil."], {1: "2/3", 2: "1/3"}),
        ("3 tbsp", ["Heat 1 tablespoon oil.", "Add 2 tbsp oil."], {1: "1/3", 2: "2/3"}),
        ("3 tbsp", ["Add a third of the hot oil.", "Two thirds of the oil."], {1: "1/3", 2: "2/3"}),
        ("90 ml", ["Add ⅓ of the oil.", "Half the remaining oil.", "The last of the oil."],
         {1: "1/3", 2: "1/3", 3: "1/3"}),
        ("100 ml", ["Set aside 20 ml of the oil.", "Heat the rest of the oil.", "Reserved oil."],
         {2: "4/5", 3: "1/5"}),
        ("100 ml", ["Add all but 20 ml of the oil.", "Brush with the reserved oil."],
         {1: "4/5", 2: "1/5"}),
        ("100 ml", ["Half the oil. Then the rest of the oil.", "Stir the oil."], {1: "1"}),
        ("100 ml", ["Half the oil.", "Add the remaining half of the oil."], {1: "1/2", 2: "1/2"}),
        ("4 each", ["Crush 3 cloves of the oil.", "Add the other oil."], {1: "1"}),
        ("4 each", ["Crush 3 cloves of the oil.", "Add the last oil."], {1: "3/4", 2: "1/4"}),
        ("100 ml", ["Half the oil.", "Pour the oil off.", "Add the other half of the oil."],
         {1: "1/2", 3: "1/2"}),
    ],
)  # fmt: skip
def test_placed__a_line_is_divided_as_the_steps_say(
    all_of_it: str, steps: list[str], wanted: dict[int, str]
) -> None:
    """Worked by hand: 2 of 3 spoons are two thirds; a third, half of the rest, the last."""
    assert parts("oil", all_of_it, *steps) == wanted


@pytest.mark.parametrize(
    ("name", "first", "rest"),
    [
        ("burro", "Mescolate 50 g di burro.", "Sciogliete il burro rimasto."),
        ("farina di mais", "Unite 50 g di farina di mais.", "La farina di mais rimanente."),
        ("beurre", "Fondre la moitié du beurre.", "Ajouter le beurre restant."),
        ("azúcar", "Mezclar 50 g de azúcar.", "Añadir el azúcar restante."),
    ],
)
def test_placed__the_rest_is_said_behind_the_name_too(name: str, first: str, rest: str) -> None:
    assert parts(name, "100 g", first, rest) == {1: "1/2", 2: "1/2"}


@pytest.mark.parametrize(
    "steps",
    [
        ["Melt half of the butter.", "Add the butter."],
        ["Add the butter.", "Add the remaining butter."],
        ["Melt most of the butter.", "Add the rest of the butter."],
        ["Melt 20 ml of the butter.", "Add the rest of the butter."],
        ["Melt 80 g of the butter.", "Add 40 g of the butter."],
        ["Melt a knob of the butter.", "Add the rest of the butter."],
        ["Melt half of the butter.", "Add a quarter of the butter."],
        ["Rub the remaining butter in.", "Add half of the butter."],
    ],
    ids=[
        *(
            "rest unsaid",
            "first part unsaid",
            "most",
            "a volume of a weight",
            "more than all",
            "by eye",
        ),
        *("less than all", "the rest first"),
    ],
)
def test_placed__what_does_not_add_up_stays_whole_in_the_first_step(steps: list[str]) -> None:
    assert parts("butter", "100 g", *steps) == {1: "1"}


def test_placed__the_rest_of_several_is_that_of_each() -> None:
    """Butter and sugar are begun before, salt is not: it is added whole with the rest of both."""
    lines = [NamedLine(name, amount=amount("100 g")) for name in ("butter", "sugar", "salt")]
    steps = ["Beat half the butter with 40 g sugar.", "Add the remaining sugar, salt and butter."]
    found = placed(lines, steps)
    assert [
        [(one.step, str(one.part)) for one in (where, *where.others)] for where in found if where
    ] == [[(1, "1/2"), (2, "1/2")], [(1, "2/5"), (2, "3/5")], [(2, "1")]]


def test_placed__two_lines_called_alike_divide_neither() -> None:
    lines = [NamedLine("butter", amount=amount("100 g"))] * 2
    steps = ["Melt half the butter.", "Wait.", "Add the rest of the butter.", "Butter the tin."]
    assert [where.others for where in placed(lines, steps) if where] == [(), ()]


@pytest.mark.parametrize(
    ("words", "part"),
    [
        *[("a fifth of", "1/5"), ("two-fifths of", "2/5"), ("one sixth of", "1/6")],
        *[("2 thirds of", "2/3"), ("1 quarter of", "1/4"), ("three eighths of", "3/8")],
        *[("⅔ of", "2/3"), ("la moitié de", "1/2"), ("another tablespoon of", "1/3")],
        *[("another 2 tbsp of", "2/3"), ("another half of", "1/2")],
    ],
)
def test_share_before__fractions_in_words_and_digits(words: str, part: str) -> None:
    """Of three tablespoons of oil; two-fifths were a half, a fifth all of it."""
    oil = amount("3 tbsp")
    found = share_before(f"Add {words} the ", own=(), line=oil, measures=Measures.METRIC)
    assert found == Share(ShareKind.PART, Fraction(part))


@given(
    st.lists(
        st.tuples(
            st.integers(1, 4),
            st.builds(
                Share,
                st.sampled_from(ShareKind),
                st.fractions(min_value=0, max_value=1, max_denominator=6),
                st.booleans(),
            ),
        ),
        max_size=6,
    )
)
def test_divided__parts_add_up_to_the_line(said: list[tuple[int, Share]]) -> None:
    """Law: nothing, or parts above 0 of two or more steps that are all of it."""
    found = divided(said)
    assert not found or (len(found) > 1 and sum(found.values()) == 1)
    assert all(part > Fraction(0) for part in found.values())


RECIPE = """Lemon cake

Ingredients
1/2 cup olive oil, divided
75 g sugar
2 eggs

Method
1. Whisk half of the sugar with the eggs and 2 tbsp of the oil.
2. Fold in the rest of the oil. Dust with the remaining sugar.
"""


def test_read_recipe__rows_of_a_divided_line_add_up_and_are_said() -> None:
    """75 g halved is 37.5 g; 30 of 125 ml are 6/25, so 0.12 of the cup and 0.38 are left."""
    read = read_recipe(RECIPE, kind="text", measures=Measures.METRIC, file_name="cake.txt")
    assert [
        (row["Step"], row["Ingredient"], row["Amount"], row["Unit"])
        for row in read.rows["Recipes"]
        if row["Ingredient"]
    ] == [
        (1, "olive oil", "0.12", "cup"),
        (1, "sugar", "37.5", "g"),
        (1, "egg", "2", "each"),
        (2, "olive oil", "0.38", "cup"),
        (2, "sugar", "37.5", "g"),
    ]
    (said,) = [one for one in read.findings if one.code == "recipe line divided"]
    assert str(said) == (
        "'cake.txt' row 4 (row \"1/2 cup olive oil, divided\"): found olive oil, sugar divided "
        "over the steps that say how much of it they take, expected a row for what each step takes "
        "[recipe line divided]\n  The rows add up to the line; Note has the part and the words. "
        "Change Amount or Step where another step takes it."
    )
