"""Every message about more than one cell, as it arises from a small shoot, whole text compared."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from small import codes, line, lot, pack, part, row, said, shoot_of, sound

from costing.buying.books import books_of
from costing.estimating import estimate
from costing.findings import Place
from costing.holding.models import Container, Event, EventKind
from costing.kitchen import Dish, HoldingClass, Line, Shop
from costing.names import key
from costing.quantities import amount
from costing.shoot import Episode, LeftOut, Purpose, Shot
from costing.shoot.containers import Contents
from costing.shoot.defaults import completed

SOUP = line("soup", "leek", "400 g")


def at(number: int, name: str, **columns: str) -> Any:
    """A row of Recipes."""
    return row("Recipes", number, name, **columns)


@pytest.mark.parametrize(
    ("shoot", "texts"),
    [
        pytest.param(
            shoot_of(
                Line(
                    dish="tart",
                    ingredient="Tart",
                    amount=amount("1 batch"),
                    row=at(4, "Tart", Ingredient="D"),
                ),
                Shot(dish="tart"),
            ),
            [
                'Recipes!D4 (row "Tart", column "Ingredient"): found the dish "Tart" as an '
                "ingredient of itself, expected dishes that end in ingredients [recipe loop]\n"
                "  Take one of the two lines out, or give one of the dishes another name."
            ],
            id="of itself",
        ),
        pytest.param(
            shoot_of(
                line("tart", "cream", "1 batch"),
                line("cream", "tart", "1 batch"),
                Shot(dish="tart"),
            ),
            [
                'Recipes (row "tart", column "Ingredient"): found the dish "tart" inside "cream", '
                'which is itself made with "cream", expected dishes that end in ingredients '
                "[recipe loop]\n"
                "  Take one of the two lines out, or give one of the dishes another name."
            ],
            id="by way of another",
        ),
    ],
)
def test_message__recipe_loop(shoot: Any, texts: list[str]) -> None:
    assert said(shoot, "recipe loop") == texts


@pytest.mark.parametrize(
    ("text", "dishes", "found"),
    [
        ("200 g", [], '200 g of the dish "sauce" and nothing said of what it makes'),
        (
            "200 ml",
            [Dish(name="sauce", makes=amount("4 portions"))],
            '200 ml of the dish "sauce" and a dish that makes 4 portion',
        ),
    ],
    ids=["nothing said", "another kind of unit"],
)
def test_message__dish_amount_unclear(text: str, dishes: list[Dish], found: str) -> None:
    shoot = shoot_of(
        line("sauce", "tomato", "600 g"), line("pizza", "sauce", text), *dishes, Shot(dish="pizza")
    )
    assert said(shoot, "dish amount unclear") == [
        f'Recipes (row "sauce", column "Unit"): found {found}, expected an amount in the same kind '
        "of unit as the dish makes, or a number of batches [dish amount unclear]\n"
        '  Fill Makes and Unit for "sauce" on the sheet Dishes in the same kind of unit, or write '
        "the amount here in batches (1 batch is the whole recipe)."
    ]


@pytest.mark.parametrize(
    ("dish", "remedy"),
    [
        ("suop", 'Write "soup" if that is meant, or give "suop" its lines on the sheet Recipes.'),
        ("cake", 'Give "cake" its lines on the sheet Recipes.'),
    ],
    ids=["a slip", "unlike any"],
)
def test_message__dish_unknown(dish: str, remedy: str) -> None:
    shoot = shoot_of(
        SOUP, line("tart", "egg", "1 each"), Shot(dish=dish, name="P1"), Shot(dish="soup")
    )
    assert said(shoot, "dish unknown") == [
        f'\'Shoot plan\' (row "P1", column "Dish"): found the dish "{dish}", which has no recipe, '
        f"expected one of soup or tart [dish unknown]\n  {remedy}"
    ]


def test_dish_without_a_recipe__is_one_message_whatever_rests_on_it() -> None:
    """The recipe is spelled otherwise than on two rows of the plan and the one of Dishes."""
    shots = [
        Shot(dish="soup", name=name, row=row("Shoot plan", number, name, Dish="C"))
        for number, name in ((2, "P1"), (5, "P2"))
    ]
    shoot = shoot_of(
        line("suop", "leek", "1 kg"),
        pack("leek", "1 kg", "1"),
        Dish(name="soup", makes=amount("2 portion")),
        sound("leek"),
        *shots,
        currency="EUR",
    )
    assert [str(f).partition(", expected")[0] for f in estimate(shoot).findings] == [
        '\'Shoot plan\'!C2 (row "P1", column "Dish"): found the dish "soup" in rows 2 and 5, which '
        "has no recipe"
    ]


@pytest.mark.parametrize(
    ("episode", "remedy"),
    [
        ("Autum", 'Write "Autumn" if that is meant, or add a row for "Autum"'),
        ("Spring", 'Add a row for "Spring"'),
    ],
    ids=["a slip", "unlike any"],
)
def test_message__episode_unknown(episode: str, remedy: str) -> None:
    shoot = shoot_of(SOUP, Episode(name="Autumn"), Shot(dish="soup", name="P1", episode=episode))
    assert said(shoot, "episode unknown") == [
        f'\'Shoot plan\' (row "P1", column "Episode"): found the episode "{episode}", which has no '
        "row on the sheet Episodes, expected an episode listed there [episode unknown]\n"
        f"  {remedy}; until then it has no date and no budget."
    ]


def test_message__episode_unknown_in_the_log() -> None:
    bowl = Container(name="bowl", episode="Autum", place=Place("Holding", row=5, column="A"))
    shoot = shoot_of(SOUP, Episode(name="Autumn"), Shot(dish="soup", name="P1"), bowl)
    assert said(shoot, "episode unknown") == [
        'Holding!A5: found the episode "Autum", which has no row on the sheet Episodes, expected '
        "an episode listed there [episode unknown]\n"
        '  Write "Autumn" if that is meant, or add a row for "Autum"; until then it has no date '
        "and no budget."
    ]


def test_message__shop_unknown() -> None:
    """Told once, and not of a shop that is like none."""
    packs = [pack("leek", "1 kg", "1", shop=shop) for shop in ("Far Bran", "Far Bran", "Quay")]
    shoot = shoot_of(SOUP, *packs, Shop(name="Far Barn"), Shot(dish="soup"))
    assert said(shoot, "shop unknown") == [
        'Packs (row "leek", column "Shop"): found the shop "Far Bran", which has no row on the '
        'sheet Shops, expected a shop spelled as on the sheet Shops; nearly the same is "Far Barn" '
        "[shop unknown]\n"
        "  Spell it alike on both sheets if one shop is meant; until then it has no visit cost and "
        "no minimum spend."
    ]


def test_message__ingredient_unknown() -> None:
    shoot = shoot_of(
        line("soup", "leeks", "400 g"), pack("leek", "1 kg", "1.89"), Shot(dish="soup")
    )
    assert said(shoot, "ingredient unknown") == [
        'Recipes (row "leeks", column "Ingredient"): found the ingredient "leeks", which is '
        "on no other sheet, expected an ingredient or a dish spelled as elsewhere; nearly the "
        'same is "leek" [ingredient unknown]\n'
        '  Write "leek" if that is meant, or give "leeks" a row of its own on the sheet '
        "Ingredients."
    ]
    assert said(shoot, "not used in a recipe") == []
    both = shoot.changed(lines=(*shoot.lines, line("soup", "leek", "10 g")))
    assert len(said(both, "ingredient unknown")) == 1  # spelled in two ways in one recipe
    assert "pack missing" not in codes(
        estimate(shoot).findings
    )  # its pack is there, under the name it is near to


def test_message__names_of_rows_left_out_are_known() -> None:
    """Butter is on hand in a row whose date cannot be read: the slip is the pack's "buter"."""
    place = Place("On hand", 5, "D", "Use by", "Butter")
    left = LeftOut(what='row "Butter"', place=place, sheet="On hand", name="Butter")
    shoot = shoot_of(
        line("soup", "butter", "80 g"), pack("buter", "250 g", "2.40"), Shot(dish="soup")
    )
    assert len(said(shoot, "ingredient unknown")) == 1
    known = shoot.changed(left_out=(left,))
    assert said(known, "ingredient unknown") == []
    (text,) = said(known, "not used in a recipe")
    assert '"buter", which no recipe uses' in text
    assert 'Write "butter" if that is meant' in text


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("egg yolc", "egg yolk"),  # 7 letters of 8
        ("egg yolk", None),  # published
        ("lemmon juice", None),  # no lemon is in the workbook
        ("grape juice", None),  # 10 of 12 letters are those of orange juice
    ],
)
def test_message__ingredient_that_is_nearly_a_published_part(name: str, near: str | None) -> None:
    """One message: the pack that the slip has not is not asked for."""
    shoot = shoot_of(
        *(line("curd", name, "3 each"), line("curd", "orange", "1 each")),
        *(pack("egg", "6 each", "1.80"), Shot(dish="curd")),
    )
    texts = said(shoot, "ingredient unknown")
    assert [f'nearly the same is "{near}"' in text for text in texts] == [True] * bool(near)
    found = [f.found for f in estimate(shoot).findings if f.code == "pack missing"]
    assert any(name in one for one in found) is (near is None and name != "egg yolk")


