"""Where the copy of a dish comes from, and for how many times the steps of each shot count."""

from __future__ import annotations

from datetime import time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small import all_findings, basket, books, line, pack, row, said, shoot_of, sound

from costing.kitchen import Line
from costing.shoot import Purpose, Shoot, Shot
from costing.shoot.copies import Forest
from costing.shoot.defaults import completed
from costing.shoot.purposes import STEPS_ALONE
from costing.shoot.shots import steps_words

BIRD: tuple[Any, ...] = (
    line("roast", "bird", "1 each", step=1),
    line("roast", "rub", "10 g", step=2),
    line("roast", "cress", "20 g", step=3),
)


def shot(name: str, purpose: str, steps: tuple[int, ...] | None = None, **more: Any) -> Shot:
    """A shot of the roast."""
    return Shot(dish="roast", name=name, purpose=Purpose(purpose), steps=steps, **more)


def taken(shoot: Shoot) -> dict[str, tuple[tuple[int, ...] | None, int]]:
    """For each shot the steps it is provided with, and for how many times."""
    shots = completed(shoot)[0].shots
    forest = Forest(shots)
    return {one.name: (one.steps, forest.times(n, {})) for n, one in enumerate(shots)}


def test_swap__typed_3_for_1_to_3_buys_the_bird_too() -> None:
    """One swap of steps 1 to 3: one bird, 10 g of rub, 20 g of cress."""
    packs = [pack("bird", "1 each", "9"), pack("rub", "10 g", "1"), pack("cress", "20 g", "2")]
    found = books(*BIRD, *packs, sound("rub"), sound("cress"), shot("S", "swap", (3,)))
    assert [basket(found, name) for name in ("bird", "rub", "cress")] == [
        {"1 each": 1},
        {"10 g": 1},
        {"20 g": 1},
    ]


@pytest.mark.trade
@pytest.mark.parametrize("purpose", list(Purpose))
def test_purposes__eight_show_a_dish_made_from_its_first_step(purpose: Purpose) -> None:
    """The contract of the workbook names five that use the steps they name."""
    alone = {"retake", "close-up", "reset", "vertical pass", "giveaway"}
    shoot = shoot_of(*BIRD, shot("S", str(purpose), (3,)))
    steps = (3,) if str(purpose) in alone else (1, 2, 3)
    assert taken(shoot)["S"] == (steps, 1)
    assert bool(said(shoot, "made from first step")) == (str(purpose) not in alone)


def test_made_from_first_step__whole_text() -> None:
    shoot = shoot_of(
        *BIRD,
        shot("S", "swap", (3,), row=row("Shoot plan", 4, "S", Steps="E", From="F")),
    )
    assert said(shoot, "made from first step") == [
        '\'Shoot plan\'!E4 (row "S", column "Steps"): found steps 3 alone for a swap, which shows '
        "a dish made from its first step, expected 1-3, or in From the shot whose copy continues "
        "[made from first step]\n"
        "  Counted as 1-3, so that there is a dish to show. Write that, or nothing into From if "
        "these steps stand for themselves."
    ]


@pytest.mark.parametrize(
    ("typed", "made"),
    [("1, 3", (1, 2, 3)), ("2-3", (1, 2, 3)), ("1-2", (1, 2)), ("1", (1,)), ("2, 9", (1, 2, 9))],
)
def test_first_step__a_gap_before_the_last_step_is_filled(
    typed: str, made: tuple[int, ...]
) -> None:
    """The roast that is shown with its cress was rubbed too, whatever the list of steps leaves out.

    A step that the dish has not is told by itself, and nothing is made up to it.
    """
    plan = shoot_of(*BIRD, Shot(dish="roast", name="H", purpose="hero", steps=typed))
    assert taken(plan)["H"] == (made, 1)


def test_first_step__of_a_dish_that_is_no_recipe_is_not_asked() -> None:
    """The row is told for its dish alone: which steps it would have had nobody knows."""
    plan = shoot_of(
        *BIRD, Shot(dish="rost", name="H", purpose="hero", steps="3"), shot("C", "hero")
    )
    assert taken(plan)["H"] == ((3,), 1)
    found = [finding.code for finding in all_findings(plan) if finding.place.name == "H"]
    assert found == ["dish unknown"]


def test_first_step__steps_that_take_no_food_are_not_missed() -> None:
    """Water, a rest, what is to taste and what the shot leaves out cost nothing."""
    shoot = shoot_of(
        line("roast", "water", "1 l", step=1),
        Line(dish="roast", step=2, step_name="rest"),
        Line(dish="roast", step=3, ingredient="salt", to_taste=True),
        line("roast", "lemon", "1 each", step=4, optional=True),
        line("roast", "cress", "20 g", step=5),
        shot("S", "hero", (5,)),
        shot("T", "hero", (5,), optional_lines=True),
    )
    assert taken(shoot) == {"S": ((5,), 1), "T": ((1, 2, 3, 4, 5), 1)}


