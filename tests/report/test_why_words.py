"""Why a list costs what it costs: every sentence, each where it belongs."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from small import books, line, pack, purchase, row, shoot_of, sound

from costing.buying.constraints import ConstraintKind, Cost, Cut, NearMiss, Why
from costing.buying.takeovers import Continuation
from costing.findings import NOWHERE
from costing.kitchen import Pack
from costing.quantities import amount
from costing.report.why_words import NAMED, saved_by_copies, why_lines
from costing.shoot import Shot

NOTHING = Why(costs=(), near=(), nothing_spare=(), over=Decimal(0), cuts=(), complete=True)
BAG: Pack = pack("leek", "1 kg", "2", shop="x", row=row("Packs", 3, "leek", Ingredient="A"))
RETAKE = Shot(dish="soup", name="R", times=3, row=row("Shoot plan", 5, "R", Times="H"))
SOUP = (
    line("soup", "leek", "1 kg"),
    sound("leek"),
    BAG,
    Shot(dish="soup"),
)
"""One bag at 2.00."""


def said(parts: tuple[Any, ...] = SOUP, **found: Any) -> list[str]:
    """What is said where all else is as in a list that nothing makes dearer."""
    return list(why_lines(replace(NOTHING, **found), books(*parts, currency="EUR")))


FREE = "No limit, visit, minimum spend, uncertain take or picking makes it dearer."


def test_why_lines__of_a_list_that_nothing_makes_dearer() -> None:
    assert said() == ["The list costs 2.00 EUR.", FREE]


def test_why_lines__what_is_not_known_is_said() -> None:
    """Salt without a price leaves the sum open; with no price at all there is none."""
    salt = (line("soup", "salt", "5 g"), sound("salt"), pack("salt", "1 kg", None))
    assert said((*SOUP, *salt))[0] == "The list costs at least 2.00 EUR."
    assert said((*salt, Shot(dish="soup")))[0] == "What the list costs is not known yet."
    given = (*SOUP[:2], pack("leek", "1 kg", None, supplied=True), Shot(dish="soup"))
    assert said(given)[0] == "The list costs 0.00 EUR."


def test_why_lines__what_was_not_tried_is_not_denied() -> None:
    """Neither that a limit makes it dearer nor that a take less makes it cheaper."""
    rest = "To try all of it takes too long; what is not named here may not have been looked at."
    assert said(complete=False) == ["The list costs 2.00 EUR.", rest]
    assert said(complete=False, over=Decimal("1.50"))[1:] == ["Over budget by 1.50 EUR.", rest]


HELD = {
    ConstraintKind.MINIMUM: 'the minimum spend of "x" costs 1.50 EUR',
    ConstraintKind.VISIT: 'going to "x" costs 1.50 EUR, its visit cost and what it changes',
    ConstraintKind.LIMIT: "that the shop has no more x costs 1.50 EUR",
    ConstraintKind.UNCERTAIN: 'that nobody knows how often "x" is taken costs 1.50 EUR',
    ConstraintKind.CANDIDATES: "picking the best x costs 1.50 EUR",
}


@pytest.mark.parametrize("kind", HELD)
def test_why_lines__what_makes_it_dearer_with_its_cell(kind: ConstraintKind) -> None:
    costs = [Cost(kind, "x", place, Decimal("1.50")) for place in (NOWHERE, RETAKE.at("Times"))]
    assert said(costs=tuple(costs))[1:] == [
        "What makes it dearer, and how much less would be paid without it:",
        f"  {HELD[kind]}",
        f"  {HELD[kind]} ('Shoot plan'!H5)",
    ]


def test_why_lines__a_visit_that_is_spared_is_no_going_to() -> None:
    """All leeks are of the shop x: nobody goes to the market, where they are cheaper."""
    (_, _, words) = said(costs=(Cost(ConstraintKind.VISIT, "market", NOWHERE, Decimal("1.50")),))
    assert words == (
        '  that nothing is bought at "market", because of its visit cost, costs 1.50 EUR'
    )


@pytest.mark.parametrize(
    ("cost", "words"),
    [
        ({"cost": Decimal(3)}, "would cost 3.00 EUR more"),
        ({"cost": Decimal(-3)}, "would cost 3.00 EUR less"),
        ({"cost": None, "lacks": ("salt", "leek")}, "does not have salt and leek"),
        ({"cost": None, "late": ("leek",)}, "is not open in time for leek"),
        (
            {"cost": None, "lacks": tuple("abcdefgh"), "late": ("leek",)},
            "does not have a, b, c, d, e, f and 2 more and is not open in time for leek",
        ),
    ],
)
def test_why_lines__going_to_one_shop_only(cost: dict[str, Any], words: str) -> None:
    alone = Cost(ConstraintKind.ONE_SHOP, "market", NOWHERE, **cost)
    assert said(costs=(alone,))[1:] == [FREE, "Going to one shop only:", f'  "market" {words}']


def test_why_lines__packs_opened_for_little_and_what_is_all_used() -> None:
    leek = purchase(books(*SOUP), "leek")
    near = NearMiss(leek, BAG, amount("0.017 kg"), Decimal(2))
    assert said(near=(near,), nothing_spare=(leek,))[2:] == [
        "Packs that are opened for little:",
        "  17 g less leek would do without one pack of 1 kg: 2.00 EUR saved (Packs!A3)",
        "Nothing to spare of leek.",
    ]
    many = (leek,) * (NAMED + 1)
    assert said(nothing_spare=many)[2:] == [
        f"Nothing to spare of {', '.join(['leek'] * NAMED)} and 1 more."
    ]


def test_why_lines__cuts_where_it_is_over_budget() -> None:
    cuts = [Cut(RETAKE, Decimal(4), enough) for enough in (False, True)]
    over = "Over budget by 3.00 EUR; one take fewer, the cheapest cuts:"
    retakes = '  "R" 2 times instead of 3: 4.00 EUR saved'
    assert said(over=Decimal(3), cuts=tuple(cuts))[2:] == [
        over,
        f"{retakes} ('Shoot plan'!H5)",
        f"{retakes}, which keeps the budget ('Shoot plan'!H5)",
    ]
    assert said(over=Decimal(3))[2:] == [over, "  no single take makes it cheaper"]


def test_why_lines__a_cut_of_an_uncertain_shot_lowers_its_ends_too() -> None:
    """Times below Fewest would be out of order."""
    shot = RETAKE.model_copy(update={"fewest": 3, "most": 4})
    (_, words) = said(over=Decimal(3), cuts=(Cut(shot, Decimal(4), enough=False),))[2:]
    assert words == (
        '  "R" 2 times instead of 3, Fewest and Most one less too: 4.00 EUR saved '
        "('Shoot plan'!H5)"
    )


@pytest.mark.parametrize(
    ("found", "words"),
    [
        ([], ""),
        ([(1, None), (1, Decimal(0))], ""),
        ([(1, Decimal(80)), (2, None)], "80.00 EUR less is paid if B takes over the copy of A"),
        (
            [(2, Decimal("0.50")), (1, Decimal(80))],
            "80.50 EUR less is paid if C takes over the copy of A and B that of A",
        ),
    ],
)
def test_saved_by_copies__what_is_known_to_be_saved(
    found: list[tuple[int, Decimal | None]], words: str
) -> None:
    """Law: what saves nothing, or nothing known, is in no sum."""
    shoot = shoot_of(*(Shot(dish="roast", name=name) for name in "ABC"), currency="EUR")
    one = Continuation(source=0, shot=1, fewer=1, rest=(), blank=True, saving=None, least=(1, 1, 1))
    several = [
        replace(one, shot=at, fewer=fewer, saving=saving)
        for at, (fewer, saving) in enumerate(found, start=1)
    ]
    said = f"{words}: costing check says where." if words else ""
    assert saved_by_copies(several, shoot) == said
