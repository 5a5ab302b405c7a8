"""Rows that change nothing are named, and nothing else is."""

from __future__ import annotations

from datetime import date, time
from fractions import Fraction
from typing import Any

import pytest
from small import BREAD, line, lot, pack, part, row, shoot_of, sound

from costing.findings import Place
from costing.holding.models import Container
from costing.kitchen import Dish, Ingredient, Line, Measured, Shop
from costing.quantities import Measures, amount
from costing.shoot import Episode, LeftOut, Purpose, Shot
from costing.shoot.checks import check_shoot
from costing.shoot.defaults import completed
from costing.shoot.episodes import Trip
from costing.shoot.unused import check_unused


def told(*parts: Any, **settings: Any) -> list[str]:
    """What is said to be unused, without what to do about it."""
    shoot, _ = completed(shoot_of(*parts, **settings))
    return [str(finding).partition("\n")[0] for finding in check_unused(shoot)]


def test_used__nothing_is_said() -> None:
    assert (
        told(
            *BREAD,
            pack("strong white flour", "1 kg", "1", shop="mill"),
            lot("Seeds", "100 g"),
            sound("seeds", substitute="kernels; nuts"),
            sound("nuts"),
            sound("cream"),
            Container(name="jug", holds=("cream",), place=Place("Holding")),
            Shop(name="Mill"),
            Dish(name="Bread"),
            Episode(name="one"),
        )
        == []
    )


def test_rows__that_wait_for_a_pack_which_no_recipe_asks_for_are_told() -> None:
    """A name alone on Packs, or a remark below the rows; that of a dish, and of flour, may wait."""
    names = ("strong white flour", "bread", "seed", "prices of March")
    waiting = [row("Packs", n, name, Ingredient="A") for n, name in enumerate(names, start=2)]
    shoot, _ = completed(shoot_of(*BREAD).changed(waiting_packs=waiting))
    (said,) = check_unused(shoot)
    assert said.place.row == 4
    assert said.found == '"seed" (or is "seeds" meant?) and "prices of March", which no recipe uses'


def test_rows_change_nothing__whole_text() -> None:
    """Flour shares its word with the flour of the recipe; rice shares none."""
    shoot, _ = completed(
        shoot_of(
            *BREAD,
            pack("flour", "1 kg", "1", row=row("Packs", 2, "flour", Ingredient="A")),
            pack("flour", "2 kg", "2", row=row("Packs", 3, "flour", Ingredient="A")),
            pack("rice", "1 kg", "1", row=row("Packs", 4, "rice", Ingredient="A")),
        )
    )
    assert [str(finding) for finding in check_unused(shoot)] == [
        'Packs!A2 (row "flour", column "Ingredient"): found "flour" (or is "strong white flour" '
        'meant?) and "rice", which no recipe uses, expected rows that count for this shoot [rows '
        "change nothing]\n"
        "  They change nothing. Spell the names as elsewhere, or add what is missing, if they are "
        "meant for this shoot; leave them for another."
    ]


def test_words__are_not_offered_where_the_recipes_name_has_its_own_row() -> None:
    both = [pack(name, "1 kg", "1") for name in ("flour", "strong white flour")]
    assert told(*BREAD, *both) == [
        'Packs (row "flour", column "Ingredient"): found "flour", which no recipe uses, expected '
        "rows that count for this shoot [rows change nothing]"
    ]


def test_slips__are_told_as_slips_alone() -> None:
    """A letter wrong is an error of its own: told once, on whatever sheet it stands."""
    assert told(*BREAD, pack("seedss", "1 kg", "1")) == []
    slip = (pack("seeds", "1 kg", "1"), pack("seedss", "1 kg", "1"), lot("seedss", "1 kg"))
    assert told(*BREAD, *slip) == []
    codes = [one.code for one in check_shoot(shoot_of(*BREAD, *slip)) if "seed" in str(one)]
    assert codes == ["not used in a recipe"]


def test_slips__of_the_shop_of_a_trip_are_told_with_the_shop_that_may_be_meant() -> None:
    """No other check tells of them: a shop needs no row on Trips."""
    seeds = pack("seeds", "1 kg", "1", shop="Mill")
    trips = [Trip(shop=name, day=date(2031, 5, 9)) for name in ("mill", "Mlil", "Harbour")]
    assert [
        text.partition("found ")[2].partition(", expected")[0]
        for text in told(*BREAD, seeds, *trips)
    ] == ['"Mlil" (or is "Mill" meant?) and "Harbour", where no pack is from']


