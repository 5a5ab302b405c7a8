"""Rows of Prep and Swaps: what is said beside a bowl, and what stands on Assumptions for it."""

from __future__ import annotations

from datetime import date, time
from fractions import Fraction
from typing import Any

import pytest
from small import line, lot, pack, shoot_of, sound

from costing.estimating import estimate
from costing.findings import Place
from costing.kitchen import Dish, Measured
from costing.quantities import amount
from costing.report.exchange import rows
from costing.shoot import Episode, Purpose, Shot

UNCALLED = Episode(name="A", shoot_date=date(2031, 5, 10))
DATED = Episode(name="A", shoot_date=date(2031, 5, 10), call_time=time(9, 30))


def noted(*parts: Any, **settings: Any) -> list[str]:
    """The notes of a small shoot."""
    found = estimate(shoot_of(*parts, **settings)).tables()["prep"].rows
    return [str(row["note"]) for row in found]


def test_prep__nothing_to_say_beside_a_known_bowl() -> None:
    assert noted(DATED, line("soup", "oil", "60 ml"), Shot(dish="soup")) == [""]


@pytest.mark.parametrize(
    ("more", "note"),
    [
        ({"candidates": Fraction(4)}, "picked out of 4 for each one shown"),
        ({"good_enough": Fraction(4, 5)}, "picked out of more: 80 % are good enough to be shown"),
    ],
    ids=["by number", "by part"],
)
def test_prep__pieces_are_picked_for_a_hero_alone(more: dict[str, Any], note: str) -> None:
    plum = line("cake", "moon plum", "2 each", **more)
    pieces = "in pieces: the bowl is not worked out"
    hero = Shot(dish="cake", purpose=Purpose.HERO)
    assert noted(DATED, plum, hero)[0].startswith(f"{note}; {pieces}")
    assert noted(DATED, plum, Shot(dish="cake")) == [pieces]


@pytest.mark.parametrize(
    ("more", "note"),
    [
        ({"note": "at room temperature"}, "at room temperature"),
        ({"note": '60 ml oil; step 2 by "Fry in the oil", again in 3'}, "60 ml oil"),
        ({"note": "; no step names it"}, ""),
        ({"optional": True}, "optional"),
        (
            {"measured": Measured.AS_BOUGHT},
            "ready to use; the recipe has 180 ml as bought",
        ),
        (
            {"measured": Measured.COOKED, "amount": amount("60 g")},
            "ready to use; the recipe has 180 g cooked; measured cooked: the bowl depends on when "
            "it is cooked",
        ),
        (
            {"amount": amount("40 g")},
            "Grams per ml is not known: fill Grams per ml to know the bowl",
        ),
        ({"amount": amount("2 each")}, "in pieces: the bowl is not worked out"),
        ({"amount": amount("600 ml")}, "2 bowls each time, together 1800 ml"),
        ({"amount": None}, 'how much of it goes into "soup" is not known'),
        ({"amount": None, "to_taste": True}, "to taste: no amount is worked out"),
        ({"amount": amount("2 portions")}, 'how much of it goes into "soup" is not known'),
    ],
    ids=[
        "its own note",
        "how its step was guessed",
        "that no step names it",
        "optional",
        "as bought",
        "cooked",
        "no density",
        "pieces",
        "two bowls",
        "no amount",
        "to taste",
        "portions",
    ],
)
def test_prep__says_what_a_cook_must_know(more: dict[str, Any], note: str) -> None:
    """60 ml three times over are 180 ml; 600 ml three times over are shared by two bowls."""
    oil = line("soup", "moon oil", "60 ml").model_copy(update=more)
    shot = Shot(dish="soup", batch=Fraction(3), optional_lines=True)
    kitchen = sound("moon oil", trim_yield=Fraction(1, 2), cooked_weight=Fraction(2))
    assert noted(DATED, oil, kitchen, shot) == [note]


def test_prep__what_cannot_be_turned_raw_says_so() -> None:
    rice = line("soup", "moon rice", "300 g", measured=Measured.COOKED)
    assert noted(DATED, rice, Shot(dish="soup")) == [
        "300 g cooked: how much that is raw is not known"
    ]