def test_message__ingredient_that_is_nearly_a_dish() -> None:
    """The stock is made; stok has no row anywhere. A dish is not meant by what it takes itself."""
    stock = line("stock", "bones", "1 kg")
    shoot = shoot_of(line("soup", "stok", "1 batch"), stock, Shot(dish="soup"), Shot(dish="stock"))
    (text,) = said(shoot, "ingredient unknown")
    assert 'nearly the same is "stock"' in text
    assert [f.place.name for f in estimate(shoot).findings if f.code == "pack missing"] == ["bones"]
    beans = shoot_of(line("beans", "bean", "1 kg"), Shot(dish="beans"))
    assert said(beans, "ingredient unknown") == []


def test_message__names_on_parts_are_known_and_looked_at() -> None:
    """A part is on no other sheet and known; the article's pack and the lot have a letter wrong."""
    shoot = shoot_of(
        line("cake", "moon yolk", "2 each"),
        part("moon egg", "moon yolk", "1 each"),
        pack("moon eggg", "6 each", "1"),
        lot("moon yollk", "1 each"),
        Shot(dish="cake"),
    )
    (slip,) = said(shoot, "ingredient unknown")
    assert slip.startswith(
        'Parts (row "moon yolk", column "Ingredient"): found the ingredient "moon'
    )
    assert 'nearly the same is "moon eggg"' in slip
    (lot_of_it,) = said(shoot, "not used in a recipe")
    assert lot_of_it.startswith("'On hand' (row \"moon yollk\"")
    assert codes(estimate(shoot).findings).count("pack missing") == 0


