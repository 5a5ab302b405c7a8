"""Which step takes which ingredient, on invented recipes and on the rules one by one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from recipe_methods import PARTS, recipes

from costing.findings import Place
from costing.recipe_text.guesses import Placed, placing_findings
from costing.recipe_text.method import NamedLine
from costing.recipe_text.method import placed as placed_lines


@pytest.mark.parametrize("part", PARTS)
def test_placed__every_ingredient_of_invented_recipes_by_the_step_written_down(part: str) -> None:
    """The steps were written beside the lines by hand, in the part held back too."""
    mine = [recipe for recipe in recipes() if recipe.part == part]
    assert [fault for recipe in mine for fault in recipe.wrong()] == []


def test_method_recipes__at_least_forty() -> None:
    """Counted in the file: 28 and 14."""
    assert [sum(one.part == part for one in recipes()) for part in PARTS] == [28, 14]


def placed(
    names: list[str], steps: list[str], cuts: list[str] | None = None
) -> list[Placed | None]:
    cuts = cuts or [""] * len(names)
    lines = [NamedLine(name, cut=cut) for name, cut in zip(names, cuts, strict=True)]
    return placed_lines(lines, steps)


def steps_of(names: list[str], *steps: str) -> list[int | None]:
    return [one.step if one else None for one in placed(names, list(steps))]


def test_placed__a_longer_name_is_never_the_shorter() -> None:
    assert steps_of(
        ["red onion", "spring onion"], "Slice the spring onions.", "Add the onion."
    ) == [
        2,
        1,
    ]


def test_placed__pepper_with_salt_is_no_vegetable() -> None:
    assert steps_of(
        ["red pepper", "black pepper"], "Add salt and pepper.", "Roast the pepper."
    ) == [
        2,
        1,
    ]


@pytest.mark.parametrize(
    "name", ["salt and pepper", "Salt & pepper", "sea salt and black pepper", "thyme & bay"]
)
def test_placed__two_foods_of_one_line_go_where_both_are_named(name: str) -> None:
    """Neither "and pepper" nor "pepper" names the line where a later step has all its words."""
    last = name.split()[-1]
    fried, seasoned = f"Fry the onion and {last}.", f"Season with {name}."
    assert steps_of(["onion", name], fried, seasoned) == [1, 2]
    assert steps_of(["onion", f"red {last}", name], fried, seasoned) == [1, 1, 2]
    assert steps_of(["onion", name], "Fry the onion.", f"Add the {last}.") == [1, 2]


def test_placed__everything_but_takes_the_rest() -> None:
    assert steps_of(
        ["rice", "milk", "jam"], "Simmer everything but the jam.", "Serve with jam."
    ) == [
        1,
        1,
        2,
    ]


def test_placed__says_where_it_is_named_again() -> None:
    (found,) = placed(["butter"], ["Melt half the butter.", "Wait.", "Add the butter."])
    assert found is not None
    assert (found.step, found.words, found.later) == (1, "Melt half the butter", (3,))


SIXTY = "Slowly and with a wooden spoon stir in the cold cubed butter"


@pytest.mark.parametrize(
    ("step", "words"),
    [
        (f"Wait. {SIXTY}. Rest.", SIXTY),
        (f"Wait. {SIXTY}s. Rest.", "butters"),
        (SIXTY.replace("Slowly", "Butter") + "s", SIXTY.replace("Slowly", "Butter") + "…"),
    ],
    ids=["a clause of 60", "one of 61: from the name on", "61 from the name on: cut off"],
)
def test_placed__quotes_up_to_sixty_characters(step: str, words: str) -> None:
    (found,) = placed(["butter"], [step])
    assert found is not None
    assert (len(SIXTY), found.words) == (60, words)


def test_placed__an_ingredient_listed_twice_and_named_in_two_steps_goes_in_order() -> None:
    """Sugar for the cake and sugar for the icing; with a third mention nothing says which."""
    names = ["butter", "sugar", "sugar"]
    steps = ["Beat the butter and sugar.", "Bake.", "Mix lemon juice and the sugar."]
    assert steps_of(names, *steps) == [1, 1, 3]
    assert steps_of(names, *steps, "Dust with sugar.") == [1, 1, 1]


@given(st.lists(st.text(max_size=20), max_size=5), st.lists(st.text(max_size=60), max_size=4))
def test_placed__gives_a_step_that_is_there_or_none(names: list[str], steps: list[str]) -> None:
    """Law: one answer for each name, and a step only where there is one."""
    found = placed(names, steps)
    assert len(found) == len(names)
    assert all(1 <= one.step <= len(steps) for one in found if one)


def test_placed__two_kinds_called_alike_are_shared_in_their_order() -> None:
    """Two flours, two steps that say flour: the first takes the plain one, listed first."""
    names = ["plain flour", "self-raising flour"]
    assert steps_of(names, "Toss the beef in the flour.", "Mix the flour and suet.") == [1, 2]


@pytest.mark.parametrize("cut", ["zested and juiced", "juice and zest", "zest and juice"])
def test_placed__a_part_of_a_fruit_names_the_fruit(cut: str) -> None:
    """The zest is in step 1 and the juice in step 2, whatever the line calls them."""
    (found,) = placed(["lemon"], ["Fold in the zest.", "Add the juice."], [cut])
    assert found is not None
    assert (found.step, found.later) == (1, (2,))


def test_placed__what_another_line_is_called_names_no_other() -> None:
    """Beside a line of yolks "the yolks" are no egg; without one they are."""
    steps = ["Mix flour and egg.", "Whisk the yolks with sugar."]
    found = placed(["egg", "egg yolk"], steps)
    assert [(one.step, one.later) for one in found if one] == [(1, ()), (2, ())]
    (alone,) = placed(["egg"], steps)
    assert alone is not None
    assert (alone.step, alone.later) == (1, (2,))


def test_placed__zest_and_juice_of_two_lines_each_have_their_step() -> None:
    steps = ["Fold in flour and zest.", "Mix lemon juice and sugar."]
    found = placed(["lemon", "lemon"], steps, ["zest", "juice"])
    assert [one.step if one else None for one in found] == [1, 2]


def test_placed__what_a_food_comes_in_names_it_not() -> None:
    """Oil is heated; the tuna that is sold in oil is no oil."""
    names = ["olive oil", "tuna in oil", "butter or lard"]
    assert steps_of(names, "Add the tuna.", "Heat the oil.", "Melt the butter.") == [2, 1, 3]


def test_placed__a_letter_heads_a_group_beside_letters_of_another_script() -> None:
    (found,) = placed_lines([NamedLine("醤油", "A")], ["鍋を熱する。", "Aを入れて煮る。"])
    assert found is not None
    assert found.step == 2


def test_placing_findings__three_ingredients_are_named_and_the_rest_is_counted() -> None:
    """Five are placed: two of step 1, the first of step 2, and two more; one is named nowhere."""
    names = ["leek", "butter", "salt", "egg", "flour", "rum"]
    method = ["Melt the butter with leek.", "Add salt, egg, flour."]
    found = placed(names, method)
    places = [Place("Recipes", row) for row in range(2, 8)]
    steps = {1: Place("Recipes", 20), 2: Place("Recipes", 21)}
    (said,) = [
        one
        for one in placing_findings(names, found, places, steps)
        if one.code == "recipe step guessed"
    ]
    assert (said.place.row, said.found) == (
        20,
        'that step 1 takes leek, butter ("Melt the butter with leek"), step 2 takes salt ("Add '
        'salt") and 2 more',
    )


def test_placed__the_dry_ingredients_are_all_but_the_liquids() -> None:
    """Without a name in the step; the milk is no dry ingredient."""
    names = ["flour", "salt", "milk"]
    assert steps_of(names, "Sift the dry ingredients.", "Knead it.") == [1, 1, None]


@pytest.mark.parametrize(
    "step",
    [
        "Cream the butter and caster sugar.",
        "Heat the oven. Cream butter and caster sugar.",
        "Cream half the butter and all the caster sugar.",
        "Cream softened butter and caster sugar.",
        "Soften the butter, add caster sugar and cream the two.",
    ],
)
def test_placed__to_cream_the_butter_takes_no_cream(step: str) -> None:
    names = ["butter", "caster sugar", "double cream"]
    assert steps_of(names, step, "Whip the cream.") == [1, 1, 2]
    assert steps_of(names, step) == [1, 1, None]


def test_placed__butter_the_tin_takes_the_butter_that_no_other_step_names() -> None:
    tin = "Oil the tray, then butter the tin and flour the board."
    assert steps_of(["butter", "plain flour"], tin, "Rub the butter into the flour.") == [2, 2]
    assert steps_of(["butter", "plain flour", "oil"], tin, "Bake.") == [1, 1, 1]


def test_placed__a_food_at_the_beginning_of_a_clause_is_one() -> None:
    """Only before "the" and its like it may be a verb."""
    step = "Whisk milk, butter and cream a little at a time. Flour goes in last."
    assert steps_of(["milk", "butter", "cream", "flour"], step) == [1, 1, 1, 1]