def test_each_sheet__has_its_own_words() -> None:
    """A lot, an ingredient, water from the tap, a shop, a dish, an episode, a recipe."""
    said = told(
        *BREAD,
        line("cake", "egg", "1 each"),
        lot("rye", "1 kg"),
        sound("oats"),
        pack("water", "1 l", "1"),
        Shop(name="mill"),
        Dish(name="roll"),
        Episode(name="one"),
        Episode(name="two"),
    )
    assert [text.partition("found ")[2].partition(", expected")[0] for text in said] == [
        '"water", which is free and never bought',
        '"oats", which no recipe uses',
        '"rye", which no recipe uses',
        '"roll", which no recipe makes',
        '"cake", which no shot takes',
        '"two", for which no shot is planned',
        '"mill", where no pack is from',
    ]


def test_recipe_that_no_shot_takes__names_the_dish_it_may_belong_to() -> None:
    (said,) = told(*BREAD, line("braed", "salt", "5 g"))
    assert 'found "braed" (or is "bread" meant?), which no shot takes' in said


def test_lines__that_no_shot_takes_by_its_steps_or_as_optional() -> None:
    assert told(
        line("bread", "flour", "500 g"),
        line("bread", "salt", "5 g", optional=True),
        line("bread", "seeds", "20 g", step=2),
        Shot(dish="bread", purpose=Purpose.RETAKE, steps=(1,)),
    ) == [
        'Recipes (row "salt", column "Ingredient"): found "salt" of "bread", step 1 and "seeds" '
        'of "bread", step 2, which no shot takes, by its steps or as optional, expected rows that '
        "count for this shoot [rows change nothing]"
    ]


@pytest.mark.parametrize(
    ("trim_yield", "sold", "idle"),
    [("0.5", "6 each", True), ("1", "6 each", False), ("0.5", "1 kg", False)],
    ids=["pieces throughout", "nothing is trimmed", "bought by weight"],
)
def test_cells__a_trim_yield_of_what_is_counted_in_pieces(
    trim_yield: str, sold: str, idle: bool
) -> None:
    """A piece is whole as bought, so that its trim yield changes no need."""
    bun = sound("bun", trim_yield=Fraction(trim_yield), piece_weight=Fraction(60))
    buns = line("tray", "bun", "4 each"), bun, pack("bun", sold, "1"), Shot(dish="tray")
    said = (
        'Ingredients (row "bun", column "Trim yield %"): found "bun", whose trim yield no weight '
        "or volume asks for: pieces are whole as bought, expected an entry that counts for this "
        "shoot [entry changes nothing]"
    )
    assert told(*buns) == ([said] if idle else [])


def test_lines__that_take_nothing() -> None:
    assert told(line("bread", "salt", "0 g"), *BREAD) == [
        'Recipes (row "salt", column "Amount"): found "salt", of which the recipe takes nothing, '
        "expected rows that count for this shoot [rows change nothing]"
    ]


def test_shots__that_are_never_taken() -> None:
    """A copy that another shot goes on with is made all the same."""
    never = Shot(name="R", dish="bread", purpose=Purpose.RETAKE, steps=(1,), times=0)
    assert told(*BREAD, never) == [
        '\'Shoot plan\' (row "R", column "Times"): found "R", taken 0 times, expected rows that '
        "count for this shoot [rows change nothing]"
    ]
    begun = Shot(name="C", dish="bread", steps=(1,), times=0)
    ended = Shot(name="H", dish="bread", purpose=Purpose.HERO, steps=(2,), from_shot="C")
    perhaps = Shot(name="P", dish="bread", times=0, most=2)
    assert told(*BREAD, begun, ended, perhaps) == []


def test_shots__of_which_nothing_is_made() -> None:
    none = Shot(name="R", dish="bread", purpose=Purpose.RETAKE, steps=(1,), batch=Fraction(0))
    assert told(*BREAD, none) == [
        '\'Shoot plan\' (row "R", column "Batch"): found "R", of which nothing is made each time, '
        "expected rows that count for this shoot [rows change nothing]"
    ]


