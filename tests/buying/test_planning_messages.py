"""Every message about plans that cannot be had or proven, as it arises, whole text."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

import pytest
from plans import hard_plan, shopping
from small import line, pack, part, row, said, shoot_of, sound

from costing.buying.solver import Deadline
from costing.kitchen import Shop
from costing.shoot import Episode, Shot, Trip

SOUP = line("soup", "leek", "100 g")
LEEK = sound("leek")
SHOT = Shot(dish="soup", name="P1", fewest=1, times=2, most=5)

WEDGES = "wedge", "6 each"
CUT_OF_LEMON = {"juice": "1 each", "zest": "1 each", "wedge": "6 each"}


def two_packs(**more: Any) -> Any:
    """100 g for 1.00, two of them at most."""
    return pack("leek", "100 g", "1", row=row("Packs", 2, "leek", At_most="G"), at_most=2, **more)


def test_message__chance_not_reached() -> None:
    """Two takes of 100 g are all there is: F(2) = 59.37 % of 1, 2, 5; for 95 % it takes four."""
    found = shoot_of(SOUP, LEEK, two_packs(), SHOT)
    assert said(found, "chance not reached") == [
        'Packs!G2 (row "leek", column "At most"): found packs of leek that cover every shot with '
        "a chance of 59.37 %, and 200 g missing for 95 %, expected packs enough for a chance of "
        "95 % [chance not reached]\n"
        "  Raise At most at Packs!G2, add another pack, or write 40.63 into Chance of running out "
        "accepted % on the sheet Settings; the list covers what can be covered."
    ]


@pytest.mark.parametrize("uncertain", [True, False])
def test_message__a_shop_that_opens_too_late_is_no_limit(*, uncertain: bool) -> None:
    """The Stall of row 3 has any number, for the pie of the 20th alone: row 4 is too little.

    Of 1, 2, 5 takes two are covered; five certain ones of each want 500 g on the 10th.
    """
    times: dict[str, Any] = {"fewest": 1, "times": 2, "most": 5} if uncertain else {"times": 5}
    rows = {n: row("Packs", n, "leek", At_most="G") for n in (3, 4)}
    found = shoot_of(
        *(SOUP, line("pie", "leek", "100 g"), LEEK),
        pack("leek", "100 g", "1", row=rows[3], shop="Stall"),
        pack("leek", "100 g", "1", row=rows[4], shop="Mill", at_most=2),
        Shot(dish="soup", name="P1", episode="E1", **times),
        Shot(dish="pie", name="P2", episode="E2", **times),
        *(Episode(name=f"E{n}", shoot_date=date(2031, 5, 10 * n)) for n in (1, 2)),
        *(Trip(shop=s, day=date(2031, 5, day)) for s, day in (("Mill", 9), ("Stall", 19))),
    )
    (text,) = said(found, "chance not reached" if uncertain else "shops have too little")
    assert text.startswith('Packs!G4 (row "leek", column "At most"): found ')
    assert f"{'200' if uncertain else '300'} g " in text
    assert "  Raise At most at Packs!G4, add another pack, or " in text


def test_message__chance_not_reached_without_any_risk() -> None:
    """No risk at all needs the most, five takes; three are missing."""
    found = shoot_of(SOUP, LEEK, two_packs(), SHOT, chance_of_running_out=Fraction(0))
    (text,) = said(found, "chance not reached")
    assert (
        "and 300 g missing for 100 % of your own Most, expected packs enough for a chance of 100 % "
        "of your own Most" in text
    )


def test_message__too_little_for_the_fewest_is_told_as_for_a_certain_shot() -> None:
    """Even three takes need 300 g; for 95 % four of 3, 3, 5 are covered, 200 g are missing."""
    shot = Shot(dish="soup", name="P1", fewest=3, times=3, most=5)
    found = shoot_of(SOUP, LEEK, two_packs(), shot)
    assert said(found, "chance not reached") == []
    assert said(found, "shops have too little") == [
        'Packs!G2 (row "leek", column "At most"): found all that the shops have of leek, and '
        "200 g still missing, expected packs enough for every shot [shops have too little]\n"
        "  Raise At most at Packs!G2, add another pack, or take out a shot; the list buys all "
        "there is."
    ]


def test_message__minimum_spend_not_reached() -> None:
    """Two packs at 1.00 are all the stall has; its minimum is 10.00."""
    found = shoot_of(
        SOUP,
        LEEK,
        two_packs(shop="stall"),
        Shop(name="stall", minimum_spend=Decimal(10)),
        Shot(dish="soup", name="P1"),
    )
    assert said(found, "minimum spend not reached") == [
        'Packs row 2 (row "leek", column "Shop"): found 100 g of leek that only "stall" would '
        "sell, and too little to buy there to reach the minimum spend, expected packs enough at "
        "such a shop, or another shop [minimum spend not reached]\n"
        "  Lower Minimum spend, raise At most of what is sold there, or add a pack of leek from "
        "another shop; the list leaves it out."
    ]


def test_message__plan_not_proven() -> None:
    """A search without any time ends with caps of about the same chance and nothing proven."""
    ended = shopping(hard_plan(), seconds=0.0)
    plan = ended.plan
    assert plan is not None
    assert plan.chance >= Fraction(95, 100)
    gap = (
        "How much dearer than the cheapest the list is, is not known."
        if plan.gap is None
        else f"What the list buys may be up to {ceil(100 * plan.gap) / 100:.2f} dearer than "
        "the cheapest that will do."
    )
    assert [str(finding) for finding in ended.findings] == [
        "'Shoot plan': found so many ways to cover the shots that the search was ended after 0 s, "
        "expected a plan small enough to prove the cheapest basket [plan not proven]\n"
        f"  {gap} It covers what it says it covers. Give the search longer (costing estimate "
        "--seconds), or narrow Fewest and Most where they are wider than need be."
    ]
    for purchase in ended.purchases:
        assert purchase.bought >= purchase.covered > 0


def test_message__plan_not_proven_though_there_is_time_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """No proposal is allowed here, as if all of them had fallen short: no time ended the search.

    It said "ended after 30 s".
    """
    monkeypatch.setattr("costing.buying.search.MOST_ROUNDS", 0)
    (text,) = (str(one) for one in shopping(hard_plan(2, 2)).findings)
    assert text == (
        "'Shoot plan': found ways to cover the shots that are too near each other to tell which "
        "of them will do, expected a plan small enough to prove the cheapest basket [plan not "
        "proven]\n"
        "  How much dearer than the cheapest the list is, is not known. It covers what it says it "
        "covers. More time would not help; narrow Fewest and Most where they are wider than need "
        "be."
    )


def test_message__plan_not_proven_without_uncertain_takes_does_not_speak_of_them() -> None:
    """Six ingredients whose leftovers count, each shot taken twice, and no time at all."""
    plan = hard_plan(4, 6)
    settings = plan.settings.model_copy(update={"leftovers_counted": Fraction(1, 2)})
    shots = [Shot(dish=one.dish, name=one.name, times=2) for one in plan.shots]
    (text,) = (
        str(one)
        for one in shopping(plan.changed(shots=shots, settings=settings), seconds=0).findings
    )
    assert text.endswith("Give the search longer (costing estimate --seconds).")


def test_message__making_not_proven_where_nothing_was_found_in_time() -> None:
    """Two lemons of 1.00, one pressed and one in wedges: all that is known is that it may be less.

    It was told as if it were the cheapest.
    """
    lemons = shoot_of(
        *(line("tart", name, text) for name, text in CUT_OF_LEMON.items()),
        *(part("lemon", name, "1 each", way="pressed") for name in ("juice", "zest")),
        *(part("lemon", name, text, way="cut") for name, text in (("juice", "1 each"), WEDGES)),
        pack("lemon", "1 each", "1"),
        Shot(dish="tart"),
    )
    ended = shopping(lemons, within=Deadline(work=0))
    (text,) = (str(one) for one in ended.findings if one.code == "making not proven")
    assert text.startswith(
        'Packs (row "lemon", column "Ingredient"): found lemon made, cut or bought ready in a way '
        "that is not proven to be the cheapest, expected a way that no other can be cheaper than "
        "[making not proven]\n  What the list buys may be up to 2.00 dearer than the cheapest."
    )


@pytest.mark.parametrize("seconds", [0.02, 1.0])
def test_plan__ended_search_is_never_better_than_a_proven_one(seconds: float) -> None:
    """Law: what an ended search bought costs at least the proven cost, at most its gap more."""
    ended, full = shopping(hard_plan(), seconds=seconds), shopping(hard_plan())
    assert ended.plan is not None
    assert full.plan is not None
    assert full.plan.gap == 0
    more = ended.market.terms.cost(ended.plan.basket.packs) - full.market.terms.cost(
        full.plan.basket.packs
    )
    assert more >= 0
    assert ended.plan.gap is None or more <= ended.plan.gap + Fraction(1, 10**4)