def test_prep__a_dish_inside_says_that_it_is_made() -> None:
    found = noted(
        DATED,
        line("sauce", "oil", "60 ml"),
        Dish(name="sauce", makes=amount("2 portions")),
        line("pie", "sauce", "2 portions"),
        Shot(dish="pie"),
    )
    (note,) = found
    assert note.startswith("a dish of its own, see Make; in portions or batches: the bowl")


@pytest.mark.parametrize(
    ("there", "words"),
    [
        (pack("sauce", "1 l", "0.10"), "a dish of its own"),
        (lot("sauce", "1 l", use_by=date(2031, 5, 20)), "a dish of its own"),
        (pack("sauce", "1 l", "90.00"), "a dish of its own, see Make"),
    ],
    ids=["bought ready", "on hand", "too dear ready"],
)
def test_prep__sends_to_make_only_for_what_stands_there(there: Any, words: str) -> None:
    kitchen = (
        line("sauce", "oil", "60 ml"),
        Dish(name="sauce", makes=amount("60 ml")),
        line("pie", "sauce", "60 ml"),
        pack("oil", "1 l", "5.00"),
        Shot(dish="pie"),
    )
    assert noted(DATED, *kitchen, there) == [words]


def test_prep__a_step_is_named_once_on_its_tray() -> None:
    """Two lines are mixed and one is fried, for each of two copies together."""
    found = noted(
        DATED,
        line("pie", "oil", "60 ml", step_name="mix"),
        line("pie", "water", "60 ml"),
        line("pie", "milk", "60 ml", step=2, step_name="fry"),
        Shot(dish="pie", times=2),
    )
    assert found == ["mix", "", "fry"]


@pytest.mark.parametrize(
    ("episode", "shots", "note"),
    [
        (
            Episode(name="A"),
            [Shot(dish="soup", starts=time(10))],
            "by when is not known: 10:00 of a day without a shoot date",
        ),
        (
            UNCALLED,
            [Shot(dish="soup")],
            "by when is not known: no start and no call time",
        ),
        (
            UNCALLED,
            [Shot(dish="soup", starts=time(10)), Shot(dish="soup", name="P2")],
            "no start is given for P2",
        ),
        (
            UNCALLED,
            [Shot(dish="soup", starts=time(10)), *(Shot(dish="soup", name=n) for n in "BCDEF")],
            "no start is given for B, C, D and 2 more",
        ),
    ],
    ids=["no date", "no time", "one without a start", "five without a start"],
)
def test_prep__says_why_no_time_is_known(episode: Episode, shots: list[Shot], note: str) -> None:
    assert noted(episode, line("soup", "oil", "60 ml"), *shots) == [note]


def test_prep__a_bowl_of_a_stage_is_needed_before_the_stage_is_shown() -> None:
    """The hero at 11:00 is cooked by then; what a retake takes at 10:00 too is there by 10:00."""
    told = "what it goes into is ready by then, see Swaps: weigh it out before"
    oil = line("soup", "oil", "60 ml")
    hero = Shot(dish="soup", purpose=Purpose.HERO, starts=time(11))
    retake = Shot(dish="soup", purpose=Purpose.RETAKE, starts=time(10))
    assert noted(DATED, oil, hero) == [told]
    assert noted(DATED, oil, hero, retake) == [""]


def test_prep__without_bowl_sizes_says_so() -> None:
    found = noted(DATED, line("soup", "oil", "60 ml"), Shot(dish="soup"), bowl_sizes=())
    assert found == ["no bowl sizes are known"]


def test_copies__say_what_is_to_be_known_beside_their_shots() -> None:
    """A is taken once and B twice: the second copy of B is made through A's steps for it alone.

    C may be taken twice, so that its second copy is begun only then; D takes half of the recipe.
    """
    rows = (
        *(line("soup", "leek", "1 kg"), line("soup", "cream", "100 ml", step=2)),
        Shot(dish="soup", name="A", steps="1"),
        Shot(dish="soup", name="B", purpose="hero", from_shot="A", times=2),
        Shot(dish="soup", name="C", purpose="retake", steps="1-2", most=2),
        Shot(dish="soup", name="D", purpose="retake", steps="1-2", batch="1/2"),
    )
    found = estimate(shoot_of(*rows)).tables()["copies"].rows
    assert [(row["shots"], row["note"]) for row in found] == [
        ("A, B", ""),
        ("A, B", "made through the steps of A without a take of its own"),
        ("C", ""),
        ("C", "only if there are more takes than Times"),
        ("D", "1/2 of the recipe"),
    ]