def test_from_nothing__the_steps_stand_for_themselves() -> None:
    shoot = shoot_of(*BIRD, shot("S", "swap", (3,), from_shot=" Nothing "))
    assert taken(shoot) == {"S": ((3,), 1)}
    assert said(shoot, "made from first step") == []


def test_from__a_copy_goes_on_and_only_its_own_steps_are_added() -> None:
    """R2 is taken twice with steps 1-2, both copies go on: two birds, two lots of cress."""
    shoot = shoot_of(
        *BIRD,
        shot("R2", "cook-through", (1, 2), times=2),
        shot("H", "hero", (3,), times=2, from_shot="r2"),
        shot("B", "bite", from_shot="H"),
    )
    assert taken(shoot) == {"R2": ((1, 2), 2), "H": ((3,), 2), "B": ((), 1)}
    assert [f.code for f in completed(shoot)[1]] == []


def test_from__blank_steps_are_all_that_follow() -> None:
    shoot = shoot_of(*BIRD, shot("A", "swap", (1,)), shot("B", "hero", from_shot="A"))
    assert taken(shoot) == {"A": ((1,), 1), "B": ((2, 3), 1)}


def test_from__is_provided_for_as_often_as_its_followers_need() -> None:
    """A is taken once, goes on to B (twice) and C (once): three copies; D begins anew."""
    shoot = shoot_of(
        *BIRD,
        shot("A", "swap", (1,)),
        shot("B", "hero", (2, 3), times=2, from_shot="A"),
        shot("C", "crew meal", (2,), from_shot="A"),
        shot("D", "hero"),
    )
    assert taken(shoot) == {"A": ((1,), 3), "B": ((2, 3), 2), "C": ((2,), 1), "D": (None, 1)}


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=1, max_size=7))
def test_law__provided_is_the_least_that_covers_takes_and_followers(
    plan: list[tuple[int, int]],
) -> None:
    """Law: the definition, and nothing less would do."""
    shots = [
        Shot(dish="roast", times=times, source=source if source < number else None)
        for number, (times, source) in enumerate(plan)
    ]
    forest = Forest(tuple(shots))
    for number, one in enumerate(shots):
        continuing = sum(forest.times(n, {}) for n, s in enumerate(shots) if s.source == number)
        assert forest.times(number, {}) == max(one.times, continuing)


@pytest.mark.parametrize(
    ("first", "then", "why"),
    [
        pytest.param({"dish": "stew"}, {}, 'a shot of another dish, "stew"', id="dish"),
        pytest.param({"batch": "1/2"}, {}, "a shot of another batch", id="batch"),
        pytest.param(
            {"eaten": True},
            {},
            "a shot that leaves no whole copy: it is eaten or tried",
            id="eaten",
        ),
        pytest.param(
            {"purpose": "test"},
            {},
            "a shot that leaves no whole copy: it is eaten or tried",
            id="tried",
        ),
        pytest.param(
            {"starts": time(11)},
            {"starts": time(10, 30)},
            "a shot that starts later, at 11:00",
            id="order of Starts",
        ),
        pytest.param(
            {}, {"steps": (2, 3)}, "a copy that has step 2 already, for steps 2-3", id="steps"
        ),
        pytest.param(
            {"from_shot": "H"},
            {},
            "a shot that itself continues with a copy of this one",
            id="loop",
        ),
    ],
)
def test_copy_cannot_continue__and_is_begun_anew(
    first: dict[str, Any], then: dict[str, Any], why: str
) -> None:
    given_first = {"dish": "roast", "purpose": "cook-through", "steps": (1, 2), **first}
    shoot = shoot_of(
        *BIRD,
        line("stew", "rub", "5 g", step=1),
        line("stew", "cress", "5 g", step=2),
        Shot(name="R", **given_first),
        Shot(
            **{"dish": "roast", "name": "H", "purpose": "hero", "steps": (3,), **then},
            from_shot="R",
            row=row("Shoot plan", 3, "H", From="F"),
        ),
    )
    told = [text for text in said(shoot, "copy cannot continue") if "F3" in text]
    if "from_shot" in first:  # told at the first of the two
        assert "itself continues" in said(shoot, "copy cannot continue")[0]
        return
    mended = 'write "3" in Steps' if "has step 2 already" in why else "mend Steps"
    assert told == [
        f'\'Shoot plan\'!F3 (row "H", column "From"): found "R", {why}, expected an earlier shot '
        "of the same dish and batch that leaves a whole copy, and steps that follow its last "
        "[copy cannot continue]\n"
        f"  Name such a shot, or {mended}; until then a new copy is begun."
    ]
    assert taken(shoot)["H"] == ((1, 2, 3), 1)
    assert said(shoot, "made from first step") == []