@pytest.mark.parametrize(
    ("stocked", "sheet"),
    [
        (sound("leek"), "Ingredients"),
        (pack("leek", "1 kg", "1"), "Packs"),
        (lot("leek", "1 kg"), "'On hand'"),
    ],
    ids=["ingredient", "pack", "lot"],
)
def test_message__each_sheet_that_names_ingredients_is_looked_at(stocked: Any, sheet: str) -> None:
    """A name on any of them is known, and one that no recipe uses is told there."""
    slip = shoot_of(line("soup", "leeks", "1 g"), stocked, Shot(dish="soup"))
    assert len(said(slip, "ingredient unknown")) == 1
    known = sound("leeks")
    (text,) = said(
        shoot_of(line("soup", "leeks", "1 g"), known, stocked, Shot(dish="soup")),
        "not used in a recipe",
    )
    assert text.startswith(f'{sheet} (row "leek", column "Ingredient")')


def test_message__not_used_in_a_recipe() -> None:
    """The recipe's own leek has a pack, so the other pack is the doubtful one."""
    shoot = shoot_of(
        SOUP, pack("leek", "1 kg", "1.89"), pack("leeks", "500 g", "1.09"), Shot(dish="soup")
    )
    assert said(shoot, "not used in a recipe") == [
        'Packs (row "leeks", column "Ingredient"): found "leeks", which no recipe uses, expected '
        'an ingredient spelled as in the recipes; nearly the same is "leek" '
        "[not used in a recipe]\n"
        '  Write "leek" if that is meant; leave it if it is for another day.'
    ]