@pytest.mark.parametrize(
    ("row", "used"),
    [
        (Episode(name="Day 2"), (Episode(name="Day 1"), Shot(dish="bread", episode="Day 1"))),
        (Shop(name="Mill 2"), (Shop(name="Mill 1"), pack("seeds", "1 kg", "1", shop="Mill 1"))),
    ],
)
def test_rows__alike_to_one_that_has_its_own_row_are_no_slip(row: Any, used: Any) -> None:
    (said,) = told(*BREAD[:3], *used, row)
    assert f'found "{row.name}", ' in said


def test_rows__of_a_dish_that_is_on_hand_count() -> None:
    """A lot of a dish that another takes counts; a row of Ingredients for one without does not."""
    toast = (line("toast", "bread", "1 batch"), Shot(dish="toast"))
    assert told(*BREAD, *toast, lot("bread", "1 batch")) == []
    (said,) = told(*BREAD, *toast, sound("bread"))
    assert 'found "bread", which the recipes make, ' in said
    assert told(*BREAD, *toast, Ingredient(name="bread")) == [], "a name alone says nothing"


@pytest.mark.parametrize(
    ("whole", "candidates"), [(True, 1), (False, 3)], ids=["whole batches", "picked"]
)
def test_rows__of_a_dish_that_is_made_by_itself(whole: bool, candidates: int) -> None:
    """Nobody asks how long a bread keeps that is neither bought nor on hand: Dishes says so."""
    rows = (
        line("toast", "bread", "1 each", candidates=candidates),
        Dish(name="bread", makes="1 each", whole_batches=whole),
        Ingredient(name="bread", keeps_days=3),
        Shot(dish="toast", purpose="hero"),
    )
    (said,) = told(*BREAD, *rows)
    assert 'found "bread", which the recipes make, ' in said


def test_rows__of_parts_that_nobody_uses() -> None:
    """A lemon whose juice is in no recipe is not cut, and its pack is not bought."""
    lemon = (part("lemon", "lemon juice", "40 ml"), pack("lemon", "1 each", "0.5"))
    assert told(*BREAD, line("bread", "lemon juice", "1 ml"), *lemon) == []
    said = told(*BREAD, *lemon)
    assert [text.split("found ")[1].split(", expected")[0] for text in said] == [
        '"lemon", which no recipe uses',
        '"lemon", of which no recipe uses a part',
    ]


def test_unread_rows__would_use_what_is_left() -> None:
    """The cause is told elsewhere: a sheet or a row that could not be read."""
    shoot, _ = completed(shoot_of(*BREAD, pack("rice", "1 kg", "1"), line("cake", "egg", "1 each")))
    for sheet in ("Recipes", "Shoot plan"):
        unread = LeftOut(what="a row", place=Place(sheet, 9), sheet=sheet)
        left = [str(f) for f in check_unused(shoot.changed(left_out=(unread,)))]
        assert not any("cake" in text for text in left)
        assert any("rice" in text for text in left) == (sheet == "Shoot plan")


def filled_in(*settings: str) -> dict[str, Place]:
    """Where the values of these settings would stand."""
    return {name: Place("Settings", heading="Value", name=name) for name in settings}


def test_settings_change_nothing__whole_text() -> None:
    """No container, no uncertain shot, no price: four for nothing; metric is not told."""
    names = ["Currency", "Measures", "Tax rounding", "Room temperature", "Holding rules", "Budget"]
    shoot, _ = completed(shoot_of(*BREAD, places=filled_in(*names)))
    assert [str(finding) for finding in check_unused(shoot)] == [
        'Settings (row "Tax rounding", column "Value"): found Tax rounding, Holding rules, '
        "Room temperature and Budget, expected settings that count for this shoot "
        "[settings change nothing]\n"
        "  They change nothing here: nothing that was typed depends on them. Leave them for what "
        "comes."
    ]