def test_made_from_first_step__of_the_steps_there_are() -> None:
    """Steps 4 to 9 are told as unknown; what to write has none of them."""
    (told,) = said(shoot_of(*BIRD, shot("H", "hero", (2, *range(3, 10)))), "made from first step")
    assert "found steps 2-3 alone for a hero" in told
    assert "Counted as 1-3, so" in told


@pytest.mark.parametrize("purpose", Purpose)
def test_copy_cannot_continue__says_what_is_bought_instead(purpose: Purpose) -> None:
    """By hand: step 3 alone, or for what shows a whole dish all three steps."""
    alone = purpose in STEPS_ALONE
    for source, code in (("R", "copy cannot continue"), ("lunch", "shot unknown")):
        shoot = shoot_of(
            *BIRD,
            Shot(name="R", dish="roast", purpose=Purpose.BITE),
            shot("H", purpose, (3,), from_shot=source),
        )
        (told,) = said(shoot, code)
        end = "its steps stand for themselves" if alone else "a new copy is begun"
        assert told.endswith(f"until then {end}.")
        assert taken(shoot)["H"][0] == ((3,) if alone else (1, 2, 3))
    whole = shot("H", purpose, None, from_shot="lunch")
    (told,) = said(shoot_of(*BIRD, whole), "shot unknown")
    assert told.endswith("until then a new copy is begun.")


def test_copy_cannot_continue__from_itself() -> None:
    (told,) = said(shoot_of(*BIRD, shot("H", "hero", None, from_shot="h")), "copy cannot continue")
    assert 'found "H", the shot itself, expected an earlier shot' in told


def test_copy_cannot_continue__whose_steps_are_all_made_says_to_clear_steps() -> None:
    """What is advised: Steps cleared, the copy goes on and nothing is added."""
    first = shot("R", "hero", (1, 2, 3))
    (told,) = said(
        shoot_of(*BIRD, first, shot("H", "swap", (1, 2, 3), from_shot="R")),
        "copy cannot continue",
    )
    assert "Name such a shot, or clear Steps; until then a new copy is begun." in told
    cleared = shoot_of(*BIRD, first, shot("H", "swap", None, from_shot="R"))
    codes = {one.code for one in all_findings(cleared)}
    assert codes.isdisjoint({"copy cannot continue", "steps missing", "copy could continue"})
    assert taken(cleared)["H"] == ((), 1)


def test_copy_cannot_continue__of_one_of_two_shots_of_a_name() -> None:
    """Which of them is meant is not guessed."""
    first = Shot(name="R", dish="roast", steps=(1, 2))
    then = Shot(name="H", dish="roast", purpose=Purpose.HERO, steps=(3,), from_shot="r")
    shoot = shoot_of(*BIRD, first, first, then)
    (told,) = said(shoot, "copy cannot continue")
    assert 'found "r", the name of 2 shots, expected' in told
    assert taken(shoot)["H"] == ((1, 2, 3), 1)


@pytest.mark.parametrize(
    ("name", "remedy"),
    [
        ("R22", 'Write "R2" if that is meant; until then a new copy is begun.'),
        ("lunch", "Mend the name; until then a new copy is begun."),
    ],
)
def test_shot_unknown__whole_text(name: str, remedy: str) -> None:
    shoot = shoot_of(
        *BIRD,
        shot("R2", "cook-through", (1, 2)),
        shot("H", "hero", from_shot=name, row=row("Shoot plan", 3, "H", From="F")),
    )
    assert said(shoot, "shot unknown") == [
        f'\'Shoot plan\'!F3 (row "H", column "From"): found the shot "{name}", which this episode '
        "does not have, expected a shot of the same dish, or nothing [shot unknown]\n"
        f"  {remedy}"
    ]


def test_copy_cannot_continue__to_a_shot_before_one_it_was_in() -> None:
    """R at 15:00 goes on to S, which has no start, and from there to H at 10:00."""
    shoot = shoot_of(
        *BIRD,
        shot("R", "cook-through", (1,), starts=time(15)),
        shot("S", "swap", (2,), from_shot="R"),
        shot("H", "hero", (3,), from_shot="S", starts=time(10)),
    )
    (told,) = said(shoot, "copy cannot continue")
    assert 'found "S", a copy of "R", which starts later, at 15:00, expected' in told
    assert taken(shoot)["H"] == ((1, 2, 3), 1)


