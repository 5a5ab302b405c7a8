"""What a container holds, down to its ingredients."""

from __future__ import annotations

from typing import Any

import pytest
from small import line, shoot_of, sound

from costing.holding.models import Container
from costing.kitchen import HoldingClass
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
        (["Tart: step 2"], False),
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
    shoot = shoot_of(*RECIPE, bowl("bowl", "flour", "tart: step 9"))
    contents = Contents(shoot)
    assert [container.covered for container in contents.classed()] == [None]
    (finding,) = contents.findings
    assert finding.found == ('"tart: step 9" in the container "bowl", which no other sheet knows')
    assert finding.remedy.startswith('Write "tart: step 1" if that is meant; until then')


def test_contents__step_without_ingredients_is_unknown() -> None:
    """What rests or bakes in such a step comes from the steps before it."""
    shoot = shoot_of(
        *RECIPE,
        line("tart", "", None, step=3, step_name="bake"),
        bowl("b", "flour", "tart: step 3"),
    )
    contents = Contents(shoot)
    assert [container.covered for container in contents.classed()] == [None]
    assert contents.findings == []


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
    shoot = shoot_of(*parts, bowl("bowl", "dish 40"), bowl("part", "dish 40: step 2"))
    assert [container.covered for container in Contents(shoot).classed()] == [False, False]


def test_contents__container_inside_a_container() -> None:
    """The tray holds the dry bowl; the basket holds the tray and eggs."""
    assert covered(
        bowl("dry bowl", "flour"), bowl("tray", "dry bowl"), bowl("basket", "tray", "egg")
    ) == {"dry bowl": False, "tray": False, "basket": None}


def test_contents__containers_that_hold_each_other_end() -> None:
    """Dry goods all round: what is in the ring is looked at once."""
    found: Any = covered(bowl("a", "b", "flour"), bowl("b", "a", "hazelnut"))
    assert found == {"a": False, "b": False}


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