@pytest.mark.parametrize(
    ("setting", "parts", "more"),
    [
        ("Prices include tax", [pack("seeds", "1 kg", "3")], {}),
        ("Food tax rate %", [pack("seeds", "1 kg", "3")], {"prices_include_tax": False}),
        ("Tax rounding", [pack("seeds", "1 kg", "3", tax_rate=Fraction(1, 5))], {}),
        ("Room temperature", [Container(name="jug", holds=("seeds",), place=Place())], {}),
        ("Shopping date", [Episode(name="one", shoot_date=date(2031, 5, 10))], {}),
        ("Shopping date", [pack("seeds", "1 kg", "3")], {}),
        ("Chance of running out accepted %", [Shot(dish="bread", most=2)], {}),
        (
            "Chance of running out accepted %",
            [
                line("bread", "roll", "1 each", good_enough="70%"),
                Shot(dish="bread", purpose=Purpose.HERO),
            ],
            {},
        ),
    ],
)
def test_settings__that_something_depends_on_are_not_named(
    setting: str, parts: list[Any], more: dict[str, Any]
) -> None:
    idle = told(*BREAD, places=filled_in(setting))
    assert [setting in text for text in idle] == [True]
    assert told(*BREAD, *parts, places=filled_in(setting), **more) == []


def test_settings__a_price_of_what_is_given_free_is_paid_by_nobody() -> None:
    """Whether it includes tax changes nothing; of what is bought it does."""
    setting = filled_in("Prices include tax")
    for free in (True, False):
        seeds = pack("seeds", "1 kg", "3", supplied=free)
        idle = told(*BREAD, seeds, places=setting)
        assert any("Prices include tax" in text for text in idle) is free


def test_settings__measures_that_no_cup_asks_for_are_told_unless_metric() -> None:
    us: dict[str, Any] = {"measures": Measures.US_CUSTOMARY, "places": filled_in("Measures")}
    assert ["Measures" in text for text in told(*BREAD, **us)] == [True]
    assert told(*BREAD, line("bread", "milk", "1 cup"), **us) == []
    assert told(*BREAD, places=filled_in("Measures")) == []


def test_cells__that_nothing_asks_for_are_named() -> None:
    """A cooked weight without a line measured cooked, a piece of what is weighed, and so on."""
    said = told(
        *BREAD,
        sound("seeds", cooked_weight=Fraction(2), piece_weight=Fraction(3)),
        Dish(name="bread", makes=amount("2 each"), cooked_weight=Fraction(4, 5)),
        Shot(dish="bread", name="S", optional_lines=True, eater_count=0),
        pack("seeds", "1 kg", "3", supplied=True, order_days=2, thaw_days=1),
        lot("seeds", "1 kg", value="2", supplied=True),
    )
    assert [text.partition("found ")[2].partition(", expected")[0] for text in said] == [
        '"seeds", whose cooked weight no line asks for: none is measured cooked',
        '"seeds", whose weight of a piece nothing asks for: nothing is counted in pieces',
        '"bread", whose Makes counts only for costing recipe and where another dish takes some of '
        "it",
        '"bread", whose cooked weight counts only where another dish takes some of it',
        '"S", none of whose steps has an optional line',
        '"S", whose Eaters count nobody: that nobody eats of it is said with no in Eaten',
        '"seeds", whose Order days count back from a day that is not known',
        '"seeds", whose Thaw days count back from a shoot date that is not known',
        '"seeds", whose price counts for nothing: it is supplied, which is free',
        '"seeds", whose value counts for nothing: it is supplied, which is worth nothing here',
    ]


def test_optional_lines__of_steps_without_any_are_named() -> None:
    """Nuts are optional in step 2: a shot of step 1 asks for them in vain, one of step 2 has them.

    Salt to taste is an optional line of step 3: it is in what people eat.
    """
    rows = (
        *(line("loaf", "flour", "1 kg"), line("loaf", "nuts", "50 g", step=2, optional=True)),
        Line(dish="loaf", ingredient="salt", to_taste=True, optional=True, step=3),
        line("loaf", "oil", "5 g", step=4),
        line("feast", "loaf", "1 batch", step=1),
        Shot(dish="loaf", name="A", steps="1", optional_lines=True),
        Shot(dish="loaf", name="B", steps="1-2", optional_lines=True),
        Shot(dish="loaf", name="C", purpose="retake", steps="3", optional_lines=True),
        Shot(dish="loaf", name="D", purpose="retake", steps="4", optional_lines=True),
        Shot(dish="feast", name="E", optional_lines=True),
        Shot(dish="loaf", name="F"),
    )
    assert [text.partition("found ")[2].partition(", expected")[0] for text in told(*rows)] == [
        '"A" and "D", none of whose steps has an optional line',
    ]


