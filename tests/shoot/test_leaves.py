"""Dishes written out: steps, optional lines, dishes inside dishes, loops."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from small import books, codes, line, pack, purchase, shoot_of, sound

from costing.findings import Place
from costing.kitchen import Dish, Line, Measured
from costing.quantities import amount
from costing.shoot import LeftOut, Purpose, Shot
from costing.shoot.leaves import Leaves


def needs(*parts: Any) -> dict[str, Fraction]:
    """As-bought need by ingredient."""
    return {p.need.ingredient.name: p.need.total for p in books(*parts).purchases}


SAUCE = (
    line("sauce", "tomato", "600 g", step=1),
    line("sauce", "basil", "20 g", step=2),
)
"""620 g are put in."""


@pytest.mark.parametrize(
    ("text", "dish", "batches"),
    [
        ("1/2 batch", None, "1/2"),
        ("3 portions", Dish(name="Sauce", makes=amount("4 portions")), "3/4"),
        ("100 g", Dish(name="sauce", makes=amount("400 g")), "1/4"),
        ("0.2 kg", Dish(name="sauce", makes=amount("400 g")), "1/2"),
        ("50 ml", Dish(name="sauce", makes=amount("1/2 l")), "1/10"),
        ("2 each", Dish(name="sauce", makes=amount("12 each")), "1/6"),
        # 620 g x 0.5 = 310 g finished; 155 g are half of it
        ("155 g", Dish(name="sauce", cooked_weight=Fraction("0.5")), "1/2"),
        # what it makes is said in another kind of unit, so its weight decides
        (
            "155 g",
            Dish(name="sauce", makes=amount("4 portions"), cooked_weight=Fraction("0.5")),
            "1/2",
        ),
    ],
    ids=[
        "by batch",
        "by portions",
        "by grams with Makes",
        "by kilograms with Makes in grams",
        "by millilitres with Makes in litres",
        "by pieces",
        "by grams with Cooked weight",
        "by grams with Makes in portions",
    ],
)
def test_leaves__dish_inside_a_dish(text: str, dish: Dish | None, batches: str) -> None:
    """The sauce's 600 g and 20 g, times the batches that the line takes."""
    parts = [*SAUCE, line("pizza", "SAUCE ", text), line("pizza", "flour", "200 g")]
    given = [] if dish is None else [dish]
    assert needs(*parts, *given, Shot(dish="pizza")) == {
        "tomato": 600 * Fraction(batches),
        "basil": 20 * Fraction(batches),
        "flour": 200,
    }


def test_leaves__cooked_weight_counts_pieces_and_volumes_by_their_grams() -> None:
    """2 eggs of 50 g, 100 ml oil of 0.9 g and 210 g flour are 400 g; at 75% 300 g; 150 are half."""
    parts = [
        line("dough", "egg", "2 each"),
        line("dough", "oil", "100 ml"),
        line("dough", "flour", "210 g"),
        line("dough", "salt", None, to_taste=True),
        line("dough", "seeds", "50 g", optional=True),
        sound("egg", piece_weight=Fraction(50)),
        sound("oil", density=Fraction("0.9")),
        Dish(name="dough", cooked_weight=Fraction(3, 4)),
        line("pie", "dough", "150 g"),
        Shot(dish="pie"),
    ]
    assert needs(*parts) == {"egg": 1, "oil": 50, "flour": 105}


def test_leaves__as_bought_lines_weigh_what_is_left_after_trimming() -> None:
    """500 g leek as bought at 80% is 400 g trimmed; at 50% cooked 200 g; 50 g take a quarter."""
    parts = [
        line("stock", "leek", "500 g", measured=Measured.AS_BOUGHT),
        sound("leek", trim_yield=Fraction("0.8")),
        Dish(name="stock", cooked_weight=Fraction("0.5")),
        line("soup", "stock", "50 g"),
        Shot(dish="soup"),
    ]
    assert needs(*parts) == {"leek": 125}


