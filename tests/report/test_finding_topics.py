"""Which command tells what: the list nothing of bowls, holding nothing of money."""

from __future__ import annotations

import pytest
from small import line, shoot_of

from costing.estimating import estimate
from costing.findings import REGISTRY, Finding, Grade, Place
from costing.holding.models import Container
from costing.report.finding_topics import (
    OF_EATERS,
    OF_THIS_LIST,
    beside_an_answer,
    of_buying,
    of_closing,
    of_holding,
)
from costing.shoot import LeftOut, Shot
from costing.shoot.episodes import Logged
from costing.workbook.reading.kinds import allergen_nearly_known

SHOOT = shoot_of(
    line("soup", "leek", "1 kg"),
    Shot(dish="soup"),
    Container(name="pot", holds=("leek",), place=Place("pot.csv", 3)),
    Logged(what="leek", event="counted", amount="1 g"),
).changed(
    left_out=[LeftOut(what="a row", place=Place("bowls", 4), sheet="Holding")],
)


@pytest.mark.parametrize(
    ("place", "topics"),
    [
        (Place("Packs", 7, "E", "Price", "leek"), "buying"),
        (Place("Ingredients", 2, "C", "Trim yield %", "leek"), "buying"),
        (Place("Receipts", 2, "H", "Paid", "R1"), "buying closing"),
        (Place("Settings", 9, "B", "Value", "Cash float"), "buying closing"),
        (Place("Settings", 9, "B", "Value", "Room temperature"), "holding"),
        (Place("Holding", 2, "D", "When", "pot"), "holding"),
        (Place("pot.csv", 3), "holding"),
        (Place("bowls", 5), "holding"),
        (Place("Ingredients", 2, "J", "Holding class", "leek"), ""),
        (Place("Recipes", 2, "E", "Amount", "leek"), ""),
        (Place("Settings", 2, "B", "Value", "Currency"), ""),
    ],
)
def test_topics__by_the_place_of_what_was_typed(place: Place, topics: str) -> None:
    """What is about one thing alone is told by no command for another; the rest by all of them."""
    one = Finding(Grade.WARNING, "price missing", place, "a blank", "a price", "Fill it in.")
    found = {
        "buying": of_buying(one),
        "closing": of_closing(one),
        "holding": of_holding(one, SHOOT),
    }
    assert [topic for topic, told in found.items() if told] == topics.split()


@pytest.mark.parametrize(
    ("grade", "code", "printed"),
    [
        (Grade.ERROR, "price missing", True),
        (Grade.WARNING, "price missing", False),
        (Grade.WARNING, "basket not proven", True),
        (Grade.WARNING, "allergen nearly known", True),
        (Grade.WARNING, "eater avoids", True),
        (Grade.WARNING, "eater not known", True),
        (Grade.NOTE, "basket not proven", False),
    ],
)
def test_beside_an_answer__errors_and_warnings_of_its_own(
    grade: Grade, code: str, *, printed: bool
) -> None:
    """Those of who may be hurt stay; the others were read at the check, and are counted."""
    one = Finding(grade, code, Place("Packs", 7), "a blank", "a price", "Fill it in.")
    found = beside_an_answer([one], own=lambda told: told.code in OF_THIS_LIST)
    assert found == ([one] if printed else [])
    assert allergen_nearly_known(Place("Ingredients", 2), "penuts", "peanuts").code in OF_EATERS
    assert {REGISTRY.grades[name] for name in OF_THIS_LIST | OF_EATERS} == {Grade.WARNING}


def test_about__each_command_leaves_out_what_is_about_another_alone() -> None:
    """A price that is missing, a bowl without a time and a cash float, each in its own place."""
    price, bowl, cash, amount = places = [
        Place("Packs", 7, "E", "Price", "leek"),
        Place("Holding", 2, "D", "When", "pot"),
        Place("Settings", 9, "B", "Value", "Cash float"),
        Place("Recipes", 2, "E", "Amount", "leek"),
    ]
    told = [Finding(Grade.NOTE, "price missing", one, "x", "a price", "Mend it.") for one in places]
    result = estimate(SHOOT.changed(findings=told))

    def of(findings: list[Finding]) -> list[Place]:
        return [place for place in places if place in [one.place for one in findings]]

    assert of(result.about_buying) == [price, amount]
    assert of(result.about_holding) == [bowl, amount]
    assert of(result.about_closing) == [cash]


def test_about_holding__nothing_of_food_where_nothing_stands_out() -> None:
    """What an amount is matters to no container when there is none; the row of a bowl does."""
    amount, bowl = places = (
        Place("Recipes", 2, "E", "Amount", "leek"),
        Place("Holding", 2, "D", "When", "pot"),
    )
    told = [Finding(Grade.NOTE, "price missing", one, "x", "a price", "Mend it.") for one in places]
    whole = SHOOT.changed(findings=told)
    about = [
        [one.place for one in estimate(shoot).about_holding]
        for shoot in (whole, whole.changed(containers=[]))
    ]
    assert amount in about[0]
    assert amount not in about[1]
    assert all(bowl in one for one in about)


def test_about_holding__an_error_of_food_always_as_it_is_in_the_exit_code() -> None:
    wrong = Finding(Grade.ERROR, "text not a number", Place("Recipes", 2), "x", "a", "Mend it.")
    shoot = SHOOT.changed(findings=[wrong], containers=[])
    assert wrong in estimate(shoot).about_holding
