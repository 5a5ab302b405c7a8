"""What a container holds, down to its ingredients."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from small import line, pack, shoot_of, sound

from costing.findings import Place
from costing.holding.models import Container, Eaten, Event, EventKind
from costing.kitchen import Dish, HoldingClass
from costing.shoot import Shoot
from costing.shoot.containers import Contents

RECIPE = (
    line("tart", "flour", "250 g", step=1),
    line("tart", "egg", "1 each", step=1),
    line("tart", "hazelnut", "50 g", step=2),
    line("tart", "water", "50 ml", step=2),
    sound("flour", holding_class=HoldingClass.NONE),
    sound("hazelnut", holding_class=HoldingClass.NONE),
    sound("egg", holding_class=HoldingClass.ALWAYS),
    line("plate", "tart", "1 batch"),
)


def bowl(name: str, *holds: str) -> Container:
    """A container without a log."""
    return Container(name=name, holds=holds)


def covered(*containers: Container) -> dict[str, bool | None]:
    """Whether each container needs control; ``None`` counts as yes."""
    shoot: Shoot = shoot_of(*RECIPE, *containers)
    return {container.name: container.covered for container in Contents(shoot).classed()}


@pytest.mark.parametrize(
    ("holds", "expected"),
    [
        (["flour"], False),
        (["FLOUR ", "hazelnut"], False),
        (["flour", "egg"], None),
        (["egg"], None),
        (["Tart: only step 2"], False),
        (["Tart: step 2"], None),
        (["Tart: steps 1-2"], None),
        (["tart: steps 2-2"], None),
        (["tart:step 1"], None),
        (["tart"], None),
        (["plate"], None),
        (["flour", "nobody knows"], None),
        ([], None),
    ],
    ids=lambda value: "; ".join(value) if isinstance(value, list) else "",
)
def test_contents__only_what_surely_needs_no_control_is_not_covered(
    holds: list[str], expected: bool | None
) -> None:
    """A step of a dish, a whole dish, water beside dry goods; one perishable decides."""
    assert covered(bowl("bowl", *holds)) == {"bowl": expected}


@pytest.mark.parametrize(
    "more",
    [
        line("crumb", "cream", None, to_taste=True),
        line("crumb", "cream", "10 g", optional=True),
        line("crumb", "filling", "1 batch"),
    ],
    ids=["to taste", "optional", "inside another dish"],
)
def test_contents__a_little_of_something_perishable_counts(more: Any) -> None:
    """Dry crumbs with cream in them, however it is written, may need control."""
    shoot = shoot_of(
        *RECIPE,
        line("crumb", "flour", "10 g"),
        line("filling", "cream", "5 g"),
        bowl("dry", "hazelnut"),
        bowl("bowl", "crumb"),
        more,
    )
    assert [c.covered for c in Contents(shoot).classed()] == [False, None]


def test_contents__step_that_does_not_exist_is_told_and_unknown() -> None:
    """A bowl of flour and of a step nobody wrote is not dry goods alone."""
    shoot = shoot_of(*RECIPE, bowl("bowl", "flour", "tart: only step 9"))
    contents = Contents(shoot)
    assert [container.covered for container in contents.classed()] == [None]
    (finding,) = contents.findings
    assert finding.found == (
        '"tart: only step 9" in the container "bowl", which no other sheet knows'
    )
    assert finding.remedy.startswith('Write "tart: steps 1-2" if that is meant; until then')


BAKED = line("tart", "", None, step=3, step_name="bake and rest")
DUSTED = line("tart", "sugar", "5 g", step=4)
SUGAR = sound("sugar", holding_class=HoldingClass.NONE)


@pytest.mark.parametrize("holds", ["tart: step 4", "tart: steps 1-4", "tart: only step 3"])
def test_contents__finished_tart_logged_by_its_last_step_holds_all_of_it(holds: str) -> None:
    """Dusting with sugar adds no egg, and what bakes comes from the steps before."""
    shoot = shoot_of(*RECIPE, BAKED, DUSTED, SUGAR, bowl("b", holds))
    contents = Contents(shoot)
    assert [container.covered for container in contents.classed()] == [None]
    assert "egg" in contents.ingredients_in(shoot.containers[0])
    unclear = [f.code for f in contents.findings]
    assert unclear == (["part of a dish unclear"] if holds == "tart: step 4" else [])


def test_contents__what_a_step_alone_adds() -> None:
    shoot = shoot_of(*RECIPE, BAKED, DUSTED, SUGAR, bowl("b", "tart: only step 4"))
    contents = Contents(shoot)
    assert [container.covered for container in contents.classed()] == [False]
    assert contents.ingredients_in(shoot.containers[0]) == ["sugar"]
    assert contents.findings == []


def test_contents__dry_goods_need_no_control_by_a_step_without_ingredients() -> None:
    shoot = shoot_of(
        line("crumb", "flour", "250 g"),
        line("crumb", "", None, step=2, step_name="toast"),
        sound("flour", holding_class=HoldingClass.NONE),
        bowl("b", "crumb: only step 2"),
    )
    assert [container.covered for container in Contents(shoot).classed()] == [False]


def test_contents__first_step_can_mean_one_thing_only() -> None:
    shoot = shoot_of(*RECIPE, bowl("b", "tart: step 1"))
    contents = Contents(shoot)
    contents.classed()
    assert contents.findings == []


@pytest.mark.parametrize(
    ("holds", "covered_by_class"),
    [("tart", False), ("tart: steps 1-2", False), ("tart: steps 1-1", None), ("plate", False)],
)
def test_contents__finished_dish_has_the_class_of_its_row(
    holds: str, covered_by_class: bool | None
) -> None:
    """Baked it needs no control; the raw dough after step 1 does."""
    tart = Dish(name="tart", holding_class=HoldingClass.NONE)
    shoot = shoot_of(*RECIPE, tart, bowl("b", holds))
    assert [container.covered for container in Contents(shoot).classed()] == [covered_by_class]


def test_contents__dish_of_dry_goods_may_need_control() -> None:
    dough = Dish(name="dough", holding_class=HoldingClass.ALWAYS)
    flour = sound("flour", holding_class=HoldingClass.NONE)
    shoot = shoot_of(line("dough", "flour", "1 kg"), flour, dough, bowl("b", "dough"))
    assert [container.covered for container in Contents(shoot).classed()] == [None]


def test_contents__dish_that_needs_control_once_cut_waits_for_it() -> None:
    melon = Dish(name="tart", holding_class=HoldingClass.WHEN_CUT)
    shoot = shoot_of(*RECIPE, melon, bowl("b", "tart"))
    (whole,) = Contents(shoot).classed()
    assert EventKind.CUT in whole.starts_by


WAITS = (EventKind.CUT, EventKind.OPENED, EventKind.COOKED, EventKind.REHEATED)


@pytest.mark.parametrize(
    ("more", "holds", "covered_by_class", "starts_by"),
    [
        ((), "crumb", None, ()),
        ((), "tray of crumb", None, ()),
        ((), "crumb: only step 2", False, ()),
        ((sound("crumb", holding_class=HoldingClass.NONE),), "crumb", False, ()),
        ((sound("crumb", holding_class=HoldingClass.WHEN_OPENED),), "crumb", None, WAITS),
        ((sound("crumb", holding_class=HoldingClass.WHEN_OPENED),), "tray of crumb", None, ()),
        ((Dish(name="crumb", holding_class=HoldingClass.NONE),), "crumb", False, ()),
        ((Dish(name="crumb", holding_class=HoldingClass.NONE),), "tray of crumb", False, ()),
        (
            (Dish(name="tray of crumb", holding_class=HoldingClass.NONE),),
            "tray of crumb",
            False,
            (),
        ),
    ],
)
def test_contents__a_dish_sold_ready_may_have_more_in_it_than_its_recipe(
    more: tuple[Any, ...],
    holds: str,
    covered_by_class: bool | None,
    starts_by: tuple[EventKind, ...],
) -> None:
    """Crumbs of flour and sugar need no control; bought ones have in them what nobody knows."""
    recipe = (
        line("crumb", "flour", "250 g", step=1),
        line("crumb", "sugar", "50 g", step=2),
        line("tray of crumb", "crumb", "1 batch"),
        sound("flour", holding_class=HoldingClass.NONE),
        SUGAR,
    )
    (made,) = Contents(shoot_of(*recipe, bowl("b", holds))).classed()
    (sold,) = Contents(
        shoot_of(*recipe, *more, pack("crumb", "1 kg", "4"), bowl("b", holds))
    ).classed()
    assert made.covered is False
    assert (sold.covered, sold.starts_by) == (covered_by_class, starts_by)


def test_contents__a_dish_sold_ready_has_the_class_that_is_published_of_it() -> None:
    """Bread is no food that needs control, whoever bakes it; what a crumb is nobody published."""
    flour = sound("flour", holding_class=HoldingClass.NONE)
    sold = pack("bread", "500 g", "3")
    shoot = shoot_of(line("bread", "flour", "300 g"), flour, sold, bowl("b", "bread"))
    assert [container.covered for container in Contents(shoot).classed()] == [False]


@pytest.mark.parametrize(
    ("names", "near"),
    [
        (("bean puree bowl", "bean puré bowl"), 1),
        (("bowl 1", "bowl 2"), 0),
        (("bowl 10", "bowl 12"), 0),
        (("bean bowl b10", "bean bowl b12"), 0),
        (("tray A", "tray B"), 0),
        (("soup", "cream"), 0),
    ],
)
def test_contents__container_logged_once_that_is_nearly_another(
    names: tuple[str, str], near: int
) -> None:
    out = Event(kind=EventKind.OUT, at=datetime(2031, 5, 10, 10))
    often = Container(name=names[0], holds=("egg",), events=(out, out))
    once = Container(name=names[1], holds=("egg",), events=(out,))
    contents = Contents(shoot_of(*RECIPE, often, once))
    contents.classed()
    assert [f.code for f in contents.findings] == ["container nearly another"] * near


def test_contents__two_names_logged_once_that_are_nearly_alike_are_one_warning() -> None:
    out = Event(kind=EventKind.OUT, at=datetime(2031, 5, 10, 10))
    pair = [Container(name=n, holds=("egg",), events=(out,)) for n in ("fish tray", "fish try")]
    contents = Contents(shoot_of(*RECIPE, *pair))
    contents.classed()
    assert [f.code for f in contents.findings] == ["container nearly another"]


def test_contents_not_given__whole_text() -> None:
    """Told once for all; of what nobody eats, a room, and what holds something, nothing."""
    out = Event(kind=EventKind.OUT, at=datetime(2031, 5, 10, 10))
    jug = Container(name="jug", events=(out,), place=Place("Holding", 2, name="jug"))
    cup = Container(name="tea cup", events=(out,))
    prop = Container(name="varnished roast", events=(out,), eaten=Eaten.NEVER)
    read = Event(kind=EventKind.ROOM, at=datetime(2031, 5, 10, 10), temperature="24 C")
    kitchen = Container(name="kitchen", events=(read,))
    contents = Contents(shoot_of(*RECIPE, jug, cup, prop, kitchen, bowl("b", "egg")))
    contents.classed()
    assert [str(finding) for finding in contents.findings] == [
        'Holding row 2 (row "jug", column "Holds"): found nothing in Holds for "jug" and "tea '
        'cup", expected what is in it, in one of its rows [contents not given]\n'
        "  Until then it is judged as food that needs control of its temperature."
    ]


def test_container_in_itself__whole_text() -> None:
    """What is in it nobody knows; a jug of what is called jug holds that food, and no more."""
    jug = Container(name="egg", holds=("egg",))
    pot = Container(name="pot", holds=("flour", "Pot"), place=Place("Holding", 2, name="pot"))
    contents = Contents(shoot_of(*RECIPE, jug, pot))
    assert [one.covered for one in contents.classed()] == [None, None]
    assert contents.ingredients_in(jug) == ["egg"]
    assert contents.ingredients_in(pot) == [None, "flour"]
    assert [str(finding) for finding in contents.findings] == [
        'Holding row 2 (row "pot"): found "pot" in itself, expected what is in it: ingredients, '
        "dishes or other containers, separated by semicolons [container in itself]\n"
        "  Write what is in it; until then it is judged as food that needs control of its "
        "temperature."
    ]


def test_contents__dishes_in_a_loop_end() -> None:
    shoot = shoot_of(
        line("a", "b", "1 batch"),
        line("b", "a", "1 batch"),
        line("b", "flour", "1 g"),
        sound("flour", holding_class=HoldingClass.NONE),
        bowl("bowl", "a"),
    )
    assert [container.covered for container in Contents(shoot).classed()] == [False]


def test_contents__dish_taken_twice_at_every_depth() -> None:
    """Each dish is looked into once."""
    parts = [line("dish 0", "flour", "1 g"), sound("flour", holding_class=HoldingClass.NONE)]
    for n in range(40):
        parts += [line(f"dish {n + 1}", f"dish {n}", "1 batch", step=step) for step in (1, 2)]
    shoot = shoot_of(*parts, bowl("bowl", "dish 40"), bowl("part", "dish 40: only step 2"))
    assert [container.covered for container in Contents(shoot).classed()] == [False, False]


def test_contents__container_inside_a_container() -> None:
    """The tray holds the dry bowl; the basket holds the tray and eggs."""
    assert covered(
        bowl("dry bowl", "flour"), bowl("tray", "dry bowl"), bowl("basket", "tray", "egg")
    ) == {"dry bowl": False, "tray": False, "basket": None}


def test_contents__each_bowl_emptied_into_the_next_is_looked_into_once() -> None:
    """So deep that nobody could go down from each of them to the first."""
    first, *others = [f"bowl {number}" for number in range(600)]
    pairs = zip(others, [first, *others], strict=False)
    found = covered(bowl(first, "flour"), *(bowl(outer, inner) for outer, inner in pairs))
    assert set(found.values()) == {False}


def test_contents__containers_that_hold_each_other_end() -> None:
    """Dry goods all round: what is in the ring is looked at once."""
    found: Any = covered(bowl("a", "b", "flour"), bowl("b", "a", "hazelnut"))
    assert found == {"a": False, "b": False}


@pytest.mark.parametrize("innermost", ["flour", "b0"], ids=["flour", "ring"])
def test_contents__bowls_stand_in_bowls_to_any_depth(innermost: str) -> None:
    """Deeper than functions may call each other; dry goods all the way, in a ring too."""
    names = [f"b{n}" for n in range(1_200)]
    holds = [*names[1:], innermost]
    nested = [bowl(name, inner) for name, inner in zip(names, holds, strict=True)]
    nested[0] = bowl("b0", "b1", "flour")
    shoot = shoot_of(*RECIPE, *nested)
    contents = Contents(shoot)
    for name in ("b0", "b1199"):
        assert contents.ingredients_in(shoot.container_rows[name]) == ["flour"]


def test_contents__a_container_named_as_what_it_holds() -> None:
    """The bowl called flour holds flour, not itself."""
    shoot = shoot_of(*RECIPE, bowl("flour", "flour"))
    contents = Contents(shoot)
    assert [container.covered for container in contents.classed()] == [False]
    assert contents.findings == []


def test_contents__unknown_is_told_once_however_often_it_is_met() -> None:
    shoot = shoot_of(*RECIPE, bowl("a", "mystery"), bowl("b", "a", "a"))
    contents = Contents(shoot)
    contents.classed()
    assert [finding.code for finding in contents.findings] == ["contents unknown"]


@pytest.mark.parametrize("text", ["egg, flour", "egg + flour", "egg and flour"])
def test_contents__known_names_without_semicolons_are_proposed_with_them(text: str) -> None:
    """Names of which one is unknown are no list that could be meant."""
    contents = Contents(shoot_of(*RECIPE, bowl("a", text)))
    contents.classed()
    (said,) = contents.findings
    assert 'Write "egg; flour" if that is meant' in str(said)
    other = Contents(shoot_of(*RECIPE, bowl("a", f"{text} and something")))
    other.classed()
    assert "egg; flour" not in str(other.findings[0])