def test_copy_cannot_continue__from_a_shot_of_another_episode() -> None:
    """A copy is not carried from one shoot day to another."""
    shoot = shoot_of(
        *BIRD,
        shot("R", "cook-through", (1,), episode="One"),
        shot("H", "hero", (3,), from_shot="R", episode="Two"),
    )
    assert len(said(shoot, "shot unknown")) == 1
    assert taken(shoot)["H"] == ((1, 2, 3), 1)


def test_steps_left_out__whole_text() -> None:
    """A copy with step 1 goes on to step 3: step 2 takes food that nobody makes."""
    shoot = shoot_of(
        *BIRD,
        shot("A", "swap", (1,)),
        shot("H", "hero", (3,), from_shot="A", row=row("Shoot plan", 3, "H", Steps="E")),
    )
    assert said(shoot, "steps left out") == [
        '\'Shoot plan\'!E3 (row "H", column "Steps"): found steps 3 on a copy that has 1, expected '
        "2-3, so that no step is left out that takes food [steps left out]\n"
        "  Counted as 2-3. Write that, or name in From the shot in which they are made."
    ]
    assert taken(shoot) == {"A": ((1,), 1), "H": ((2, 3), 1)}


def test_steps_left_out__between_the_steps_of_a_shot_too() -> None:
    """Step 3 is neither of those begun, 1, nor of those the shot adds, 2 and 4."""
    salt = line("roast", "salt", "1 g", step=4)
    begun, on = shot("A", "cook-through", (1,)), shot("B", "hero", (2, 4), from_shot="A")
    assert taken(shoot_of(*BIRD, salt, begun, on))["B"] == ((2, 3, 4), 1)


def test_copy_cannot_continue__that_was_not_begun_at_the_first_step() -> None:
    """A retake of step 2 has no step 1: a hero needs it, a close-up of what follows doesn't."""
    parts = (*BIRD, shot("R", "retake", (2,)))
    hero = shoot_of(*parts, shot("H", "hero", (3,), from_shot="R"))
    (told,) = said(hero, "copy cannot continue")
    assert 'found "R", a shot whose copy lacks step 1, expected' in told
    assert taken(hero)["H"] == ((1, 2, 3), 1)
    close = shoot_of(*parts, shot("H", "close-up", (3,), from_shot="R"))
    assert taken(close)["H"] == ((3,), 1)


def test_from__a_copy_that_is_made_from_the_first_step_goes_on() -> None:
    """A swap typed 2 alone is made from step 1 on, so that nothing is lacking in what follows."""
    shoot = shoot_of(*BIRD, shot("S", "swap", (2,)), shot("H", "hero", (3,), from_shot="S"))
    assert taken(shoot) == {"S": ((1, 2), 1), "H": ((3,), 1)}
    assert [one.code for one in completed(shoot)[1]] == ["made from first step"]


def test_loop__shots_without_steps_of_their_own_end_too() -> None:
    """Two shots that name each other, and a third that names one of them."""
    shoot = shoot_of(
        *BIRD,
        shot("A", "hero", from_shot="C"),
        shot("B", "hero", from_shot="C"),
        shot("C", "hero", from_shot="B"),
    )
    assert taken(shoot) == {"A": ((), 1), "B": (None, 1), "C": ((), 1)}
    assert len(said(shoot, "copy cannot continue")) == 1


def test_from__a_chain_of_300_shots_that_add_nothing_ends() -> None:
    """Each names the one before and no steps: all are done with the first, which has them all."""
    chain = [shot(f"S{at}", "hero", from_shot=f"S{at - 1}") for at in range(1, 300)]
    shots = completed(shoot_of(*BIRD, shot("S0", "hero", (1, 2, 3)), *chain))[0].shots
    assert [one.source for one in shots] == [None, *range(299)]
    assert {one.steps for one in shots[1:]} == {()}


def test_completed__twice_is_the_same_as_once() -> None:
    shoot = shoot_of(
        *BIRD,
        shot("A", "swap", (1,)),
        shot("B", "hero", from_shot="A"),
        shot("C", "swap", (3,)),
    )
    once, _ = completed(shoot)
    assert completed(once)[0].shots == once.shots


def test_completed__twice_where_steps_were_left_out() -> None:
    shots = shot("A", "swap", (1,)), shot("B", "hero", (3,), from_shot="A")
    once, told = completed(shoot_of(*BIRD, *shots))
    assert completed(once)[0].shots == once.shots
    assert [one.code for one in told] == ["steps left out"]


def test_steps_words__as_they_are_typed() -> None:
    assert steps_words((1, 3, 4, 6)) == "1, 3-4, 6"