@pytest.mark.parametrize(
    ("taken", "makes", "weight"),
    [
        ("155 g", None, 155),
        ("1/2 batch", None, 155),
        ("2 portion", Dish(name="sauce", makes=amount("4 portion"), cooked_weight="50 %"), 155),
        ("1/2 batch", Dish(name="sauce", makes=amount("400 g"), cooked_weight="50 %"), 200),
        ("1/2 batch", Dish(name="sauce", makes=amount("4 portion")), 310),
    ],
    ids=["grams", "batch", "portions", "batch with Makes in grams", "batch not weighed"],
)
def test_leaves__a_dish_put_into_another_weighs_what_it_has_become(
    taken: str, makes: Dish | None, weight: int
) -> None:
    """Of 620 g put in the sauce is 310 g; half of it and 245 g pasta are 400 g, at 75% 300 g.

    With Makes 400 g half of it is 200 g; of a sauce that nothing weighs, 310 g of what went in.
    """
    parts = [
        *SAUCE,
        line("bake", "sauce", taken),
        line("bake", "pasta", f"{400 - weight} g"),
        line("plate", "bake", "150 g"),
        makes or Dish(name="sauce", cooked_weight=Fraction(1, 2)),
        Dish(name="bake", cooked_weight=Fraction(3, 4)),
        Shot(dish="plate"),
    ]
    sauce = Fraction(1, 2) * Fraction(1, 2)  # half a bake, half a batch of sauce in each
    assert needs(*parts) == {
        "tomato": 600 * sauce,
        "basil": 20 * sauce,
        "pasta": Fraction(400 - weight, 2),
    }


def test_leaves__inner_steps_fall_into_the_outer_step() -> None:
    """A shot of step 2 of the pizza takes the whole sauce, of which step 1 is the outer's 2."""
    parts = [
        *SAUCE,
        line("pizza", "flour", "200 g", step=1),
        line("pizza", "sauce", "1 batch", step=2),
    ]
    assert needs(*parts, Shot(dish="pizza", steps=(2,), from_shot="nothing")) == {
        "tomato": 600,
        "basil": 20,
    }
    assert needs(*parts, Shot(dish="pizza", steps=(1,))) == {"flour": 200}


def test_leaves__optional_at_any_depth_is_left_out() -> None:
    """Left out unless the shot takes the optional lines, whether inside or outside is optional."""
    parts = [
        line("sauce", "tomato", "600 g"),
        line("sauce", "chilli", "5 g", optional=True),
        line("pizza", "sauce", "1 batch"),
        line("pizza", "dip", "1 batch", optional=True),
        line("dip", "yoghurt", "100 g"),
    ]
    assert needs(*parts, Shot(dish="pizza")) == {"tomato": 600}
    assert needs(*parts, Shot(dish="pizza", optional_lines=True)) == {
        "tomato": 600,
        "chilli": 5,
        "yoghurt": 100,
    }


@pytest.mark.parametrize("depth", [1, 2, 50, 1500])
def test_leaves__any_depth(depth: int) -> None:
    """Half of a half ... of 1024 g: 1024 / 2^depth."""
    parts: list[Line] = [line("dish 0", "flour", "1024 g")]
    parts += [line(f"dish {n + 1}", f"dish {n}", "1/2 batch") for n in range(depth)]
    assert needs(*parts, Shot(dish=f"dish {depth}")) == {"flour": Fraction(1024, 2**depth)}


def test_leaves__dish_taken_twice_at_every_depth() -> None:
    """Two batches of two batches ... of 1 g, forty deep, one in each of two steps: 2^40 g."""
    parts: list[Line] = [line("dish 0", "flour", "1 g")]
    for n in range(40):
        parts += [line(f"dish {n + 1}", f"dish {n}", "1 batch", step=step) for step in (1, 2)]
    assert needs(*parts, Shot(dish="dish 40")) == {"flour": 2**40}
    assert needs(*parts, Shot(dish="dish 40", steps=(2,), from_shot="nothing")) == {"flour": 2**39}


def test_leaves__water_and_to_taste_and_steps_without_ingredients_bring_nothing() -> None:
    parts = [
        line("soup", " Boiling  Water", "2 l"),
        line("soup", "salt", None, to_taste=True),
        line("soup", "", None, step=2, step_name="let it rest"),
        line("soup", "leek", "400 g"),
    ]
    assert needs(*parts, Shot(dish="soup")) == {"leek": 400}


def test_leaves__candidates_multiply_through_all_depths() -> None:
    """Three buns made for one shown, each with two eggs looked through: 1 x 3 x 2 eggs.

    All three buns are made, so that all their flour is clean and ready to use.
    """
    parts = [
        line("bun", "egg", "1 each", candidates=Fraction(2)),
        line("bun", "flour", "100 g"),
        line("burger", "bun", "1 each", candidates=Fraction(3)),
        Dish(name="bun", makes=amount("1 each")),
    ]
    found = books(*parts, Shot(dish="burger", purpose=Purpose.HERO))
    assert purchase(found, "egg").need.total == 6
    assert purchase(found, "flour").need.total == 300
    assert purchase(found, "flour").need.trimmed == 300