def test_message__names_that_are_far_from_all_are_left_alone() -> None:
    """Salt that no other sheet knows, and a lot of mint that no recipe uses, are nobody's slip."""
    shoot = shoot_of(line("soup", "salt", "4 g"), lot("mint", "5 g"), Shot(dish="soup"))
    assert said(shoot, "ingredient unknown") == []
    assert said(shoot, "not used in a recipe") == []


def test_message__water_is_on_no_sheet_and_no_slip_of_what_is() -> None:
    """A pack of wafers is one letter from it; it is free, so that no pack of it is meant."""
    rows = (line("soup", "water", "1 l"), pack("wafer", "9 each", "1"))
    assert said(shoot_of(*rows, Shot(dish="soup")), "ingredient unknown") == []


@pytest.mark.parametrize(
    ("rows", "text"),
    [
        (
            [
                sound("leek", row=row("Ingredients", 3, "leek", Ingredient="A")),
                sound("Leek", row=row("Ingredients", 7, "Leek", Ingredient="A")),
            ],
            'Ingredients!A7 (row "Leek", column "Ingredient"): found a second row for "Leek"; '
            "the first is at Ingredients!A3",
        ),
        (
            [Dish(name="soup"), Dish(name="soup")],
            'Dishes (row "soup", column "Dish"): found a second row for "soup"; the first is at '
            'Dishes (row "soup", column "Dish")',
        ),
        (
            [Episode(name="One"), Episode(name="one")],
            'Episodes (row "one", column "Episode"): found a second row for "one"; the first is '
            'at Episodes (row "One", column "Episode")',
        ),
        (
            [Shop(name="stall"), Shop(name=" Stall", visit_cost=Decimal(1))],
            'Shops (row " Stall", column "Shop"): found a second row for " Stall"; the first is '
            'at Shops (row "stall", column "Shop")',
        ),
    ],
    ids=["ingredient", "dish", "episode", "shop"],
)
def test_message__row_twice(rows: list[Any], text: str) -> None:
    assert said(shoot_of(SOUP, *rows, Shot(dish="soup")), "row twice") == [
        f"{text}, expected one row for each [row twice]\n"
        "  Put what both rows say into one and delete the other; until then the first is used."
    ]


@pytest.mark.parametrize(
    "purpose", [Purpose.RETAKE, Purpose.SWAP, Purpose.CLOSE_UP, Purpose.RESET], ids=str
)
def test_message__steps_missing(purpose: Purpose) -> None:
    assert said(shoot_of(SOUP, Shot(dish="soup", name="P1", purpose=purpose)), "steps missing") == [
        f'\'Shoot plan\' (row "P1", column "Steps"): found no steps for a {purpose}, expected the '
        "steps it takes, such as 2 or 1-3 [steps missing]\n"
        "  Write the steps; until then the whole dish is counted."
    ]


def test_message__steps_missing_is_not_asked_of_whole_dishes() -> None:
    shots = [Shot(dish="soup", purpose=p) for p in (Purpose.HERO, Purpose.BITE, Purpose.TEST)]
    assert said(shoot_of(SOUP, *shots), "steps missing") == []


def test_message__step_unknown() -> None:
    shoot = shoot_of(
        SOUP, line("soup", "cream", "50 g", step=3), Shot(dish="soup", name="P1", steps=(1, 2, 4))
    )
    assert said(shoot, "step unknown") == [
        '\'Shoot plan\' (row "P1", column "Steps"): found steps 2, 4, which "soup" does not '
        "have, expected steps that it has: 1, 3 [step unknown]\n"
        "  Mend the steps here, or add the step to the recipe."
    ]