def test_prep_and_swaps__as_json() -> None:
    """Keys are the headings; a third of a batch stays a fraction, the instant has its offset."""
    shoot = shoot_of(
        DATED,
        line("soup", "oil", "50 ml", cut="strained"),
        Shot(dish="soup", purpose=Purpose.HERO_SPARE, batch=Fraction(1, 3), times=2),
        time_zone="Europe/Lisbon",
    )
    told = estimate(shoot).as_json()
    assert told["prep"] == [
        {
            "episode": "A",
            "dish": "soup",
            "step": 1,
            "ingredient": "oil",
            "cut": "strained",
            "amount": "50/3",
            "unit": "ml",
            "bowl_size": "30",
            "bowls": 2,
            "shown": "ahead",
            "ready_by": "2031-05-10T09:30:00+01:00",
            "note": "",
        }
    ]
    assert told["swaps"] == [
        {
            "episode": "A",
            "dish": "soup",
            "purpose": "hero spare",
            "to_step": 1,
            "batch": "1/3",
            "times": 2,
            "ready_by": "2031-05-10T09:30:00+01:00",
        }
    ]


def assumed(*parts: Any, **settings: Any) -> list[dict[str, Any]]:
    """Rows of Assumptions that are about bowls."""
    table = estimate(shoot_of(*parts, **settings)).tables()["assumptions"]
    return [row for row in rows(table) if "bowl" in str(row["about"])]


def test_assumptions__bowl_sizes_that_nobody_gave() -> None:
    (row,) = assumed(DATED, line("soup", "oil", "60 ml"), Shot(dish="soup"))
    assert row == {
        "where": "Settings",
        "about": "Sizes of the bowls at hand",
        "value_used": "30, 60, 120, 250, 500, 1000 ml",
        "source": "rule of this library",
        "how_to_override": "Fill Bowl sizes, in ml with commas between them.",
    }


def test_assumptions__no_bowl_sizes_where_they_are_given_or_used_for_nothing() -> None:
    soup, shot = line("soup", "oil", "60 ml"), Shot(dish="soup")
    places = {"Bowl sizes": Place("Settings")}
    assert assumed(DATED, soup, shot, places=places) == []
    assert assumed(DATED, soup, shot, bowl_sizes=(Fraction(60),)) == []
    assert assumed(DATED, line("soup", "egg", "1 each"), shot) == []


@pytest.mark.source("usda-sr28", "WEIGHT NDB 11282: 160 g chopped to the cup")
def test_assumptions__density_taken_for_a_bowl_alone_once_for_its_cut() -> None:
    """160 g to the cup of 236.5882365 ml are 0.6763 g/ml; money does not hang on it."""
    chopped = [line("soup", "onion", "40 g", cut="chopped", step=n) for n in (1, 2)]
    found = assumed(DATED, *chopped, pack("onion", "1 kg", "1"), Shot(dish="soup"))
    assert [(row["about"], row["value_used"]) for row in found[1:]] == [
        ("Grams per ml of onion, chopped for the size of its bowl: chopped", "0.6763 g/ml")
    ]
    assert found[1]["how_to_override"] == ("Fill Grams per ml for onion on the sheet Ingredients.")


@pytest.mark.source("usda-sr28", "WEIGHT NDB 20081: a cup of flour 125 g")
def test_assumptions__density_taken_for_the_list_serves_the_bowl_too() -> None:
    """A cup of it must be bought in grams, so its density stands there once; 125 g fill a cup."""
    shoot = shoot_of(
        DATED,
        line("cake", "flour", "1 US cup"),
        line("cake", "flour", "125 g", step=2),
        pack("flour", "1 kg", "1"),
        Shot(dish="cake"),
    )
    found = estimate(shoot)
    about = [text for text in found.assumptions["about"] if text.startswith("Grams per ml")]
    assert about == ["Grams per ml of flour"]
    assert found.prep["bowl_size"].tolist() == [250, 250]