@pytest.mark.parametrize(
    ("water", "idle"),
    [
        (Ingredient(name="water", density=Fraction(1)), False),
        (Ingredient(name="water", piece_weight=Fraction(5)), True),
        (Ingredient(name="water", section="tap"), True),
    ],
    ids=["density", "grams per piece", "section"],
)
def test_water__whose_density_weighs_a_dish_is_not_idle(water: Ingredient, *, idle: bool) -> None:
    """Stock of 1 l of water and 200 g of bones weighs 1,200 g by it; a soup takes 300 g."""
    rows = (
        *(line("stock", "water", "1 l"), line("stock", "bones", "200 g")),
        *(line("soup", "stock", "300 g"), Dish(name="stock", cooked_weight=Fraction(1, 2))),
        Shot(dish="soup", name="S"),
    )
    idle_words = "which is free and never bought"
    assert any(idle_words in text for text in told(*rows, water)) is idle
    assert any(idle_words in text for text in told(*rows[:3], rows[4], water))


@pytest.mark.parametrize(("note", "idle"), [("", True), ("Serves 4", False), ("Serves 14", True)])
def test_makes__as_the_recipe_says_in_its_note_is_not_idle(note: str, *, idle: bool) -> None:
    """A workbook of a recipe has it from there, for costing recipe; what is typed is told."""
    makes = Dish(name="bread", makes=amount("4 portion"), note=note)
    assert any("whose Makes counts only" in text for text in told(*BREAD, makes)) is idle


def test_entry_changes_nothing__whole_text() -> None:
    makes = Dish(name="bread", makes=amount("2 each"), row=row("Dishes", 2, "bread", Makes="B"))
    shoot, _ = completed(shoot_of(*BREAD, makes))
    assert [str(finding) for finding in check_unused(shoot)] == [
        'Dishes!B2 (row "bread", column "Makes"): found "bread", whose Makes counts only for '
        "costing recipe and where another dish takes some of it, expected an entry that counts for "
        "this shoot [entry changes nothing]\n"
        "  It changes nothing here. Leave it for what comes, or clear it."
    ]


def test_cells__that_something_asks_for_are_not_named() -> None:
    assert (
        told(
            line("toast", "bread", "1 each"),
            line("bread", "seeds", "20 g", measured=Measured.COOKED),
            line("bread", "nuts", "5 g", optional=True),
            pack("seeds", "3 each", "1", order_days=2, thaw_days=1),
            Episode(name="one", shoot_date=date(2031, 5, 10)),
            sound("seeds", cooked_weight=Fraction(2), piece_weight=Fraction(3)),
            Dish(name="bread", makes=amount("2 each"), cooked_weight=Fraction(4, 5)),
            Shot(dish="toast", optional_lines=True),
        )
        == []
    )


def test_call_after_first_start__whole_text() -> None:
    shoot = shoot_of(
        *BREAD,
        Episode(name="one", call_time=time(10), row=row("Episodes", 2, "one", Call_time="D")),
        Shot(dish="bread", name="S", starts=time(9, 30)),
    )
    assert [str(f) for f in check_shoot(shoot)] == [
        'Episodes!D2 (row "one", column "Call time"): found the call at 10:00 and the start of '
        '"S" at 09:30, expected a call before the first start [call after first start]\n'
        "  Mend whichever is wrong; the shot keeps its start."
    ]


@pytest.mark.parametrize(
    ("episode", "starts", "told"),
    [("ONE ", 9, 1), ("", 9, 1), ("two", 9, 0), ("one", 10, 0), ("one", None, 0)],
    ids=["before it", "of the only one", "of another episode", "at the call", "no start"],
)
def test_call_after_first_start__of_shots_of_the_episode_alone(
    episode: str, starts: int | None, told: int
) -> None:
    shot = Shot(dish="bread", episode=episode, starts=None if starts is None else time(starts))
    shoot = shoot_of(*BREAD[:3], Episode(name="one", call_time=time(10)), Episode(name="two"), shot)
    assert [f.code for f in check_shoot(shoot)] == ["call after first start"] * told