def test_leaves__one_line_picked_in_two_ways_is_two_leaves() -> None:
    """A bun of one egg in a burger twice: once any bun, once one of those of which 4 in 5 are good.

    Which eggs are looked at differs, so that they cannot be counted together.
    """
    shoot = shoot_of(
        line("bun", "egg", "1 each"),
        line("burger", "bun", "1 each"),
        line("burger", "bun", "1 each", good_enough=Fraction(4, 5)),
        Dish(name="bun", makes=amount("1 each")),
    )
    found = [(leaf.good_enough, leaf.times) for leaf in Leaves(shoot).of("burger")]
    assert found == [(None, Fraction(1)), (Fraction(4, 5), Fraction(1))]


@pytest.mark.parametrize(
    ("inner", "outer", "part"),
    [(None, None, None), ("4/5", None, "4/5"), (None, "1/2", "1/2"), ("4/5", "1/2", "1/2")],
)
def test_leaves__the_outermost_part_that_is_good_enough_decides(
    inner: str | None, outer: str | None, part: str | None
) -> None:
    """Whoever picks the bun looks at buns; where any bun will do, at the eggs in it."""
    parts = [None if text is None else Fraction(text) for text in (inner, outer, part)]
    shoot = shoot_of(
        line("bun", "egg", "1 each", good_enough=parts[0]),
        line("burger", "bun", "1 each", good_enough=parts[1]),
        Dish(name="bun", makes=amount("1 each")),
    )
    [leaf] = Leaves(shoot).of("burger")
    assert leaf.good_enough == parts[2]


@pytest.mark.parametrize(("unread", "said"), [("sauce", 0), ("", 0), ("cream", 1)])
def test_leaves__a_dish_whose_row_could_not_be_read_is_not_told_to_lack_it(
    unread: str, said: int
) -> None:
    """One cause, one message: the row of Dishes that was not read may say what a batch makes.

    That of another dish says nothing of it; a row without a name may be of any.
    """
    left = LeftOut(what="a row", place=Place("Dishes", 3), sheet="Dishes", name=unread)
    shoot = shoot_of(*SAUCE, line("pizza", "sauce", "3 portions")).changed(left_out=[left])
    leaves = Leaves(shoot)
    leaves.of("pizza")
    assert codes(leaves.findings) == ["dish amount unclear"] * said


def test_leaves__unknown_inside_stays_unknown() -> None:
    """A blank amount of the inner dish leaves each of its ingredients unknown, not zero."""
    found = books(
        *SAUCE,
        line("pizza", "sauce", None),
        Shot(dish="pizza"),
        pack("tomato", "1 kg", "2"),
        pack("basil", "20 g", "1"),
    )
    assert purchase(found, "tomato").need.unknown == {
        'how much tomato goes into "sauce"': {"Episode 1"}
    }
    assert found.totals.bought == 0
    assert found.totals.missing == (
        'how much tomato goes into "sauce"',
        'how much basil goes into "sauce"',
    )


@pytest.mark.parametrize(
    "lines",
    [
        [line("tart", "flour", "250 g"), line("tart", "Tart", "1 batch")],
        [
            line("tart", "flour", "250 g"),
            line("tart", "cream", "1 batch"),
            line("cream", "milk", "100 g"),
            line("cream", "tart", "1 batch"),
        ],
    ],
    ids=["of itself", "by way of another"],
)
def test_leaves__loop_is_told_once_and_the_rest_is_computed(lines: list[Line]) -> None:
    """What stands outside the loop is needed all the same; the totals say what they leave out."""
    found = books(*lines, Shot(dish="tart", times=2), pack("flour", "1 kg", "1"))
    assert codes(found.findings).count("recipe loop") == 1
    assert purchase(found, "flour").need.total == 500
    assert found.totals.bought_missing
    assert not any(f.place.name.casefold() == "tart" for f in found.findings[1:])


def test_leaves__are_written_out_once() -> None:
    """The same objects come back, so that findings are not told twice."""
    leaves = Leaves(shoot_of(*SAUCE))
    assert leaves.of("sauce") is leaves.of(" Sauce ")