def test_message__shoot_plan_empty() -> None:
    """A dish may have the word or in its name."""
    shoot = shoot_of(SOUP, line("sweet or sour pickle", "salt", "4 g"))
    assert said(shoot, "shoot plan empty") == [
        "'Shoot plan': found no shots, expected a row for each use of food [shoot plan empty]\n"
        "  Until shots are planned one cook-through and one hero are counted of "
        '"soup" and "sweet or sour pickle".'
    ]


def test_message__shoot_date_missing() -> None:
    """Two dated lots tell it once."""
    shoot = shoot_of(
        SOUP,
        lot("leek", "100 g", use_by=date(2031, 5, 9)),
        lot("leek", "200 g", use_by=date(2031, 5, 11)),
        Episode(name="One", row=row("Episodes", 2, "One", Shoot_date="C")),
        Shot(dish="soup"),
    )
    assert said(shoot, "shoot date missing") == [
        'Episodes!C2 (row "One", column "Shoot date"): found no shoot date for "One", expected a '
        "date, because what is on hand has dates and does not count until the day is known "
        "[shoot date missing]\n"
        "  Write the date of the shoot into Shoot date on the sheet Episodes."
    ]


def test_message__currency_not_given() -> None:
    shoot = shoot_of(SOUP, pack("leek", "1 kg", "1.89"), Shot(dish="soup"))
    assert said(shoot, "currency not given") == [
        'Settings (row "Currency"): found no currency, expected a code of three letters such as '
        "EUR [currency not given]\n"
        "  Money is shown without a sign and with two digits until it is given."
    ]
    quiet = shoot_of(SOUP, pack("leek", "1 kg", None), Shot(dish="soup"))
    assert said(quiet, "currency not given") == []


def test_message__nothing_to_cook() -> None:
    shoot = shoot_of(pack("leek", "1 kg", "1.89"))
    assert said(shoot, "nothing to cook") == [
        "Recipes: found no recipe lines, expected a row for each ingredient of each step "
        "[nothing to cook]\n"
        "  Fill the sheet Recipes: Dish, Step, Ingredient, Amount and Unit."
    ]


def test_message__episode_missing() -> None:
    shoot = shoot_of(SOUP, Episode(name="One"), Episode(name="Two"), Shot(dish="soup", name="P1"))
    assert said(shoot, "episode missing") == [
        '\'Shoot plan\' (row "P1", column "Episode"): found a blank cell in a workbook with '
        "several episodes, expected the episode the shot belongs to [episode missing]\n"
        '  Write its episode; until then it is counted with "One".'
    ]


@pytest.mark.parametrize(
    ("name", "remedy"),
    [
        ("sop", 'Write "soup" if that is meant; until then'),
        ("jam", "Mend the name; until then"),
    ],
    ids=["a slip", "unlike any"],
)
def test_message__contents_unknown(name: str, remedy: str) -> None:
    bowl = Container(name="bowl", holds=("soup", name), place=row("Holding", 2, "bowl").at("Holds"))
    whole, _ = completed(shoot_of(SOUP, bowl, Shot(dish="soup")))
    contents = Contents(whole)
    contents.classed()
    assert [str(finding) for finding in contents.findings] == [
        f'Holding row 2 (row "bowl", column "Holds"): found "{name}" in the container "bowl", '
        'which no other sheet knows, expected ingredients, dishes, "dish: steps 1-2" or '
        "other containers, separated by semicolons [contents unknown]\n"
        f"  {remedy} the container is judged as food that needs control of its temperature."
    ]


def test_message__part_unclear() -> None:
    soup = (SOUP, line("soup", "leek", "10 g", step=2))
    bowl = Container(name="bowl", holds=("soup: step 2",), place=row("Holding", 2, "b").at("Holds"))
    contents = Contents(shoot_of(*soup, bowl))
    contents.classed()
    assert [str(finding) for finding in contents.findings] == [
        'Holding row 2 (row "b", column "Holds"): found "soup: step 2", which can mean two things, '
        'expected "soup: steps 1-2" (the dish as it is after step 2) or "soup: only step 2" '
        "(what is added there) [part of a dish unclear]\n"
        "  Write the one that is meant. Until then it is judged as the first, the stricter."
    ]