def test_keeps_days__count_only_over_several_days() -> None:
    """A stock for one shoot day, and for two."""
    stock = (line("stock", "bones", "1 kg"), Dish(name="stock", makes="2 l", keeps_days=2))
    soup = (line("soup", "stock", "1 l"), Episode(name="A", shoot_date="2031-05-01"))
    one = (*stock, *soup, Shot(dish="soup", episode="A"))
    (said,) = told(*one)
    assert "whose keeping days count only where it is made for more than one shoot day" in said
    other = (Episode(name="B", shoot_date="2031-05-02"), Shot(dish="soup", episode="B"))
    assert told(*one, *other) == []


def test_candidates__that_no_shot_picks_from_are_named() -> None:
    """A cook-through picks none; a hero that shows the copy of a cook-through does."""
    plum = line(
        "bread", "plum", "1 each", candidates=3, row=row("Recipes", 4, "plum", Candidates="I")
    )
    cook = Shot(dish="bread", name="C")
    assert told(*BREAD, plum, cook) == [
        'Recipes!I4 (row "plum", column "Candidates"): found "plum", of which no hero, hero spare '
        "or close-up shows a piece, expected an entry that counts for this shoot "
        "[entry changes nothing]"
    ]
    assert told(*BREAD, plum, Shot(dish="bread", purpose=Purpose.HERO, from_shot="C"), cook) == []


@pytest.mark.parametrize(
    "apart",
    [
        Dish(name="jam", makes="4 each", whole_batches=True),
        pack("jam", "1 each", "3.00"),
        lot("jam", "1 each", use_by="2031-12-31"),
    ],
    ids=["in whole batches", "sold ready", "on hand"],
)
def test_candidates__inside_a_dish_that_is_made_by_itself_are_told(apart: Any) -> None:
    """The hero toast shows a pot of jam: of the plums in it nothing is picked.

    Without batches, packs and lots of the jam its plums are written out, and are picked. That a
    hero of the jam itself picks plums for another shot leaves it to be told of the toast.
    """
    plum = line(
        "jam", "plum", "3 each", candidates=3, row=row("Recipes", 4, "plum", Candidates="I")
    )
    toast = (line("toast", "jam", "1 each"), Shot(dish="toast", purpose=Purpose.HERO))
    makes = () if isinstance(apart, Dish) else (Dish(name="jam", makes="4 each"),)
    of_itself = Shot(dish="jam", purpose=Purpose.HERO)
    for more in ((), (of_itself,)):
        shoot, _ = completed(shoot_of(plum, *toast, apart, *makes, *more))
        found = [one for one in check_unused(shoot) if one.code == "not picked in the making"]
        assert list(map(str, found)) == [
            'Recipes!I4 (row "plum", column "Candidates"): found "plum" in a dish that is in whole '
            "batches, on hand or sold ready, expected candidates of a line of the dish that is "
            "shown [not picked in the making]\n"
            "  Where a hero, hero spare or close-up shows such a dish, nothing more is bought to "
            "pick from for its making. Write Candidates beside the line that takes it in pieces, "
            "or clear them here."
        ]
    assert told(plum, *toast, Dish(name="jam", makes="4 each")) == []


def test_candidates__of_a_dish_in_a_dish_that_is_made_by_itself_are_told() -> None:
    """The bun is in the box in whole batches: no bun is picked; the box on the table is."""
    rows = (
        line("bun", "flour", "60 g"),
        line("box", "bun", "2 each", candidates=3, row=row("Recipes", 5, "bun", Candidates="I")),
        line("table", "box", "1 each", candidates=2, row=row("Recipes", 6, "box", Candidates="I")),
        Dish(name="bun", makes="1 each"),
        Dish(name="box", makes="1 each", whole_batches=True),
        Shot(dish="table", purpose=Purpose.HERO),
    )
    (found,) = told(*rows)
    assert found.startswith('Recipes!I5 (row "bun"')


def test_keeps_days__of_a_dish_nobody_makes_are_told_with_its_row() -> None:
    """One cause, one message: the whole row changes nothing."""
    (said,) = told(*BREAD, Dish(name="stock", keeps_days=2))
    assert 'found "stock", which no recipe makes' in said