def test_message__dish_needs_no_control() -> None:
    egg = sound("egg", holding_class=HoldingClass.ALWAYS)
    custard = Dish(name="custard", holding_class=HoldingClass.NONE)
    bowl = Container(name="bowl", holds=("custard",))
    contents = Contents(shoot_of(line("custard", "egg", "2 each"), egg, custard, bowl))
    contents.classed()
    assert [str(finding) for finding in contents.findings] == [
        'Dishes (row "custard", column "Holding class"): found none for "custard", which holds '
        "egg, expected none only for what needs no control of its temperature once it is finished "
        "[dish needs no control]\n"
        "  Leave the cell blank unless baking, drying or the like has made it so; until then no "
        "holding rule is applied to it."
    ]


def test_message__container_nearly() -> None:
    out = Event(kind=EventKind.OUT, at=datetime(2031, 5, 10, 10))
    often = Container(name="soup bowl", holds=("soup",), events=(out, out))
    once = Container(
        name="soup bwol",
        holds=("soup",),
        events=(out,),
        place=row("Holding", 4, "soup bwol").at("Container"),
    )
    contents = Contents(shoot_of(SOUP, often, once))
    contents.classed()
    assert [str(finding) for finding in contents.findings] == [
        'Holding row 4 (row "soup bwol", column "Container"): found the container "soup bwol" '
        'logged once, beside "soup bowl", expected one name for one container in all its rows '
        "[container nearly another]\n"
        '  Write "soup bowl" if that is meant. Until then each is judged by its own rows.'
    ]


def test_messages__a_sound_shoot_says_nothing() -> None:
    whole, filled_in = completed(
        shoot_of(
            SOUP,
            sound("leek"),
            pack("leek", "1 kg", "1.89"),
            Shot(dish="soup"),
            currency="EUR",
        )
    )
    assert [*filled_in, *books_of(whole).findings] == []
    assert key(whole.episodes[0].name) == "episode 1"


def test_message__tax_rate_missing() -> None:
    """Prices without tax and no rate: said once; a rate of 0, or one pack's rate, is an answer."""
    parts = [SOUP, pack("leek", "1 kg", "2"), Shot(dish="soup")]
    without = {"prices_include_tax": False}
    assert said(shoot_of(*parts, **without), "tax rate missing") == [
        'Settings (row "Food tax rate %"): found a blank cell, while prices do not include tax and '
        "no pack has a rate, expected the percent that the till adds, or 0 [tax rate missing]\n"
        "  Fill it, or Tax rate % on the sheet Packs; until then no tax is added."
    ]
    assert said(shoot_of(*parts, **without, tax_rate=Fraction(0)), "tax rate missing") == []
    taxed = pack("leek", "1 kg", "2", tax_rate=Fraction(1, 10))
    assert said(shoot_of(*parts, taxed, **without), "tax rate missing") == []
    assert said(shoot_of(*parts), "tax rate missing") == []


@pytest.mark.parametrize(
    ("episode", "source", "told"),
    [("a", "", True), ("b", "", False), ("a", "P1", False)],
    ids=["one episode", "two episodes", "a From that tells it"],
)
def test_message__shot_named_twice(episode: str, source: str, told: bool) -> None:
    """Rows 2 and 5; in two episodes the name before it says which, and From is an error itself."""
    shots = [
        Shot(dish="soup", name="P1", episode=of, row=row("Shoot plan", number, "P1", Shot="A"))
        for number, of in ((2, "a"), (5, episode))
    ]
    last = Shot(dish="soup", name="P2", episode="a", from_shot=source)
    expected = (
        '\'Shoot plan\'!A5 (row "P1", column "Shot"): found the name "P1" of rows 2 and 5, '
        "expected a name of its own for each shot of an episode [shot named twice]\n"
        "  All of them count. Name them apart before one is logged or written into From, which "
        "could mean any of them."
    )
    found = shoot_of(SOUP, *shots, last)
    assert said(found, "shot named twice") == ([expected] if told else [])
